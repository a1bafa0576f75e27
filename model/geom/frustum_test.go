package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func between(t *rapid.T, lo, hi float64, name string) float64 {
	return lo + (hi-lo)*float64(rapid.IntRange(0, 1<<20).Draw(t, name))/(1<<20)
}

func drawVec(t *rapid.T, r float64, name string) Vec {
	return Vec{between(t, -r, r, name+" x"), between(t, -r, r, name+" y"), between(t, -r, r, name+" z")}
}

// By hand: a camera at 3 m looking at the origin, half angles 45 and arctan 1/2.
func TestFrustumByHand(t *testing.T) {
	f := FrustumToward(Vec{Y: 3}, Vec{}, 1, 0.5)
	for _, c := range []struct {
		p    Vec
		r    float64
		want float64
	}{
		{Vec{}, 0, -3 * 0.5 / math.Hypot(1, 0.5)},    // nearest side: the upper or lower one
		{Vec{X: 3}, 0, 0},                            // on a side plane
		{Vec{X: 4}, 0, 1 / math.Sqrt2},               // beside it
		{Vec{X: 4}, 0.2, 1/math.Sqrt2 - 0.2},         //
		{Vec{Z: 1.5}, 0, 0},                          // on the top plane
		{Vec{Y: 5}, 0, 2},                            // behind the camera: the apex is nearest
		{Vec{Z: 2.5}, 0.1, 1/math.Hypot(1, .5) - .1}, //
	} {
		if got := f.Outside(c.p, c.r); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v: %v, want %v", c.p, got, c.want)
		}
	}
}

func TestFrustumAgreesWithSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		camera := drawVec(t, 2, "camera")
		f := FrustumToward(camera, drawVec(t, 2, "target").Add(Vec{Y: 5}), between(t, 0.1, 1, "w"), between(t, 0.1, 1, "h"))
		p := drawVec(t, 4, "p")
		clear := f.Outside(p, 0)
		in := func(q Vec) bool {
			d := q.Sub(camera)
			z := d.Dot(f.Forward)
			return math.Abs(d.Dot(f.Up)) <= f.TanHalfHeight*z+1e-9 && math.Abs(d.Dot(f.Forward.Cross(f.Up))) <= f.TanHalfWidth*z+1e-9
		}
		if in(p) != (clear <= 1e-9) {
			t.Fatalf("inside is %v, clearance %v", in(p), clear)
		}
		// Nothing within the clearance changes sides.
		for range 30 {
			d := drawVec(t, 1, "d")
			if d.Len() == 0 {
				continue
			}
			q := p.Add(d.Unit().Mul(math.Abs(clear) * between(t, 0, 0.999, "r")))
			if in(q) != in(p) && math.Abs(clear) > 1e-6 {
				t.Fatalf("%v within %v of %v is on the other side", q, clear, p)
			}
			reach := q.Sub(p).Len()
			lo, hi := f.OutsideWithin(p, reach, 0.1)
			if x := f.Outside(q, 0.1); x < lo || x > hi {
				t.Fatalf("clearance %v outside [%v, %v]", x, lo, hi)
			}
		}
	})
}

// The clearance is not only safe but reached: some point at that distance is on the edge.
func TestFrustumClearanceIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := FrustumToward(Vec{Y: 3, Z: 1}, Vec{Z: 1}, between(t, 0.1, 1, "w"), between(t, 0.1, 1, "h"))
		p := drawVec(t, 4, "p")
		clear := f.Outside(p, 0)
		if clear < 0.05 {
			return
		}
		// Project on the pyramid by alternating projections on its half spaces (Dykstra 1983).
		right := f.Forward.Cross(f.Up)
		var normals []Vec
		for _, s := range []float64{-1, 1} {
			normals = append(normals, right.Mul(s).Sub(f.Forward.Mul(f.TanHalfWidth)).Unit(), f.Up.Mul(s).Sub(f.Forward.Mul(f.TanHalfHeight)).Unit())
		}
		x := p.Sub(f.Camera)
		var left [4]Vec
		for range 20000 {
			for i, n := range normals {
				y := x.Add(left[i])
				x = y.Sub(n.Mul(max(0, y.Dot(n))))
				left[i] = y.Sub(x)
			}
		}
		if d := x.Sub(p.Sub(f.Camera)).Len(); math.Abs(d-clear) > 1e-4 {
			t.Fatalf("clearance %v of %v, by projection %v", clear, p, d)
		}
	})
}

func TestSegments(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c, d := drawVec(t, 2, "a"), drawVec(t, 2, "b"), drawVec(t, 2, "c"), drawVec(t, 2, "d")
		box := Box{Vec{-0.5, -1, -0.7}, Vec{0.6, 0.8, 0.9}}
		near, hit := math.Inf(1), false
		const steps = 60
		for i := range steps + 1 {
			p := a.Lerp(b, float64(i)/steps)
			hit = hit || box.Clearance(p) >= 0
			near = min(near, SegmentDistance(p, c, d))
		}
		got := SegmentsDistance(a, b, c, d)
		step := b.Sub(a).Len() / steps / 2
		if got > near+1e-9 || got < near-step {
			t.Fatalf("distance %v, by steps %v", got, near)
		}
		if at, ok := box.SegmentHitsBox(a, b); hit && !ok {
			t.Fatal("the box is missed")
		} else if ok && box.Clearance(a.Lerp(b, at)) < -1e-9 {
			t.Fatalf("entered outside the box at %v", at)
		}
	})
	if !SegmentHitsDisc(Vec{Z: 1}, Vec{Z: -1, X: 0.4}, Vec{}, Vec{Z: 2}, 0.21) || SegmentHitsDisc(Vec{Z: 1}, Vec{Z: -1, X: 0.4}, Vec{}, Vec{Z: 2}, 0.19) {
		t.Error("the segment crosses the disc's plane 0.2 m from its centre")
	}
	if SegmentHitsDisc(Vec{Z: 1}, Vec{Z: 0.5}, Vec{}, Vec{Z: 1}, 1) {
		t.Error("the segment ends before the disc")
	}
}

func TestAxesAndPolar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		az, el := between(t, -3, 3, "az"), between(t, -1.5, 1.5, "el")
		n := Polar(az, el)
		u, v := Axes(n)
		if u.Z != 0 || u.Cross(v).Sub(n).Len() > 1e-12 || math.Abs(u.Dot(v)) > 1e-12 {
			t.Fatal("not a right-handed frame with u level")
		}
		if a, e := n.AzEl(); math.Abs(a-az) > 1e-9 || math.Abs(e-el) > 1e-9 {
			t.Fatalf("%v %v come back as %v %v", az, el, a, e)
		}
	})
}
