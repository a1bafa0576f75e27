package photometry_test

import (
	"fmt"
	"strings"
	"testing"

	"falloff/model/geom"
	"falloff/model/light/photometry"
	"falloff/model/published"
)

// Values from outside this program: the hand example, and what can be worked out for
// simple lights.
func TestPublished(t *testing.T) {
	var all []published.Value
	w := ies(t, hand)
	for _, c := range published.Cases(t, "G-") {
		for _, h := range []float64{30, 150, 210, 330} {
			all = append(all, c.Value("", "", w.Intensity(deg(45), deg(h))))
		}
	}
	const byHand = "hand example of a file, worked by hand; linear in each angle"
	m := photometry.Mount{At: geom.Vec{Z: 3}, Aim: geom.Vec{Z: -1}, Zero: geom.Vec{X: 1}}
	all = append(all,
		published.Value{What: "I(0, any)", Want: 1500, Tolerance: 1e-9, Got: w.Intensity(0, deg(77)), Source: byHand},
		published.Value{What: "I(100), outside the data", Want: 0, Got: w.Intensity(deg(100), 0), Source: byHand},
		published.Value{What: "E on the axis at 3 m", Want: 166.667, Tolerance: 5e-4, Got: float64(w.Illuminance(m, geom.Vec{}, geom.Vec{Z: 1})), Source: byHand},
		published.Value{What: "flux", Want: 2948.24, Tolerance: .005, Got: w.Lumens(), Source: "the same, integrated apart from this program"},
		// Chords of a quarter of a degree lie 2.4e-6 below.
		published.Value{What: "flux of 1000 cd that falls with the cosine", Want: 3141.59, Tolerance: .02, Got: ies(t, cosine(1, 1000, 0.25, false)).Lumens(), Source: "Lambert 1760: pi I"},
	)
	// An even source of 10,000 lm 3 m up, (Phi/4 pi) h/d^3, 0 to 5 m beside it. A summary of
	// CIE 171:2006 that is about prints other values at 1, 2, 3 and 5 m, which are wrong.
	even := ies(t, "IESNA91\nTILT=NONE\n1 10000 1 2 1 1 2 0 0 0\n1 1 0\n0 180\n0\n795.774715 795.774715\n")
	for r, want := range []float64{88.419, 75.494, 50.933, 31.261, 19.099, 12.042} {
		e := float64(even.Illuminance(m, geom.Vec{X: float64(r)}, geom.Vec{Z: 1}))
		all = append(all, published.Value{What: fmt.Sprintf("E of an even 10,000 lm 3 m up, %d m beside", r), Want: want, Tolerance: 6e-4, Got: e, Source: "(flux / 4 pi) h / d^3 by hand; the light is that of CIE 171:2006"})
	}
	klm := eulumdat(t, ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}}))
	all = append(all, published.Value{What: "EULUMDAT, 250 cd per 1000 lm for 2400 lm", Want: 600, Tolerance: 1e-9, Got: klm.Intensity(0, 0), Source: "docs.rs/eulumdat: values are candela per 1000 lm"})
	comma := strings.Replace(ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}}), "\n250", "\n250,0", 1)
	all = append(all, published.Value{What: "EULUMDAT, with a decimal comma", Want: 600, Tolerance: 1e-9, Got: eulumdat(t, comma).Intensity(0, 0), Source: "docs.rs/eulumdat: decimal commas occur"})
	published.Report(t, "model/light/photometry", all)
}
