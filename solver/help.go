package solver

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
)

// Limits on the changes that are looked at.
const (
	maxHelp   = 5
	maxTries  = 40
	helpTries = 40 // candidates for one change
)

// help looks for the smallest moves of numbers, then applies other changes, mildest
// first, and keeps those that give a set-up.
func (h *hunt) help(a *Answer, o Options) {
	c := a.Conflict
	if !c.KitAlone {
		c.Help = h.amounts(a)
		slices.SortStableFunc(c.Help, func(x, y Help) int { return cmp.Compare(x.minor, y.minor) })
	}
	numbers := len(c.Help)
	for _, ch := range h.changes(a) {
		if len(c.Help) == max(maxHelp, numbers+2) || c.Tried == maxTries || h.ctx.Err() != nil {
			return
		}
		if slices.ContainsFunc(c.Help, func(x Help) bool { return stem(x.Text) == stem(ch.Text) }) {
			continue // more of what helps already
		}
		c.Tried++
		if k := h.solved(ch, o); k != nil {
			h.tell("helps: %s", ch.Text)
			c.Help = append(c.Help, Help{Text: ch.Text, Cost: ch.Cost, Leads: k.summary(h.changed), Minutes: k.Cost.Minutes})
		}
	}
}

// changes lists what the goals that collide offer, mildest first, each once.
func (h *hunt) changes(a *Answer) (all []constraints.Change) {
	b := h.l.bench
	seen := map[string]bool{}
	add := func(ch constraints.Change) {
		if !seen[ch.Text] {
			seen[ch.Text] = true
			all = append(all, ch)
		}
	}
	goals := a.Conflict.Goals
	if a.Conflict.KitAlone {
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
	slices.SortStableFunc(all, func(x, y constraints.Change) int { return cmp.Compare(x.Minor, y.Minor) })
	return all
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
	again := newLattice(&constraints.Bench{Studio: studio, Brief: brief, Flat: h.l.bench.Flat, Places: h.l.bench.Places}, brief.Goals, false)
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
