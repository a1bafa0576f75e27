package report

import (
	"cmp"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/solver"
)

// status is one word for how a goal stands.
func status(g *solver.GoalResult) string {
	switch {
	case !g.Holds && g.Goal.Wish > 0:
		return "missed"
	case !g.Holds:
		return "fails"
	}
	word := "holds"
	for _, part := range g.Parts {
		switch {
		case part.Doubt > 0 && part.Margin().Lo < part.Doubt:
			return "meter"
		case part.Room() < 1:
			word = "fragile"
		}
	}
	return word
}

func (p *page) goals(c *solver.Checked) {
	if len(c.Goals) == 0 {
		return
	}
	p.heading("Goals")
	seen := map[string]bool{}
	for i := range c.Goals {
		seen[p.goal(&c.Goals[i])] = true
	}
	if seen["meter"] {
		p.para(blockIndent, 0, `"meter": it holds as computed, but the margin is inside the doubt of the kit's data. Meter first.`)
	}
}

// goal prints how one goal stands, and returns that in one word.
func (p *page) goal(g *solver.GoalResult) string {
	word := status(g)
	name := g.Goal.Name()
	if g.Goal.Wish > 0 {
		name += " (wish " + itoa(g.Goal.Wish) + ")"
	} else if g.Goal.Assumed {
		name += " (assumed)"
	}
	text := name + ": " + p.units(strings.TrimPrefix(g.Sentence, g.Goal.Name()+": "))
	if m := p.margins(g); m != "" && g.Holds {
		text += "; " + m
	}
	p.entry(word, text)
	return word
}

// margins words how far inside what was wanted the numbers of a goal are, the tightest
// first. What fails says itself by how much. Times and f-numbers are left out: their
// differences say nothing to a photographer.
func (p *page) margins(g *solver.GoalResult) string {
	parts := slices.Clone(g.Parts)
	slices.SortStableFunc(parts, func(a, b constraints.Part) int { return cmp.Compare(a.Room(), b.Room()) })
	var out []string
	for _, part := range parts {
		m := part.Margin().Lo
		if !(m > 1e-6) || m > 1e200 || part.Unit == constraints.InSeconds || part.Unit == constraints.InFNumber {
			continue // met exactly, or without end
		}
		text := p.gap(m, part.Unit) + " to spare"
		if part.What != "" && len(g.Parts) > 1 {
			text = part.What + " " + text
		}
		out = append(out, text)
		if len(out) == 2 {
			break
		}
	}
	return strings.Join(out, ", ")
}

// limits prints what the room and the kit allow: those that are not kept, and in a
// verbose report all.
func (p *page) limits(c *solver.Checked) {
	if len(c.Limits) == 0 {
		return
	}
	p.heading("Limits of room and kit")
	kept := 0
	for _, l := range c.Limits {
		switch {
		case !l.Holds:
			p.entry("fails", l.What+": "+stopped(p.units(l.Sentence)))
		case p.Verbose:
			p.entry("holds", l.What+": "+stopped(p.units(l.Sentence)))
		default:
			kept++
		}
	}
	switch kept {
	case 0:
	case len(c.Limits):
		p.entry("holds", "all "+itoa(kept))
	default:
		p.entry("holds", "the other "+itoa(kept))
	}
}

// sentences prints a titled list.
func (p *page) sentences(title string, items []string) {
	if len(items) == 0 {
		return
	}
	p.heading(title)
	for _, s := range items {
		p.para(blockIndent, 2, "- "+stopped(p.units(s)))
	}
}
