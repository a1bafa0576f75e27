package constraints

import (
	"math"
	"testing"

	"falloff/examples"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/source"
)

const staged = `setup: x
camera: {body: body, lens: lens-85, aperture: f/4, shutter: 1/125 s, iso: ISO 100, frame: 65 cm, height: 1.6 m}
backdrop: {item: grey-paper, distance: 2 m}
lights:
  - {role: key, head: led-150, light: lamp, modifier: box-60x90, stand: stand-medium, distance: 1 m, azimuth: 40 deg, elevation: 20 deg, feather: 10 deg, power: 0 stops}
  - {role: background, head: led-60, light: lamp, modifier: reflector-18, gel: leaf-green, stand: stand-light, distance: 0.9 m, azimuth: 60 deg, elevation: -20 deg, power: 0 stops}
cards:
  - {item: white-card, throws: key, distance: 70 cm, azimuth: -65 deg, elevation: 0 deg}
  - {item: black-card, shades: key, distance: 80 cm, azimuth: 110 deg, elevation: 30 deg}
`

func stage(t *testing.T) *Stage {
	t.Helper()
	text, err := examples.FS.ReadFile("studios/northlight.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, err := inventory.LoadFrom(&source.File{Name: "northlight.yaml", Text: text})
	if err != nil {
		t.Fatal(err)
	}
	b, err := LoadBriefFrom(&source.File{Name: "b.yaml", Text: []byte("brief: x\ngoals:\n  - aperture: f/4\n")})
	if err == nil {
		err = b.Bind(s)
	}
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "s.yaml", Text: []byte(staged)})
	if err != nil {
		t.Fatal(err)
	}
	st, err := (&Bench{Studio: s, Brief: b}).Stage(set)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// The light that is drawn on the backdrop is the light that goals are judged by: added up
// over the points that the frame shows it gives the same brightest and darkest tone.
func TestStageAgreesWithTheReading(t *testing.T) {
	s := stage(t)
	r := Measure(s.Scene)
	bright, dim := math.Inf(-1), math.Inf(1)
	for i, p := range s.Scene.layout.Points {
		if !s.Scene.layout.visible[i] {
			continue
		}
		sum := 0.0
		for k := range s.Lights {
			sum += s.Lights[k].OnPaper(p)
		}
		bright, dim = max(bright, s.Grey(sum)), min(dim, s.Grey(sum))
	}
	if math.Abs(bright-r.Bright.Lo) > 1e-9 || math.Abs(dim-r.Dim.Lo) > 1e-9 {
		t.Errorf("drawn from %v to %v, read from %v to %v", dim, bright, r.Dim.Lo, r.Bright.Lo)
	}
	if key := s.Light("key"); math.Abs(math.Log2(key.Facing(key.Target))-r.Lights[inventory.Key].Level.Lo) > 1e-9 {
		t.Error("the key's level at its target is not that of the reading")
	}
}

// Looking through a place of the frame and finding that place again are inverse; the eyes
// are at the focus, up is up and right is camera right.
func TestStageSees(t *testing.T) {
	s := stage(t)
	for _, at := range [][2]float64{{0, 0}, {-1, 1}, {0.5, -0.7}} {
		p := s.Behind(at[0], at[1])
		if x, y, depth := s.See(p); math.Hypot(x-at[0], y-at[1]) > 1e-9 || depth <= 0 || math.Abs(p.Y-s.Paper.Y) > 1e-9 {
			t.Errorf("%v is seen at %v, %v", at, x, y)
		}
	}
	x, y, depth := s.See(s.Eye)
	if math.Abs(depth-s.Focus()) > 1e-6 {
		t.Errorf("the eyes are %v m away, in focus is %v m", depth, s.Focus())
	}
	right, _, _ := s.See(s.Eye.Add(geom.Vec{X: 0.1}))
	_, up, _ := s.See(s.Eye.Add(geom.Vec{Z: 0.1}))
	w, h := s.HalfFrame()
	if math.Abs((right-x)*w-0.1) > 1e-3 || math.Abs((up-y)*h-0.1) > 1e-3 {
		t.Errorf("10 cm are %v to the right and %v up", (right-x)*w, (up-y)*h)
	}
	// A card stands where its distance and angles say.
	if d := s.Cards[0].At.Sub(s.Eye).Len(); math.Abs(d-0.7) > 1e-9 || !s.Cards[1].Flag || s.Cards[0].Flag {
		t.Errorf("%+v", s.Cards)
	}
}
