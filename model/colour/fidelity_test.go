package colour

import (
	"math"
	"testing"

	"falloff/model/unit"
)

// The sums of the 10 degree functions that CIE 15:2004 prints below its table, and the
// white points that it prints for the standard illuminants (both from memory; the last
// digits vary with the step and the rounding).
func TestWideObserver(t *testing.T) {
	o := wideObserver()
	near := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s = %.6f, want %.6f", what, got, want)
		}
	}
	perfect := Clear().T
	for c, want := range []float64{23.329353, 23.332036, 23.334153} {
		near("sum", dot(&perfect, &o[c]), want, 5e-6)
	}
	for name, w := range map[string][2]float64{
		"A": {.45117, .40594}, "C": {.31039, .31905}, "D50": {.34773, .35952}, "D55": {.33412, .34877},
		"D65": {.31382, .33100}, "D75": {.29968, .31740},
	} {
		s, ok := Illuminant(name)
		if !ok {
			t.Fatal(name)
		}
		x, y, z := dot(&s, &o[0]), dot(&s, &o[1]), dot(&s, &o[2])
		near(name+" x", x/(x+y+z), w[0], 2.5e-5)
		near(name+" y", y/(x+y+z), w[1], 2.5e-5)
	}
}

// A worked example of CIECAM02 on which two public implementations agree in all digits:
// XYZ 19.01 20 21.78 beside 95.05 100 108.88, adapting field 318.31 cd/m2, background
// 20 %, average surround. The degree of adaptation is that of CIE 159:2004.
func TestCIECAM02(t *testing.T) {
	const la = 318.31
	degree := 1 - math.Exp((-la-42)/92)/3.6
	v := newCAM02(XYZ{95.05, 100, 108.88}, la, 20, degree)
	j, m, h := v.appearance(XYZ{19.01, 20, 21.78})
	for _, c := range []struct {
		what           string
		got, want, tol float64
	}{
		// The figures are printed to six places.
		{"J", j, 41.731091, 1e-6}, {"M", m, .108842, 1e-6}, {"h", h, 219.048433, 1e-6},
	} {
		if !(math.Abs(c.got-c.want) <= c.tol) {
			t.Errorf("%s = %.6f, want %.6f", c.what, c.got, c.want)
		}
	}
	// The white itself has lightness 100.
	if j, _, _ := v.appearance(XYZ{95.05, 100, 108.88}); math.Abs(j-100) > 1e-9 {
		t.Errorf("J of the white is %g", j)
	}
}

// Between 4000 and 5000 K the reference of CIE 224:2017 is a blend: it renders fully (the
// blend's own temperature lies some kelvin off its nominal one, so not to the digit), and it joins the pure kinds without a step.
func TestBlendedReference(t *testing.T) {
	for _, kelvin := range []float64{4100, 4500, 4900} {
		s := fidelityReference(unit.Kelvin(kelvin))
		f, ok := TM30(&s)
		if !ok || math.Abs(f.Rf-100) > .2 {
			t.Errorf("%g K: Rf %g, %v", kelvin, f.Rf, ok)
		}
	}
	for _, edge := range []float64{4000, 5000} {
		a, b := fidelityReference(unit.Kelvin(edge-1e-6)), fidelityReference(unit.Kelvin(edge+1e-6))
		y := &wideObserver()[1]
		ka, kb := dot(&a, y), dot(&b, y)
		for i := range a {
			if d := a[i]/ka - b[i]/kb; math.Abs(d) > 1e-6 {
				t.Errorf("a step of %g at %g K", d, edge)
				break
			}
		}
	}
}
