package solver_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/solver"
)

// slowStudio is a pale or a black room, with a head whose flash lasts long when it is turned
// down, as one that is not cut off does.
const slowStudio = `studio: Slow
room: {width: 3 m, depth: 4.6 m, height: 2.3 m, walls: WALLS, ceiling: WALLS, floor: WALLS}
cameras: [{id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100, sync: 1/200 s}]
lenses:
  - {id: lens-85, mount: ff, focal: 85 mm, widest: f/1.8, nearest: 0.8 m}
  - {id: lens-35, mount: ff, focal: 35 mm, widest: f/1.8, nearest: 0.3 m}
heads:
  - {id: head, count: 2, flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, t05: 1/400 s}}
  - {id: panel, lamp: {flux: 6000 lm, main: true, range: 6 stops, step: 0.1 stops, kelvin: 5600 K}}
modifiers: [{id: umbrella, like: shoot-through, face: 85 cm, count: 3}]
stands: [{id: stand, like: medium-stand, count: 3}]
backdrops: [{id: paper, like: white-paper}]
`

func slowRoom(t *testing.T, walls string) *inventory.Studio {
	t.Helper()
	s, err := inventory.LoadFrom(&source.File{Name: "slow.yaml", Text: []byte(strings.ReplaceAll(slowStudio, "WALLS", walls))})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const slowBrief = `brief: Slow flash
sitter: {seated: true, turn: 15 deg}
framing: {head_and_shoulders: true}
goals:
  - light-kind: flash
  - pattern: loop
  - iso: base
  - perspective: natural
`

// Where the brief leaves the shutter free a plan takes one that lets all of the flash in; where
// it does not, the plan keeps to the brief and says what is lost.
func TestShutterCatchesTheFlash(t *testing.T) {
	s := slowRoom(t, "20 %")
	for _, c := range []struct {
		goal string
		late bool
	}{{"", false}, {"  - shutter: {slowest: 1/125 s}\n", true}} {
		b := loaded(t, s, slowBrief+c.goal)
		a, err := solver.Plan(context.Background(), s, b, solver.Options{Count: 3})
		if err != nil || a.Outcome != solver.Found {
			t.Fatal(err, a.Outcome)
		}
		for _, k := range a.Setups {
			if !k.Holds() {
				t.Errorf("%s fails", k.Setup.Name)
			}
			set := k.Setup
			window := float64(s.Camera("body").Window(set.Camera.Shutter))
			for _, l := range set.Lights {
				t05, _ := s.Head(l.Head).Flash.HalfPeak(l.Power)
				lost := 1 - light.FlashShare(window, float64(t05))
				if (lost > 0.07) != c.late { // 7 % is a tenth of a stop
					t.Errorf("%q: at %s the %s at %s loses %.0f %%", c.goal, set.Camera.Shutter, l.Role, l.Power, 100*lost)
				}
			}
			if said := slices.ContainsFunc(k.Cautions, func(s string) bool { return strings.Contains(s, "the flash is longer: the key light gives") }); said != c.late {
				t.Errorf("%q: %q", c.goal, k.Cautions)
			}
			again, err := solver.Check(s, b, set)
			if err != nil || !again.Holds() || again.Cost.Tight != k.Cost.Tight {
				t.Errorf("checked again: %v", err)
			}
		}
	}
}

const slowSetup = `setup: By hand
camera: {body: body, lens: LENS, aperture: f/8, shutter: 1/200 s, iso: ISO 100, frame: 60 cm, height: 1.24 m}
backdrop: {item: paper, distance: 2 m}
lights:
  - {role: key, head: head, light: flash, modifier: umbrella, stand: stand, distance: 1.2 m, azimuth: 40 deg, elevation: 25 deg, power: 0 stops}
  - {role: fill, head: head, light: flash, modifier: umbrella, stand: stand, distance: 1.5 m, azimuth: -20 deg, elevation: 10 deg, power: -5 stops}
`

func cautionsFor(t *testing.T, walls, lens, goals string) string {
	t.Helper()
	s := slowRoom(t, walls)
	set, err := inventory.LoadSetupFrom(&source.File{Name: "set.yaml", Text: []byte(strings.ReplaceAll(slowSetup, "LENS", lens))})
	if err != nil {
		t.Fatal(err)
	}
	k, err := solver.Check(s, loaded(t, s, "brief: x\nsitter: {seated: true}\ngoals:\n  - iso: base\n"+goals), set)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(k.Cautions, "\n")
}

// Each light that is cut is named with its own loss. By hand: the curtains travel two thirds of
// 5 ms, so the frame is open for 1.65 ms. Of a flash that halves in 2.5 ms, as the key at full,
// 1 - 2^(-1.65/2.5) = 37 % falls into that; five stops down it halves in 5 ms, and 20 % do.
func TestEachFlashThatIsCutIsNamed(t *testing.T) {
	const want = "the key light gives 1.5 stops and the fill light 2.3 stops less than the meter shows"
	if got := cautionsFor(t, "5 %", "lens-85", ""); !strings.Contains(got, want) {
		t.Error(got)
	}
}
