package report

import (
	"unicode/utf8"

	"falloff/constraints"
	"falloff/solver"
)

// releases tells what can be left out so that the rest can hold.
func (p *page) releases(a *solver.Answer) {
	if len(a.Releases) == 0 {
		return
	}
	p.blank()
	p.para(0, 2, freeing(a.Releases))
	for _, r := range a.Releases {
		text := goalList(r.Goals) + inFavour(r.Goals)
		if !r.Minimal {
			text += " (perhaps less than that)"
		}
		p.withAfter(text, "then "+p.units(r.Leads))
	}
	p.para(0, 2, allFreed(a))
}

// allFreed says whether that is all that there is.
func allFreed(a *solver.Answer) string {
	if a.Whole {
		return "That is all: nothing else collides, and leaving out less does not do."
	}
	return "There may be more: a limit was reached before every set of goals was settled."
}

// freeing introduces the list of releases.
func freeing(list []*solver.Release) string {
	switch {
	case len(list) == 1 && len(list[0].Goals) == 1:
		return "Leave this out and the rest can hold:"
	case len(list) == 1:
		return "Leave these out together and the rest can hold:"
	}
	for _, r := range list {
		if len(r.Goals) > 1 {
			return "Leave out the goals of any one of these lines and the rest can hold:"
		}
	}
	return "Leave out any one of these and the rest can hold:"
}

// inFavour says of which goals another must be written, for a brief without them is read
// with what is usual.
func inFavour(goals []*constraints.Goal) string {
	var names []string
	for _, g := range goals {
		if g.Returns() {
			names = append(names, g.Name())
		}
	}
	if len(names) == 0 {
		return ""
	}
	return ", and write a looser " + list(names)
}

// goalList names goals by kind and line: "rim (line 8) and soft (assumed)".
func goalList(goals []*constraints.Goal) string {
	var names []string
	for _, g := range goals {
		where := " (assumed)"
		if g.Place.Known() {
			where = " (line " + itoa(g.Place.Line) + ")"
		}
		names = append(names, g.Name()+where)
	}
	return list(names)
}

// withAfter prints what can be done, and below it what follows.
func (p *page) withAfter(text, after string) {
	p.para(2, 2, text)
	p.para(6, 0, after)
}

// help lists the changes that were applied and gave a plan.
func (p *page) help(c *solver.Conflict) {
	p.blank()
	switch {
	case len(c.Help) == 0 && c.Tried == 0:
		p.para(0, 2, "help: no change was tried")
		return
	case len(c.Help) == 0:
		p.para(0, 2, "help: none of "+plural(c.Tried, "change")+" tried was enough")
		return
	case len(c.Help) == 1:
		p.line("help: this gives a plan")
	default:
		p.line("help: each of these gives a plan")
	}
	column := 0
	for _, h := range c.Help {
		column = max(column, utf8.RuneCountInString(p.units(h.Text))+3)
	}
	for _, h := range c.Help {
		text := p.units(h.Text)
		after := "costs " + h.Cost
		if least := leastText(h.Moves); least != "" {
			after += "; " + p.units(least)
		}
		if h.Leads != "" {
			after += "; then " + p.units(h.Leads)
		}
		if p.Width < 72 || column > p.Width/2 {
			p.withAfter(text, after)
		} else {
			p.beside(2, column, text, after)
		}
	}
}

// leastText says how far it is proved that smaller moves do not help.
func leastText(moves []solver.Move) string {
	open := false
	for _, m := range moves {
		open = open || m.Open
	}
	switch {
	case len(moves) == 0:
		return ""
	case len(moves) > 1 && open:
		return "whether less of either is enough stayed open"
	case len(moves) > 1:
		return "less of either is proved not to be enough"
	case open && moves[0].Short == moves[0].Now:
		return "whether less is enough stayed open"
	case open:
		return moves[0].Short + " is proved not to be enough, and what lies between stayed open"
	}
	if moves[0].Short == moves[0].To { // alike as printed
		return "a step less is proved not to be enough"
	}
	return moves[0].Short + " is proved not to be enough"
}
