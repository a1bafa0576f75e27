package unit

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A mark is a rounding of what it stands for. The coarsest are f/1.2 (0.14 stop) and
// 1/60 or 1/30 (0.09), so no mark is more than 0.15 stop off, and marks rise.
func TestScales(t *testing.T) {
	for k := -6; k <= 42; k++ {
		n := FNumberAt(k)
		if n.Thirds() != k || math.Abs(2*math.Log2(float64(n)/n.True())) > 0.165 { // f/0.56, 0.5 and 1.1 are rounder still
			t.Errorf("%v is third %d, not %d, off by %v", n, n.Thirds(), k, 2*math.Log2(float64(n)/n.True()))
		}
	}
	for k := -15; k <= 39; k++ {
		s := ShutterAt(k)
		if s.Thirds() != k || math.Abs(math.Log2(float64(s)/s.True())) > 0.15 {
			t.Errorf("%v is third %d, not %d", s, s.Thirds(), k)
		}
	}
	for k := -6; k <= 30; k++ {
		s := ISOAt(k)
		if s.Thirds() != k || math.Abs(math.Log2(float64(s)/s.True())) > 0.05 {
			t.Errorf("%v is third %d, not %d", s, s.Thirds(), k)
		}
	}
	f, s, i := FStops(), Shutters(), ISOs()
	if !slices.IsSorted(f) || f[0] != 1 || f[len(f)-1] != 64 || len(f) != 37 {
		t.Errorf("f-numbers %v", f)
	}
	if !slices.IsSorted(s) || s[0] != 1./8000 || s[len(s)-1] != 30 || len(s) != 55 {
		t.Errorf("shutter speeds %v", s)
	}
	if !slices.IsSorted(i) || i[0] != 50 || i[len(i)-1] != 102400 || len(i) != 34 {
		t.Errorf("ISO settings %v", i)
	}
	f[0], i[0] = 99, 99
	if FStops()[0] != 1 || ISOs()[0] != 50 {
		t.Error("a caller can change the scale")
	}
	if n := FNumberAt(45); math.Abs(float64(n)-181.02) > 0.01 { // 128 * sqrt 2
		t.Errorf("beyond the scale: %v", n)
	}
}

func TestDial(t *testing.T) {
	for s, want := range map[Stops][2]string{
		0: {"1/1", "100 %"}, -1: {"1/2", "50 %"}, -1.7: {"1/4 +0.3", "31 %"}, -0.1: {"1/2 +0.9", "93 %"},
		-5: {"1/32", "3.1 %"}, -8.5: {"1/512 +0.5", "0.28 %"}, -1.9999: {"1/4", "25 %"}, -0.04: {"1/1", "97 %"},
		0.5: {"+0.5 stops", "141 %"}, -30: {"-30 stops", "9.3e-08 %"},
	} {
		if f, p := DialFraction(s), DialPercent(s); f != want[0] || p != want[1] {
			t.Errorf("%v is %q and %q, want %q", float64(s), f, p, want)
		}
	}
	for text, want := range map[string]Stops{
		"1/4 +0.3": -1.7, "1/4+0.3": -1.7, "1/4 + 0.3": -1.7, "1/2 -0.3": -1.3, "full": 0, "1/1": 0, "50 %": -1, "-1.7 stops": -1.7,
		"1/8192": -13, "0.5": -2,
	} {
		got, err := ParseDial(text)
		if text == "0.5" { // neither a mark nor a percentage
			if err == nil {
				t.Errorf("%q read as %v", text, got)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("%q = %v, %v; want %v", text, float64(got), err, float64(want))
		}
	}
}

func TestDialRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Stops(rapid.Float64Range(lowestDial, 0).Draw(t, "s"))
		got, err := ParseDial(DialFraction(s))
		if err != nil || math.Abs(float64(got-s)) > 0.05+1e-9 { // rounded to a tenth
			t.Fatalf("%v dialled %q is %v, %v", s, DialFraction(s), got, err)
		}
		if s < -10 { // below 0.1 % exponents appear
			return
		}
		got, err = ParseDial(DialPercent(s))
		// Two digits: at worst 0.5 in 10, which is log2(1.05) = 0.07 stop.
		if err != nil || math.Abs(float64(got-s)) > 0.0705 {
			t.Fatalf("%v dialled %q is %v, %v", s, DialPercent(s), got, err)
		}
	})
}

// Tenths of a stop above a full-stop mark: N = 2^((k + tenths/10)/2).
func TestMeterReading(t *testing.T) {
	for _, c := range []struct {
		n           float64
		long, short string
	}{
		{math.Exp2(2.5), "f/5.6", "f/5.6 .0"},
		{math.Exp2(2.7), "f/5.6 and 4 tenths", "f/5.6 .4"},
		{math.Exp2(2.55), "f/5.6 and 1 tenth", "f/5.6 .1"},
		{math.Exp2(2.999), "f/8", "f/8 .0"}, // 0.002 stop below f/8
		{math.Exp2(2.95), "f/5.6 and 9 tenths", "f/5.6 .9"},
		{11.313708, "f/11", "f/11 .0"},
		{0.9, "f/0.7 and 7 tenths", "f/0.7 .7"}, // 2 log2 0.9 = -0.304
		{0.4, "under f/0.5", "under f/0.5"}, {500, "over f/128", "over f/128"}, {128, "f/128", "f/128 .0"}, {0.5, "f/0.5", "f/0.5 .0"},
		{0, "under f/0.5", "under f/0.5"}, {math.Inf(1), "over f/128", "over f/128"}, {-1, "no reading", "no reading"}, {math.NaN(), "no reading", "no reading"},
	} {
		if l, s := MeterReading(c.n), MeterShort(c.n); l != c.long || s != c.short {
			t.Errorf("%v: %q, %q; want %q, %q", c.n, l, s, c.long, c.short)
		}
	}
}

func TestSystem(t *testing.T) {
	for l, want := range map[Length][2]string{
		1.25: {"1.25 m", "4 ft 1 in"}, 0.035: {"35 mm", "1 3/8 in"}, 0.16: {"16 cm", "6 1/4 in"}, 0.9996: {"1 m", "3 ft 3 1/2 in"},
		0: {"0 m", "0 in"}, 0.3048: {"30 cm", "1 ft"}, 0.3036: {"30 cm", "1 ft"}, 1.8288: {"1.83 m", "6 ft"}, 0.0032: {"3.2 mm", "0.13 in"},
		0.00003: {"0.03 mm", "0.001 in"}, 0.0996: {"10 cm", "3 7/8 in"}, 10.9728: {"10.97 m", "36 ft"}, -0.4: {"-40 cm", "-1 ft 3 1/2 in"},
		Length(math.Inf(1)): {"infinite", "infinite"},
	} {
		if m, i := Metric.Length(l), Imperial.Length(l); m != want[0] || i != want[1] {
			t.Errorf("%v m is %q and %q, want %q", float64(l), m, i, want)
		}
	}
	for m, want := range map[Mass][2]string{3.5: {"3.5 kg", "7.7 lb"}, 0.35: {"350 g", "12.3 oz"}, 0.999: {"1 kg", "2.2 lb"}, 0.45359237: {"450 g", "1 lb"}} {
		if k, lb := Metric.Mass(m), Imperial.Mass(m); k != want[0] || lb != want[1] {
			t.Errorf("%v kg is %q and %q, want %q", float64(m), k, lb, want)
		}
	}
	for text, want := range map[string]System{"metric": Metric, "Imperial": Imperial} {
		if got, err := ParseSystem(text); err != nil || got != want || !strings.EqualFold(got.String(), text) {
			t.Errorf("%q = %v, %v", text, got, err)
		}
	}
	if _, err := ParseSystem("metrc"); err == nil || err.Error() != `unknown system of units "metrc"; did you mean "metric"?` {
		t.Error(err)
	}
}

// What is shown lies within half of the promised step.
func TestSystemRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(inside(lengths).Draw(t, "l"))
		for _, s := range []System{Metric, Imperial} {
			shown := s.Length(l)
			got, err := Parse[Length](shown)
			if err != nil {
				t.Fatalf("%v m is shown %q: %v", float64(l), shown, err)
			}
			step := 0.01 // metres
			switch {
			case s == Imperial && l >= 11.75*Inch:
				step = 0.5 * 0.0254
			case s == Imperial && l >= 0.5*Inch:
				step = 0.0254 / 8
			case s == Imperial && l >= 0.01*Inch:
				step = 0.0254 / 100
			case s == Metric && l >= 0.0995:
			case s == Metric && l >= 0.0095:
				step = 0.001
			case s == Metric && l >= 0.00095:
				step = 0.0001
			default:
				step = float64(l) // one digit: within a half
			}
			if math.Abs(float64(got-l)) > step/2*(1+1e-9) {
				t.Fatalf("%v m is shown %q", float64(l), shown)
			}
		}
	})
}

func TestMired(t *testing.T) {
	// 10^6/5600 = 178.57; 3200 K is 312.5 mired, so full conversion orange is a shift of
	// about +134 (definition of the mired).
	if got := Kelvin(5600).Shifted(133.93); math.Abs(float64(got)-3200) > 0.5 {
		t.Errorf("5600 K shifted by 133.93 mired is %v", got)
	}
	if got := Kelvin(4000).Mired(); got != 250 {
		t.Errorf("4000 K is %v", got)
	}
}
