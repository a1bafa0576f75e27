package solver

import (
	"maps"
	"slices"

	"falloff/constraints"
	"falloff/solver/internal/sat"
)

// Limits on the search for the smallest changes.
const (
	amountTries = 24  // candidates for one step of a number
	mostAsked   = 160 // steps that are decided
	mostDoubts  = 2   // steps of one number that may stay open before no more are decided
)

// number is an amount of the brief with what is known of its steps.
type number struct {
	constraints.Amount
	goal  int             // whose number it is, in the lattice; -1 where more moves than one goal
	forms map[int]sat.Lit // by step: the selector of the goal as it reads there
	never bool            // proved: no step of it is enough alone
	tried bool            // it was moved alone, and that was not enough
}

// step is a number moved so far; 0 leaves it as it stands.
type step struct {
	*number
	k int
}

// mover finds the smallest moves of numbers with which a brief that cannot be met can be.
// The forms of a goal go into one lattice, so what is learned of one serves all.
type mover struct {
	h     *hunt
	musts []sat.Lit // of the brief as it stands
	asked int
	of    map[*constraints.Goal][]*number
	seen  map[string]bool // names of numbers of the brief that are no goal's own
}

func (h *hunt) newMover() *mover {
	return &mover{h: h, musts: h.l.musts(), of: map[*constraints.Goal][]*number{}, seen: map[string]bool{}}
}

// numbers lists what a goal offers to move: its own numbers, and those of the brief that no
// other goal offered before.
func (m *mover) numbers(g *constraints.Goal) (out []*number) {
	if got, ok := m.of[g]; ok {
		return got
	}
	defer func() { m.of[g] = out }()
	movable, ok := g.Req.(constraints.Amounter)
	if !ok {
		return nil
	}
	for _, a := range movable.Amounts(m.h.l.bench) {
		if a.Steps < 1 {
			continue
		}
		n := &number{Amount: a, goal: -1, forms: map[int]sat.Lit{}}
		if old := a.To(1).Old; old != nil {
			n.goal = slices.IndexFunc(m.h.l.goals, func(x *constraints.Goal) bool { return x.Req == old })
		} else if m.seen[a.Name] {
			continue
		}
		m.seen[a.Name] = true
		out = append(out, n)
	}
	return out
}

// form is the selector of a number's goal as it reads at a step; false where it cannot be
// had in this lattice.
func (m *mover) form(s step) (sat.Lit, bool) {
	l := m.h.l
	if s.goal < 0 {
		return 0, false
	}
	if sel, ok := s.forms[s.k]; ok {
		return sel, true
	}
	if len(l.goals) == maxGoals {
		return 0, false
	}
	g := *l.goals[s.goal]
	g.Req = s.To(s.k).New
	sel := l.addGoal(&g)
	l.p.Add(l.sel[s.goal].Not(), sel) // what one step allows the next one allows
	for _, k := range slices.Sorted(maps.Keys(s.forms)) {
		if other := s.forms[k]; k < s.k {
			l.p.Add(other.Not(), sel)
		} else {
			l.p.Add(sel.Not(), other)
		}
	}
	s.forms[s.k] = sel
	return sel, true
}

// ask decides whether the brief can be met with some numbers moved. A set-up comes as
// checked against the brief as it then reads.
func (m *mover) ask(steps ...step) (*Checked, sat.Outcome) {
	if m.asked++; m.asked > mostAsked || m.h.ctx.Err() != nil {
		return nil, sat.Unknown
	}
	keep, ok := m.keep(steps)
	if !ok {
		got, outcome := m.afresh(steps)
		m.tell(steps, outcome)
		return got, outcome
	}
	got, outcome := m.h.can(keep, amountTries)
	if outcome == sat.Yes {
		if got = m.recheck(got, steps); got == nil {
			outcome = sat.Unknown
		}
	}
	m.tell(steps, outcome)
	return got, outcome
}

func (m *mover) tell(steps []step, outcome sat.Outcome) {
	for _, s := range steps {
		m.h.tell("%s %s: %s", s.Name, s.Value(s.k), outcome)
	}
}

// without decides whether the brief can be met with a number moved all the way and a goal
// left out.
func (m *mover) without(n *number, left *constraints.Goal) bool {
	m.asked++
	keep, ok := m.keep([]step{{n, n.Steps}})
	if !ok || m.asked > mostAsked {
		return false
	}
	drop := m.h.l.sel[slices.Index(m.h.l.goals, left)]
	keep = slices.DeleteFunc(keep, func(s sat.Lit) bool { return s == drop })
	_, outcome := m.h.can(keep, amountTries)
	m.tell([]step{{n, n.Steps}}, outcome)
	return outcome == sat.Yes
}

// keep is the selectors of the musts with numbers moved; false where they cannot be had in
// this lattice.
func (m *mover) keep(steps []step) ([]sat.Lit, bool) {
	keep := slices.Clone(m.musts)
	for _, s := range steps {
		sel, ok := m.form(s)
		if !ok {
			return nil, false
		}
		keep[slices.Index(keep, m.h.l.sel[s.goal])] = sel
	}
	return keep, true
}

// bench is the bench with numbers moved.
func (m *mover) bench(steps []step) *constraints.Bench {
	b := m.h.l.bench
	brief, studio := b.Brief.Clone(), constraints.CloneStudio(b.Studio)
	same := true
	for _, s := range steps {
		s.To(s.k).Apply(brief, studio)
		same = same && s.goal >= 0
	}
	if same { // only goals moved, so the room's bounce is the same
		return &constraints.Bench{Studio: b.Studio, Brief: brief, Bounces: b.Bounces, Flat: b.Flat, Places: b.Places}
	}
	return &constraints.Bench{Studio: studio, Brief: brief, Flat: b.Flat, Places: b.Places}
}

// afresh is ask with a lattice of its own.
func (m *mover) afresh(steps []step) (*Checked, sat.Outcome) {
	b := m.bench(steps)
	if len(constraints.Collisions(b.Brief)) > 0 {
		return nil, sat.No
	}
	again := newHunt(m.h.ctx, newLattice(b, b.Brief.Goals, false), helpTries, nil)
	again.brisk = true
	a := again.plan(Options{Count: 1})
	switch a.Outcome {
	case Found:
		return a.Setups[0], sat.Yes
	case Cannot:
		return nil, sat.No
	}
	return nil, sat.Unknown
}

// recheck judges a set-up against the brief with numbers moved; nil if it does not hold.
func (m *mover) recheck(k *Checked, steps []step) *Checked {
	b := m.bench(steps)
	got, err := check(b, b.Brief.Goals, k.Setup)
	if err != nil || !got.Holds() {
		return nil
	}
	got.from = k.from
	return got
}

// least finds the smallest step of a number that suffices, with other numbers moved as
// given. The brief cannot be met with those alone. A witness meets all but this number's
// goal; nil for none.
func (m *mover) least(n *number, witness *Checked, also ...step) (best step, got *Checked, mv Move, ok bool) {
	with := func(k int) []step { return append([]step{{n, k}}, also...) }
	enough := 0
	if witness != nil {
		if enough = m.met(n, witness, n.Steps); enough > 0 {
			got = m.recheck(witness, with(enough))
		}
	}
	if got == nil {
		var outcome sat.Outcome
		if got, outcome = m.ask(with(n.Steps)...); got == nil {
			n.never = n.never || outcome == sat.No && len(also) == 0
			return step{}, nil, Move{}, false
		}
		enough = m.met(n, got, n.Steps)
	}
	proved, open := 0, slices.ContainsFunc(also, func(s step) bool { return !s.never })
	doubts := 0
	for low := 0; enough-low > 1; {
		mid := (low + enough) / 2
		var k *Checked
		outcome := sat.Unknown
		if doubts < mostDoubts {
			k, outcome = m.ask(with(mid)...)
		}
		if outcome == sat.Unknown {
			doubts++
			k = m.press(got, with(mid))
		}
		switch {
		case k != nil:
			got, enough = k, max(low+1, m.met(n, k, mid))
		case outcome == sat.No:
			low, proved = mid, mid
		default:
			low = mid
		}
	}
	if k := m.recheck(got, with(enough)); k != nil {
		got = k
	}
	got.show(m.bench(with(enough)))
	open = open || enough-proved > 1
	return step{n, enough}, got, Move{Name: n.Name, Now: n.Value(0), To: n.Value(enough), Short: n.Value(proved), Open: open}, true
}

// press looks for a set-up with the gear of one that needs larger moves, from where that
// stands.
func (m *mover) press(k *Checked, steps []step) *Checked {
	if k.from == nil {
		return nil
	}
	l, c := m.h.l, *k.from
	keep, ok := m.keep(steps)
	if !ok {
		return nil
	}
	c.active = l.maskOf(keep)
	l.remember(k.Setup)
	got, _ := l.insist(&c)
	if got == nil {
		return nil
	}
	return m.recheck(got, steps)
}

// met is the smallest step up to most that a set-up meets as it stands; most itself where
// the number is not one goal's, and 0 if it does not even meet that.
func (m *mover) met(n *number, k *Checked, most int) int {
	if n.goal < 0 {
		return most
	}
	meets := func(s int) bool {
		req := n.To(s).New
		for _, p := range req.Judge(&k.Reading, nil) {
			if !p.Holds() {
				return false
			}
		}
		g := constraints.Goal{Req: req}
		return len(constraints.Broken(&g, m.h.l.bench, constraints.Picks(k.Setup))) == 0
	}
	if !meets(most) {
		return 0
	}
	low := 0
	for most-low > 1 {
		if mid := (low + most) / 2; meets(mid) {
			most = mid
		} else {
			low = mid
		}
	}
	return most
}
