package picture

import (
	"math"
	"testing"

	"falloff/cmd/internal/report/draw"
	"falloff/model/light"
)

// A flat diffuse face has the intensity of a cosine: half of it, a stop, at 60 deg, and a
// sixteenth, four stops, at acos(1/16) = 86.4 deg. Law 2 gives cos^3: half at acos(2^(-1/3))
// = 37.5 deg. A ball shines all ways.
func TestHalfBeam(t *testing.T) {
	flat := light.Emitter{Face: light.Face{Kind: light.Rect, W: 0.6, H: 0.9}}
	dish := light.Emitter{Face: light.Face{Kind: light.Disc, W: 0.42}, Law: 2}
	for _, c := range []struct {
		e     light.Emitter
		stops float64
		want  float64
	}{{flat, 1, 60}, {flat, 4, 86.417}, {dish, 1, 37.467}, {light.Emitter{Face: light.Face{Kind: light.Ball, W: 0.05}}, 1, 90}} {
		for _, along := range []bool{true, false} {
			if got := halfBeam(c.e, along, c.stops) * 180 / math.Pi; math.Abs(got-c.want) > 0.01 {
				t.Errorf("%v, %v stops: %.3f deg, want %.3f", c.e.Face.Kind, c.stops, got, c.want)
			}
		}
	}
}

// The outline of a square with points inside and on its edges is the square.
func TestHull(t *testing.T) {
	got := hull([]draw.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 2, Y: 2}, {X: 0, Y: 2}, {X: 0, Y: 1}, {X: 0, Y: 0}})
	area := 0.0
	for i, p := range got {
		q := got[(i+1)%len(got)]
		area += (p.X*q.Y - q.X*p.Y) / 2
	}
	if len(got) != 4 || math.Abs(area) != 4 {
		t.Errorf("%v", got)
	}
}

// Between measured places the curve is exact for a parabola, as Catmull-Rom splines are,
// away from the edge where it is cut off.
func TestBetweenIsExactForParabolas(t *testing.T) {
	f := func(x float64) float64 { return 3*x*x - 2*x + 1 }
	for x := 2.0; x < 8; x += 0.13 {
		if got := between(func(k int) float64 { return f(float64(k)) }, x); math.Abs(got-f(x)) > 1e-9 {
			t.Errorf("%v: %v, want %v", x, got, f(x))
		}
	}
}

// Ticks are round and few.
func TestTick(t *testing.T) {
	for _, c := range []struct {
		span float64
		most int
		want float64
	}{{10, 5, 2}, {20, 10, 2}, {1, 6, 0.2}, {7, 10, 1}, {0.5, 5, 0.1}, {300, 9, 50}} {
		if got := tick(c.span, c.most); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v in %d: %v, want %v", c.span, c.most, got, c.want)
		}
	}
}

// The hours of a clock, by hand.
func TestClock(t *testing.T) {
	for want, at := range map[string]draw.Point{"12 o'clock": {X: 0, Y: 1}, "3 o'clock": {X: 1, Y: 0}, "6 o'clock": {X: 0.01, Y: -1}, "9 o'clock": {X: -1, Y: 0}, "10 o'clock": {X: -0.87, Y: 0.5}, "2 o'clock": {X: 0.87, Y: 0.5}} {
		if got := clock(at); got != want {
			t.Errorf("%v: %s, want %s", at, got, want)
		}
	}
}
