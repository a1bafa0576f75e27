package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// leanMost is how far a sitter may lean, in metres (common practice, no source).
const leanMost = 0.3

// Lean is how the key at the face changes when the sitter leans: toward the camera and
// back, and to either side.
func (s *Set) Lean() *draw.Picture {
	p := s.picture("lean", "When the sitter leans", 74)
	var key *Light
	for i := range s.Lights {
		if s.Lights[i].Role.String() == "key" {
			key = &s.Lights[i]
		}
	}
	if key == nil {
		p.Says = "This set-up has no key."
		p.Text("", draw.Point{X: 4, Y: 10}, draw.Start, "This set-up has no key.")
		return p
	}
	eye := s.Stage.Eye
	here := key.Facing(eye)
	change := func(dir geom.Vec) func(float64) float64 {
		return func(m float64) float64 { return math.Log2(key.Facing(eye.Add(dir.Mul(m))) / here) }
	}
	ways := []struct {
		name string
		f    func(float64) float64
	}{{"toward the camera (+) or back (\u2212)", change(geom.Vec{Y: 1})}, {"to camera right (+) or left (\u2212)", change(geom.Vec{X: 1})}}
	lo, hi := -0.5, 0.5
	for _, w := range ways {
		for _, m := range []float64{-leanMost, -leanMost / 2, leanMost / 2, leanMost} {
			if v := w.f(m); !math.IsInf(v, 0) && !math.IsNaN(v) {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
	}
	lo, hi = max(-4, math.Floor(lo*2)/2), min(4, math.Ceil(hi*2)/2)
	c := chart{p, draw.Point{X: 12, Y: 18}, draw.Point{X: draw.Width - 6, Y: 62}, draw.Point{X: -leanMost, Y: lo}, draw.Point{X: leanMost, Y: hi}}
	per, unit := 100.0, "cm"
	step := 0.1
	if s.imperial() {
		per, unit = 1/0.0254, "in"
		step = 4 * 0.0254
	}
	c.axes(step, tick(hi-lo, 6), unit+" that the face moves", "key at the face, stops", func(v float64) string { return signed(math.Round(v * per)) }, signed)
	c.Line("axis", c.at(-leanMost, 0), c.at(leanMost, 0))
	p.Says = "Change of the key at the face as the sitter leans."
	for i, w := range ways {
		c.curve(dash(i), -leanMost, leanMost, w.f)
		y := 3.5 + 5*float64(i)
		p.Line(dash(i), draw.Point{X: 46, Y: y}, draw.Point{X: 56, Y: y})
		p.Text("small", draw.Point{X: 58, Y: y + 1.1}, draw.Start, w.name)
		p.Says += fmt.Sprintf(" %s: %+.1f stops at %+.0f cm, %+.1f at %+.0f cm.", w.name, w.f(-0.1), -10.0, w.f(0.1), 10.0)
	}
	return p
}
