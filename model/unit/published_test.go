package unit_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"falloff/model/published"
	"falloff/model/unit"
)

const isoMarks = "ISO 516:2019, ISO 517: marks stand for powers of two (from memory)"

// Values from outside this program: what the engraved marks stand for, and mireds.
func TestPublished(t *testing.T) {
	var all []published.Value
	for _, c := range published.Cases(t, "F-true") {
		mark, _, _ := strings.Cut(c.Text("marked"), " ")
		var got float64
		if n, err := unit.Parse[unit.FNumber](mark); err == nil {
			got = n.True()
		} else if s, err := unit.Parse[unit.Shutter](mark + " s"); err == nil {
			got = s.True()
		} else {
			t.Fatalf("%s: %v", c.ID, err)
		}
		all = append(all, c.Value("", "", got))
	}
	// The series printed to six digits; half of the last is the tolerance.
	for _, w := range [][2]float64{
		{1.2, 1.259921}, {1.4, 1.414214}, {1.8, 1.781797}, {2.2, 2.244924}, {2.5, 2.519842}, {2.8, 2.828427}, {3.5, 3.563595}, {4.5, 4.489848},
		{5.6, 5.656854}, {6.3, 6.349604}, {7.1, 7.127190}, {9, 8.979696}, {11, 11.313708}, {13, 12.699208}, {14, 14.254379}, {22, 22.627417},
	} {
		all = append(all, published.Value{What: fmt.Sprintf("f/%v stands for", w[0]), Want: w[1], Tolerance: 6e-7, Got: unit.FNumber(w[0]).True(), Source: isoMarks})
	}
	for _, w := range [][2]float64{ // the error of using the mark, in stops, to three places
		{1.2, -.140}, {1.4, -.029}, {1.8, .029}, {2.2, -.058}, {2.5, -.023}, {3.5, -.052}, {4.5, .007}, {5.6, -.029}, {11, -.081}, {13, .068}, {22, -.081},
	} {
		got := 2 * math.Log2(w[0]/unit.FNumber(w[0]).True())
		all = append(all, published.Value{What: fmt.Sprintf("f/%v as engraved, stops off", w[0]), Want: w[1], Tolerance: 6e-4, Got: got, Source: isoMarks})
	}
	for _, w := range [][2]float64{
		{15, 16}, {20, 20.1587}, {25, 25.3984}, {30, 32}, {40, 40.3175}, {50, 50.7968}, {60, 64}, {80, 80.6349}, {100, 101.594}, {125, 128},
		{160, 161.270}, {200, 203.187}, {250, 256}, {320, 322.540}, {500, 512}, {1000, 1024}, {4000, 4096}, {8000, 8192},
	} {
		all = append(all, published.Value{What: fmt.Sprintf("1/%v s stands for 1/", w[0]), Want: w[1], Tolerance: 5e-6 * w[1], Got: 1 / unit.Shutter(1/w[0]).True(), Source: isoMarks})
	}
	for _, w := range [][2]float64{{100, 100}, {125, 125.992}, {160, 158.740}, {250, 251.984}, {320, 317.480}, {640, 634.960}, {1000, 1007.94}} {
		all = append(all, published.Value{What: fmt.Sprintf("ISO %v stands for", w[0]), Want: w[1], Tolerance: 5e-6 * w[1], Got: unit.ISO(w[0]).True(), Source: isoMarks})
	}
	all = append(all,
		published.Value{What: "5600 K in mired", Want: 178.571, Tolerance: 5e-4, Got: float64(unit.Kelvin(5600).Mired()), Source: "10^6/T by hand"},
		// "about 2950 to 3000 K", and 2962.34 by 10^6/(10^6/5600 + 159).
		published.Value{What: "5600 K behind a full orange conversion, +159 mired", Want: 2975, Tolerance: 25, Got: float64(unit.Kelvin(5600).Shifted(159)),
			Source: "tvtechnology.com/opinions/the-art-of-the-mired-measurement"})
	published.Report(t, "model/unit", all)
}
