package cmd_test

import (
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/examples"
	"falloff/model/source"
	"falloff/model/unit"
)

// Thirty wishes as photographers say them, each with its measurable form (the forms are
// common practice, no source; those with an f-number or an angle were worked by hand). A line
// is a kind, a part, and the range that it must lie in.
var wishes = map[string][]string{
	"01-eyes-sharp-ears-soft":    {"sharp, far eye: ..1 x", "sharp, near eye: ..1 x", "blurred, near ear: 3.. x", "blurred, far ear: 3.. x"},
	"02-only-the-near-lashes":    {"sharp, near eye: ..1 x", "blurred, far eye: 2.. x"},
	"03-nose-to-ear-sharp":       {"sharp, nose: ..1 x", "sharp, near ear: ..1 x", "sharp, far ear: ..1 x", "diffraction, Airy disc: ..1 x"},
	"04-pure-white-no-wrap":      {"high-key, darkest of the background: 2.47.. stops", "high-key, brightest: ..3.24 stops", "high-key, wrap: ..-2 stops"},
	"05-even-white":              {"background-level, darkest: 1.8.. stops", "even-background, : ..0.4 stop"},
	"06-grey-from-white-paper":   {"background-level, brightest: ..0.34 stops", "background-level, darkest: -0.36.. stops", "even-background, : ..0.5 stop"},
	"07-true-black":              {"background-level, brightest: ..-3.8 stops"}, // log2(0.013 / 0.18)
	"08-dark-with-texture":       {"background-level, brightest: ..-1.58 stops", "background-level, darkest: -3.17.. stops"},
	"09-saturated-wall":          {"saturation, least: 0.8.. %", "saturation, brightest channel behind the head: 0.2..0.6 %", "saturation, brightest anywhere: ..0.98 %"},
	"10-halo":                    {"glow, radius: 0.14..0.28 m", "glow, distance from the head's centre: ..0.15 m", "low-key, background: ..-2.5 stops"},
	"11-gradient":                {"gradient, lighter at the bottom by: 1.5..3 stop", "gradient, light end over the head by: 0.. stop", "gradient, head over the dark end by: 0.. stop"},
	"12-thin-clean-rims":         {"rim, left level: -1..0.7 stops", "rim, right angle: 140..165 deg", "rim, the two sides differ by: ..0.3 stop", "no-clipping, rim-left: ..2.4439 stops"},
	"13-rim-off-the-nose":        {"no-nose-rim, rim-left: 125.. deg", "no-nose-rim, rim-right: 125.. deg"},
	"14-no-flare":                {"flare, rim-left: 0.. deg", "flare, key: 0.. deg"},
	"15-sunstar":                 {"sunstar, aperture: 11.. f/", "sunstar, star: ..0.5 deg", "sunstar, inside the frame by: 0.. m"},
	"16-rembrandt":               {"pattern, key from the nose: 40..60 deg", "pattern, above the eyes: 30..50 deg", "catchlight, from the nose: ..70 deg"},
	"17-butterfly":               {"pattern, key from the nose: ..10 deg", "pattern, above the eyes: 20..40 deg"},
	"18-three-to-one":            {"ratio, (key + fill) to fill: 1.384963..1.784963 stops"}, // log2 3 +- 0.2
	"19-moody":                   {"ratio, (key + fill) to fill: 3.. stops"},
	"20-very-soft":               {"soft, key: 38.6.. deg"},
	"21-hard-old-film":           {"hard, key: ..6.9 deg", "hard, fill under the key by: 2.. stop", "hard, room under the key by: 2.. stop"},
	"22-catchlights":             {"catchlight, key from the camera: ..75 deg", "catchlight, above the eyes: ..50 deg", "catchlight, from 12 o'clock: ..60 deg"},
	"23-glasses":                 {"glasses, key: 5.. deg"},
	"24-natural-face":            {"perspective, nose against ear: 0.03..0.09 %"},
	"25-background-melts":        {"background-blur, : 0.025.. %"},
	"26-hair-frozen":             {"freeze, key: ..1 x"},
	"27-no-ambient":              {"ambient, : ..-5 stops"},
	"28-dark-hair-off-dark-wall": {"separation, left: 1.5.. stop", "separation, right: 1.5.. stop"},
	"29-even-head-to-shoes":      {"head-to-feet, feet darker by: ..0.7 stop", "out-of-frame, key: 0.1.. m"},
	"30-repeat-next-month":       {"repeatable, key: ..0.1 stop"},
}

func TestWishes(t *testing.T) {
	files, err := fs.Glob(examples.FS, "wishes/*.yaml")
	if err != nil || len(files) != 30 || len(wishes) != 30 {
		t.Fatalf("%d files, %d wishes: %v", len(files), len(wishes), err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(f, "wishes/"), ".yaml")
		want, ok := wishes[name]
		if !ok {
			t.Errorf("%s has no measurable form in this test", f)
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			has := formOf(t, f)
			for _, line := range want {
				if !slices.Contains(has, line) {
					t.Errorf("%q is not measured, but\n%s", line, strings.Join(has, "\n"))
				}
			}
			answered(t, 0, "plan", "wishes/"+name, "--count", "1")
		})
	}
}

// formOf lists what a brief's goals measure, with every light on.
func formOf(t *testing.T, name string) (out []string) {
	text, err := fs.ReadFile(examples.FS, name)
	if err != nil {
		t.Fatal(err)
	}
	b, err := constraints.LoadBriefFrom(&source.File{Name: name, Text: text})
	if err != nil {
		t.Fatal(err)
	}
	r := constraints.Unknown()
	for i := range r.Lights {
		r.Lights[i].On = unit.Point(1)
	}
	end := func(x float64) string {
		if math.Abs(x) > 1e300 {
			return ""
		}
		return fmt.Sprint(math.Round(x*1e6) / 1e6)
	}
	for _, g := range b.Goals {
		for _, p := range g.Req.Judge(&r, nil) {
			out = append(out, fmt.Sprintf("%s, %s: %s..%s %s", g.Name(), p.What, end(p.Want.Lo), end(p.Want.Hi), p.Unit))
		}
	}
	return out
}

// The ready looks load, and an ordinary studio builds every one of them, with no face drawn from
// so near that it is a caricature.
func TestLooks(t *testing.T) {
	t.Parallel()
	files, err := fs.Glob(examples.FS, "looks/*.yaml")
	if err != nil || len(files) < 12 {
		t.Fatalf("%d looks: %v", len(files), err)
	}
	for _, f := range files {
		for _, k := range answered(t, 0, "plan", strings.TrimSuffix(f, ".yaml")).Setups {
			reading := k["camera"].(map[string]any)
			if d := reading["distance_m"].(float64); d < 1.1 { // 12 % larger, by (d + 0.10) / (d - 0.03)
				t.Errorf("%s: the camera is %.2f m from the face", f, d)
			}
		}
	}
}
