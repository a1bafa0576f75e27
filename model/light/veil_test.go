package light

import (
	"math"
	"testing"

	"falloff/model/geom"
)

// The definition of the glare index: a lens that looks into an even field of luminance L has
// a veil of index times L. A disc so large that it fills what the lens sees is such a field;
// a white patch of luminance L has pi L on it.
func TestVeilOfAnEvenField(t *testing.T) {
	const r, index = 50.0, 0.02
	e := Emitter{Face: Face{Disc, 2 * r, 2 * r}}
	p := Pose{At: geom.Vec{Y: 0.1}, Aim: geom.Vec{}}
	l := 1 / (math.Pi * e.Face.Area()) // luminance per lumen of a Lambertian face
	if got, want := Veil(e, p, geom.Vec{}, geom.Vec{Y: 1}, index), index*math.Pi*l; math.Abs(got-want) > 1e-4*want {
		t.Errorf("veil %g, want %g", got, want)
	}
}

// By hand: a bare 1 lumen ball 2 m off, 60 deg from the axis: 1/(4 pi 4) cos 60.
func TestVeilOfABareBulb(t *testing.T) {
	e := Emitter{Face: Face{Ball, 0.05, 0.05}}
	at := geom.Polar(math.Pi/3, 0).Mul(2)
	if got, want := Veil(e, Pose{At: at, Aim: geom.Vec{}}, geom.Vec{}, geom.Vec{Y: 1}, 0.01), 0.01/(4*math.Pi*4)*0.5; math.Abs(got-want) > 1e-12 {
		t.Errorf("veil %g, want %g", got, want)
	}
}
