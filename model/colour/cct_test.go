package colour

import (
	"math"
	"testing"

	"falloff/model/unit"
)

// The table's cubics against the sums over the spectrum of which they are made.
func TestLocusBetweenPoints(t *testing.T) {
	l := locus()
	worst := 0.0
	for i := range l[:len(l)-1] {
		for _, part := range []float64{0.1, 0.5, 0.77} {
			mired := l[i].mired + part*locusStep
			u, v, du, dv := l[i].between(&l[i+1], mired)
			wu, wv, wdu, wdv := onLocus(mired)
			worst = max(worst, math.Abs(u-wu), math.Abs(v-wv))
			if math.Abs(du-wdu) > 3e-7 || math.Abs(dv-wdv) > 3e-7 {
				t.Errorf("%g mired: slopes %g %g, by sums %g %g", mired, du, dv, wdu, wdv)
			}
		}
	}
	if worst > 2e-9 {
		t.Errorf("off by %g in u, v; the comment says 2e-9", worst)
	}
}

// A light made by stepping off the locus at a right angle has the temperature of the point
// that it was stepped from (the definition of CIE 015:2018).
func TestCCTOfSteps(t *testing.T) {
	for _, kelvin := range []float64{1100, 1800, 2700, 3200, 4000, 5000, 5600, 6500, 10000, 40000} {
		u, v, du, dv := onLocus(1e6 / kelvin)
		for _, duv := range []float64{-0.02, 0, 0.005, 0.03} {
			n := math.Hypot(du, dv)
			// The normal toward greater v.
			a, b := u-dv/n*duv, v+du/n*duv
			if du < 0 {
				a, b = u+dv/n*duv, v-du/n*duv
			}
			got, off, ok := CCT(fromUV(a, b))
			if !ok || math.Abs(1e6/float64(got)-1e6/kelvin) > 1e-3 || math.Abs(off-duv) > 1e-6 {
				t.Errorf("%g K, %g off: got %.3f K, %.6f off, %v", kelvin, duv, float64(got), off, ok)
			}
		}
	}
}

// fromUV inverts u = 4X/(X+15Y+3Z), v = 6Y/(X+15Y+3Z) at Y = 1 (CIE 1960).
func fromUV(u, v float64) XYZ {
	d := 6 / v
	x := u * d / 4
	return XYZ{x, 1, (d - x - 15) / 3}
}

// Warmer by a shift is that shift of a black body, to the 3 % that Wien's form leaves out at
// 700 nm and 5600 K: exp(-c2/(wavelength T)).
func TestWarmer(t *testing.T) {
	for _, kelvin := range []unit.Kelvin{2800, 5600} {
		s := Planck(kelvin).Warmer(20e-6)
		got, duv, ok := CCT(s.XYZ())
		if shift := 1e6/float64(got) - 1e6/float64(kelvin); !ok || math.Abs(shift-20) > 0.03*20 || math.Abs(duv) > 2e-4 {
			t.Errorf("%v: shifted by %.2f mired, %.5f off the locus", kelvin, shift, duv)
		}
	}
}

// Two sheets are one of twice the density (Bouguer), and twice half of one is the sheet.
func TestDenser(t *testing.T) {
	g, ok := GenericGelByName("amber")
	if !ok {
		t.Fatal("no amber")
	}
	double, twice, half := Stack(g, g), g.Denser(2), g.Denser(0.5)
	again := half.Denser(2)
	for i := range g.T {
		if math.Abs(double.T[i]-twice.T[i]) > 1e-12 || math.Abs(again.T[i]-g.T[i]) > 1e-12 {
			t.Fatalf("at %g nm: stacked %g, denser %g; half twice %g of %g", Wavelength(i), double.T[i], twice.T[i], again.T[i], g.T[i])
		}
	}
	if math.Abs(twice.At(571)-g.At(571)*g.At(571)) > 1e-12 {
		t.Error("between samples")
	}
}
