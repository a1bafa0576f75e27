package report

import (
	"io"
	"math"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Curve prints how far one quantity goes for several values of another.
func Curve(w io.Writer, s *inventory.Studio, b *constraints.Brief, c *solver.Curve, st Style) error {
	if c.Answer.Outcome != solver.Found {
		return Answer(w, s, b, c.Answer, st)
	}
	p := newPage(st)
	p.names(s)
	p.para(0, 2, capital(c.Quantity.Title)+" against "+c.By.Title+", under "+quoted(b.Name)+" in the studio "+quoted(s.Name)+":")
	p.blank()
	ends := endsOf(c.Quantity)
	rows := [][]string{{c.By.Name}}
	for _, e := range ends {
		rows[0] = append(rows[0], e.name, "beyond")
	}
	open := false
	for _, x := range c.Points {
		row := []string{constraints.Show(x.At, c.By.Unit)}
		for _, e := range ends {
			value, beyond := p.endCells(c.Quantity, x, e.of(&x))
			row = append(row, value, beyond)
			open = open || strings.HasPrefix(beyond, "open")
		}
		rows = append(rows, row)
	}
	p.grid(rows)
	text := `"beyond" is the nearest value that is proved out of reach.`
	if open {
		text += ` Where steps between the two stay open it says so.`
	}
	p.para(0, 0, text)
	for _, x := range c.Points {
		for _, e := range ends {
			if k := e.of(&x); k != nil {
				p.blank()
				p.para(0, 2, capital(e.name)+" at "+constraints.Show(x.At, c.By.Unit)+": "+p.shownBy(s, c.Quantity, k.Setup)+onlyWith(k))
			}
		}
	}
	return p.flush(w)
}

// curveEnd is one of the two lines of a curve.
type curveEnd struct {
	name string
	of   func(*solver.Point) *solver.EndOf
}

func endsOf(q *constraints.Quantity) (out []curveEnd) {
	if q.Low.Name != "" {
		out = append(out, curveEnd{firstWords(q.Low.Name), func(p *solver.Point) *solver.EndOf { return p.Low }})
	}
	if q.High.Name != "" {
		out = append(out, curveEnd{firstWords(q.High.Name), func(p *solver.Point) *solver.EndOf { return p.High }})
	}
	return out
}

// firstWords leaves out what stands behind a comma.
func firstWords(s string) string {
	first, _, _ := strings.Cut(s, ",")
	return first
}

func (p *page) endCells(q *constraints.Quantity, x solver.Point, e *solver.EndOf) (value, beyond string) {
	switch {
	case x.Outcome == solver.Cannot:
		return "cannot", ""
	case e == nil:
		return "open", ""
	}
	value = p.units(reached(e, q))
	switch {
	case e.Most:
		return value, "-"
	case math.IsNaN(e.Beyond):
		return value, "open"
	case !e.Proved:
		return value, "open to " + p.units(constraints.Show(e.Beyond, q.Unit))
	}
	return value, p.units(constraints.Show(e.Beyond, q.Unit))
}

func onlyWith(e *solver.EndOf) string {
	if text := onlyKit(e); text != "" {
		return "; only with " + text
	}
	return ""
}
