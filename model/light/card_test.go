package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"falloff/model/geom"
)

// A silver card against throwing rays from points of the light to points of the card and on
// to the receiver, with the same lobe and nothing else in common.
func TestSilverCardAgainstRays(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	q, n := geom.Vec{Z: 1.3}, geom.Vec{X: 1, Y: 0.3}.Unit()
	for _, lobe := range []float64{5, 20} {
		for _, e := range []Emitter{{Face: Face{Rect, 0.6, 0.9}}, {Face: Face{Disc, 0.45, 0.45}, Law: 2}} {
			p := Pose{At: geom.Vec{X: -1, Y: 0.8, Z: 1.8}, Aim: q}
			c := Card{At: geom.Vec{X: 0.7, Y: 0.3, Z: 1.2}, W: 0.6, H: 0.9, Rho: 0.8, Mirror: 0.7, Lobe: lobe}
			c.Normal = q.Sub(c.At).Add(p.At.Sub(c.At)).Unit()
			got, want := CardBounce(e, p, c, q, n), rays(e, p, c, q, n, rng)
			if math.Abs(got-want) > 0.02*want {
				t.Errorf("%v, lobe %g: %g, by rays %g", e.Face, lobe, got, want)
			}
		}
	}
}

func rays(e Emitter, p Pose, c Card, q, n geom.Vec, rng *rand.Rand) float64 {
	const count = 400000
	face, card := p.Aim.Sub(p.At).Unit(), c.Normal.Unit()
	fu, fv := geom.Axes(face)
	cu, cv := geom.Axes(card)
	a, b := e.Face.half()
	sum, tried := 0.0, 0
	for range count {
		x, y := a*(2*rng.Float64()-1), b*(2*rng.Float64()-1)
		if e.Face.Kind == Disc && math.Hypot(x, y) > a {
			continue
		}
		tried++
		from := p.At.Add(fu.Mul(x)).Add(fv.Mul(y))
		at := c.At.Add(cu.Mul(c.W * (rng.Float64() - 0.5))).Add(cv.Mul(c.H * (rng.Float64() - 0.5)))
		in, out := at.Sub(from), q.Sub(at)
		cosFace, cosIn := in.Unit().Dot(face), -in.Unit().Dot(card)
		cosOut, cosQ := out.Unit().Dot(card), -out.Unit().Dot(n)
		if cosFace <= 0 || cosIn <= 0 || cosOut <= 0 || cosQ <= 0 {
			continue
		}
		// Luminance of the face per lumen, times what the card makes of it toward q.
		l := e.peak() * math.Pow(cosFace, e.Law) * e.Face.Area() * cosFace * cosIn / in.Dot(in)
		mirrored := in.Unit().Sub(card.Mul(2 * in.Unit().Dot(card)))
		f := c.Rho * ((1-c.Mirror)/math.Pi + c.Mirror*(c.Lobe+2)/(2*math.Pi)*math.Pow(max(0, mirrored.Dot(out.Unit())), c.Lobe))
		sum += l * f * cosOut * cosQ / out.Dot(out) * c.W * c.H
	}
	return sum / float64(tried)
}

// A silver card throws more than a matt one where it mirrors, and less beside.
func TestSilverCardIsNarrow(t *testing.T) {
	e, p := Emitter{Face: Face{Rect, 0.6, 0.9}}, Pose{At: geom.Vec{X: -1, Y: 1, Z: 1.5}, Aim: geom.Vec{Z: 1.5}}
	c := Card{At: geom.Vec{X: 1, Z: 1.5}, Normal: geom.Vec{X: -1}, W: 0.6, H: 0.9, Rho: 0.8}
	silver := c
	silver.Mirror, silver.Lobe = 0.8, 15
	// The mirror image of the light in the card's plane is at (3, 1, 1.5): its ray goes on to (-1, -1).
	in, beside := geom.Vec{X: -1, Y: -1, Z: 1.5}, geom.Vec{X: 0, Y: 1.2, Z: 1.5}
	toward := func(q geom.Vec) geom.Vec { return c.At.Sub(q).Unit() }
	if s, m := CardBounce(e, p, silver, in, toward(in)), CardBounce(e, p, c, in, toward(in)); s < 1.5*m {
		t.Errorf("in the mirror direction silver gives %g, matt %g", s, m)
	}
	if s, m := CardBounce(e, p, silver, beside, toward(beside)), CardBounce(e, p, c, beside, toward(beside)); s > m/1.5 {
		t.Errorf("beside it silver gives %g, matt %g", s, m)
	}
}

// The quicker form against CardBounce, matt and silver, on receivers about the card.
func TestLitCard(t *testing.T) {
	e, p := Emitter{Face: Face{Rect, 0.6, 0.9}}, Pose{At: geom.Vec{X: -1, Y: 0.9, Z: 1.8}, Aim: geom.Vec{Z: 1.3}}
	for _, mirror := range []float64{0, 0.8} {
		c := Card{At: geom.Vec{X: 0.6, Y: 0.2, Z: 1.2}, Normal: geom.Vec{X: -1, Y: 0.2, Z: 0.1}.Unit(), W: 0.6, H: 0.9, Rho: 0.85, Mirror: mirror, Lobe: 10}
		lit := c.Lit(e, p)
		for _, q := range []geom.Vec{{Z: 1.3}, {X: -0.2, Y: -0.3, Z: 1.3}, {Y: -2, Z: 1.5}, {X: -1, Y: -2, Z: 0.6}} {
			n := c.At.Sub(q).Unit()
			if got, want := lit.At(q, n), CardBounce(e, p, c, q, n); math.Abs(got-want) > 0.01*want {
				t.Errorf("mirror %g at %v: %g, by CardBounce %g", mirror, q, got, want)
			}
		}
	}
}
