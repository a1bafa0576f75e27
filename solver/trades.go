package solver

import (
	"slices"

	"falloff/constraints"
)

// Limits on trade-offs.
const (
	mostPairs  = 12 // pairs of numbers that are looked at
	mostTrades = 4  // trade-offs that are told
)

// amounts finds, for each goal without which the rest can hold, how far each of its
// numbers must move; where no number alone is enough, how far two must move together.
func (h *hunt) amounts(a *Answer) (out []Help) {
	m := h.newMover()
	single := func(g *constraints.Goal, witness *Checked) {
		for _, n := range m.numbers(g) {
			n.tried = true
			if s, k, move, ok := m.least(n, witness); ok {
				h.tell("helps: %s", s.To(s.k).Text)
				out = append(out, h.moved(k, []step{s}, move))
			}
		}
	}
	for _, r := range a.Releases {
		if len(r.Goals) == 1 {
			single(r.Goals[0], r.Setup)
		}
	}
	if len(a.Releases) == 0 && len(a.Others) == 0 { // none was found, but there must be some
		for _, g := range a.Conflict.Goals {
			single(g, nil)
		}
	}
	if len(out) > 0 {
		return out
	}
	for i, pair := range m.pairs(a) {
		if i == mostPairs || len(out) >= mostTrades {
			break
		}
		out = append(out, m.trade(pair[0], pair[1])...)
	}
	return out
}

// pairs lists numbers that may do together what neither does alone: of two goals that must
// both be left out, and of goals that collide.
func (m *mover) pairs(a *Answer) (out [][2]*number) {
	seen := map[[2]*number]bool{}
	add := func(xs, ys []*number) {
		for _, x := range xs {
			for _, y := range ys {
				if !x.tried || !y.tried {
					continue
				}
				if p := [2]*number{x, y}; !seen[p] {
					seen[p] = true
					out = append(out, p)
				}
			}
		}
	}
	for _, r := range a.Releases {
		if len(r.Goals) == 2 && r.Minimal {
			add(m.useful(r.Goals[0], r.Goals[1]), m.useful(r.Goals[1], r.Goals[0]))
		}
	}
	for i, g := range a.Conflict.Goals {
		for _, other := range a.Conflict.Goals[:i] {
			if len(a.Others) == 0 {
				add(m.numbers(other), m.numbers(g))
			}
		}
	}
	return out
}

// useful lists the numbers of a goal that do all that is asked of this goal once another,
// which would have to be left out with it, is. None of them does alone.
func (m *mover) useful(g, other *constraints.Goal) (out []*number) {
	for _, n := range m.numbers(g) {
		if n.goal >= 0 && m.without(n, other) {
			n.never, n.tried = true, true
			out = append(out, n)
		}
	}
	return out
}

// trade finds how far two numbers must move together: either as little as may be, and one
// case between.
func (m *mover) trade(x, y *number) (out []Help) {
	if all, _ := m.ask(step{x, x.Steps}, step{y, y.Steps}); all == nil {
		return nil
	}
	// point moves one number as little as the other at a step allows, then that one back.
	point := func(one, other *number, at int) (k int) {
		s, got, move, ok := m.least(one, nil, step{other, at})
		if !ok {
			return 0
		}
		t, back, moveBack, ok := m.least(other, got, s)
		if !ok {
			return 0
		}
		steps, moves := []step{s, t}, []Move{move, moveBack}
		if one == y {
			slices.Reverse(steps)
			slices.Reverse(moves)
		}
		if h := m.h.moved(back, steps, moves...); !slices.ContainsFunc(out, func(o Help) bool { return o.Text == h.Text }) {
			out = append(out, h)
		}
		return t.k
	}
	most := point(y, x, x.Steps) // the step of x where y moves least
	point(x, y, y.Steps)
	if most > 2 {
		point(y, x, most/2)
	}
	return out
}

// moved tells of numbers that were moved.
func (h *hunt) moved(k *Checked, steps []step, moves ...Move) Help {
	first := steps[0].To(steps[0].k)
	help := Help{Text: first.Text, Cost: first.Cost, Moves: moves, Setup: k, Leads: k.summary(h.l.bench.Studio), Minutes: k.Cost.Minutes, minor: first.Minor}
	for _, s := range steps[1:] {
		ch := s.To(s.k)
		help.Text += " and " + ch.Text
		if ch.Cost != help.Cost {
			help.Cost += " and " + ch.Cost
		}
	}
	return help
}
