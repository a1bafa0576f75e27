package picture

import (
	"fmt"
	"math"
	"testing"

	"falloff/cmd/internal/report/draw"
	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/model/source"
)

// lit is a set-up in the built-in studio with the given background light and a key.
func lit(t *testing.T, frame, background string) *Set {
	t.Helper()
	text, err := examples.FS.ReadFile("studios/northlight.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := inventory.LoadFrom(&source.File{Name: "northlight.yaml", Text: text})
	if err != nil {
		t.Fatal(err)
	}
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte("brief: x\ngoals:\n  - aperture: f/4\n")})
	if err == nil {
		err = b.Bind(s)
	}
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "s.yaml", Text: fmt.Appendf(nil, `setup: x
camera: {body: body, lens: lens-85, aperture: f/4, shutter: 1/125 s, iso: ISO 100, frame: %s, height: 1.5 m}
backdrop: {item: grey-paper, distance: 2 m}
lights:
  - {role: key, head: led-150, light: lamp, modifier: box-60x90, stand: stand-medium, distance: 1 m, azimuth: 40 deg, elevation: 20 deg, power: 0 stops}
  - {role: background, head: led-60, light: lamp, %s, stand: stand-light, distance: 0.9 m, azimuth: 60 deg, elevation: -20 deg, power: 0 stops}
`, frame, background)})
	if err != nil {
		t.Fatal(err)
	}
	stage, err := (&constraints.Bench{Studio: s, Brief: b}).Stage(set)
	if err != nil {
		t.Fatal(err)
	}
	out := &Set{Studio: s, Brief: b, Stage: stage}
	for i := range stage.Lights {
		out.Lights = append(out.Lights, Light{Number: i + 1, StageLight: &stage.Lights[i]})
	}
	return out
}

// The picture of the backdrop, measured at few places, is right between them to a tenth of
// a stop wherever it is within six stops of its brightest: for a soft spot, and for the
// sharpest beam of the kit on a wide frame.
func TestBackdropBetweenMeasuredPlaces(t *testing.T) {
	for _, c := range []struct{ frame, background string }{
		{"65 cm", "modifier: reflector-18, gel: leaf-green"}, {"65 cm", "modifier: reflector-18, grid: honey-20"}, {"90 cm", "modifier: snoot-6"},
	} {
		s := lit(t, c.frame, c.background)
		f := s.backdrop()
		_, most := f.tones(s)
		worst := 0.0
		for j := 1; j < f.ny; j += 5 {
			for i := 1; i < f.nx; i += 3 {
				p := s.Stage.Behind(2*float64(i)/float64(f.nx-1)-1, 1-2*float64(j)/float64(f.ny-1))
				want := 0.0
				for k := range s.Lights {
					want += s.Lights[k].OnPaper(p)
				}
				if tone := s.Stage.Grey(want); tone > most-6 {
					worst = max(worst, math.Abs(s.Stage.Grey(f.sum[j*f.nx+i])-tone))
				}
			}
		}
		if worst > 0.1 {
			t.Errorf("%s in a frame of %s: %.2f stops off", c.background, c.frame, worst)
		}
	}
}

// A line of equal tone lies where the light has that tone.
func TestContoursLieOnTheirTone(t *testing.T) {
	s := lit(t, "65 cm", "modifier: reflector-18, gel: leaf-green")
	f := s.backdrop()
	v := view{s, draw.Point{}, 1, 1}
	steps := f.steps(s)
	if len(steps) < 2 {
		t.Fatalf("only %v", steps)
	}
	for _, tone := range steps {
		pieces := f.contour(v, tone)
		if len(pieces) == 0 {
			t.Errorf("no line at %v", tone)
		}
		for n := 0; n < len(pieces); n += 7 {
			sum := 0.0
			for k := range s.Lights {
				sum += s.Lights[k].OnPaper(s.Stage.Behind(pieces[n][0].X, -pieces[n][0].Y))
			}
			if got := s.Stage.Grey(sum); math.Abs(got-tone) > 0.1 {
				t.Errorf("the line of %v runs where it is %.2f", tone, got)
			}
		}
	}
}
