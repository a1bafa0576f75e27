package picture

import (
	"fmt"

	"falloff/cmd/internal/report/draw"
	"falloff/model/colour"
)

// Coloured reports whether any light has a gel.
func (s *Set) Coloured() bool {
	for i := range s.Lights {
		if s.Lights[i].coloured() {
			return true
		}
	}
	return false
}

// Spectra is the spectrum of every gelled light, with and without its gel, and the colour
// in which it draws white in a picture balanced for the key.
func (s *Set) Spectra() *draw.Picture {
	groups := s.alike()
	const each, top, foot = 33, 4, 4
	p := s.picture("spectra", "Colour of the gelled lights", top+each*float64(len(groups))+foot)
	p.Says = "Spectra of the gelled lights."
	for i, g := range groups {
		y := top + each*float64(i)
		s.spectrum(p, g, y, y+each-13, i == len(groups)-1)
		for _, l := range g {
			p.Says += fmt.Sprintf(" Light %d, %s: %s.", l.Number, l.Name, l.Report.Words)
		}
	}
	return p
}

// alike puts gelled lights of one spectrum together.
func (s *Set) alike() [][]*Light {
	var out [][]*Light
next:
	for i := range s.Lights {
		l := &s.Lights[i]
		if !l.coloured() {
			continue
		}
		for k, g := range out {
			if g[0].Set.Gel == l.Set.Gel && g[0].Tint.XYZ == l.Tint.XYZ {
				out[k] = append(g, l)
				continue next
			}
		}
		out = append(out, []*Light{l})
	}
	return out
}

func (s *Set) spectrum(p *draw.Picture, lights []*Light, y0, y1 float64, last bool) {
	l := lights[0]
	head, gel := s.Studio.Head(l.Set.Head), s.Studio.Gel(l.Set.Gel)
	bare := head.Spectrum(l.Set.Light == "lamp")
	filter := gel.Filter()
	const from, to = 400, 700
	strongest := 0.0
	for i, v := range bare {
		if w := colour.Wavelength(i); w >= from && w <= to {
			strongest = max(strongest, v)
		}
	}
	c := chart{p, draw.Point{X: 8, Y: y0}, draw.Point{X: 76, Y: y1}, draw.Point{X: from}, draw.Point{X: to, Y: 1.05}}
	var clear, gelled []draw.Point
	for i, v := range bare {
		if w := colour.Wavelength(i); w >= from && w <= to {
			clear = append(clear, c.at(w, v/strongest))
			gelled = append(gelled, c.at(w, v*filter.T[i]/strongest))
		}
	}
	area := append([]draw.Point{c.at(from, 0)}, gelled...)
	p.Path("beam", append(area, c.at(to, 0)), true, "style", "fill:"+s.swatch(l)+";fill-opacity:.5")
	p.Path("d3", clear, false)
	p.Path("d1", gelled, false)
	p.Path("axis", []draw.Point{c.a, {X: c.a.X, Y: c.b.Y}, c.b}, false)
	for w := 400.0; w <= 700; w += 50 {
		p.Line("axis", c.at(w, 0), draw.Point{X: c.x(w), Y: c.b.Y + 1})
		if int(w)%100 == 0 {
			text := plain(w)
			if w == 700 {
				text += " nm"
			}
			p.Text("small", draw.Point{X: c.x(w), Y: c.b.Y + 4.6}, draw.Middle, text)
		}
	}
	if last {
		p.Text("small muted", draw.Point{X: (c.a.X + c.b.X) / 2, Y: c.b.Y + 9}, draw.Middle, "dotted: without the gel")
	}
	for i, l := range lights {
		p.Badge(draw.Point{X: 84 + 6*float64(i), Y: y0 + 3}, l.number())
	}
	p.Rect("patch", draw.Point{X: 81 + 6.5*float64(len(lights)), Y: y0}, draw.Point{X: draw.Width - 4, Y: y0 + 10}, "style", "fill:"+s.swatch(l))
	look := colour.Look(l.Tint.XYZ.AtY(1), s.Stage.White.AtY(1))
	for i, t := range []string{gel.Label(), fmt.Sprintf("hue %.0f\u00b0", look.H)} {
		p.Text("small", draw.Point{X: 81, Y: y0 + 15 + 4.4*float64(i)}, draw.Start, t)
	}
}
