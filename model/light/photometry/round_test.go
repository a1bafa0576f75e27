package photometry_test

import (
	"math"
	"testing"

	"falloff/model/light"
)

func TestRound(t *testing.T) {
	// The hand example: planes of 1500, 1200, 450, 0 and 1500, 900, 150, 0 cd.
	w := ies(t, hand)
	from, cd, backward := w.Round()
	for k, want := range []float64{1500, 1050, 300, 0} {
		near(t, "mean", cd[k], want, rounding)
	}
	if backward || from[1] != deg(30) {
		t.Errorf("%v, backward %v", from, backward)
	}
	// At 60 deg one plane is half of the mean: one stop under; the other 0.585 over.
	typical, most := w.Unevenness()
	near(t, "most", float64(most), 1, rounding)
	// Rings of -cos: 0..30 for the first angle, 0..60 and 30..90 for the next two. The two
	// planes stand at the ends of a quarter turn, so they count alike.
	low, high := math.Log2(900./1050), math.Log2(1200./1050)
	near60, far60 := math.Log2(450./300), math.Log2(150./300)
	r0, r30, r60 := 1-math.Cos(math.Pi/6), 0.5, math.Cos(math.Pi/6)
	want := math.Sqrt((r30*(low*low+high*high)/2 + r60*(near60*near60+far60*far60)/2) / (r0 + r30 + r60))
	near(t, "typical", float64(typical), want, 1e-9)
	// What is round has none, and a light upside down shines to its other end.
	round := ies(t, cosine(2, 1000, 5, true))
	if typical, most := round.Unevenness(); typical != 0 || most != 0 {
		t.Errorf("round: %v, %v", typical, most)
	}
	from, cd, backward = round.Round()
	if !backward || from[0] != 0 || math.Abs(cd[0]-1000) > 1e-6 {
		t.Errorf("backward %v: %v at %v", backward, cd[0], from[0])
	}
	// The beam of a face adds up to the lumens of the file: 0.1 % for its steps.
	_, flux, err := light.NewBeam(from, cd)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "flux", flux, round.Lumens(), 1e-3)
}
