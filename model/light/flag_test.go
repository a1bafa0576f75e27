package light

import (
	"math"
	"testing"

	"falloff/model/geom"
	"pgregory.net/rapid"
)

// A flag against laying a fine raster over the face and asking of each point whether the
// straight line to the receiver goes through the flag.
func TestFlagAgainstRaster(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawEmitter(t)
		if e.Face.Kind == Ball || e.Beam != nil { // beams: TestFlagsBeforeABeam
			return
		}
		p := Pose{At: geom.Vec{}, Aim: drawUnit(t, "axis")}
		q := drawUnit(t, "toward").Mul(between(t, 0.6, 3, "r"))
		n := q.Mul(-1 / q.Len()).Add(drawUnit(t, "tilt").Mul(0.7)).Unit()
		f := Flag{At: q.Mul(between(t, 0.1, 0.9, "along")).Add(drawUnit(t, "off").Mul(between(t, 0, 0.4, "by"))),
			Normal: drawUnit(t, "flag"), W: between(t, 0.05, 1.2, "fw"), H: between(t, 0.05, 1.2, "fh")}
		all := e.Illuminance(p, q, n)
		// The raster's share, for at a slant its sum is no better than its steps.
		bare, lit := raster(e, p, Flag{At: q.Mul(-1), Normal: q}, q, n)
		if all > 0 && lit < 400 { // a narrow beam falls between its points
			return
		}
		got, want := e.Past(p, f, q, n), 0.0
		if bare > 0 {
			past, _ := raster(e, p, f, q, n)
			want = all * past / bare
		}
		// A raster of 200 x 200 sees each of four edges to a two-hundredth of the face at worst. At a slant
		// where a narrow face gives next to nothing, that is all that is asked of it.
		if math.Abs(got-want) > 0.02*all+1e-5*e.OnAxis(q.Len()) {
			t.Fatalf("past the flag %g, by raster %g, without it %g", got, want, all)
		}
	})
}

// raster is the mean over the face, and from how many points light comes.
func raster(e Emitter, p Pose, f Flag, q, n geom.Vec) (mean float64, lit int) {
	const side = 200
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	w := see(p, q, n)
	if w.h <= 0 {
		return 0, 0
	}
	a, b := e.Face.half()
	count := 0
	for i := range side {
		for j := range side {
			x, y := a*((2*float64(i)+1)/side-1), b*((2*float64(j)+1)/side-1)
			if e.Face.Kind == Disc && math.Hypot(x, y) > a || e.Face.Kind == Octagon && math.Abs(x)+math.Abs(y) > a*math.Sqrt2 {
				continue
			}
			count++
			if w.g(x, y) > 0 && !f.hides(p.At.Add(u.Mul(x)).Add(v.Mul(y)), q) {
				if x := e.through(w, x, y); x > 0 {
					mean += x
					lit++
				}
			}
		}
	}
	return mean / float64(count), lit
}

// By symmetry and reasoning: half a face hidden along its middle takes half the light on the
// axis; a flag that covers the face takes all; one behind the receiver or behind the face
// takes none. The shadow of a flag close to the receiver is that of the flag alone: what is
// left of a far face is all or nothing.
func TestFlagByReasoning(t *testing.T) {
	p := Pose{At: geom.Vec{Y: 2, Z: 1.5}, Aim: geom.Vec{Z: 1.5}}
	q, n := geom.Vec{Z: 1.5}, geom.Vec{Y: 1}
	for _, e := range []Emitter{
		{Face: Face{Rect, 0.6, 0.9}}, {Face: Face{Disc, 0.5, 0.5}}, {Face: Face{Octagon, 1.2, 1.2}},
		{Face: Face{Rect, 0.6, 0.9}, Law: 2}, {Face: Face{Disc, 0.18, 0.18}, Law: 4, Grid: Grid{Hex, 2}},
	} {
		all := e.Illuminance(p, q, n)
		flag := func(y, x, w float64) float64 {
			return e.Past(p, Flag{At: geom.Vec{X: x, Y: y, Z: 1.5}, Normal: geom.Vec{Y: 1}, W: w, H: 4}, q, n)
		}
		for _, c := range []struct {
			what      string
			got, want float64
		}{
			{"half", flag(1, 1, 2), all / 2}, {"covered", flag(1, 0, 3), 0}, {"behind the receiver", flag(-0.5, 0, 3), all},
			{"behind the face", flag(2.5, 0, 3), all}, {"beside", flag(1, 3, 2), all},
		} {
			if math.Abs(c.got-c.want) > 2e-3*all {
				t.Errorf("%v law %g, %s: %g of %g, want %g", e.Face, e.Law, c.what, c.got, all, c.want)
			}
		}
	}
}

// Light past a flag and past its complement add up: two flags that share an edge.
func TestFlagAddsUp(t *testing.T) {
	e := Emitter{Face: Face{Rect, 1.2, 0.4}}
	p := Pose{At: geom.Vec{X: 0.5, Y: 1.4, Z: 2}, Aim: geom.Vec{Z: 1.4}}
	q, n := geom.Vec{Z: 1.4}, geom.Vec{X: 0.3, Y: 1, Z: 0.2}.Unit()
	left := Flag{At: geom.Vec{X: -4.7, Y: 0.8, Z: 1.6}, Normal: geom.Vec{Y: 1}, W: 10, H: 10}
	right := Flag{At: geom.Vec{X: 5.3, Y: 0.8, Z: 1.6}, Normal: geom.Vec{Y: 1}, W: 10, H: 10}
	all, a, b := e.Illuminance(p, q, n), e.Past(p, left, q, n), e.Past(p, right, q, n)
	if math.Abs(a+b-all) > 1e-9*all || a == 0 || b == 0 {
		t.Errorf("%g and %g are not the parts of %g", a, b, all)
	}
}
