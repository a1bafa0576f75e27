package solver_test

import (
	"context"
	"io/fs"
	"testing"

	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/inventory/hirehouse"
	"falloff/model/source"
	"falloff/solver"
)

// One run of each, with the memory that it takes:
//
//	go test ./solver -run '^$' -bench . -benchtime 1x
//
// "cpu-s/op" is processor time, all threads together; "ns/op" is the time on the wall.

// BenchmarkPlan40 is the built-in example: the studio of about forty types of item, and
// five set-ups with the best one proved.
func BenchmarkPlan40(b *testing.B) {
	plan(b, studio(b, "northlight"), "rim-and-glow", solver.Found)
}

// BenchmarkPlan1000 has the same goals and the kit of a hire house.
func BenchmarkPlan1000(b *testing.B) {
	plan(b, hirehouse.Studio(1000), "rim-and-glow", solver.Found)
}

// BenchmarkCannot40 is a refutation with its argument and the changes that help.
func BenchmarkCannot40(b *testing.B) {
	plan(b, studio(b, "northlight"), "tight-and-open", solver.Cannot)
}

// BenchmarkCannotByBounce is a refutation over all positions of a light in a room whose
// walls count.
func BenchmarkCannotByBounce(b *testing.B) {
	plan(b, studio(b, "spare-room"), "black-from-white", solver.Cannot)
}

// BenchmarkCheck is the full model on one set-up of five lights, room bounce included.
func BenchmarkCheck(b *testing.B) {
	s := studio(b, "northlight")
	wishes := bound(b, s, "rim-and-glow")
	set, err := inventory.LoadSetupFrom(&source.File{Name: "five.yaml", Text: []byte(fiveLights)})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := solver.Check(s, wishes, set); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkScene is the model alone on the same five lights: where they stand, what each
// puts on face, hair, backdrop and back from the walls, and every number read from it.
func BenchmarkScene(b *testing.B) {
	s := studio(b, "northlight")
	bench := &constraints.Bench{Studio: s, Brief: bound(b, s, "rim-and-glow"), Bounces: constraints.Bounces{}}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "five.yaml", Text: []byte(fiveLights)})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		sc, err := bench.SceneOf(set)
		if err != nil {
			b.Fatal(err)
		}
		if r := constraints.Measure(sc); !r.Dark.IsPoint() {
			b.Fatal("the scene is not measured")
		}
	}
}

// BenchmarkUnstick40 is the ladder from a set of four lights, the ready looks among it.
func BenchmarkUnstick40(b *testing.B) {
	s := studio(b, "northlight")
	set, err := inventory.LoadSetupFrom(embedded(b, "stalls/second-encore.yaml"))
	if err != nil {
		b.Fatal(err)
	}
	asked(b, func() error {
		_, err := solver.Unstick(context.Background(), s, bound(b, s, "rim-and-glow"), set, nil, looks(b), 0, solver.Options{})
		return err
	})
}

// BenchmarkReach40 is a range that the camera decides and one that light decides.
func BenchmarkReach40(b *testing.B) {
	s := studio(b, "northlight")
	for _, name := range []string{"shutter", "background"} {
		q, err := constraints.FindQuantity(name)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			asked(b, func() error {
				_, err := solver.Reach(context.Background(), s, bound(b, s, "classic"), q, solver.Options{})
				return err
			})
		})
	}
}

// BenchmarkHire40 finds the cheapest way to a brief that the kit cannot do alone.
func BenchmarkHire40(b *testing.B) {
	s, list := studio(b, "northlight"), studio(b, "corner-hire")
	joint, _ := s.With(list)
	asked(b, func() error {
		_, err := solver.Hire(context.Background(), s, list, bound(b, joint, "one-green-gel"), solver.Options{})
		return err
	})
}

// BenchmarkWithout40 says what can stay at home.
func BenchmarkWithout40(b *testing.B) {
	s := studio(b, "northlight")
	asked(b, func() error {
		_, err := solver.Pack(context.Background(), s, bound(b, s, "rim-and-glow"), solver.Options{})
		return err
	})
}

// BenchmarkSurvey40 is all ready looks.
func BenchmarkSurvey40(b *testing.B) {
	s := studio(b, "northlight")
	asked(b, func() error {
		_, err := solver.SurveyKit(context.Background(), s, looks(b), solver.Options{})
		return err
	})
}

func asked(b *testing.B, ask func() error) {
	b.ReportAllocs()
	begun := solver.ProcessorSeconds()
	for b.Loop() {
		if err := ask(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric((solver.ProcessorSeconds()-begun)/float64(b.N), "cpu-s/op")
}

func looks(b *testing.B) (out []*constraints.Brief) {
	files, err := fs.Glob(examples.FS, "looks/*.yaml")
	if err != nil || len(files) == 0 {
		b.Fatal("no looks", err)
	}
	for _, name := range files {
		look, err := constraints.LoadBriefFrom(embedded(b, name))
		if err != nil {
			b.Fatal(err)
		}
		out = append(out, look)
	}
	return out
}

const fiveLights = `
setup: Five lights
camera: {body: body, lens: lens-85, aperture: f/2, shutter: 1/60 s, iso: ISO 100, frame: 60 cm, height: 1.24 m}
backdrop: {item: grey-paper, distance: 2 m}
lights:
  - {role: key, head: led-150, light: lamp, modifier: dish-42, stand: stand-heavy, distance: 0.9 m, azimuth: -35 deg, elevation: 35 deg, power: -3 stops}
  - {role: fill, head: led-60, light: lamp, modifier: umbrella-100, stand: stand-medium, distance: 1.8 m, azimuth: 20 deg, elevation: 15 deg, power: -3 stops}
  - {role: rim-left, head: led-60, light: lamp, modifier: reflector-18, grid: honey-30, gel: amber, stand: stand-medium, distance: 1.2 m, azimuth: -150 deg, elevation: 20 deg, power: -1 stops}
  - {role: rim-right, head: led-60, light: lamp, modifier: strip-30x120, grid: cloth-strip, gel: amber, stand: stand-medium, distance: 1.2 m, azimuth: 150 deg, elevation: 20 deg, power: -1 stops}
  - {role: background, head: led-150, light: lamp, modifier: reflector-18, gel: deep-blue, stand: stand-light, distance: 1 m, azimuth: 0 deg, elevation: -40 deg, power: 0 stops}
`

func plan(b *testing.B, s *inventory.Studio, brief string, want solver.Outcome) {
	b.Helper()
	wishes := bound(b, s, brief)
	b.ReportAllocs()
	begun := solver.ProcessorSeconds()
	for b.Loop() {
		got, err := solver.Plan(context.Background(), s, wishes, solver.Options{})
		if err != nil {
			b.Fatal(err)
		}
		if got.Outcome != want || want == solver.Found && !got.Proved {
			b.Fatalf("%s, proved %v: %s", got.Outcome, got.Proved, got.Open)
		}
	}
	b.ReportMetric((solver.ProcessorSeconds()-begun)/float64(b.N), "cpu-s/op")
}

func studio(tb testing.TB, name string) *inventory.Studio {
	tb.Helper()
	s, err := inventory.LoadFrom(embedded(tb, "studios/"+name+".yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func bound(tb testing.TB, s *inventory.Studio, name string) *constraints.Brief {
	tb.Helper()
	brief, err := constraints.LoadBriefFrom(embedded(tb, "briefs/"+name+".yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	if err := brief.Bind(s); err != nil {
		tb.Fatal(err)
	}
	return brief
}

func embedded(tb testing.TB, name string) *source.File {
	tb.Helper()
	text, err := fs.ReadFile(examples.FS, name)
	if err != nil {
		tb.Fatal(err)
	}
	return &source.File{Name: name, Text: text}
}
