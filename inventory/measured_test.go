package inventory_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

// A dish of 1000 cd that falls with the cosine to 0 at 90 deg, of a lamp of 6000 lm: pi x
// 1000 lm leave it (Lambert 1760), 52.4 %.
const lambertian = `beam: {angles: [0 deg, 15 deg, 30 deg, 45 deg, 60 deg, 75 deg, 90 deg], candela: [1000, 965.93, 866.03, 707.11, 500, 258.82, 0], lamp: 6000 lm}`

func TestBeamOfAModifier(t *testing.T) {
	s := load(t, with(t, smallStudio, "efficiency: 75 %, law: 3", lambertian))
	pan := s.Modifier("pan")
	if got, want := float64(pan.Efficiency), math.Pi*1000/6000; math.Abs(got-want) > 0.0086*want { // chords of 15 deg lie below by (15 deg)^2/8
		t.Errorf("passes %v, want %v", got, want)
	}
	if pan.Doubt != 0.2 {
		t.Errorf("doubt %v", pan.Doubt)
	}
	// From far its light is candela over the square of the distance: at 10 m of a head of
	// 6000 lm, 1000/100 lx.
	if got := 6000 * inventory.Throughput(pan, nil) * pan.Emitter(nil).OnAxis(10); math.Abs(got-10) > 0.01 {
		t.Errorf("%v lx at 10 m, want 10", got)
	}
	// The grid sits in front of it, and the beam behind one grid is one.
	g := s.Grid("comb")
	if a, b := pan.Emitter(g), pan.Emitter(g); a != b {
		t.Error("two emitters for one modifier and grid")
	}
	plain := load(t, smallStudio)
	loss := func(s *inventory.Studio) float64 {
		m, g := s.Modifier("pan"), s.Grid("comb")
		return m.Emitter(g).OnAxis(2) / m.Emitter(nil).OnAxis(2)
	}
	if a, b := loss(s), loss(plain); math.Abs(math.Log2(a/b)) > 0.05 {
		t.Errorf("the grid passes %v on axis, and %v without a measured beam", a, b)
	}
	// A copy keeps its beam.
	if c := s.Copy(); c.Modifier("pan").Emitter(g) != pan.Emitter(g) {
		t.Error("a copy has another beam")
	}
}

func TestRelativeBeam(t *testing.T) {
	s := load(t, with(t, smallStudio, "efficiency: 75 %, law: 3", "efficiency: 60 %, beam: {angles: [0 deg, 20 deg, 40 deg], relative: [1, 0.5, 0]}"))
	if m := s.Modifier("pan"); m.Efficiency != 0.6 || m.Emitter(nil).Beam == nil {
		t.Errorf("%+v", m)
	}
}

func TestSpectrumOfAHead(t *testing.T) {
	s := load(t, with(t, smallStudio, "watts: 100 W}", "watts: 100 W, spectrum: fl2}"))
	h := s.Head("mono")
	// CIE 015 prints 4230 K for FL2, in tens.
	if k := float64(h.Kelvin(true)); math.Abs(k-4230) > 6 {
		t.Errorf("%v K", k)
	}
	fl2, _ := colour.Illuminant("FL2")
	sp := h.Spectrum(true)
	x, y := sp.XYZ().Chromaticity()
	if wx, wy := fl2.XYZ().Chromaticity(); math.Abs(x-wx) > 1e-12 || math.Abs(y-wy) > 1e-12 {
		t.Errorf("x, y = %v %v", x, y)
	}
	if y := sp.XYZ().Y; math.Abs(y-1) > 1e-12 {
		t.Errorf("luminous sum %v", y)
	}
	// A table of the same values is the same light.
	var list []string
	for _, v := range fl2 {
		list = append(list, fmt.Sprint(v))
	}
	table := load(t, with(t, smallStudio, "watts: 100 W}", "watts: 100 W, spectrum: ["+strings.Join(list, ", ")+"]}"))
	for i, v := range table.Head("mono").Spectrum(true) {
		if math.Abs(v-sp[i]) > 1e-12 {
			t.Errorf("a table of FL2 is not FL2: %v at %v nm", v, colour.Wavelength(i))
		}
	}
	text, err := source.Encode(table.Heads[0].Lamp)
	if err != nil {
		t.Fatal(err)
	}
	back := new(inventory.Lamp)
	if err := source.Decode(&source.File{Name: "lamp.yaml", Text: text}, back); err != nil || len(back.Spectrum.Table) != colour.Samples {
		t.Errorf("%s: %v", text, err)
	}
	if k := table.Head("mono").Kelvin(false); k != unit.Kelvin(5600) {
		t.Errorf("the flash has %v", k)
	}
}

func TestMeasuredRefusals(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"efficiency: 75 %, law: 3", "law: 3", `modifier "pan": the key "efficiency" is missing`},
		{"efficiency: 75 %, law: 3", "law: 3, " + lambertian, `law: the beam says how the light spreads`},
		{"efficiency: 75 %, law: 3", "efficiency: 75 %, " + lambertian, `efficiency: it follows from the candela`},
		{"efficiency: 75 %, law: 3", strings.Replace(lambertian, "6000 lm", "3000 lm", 1), `more than the 3000 lm of the lamp`},
		{"efficiency: 75 %, law: 3", "beam: {angles: [0 deg, 9 deg], candela: [5, 0]}", `candela need the flux of the bare lamp`},
		{"efficiency: 75 %, law: 3", "beam: {angles: [0 deg, 9 deg], relative: [5, 0]}", `the key "efficiency" is missing`},
		{"efficiency: 75 %, law: 3", "efficiency: 5 %, beam: {angles: [0 deg, 9 deg]}", `a beam needs candela`},
		{"efficiency: 75 %, law: 3", "efficiency: 5 %, beam: {angles: [0 deg, 9 deg], relative: [0, 1]}", `dark on its axis`},
		{"efficiency: 75 %, law: 3", "efficiency: 5 %, beam: {angles: [0, 9 deg], relative: [1, 1]}", `studio.yaml`},
		{"watts: 100 W}", "watts: 100 W, spectrum: FL22}", `lamp.spectrum: no illuminant is called "FL22"`},
		{"watts: 100 W}", "watts: 100 W, spectrum: FL2, kelvin: 4000 K}", `lamp.kelvin: it follows from the spectrum`},
		{"watts: 100 W}", "watts: 100 W, spectrum: [1, 2, 3]}", `lamp.spectrum: 3 values; it takes 81`},
		{"watts: 100 W}", "watts: 100 W, spectrum: [" + strings.Repeat("0, ", 60) + strings.Repeat("1, ", 20) + "1]}", `too far from white`},
	} {
		_, err := inventory.LoadFrom(file(with(t, smallStudio, c.old, c.new)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.new, err, c.want)
		}
	}
}
