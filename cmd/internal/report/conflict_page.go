package report

import (
	"io"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
	"falloff/solver/explain"
)

// ConflictPage writes why a brief cannot be met as a page: the same tree, in the same
// words, as the terminal prints.
func ConflictPage(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer, st Style) error {
	c := a.Conflict
	st.Width = endless
	p := newPage(st)
	p.names(s)
	var m markup
	m.document("No plan: "+b.Name, func() {
		m.in("header", func() {
			m.one("h1", "No plan")
			p.blocks(&c.Argument, explain.Headline, func(bl explain.Block) { m.one("p", p.units(bl.Text), "class", "verdict") })
			m.one("p", "Brief "+quoted(b.Name)+", studio "+quoted(s.Name)+".")
		})
		several := len(a.Others) > 0
		p.conflictQuotes(&m, &c.Argument)
		p.conflictArgument(&m, c, several)
		for _, c := range a.Others {
			p.blocks(&c.Argument, explain.Headline, func(bl explain.Block) { m.one("p", "Also: "+p.units(bl.Text), "class", "verdict") })
			p.conflictQuotes(&m, &c.Argument)
			p.conflictArgument(&m, c, several)
		}
		p.conflictReleases(&m, a)
		p.conflictHelp(&m, c)
	})
	_, err := io.WriteString(w, m.text.String())
	return err
}

// endless is wider than any line, for words that are wrapped elsewhere.
const endless = 1 << 20

// said is what a part of the terminal's report prints, in one line.
func (p *page) said(part func(*page)) string {
	q := newPage(p.Style)
	q.kit = p.kit
	part(q)
	return strings.TrimSpace(q.text.String())
}

func (p *page) conflictQuotes(m *markup, d *explain.Doc) {
	var rows [][]string
	p.blocks(d, explain.Quote, func(bl explain.Block) { rows = append(rows, []string{short(bl), bl.Text}) })
	if len(rows) == 0 {
		return
	}
	m.in("section", func() {
		m.one("h2", "The lines of the brief that collide")
		m.table("quote", []string{"Where", "What it asks"}, rows)
	})
}

func (p *page) conflictArgument(m *markup, c *solver.Conflict, several bool) {
	cited := map[int]bool{}
	markCited(c.Argument.Blocks, cited)
	m.in("section", func() {
		m.one("h2", "Why")
		var steps []explain.Block
		for _, bl := range c.Argument.Blocks {
			if bl.Kind == explain.Step || bl.Kind == explain.Conclusion {
				steps = append(steps, bl)
			}
		}
		p.conflictSteps(m, steps, cited)
		m.one("p", p.said(func(q *page) { q.footing(c, several) }))
		p.blocks(&c.Argument, explain.Weighed, func(bl explain.Block) {
			m.one("p", "Weighed: "+p.units(strings.TrimPrefix(bl.Text, "weighed: ")), "class", "soft")
		})
		p.blocks(&c.Argument, explain.Note, func(bl explain.Block) { m.one("p", "Note: "+p.units(bl.Text), "class", "soft") })
	}, "class", "argument")
}

// conflictSteps writes the steps of an argument, the cases of each inside it.
func (p *page) conflictSteps(m *markup, steps []explain.Block, cited map[int]bool) {
	if len(steps) == 0 {
		return
	}
	m.in("ul", func() {
		for _, bl := range steps {
			text := p.units(resting(bl))
			if bl.Number > 0 && cited[bl.Number] {
				text += " (" + itoa(bl.Number) + ")"
			}
			class := ""
			if bl.Kind == explain.Conclusion {
				class = "verdict"
			}
			m.in("li", func() {
				m.one("span", text)
				p.conflictSteps(m, bl.Parts, cited)
			}, "class", class)
		}
	})
}

// conflictReleases lists what can be left out so that the rest can hold.
func (p *page) conflictReleases(m *markup, a *solver.Answer) {
	if len(a.Releases) == 0 {
		return
	}
	m.in("section", func() {
		m.one("h2", "What can be left out")
		m.one("p", freeing(a.Releases))
		var rows [][]string
		for _, r := range a.Releases {
			text := goalList(r.Goals)
			if !r.Minimal {
				text += " (perhaps less than that)"
			}
			rows = append(rows, []string{capital(text), p.units(r.Leads)})
		}
		m.table("stack", []string{"Left out", "The set-up is then"}, rows)
		m.one("p", allFreed(a), "class", "soft")
	})
}

func (p *page) conflictHelp(m *markup, c *solver.Conflict) {
	m.in("section", func() {
		m.one("h2", "What helps")
		if len(c.Help) == 0 {
			m.one("p", capital(strings.TrimPrefix(p.said(func(q *page) { q.help(c) }), "help: "))+".")
			return
		}
		m.one("p", "Each of these was applied and planned again, and gave a plan.")
		var rows [][]string
		for _, h := range c.Help {
			cost := h.Cost
			if least := leastText(h.Moves); least != "" {
				cost += "; " + p.units(least)
			}
			rows = append(rows, []string{capital(p.units(h.Text)), cost, p.units(h.Leads)})
		}
		m.table("stack", []string{"Change", "Costs", "The set-up is then"}, rows)
	})
}
