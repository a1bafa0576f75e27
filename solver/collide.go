package solver

import (
	"cmp"
	"fmt"
	"slices"

	"falloff/constraints"
	"falloff/solver/internal/sat"
)

// Limits on the search for all that collides.
const (
	mostRounds  = 64 // sets of goals that are looked at
	mostOpen    = 3  // sets that may stay open before others are only glanced at
	shrinkTries = 24 // candidates for one set
	mostArgued  = 8  // conflicts whose argument is told
)

// Release is a set of goals without which all other musts can hold.
type Release struct {
	Goals   []*constraints.Goal
	Minimal bool     // proved: no part of it is enough
	Setup   *Checked // meets every other must
	Leads   string   // the set-up in a few words
	Minutes int
}

// collide finds every minimal set of musts that cannot all hold, and every minimal set
// without which the rest can, argues the conflicts and looks for changes that help.
func (h *hunt) collide(a *Answer, o Options) {
	h.tell("cannot: looking for the goals that collide")
	conflicts := h.enumerate(a)
	name := h.l.bench.Brief.Name
	for i, c := range conflicts {
		c.KitAlone = len(c.Goals) == 0
		if i < mostArgued || h.write {
			c.Argument = h.argue(c, name)
		}
		name = "" // the others follow the first
	}
	h.glance = false
	a.Conflict, a.Others = conflicts[0], conflicts[1:]
	if !o.NoHelp {
		h.help(a, o)
	}
}

// enumerate asks for sets of musts until each is known to collide or to hold.
func (h *hunt) enumerate(a *Answer) (conflicts []*Conflict) {
	l := h.l
	a.Whole = true
	h.brisk = true
	shown, open := map[mask]*Checked{}, 0
	check := func(keep []sat.Lit) sat.Outcome {
		h.glance = open >= mostOpen
		got, outcome := h.can(keep, shrinkTries)
		if got != nil {
			shown[l.maskOf(keep)] = got
		}
		if outcome == sat.Unknown {
			open++
		}
		h.tell("%d of the goals together: %s", len(keep), outcome)
		return outcome
	}
	for set, kind := range l.p.Conflicts(l.shrinkOrder(), mostRounds, check) {
		goals := l.goalsOf(l.maskOf(set.Members))
		switch kind {
		case sat.Conflict:
			conflicts = append(conflicts, &Conflict{Goals: goals, Minimal: set.Minimal})
		case sat.Release:
			a.Releases = append(a.Releases, l.release(goals, set, shown))
		}
		if kind == sat.Doubt || kind == sat.Stopped || !set.Minimal {
			a.Whole = false
		}
		if (open >= 4*mostOpen || h.ctx.Err() != nil) && len(conflicts) > 0 {
			a.Whole = false
			break
		}
	}
	slices.SortStableFunc(a.Releases, func(x, y *Release) int {
		return cmp.Or(cmp.Compare(len(x.Goals), len(y.Goals)), cmp.Compare(assumed(x.Goals), assumed(y.Goals)))
	})
	return conflicts
}

// release tells of a release with the set-up that was found for a set that holds its
// complement.
func (l *lattice) release(goals []*constraints.Goal, set sat.Set, shown map[mask]*Checked) *Release {
	r := &Release{Goals: goals, Minimal: set.Minimal}
	rest := l.maskOf(l.musts()) &^ l.maskOf(set.Members)
	var from mask
	for m, k := range shown { // the smallest number among those that hold the rest: no order of the map
		if rest&^m == 0 && (r.Setup == nil || m < from) {
			r.Setup, from = k, m
		}
	}
	if r.Setup != nil {
		r.Setup.Setup.Name = l.bench.Brief.Name
		r.Setup.show(l.bench)
		r.Leads, r.Minutes = r.Setup.summary(l.bench.Studio), r.Setup.Cost.Minutes
		if l.maskOf(set.Members)&l.framing != 0 { // the framing is what was left open
			r.Leads += fmt.Sprintf(", a frame %s high", r.Setup.Setup.Camera.Frame)
		}
	}
	return r
}

// can decides whether a set of musts can hold together, as if the brief asked for no
// other: Yes with a set-up, No when that is proved, Unknown when something stays open.
func (h *hunt) can(keep []sat.Lit, tries int) (*Checked, sat.Outcome) {
	h.left, h.found = tries, false
	h.quick = h.l.p.Var() // what was set aside with other goals may do with these
	h.l.consider = h.l.maskOf(keep)
	clear(h.tried)
	h.left = tries / 2
	if got, outcome := h.best(append(slices.Clone(keep), h.quick), &ranks{}); outcome == sat.Yes {
		return got, outcome
	}
	if h.glance {
		return nil, sat.Unknown
	}
	h.left = tries
	return h.settle(keep)
}

// maskOf is a set of goals by their selectors.
func (l *lattice) maskOf(sel []sat.Lit) (m mask) {
	for i, s := range l.sel {
		if slices.Contains(sel, s) {
			m |= 1 << i
		}
	}
	return m
}

// goalsOf lists a set of goals in the brief's order.
func (l *lattice) goalsOf(m mask) (out []*constraints.Goal) {
	for i, g := range l.goals {
		if m.has(i) {
			out = append(out, g)
		}
	}
	return out
}

func assumed(goals []*constraints.Goal) (n int) {
	for _, g := range goals {
		if g.Assumed {
			n++
		}
	}
	return n
}

// shrinkOrder tries to drop first what the user did not write, then the rest from the
// end: what is left is told in the user's order.
func (l *lattice) shrinkOrder() (out []sat.Lit) {
	for _, assumed := range []bool{true, false} {
		for i, g := range slices.Backward(l.goals) {
			if g.Wish == 0 && g.Assumed == assumed {
				out = append(out, l.sel[i])
			}
		}
	}
	return out
}
