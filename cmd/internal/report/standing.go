package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/model/unit"
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
	switch g.Standing {
	case constraints.IfMeter:
		return "meter"
	case constraints.Unsure:
		return "unsure"
	}
	for _, part := range g.Parts {
		if part.Room() < 1 {
			return "fragile"
		}
	}
	return "holds"
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
		p.para(blockIndent, 0, `"meter": holds if its lights are metered as closely as said.`)
	}
	if seen["unsure"] {
		p.para(blockIndent, 0, `"unsure": holds as computed, by less than its doubt; see it in a test frame.`)
	}
}

// goalName says what a goal is called, and that it is a wish or was assumed.
func goalName(g *solver.GoalResult) string {
	name := g.Goal.Name()
	if g.Goal.Wish > 0 {
		return name + " (wish " + itoa(g.Goal.Wish) + ")"
	} else if g.Goal.Assumed {
		return name + " (assumed)"
	}
	return name
}

// goal prints how one goal stands, and returns that in one word.
func (p *page) goal(g *solver.GoalResult) string {
	word := status(g)
	text := goalName(g) + ": " + p.units(strings.TrimPrefix(g.Sentence, g.Goal.Name()+": "))
	if m := p.margins(g); m != "" && g.Holds {
		text += "; " + m
	}
	if g.Standing == constraints.IfMeter {
		text += "; holds if " + metered(g) + " metered within " + within(g.Within)
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
		if p.gap(m, part.Unit) == p.gap(0, part.Unit) {
			text = "just met"
		}
		text += p.doubt(part)
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

// doubt is the standard uncertainty of a part as an aside, where it can be read.
func (p *page) doubt(part constraints.Part) string {
	text := p.gap(part.Doubt, part.Unit)
	if part.Doubt <= 0 || text == p.gap(0, part.Unit) || strings.HasPrefix(text, "under") {
		return ""
	}
	return " (+-" + text + ")"
}

// metered names the lights that a goal rests on.
func metered(g *solver.GoalResult) string {
	var names []string
	for _, r := range g.Meter {
		names = append(names, r.String())
	}
	if len(names) == 1 {
		return "the " + names[0] + " is"
	}
	return list(names) + " are"
}

// within is a tolerance in stops.
func within(s unit.Stops) string {
	text := strings.TrimSuffix(strconv.FormatFloat(float64(s), 'f', 2, 64), "0") + nb
	if s > 1 {
		return text + "stops"
	}
	return text + "stop"
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
