package colour_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/colour"
	"falloff/model/unit"
)

// A reference illuminant renders as itself. The daylight of a nominal temperature lies a
// few kelvin off it on the measured scale, which costs some hundredths.
func TestReferencesRenderFully(t *testing.T) {
	for _, kelvin := range []unit.Kelvin{1500, 2700, 3200, 3999, 4999, 5010, 5600, 6504, 7500, 10000, 20000} {
		s := colour.Planck(kelvin)
		var err error
		if kelvin >= 5000 {
			if s, err = colour.Daylight(kelvin); err != nil {
				t.Fatal(err)
			}
		}
		r, ok := colour.CRI(&s)
		if !ok || r.Tinted {
			t.Errorf("%.0f K: ok %v, tinted %v", kelvin, ok, r.Tinted)
		}
		for i, ri := range r.R {
			closeTo(t, fmt.Sprintf("R%d at %.0f K", i+1, kelvin), ri, 100, .1)
		}
		if kelvin > 4000 && kelvin < 5000 {
			continue // Rf blends there
		}
		f, _ := colour.TM30(&s)
		closeTo(t, "Rf", f.Rf, 100, .1)
		closeTo(t, "Rg", f.Rg, 100, .1)
	}
}

func TestRenditionRefused(t *testing.T) {
	red, err := colour.ParseCurve("0.01 + 0.86 rise(640, 4)")
	if err != nil {
		t.Fatal(err)
	}
	lamp := colour.Planck(5600)
	behind := red.Filter(&lamp)
	hot := colour.Planck(40000)
	for name, s := range map[string]colour.Spectrum{"dark": {}, "red gel": behind, "40 000 K": hot, "not a number": {40: math.NaN()}} {
		if r, ok := colour.CRI(&s); ok {
			t.Errorf("%s: Ra %g", name, r.Ra)
		}
		if f, ok := colour.TM30(&s); ok {
			t.Errorf("%s: Rf %g", name, f.Rf)
		}
	}
	// Equal energy lies 0.008 from the daylight of its temperature, CIE A on its reference.
	e, a := illuminant(t, "E"), illuminant(t, "A")
	if r, _ := colour.CRI(&e); !r.Tinted {
		t.Error("E is not tinted")
	}
	if r, _ := colour.CRI(&a); r.Tinted {
		t.Error("A is tinted")
	}
}

// Rendition does not depend on the power of a light, no index is above 100, Rf is not
// below 0, and a gel never makes a number that is none.
func TestRenditionOfGels(t *testing.T) {
	gels := colour.GenericGels()
	rapid.Check(t, func(t *rapid.T) {
		s, err := colour.Source(unit.Kelvin(rapid.Float64Range(1000, 25000).Draw(t, "kelvin")))
		if err != nil {
			t.Fatal(err)
		}
		gel := gels[rapid.IntRange(0, len(gels)-1).Draw(t, "gel")].Gel()
		s = gel.Filter(&s)
		brighter := s
		k := rapid.Float64Range(1e-6, 1e6).Draw(t, "power")
		for i := range brighter {
			brighter[i] *= k
		}
		r, ok := colour.CRI(&s)
		r2, ok2 := colour.CRI(&brighter)
		f, fok := colour.TM30(&s)
		f2, fok2 := colour.TM30(&brighter)
		if ok != ok2 || fok != fok2 {
			t.Fatalf("power decides: %v %v, %v %v", ok, ok2, fok, fok2)
		}
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-6*(1+math.Abs(a)) }
		if ok && !(near(r.Ra, r2.Ra) && near(r.R9(), r2.R9()) && r.Ra <= 100 && r.R9() <= 100) {
			t.Fatalf("%+v, brighter %+v", r, r2)
		}
		if fok && !(near(f.Rf, f2.Rf) && near(f.Rg, f2.Rg) && f.Rf >= 0 && f.Rf <= 100.001 && f.Rg > 0) {
			t.Fatalf("%+v, brighter %+v", f, f2)
		}
	})
}

// The embedded samples are the open ones, to the byte.
func TestEmbeddedSamples(t *testing.T) {
	for _, name := range []string{"cie_13_3_test_samples_5nm.csv", "cie_224_2017_ces99_5nm.csv"} {
		a, err := os.ReadFile("data/" + name)
		if err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile("../../testdata/open/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs from the open table", name)
		}
	}
}
