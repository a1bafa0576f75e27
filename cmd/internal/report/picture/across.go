package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// Across is the tone of the backdrop along a level line behind the head: each light by
// itself and all together, as far as the paper goes, with what the frame takes in.
func (s *Set) Across() *draw.Picture {
	paper := s.Stage.Paper
	_, y, _ := s.Stage.See(s.Stage.Eye)
	z := s.Stage.Behind(0, y).Z
	frame := s.Stage.Behind(1, y).X
	wide := min(paper.HalfWidth, max(1.6*frame, 0.6))
	const steps = 36
	at := func(i int) float64 { return -wide + 2*wide*float64(i)/steps }
	sum := make([]float64, steps+1)
	each := make([][]float64, len(s.Lights))
	hi := math.Inf(-1)
	for n := range s.Lights {
		l := &s.Lights[n]
		thrown := make([]float64, thrownX)
		if len(s.Stage.Cards) > 0 {
			for k := range thrown {
				thrown[k] = l.Thrown(geom.Vec{X: -wide + 2*wide*float64(k)/(thrownX-1), Y: paper.Y, Z: z})
			}
		}
		for i := range steps + 1 {
			e := l.Straight(geom.Vec{X: at(i), Y: paper.Y, Z: z})
			e += max(0, between(func(k int) float64 { return thrown[min(max(k, 0), thrownX-1)] }, float64(i*(thrownX-1))/steps))
			each[n] = append(each[n], s.Stage.Grey(e))
			sum[i] += e
		}
	}
	for i := range sum {
		sum[i] = s.Stage.Grey(sum[i])
		hi = max(hi, sum[i])
	}
	p := s.picture("across", "The backdrop behind the head, from side to side", 76)
	if math.IsInf(hi, -1) {
		hi = 0
	}
	top := math.Ceil(hi + 0.2)
	lo := top - 6
	c := chart{p, draw.Point{X: 10, Y: 8}, draw.Point{X: draw.Width - 14, Y: 64}, draw.Point{X: -wide, Y: lo}, draw.Point{X: wide, Y: top}}
	p.Rect("band", draw.Point{X: c.x(-frame), Y: c.a.Y}, draw.Point{X: c.x(frame), Y: c.b.Y})
	per, unit := 100.0, "cm"
	if s.imperial() {
		per, unit = 1/0.0254, "in"
	}
	c.axes(tick(2*wide*per, 9)/per, 1, unit+" from the spot behind the head: \u2190 camera left \u00b7 camera right \u2192", "tone, stops from middle grey",
		func(v float64) string { return plain(math.Round(math.Abs(v) * per)) }, signed)
	c.Fit("small muted", "in the frame", []draw.Spot{{At: draw.Point{X: c.x(0), Y: c.a.Y + 4}, Anchor: draw.Middle}})
	line := func(class string, v []float64) {
		c.curve(class, -wide, wide, func(x float64) float64 {
			f := (x + wide) / (2 * wide) * steps
			i := min(int(f), steps-1)
			return v[i] + (v[i+1]-v[i])*(f-float64(i))
		})
	}
	var ends, sizes []float64
	var names []string
	for n := range s.Lights {
		line(dash(n+1), each[n])
		if e := each[n][steps]; e >= lo && e <= top {
			ends, sizes, names = append(ends, c.y(e)), append(sizes, 6), append(names, s.Lights[n].number())
		}
	}
	line("heavy", sum)
	ends, sizes, names = append(ends, c.y(max(lo, sum[steps]))), append(sizes, 5), append(names, "all")
	for i, y := range draw.Spread(ends, sizes, c.a.Y, c.b.Y) {
		x := c.b.X + 4
		p.Line("leader", draw.Point{X: c.b.X, Y: ends[i]}, draw.Point{X: x - 2.6, Y: y})
		if names[i] == "all" {
			p.Text("small strong", draw.Point{X: x - 2, Y: y + 1.1}, draw.Start, "all")
		} else {
			p.Badge(draw.Point{X: x, Y: y}, names[i])
		}
	}
	mid := sum[steps/2]
	p.Says = fmt.Sprintf("Tone of the backdrop along a line behind the head: %+.1f stops in the middle, %+.1f and %+.1f at the left and right edge of what is drawn.", mid, sum[0], sum[steps])
	return p
}
