package constraints

import (
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
)

// A body that writes all its ends, and a lens and a body that leave them to be assumed.
const dialStudio = `studio: Dials
room: {width: 4 m, depth: 6 m, height: 2.7 m, walls: 50 %, ceiling: 80 %, floor: 30 %}
cameras:
  - {id: told, mount: ff, sensor: 36 x 24 mm, base_iso: 200, top_iso: 6400, fastest: 1/2000 s, sync: 1/180 s}
  - {id: untold, mount: ff, sensor: 36 x 24 mm, base_iso: 100}
lenses:
  - {id: told-lens, name: 85 mm f/1.8, mount: ff, focal: 85 mm, widest: f/1.8, narrowest: f/22, nearest: 0.8 m}
  - {id: untold-lens, name: 50 mm f/1.8, mount: ff, focal: 50 mm, widest: f/1.8, nearest: 0.45 m}
heads: [{id: shoe, like: hot-shoe}]
modifiers: [{id: umbrella, like: shoot-through, face: 85 cm}]
stands: [{id: stand, like: medium-stand}]
backdrops: [{id: paper, like: grey-paper}]
`

// breaksOf lists what fails of a set-up with these settings.
func breaksOf(t *testing.T, body, lens, aperture, shutter, iso, power string) (out []string) {
	t.Helper()
	s, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(dialStudio)})
	if err != nil {
		t.Fatal(err)
	}
	b, err := LoadBriefFrom(&source.File{Name: "b.yaml", Text: []byte("brief: x\ngoals:\n  - iso: at most ISO 204800\n")})
	if err == nil {
		err = b.Bind(s)
	}
	if err != nil {
		t.Fatal(err)
	}
	text := strings.NewReplacer("BODY", body, "LENS", lens, "APERTURE", aperture, "SHUTTER", shutter, "SENSITIVITY", iso, "POWER", power).Replace(`setup: x
camera: {body: BODY, lens: LENS-lens, aperture: APERTURE, shutter: SHUTTER, iso: SENSITIVITY, frame: 70 cm, height: 1.5 m}
backdrop: {item: paper, distance: 1.5 m}
lights:
  - {role: key, head: shoe, light: flash, modifier: umbrella, stand: stand, distance: 1 m, azimuth: 40 deg, elevation: 20 deg, power: POWER}
`)
	set, err := inventory.LoadSetupFrom(&source.File{Name: "s.yaml", Text: []byte(text)})
	if err != nil {
		t.Fatal(err)
	}
	bench := &Bench{Studio: s, Brief: b, Bounces: Bounces{}}
	sc, err := bench.SceneOf(set)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range bench.Breaks(set, sc) {
		if !l.Holds {
			out = append(out, l.Sentence)
		}
	}
	return out
}

// Each end of each dial holds, and what lies beyond it does not. A slow shutter is no matter:
// every body has a long time or B.
func TestSettingsThatTheCameraHas(t *testing.T) {
	for _, c := range []struct{ body, lens, aperture, shutter, iso, want string }{
		{"told", "told", "f/22", "1/160 s", "ISO 6400", ""},
		{"told", "told", "f/1.8", "30 s", "ISO 200", ""},
		{"told", "told", "f/32", "1/125 s", "ISO 200", "The 85 mm f/1.8 closes to f/22; f/32 is not on it."},
		{"told", "told", "f/25", "1/125 s", "ISO 200", "The 85 mm f/1.8 closes to f/22; f/25 is not on it."},
		{"told", "untold", "f/16", "1/125 s", "ISO 200", ""},
		{"told", "untold", "f/32", "1/125 s", "ISO 200", "The 50 mm f/1.8 closes to f/16, as is assumed where narrowest is not written; f/32 is not on it."},
		{"told", "told", "f/1.2", "1/125 s", "ISO 200", "The 85 mm f/1.8 opens to f/1.8; f/1.2 is not on it."},
		{"told", "told", "f/8", "1/125 s", "ISO 160", "The told begins at ISO 200; ISO 160 is not on it."},
		{"told", "told", "f/8", "1/125 s", "ISO 8000", "The told ends at ISO 6400; ISO 8000 is not on it."},
		{"untold", "told", "f/8", "1/125 s", "ISO 6400", ""},
		{"untold", "told", "f/8", "1/125 s", "ISO 12800", "The untold ends at ISO 6400, as is assumed where top_iso is not written; ISO 12800 is not on it."},
	} {
		got := strings.Join(breaksOf(t, c.body, c.lens, c.aperture, c.shutter, c.iso, "0 stops"), " ")
		if got != c.want {
			t.Errorf("%s %s at %s, %s, %s: %q, want %q", c.body, c.lens, c.aperture, c.shutter, c.iso, got, c.want)
		}
	}
	for body, want := range map[string]string{
		"told":   "The shutter of the told goes to 1/2000 s; 1/8000 s is not on it.",
		"untold": "The shutter of the untold goes to 1/4000 s, as is assumed where fastest is not written; 1/8000 s is not on it.",
	} {
		if got := breaksOf(t, body, "told", "f/8", "1/8000 s", "ISO 200", "0 stops"); len(got) != 2 || got[0] != want { // and the sync
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A dial of thirds has whole stops, and its marks are written as 0.3 and 0.7.
func TestDialOfThirds(t *testing.T) {
	for power, holds := range map[string]bool{
		"0 stops": true, "-1 stops": true, "-3 stops": true, "-5 stops": true, "-7 stops": true,
		"-1/3 stops": true, "-1.3 stops": true, "-1.7 stops": true, "-6.67 stops": true,
		"-0.5 stops": false, "-1.2 stops": false, "-7.3 stops": false,
	} {
		if got := breaksOf(t, "told", "told", "f/8", "1/125 s", "ISO 200", power); (len(got) == 0) != holds {
			t.Errorf("%s: %q", power, got)
		}
	}
}

// Half a millimetre is no failure to who tapes it, and is one to a search; a failure is never
// one of "-0.00 m".
func TestLimitsByTape(t *testing.T) {
	for _, c := range []struct {
		margin       float64
		told, strict bool
		say          string
	}{
		{0, true, true, "clears the frame by 0.00 m"},
		{-0.0004, true, false, "clears the frame by 0.00 m"},
		{-0.0006, false, false, "is in the frame by under 1 cm"},
		{-0.0040, false, false, "is in the frame by under 1 cm"},
		{-0.0260, false, false, "is in the frame by 2.6 cm"},
	} {
		told, strict := checks{told: true}, checks{}
		told.add("card", c.margin, "%s", aside(c.margin))
		strict.add("card", c.margin, "%s", aside(c.margin))
		if l := told.all[0]; l.Holds != c.told || l.Sentence != c.say {
			t.Errorf("%.4f m, told: %+v", c.margin, l)
		}
		if l := strict.all[0]; l.Holds != c.strict {
			t.Errorf("%.4f m, strict: %+v", c.margin, l)
		}
	}
}
