package inventory_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
)

// smallStudio is a valid studio that tests change one line of.
const smallStudio = `studio: Small
room:
  width: 4 m
  depth: 6 m
  height: 2.7 m
  walls: 30 %
  ceiling: 70 %
  floor: 20 %
  circuits: [{volts: 230, amps: 16}]
cameras:
  - {id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100}
lenses:
  - {id: lens-85, mount: ff, focal: 85 mm, widest: f/1.4, nearest: 0.8 m}
heads:
  - id: mono
    mount: studio
    mass: 2 kg
    bare: true
    cable: 4 m
    flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, recycle: 1 s}
    lamp: {flux: 2000 lm, watts: 100 W}
modifiers:
  - {id: box, type: softbox, fits: [studio], shape: rectangle, face: 60 x 90 cm, efficiency: 45 %, mass: 1 kg}
  - {id: pan, type: reflector, fits: [studio], shape: disc, face: 18 cm, efficiency: 75 %, law: 3, mass: 0.4 kg}
grids:
  - {id: comb, fits: [pan], cell: hex, cutoff: 30 deg}
gels:
  - {id: amber, standard: amber}
cards:
  - {id: card, face: 60 x 90 cm, reflectance: 88 %}
stands:
  - {id: post, count: 2, height: 2.6 m, load: 8 kg}
booms:
  - {id: arm, reach: 1.2 m, load: 4 kg}
backdrops:
  - {id: black, reflectance: 4 %, width: 2.72 m}
triggers:
  - {id: radio}
`

func file(text string) *source.File {
	return &source.File{Name: "studio.yaml", Text: []byte(text)}
}

func load(t testing.TB, text string) *inventory.Studio {
	t.Helper()
	s, err := inventory.LoadFrom(file(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// with replaces one piece of a text that must occur once.
func with(t testing.TB, text, old, new string) string {
	t.Helper()
	if n := strings.Count(text, old); n != 1 {
		t.Fatalf("%q occurs %d times", old, n)
	}
	return strings.Replace(text, old, new, 1)
}

var mark = regexp.MustCompile(`<<([^>]*)>>`)

// placed replaces each <<before^after>> of a wanted message by the place in text where
// "after" begins, so that no column is counted by hand.
func placed(t testing.TB, text, want string) string {
	t.Helper()
	return mark.ReplaceAllStringFunc(want, func(m string) string {
		before, after, _ := strings.Cut(strings.ReplaceAll(m[2:len(m)-2], `\n`, "\n"), "^")
		at := strings.Index(text, before+after)
		if at < 0 || strings.Count(text, before+after) != 1 {
			t.Fatalf("%s does not occur once", m)
		}
		head := text[:at+len(before)]
		line := strings.Count(head, "\n")
		col := len(head) - strings.LastIndex(head, "\n")
		return fmt.Sprintf("studio.yaml:%d:%d", line+1, col)
	})
}
