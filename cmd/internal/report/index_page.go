package report

import (
	"io"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// IndexPage writes a page that compares ranked set-ups side by side. Sheets are those of
// the answer's set-ups, and names the pages that they are on.
func IndexPage(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer, sheets []*Sheet, names []string, st Style) error {
	st.Width = endless
	p := newPage(st)
	p.names(s)
	var m markup
	m.document(b.Name, func() {
		m.in("header", func() {
			m.one("h1", b.Name)
			m.one("p", p.verdict(s, b, a), "class", "verdict")
		})
		if len(a.Setups) > 1 {
			p.compare(&m, s, a.Setups, names)
		}
		m.in("div", func() {
			for i, sheet := range sheets {
				p.card(&m, sheet, names[i], i+1)
			}
		}, "class", "cards")
	})
	_, err := io.WriteString(w, m.text.String())
	return err
}

func (p *page) verdict(s *inventory.Studio, b *constraints.Brief, a *solver.Answer) string {
	if a.Outcome != solver.Found {
		text := "Undecided: a limit was reached before a set-up was found, and nothing was proved."
		if a.Open != "" {
			text += " Open: " + stopped(p.units(a.Open))
		}
		if len(a.Setups) > 0 {
			text += " The nearest so far does not meet every must."
		}
		return text
	}
	text := plural(len(a.Setups), "set-up") + " in the studio " + quoted(s.Name) + ", best first."
	if a.Proved {
		return text + " Proved: nothing that can be dialled and taped ranks above the first."
	}
	return text + " Not proved to be the best: " + stopped(p.units(a.Open))
}

// compare is the table of all set-ups, each linked to its sheet.
func (p *page) compare(m *markup, s *inventory.Studio, setups []*solver.Checked, names []string) {
	rows := comparison(s, setups)
	head := append([]string{}, rows[0]...)
	head[0] = "set-up"
	m.in("table", func() {
		m.in("thead", func() {
			m.in("tr", func() {
				for _, h := range head {
					m.one("th", h, "scope", "col")
				}
			})
		})
		m.in("tbody", func() {
			for i, r := range rows[1:] {
				m.in("tr", func() {
					m.in("td", func() { m.one("a", "set-up "+r[0], "href", names[i]) }, "data-head", head[0])
					for k, c := range r[1:] {
						m.one("td", c, "data-head", head[k+1])
					}
				})
			}
		})
	}, "class", "stack")
	m.one("p", "Spare is the smallest margin of any goal; below 1.0 it is fragile.", "class", "soft")
}

// card is one set-up beside the others: how it looks, how it stands, what it gives up.
func (p *page) card(m *markup, sheet *Sheet, name string, n int) {
	c := sheet.set
	m.in("section", func() {
		m.in("h2", func() { m.one("a", "Set-up "+itoa(n), "href", name) })
		m.one("p", capital(summary(sheet.studio, c))+".")
		if c.Differs != "" {
			m.one("p", "Against the best: "+stopped(p.units(c.Differs)))
		}
		m.one("p", effort(c)+" Spare "+oneDecimal(c.Cost.Tight)+"; "+fragile(closeMargins(c)), "class", "soft")
		if !c.Holds() {
			m.one("p", p.units(failures(c)), "class", "verdict")
		}
		for _, d := range sheet.faces() {
			m.in("figure", func() {
				m.raw(d.SVG())
				m.one("figcaption", d.Title+".")
			})
		}
	}, "class", "card")
}

// closeMargins counts what the column "spare" calls fragile, of goals that hold: also those
// that are told as metered or unsure, which c.Fragile leaves out.
func closeMargins(c *solver.Checked) (n int) {
	for _, g := range c.Goals {
		for _, part := range g.Parts {
			if g.Holds && g.Goal.Wish == 0 && part.Room() < 1 {
				n++
			}
		}
	}
	return n
}

func fragile(n int) string {
	switch n {
	case 0:
		return "nothing is fragile."
	case 1:
		return "one margin is fragile."
	}
	return itoa(n) + " margins are fragile."
}
