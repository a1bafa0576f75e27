package report

import (
	"io"
	"testing"

	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

// poster is a set-up of five lights in the built-in studio, one on an arm and one
// feathered, written by hand: what a sheet can be asked to draw at most. It need not hold.
const poster = `setup: Hat makers, hung light
camera: {body: body, lens: lens-85, aperture: f/8, shutter: 1/125 s, iso: ISO 100, frame: 90 cm, height: 1.5 m}
backdrop: {item: grey-paper, distance: 1.5 m}
lights:
  - {role: key, head: mono-400, light: flash, modifier: octa-120, stand: stand-heavy, boom: boom, distance: 1.3 m, azimuth: 30 deg, elevation: 30 deg, power: -1.5 stops}
  - {role: fill, head: mono-200, light: flash, modifier: box-60x90, stand: stand-medium, distance: 2 m, azimuth: -30 deg, elevation: 5 deg, power: -2 stops}
  - {role: hair, head: mono-400, light: flash, modifier: strip-30x120, grid: cloth-strip, gel: straw, stand: stand-medium, distance: 0.9 m, azimuth: 180 deg, elevation: 60 deg, power: -3 stops}
  - {role: rim-right, head: led-150, light: lamp, modifier: strip-30x120, grid: cloth-strip, gel: amber, stand: stand-medium, distance: 1.4 m, azimuth: 150 deg, elevation: 10 deg, power: -1 stops}
  - {role: background, head: led-60, light: lamp, modifier: reflector-18, grid: honey-40, gel: leaf-green, stand: stand-light, distance: 0.9 m, azimuth: 60 deg, elevation: -20 deg, feather: 10 deg, power: 0 stops}
`

// carded is one light with a card and a flag.
const carded = `setup: With cards
camera: {body: body, lens: lens-85, aperture: f/8, shutter: 1/125 s, iso: ISO 100, frame: 90 cm, height: 1.5 m}
backdrop: {item: grey-paper, distance: 1.5 m}
lights:
  - {role: key, head: mono-400, light: flash, modifier: box-60x90, stand: stand-heavy, distance: 1.1 m, azimuth: 45 deg, elevation: 25 deg, power: -2.5 stops}
cards:
  - {item: white-card, stand: stand-light, throws: key, distance: 70 cm, azimuth: -65 deg, elevation: 0 deg}
  - {item: black-card, shades: key, distance: 80 cm, azimuth: 110 deg, elevation: 30 deg}
`

const posterBrief = `brief: Hat makers
sitter: {turn: -25 deg, hair: fair, build: woman}
framing: {half: true}
goals:
  - aperture: f/8
  - ratio: 3:1
`

// drawn makes the sheet of poster.
func drawn(t testing.TB, st Style) *Sheet {
	t.Helper()
	return sheetOf(t, poster, st)
}

// sheetOf makes the sheet of a set-up in the built-in studio.
func sheetOf(t testing.TB, setup string, st Style) *Sheet {
	t.Helper()
	text, err := examples.FS.ReadFile("studios/northlight.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := inventory.LoadFrom(&source.File{Name: "northlight.yaml", Text: text})
	if err != nil {
		t.Fatal(err)
	}
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(posterBrief)})
	if err == nil {
		err = b.Bind(s)
	}
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "poster.yaml", Text: []byte(setup)})
	if err != nil {
		t.Fatal(err)
	}
	c, err := solver.Check(s, b, set)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := NewSheet(s, b, c, st, "")
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// A sheet of five lights, gridded strips among them, takes well under 50 ms.
func BenchmarkSheet(b *testing.B) {
	sheet := drawn(b, Style{})
	for b.Loop() {
		again, err := NewSheet(sheet.studio, sheet.brief, sheet.set, Style{}, "")
		if err != nil {
			b.Fatal(err)
		}
		if err := again.HTML(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
