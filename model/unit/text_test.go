package unit

import (
	"encoding"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The syntax itself is ours, so these expectations are ours too; the conversions are the
// international foot of 0.3048 m and pound of 0.45359237 kg (agreement of 1959) and the
// lumen per square foot, 1/0.09290304 lx.
func TestParse(t *testing.T) {
	length := func(text string, want float64) {
		t.Helper()
		check(t, text, Length(want))
	}
	length("1.2 m", 1.2)
	length("85 mm", 0.085)
	length("120 cm", 1.2)
	length("0.3mm", 0.0003)
	length("16 in", 0.4064)
	length("4 ft 6 in", 1.3716)
	length("4ft6in", 1.3716)
	length(`5'6"`, 1.6764)
	length(`5' 6 1/2"`, 1.6891)
	length("1 3/8 in", 0.034925)
	length("36 feet", 10.9728)
	length("  2   metres ", 2)
	length("0 m", 0)
	length("1e-3 m", 0.001)
	check(t, "-0.4 m", Offset(-0.4))
	check(t, "-4 ft 6 in", Offset(-1.3716))
	check(t, "\u22120.4 m", Offset(-0.4))
	check(t, "0.54 m2", Area(0.54))
	check(t, "5400 cm2", Area(0.54))
	check(t, "35 deg", 35*Degree)
	check(t, "-35\u00b0", -35*Degree)
	check(t, "0.5 rad", Angle(0.5))
	check(t, "1/160 s", Time(0.00625))
	check(t, "5 ms", Time(0.005))
	check(t, "2 s", Time(2))
	check(t, "50 us", Time(50e-6))
	check(t, "3.5 kg", Mass(3.5))
	check(t, "350 g", Mass(0.35))
	check(t, "8 lb", Mass(8*0.45359237))
	check(t, "8 lb 4 oz", Mass(8.25*0.45359237))
	check(t, "-2 stops", Stops(-2))
	check(t, "1 stop", Stops(1))
	check(t, "+1/3 stop", Stops(1./3))
	check(t, "-2 1/3 stops", Stops(-7./3))
	check(t, "400 Ws", Energy(400))
	check(t, "1.2 kJ", Energy(1200))
	check(t, "150 W", Power(150))
	check(t, "9000 lm", Flux(9000))
	check(t, "800 lx", Illuminance(800))
	check(t, "10 fc", Illuminance(10/0.09290304))
	check(t, "40 lm/W", Efficacy(40))
	check(t, "40 lm/Ws", Efficacy(40))
	check(t, "5600 K", Kelvin(5600))
	check(t, "+159 mired", Mired(159))
	check(t, "-20 mired", Mired(-20))
	check(t, "40 %", Share(0.4))
	check(t, "40%", Share(0.4))
	check(t, "0.4", Share(0.4))
	check(t, "25", Money(25))
	check(t, "12 min", Minutes(12))
	check(t, "1 h 10 min", Minutes(70))
	check(t, "30 s", Minutes(0.5))
	check(t, "f/5.6", FNumber(5.6))
	check(t, "F5.6", FNumber(5.6))
	check(t, "ISO 100", ISO(100))
	check(t, "iso100", ISO(100))
	check(t, "100", ISO(100))
	check(t, "1/160 s", Shutter(1./160))
	check(t, "1/1.3 s", Shutter(1/1.3))
	check(t, "0.5 s", Shutter(0.5))
	check(t, "2s", Shutter(2))
}

type text[T any] interface {
	*T
	encoding.TextUnmarshaler
}

// check allows two units in the last place: a text in feet is a sum of products.
func check[T ~float64, P text[T]](t *testing.T, s string, want T) {
	t.Helper()
	got, err := Parse[T, P](s)
	if err != nil {
		t.Errorf("%q: %v", s, err)
		return
	}
	if d := math.Abs(float64(got - want)); d > 2*math.Abs(math.Nextafter(float64(want), math.Inf(1))-float64(want)) {
		t.Errorf("%q = %v, want %v", s, float64(got), float64(want))
	}
}

func TestParseExactly(t *testing.T) {
	// A power of ten only moves the point, so these are the nearest float64 and no other.
	for s, want := range map[string]Length{"0.3 mm": 0.0003, "105 mm": 0.105, "35 cm": 0.35, "1.1 mm": 0.0011} {
		if got, err := Parse[Length](s); err != nil || got != want {
			t.Errorf("%q = %v, %v; want %v", s, float64(got), err, float64(want))
		}
	}
}

func TestPrint(t *testing.T) {
	for want, v := range map[string]interface{ String() string }{
		"85 mm": Length(0.085), "1.25 m": Length(1.25), "16 cm": Length(0.16), "105 mm": Length(0.105),
		"35 deg": 35 * Degree, "-12.5 deg": -12.5 * Degree, "0 deg": Angle(0), "27.1 deg": Angle(0.473),
		"+0.3 stops": Stops(0.3), "-1 stop": Stops(-1), "+1 stop": Stops(1), "0 stops": Stops(0), "-0.5 stops": Stops(-0.5),
		"+0.29 stops": Stops(0.2938471),
		"1/160 s":     Shutter(1. / 160), "0.5 s": Shutter(0.5), "0.3 s": Shutter(0.3), "1/4 s": Shutter(0.25), "30 s": Shutter(30),
		"1/161 s": Shutter(1 / 161.2699), "1/10300 s": Shutter(1 / 10321.3), "f/5.6": FNumber(5.6), "f/11.3": FNumber(11.313708), "f/8": FNumber(8),
		"ISO 100": ISO(100), "ISO 126": ISO(125.992105), "5600 K": Kelvin(5600), "+159 mired": Mired(159),
		"40 %": Share(0.4), "33.3 %": Share(1. / 3), "25": Money(25), "12 min": Minutes(12), "1 h 10 min": Minutes(70), "2 h": Minutes(120),
		"3.5 kg": Mass(3.5), "350 g": Mass(0.35), "5 ms": Time(0.005), "2 s": Time(2), "800 lx": Illuminance(800), "9000 lm": Flux(9000),
		"400 Ws": Energy(400), "150 W": Power(150), "40 lm/W": Efficacy(40), "0.54 m2": Area(0.54), "-40 cm": Offset(-0.4),
		"infinite": Length(math.Inf(1)), "unknown": Length(math.NaN()),
	} {
		if got := v.String(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if got := Length(0.105).Focal(); got != "105 mm" {
		t.Errorf("focal length %q", got)
	}
	if got := Length(0.2).Focal(); got != "200 mm" {
		t.Errorf("focal length %q", got)
	}
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{try[Length]("1.2"), `"1.2": a length needs a unit, as in 1.2 m or 4 ft 6 in`},
		{try[Length](""), `no value; write a length as in 1.2 m or 4 ft 6 in`},
		{try[Length]("tall"), `"tall": this is not a length; write one as in 1.2 m or 4 ft 6 in`},
		{try[Length]("85 mn"), `"85 mn": unknown unit "mn"; did you mean "mm"?`},
		{try[Length]("85 furlongs"), `"85 furlongs": unknown unit "furlongs"; a length is written in m, cm, mm, km, ft, in, as in 1.2 m or 4 ft 6 in`},
		{try[Length]("-2 m"), `"-2 m": a length lies between 0 m and 1000 m`},
		{try[Length]("2 km"), `"2 km": a length lies between 0 m and 1000 m`},
		{try[Length]("1,2 m"), `"1,2 m": write decimals with a point, as in 1.2 m or 4 ft 6 in`},
		{try[Length]("1/0 m"), `"1/0 m": a fraction over 0 has no value`},
		{try[Length]("6 in 4 ft"), `"6 in 4 ft": "ft" does not follow; write a length as in 1.2 m or 4 ft 6 in`},
		{try[Length]("NaN m"), `"NaN m": this is not a length; write one as in 1.2 m or 4 ft 6 in`},
		{try[Length]("Inf m"), `"Inf m": this is not a length; write one as in 1.2 m or 4 ft 6 in`},
		{try[Length]("1e999 m"), `"1e999 m": the number is too large`},
		{try[Angle]("35 mm"), `"35 mm": "mm" is a unit of length; an angle is written as in 35 deg`},
		{try[Energy]("400 W"), `"400 W": "W" is a unit of power; an energy is written as in 400 Ws`},
		{try[Angle]("400 deg"), `"400 deg": an angle lies between -360 deg and 360 deg`},
		{try[FNumber]("f/0"), `"f/0": an f-number lies between f/0.5 and f/128`},
		{try[FNumber]("5.6"), `"5.6": this is not an f-number; write one as in f/5.6`},
		{try[FNumber]("f/5.6 m"), `"f/5.6 m": an f-number is written without a unit, as in f/5.6`},
		{try[Share]("1.3"), `"1.3": a share lies between 0 % and 100 %`},
		{try[Kelvin]("560 K"), `"560 K": a colour temperature lies between 1000 K and 40000 K`},
		{try[ISO]("0"), `"0": an ISO setting lies between ISO 1 and ISO 10000000`},
		{try[Shutter]("1/160"), `"1/160": a shutter speed needs a unit, as in 1/160 s or 2 s`},
		{try[Shutter]("0 s"), `"0 s": a shutter speed lies between 1/100000 s and 3600 s`},
		{try[Money]("25 /day"), `"25 /day": a sum of money is written without a unit, as in 25`},
		{try[Length](strings.Repeat("9", 1<<20)), `"9999999999999999999999999999999999999999...": too long for a length, which is written as in 1.2 m or 4 ft 6 in`},
		{try[Length]("\x1b[2J m"), `"\x1b[2J m": this is not a length; write one as in 1.2 m or 4 ft 6 in`},
		{try[Size]("60 x 90"), `"90": a length needs a unit, as in 1.2 m or 4 ft 6 in`},
		{try[Size]("0 x 90 cm"), `"0 x 90 cm": a size is above 0, as in 60 x 90 cm`},
		{try[Size]("big"), `"big": this is not a length; write one as in 1.2 m or 4 ft 6 in, or for a size 60 x 90 cm`},
		{try[Range[FNumber]]("f/8..f/5.6"), `"f/8..f/5.6" is turned round; write f/5.6..f/8`},
		{try[Range[Shutter]]("1/60 s..1/250 s"), `"1/60 s..1/250 s" is turned round; write 1/250..1/60 s`},
		{try[Range[Stops]]("1..-1 stops"), `"1..-1 stops" is turned round; write -1..+1 stops`},
		{try[Range[Stops]]("-1..0.5"), `"0.5": a level needs a unit, as in -2 stops or +1/3 stop`},
		{try[Range[Stops]]("..1 stop"), `"..1 stop": a range needs both ends; for one, write at least or at most, as in at most -2 stops`},
		{try[Range[Stops]]("-1...1 stops"), `"-1...1 stops": a range has two ends and two points between them, as in 1..2`},
		{try[Range[Length]]("at most 4 stops"), `"4 stops": "stops" is a unit of level; a length is written as in 1.2 m or 4 ft 6 in`},
		{try[Dial]("1/3"), `"1/3": the marks of a dial are 1/1, 1/2, 1/4 and so on, with tenths as in 1/4 +0.3`},
		{try[Dial]("1/1 +0.3"), `"1/1 +0.3": a power setting lies between -20 stops and full power`},
		{try[Dial]("120 %"), `"120 %": a share lies between 0 % and 100 %`},
		{try[Dial]("loud"), `"loud": write a power setting as in 1/4 +0.3, 31 % or -1.7 stops`},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", c.err, c.want)
		}
	}
}

func try[T any, P text[T]](s string) error {
	_, err := Parse[T, P](s)
	return err
}

func TestErrorLeavesValueAlone(t *testing.T) {
	l, r, z, d := Length(3), Range[Stops]{-1, 1}, Size{W: 1, H: 2}, Dial(-1)
	for _, v := range []encoding.TextUnmarshaler{&l, &r, &z, &d} {
		if v.UnmarshalText([]byte("1..")) == nil {
			t.Errorf("%T took nonsense", v)
		}
	}
	if l != 3 || r != (Range[Stops]{-1, 1}) || z != (Size{W: 1, H: 2}) || d != -1 {
		t.Errorf("changed to %v %v %v %v", l, r, z, d)
	}
}

// Whatever a file can hold is read back exactly.
func TestExactRoundTrip(t *testing.T) {
	t.Run("length", exact[Length](lengths))
	t.Run("offset", exact[Offset](offsets))
	t.Run("area", exact[Area](areas))
	t.Run("angle", exact[Angle](angles))
	t.Run("time", exact[Time](times))
	t.Run("mass", exact[Mass](masses))
	t.Run("stops", exact[Stops](stops))
	t.Run("energy", exact[Energy](energies))
	t.Run("power", exact[Power](powers))
	t.Run("flux", exact[Flux](fluxes))
	t.Run("illuminance", exact[Illuminance](illuminances))
	t.Run("efficacy", exact[Efficacy](efficacies))
	t.Run("kelvin", exact[Kelvin](kelvins))
	t.Run("mired", exact[Mired](mireds))
	t.Run("share", exact[Share](shares))
	t.Run("money", exact[Money](moneys))
	t.Run("minutes", exact[Minutes](handling))
	t.Run("f-number", exact[FNumber](fnumbers))
	t.Run("ISO", exact[ISO](isos))
	t.Run("shutter", exact[Shutter](shutters))
	t.Run("dial", exact[Dial](quantity{lo: lowestDial}))
}

// inside draws values as they are met: over many sizes, computed or of few digits.
func inside(q quantity) *rapid.Generator[float64] {
	return rapid.Custom(func(t *rapid.T) float64 {
		v := rapid.Float64Range(q.lo, q.hi).Draw(t, "v")
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			v *= math.Pow10(-rapid.IntRange(0, 9).Draw(t, "size"))
		case 1:
			p := math.Pow10(rapid.IntRange(0, 3).Draw(t, "places"))
			v = math.Round(v*p) / p
		case 2:
			v = 1 / float64(rapid.IntRange(1, 10000).Draw(t, "under"))
		}
		return min(max(v, q.lo), q.hi)
	})
}

func exact[T ~float64, P interface {
	text[T]
	encoding.TextMarshaler
}](q quantity) func(*testing.T) {
	return func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			v := T(inside(q).Draw(t, "value"))
			b, err := P(&v).MarshalText()
			if err != nil {
				t.Fatal(err)
			}
			if got, err := Parse[T, P](string(b)); err != nil || got != v {
				t.Fatalf("%v is written %q, read as %v, %v", float64(v), b, float64(got), err)
			}
			r := Range[T]{v, T(inside(q).Draw(t, "other"))}
			if r.Lo > r.Hi {
				r.Lo, r.Hi = r.Hi, r.Lo
			}
			switch rapid.IntRange(0, 3).Draw(t, "open") {
			case 0:
				r = AtMost(r.Hi)
			case 1:
				r = AtLeast(r.Lo)
			}
			b, err = r.MarshalText()
			if err != nil {
				t.Fatal(err)
			}
			if got, err := Parse[Range[T]](string(b)); err != nil || got != r {
				t.Fatalf("%v..%v is written %q, read as %v..%v, %v", float64(r.Lo), float64(r.Hi), b, float64(got.Lo), float64(got.Hi), err)
			}
		})
	}
}

// What somebody wrote with six digits or fewer is shown as the same value.
func TestStringKeepsWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.IntRange(1, 999999).Draw(t, "digits")
		places := rapid.IntRange(3, 6).Draw(t, "places")
		s := decimalText(float64(digits), places)
		for _, unit := range []string{"m", "cm", "mm"} {
			v, err := Parse[Length](s + " " + unit)
			if err != nil {
				t.Fatal(err)
			}
			if again, err := Parse[Length](v.String()); err != nil || again != v {
				t.Fatalf("%s %s is shown %q, read as %v, %v", s, unit, v, float64(again), err)
			}
		}
		if a, err := Parse[Angle](s + " deg"); err == nil {
			if again, err := Parse[Angle](a.String()); err != nil || again != a {
				t.Fatalf("%s deg is shown %q, %v", s, a, err)
			}
		}
	})
}

func TestMarshalRefusesWhatCannotBeRead(t *testing.T) {
	for _, v := range []encoding.TextMarshaler{
		Length(math.NaN()), Length(math.Inf(1)), Length(-1), Share(1.3), FNumber(0), Shutter(0), Minutes(-1), Dial(0.1),
		Size{}, Size{W: Length(math.NaN()), H: 1}, Range[Stops]{1, -1}, Range[Stops]{Stops(math.NaN()), 1}, Range[Share]{0, 2},
	} {
		if b, err := v.MarshalText(); err == nil {
			t.Errorf("%T %v written as %q", v, v, b)
		}
	}
}

func TestRange(t *testing.T) {
	inf := math.Inf(1)
	checkRange(t, "-1..+0.5 stops", Range[Stops]{-1, 0.5}, "-1..+0.5 stops")
	checkRange(t, "-2.5..-1 stops", Range[Stops]{-2.5, -1}, "-2.5..-1 stops")
	checkRange(t, "0.2 m..0.35 m", Range[Length]{0.2, 0.35}, "20..35 cm")
	checkRange(t, "20 cm .. 1.2 m", Range[Length]{0.2, 1.2}, "20 cm..1.2 m")
	checkRange(t, "f/5.6..f/8", Range[FNumber]{5.6, 8}, "f/5.6..f/8")
	checkRange(t, "f/5.6..8", Range[FNumber]{5.6, 8}, "f/5.6..f/8")
	checkRange(t, "at most 4 stops", Range[Stops]{Stops(-inf), 4}, "at most +4 stops")
	checkRange(t, "at most -4 stops", Range[Stops]{Stops(-inf), -4}, "at most -4 stops")
	checkRange(t, "at least 30 deg", Range[Angle]{30 * Degree, Angle(inf)}, "at least 30 deg")
	checkRange(t, ">= 30 deg", Range[Angle]{30 * Degree, Angle(inf)}, "at least 30 deg")
	checkRange(t, "20 deg", Range[Angle]{20 * Degree, 20 * Degree}, "20 deg")
	checkRange(t, "1/250 s..1/60 s", Range[Shutter]{1. / 250, 1. / 60}, "1/250..1/60 s")
	checkRange(t, "1/250..1/60 s", Range[Shutter]{1. / 250, 1. / 60}, "1/250..1/60 s")
	checkRange(t, "100..400", Range[ISO]{100, 400}, "ISO 100..400")
	checkRange(t, "10..30 %", Range[Share]{0.1, 0.3}, "10..30 %")
	checkRange(t, "30 min..1 h 10 min", Range[Minutes]{30, 70}, "30 min..1 h 10 min")
	checkRange(t, "2..3.5", Range[float64]{2, 3.5}, "2..3.5")
	checkRange(t, "any", Range[Stops]{Stops(-inf), Stops(inf)}, "any")
	if _, err := Parse[Range[Length]]("1..4 ft 6 in"); err == nil {
		t.Error("1..4 ft 6 in does not say what the 1 is")
	}
}

func checkRange[T ~float64](t *testing.T, s string, want Range[T], shown string) {
	t.Helper()
	got, err := Parse[Range[T]](s)
	if err != nil || got != want {
		t.Errorf("%q = %v..%v, %v; want %v..%v", s, float64(got.Lo), float64(got.Hi), err, float64(want.Lo), float64(want.Hi))
	}
	if got.String() != shown {
		t.Errorf("%q is shown %q, want %q", s, got, shown)
	}
}

func TestSize(t *testing.T) {
	for _, c := range []struct {
		text, shown, imperial string
		want                  Size
	}{
		{"60 x 90 cm", "60 x 90 cm", "23 1/2 x 35 1/2 in", Size{W: 0.6, H: 0.9}},
		{"0.6 x 0.9 m", "60 x 90 cm", "23 1/2 x 35 1/2 in", Size{W: 0.6, H: 0.9}},
		{"0.6x1.2m", "0.6 x 1.2 m", "1 ft 11 1/2 in x 3 ft 11 in", Size{W: 0.6, H: 1.2}},
		{"36 x 24 mm", "36 x 24 mm", "1 1/2 x 1 in", Size{W: 0.036, H: 0.024}},
		{"90 cm", "90 cm", "2 ft 11 1/2 in", Size{W: 0.9, H: 0.9, One: true}},
		{"60 \u00d7 90 cm", "60 x 90 cm", "23 1/2 x 35 1/2 in", Size{W: 0.6, H: 0.9}},
		{"107 in x 36 ft", "2.7178 x 10.9728 m", "8 ft 11 in x 36 ft", Size{W: 2.7178, H: 10.9728}},
	} {
		got, err := Parse[Size](c.text)
		if err != nil || math.Abs(float64(got.W-c.want.W)) > 1e-12 || math.Abs(float64(got.H-c.want.H)) > 1e-12 || got.One != c.want.One {
			t.Errorf("%q = %+v, %v", c.text, got, err)
		}
		if got.String() != c.shown || Imperial.Size(got) != c.imperial {
			t.Errorf("%q is shown %q and %q", c.text, got, Imperial.Size(got))
		}
	}
}

func TestSizeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Custom(func(t *rapid.T) Length { return Length(max(1e-6, inside(lengths).Draw(t, "side"))) })
		s := Size{W: draw.Draw(t, "w"), H: draw.Draw(t, "h")}
		if rapid.Bool().Draw(t, "one") {
			s = Size{s.W, s.W, true}
		}
		b, err := s.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		if got, err := Parse[Size](string(b)); err != nil || got != s {
			t.Fatalf("%+v is written %q, read as %+v, %v", s, b, got, err)
		}
	})
}

func TestLongInputIsQuick(t *testing.T) {
	start := time.Now()
	for _, s := range []string{strings.Repeat("1 ft ", 1e6), strings.Repeat("..", 1e6), strings.Repeat("x", 1e6), strings.Repeat("1/", 1e6)} {
		for _, v := range []encoding.TextUnmarshaler{new(Length), new(Range[Length]), new(Size), new(Dial), new(Angle)} {
			if v.UnmarshalText([]byte(s)) == nil {
				t.Errorf("%T took a megabyte", v)
			}
		}
	}
	if d := time.Since(start); d > time.Second { // 20 refusals; each should take microseconds
		t.Errorf("took %v", d)
	}
}
