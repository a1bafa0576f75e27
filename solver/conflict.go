package solver

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// explain shrinks the goals that cannot all hold to a minimal set, proves that set again
// from nothing, tells the proof, and looks for changes that help.
func (h *hunt) explain(o Options) *Conflict {
	l := h.l
	c := &Conflict{}
	h.tell("cannot: looking for the goals that collide")
	core, minimal := l.p.ShrinkWith(l.shrinkOrder(), func(keep []sat.Lit) sat.Outcome {
		h.left = shrinkTries
		l.consider = 0
		for i, s := range l.sel {
			if slices.Contains(keep, s) {
				l.consider |= 1 << i
			}
		}
		clear(h.tried) // with other goals the same gear may do
		_, outcome := h.any(keep)
		for i, g := range l.goals {
			if g.Wish == 0 && !l.consider.has(i) {
				h.tell("without %s and the like: %s", g.Name(), outcome)
			}
		}
		return outcome
	})
	c.Minimal = minimal
	for i, g := range l.goals {
		if slices.Contains(core, l.sel[i]) {
			c.Goals = append(c.Goals, g)
		}
	}
	c.KitAlone = len(c.Goals) == 0
	c.Argument = h.argue(c)
	if !o.NoHelp {
		h.help(c, o)
	}
	return c
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

// Limits on the changes that are looked at.
const (
	maxHelp     = 5
	maxTries    = 40
	helpTries   = 40 // candidates for one change
	shrinkTries = 24 // candidates for one goal that may not be needed
)

// help applies changes, mildest first, and keeps those that give a set-up.
func (h *hunt) help(c *Conflict, o Options) {
	b := h.l.bench
	type option struct {
		constraints.Change
		order int
	}
	var all []option
	seen := map[string]bool{}
	add := func(ch constraints.Change) {
		if !seen[ch.Text] {
			seen[ch.Text] = true
			all = append(all, option{ch, len(all)})
		}
	}
	goals := c.Goals
	if c.KitAlone {
		goals = b.Brief.Goals
	}
	for _, g := range goals {
		for ch := range g.Req.Relax(b) {
			add(ch)
		}
	}
	for _, ch := range h.more() {
		add(ch)
	}
	slices.SortStableFunc(all, func(x, y option) int { return cmp.Or(cmp.Compare(x.Minor, y.Minor), cmp.Compare(x.order, y.order)) })
	for _, ch := range all {
		if len(c.Help) == maxHelp || c.Tried == maxTries || h.ctx.Err() != nil {
			return
		}
		if slices.ContainsFunc(c.Help, func(x Help) bool { return stem(x.Text) == stem(ch.Text) }) {
			continue // more of what helps already
		}
		c.Tried++
		if k := h.solved(ch.Change, o); k != nil {
			h.tell("helps: %s", ch.Text)
			c.Help = append(c.Help, Help{Text: ch.Text, Cost: ch.Cost, Leads: k.summary(h.changed), Minutes: k.Cost.Minutes})
		}
	}
}

// stem is what a change is about: its words up to the first number, at most three.
func stem(text string) string {
	words := strings.Fields(text)
	n := 0
	for n < min(3, len(words)) && !strings.ContainsAny(words[n], "0123456789") {
		n++
	}
	return strings.Join(words[:n], " ")
}

// solved applies a change to copies and solves again; nil unless a set-up is found.
func (h *hunt) solved(ch constraints.Change, o Options) *Checked {
	brief, studio := h.l.bench.Brief.Clone(), constraints.CloneStudio(h.l.bench.Studio)
	ch.Apply(brief, studio)
	if len(constraints.Collisions(brief)) > 0 {
		return nil
	}
	again := newLattice(&constraints.Bench{Studio: studio, Brief: brief}, brief.Goals, false)
	got := newHunt(h.ctx, again, helpTries, nil).plan(Options{Count: 1, quick: true})
	if got.Outcome != Found {
		return nil
	}
	h.changed = studio
	return got.Setups[0]
}

// more offers one more of each item whose number the refutation rests on.
func (h *hunt) more() (out []constraints.Change) {
	for _, id := range h.short {
		class, item, ok := h.l.bench.Studio.Find(id)
		if !ok || class == "gel" || class == "stand" || class == "head" { // goals offer those themselves
			continue
		}
		out = append(out, constraints.Change{Text: fmt.Sprintf("bring one more: %s", item.Label()), Cost: "an item to borrow or hire", Minor: 4,
			Apply: func(_ *constraints.Brief, s *inventory.Studio) {
				if _, it, ok := s.Find(id); ok {
					it.Count++
				}
			}})
	}
	return out
}
