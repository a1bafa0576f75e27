package report

import (
	"slices"
	"strings"
	"unicode/utf8"

	"falloff/constraints"
	"falloff/solver"
	"falloff/solver/explain"
)

// conflict prints why there is no plan: the sentence, the lines of the brief that take
// part, the argument with causes first, what was weighed, and what helps.
func (p *page) conflict(b *constraints.Brief, c *solver.Conflict) {
	d := &c.Argument
	p.blocks(d, explain.Headline, func(bl explain.Block) { p.para(0, 4, "no plan: "+p.units(bl.Text)) })
	p.quotes(d)
	p.argument(d)
	p.footing(c)
	p.blocks(d, explain.Weighed, func(bl explain.Block) { p.para(0, 2, "weighed: "+p.units(strings.TrimPrefix(bl.Text, "weighed: "))) })
	p.blocks(d, explain.Note, func(bl explain.Block) { p.para(0, 2, "note: "+p.units(bl.Text)) })
	p.help(c)
}

func (p *page) blocks(d *explain.Doc, k explain.Kind, each func(explain.Block)) {
	for _, bl := range d.Blocks {
		if bl.Kind == k {
			each(bl)
		}
	}
}

// quotes prints the user's lines, places in one column.
func (p *page) quotes(d *explain.Doc) {
	column := 0
	p.blocks(d, explain.Quote, func(bl explain.Block) { column = max(column, utf8.RuneCountInString(short(bl))+3) })
	if column == 0 {
		return
	}
	p.blank()
	p.blocks(d, explain.Quote, func(bl explain.Block) { p.beside(2, min(column, p.Width/2), short(bl), bl.Text) })
}

// short is file:line, without the column: the whole line takes part.
func short(bl explain.Block) string {
	if !bl.Place.Known() {
		return "(assumed)"
	}
	return bl.Place.File.Name + ":" + itoa(bl.Place.Line)
}

func (p *page) argument(d *explain.Doc) {
	cited := map[int]bool{}
	markCited(d.Blocks, cited)
	begun := false
	for _, bl := range d.Blocks {
		if bl.Kind != explain.Step && bl.Kind != explain.Conclusion {
			continue
		}
		if !begun {
			p.blank()
			begun = true
		}
		p.step(bl, 0, cited)
	}
}

func markCited(blocks []explain.Block, cited map[int]bool) {
	for _, bl := range blocks {
		for _, n := range bl.Uses {
			cited[n] = true
		}
		markCited(bl.Parts, cited)
	}
}

// step prints one line of the argument. Only a line that a later one rests on shows its
// number, at its end.
func (p *page) step(bl explain.Block, indent int, cited map[int]bool) {
	text := p.units(resting(bl))
	if bl.Number > 0 && cited[bl.Number] {
		text += " (" + itoa(bl.Number) + ")"
	}
	p.para(indent, 2, text)
	for _, part := range bl.Parts {
		p.step(part, indent+2, cited)
	}
}

// resting adds the numbers that a line rests on, unless its own words give them.
func resting(bl explain.Block) string {
	var by []string
	for _, n := range slices.Sorted(slices.Values(bl.Uses)) {
		if mark := "(" + itoa(n) + ")"; !strings.Contains(bl.Text, mark) && !slices.Contains(by, mark) {
			by = append(by, mark)
		}
	}
	if len(by) == 0 {
		return bl.Text
	}
	text, end := bl.Text, ""
	if n := len(text); n > 0 && strings.ContainsRune(".:", rune(text[n-1])) {
		text, end = text[:n-1], text[n-1:]
	}
	return text + ", by " + list(by) + end
}

// footing says how far the proof reaches.
func (p *page) footing(c *solver.Conflict) {
	p.blank()
	text := "Proved for every position of the lights and every setting in the stated ranges; frame heights and backdrop distances go in the stated steps."
	switch {
	case c.KitAlone:
		text += " The kit and the room fail by themselves, whatever the brief asks."
	case !c.Minimal:
		text += " A limit stopped the shrinking: some of the lines above may not be needed."
	case len(c.Goals) == 2:
		text += " Without either of the two lines the other can hold."
	case len(c.Goals) > 2:
		text += " Without any one of the lines above the rest can hold."
	}
	p.para(0, 2, text)
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
		if h.Leads != "" {
			after += "; then " + p.units(h.Leads)
		}
		if p.Width < 72 || column > p.Width/2 {
			p.para(2, 2, text)
			p.para(6, 0, after)
		} else {
			p.beside(2, column, text, after)
		}
	}
}
