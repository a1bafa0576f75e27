package unit_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"falloff/model/source"
	"falloff/model/unit"
)

// everything has a field of each type that a file can hold.
type everything struct {
	Length      unit.Length                       `yaml:"length"`
	Offset      unit.Offset                       `yaml:"offset"`
	Area        unit.Area                         `yaml:"area"`
	Angle       unit.Angle                        `yaml:"angle"`
	Time        unit.Time                         `yaml:"time"`
	Mass        unit.Mass                         `yaml:"mass"`
	Stops       unit.Stops                        `yaml:"stops"`
	Energy      unit.Energy                       `yaml:"energy"`
	Power       unit.Power                        `yaml:"power"`
	Flux        unit.Flux                         `yaml:"flux"`
	Illuminance unit.Illuminance                  `yaml:"illuminance"`
	Efficacy    unit.Efficacy                     `yaml:"efficacy"`
	Kelvin      unit.Kelvin                       `yaml:"kelvin"`
	Mired       unit.Mired                        `yaml:"mired"`
	Share       unit.Share                        `yaml:"share"`
	Money       unit.Money                        `yaml:"money"`
	Minutes     unit.Minutes                      `yaml:"minutes"`
	FNumber     unit.FNumber                      `yaml:"f-number"`
	ISO         unit.ISO                          `yaml:"iso"`
	Shutter     unit.Shutter                      `yaml:"shutter"`
	Dial        unit.Dial                         `yaml:"dial"`
	Size        unit.Size                         `yaml:"size"`
	Round       unit.Size                         `yaml:"round"`
	Levels      unit.Range[unit.Stops]            `yaml:"levels"`
	Apertures   unit.Range[unit.FNumber]          `yaml:"apertures"`
	Speeds      unit.Range[unit.Shutter]          `yaml:"speeds"`
	Radii       *unit.Range[unit.Length]          `yaml:"radii"`
	Turns       []unit.Angle                      `yaml:"turns,flow"`
	Ratings     map[string]unit.Energy            `yaml:"ratings"`
	Most        unit.Range[unit.Stops]            `yaml:"most"`
	Least       unit.Range[unit.Angle]            `yaml:"least"`
	Plain       unit.Range[float64]               `yaml:"plain"`
	ByLight     map[string]unit.Range[unit.Share] `yaml:"by light"`
}

func TestFileRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "x") }
		span := func(lo, hi float64) (float64, float64) {
			a, b := x(lo, hi), x(lo, hi)
			return min(a, b), max(a, b)
		}
		want := everything{
			Length: unit.Length(x(0, 1000)), Offset: unit.Offset(x(-10, 10)), Area: unit.Area(x(0, 100)), Angle: unit.Angle(x(-6, 6)),
			Time: unit.Time(x(0, 10)), Mass: unit.Mass(x(0, 50)), Stops: unit.Stops(x(-10, 10)), Energy: unit.Energy(x(0, 2000)),
			Power: unit.Power(x(0, 2000)), Flux: unit.Flux(x(0, 1e5)), Illuminance: unit.Illuminance(x(0, 1e5)), Efficacy: unit.Efficacy(x(0, 200)),
			Kelvin: unit.Kelvin(x(1000, 40000)), Mired: unit.Mired(x(-500, 500)), Share: unit.Share(x(0, 1)), Money: unit.Money(x(0, 1e5)),
			Minutes: unit.Minutes(x(0, 500)), FNumber: unit.FNumber(x(0.5, 128)), ISO: unit.ISO(x(1, 1e6)), Shutter: unit.Shutter(x(1e-5, 3600)),
			Dial: unit.Dial(x(-20, 0)), Size: unit.Size{W: unit.Length(x(0.01, 10)), H: unit.Length(x(0.01, 10))},
			Turns: []unit.Angle{unit.Angle(x(-6, 6)), 35 * unit.Degree}, Ratings: map[string]unit.Energy{"a": unit.Energy(x(0, 1000)), "b": 400},
			Most: unit.AtMost(unit.Stops(x(-5, 5))), Least: unit.AtLeast(unit.Angle(x(0, 6))), ByLight: map[string]unit.Range[unit.Share]{"key": unit.Exactly(unit.Share(x(0, 1)))},
		}
		want.Round = unit.Size{W: want.Size.W, H: want.Size.W, One: true}
		lo, hi := span(-5, 5)
		want.Levels = unit.Range[unit.Stops]{Lo: unit.Stops(lo), Hi: unit.Stops(hi)}
		lo, hi = span(1, 22)
		want.Apertures = unit.Range[unit.FNumber]{Lo: unit.FNumber(lo), Hi: unit.FNumber(hi)}
		want.Plain = unit.Range[float64]{Lo: lo, Hi: hi}
		lo, hi = span(1e-4, 2)
		want.Speeds = unit.Range[unit.Shutter]{Lo: unit.Shutter(lo), Hi: unit.Shutter(hi)}
		want.Radii = &unit.Range[unit.Length]{Lo: unit.Length(lo), Hi: unit.Length(hi)}
		text, err := source.Encode(want)
		if err != nil {
			t.Fatal(err)
		}
		var got everything
		if err := source.Decode(&source.File{Name: "x.yaml", Text: text}, &got); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Fatalf("%s\n%s", d, text)
		}
	})
}

// A brief as a photographer writes it, in a file and with its places.
func TestFile(t *testing.T) {
	var got struct {
		Rim struct {
			source.Places
			Hue    string                 `yaml:"hue"`
			Within unit.Angle             `yaml:"within"`
			Level  unit.Range[unit.Stops] `yaml:"level"`
		} `yaml:"rim"`
		ISO  unit.ISO                 `yaml:"iso"`
		Dark unit.Range[unit.Stops]   `yaml:"dark"`
		Fee  unit.Money               `yaml:"fee"`
		Keep unit.Share               `yaml:"keep"`
		At   unit.Range[unit.FNumber] `yaml:"at"`
	}
	text := "rim: {hue: amber, within: 20 deg, level: -1..+0.5 stops}\niso: 100\ndark: at most -4 stops\nfee: 25\nkeep: 0.9\nat: f/5.6..f/8\n"
	if err := source.Decode(&source.File{Name: "b.yaml", Text: []byte(text)}, &got); err != nil {
		t.Fatal(err)
	}
	if got.Rim.Within != 20*unit.Degree || got.Rim.Level != (unit.Range[unit.Stops]{Lo: -1, Hi: 0.5}) || got.ISO != 100 || got.Dark.Hi != -4 ||
		!math.IsInf(float64(got.Dark.Lo), -1) || got.Fee != 25 || got.Keep != 0.9 || got.At.Lo != 5.6 || got.At.Hi != 8 {
		t.Errorf("%+v", got)
	}
	out, err := source.Encode(got)
	want := "rim:\n  hue: amber\n  within: 20 deg\n  level: -1..+0.5 stops\niso: ISO 100\ndark: at most -4 stops\nfee: 25\nkeep: 90 %\nat: f/5.6..f/8\n"
	if err != nil || string(out) != want {
		t.Errorf("%v\n%s", err, out)
	}
	bad := strings.Replace(text, "f/5.6..f/8", "f/8..f/5.6", 1)
	err = source.Decode(&source.File{Name: "b.yaml", Text: []byte(bad)}, &got)
	if err == nil || err.Error() != `b.yaml:6:5: at: "f/8..f/5.6" is turned round; write f/5.6..f/8` {
		t.Error(err)
	}
}

func BenchmarkDecode(b *testing.B) {
	item := "  - id: head-%\n    count: 2\n    energy: 400 Ws\n    mass: 3.5 kg\n    face: 60 x 90 cm\n    colour: 5600 K\n    dial: -7..0 stops\n    fits: [a, b, c]\n    rate: 25\n"
	f := &source.File{Name: "s", Text: []byte("heads:\n" + strings.Repeat(item, 1000))}
	type head struct {
		source.Places
		ID     string                 `yaml:"id,required"`
		Count  int                    `yaml:"count"`
		Energy unit.Energy            `yaml:"energy"`
		Mass   unit.Mass              `yaml:"mass"`
		Face   unit.Size              `yaml:"face"`
		Colour unit.Kelvin            `yaml:"colour"`
		Dial   unit.Range[unit.Stops] `yaml:"dial"`
		Fits   []string               `yaml:"fits"`
		Rate   unit.Money             `yaml:"rate"`
	}
	b.SetBytes(int64(len(f.Text)))
	for b.Loop() {
		var s struct{ Heads []head }
		if err := source.Decode(f, &s); err != nil || len(s.Heads) != 1000 {
			b.Fatal(err)
		}
	}
}
