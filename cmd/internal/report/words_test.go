package report

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
	"falloff/solver"
)

// Left and right are the camera's; x is to camera right and y toward the camera.
func TestPlacesInWords(t *testing.T) {
	st := Style{Width: 80}
	for _, c := range []struct {
		az, el float64
		want   string
	}{
		{0, 0, "in line with the camera, level with eye level"},
		{35, 25, "35 deg to camera right, 25 deg above eye level"},
		{-90, -10, "90 deg to camera left, 10 deg below eye level"},
		{145, 20, "145 deg round to camera right (35 deg off straight behind), 20 deg above eye level"},
		{210, 70, "150 deg round to camera left (30 deg off straight behind), 70 deg above eye level"},
		{-200, 0, "160 deg round to camera right (20 deg off straight behind), level with eye level"},
		{-180, 0, "straight behind, level with eye level"},
	} {
		l := solver.LightReport{Set: inventory.LightSet{Role: "key", Distance: 1.2, Azimuth: unit.Angle(c.az) * unit.Degree, Elevation: unit.Angle(c.el) * unit.Degree}}
		got := strings.ReplaceAll(st.place(&l), nb, " ")
		if want := "1.2 m from the eyes, " + strings.ReplaceAll(c.want, "level with eye level", "at eye level"); got != want {
			t.Errorf("%v, %v: %q, want %q", c.az, c.el, got, want)
		}
	}
	for _, c := range []struct {
		at   geom.Vec
		back unit.Length
		want string
	}{
		{geom.Vec{X: 0.69, Y: 0.98}, 3, "69 cm to camera right of the mark, 98 cm toward the camera"},
		{geom.Vec{X: -0.69, Y: -0.98}, 1.42, "69 cm to camera left of the mark, 98 cm toward the backdrop (1.42 m clear of it)"},
		{geom.Vec{}, 2, "on the centre line, level with the mark"},
	} {
		l := solver.LightReport{At: c.at, FromBack: c.back}
		if got := strings.ReplaceAll(st.onFloor(&l), nb, " "); got != c.want {
			t.Errorf("%v: %q, want %q", c.at, got, c.want)
		}
	}
}

func TestImperialSentences(t *testing.T) {
	p := newPage(Style{Width: 80, Units: unit.Imperial})
	p.kit = []string{"60 x 90 cm soft box"}
	for in, want := range map[string]string{
		"The key hangs 1.22 m up.":               "The key hangs 4 ft up.",
		"radius 0.2 to 0.305 m":                  "radius 7 7/8 in to 1 ft",
		"a 60 x 90 cm soft box and 9.4 mm sharp": "a 60 x 90 cm soft box and 9.4 mm sharp",
		"at f/2 and 1/100 s, 5600 K":             "at f/2 and 1/100 s, 5600 K",
		"it weighs 4.5 kg":                       "it weighs 9.9 lb",
	} {
		if got := p.units(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// Wrapping keeps every word in order, fits the width where the words do, and never parts
// a number from its unit.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.SampledFrom([]string{"key", "1.2 m", "the", "background", "35 deg", "f/2", "ISO 100", "90 %", "a"}), 0, 60).Draw(t, "words")
		width := rapid.IntRange(12, 90).Draw(t, "width")
		lines := wrap(strings.Join(words, " "), width, width)
		var back []string
		for _, l := range lines {
			if utf8.RuneCountInString(l) > width {
				t.Fatalf("%q is over %d", l, width)
			}
			back = append(back, strings.Split(l, " ")...)
		}
		if len(back) != len(words) {
			t.Fatalf("%d words became %d: %q", len(words), len(back), lines)
		}
		for i, w := range words {
			if strings.ReplaceAll(back[i], nb, " ") != w {
				t.Fatalf("word %d: %q, want %q", i, back[i], w)
			}
		}
	})
}

// A bare head has a name in the line that tells a set-up, and a margin that reads as nothing
// is just met.
func TestSmallWords(t *testing.T) {
	s := studio()
	l := &inventory.LightSet{Role: "key", Head: "mono", Azimuth: 30 * unit.Degree}
	if got, want := oneLight(s, "key", l), "bare "+s.Head("mono").Label()+" as key from "; !strings.HasPrefix(got, want) {
		t.Errorf("%q does not begin with %q", got, want)
	}
	p := newPage(Style{})
	g := &solver.GoalResult{Parts: []constraints.Part{{Got: unit.Point(0.29), Want: unit.Interval{Lo: -0.3, Hi: 0.3}, Unit: constraints.InStops, Fine: 0.1, Doubt: 0.4}}}
	if got := words(p.margins(g)); got != "just met (+-0.4 stop)" {
		t.Errorf("a hundredth of a stop inside: %q", got)
	}
}
