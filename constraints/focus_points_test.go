package constraints

import (
	"fmt"
	"math"
	"testing"

	"falloff/model/source"
	"falloff/model/unit"
)

// stopsAt is the range of third stops at which a goal of focus holds, in a frame of so many
// centimetres with the head turned and the focus on the near eye.
func stopsAt(t *testing.T, goal string, frame, turn float64) (lo, hi float64) {
	t.Helper()
	b := benchForTest()
	brief, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: fmt.Appendf(nil,
		"brief: points\nsitter: {seated: true, turn: %g deg}\ncamera: {focus: near eye}\ngoals:\n  - %s\n", turn, goal)})
	if err != nil {
		t.Fatal(err)
	}
	b.Brief = brief
	lo, hi = math.Inf(1), 0
	for _, n := range unit.FStops() {
		sc := NewScene(b)
		sc.Body, sc.Lens = &b.Studio.Cameras[0], &b.Studio.Lenses[0]
		sc.Frame, sc.Aperture = unit.Point(frame/100), unit.Point(n.True())
		var r Reading
		sc.MeasureCamera(&r)
		if Judge(brief.Goals[:1], &r)[0].Holds {
			lo, hi = min(lo, n.True()), max(hi, n.True())
		}
	}
	return lo, hi
}

// Figures worked by hand from the blur of a thin lens, c 0.030 mm, in whole: both eyes sharp and
// ears soft at a frame of 60 cm and a turn of 15 deg with the near eye in focus wants f/1.8 to
// f/3.5, and with 35 cm f/5.2 to f/9.6; at 25 deg and more there is nothing between. From nose to
// ear wants f/7.4 at 60 cm if the focus is in their middle (0.13 m of depth), and with the focus
// on the eyes, as here, 0.18 m and f/10.2: the ear is 90 mm behind. A third of a stop either way: c here is 0.0288 mm,
// and a face has its own depths.
func TestFocusPointsAgainstHandFigures(t *testing.T) {
	near := func(got, want float64) bool { return math.Abs(2*math.Log2(got/want)) < 0.7 }
	for _, c := range []struct{ frame, sharp, soft float64 }{{60, 1.8, 3.5}, {35, 5.2, 9.6}} {
		sharp, _ := stopsAt(t, "sharp: eyes", c.frame, 15)
		_, soft := stopsAt(t, "blurred: far ear", c.frame, 15)
		if !near(sharp, c.sharp) || !near(soft, c.soft) {
			t.Errorf("frame %g cm: eyes sharp from f/%.1f, ears soft to f/%.1f, want f/%g and f/%g", c.frame, sharp, soft, c.sharp, c.soft)
		}
	}
	if all, _ := stopsAt(t, "sharp: [nose, near ear, far ear]", 60, 0); !near(all, 10.2) {
		t.Errorf("nose to ear from f/%.1f, want f/10.2", all)
	}
}
