package solver

import (
	"context"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// Range is how far a quantity can go under a brief.
type Range struct {
	Quantity  *constraints.Quantity
	Answer    *Answer // of the brief itself
	Low, High *EndOf  // nil unless the brief can be met
}

// EndOf is one end of a range: what is shown, and what is proved impossible.
type EndOf struct {
	Value    float64             // of the set-up that goes farthest
	Setup    *Checked            // that shows it
	Beyond   float64             // the nearest value of the grid that is proved out of reach, and all beyond it; NaN if none is
	Proved   bool                // no value of the grid lies between the two
	Most     bool                // the set-up reaches the last value of the grid
	InTheWay []*constraints.Goal // with Beyond they cannot all hold
	Only     []inventory.Thing   // without all pieces of any one of these the value cannot be reached
	Open     string
}

// Limits on the search for one end.
const (
	endProbes = 14
	endTries  = 40 // candidates of one probe
	endNear   = 5  // of them near to a set-up that there is
	endEffort = 1  // of a refutation
)

// Reach finds the range of a quantity under a brief, one end after the other.
func Reach(ctx context.Context, s *inventory.Studio, b *constraints.Brief, q *constraints.Quantity, o Options) (*Range, error) {
	o.Count, o.NoHelp = 1, true
	first, err := Plan(ctx, s, b, o)
	if err != nil {
		return nil, err
	}
	out := &Range{Quantity: q, Answer: first}
	if first.Outcome != Found {
		return out, nil
	}
	out.Low, out.High = reachFrom(ctx, &constraints.Bench{Studio: s, Brief: b}, q, o, first.Setups[0], endProbes)
	return out, nil
}

// reachFrom searches both ends from a set-up that there is.
func reachFrom(ctx context.Context, b *constraints.Bench, q *constraints.Quantity, o Options, k *Checked, probes int) (low, high *EndOf) {
	search := func(which constraints.End, sign float64) *EndOf {
		if which.Name == "" {
			return nil
		}
		e := &end{ctx: ctx, bench: b, q: q, o: o, end: which, sign: sign, grid: q.Grid(b), left: probes, why: map[int]*probe{}}
		if sign < 0 {
			slices.Reverse(e.grid)
		}
		return e.search(k)
	}
	return search(q.Low, 1), search(q.High, -1)
}

// end is the search for one end. Its grid begins with the farthest value.
type end struct {
	ctx   context.Context
	bench *constraints.Bench
	q     *constraints.Quantity
	o     Options
	end   constraints.End
	sign  float64 // 1: the low end, where less is farther
	grid  []float64
	left  int                 // probes
	clash []*constraints.Goal // that a value beyond the end cannot be written beside
	why   map[int]*probe      // of what was proved impossible
	open  string
}

// probe is the question whether a value of the grid can be reached.
type probe struct {
	*inquiry
	bound int // index of the goal that asks for it
}

func (e *end) goal(i int) *constraints.Goal {
	if e.sign > 0 {
		return e.q.AtMost(e.grid[i])
	}
	return e.q.AtLeast(e.grid[i])
}

// reached is the index of the farthest value that a set-up reaches; the length of the grid
// if it reaches none.
func (e *end) reached(k *Checked) int {
	v := e.end.At(&k.Reading)
	for i, x := range e.grid {
		if e.q.Meets(v, x, e.sign) {
			return i
		}
	}
	return len(e.grid)
}

// search shows values as far out as it can, bisecting, and then proves what lies beyond:
// the next value of the grid or, where that stays open, one farther out.
func (e *end) search(k *Checked) *EndOf {
	found, cannot := e.reached(k), -1 // indices; all before cannot is impossible too
	for i := found - 1; i >= 0 && cannot < 0; i-- {
		if e.clash = e.clashes(i); e.clash != nil {
			cannot = i
		}
	}
	missed := cannot // nothing was shown there
	for e.left > 0 && missed+1 < found && e.ctx.Err() == nil {
		e.left--
		i := (missed + found) / 2
		got, outcome := e.ask(i, k, (*probe).glanceNear)
		switch outcome {
		case sat.Yes:
			k, found = got, min(i, e.reached(got))
		case sat.No:
			cannot = i
			missed = max(missed, i)
		default:
			missed = i
		}
	}
	for i, n := found-1, 0; i > cannot && n < mostProofs && e.ctx.Err() == nil; n++ {
		got, outcome := e.ask(i, k, (*probe).decideNear)
		switch outcome {
		case sat.Yes:
			k, found = got, min(i, e.reached(got))
			i = found - 1
		case sat.No:
			cannot = i
		default:
			i = (cannot + i) / 2
		}
	}
	return e.result(k, found, cannot)
}

// mostProofs is how many values are asked for with some effort at a refutation.
const mostProofs = 3

func (p *probe) glanceNear(k *Checked) (*Checked, sat.Outcome) {
	return p.glance(nil, p.l.differences(k.Setup))
}

func (p *probe) decideNear(k *Checked) (*Checked, sat.Outcome) {
	return p.nearest(nil, p.l.differences(k.Setup))
}

// clashes lists the goals of the brief that a value cannot be written beside.
func (e *end) clashes(i int) (out []*constraints.Goal) {
	brief, goal := e.bench.Brief.Clone(), e.goal(i)
	brief.Goals = append(brief.Goals, goal)
	for _, c := range constraints.Collisions(brief) {
		for _, g := range c.Goals {
			if g != goal {
				out = append(out, g)
			}
		}
	}
	return out
}

// probe asks for a value beside all that the brief asks for.
func (e *end) probe(i int) *probe {
	brief := e.bench.Brief.Clone()
	brief.Goals = append(brief.Goals, e.goal(i))
	o := e.o
	if o.Work == 0 {
		o.Work = endTries
	}
	p := &probe{inquire(e.ctx, &constraints.Bench{Studio: e.bench.Studio, Brief: brief}, o), len(brief.Goals) - 1}
	p.efforts, p.near, p.patience = endEffort, endNear, 0
	return p
}

// ask decides whether a value can be reached, beginning near a set-up that there is.
func (e *end) ask(i int, k *Checked, how func(*probe, *Checked) (*Checked, sat.Outcome)) (*Checked, sat.Outcome) {
	p := e.probe(i)
	got, outcome := how(p, k)
	if e.o.Progress != nil {
		e.o.Progress(e.q.Name + " " + constraints.Show(e.grid[i], e.q.Unit) + ": " + outcome.String())
	}
	switch outcome {
	case sat.No:
		e.why[i] = p
	case sat.Unknown:
		e.open = p.whatIsOpen()
	}
	return got, outcome
}

func (e *end) result(k *Checked, found, cannot int) *EndOf {
	out := &EndOf{Value: e.end.At(&k.Reading), Setup: k, Beyond: math.NaN(), Proved: cannot+1 == found, Most: found == 0}
	switch p := e.why[cannot]; {
	case p != nil:
		out.Beyond, out.InTheWay = e.grid[cannot], p.inTheWay()
	case cannot >= 0:
		out.Beyond, out.InTheWay = e.grid[cannot], e.clash
	}
	if !out.Proved {
		out.Open = e.open
	}
	if found < len(e.grid) {
		out.Only = e.only(found, k)
	}
	out.Setup = again(e.bench, k)
	return out
}

// again judges a set-up by the brief alone, without the bounds that it was found under.
func again(b *constraints.Bench, k *Checked) *Checked {
	own, err := Check(b.Studio, b.Brief, k.Setup)
	if err != nil {
		panic("solver: a set-up that was found does not check: " + err.Error())
	}
	return own
}

// only lists the kit of a set-up without which a value cannot be reached: each item was
// taken away, all its pieces, and the rest refuted. Where that is not at hand nothing is said.
func (e *end) only(i int, k *Checked) (out []inventory.Thing) {
	p := e.probe(i)
	near := p.l.differences(k.Setup)
	for _, id := range e.concerned(k.Setup) {
		var none []sat.Lit
		for _, x := range p.l.uses(id) {
			none = append(none, x.Not())
		}
		if _, outcome := p.glance(none, near); outcome == sat.No {
			t, _ := e.bench.Studio.Thing(id)
			out = append(out, t)
		}
	}
	return out
}

// concerned lists the kit of a set-up that the quantity can depend on, each once.
func (e *end) concerned(set *inventory.Setup) (out []inventory.ID) {
	reads := e.q.Reads()
	add := func(on constraints.Aspect, ids ...inventory.ID) {
		for _, id := range ids {
			if reads&on != 0 && id != "" && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	add(constraints.OnISO|constraints.OnShutter, set.Camera.Body)
	add(constraints.OnLens|constraints.OnAperture|constraints.OnFrame, set.Camera.Lens)
	add(constraints.OnBackdrop, set.Backdrop.Item)
	for _, x := range set.Lights {
		r, _ := inventory.RoleByName(x.Role)
		add(constraints.Pose(r)|constraints.OnSpill, x.Modifier, x.Grid)
		add(constraints.Level(r), x.Head)
	}
	return out
}

// inTheWay lists goals that cannot hold together with the bound, as far as the rules that
// were learned show without any new search: each of them is needed for that.
func (p *probe) inTheWay() (out []*constraints.Goal) {
	core := p.l.p.Shrink(p.l.shrinkOrder())
	for i, g := range p.l.goals {
		if i != p.bound && slices.Contains(core, p.l.sel[i]) {
			out = append(out, g)
		}
	}
	return out
}
