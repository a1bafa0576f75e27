package report

import (
	"slices"
	"strings"
	"unicode/utf8"

	"falloff/solver"
	"falloff/solver/explain"
)

// conflict prints why there is no plan: the sentence, the lines of the brief that take
// part, the argument with causes first and what was weighed; then what else collides, what
// can be left out and what helps. In full, everything that collides is argued.
func (p *page) conflict(a *solver.Answer, full bool) {
	p.argued("no plan: ", a.Conflict, len(a.Others) > 0)
	if full {
		for _, c := range a.Others {
			p.blank()
			p.argued("also: ", c, true)
		}
	} else {
		p.others(a.Others)
	}
	p.releases(a)
	p.help(a.Conflict)
}

// argued prints one set of goals that collide, with its argument.
func (p *page) argued(begin string, c *solver.Conflict, several bool) {
	d := &c.Argument
	p.blocks(d, explain.Headline, func(bl explain.Block) { p.para(0, 4, begin+p.units(bl.Text)) })
	p.quotes(d)
	p.argument(d)
	p.footing(c, several)
	p.blocks(d, explain.Weighed, func(bl explain.Block) { p.para(0, 2, "weighed: "+p.units(strings.TrimPrefix(bl.Text, "weighed: "))) })
	p.blocks(d, explain.Note, func(bl explain.Block) { p.para(0, 2, "note: "+p.units(bl.Text)) })
}

// others lists what else collides, each in a line.
func (p *page) others(list []*solver.Conflict) {
	if len(list) == 0 {
		return
	}
	p.blank()
	text := "More goals collide, whatever becomes of these"
	if len(list) > 1 {
		text += ", each line by itself"
	}
	p.para(0, 2, text+`; "falloff why" argues it:`)
	for _, c := range list {
		text := goalList(c.Goals)
		if len(c.Goals) == 1 {
			text += " cannot be met at all"
		}
		p.para(2, 2, text)
	}
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
func (p *page) footing(c *solver.Conflict, several bool) {
	p.blank()
	text := "Proved for every position of the lights and every setting in the stated ranges; frame heights and backdrop distances go in the stated steps."
	switch {
	case c.KitAlone:
		text += " The kit and the room fail by themselves, whatever the brief asks."
	case !c.Minimal:
		text += " A limit stopped the shrinking: some of the lines above may not be needed."
	case len(c.Goals) == 2:
		text += " Without either of the two lines the other can hold."
	case len(c.Goals) > 2 && several:
		text += " Without any one of the lines above the others of them can hold together."
	case len(c.Goals) > 2:
		text += " Without any one of the lines above the rest can hold."
	}
	p.para(0, 2, text)
}
