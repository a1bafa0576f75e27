package people

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/geom"
)

// The ray from the light, mirrored at the place that Glint gives, must go to the lens: the
// law of reflection, checked with the mirrored vector and not with the half angle.
func TestGlintMirrorsTowardTheLens(t *testing.T) {
	look, right, up := geom.Vec{Y: 1}, geom.Vec{X: 1}, geom.Vec{Z: 1}
	rapid.Check(t, func(t *rapid.T) {
		az := rapid.Float64Range(-3, 3).Draw(t, "az")
		el := rapid.Float64Range(-1.5, 1.5).Draw(t, "el")
		to := geom.Polar(az, el)
		x, y, ok := Glint(to.Mul(1.7), look, right, up)
		if !ok {
			return
		}
		z := math.Sqrt(Cornea*Cornea - x*x - y*y)
		n := geom.Vec{X: x, Y: z, Z: y}.Mul(1 / Cornea)
		out := n.Mul(2 * n.Dot(to)).Sub(to)
		if d := out.Sub(look).Len(); d > 1e-9 {
			t.Fatalf("the mirrored ray misses the lens by %v", d)
		}
	})
}

// A convex mirror of radius R shows a far light at an angle a off its axis R/2 a from the
// middle, for small a (any textbook of optics: its focal length is R/2).
func TestGlintOfAFarLight(t *testing.T) {
	const a = 0.01
	x, y, ok := Glint(geom.Polar(a, 0), geom.Vec{Y: 1}, geom.Vec{X: 1}, geom.Vec{Z: 1})
	if !ok || y != 0 || math.Abs(x-Cornea/2*a) > 1e-8 {
		t.Errorf("%v %v %v, want %v", x, y, ok, Cornea/2*a)
	}
	if _, _, ok := Glint(geom.Vec{Y: -1}, geom.Vec{Y: 1}, geom.Vec{X: 1}, geom.Vec{Z: 1}); ok {
		t.Error("a light straight behind is mirrored")
	}
}
