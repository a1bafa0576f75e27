package colour_test

import (
	"math"
	"testing"

	"falloff/model/colour"
)

// closeTo checks one value against its reference.
func closeTo(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g +- %.2g", what, got, want, tol)
	}
}

func illuminant(t testing.TB, name string) colour.Spectrum {
	t.Helper()
	s, ok := colour.Illuminant(name)
	if !ok {
		t.Fatalf("no illuminant %q", name)
	}
	return s
}

// Far from the locus there is no colour temperature.
func TestCCTRefused(t *testing.T) {
	// A red and a blue gel are too far from the locus: an independent C program that does
	// not refuse returned 837 K and 999 972 K for such.
	s := colour.Planck(5600)
	for _, curve := range []string{"0.01 + 0.86 rise(640, 4)", "0.02 + 0.75 gauss(455, 32)", "0.85 * (1 - 0.93 gauss(540, 45))"} {
		g, _ := colour.ParseCurve(curve)
		if k, duv, ok := colour.CCT(colour.Tint(&s, &g)); ok {
			t.Errorf("%s: got %.0f K at Duv %.4f, want a refusal", curve, k, duv)
		}
	}
	if _, _, ok := colour.CCT(colour.XYZ{}); ok {
		t.Error("black has a CCT")
	}
}
