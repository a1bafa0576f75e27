package light

import (
	"math"
	"testing"
)

func TestGuideNumbersRoundTrip(t *testing.T) {
	for _, bcps := range []float64{350, 2000, 8000} {
		if got := BeamOfGuideNumberFeet(GuideNumberFeet(bcps, 100, GuideNumberC), 100, GuideNumberC); math.Abs(got/bcps-1) > 1e-12 {
			t.Errorf("%v cd s come back as %v", bcps, got)
		}
	}
}

func TestExposureIdentities(t *testing.T) {
	near := func(name string, got, want, tol float64) {
		t.Helper()
		if math.Abs(got-want) > tol {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	near("round trip", IncidentN(Needed(PlaneC, 5.6, 200), 1, 200, PlaneC), 5.6, 1e-12)
	// An equal amount adds one stop.
	near("contamination", Contamination(100, 800, 1./8), 1, 1e-12)
}

func TestGridOfAngle(t *testing.T) {
	if g := GridOfAngle(Square, 90*3.14159265358979/180); math.Abs(g.K-1) > 1e-9 {
		t.Errorf("a 90 degree grid has K = 1, not %v", g.K)
	}
}
