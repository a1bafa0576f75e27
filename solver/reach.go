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
	Mark     float64             // the farthest value of the grid that it reaches; NaN if none
	Setup    *Checked            // that shows it
	Beyond   float64             // the nearest value of the grid that is proved out of reach, and all beyond it; NaN if none is
	Limit    float64             // of the brief itself, where no value of the grid lies between; NaN if that is not where it ends
	Proved   bool                // no value of the grid lies between the end and what is out of reach
	Most     bool                // the set-up reaches the last value of the grid
	InTheWay []*constraints.Goal // with Beyond they cannot all hold
	Only     []inventory.Thing   // without all pieces of any one of these the value cannot be reached
	Open     string

	found *Checked // the set-up as it was found
}

// Limits on the search for one end.
const (
	endProbes    = 4     // values for which a set-up is sought
	endProofs    = 3     // values that are to be refuted
	endFresh     = 40    // candidates that are looked at once without regard to a set-up that there is
	endTries     = 30    // candidates of one of these
	endNear      = 2     // of them near to a set-up that there is
	endEfforts   = 1     // of a refutation
	endEffort    = 20000 // of the lattice, for the refutation of a value
	cameraProbes = 3     // times as many values where the camera alone decides
)

// Reach finds the range of a quantity under a brief, one end after the other.
func Reach(ctx context.Context, s *inventory.Studio, b *constraints.Brief, q *constraints.Quantity, o Options) (*Range, error) {
	r, first, err := newReacher(ctx, s, b, o)
	if err != nil {
		return nil, err
	}
	out := &Range{Quantity: q, Answer: first}
	if first.Outcome == Found {
		out.Low, out.High = r.ends(q, first.Setups[0], endProbes, endProofs)
	}
	return out, nil
}

// reacher asks for values of quantities, all on one lattice: what is learned of one value
// serves those beyond it, and what a light does from a place is worked out once.
type reacher struct {
	*inquiry
	o      Options
	base   []sat.Lit // of the brief's own goals
	bounds map[bound]sat.Lit
	taken  *[]bound // in the order in which they were made
}

// bound is a value of a quantity's grid as the farthest of one end.
type bound struct {
	q    *constraints.Quantity
	sign float64
	i    int
}

// newReacher plans the brief. Where it cannot be met the answer says why.
func newReacher(ctx context.Context, s *inventory.Studio, b *constraints.Brief, o Options) (*reacher, *Answer, error) {
	work := o.Work
	if work == 0 {
		o.Work = endTries
	}
	r := begin(ctx, &constraints.Bench{Studio: s, Brief: b}, o)
	r.l.content = 0 // set-ups are climbed with
	if len(b.Goals) < maxGoals {
		r.left = defaultWork
		if a := r.plan(Options{Count: 1, quick: true}); a.Outcome == Found {
			a.Setups[0].show(r.l.bench)
			return r, a, nil
		}
	}
	o.Work, o.Count, o.NoHelp = work, 1, true
	first, err := Plan(ctx, s, b, o)
	return r, first, err
}

func begin(ctx context.Context, b *constraints.Bench, o Options) *reacher {
	asked := inquire(ctx, b, o)
	r := &reacher{asked, o, asked.keep, map[bound]sat.Lit{}, &[]bound{}}
	r.efforts, r.near, r.patience, r.say = endEfforts, endNear, 0, nil
	return r
}

// ends searches both ends from a set-up that there is.
func (r *reacher) ends(q *constraints.Quantity, k *Checked, probes, proofs int) (low, high *EndOf) {
	search := func(which constraints.End, sign float64) *EndOf {
		if which.Name == "" {
			return nil
		}
		e := &end{reacher: r, q: q, end: which, sign: sign, grid: q.Grid(r.l.bench), probes: probes, proofs: proofs, why: map[int][]*constraints.Goal{}, barren: map[gearKey]int{}}
		if sign < 0 {
			slices.Reverse(e.grid)
		}
		if cameraOnly(q) {
			e.probes *= cameraProbes
		}
		return e.search(k)
	}
	return search(q.Low, 1), search(q.High, -1)
}

// selector is the selector of a bound; whoever keeps to it keeps to all that are less far.
// False where the lattice holds no more goals.
func (r *reacher) selector(b bound, g *constraints.Goal) (sat.Lit, bool) {
	if sel, ok := r.bounds[b]; ok {
		return sel, true
	}
	sel, ok := r.add(g)
	if !ok {
		return 0, false
	}
	for _, other := range *r.taken {
		switch {
		case other.q != b.q || other.sign != b.sign:
		case other.i < b.i:
			r.l.p.Add(r.bounds[other].Not(), sel)
		default:
			r.l.p.Add(sel.Not(), r.bounds[other])
		}
	}
	r.bounds[b] = sel
	*r.taken = append(*r.taken, b)
	return sel, true
}

// add puts one more goal into the lattice, which candidates meet where it is assumed.
func (r *reacher) add(g *constraints.Goal) (sat.Lit, bool) {
	if len(r.l.goals) == maxGoals {
		return 0, false
	}
	return r.l.addGoal(g), true
}

// end is the search for one end. Its grid begins with the farthest value.
type end struct {
	*reacher
	q      *constraints.Quantity
	end    constraints.End
	sign   float64 // 1: the low end, where less is farther
	grid   []float64
	probes int                         // values for which a set-up is sought
	proofs int                         // values that are to be refuted
	clash  []*constraints.Goal         // that a value beyond the end cannot be written beside
	border int                         // the brief's own limit, as an index; -1 where that is not where it ends
	why    map[int][]*constraints.Goal // of what was proved impossible
	barren map[gearKey]int             // gear with which no set-up turned up, by the nearest value that was sought
	unsure string
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

// search shows values as far out as it can: it climbs with the gear of a set-up that there
// is, then bisects for other gear and climbs again. Then it proves what lies beyond: the next value of
// the grid or, where that stays open, one farther out.
func (e *end) search(k *Checked) *EndOf {
	k = e.climber().climb(k)
	found, cannot := e.reached(k), -1 // indices; all before cannot is impossible too
	for i := found - 1; i >= 0 && cannot < 0; i-- {
		if e.clash = e.clashes(i); e.clash != nil {
			cannot = i
		}
	}
	k, found, cannot = e.probe(k, found, cannot)
	if ofCamera(e.q) && cannot+1 < found { // another choice of gear may go much farther
		if got, outcome := e.ask(found-1, k, (*end).anew); outcome == sat.Yes {
			k, found, cannot = e.probe(got, min(found-1, e.reached(got)), cannot)
		}
	}
	if e.border = e.limit(k, found, cannot); e.border >= 0 {
		cannot = e.border
	}
	for i, n := found-1, 0; i > cannot && n < e.proofs && e.ctx.Err() == nil; n++ {
		e.l.most = e.l.effort + endEffort
		got, outcome := e.ask(i, k, (*end).decideNear)
		e.l.most = 0
		switch outcome {
		case sat.Yes:
			k = e.climber().climb(got)
			found = min(i, e.reached(k))
			i = found - 1
		case sat.No:
			cannot = i
		default:
			i = (cannot + i) / 2
		}
	}
	return e.result(k, found, cannot)
}

func (e *end) glanceNear(k *Checked, sel sat.Lit) (*Checked, sat.Outcome) {
	return e.glance([]sat.Lit{sel}, e.l.differences(k.Setup))
}

// pushOn goes on from a set-up that there is where the camera alone decides what goals allow,
// and light whether it can be.
func (e *end) pushOn(k *Checked, sel sat.Lit) (*Checked, sat.Outcome) {
	if ofCamera(e.q) {
		if got := e.l.push(k, e.l.maskOf(e.beside(sel)), e.q.Reads()); got != nil {
			return got, sat.Yes
		}
	}
	return e.glanceNear(k, sel)
}

// anew begins with the cheapest, without regard to a set-up that there is.
func (e *end) anew(_ *Checked, sel sat.Lit) (*Checked, sat.Outcome) {
	defer func(quick sat.Lit, found bool) { e.quick, e.found = quick, found }(e.quick, e.found)
	e.quick, e.found, e.left = e.l.p.Var(), false, endFresh
	if got, outcome := e.best(append(e.beside(sel), e.quick), &ranks{}); outcome == sat.Yes {
		return got, outcome
	}
	return nil, sat.Unknown
}

func (e *end) decideNear(_ *Checked, sel sat.Lit) (*Checked, sat.Outcome) {
	e.left, e.open = e.tries, nil
	clear(e.tried)
	return e.decide(e.beside(sel))
}

// beside is the goals that are kept and one more.
func (e *end) beside(sel sat.Lit) []sat.Lit { return append(slices.Clone(e.keep), sel) }

// probe bisects between what was shown and what is impossible.
func (e *end) probe(k *Checked, found, cannot int) (*Checked, int, int) {
	missed := cannot // nothing was shown there
	for n := 0; n < e.probes && missed+1 < found && e.ctx.Err() == nil; n++ {
		i := (missed + found) / 2
		got, outcome := e.ask(i, k, (*end).pushOn)
		switch outcome {
		case sat.Yes:
			k = e.climber().climb(got)
			found = min(i, e.reached(k))
		case sat.No:
			cannot = i
			missed = max(missed, i)
		default:
			missed = i
		}
	}
	return k, found, cannot
}

// limit is the index of a value that is the brief's own limit, where the end that was found reads
// like it and no other value lies between; -1 where none is.
func (e *end) limit(k *Checked, found, cannot int) int {
	limit, by := e.q.Limit(e.l.bench.Brief, e.sign)
	i := cannot + 1
	if i != found-1 || math.Abs(e.grid[i]-limit) > 1e-9 || constraints.Show(limit, e.q.Unit) != constraints.Show(e.end.At(&k.Reading), e.q.Unit) {
		return -1
	}
	e.clash = by
	return i
}

// clashes lists the goals of the brief that a value cannot be written beside.
func (e *end) clashes(i int) (out []*constraints.Goal) {
	brief, goal := e.l.bench.Brief.Clone(), e.goal(i)
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

// ask decides whether a value can be reached, beginning near a set-up that there is.
func (e *end) ask(i int, k *Checked, how func(*end, *Checked, sat.Lit) (*Checked, sat.Outcome)) (*Checked, sat.Outcome) {
	sel, ok := e.selector(bound{e.q, e.sign, i}, e.goal(i))
	if !ok {
		e.unsure = "too many values were asked for"
		return nil, sat.Unknown
	}
	e.l.consider = e.l.maskOf(e.beside(sel))
	e.seek = func(c *candidate) *Checked {
		if got := e.l.instead(k, c); got != nil {
			return got
		}
		return e.sought(c, i)
	}
	e.alike = e.sameBearing
	got, outcome := how(e, k, sel)
	if e.o.Progress != nil {
		e.o.Progress(e.q.Name + " " + constraints.Show(e.grid[i], e.q.Unit) + ": " + outcome.String())
	}
	switch outcome {
	case sat.No:
		e.why[i] = e.inTheWay(sel)
	case sat.Unknown:
		if len(e.open) > 0 || e.left <= 0 || e.ctx.Err() != nil {
			e.unsure = e.whatIsOpen()
		}
	}
	return got, outcome
}

// sought looks for a set-up with a candidate's gear, unless that came to nothing for a value
// that is no farther out.
func (e *end) sought(c *candidate, i int) *Checked {
	key := e.l.gearKey(c)
	key.active = 0
	if least, ok := e.barren[key]; ok && i <= least {
		return nil
	}
	got := e.l.find(c)
	if got == nil {
		e.barren[key] = i
	}
	return got
}

// sameBearing leaves out all gear that is the same in what bears on the quantity.
func (e *end) sameBearing(c *candidate) (clause []sat.Lit) {
	reads := e.q.Reads()
	for r, g := range c.rigs {
		if g != nil && reads&(constraints.Pose(inventory.Role(r))|constraints.OnSpill) != 0 {
			clause = append(clause, not(e.l.roles[r].mods[g.iMod], e.l.roles[r].grids[g.iGrid])...)
		}
	}
	if reads&constraints.OnBackdrop != 0 {
		clause = append(clause, e.l.papers[c.iPaper].Not())
	}
	if reads&constraints.OnLens != 0 {
		clause = append(clause, e.l.lenses[c.iLens].Not())
	}
	if clause == nil {
		return e.l.aside(c)
	}
	return clause
}

func (e *end) result(k *Checked, found, cannot int) *EndOf {
	out := &EndOf{Value: e.end.At(&k.Reading), Beyond: math.NaN(), Limit: math.NaN(), Proved: cannot+1 == found, Most: found == 0, found: k}
	out.Mark = math.NaN()
	if found < len(e.grid) {
		out.Mark = e.grid[found]
	}
	if cannot >= 0 {
		out.Beyond, out.InTheWay = e.grid[cannot], e.clash
		if why, ok := e.why[cannot]; ok {
			out.InTheWay = why
		}
	}
	if cannot >= 0 && cannot == e.border {
		out.Limit, out.Beyond = e.grid[cannot], math.NaN()
		if cannot > 0 {
			out.Beyond = e.grid[cannot-1]
		}
	}
	if !out.Proved {
		out.Open = e.unsure
	}
	if found < len(e.grid) {
		out.Only = e.only(found, k)
	}
	out.Setup = again(e.l.bench, k)
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
	sel, ok := e.selector(bound{e.q, e.sign, i}, e.goal(i))
	if !ok {
		return nil
	}
	defer func(near int, seek func(*candidate) *Checked) { e.near, e.seek = near, seek }(e.near, e.seek)
	e.near, e.seek = 1, func(*candidate) *Checked { return nil } // one that is not ruled out is enough to say nothing
	e.l.consider = e.l.maskOf(e.beside(sel))
	near := e.l.differences(k.Setup)
	for _, id := range e.concerned(k.Setup) {
		without := []sat.Lit{sel}
		for _, x := range e.l.uses(id) {
			without = append(without, x.Not())
		}
		if _, outcome := e.glance(without, near); outcome == sat.No {
			t, _ := e.l.bench.Studio.Thing(id)
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

// inTheWay lists goals that cannot hold together with a bound, as far as the rules that
// were learned show without any new search: each of them is needed for that.
func (e *end) inTheWay(sel sat.Lit) (out []*constraints.Goal) {
	order := slices.DeleteFunc(e.l.shrinkOrder(), func(x sat.Lit) bool { return !slices.Contains(e.keep, x) })
	core := e.l.p.Shrink(append(order, sel))
	for i, g := range e.l.goals {
		if e.l.sel[i] != sel && slices.Contains(core, e.l.sel[i]) {
			out = append(out, g)
		}
	}
	return out
}
