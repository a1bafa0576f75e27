package unit

import (
	"encoding"
	"testing"
)

var seeds = []string{
	"", "1.2 m", "85 mm", "4 ft 6 in", `5'6"`, "1 3/8 in", "-0.4 m", "35 deg", "1/160 s", "5 ms", "400 Ws", "150 W", "9000 lm",
	"800 lx", "40 lm/W", "5600 K", "+159 mired", "-2 stops", "40 %", "f/5.6", "ISO 100", "3.5 kg", "1 h 10 min", "25",
	"-1..+0.5 stops", "f/8..f/5.6", "at most 4 stops", "any", "60 x 90 cm", "1/4 +0.3", "31 %", "full", "NaN m", "1e999 m", "1/0 s",
	"0x10 m", "..", "1..2..3", "\u00d7", "- 1 m", "+-1 m", "1e-320 m", "0.10000000000000000555 deg", "\xff m",
}

// fuzz: no text panics, and whatever is read can be written and read again unchanged.
func fuzz[T comparable, P interface {
	text[T]
	encoding.TextMarshaler
}](f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := Parse[T, P](s)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		b, err := P(&v).MarshalText()
		if err != nil {
			t.Fatalf("%q read as %v: %v", s, v, err)
		}
		if again, err := Parse[T, P](string(b)); err != nil || again != v {
			t.Fatalf("%q read as %#v, written %q, read as %#v, %v", s, v, b, again, err)
		}
	})
}

func FuzzLength(f *testing.F)       { fuzz[Length](f) }
func FuzzOffset(f *testing.F)       { fuzz[Offset](f) }
func FuzzArea(f *testing.F)         { fuzz[Area](f) }
func FuzzAngle(f *testing.F)        { fuzz[Angle](f) }
func FuzzTime(f *testing.F)         { fuzz[Time](f) }
func FuzzMass(f *testing.F)         { fuzz[Mass](f) }
func FuzzStops(f *testing.F)        { fuzz[Stops](f) }
func FuzzEnergy(f *testing.F)       { fuzz[Energy](f) }
func FuzzPower(f *testing.F)        { fuzz[Power](f) }
func FuzzFlux(f *testing.F)         { fuzz[Flux](f) }
func FuzzIlluminance(f *testing.F)  { fuzz[Illuminance](f) }
func FuzzEfficacy(f *testing.F)     { fuzz[Efficacy](f) }
func FuzzKelvin(f *testing.F)       { fuzz[Kelvin](f) }
func FuzzMired(f *testing.F)        { fuzz[Mired](f) }
func FuzzShare(f *testing.F)        { fuzz[Share](f) }
func FuzzMoney(f *testing.F)        { fuzz[Money](f) }
func FuzzMinutes(f *testing.F)      { fuzz[Minutes](f) }
func FuzzFNumber(f *testing.F)      { fuzz[FNumber](f) }
func FuzzISO(f *testing.F)          { fuzz[ISO](f) }
func FuzzShutter(f *testing.F)      { fuzz[Shutter](f) }
func FuzzDial(f *testing.F)         { fuzz[Dial](f) }
func FuzzSize(f *testing.F)         { fuzz[Size](f) }
func FuzzRangeLength(f *testing.F)  { fuzz[Range[Length]](f) }
func FuzzRangeStops(f *testing.F)   { fuzz[Range[Stops]](f) }
func FuzzRangeFNumber(f *testing.F) { fuzz[Range[FNumber]](f) }
func FuzzRangeShutter(f *testing.F) { fuzz[Range[Shutter]](f) }
func FuzzRangeAngle(f *testing.F)   { fuzz[Range[Angle]](f) }
func FuzzRangeISO(f *testing.F)     { fuzz[Range[ISO]](f) }
func FuzzRangeMinutes(f *testing.F) { fuzz[Range[Minutes]](f) }
