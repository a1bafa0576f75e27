package constraints_test

import (
	"fmt"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
)

// moveSetup is a set-up in the usual studio of the practice tests: what a test moves is written as
// it stands in the files.
const moveSetup = `
setup: Moves
camera: {body: body, lens: lens-85, aperture: APERTURE, shutter: SHUTTER, iso: SPEED, frame: FRAME, height: HEIGHT}
backdrop: {item: black, distance: DEPTH}
lights:
  - {role: key, head: KEYHEAD, light: KEYLIGHT, modifier: box, stand: stand, distance: KEYD, azimuth: KEYAZ, elevation: KEYEL, power: KEYP}
  - {role: rim-left, head: mono-300, light: flash, modifier: box, stand: stand, distance: 1.2 m, azimuth: RIMAZ, elevation: 15 deg, power: RIMP}
  - {role: background, head: mono-300, light: flash, modifier: box,BGGEL stand: stand, distance: BGD, azimuth: 20 deg, elevation: -30 deg, power: BGP}
EXTRA`

var moveUsual = map[string]string{"APERTURE": "f/5.6", "SHUTTER": "1/125 s", "HEIGHT": "1.24 m", "DEPTH": "2 m", "KEYD": "1.2 m", "KEYAZ": "40 deg",
	"KEYEL": "25 deg", "KEYP": "-2 stops", "RIMAZ": "-140 deg", "RIMP": "-2 stops", "BGD": "0.8 m", "BGP": "-2 stops", "TURN": "15 deg",
	"FRAME": "60 cm", "SPEED": "ISO 100", "KEYHEAD": "mono-300", "KEYLIGHT": "flash", "BGGEL": "", "EXTRA": ""}

const moveFill = "  - {role: fill, head: mono-300, light: flash, modifier: box, stand: stand, distance: 1.5 m, azimuth: -20 deg, elevation: 10 deg, power: -4 stops}\n"

// moveStudio has more of the usual kit, a head that is warm, one of poor colour, and a fuse.
var moveStudio = strings.NewReplacer(
	"{id: mono-300, mount: ring, mass: 2.5 kg, flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops}}",
	`{id: mono-300, count: 3, mount: ring, cable: 5 m, mass: 2.5 kg, flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, recycle: 1 s, t05: 1/800 s, amps: 3}, lamp: {flux: 3000 lm, main: true, range: 6 stops, step: 0.1 stops}}
  - {id: warm, mount: ring, mass: 2.5 kg, flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, kelvin: 3200 K}}
  - {id: poor, mount: ring, mass: 2.5 kg, flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, spectrum: FL4}}`,
	"floor: 30 %}", "floor: 30 %, circuits: [{volts: 230, amps: 16}]}").Replace(usual)

// Whatever is moved, a margin goes the way that anybody who has built a set expects: up for
// +1, down for -1. From the physics, in words; no figure is checked here.
var moves = []struct {
	goal, part, what, from, to string
	up                         int
}{
	{"sharp: [nose]", "nose", "APERTURE", "f/4", "f/8", +1},
	{"blurred: [ears]", "near ear", "APERTURE", "f/4", "f/8", -1},
	{"diffraction", "Airy disc", "APERTURE", "f/8", "f/16", -1},
	{"foreground-blur", "", "APERTURE", "f/2.8", "f/8", -1},
	{"background-blur: {at least: 1 %}", "", "DEPTH", "1 m", "3 m", +1},
	{"far-ear: hidden", "head turned past where the ear goes by", "TURN", "15 deg", "30 deg", +1},
	{"camera-height: {pitch: at least -10 deg}", "looks up by", "HEIGHT", "1.24 m", "1.5 m", -1},
	{"ambient: {lux: 50 lux}", "", "SHUTTER", "1/60 s", "1/200 s", +1},
	{"ambient: {lux: 50 lux}", "", "APERTURE", "f/4", "f/8", +1},
	{"lean", "key darker by", "KEYD", "0.8 m", "1.6 m", +1},
	{"repeatable", "key", "KEYD", "0.8 m", "1.6 m", +1},
	{"soft", "key", "KEYD", "0.8 m", "1.6 m", -1},
	{"hard", "key", "KEYD", "0.8 m", "1.6 m", +1},
	{"hard", "room under the key by", "KEYD", "0.8 m", "1.6 m", -1}, // more of it goes past
	{"head-to-feet", "feet darker by", "KEYD", "0.8 m", "2 m", +1},
	{"glasses", "key", "KEYEL", "20 deg", "40 deg", +1},
	{"catchlight", "from 12 o'clock", "KEYEL", "10 deg", "40 deg", +1},
	{"catchlight", "key from the camera", "KEYAZ", "30 deg", "60 deg", -1},
	{"no-nose-rim", "rim-left", "RIMAZ", "-130 deg", "-150 deg", +1},
	{"no-clipping", "rim-left", "RIMP", "-3 stops", "-1 stops", -1},
	{"separation: left", "left", "RIMP", "-1 stops", "0 stops", +1}, // once the hair is lighter than the wall
	{"even-background", "", "BGD", "0.6 m", "1.6 m", +1},
	{"high-key", "darkest of the background", "BGP", "-4 stops", "-1 stops", +1},
	{"high-key", "wrap", "BGP", "-4 stops", "-1 stops", -1},
	{"high-key", "wrap", "DEPTH", "1 m", "3 m", +1},
	{"saturation", "brightest channel behind the head", "BGP", "-6 stops", "-5 stops", +1},
	{"low-key", "background", "DEPTH", "1 m", "3 m", +1},
	{"freeze", "key", "KEYP", "-4 stops", "0 stops", +1}, // a voltage-controlled head is shorter at full
	{"recycle", "key", "KEYP", "-4 stops", "0 stops", -1},
	{"exposure: {key: at least 0 stops}", "face", "KEYP", "-4 stops", "-2 stops", +1},
	{"sunstar", "aperture", "APERTURE", "f/8", "f/16", +1},
	{"framing: {head_and_shoulders: true}", "frame height", "FRAME", "45 cm", "55 cm", +1},
	{"perspective: natural", "nose against ear", "FRAME", "25 cm", "50 cm", +1},
	{"both-eyes-sharp", "keepers", "APERTURE", "f/2.8", "f/5.6", +1},
	{"both-eyes-sharp", "keepers", "TURN", "10 deg", "40 deg", -1},
	{"iso: {at most: ISO 400}", "", "SPEED", "ISO 100", "ISO 200", -1},
	{"shutter: handheld", "hand-held", "SHUTTER", "1/60 s", "1/125 s", +1},
	{"aperture: {at most: f/8}", "", "APERTURE", "f/2.8", "f/5.6", -1},
	{"background-level: near black", "brightest", "BGP", "-6 stops", "-2 stops", -1},
	{"glow: {hue: amber, level: -6..6 stops}", "level", "BGP", "-6 stops", "-5 stops", +1},
	{"gradient", "lighter at the bottom by", "BGD", "1.6 m", "0.8 m", +1}, // aimed below the middle and steeper
	{"ratio: {at least: 2:1}", "(key + fill) to fill", "KEYD", "0.8 m", "1.6 m", -1},
	{"background-hue: {hue: amber, level: -6..6 stops}", "level behind the head", "BGP", "-6 stops", "-5 stops", +1},
	{"key-colour: {kelvin: 3200 K}", "off by", "KEYHEAD", "mono-300", "warm", +1},
	{"rendition", "key", "KEYHEAD", "mono-300", "poor", -1},
	{"rim: {side: left, level: -6..6 stops}", "left level", "RIMP", "-6 stops", "-5 stops", +1},
	{"out-of-frame", "key", "FRAME", "50 cm", "100 cm", -1},
	{"pattern: loop", "key from the nose", "KEYAZ", "80 deg", "60 deg", +1},
	{"circuits", "fullest circuit", "EXTRA", "", moveFill, -1},
	{"few-lights: {at most: 5}", "", "EXTRA", "", moveFill, -1},
	{"set-up-time: {at most: 90 min}", "", "EXTRA", "", moveFill, -1},
	{"light-kind: continuous", "key", "KEYLIGHT", "flash", "lamp", +1},
	{"flare", "rim-left", "RIMAZ", "-150 deg", "-125 deg", +1}, // farther from where the lens looks
}

func TestMarginsMoveAsTheySay(t *testing.T) {
	for _, m := range moves {
		t.Run(m.goal+" by "+strings.ToLower(m.what), func(t *testing.T) {
			before, after := marginOf(t, m.goal, m.part, m.what, m.from), marginOf(t, m.goal, m.part, m.what, m.to)
			if d := after - before; d*float64(m.up) <= 0 {
				t.Errorf("from %s to %s the margin goes from %.3f to %.3f", m.from, m.to, before, after)
			}
		})
	}
}

// marginOf is the margin of a part of a goal with one thing moved.
func marginOf(t *testing.T, goal, part, what, value string) float64 {
	t.Helper()
	studio, err := inventory.LoadFrom(&source.File{Name: "usual.yaml", Text: []byte(moveStudio)})
	if err != nil {
		t.Fatal(err)
	}
	text := moveSetup
	turn := moveUsual["TURN"]
	for k, v := range moveUsual {
		if k == what {
			v = value
		}
		if k == "TURN" {
			turn = v
		}
		text = strings.ReplaceAll(text, k, v)
	}
	brief, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: fmt.Appendf(nil,
		"brief: Moves\nsitter: {seated: true, turn: %s, hair: dark}\ngoals:\n  - %s\n", turn, goal)})
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "set-up.yaml", Text: []byte(text)})
	if err != nil {
		t.Fatal(err)
	}
	if what == "HEIGHT" {
		brief.Camera.Height = set.Camera.Height
	}
	scene, err := (&constraints.Bench{Studio: studio, Brief: brief}).SceneOf(set)
	if err != nil {
		t.Fatal(err)
	}
	r := constraints.Measure(scene)
	for _, p := range brief.Goals[0].Req.Judge(&r, nil) {
		if p.What == part {
			return p.Margin().Lo
		}
	}
	t.Fatalf("%s has no part %q, only %+v", goal, part, brief.Goals[0].Req.Judge(&r, nil))
	return 0
}
