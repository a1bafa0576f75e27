package picture

import (
	"fmt"
	"image/color"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/constraints"
	"falloff/model/colour"
)

// rung is a row of the tone ladder: where something lies, in stops, with its doubt and
// what was wanted of it.
type rung struct {
	badge, name string
	at, doubt   float64
	lo, hi      float64 // wanted; infinite where nothing is
	goal        bool
}

// The ladder ends there: what is darker is drawn black, what is lighter white.
const (
	ladderLow  = -8
	ladderHigh = 8
)

// Tones is the tone ladder: each light alone, the face and the backdrop, then every goal
// that is told in stops, against its band.
func (s *Set) Tones() *draw.Picture {
	levels, goals := s.rungs()
	const top, row, head, foot = 3, 6.6, 6, 22
	n := len(levels) + len(goals)
	height := top + row*float64(n) + head + foot
	if len(goals) > 0 {
		height += head
	}
	p := s.picture("tones", "Tone ladder", height)
	lo, hi := ladder(append(levels, goals...))
	c := chart{p, draw.Point{X: 54, Y: top}, draw.Point{X: draw.Width - 4, Y: height - foot}, draw.Point{X: lo}, draw.Point{X: hi, Y: 1}}
	each(lo, hi, 1, func(v float64) {
		class := "grid"
		if v == 0 {
			class = "axis"
		}
		p.Line(class, draw.Point{X: c.x(v), Y: c.a.Y}, draw.Point{X: c.x(v), Y: c.b.Y})
		if hi-lo <= 10 || math.Mod(v, 2) == 0 {
			p.Text("small", draw.Point{X: c.x(v), Y: c.b.Y + 4.2}, draw.Middle, signed(v))
		}
	})
	y := c.a.Y
	write := func(title string, rungs []rung) {
		if len(rungs) == 0 {
			return
		}
		y += head
		p.Text("small muted", draw.Point{X: 1.5, Y: y - 1.6}, draw.Start, title)
		for _, r := range rungs {
			r.draw(p, c, y+row/2)
			y += row
		}
	}
	write("How strong and how bright", levels)
	write("Goals told in stops", goals)
	s.greyStrip(p, c)
	p.Says = "Levels and tones in stops; 0 is the camera's setting, or middle grey."
	for _, r := range append(levels, goals...) {
		p.Says += fmt.Sprintf(" %s %+.1f.", r.name, r.at)
	}
	return p
}

func ladder(rungs []rung) (lo, hi float64) {
	lo, hi = -3, 1
	for _, r := range rungs {
		lo, hi = min(lo, r.at-r.doubt), max(hi, r.at+r.doubt)
	}
	return max(ladderLow, math.Floor(lo-0.3)), min(ladderHigh, math.Ceil(hi+0.3))
}

func (r rung) draw(p *draw.Picture, c chart, y float64) {
	x := 1.5
	if r.badge != "" {
		p.Badge(draw.Point{X: x + 2.7, Y: y}, r.badge)
		x += badgeRoom
	}
	p.Text("small", draw.Point{X: x, Y: y + 1.1}, draw.Start, r.name)
	within := func(v float64) float64 { return c.x(min(max(v, c.lo.X), c.hi.X)) }
	if r.goal {
		a, b := within(r.lo), within(r.hi)
		p.Rect("band", draw.Point{X: a, Y: y - 2}, draw.Point{X: b, Y: y + 2})
		for _, e := range []struct{ v, x float64 }{{r.lo, a}, {r.hi, b}} {
			if e.v >= c.lo.X && e.v <= c.hi.X {
				p.Line("line", draw.Point{X: e.x, Y: y - 2}, draw.Point{X: e.x, Y: y + 2})
			}
		}
	}
	if r.doubt > 0 && r.at >= c.lo.X && r.at <= c.hi.X {
		a, b := within(r.at-r.doubt), within(r.at+r.doubt)
		p.Line("line", draw.Point{X: a, Y: y}, draw.Point{X: b, Y: y})
		for _, e := range []float64{a, b} {
			p.Line("line", draw.Point{X: e, Y: y - 0.9}, draw.Point{X: e, Y: y + 0.9})
		}
	}
	if x := within(r.at); r.at < c.lo.X || r.at > c.hi.X { // off the ladder: an arrow at its end
		tip := math.Copysign(1.6, r.at)
		p.Path("solid", []draw.Point{{X: x + tip, Y: y}, {X: x - tip/2, Y: y - 1.4}, {X: x - tip/2, Y: y + 1.4}}, true)
		return
	}
	p.Circle("dot", draw.Point{X: within(r.at), Y: y}, 1.1)
}

// greyStrip is how a grey of each tone is drawn, before any tone curve.
func (s *Set) greyStrip(p *draw.Picture, c chart) {
	const parts = 4 // to a stop
	y := c.b.Y + 6
	each(c.lo.X, c.hi.X-1.0/parts, 1.0/parts, func(v float64) {
		grey := colour.D65.AtY(0.18 * math.Exp2(v+0.5/parts))
		k := shade(grey, colour.D65.AtY(1))
		p.Rect("", draw.Point{X: c.x(v), Y: y}, draw.Point{X: c.x(v+1.0/parts) + 0.1, Y: y + 5}, "style", "fill:"+hex(k))
	})
	p.Rect("thin", draw.Point{X: c.a.X, Y: y}, draw.Point{X: c.b.X, Y: y + 5})
	p.Text("small", draw.Point{X: c.a.X - 2, Y: y + 3.6}, draw.End, "drawn as this grey")
	p.Text("small muted", draw.Point{X: (c.a.X + c.b.X) / 2, Y: y + 10}, draw.Middle, "stops from middle grey")
}

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// rungs lists what the ladder shows. What is not known or is without light is left out.
func (s *Set) rungs() (levels, goals []rung) {
	open := func(r rung) rung {
		r.lo, r.hi = math.Inf(-1), math.Inf(1)
		return r
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		levels = append(levels, open(rung{badge: l.number(), name: l.Name, at: float64(l.Report.Level), doubt: float64(l.Report.Doubt)}))
	}
	r := &s.Checked.Reading
	for _, z := range []struct {
		name string
		at   float64
	}{
		{"face, lit side", r.Exposure.Lo}, {"face, shadow side", r.Exposure.Lo - r.Ratio.Lo},
		{"backdrop, brightest", r.Bright.Lo}, {"backdrop, darkest", r.Dim.Lo},
	} {
		if math.Abs(z.at) < 30 {
			levels = append(levels, open(rung{name: z.name, at: z.at}))
		}
	}
	for _, g := range s.Checked.Goals {
		for _, part := range g.Parts {
			if g.Goal.Kind.Doc.Group == "camera" || part.Unit != constraints.InStops || !part.Got.IsPoint() || math.Abs(part.Got.Lo) > 30 {
				continue
			}
			name := g.Goal.Name()
			if part.What != "" && len(g.Parts) > 1 {
				name += ", " + part.What
			}
			goals = append(goals, rung{name: name, at: part.Got.Lo, doubt: part.Doubt, lo: part.Want.Lo, hi: part.Want.Hi, goal: true})
		}
	}
	return levels, goals
}
