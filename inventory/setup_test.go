package inventory_test

import (
	"math"
	"path/filepath"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// smallSetup goes with smallStudio.
const smallSetup = `setup: One light
camera: {body: body, lens: lens-85, aperture: f/5.6, shutter: 1/125 s, iso: 100, frame: 60 cm, height: 1.5 m}
backdrop: {item: black, distance: 2 m}
lights:
  - role: key
    head: mono
    light: flash
    modifier: pan
    grid: comb
    gel: amber
    stand: post
    boom: arm
    distance: 1.2 m
    azimuth: 40 deg
    elevation: 30 deg
    power: -1.7 stops
`

func TestSetupFits(t *testing.T) {
	u, err := inventory.LoadSetupFrom(file(smallSetup))
	if err != nil {
		t.Fatal(err)
	}
	s := load(t, with(t, smallStudio, "load: 8 kg", "load: 12 kg"))
	if err := u.Fits(s); err != nil {
		t.Error(err)
	}
}

// Each case changes the set-up in one place; reading it, or laying it beside the studio,
// says what is wrong.
func TestSetupRefusals(t *testing.T) {
	s := load(t, with(t, smallStudio, "load: 8 kg", "load: 12 kg"))
	second := "\n  - {role: key, head: mono, light: flash, stand: post, distance: 1 m, azimuth: 0 deg, elevation: 0 deg, power: 0 stops}\n"
	for _, c := range []struct{ old, new, want string }{
		{"role: key", "role: keys", `<<role: ^keys>>: role: "keys" is not one of key, fill, rim-left, rim-right, hair, background; did you mean "key"?`},
		{"power: -1.7 stops\n", "power: -1.7 stops" + second, `<<role: ^key, head>>: role: the key is set twice (see also <<role: ^key\n>>)`},
		{"power: -1.7 stops", "power: 1 stop", `<<power: ^1 stop>>: power: 1 stop is outside -20 stops to 0 stops`},
		{"light: flash", "light: flesh", `<<light: ^flesh>>: light: "flesh" is not one of flash, lamp; did you mean "flash"?`},
		{"    modifier: pan\n", "", `<<grid: ^comb>>: grid: "comb" needs a modifier to sit on`},
		{"distance: 1.2 m", "distance: 120 m", `<<distance: ^120 m>>: distance: 120 m is outside 10 cm to 20 m`},
		{"head: mono", "head: momo", `<<head: ^momo>>: the key: head: no head has the id "momo"; did you mean "mono"?`},
		{"power: -1.7 stops\n", "power: -1.7 stops\ncards:\n  - {item: board, distance: 60 cm, azimuth: 60 deg, elevation: 0 deg}\n",
			`<<item: ^board>>: item: no card has the id "board"; did you mean "card"?`},
		{"power: -1.7 stops\n", "power: -1.7 stops\ncards:\n  - {item: board, throws: fill, distance: 60 cm, azimuth: 60 deg, elevation: 0 deg}\n",
			`<<throws: ^fill>>: throws: the set-up has no light "fill"`},
		{"power: -1.7 stops\n", "power: -1.7 stops\ncards:\n  - {item: board, throws: key, shades: key, distance: 60 cm, azimuth: 60 deg, elevation: 0 deg}\n",
			`<<shades: ^key>>: shades: a card is turned to throw light or to shade, not both (see also <<throws: ^key>>)`},
		{"lens: lens-85", "lens: lens-58", `<<lens: ^lens-58>>: lens: no lens has the id "lens-58"; did you mean "lens-85"?`},
		{"item: black", "item: white", `<<item: ^white>>: item: no backdrop has the id "white"`},
		{"modifier: pan", "modifier: box", `<<grid: ^comb>>: the key: grid: grid "comb" sits on pan, not on "box"`},
		{"power: -1.7 stops", "power: -1.75 stops", `<<power: ^-1.75>>: the key: power: -1.75 stops is not a setting of head "mono", which goes by 0.1 stops`},
		{"power: -1.7 stops", "power: -6.1 stops", `<<power: ^-6.1>>: the key: power: -6.1 stops is below the least of head "mono", -6 stops`},
		{"light: flash", "light: lamp", `<<power: ^-1.7>>: the key: power: -1.7 stops is below the least of head "mono", 0 stops`},
		{"aperture: f/5.6", "aperture: f/1.2", `<<aperture: ^f/1.2>>: aperture: f/1.2 is outside f/1.4 to f/16`},
		{"iso: 100", "iso: 50", `<<iso: ^50>>: iso: ISO 50 is outside ISO 100 to ISO 6400`},
		{"shutter: 1/125 s", "shutter: 1/500 s", `<<shutter: ^1/500>>: shutter: 1/500 s is faster than the flash sync of "body", 1/160 s`},
		{"power: -1.7 stops\n", "power: -1.7 stops\n  - {role: fill, head: mono, light: flash, stand: post, distance: 1 m, azimuth: 0 deg, elevation: 0 deg, power: 0 stops}\n",
			`<<^setup: One>>: head "mono" is used 2 times, and the studio has 1 (see also studio.yaml:15:5)`},
	} {
		text := with(t, smallSetup, c.old, c.new)
		u, err := inventory.LoadSetupFrom(file(text))
		if err == nil {
			err = u.Fits(s)
		}
		if err == nil {
			t.Errorf("%q was let through", c.new)
		} else if got, want := err.Error(), placed(t, text, c.want); got != want {
			t.Errorf("%q gives\n%s\nwant\n%s", c.new, got, want)
		}
	}
	if err := mustSetup(t, smallSetup).Fits(load(t, smallStudio)); err == nil {
		t.Error("2.4 kg on a boom hang on a stand for 8 kg, counterweight and all")
	} else if want := placed(t, smallSetup, `<<stand: ^post>>: the key: stand: the light weighs 2.4 kg; stand "post" carries 8 kg, and boom "arm" 4 kg at its tip`); err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func mustSetup(t *testing.T, text string) *inventory.Setup {
	t.Helper()
	u, err := inventory.LoadSetupFrom(file(text))
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// A set-up that was written is read back to the last bit, so that a check of the file gives
// the margins of the plan.
func TestSetupRoundTrip(t *testing.T) {
	quiet := cmpopts.IgnoreTypes(source.Places{})
	rapid.Check(t, func(t *rapid.T) {
		u := &inventory.Setup{
			Name: rapid.StringMatching(`[a-z][a-z :#-]{0,12}[a-z]`).Draw(t, "name"),
			Camera: inventory.CameraSet{
				Body: "body", Lens: "lens", Aperture: unit.FNumber(rapid.SampledFrom([]float64{1.4, 1.8, 5.6, 6.3}).Draw(t, "n")),
				Shutter: unit.Shutter(1 / rapid.SampledFrom([]float64{3, 50, 125, 160, 8000}).Draw(t, "t")),
				ISO:     unit.ISO(rapid.IntRange(50, 6400).Draw(t, "iso")),
				Frame:   unit.Length(rapid.Float64Range(0.06, 2).Draw(t, "frame")),
				Height:  unit.Length(rapid.Float64Range(0, 3).Draw(t, "height")),
			},
			Backdrop: inventory.BackdropSet{Item: "black", Distance: unit.Length(rapid.Float64Range(0.2, 5).Draw(t, "b"))},
			Lights: []inventory.LightSet{{
				Role: "key", Head: "mono", Light: "flash", Stand: "post", Modelling: rapid.Bool().Draw(t, "lamp"),
				Distance:  unit.Length(rapid.Float64Range(0.2, 5).Draw(t, "d")),
				Azimuth:   unit.Angle(rapid.Float64Range(-3, 3).Draw(t, "az")),
				Elevation: unit.Angle(rapid.Float64Range(-1.5, 1.5).Draw(t, "el")),
				Power:     -unit.Stops(rapid.IntRange(0, 70).Draw(t, "p")) * 0.1,
			}},
		}
		text, err := u.Text()
		if err != nil {
			t.Fatal(err)
		}
		back, err := inventory.LoadSetupFrom(file(string(text)))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if diff := cmp.Diff(u, back, quiet); diff != "" {
			t.Fatalf("%s\n%s", diff, text)
		}
	})
}

func TestSetupFile(t *testing.T) {
	name := filepath.Join(t.TempDir(), "one.yaml")
	if err := mustSetup(t, smallSetup).Write(name); err != nil {
		t.Fatal(err)
	}
	u, err := inventory.LoadSetup(name)
	if err != nil {
		t.Fatal(err)
	}
	if got := u.Lights[0].Azimuth.Degrees(); math.Abs(got-40) > 1e-12 {
		t.Errorf("azimuth %v", got)
	}
}

func TestRoles(t *testing.T) {
	for r := range inventory.NumRoles {
		if back, ok := inventory.RoleByName(r.String()); !ok || back != r {
			t.Errorf("%v", r)
		}
	}
}
