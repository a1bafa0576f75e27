package constraints

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/source"
	"falloff/model/unit"
)

// doubtful is a set-up with two lights of one type, a gel and a lit backdrop.
func doubtful(t testing.TB, brief string) (*Bench, *inventory.Setup, *Scene) {
	t.Helper()
	s, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(`
studio: two lights
room: {width: 4 m, depth: 6 m, height: 2.6 m, walls: 60 %, ceiling: 70 %, floor: 30 %}
cameras: [{id: body, mount: a, sensor: 36 x 24 mm, base_iso: ISO 100}]
lenses: [{id: lens-85, mount: a, focal: 85 mm, widest: f/1.8}]
heads: [{id: lamp, count: 3, mount: b, mass: 1.5 kg, lamp: {flux: 6000 lm, watts: 60 W, main: true, range: 6 stops}}]
modifiers:
  - {id: box, count: 2, type: softbox, fits: [b], shape: rectangle, face: 60 x 90 cm, efficiency: 40 %}
  - {id: reflector, type: reflector, fits: [b], shape: disc, face: 18 cm, efficiency: 60 %, law: 4}
gels: [{id: amber, standard: amber}]
stands: [{id: stand, count: 4, height: 2.6 m, load: 8 kg}]
backdrops: [{id: grey, reflectance: 20 %, width: 2.72 m}]
`)})
	if err != nil {
		t.Fatal(err)
	}
	b, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte("brief: doubt\nsitter: {seated: true, turn: 10 deg}\ngoals:\n" + brief)})
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "set-up.yaml", Text: []byte(`
setup: two lights
camera: {body: body, lens: lens-85, aperture: f/2.8, shutter: 1/60 s, iso: ISO 100, frame: 60 cm, height: 1.24 m}
backdrop: {item: grey, distance: 2 m}
lights:
  - {role: key, head: lamp, light: lamp, modifier: box, stand: stand, distance: 1 m, azimuth: -40 deg, elevation: 30 deg, power: 0 stops}
  - {role: fill, head: lamp, light: lamp, modifier: box, stand: stand, distance: 2 m, azimuth: 20 deg, elevation: 10 deg, power: 0 stops}
  - {role: rim-left, head: lamp, light: lamp, modifier: reflector, gel: amber, stand: stand, distance: 1.2 m, azimuth: -145 deg, elevation: 20 deg, power: -3 stops}
`)})
	if err != nil {
		t.Fatal(err)
	}
	bench := &Bench{Studio: s, Brief: b, Bounces: Bounces{}}
	sc, err := bench.SceneOf(set)
	if err != nil {
		t.Fatal(err)
	}
	return bench, set, sc
}

const doubtfulGoals = `
  - exposure: {key: -3..3 stops}
  - ratio: {at least: 1.2:1}
  - rim: {side: left, hue: amber, within: 40 deg, level: -4..4 stops}
  - both-eyes-sharp: {keepers: 10 %}
  - soft: {key: at least 5 deg}
`

// The propagated doubt against drawing what is in doubt at random, all at once, in the studio
// file and the set-up themselves (Monte Carlo, as JCGM 101:2008 has it for a check of JCGM
// 100). Beams, and colours, which no goal here rests on but the hue, are left alone. The
// model is not linear and of two sides the larger counts, so they agree to a fifth.
func TestDoubtAgainstDraws(t *testing.T) {
	b, set, sc := doubtful(t, doubtfulGoals)
	b.Studio.Gel("amber").Doubt = 0
	goals := b.Brief.Goals
	d := b.DoubtsOf(set, sc, goals)
	rng := rand.New(rand.NewPCG(7, 11))
	const draws = 3000
	sum, sq := map[[2]int]float64{}, map[[2]int]float64{}
	for range draws {
		r := Measure(drawn(t, b, set, rng))
		for i, g := range goals {
			for j, p := range g.Req.Judge(&r, nil) {
				sum[[2]int{i, j}] += p.Got.Lo
				sq[[2]int{i, j}] += p.Got.Lo * p.Got.Lo
			}
		}
	}
	r := Measure(sc)
	checked := 0
	for i, g := range goals {
		for j, p := range g.Req.Judge(&r, nil) {
			mean := sum[[2]int{i, j}] / draws
			sd := math.Sqrt(max(0, sq[[2]int{i, j}]/draws-mean*mean))
			got := 0.0
			for n, e := range d.Goals[i][j].Effects {
				if what := d.Causes[n].What; !d.Causes[n].Reading && !strings.HasPrefix(what, "beam") && !strings.HasPrefix(what, "colour") {
					got = math.Hypot(got, e)
				}
			}
			if math.Abs(got-sd) > 0.2*max(got, sd)+1e-6 {
				t.Errorf("%s, %s: propagated %.4f, drawn %.4f", g.Name(), p.What, got, sd)
			}
			if got > 0 {
				checked++
			}
		}
	}
	if checked < 8 {
		t.Errorf("only %d numbers are in doubt", checked)
	}
}

// drawn is a scene of which everything that is in doubt was drawn from a normal law.
func drawn(t *testing.T, b *Bench, set *inventory.Setup, rng *rand.Rand) *Scene {
	off := func(stops float64) float64 { return math.Exp2(stops * rng.NormFloat64()) }
	lamp, box, reflector, grey := b.Studio.Head("lamp"), b.Studio.Modifier("box"), b.Studio.Modifier("reflector"), b.Studio.Backdrop("grey")
	flux, boxed, reflected, paper := lamp.Lamp.Flux, box.Efficiency, reflector.Efficiency, grey.Reflectance
	defer func() {
		lamp.Lamp.Flux, box.Efficiency, reflector.Efficiency, grey.Reflectance = flux, boxed, reflected, paper
	}()
	lamp.Lamp.Flux *= unit.Flux(off(0.3) * off(stopDoubt))
	box.Efficiency *= unit.Share(off(0.5))
	reflector.Efficiency *= unit.Share(off(0.5))
	grey.Reflectance *= unit.Share(off(paperDoubt(float64(paper))))
	brief := *b.Brief
	brief.Sitter.Turn += turnDoubt * unit.Angle(rng.NormFloat64())
	bench := &Bench{Studio: b.Studio, Brief: &brief, Bounces: b.Bounces, larger: rng.NormFloat64()}
	moved := *set
	moved.Lights = slices.Clone(set.Lights)
	lean := swayDoubt * rng.NormFloat64()
	for i := range moved.Lights {
		l := &moved.Lights[i]
		l.Distance += unit.Length(tapeDoubt * math.Sqrt2 * rng.NormFloat64()) // as a level, and as a place
		l.Azimuth += unit.Angle(aimDoubt * rng.NormFloat64())
		l.Elevation += unit.Angle(aimDoubt * rng.NormFloat64())
		to := geom.Polar(float64(l.Azimuth), float64(l.Elevation)).Mul(float64(l.Distance)).Sub(geom.Vec{Y: lean})
		l.Distance, l.Azimuth, l.Elevation = unit.Length(to.Len()), unit.Angle(math.Atan2(to.X, to.Y)), unit.Angle(math.Asin(to.Z/to.Len()))
	}
	sc, err := bench.SceneOf(&moved)
	if err != nil {
		t.Fatal(err)
	}
	sc.moreBounce(off(b.bounceDoubt()))
	return sc
}

// What is known by reasoning: two heads of one type share the doubt of their label, so a
// ratio of the two is surer than either; a meter leaves a tenth of a stop and the rest.
func TestDoubtByReasoning(t *testing.T) {
	b, set, sc := doubtful(t, doubtfulGoals)
	d := b.DoubtsOf(set, sc, b.Brief.Goals)
	part := func(kind, what string) (Part, PartDoubt) {
		r := Measure(sc)
		for i, g := range b.Brief.Goals {
			if g.Name() != kind {
				continue
			}
			for j, p := range g.Req.Judge(&r, nil) {
				if strings.Contains(p.What, what) {
					return p, d.Goals[i][j]
				}
			}
		}
		t.Fatalf("no part %q of %s", what, kind)
		return Part{}, PartDoubt{}
	}
	_, exposure := part("exposure", "")
	_, ratio := part("ratio", "")
	// Rated lumens 0.3, a soft box 0.5: 0.58 together, and no less.
	if exposure.Total < 0.58 || exposure.Total > 0.7 {
		t.Errorf("exposure is +-%.2f stops; 0.3 and 0.5 make 0.58", exposure.Total)
	}
	if ratio.Total > 0.5 {
		t.Errorf("ratio is +-%.2f stops, as if the two boxes were unlike", ratio.Total)
	}
	if exposure.Metered < 0.1 || exposure.Metered > 0.2 {
		t.Errorf("exposure of a metered key is +-%.2f stops", exposure.Metered)
	}
	_, level := part("rim", "level")
	if worst, ok := d.Worst(level); !ok || worst.What != "loss in the reflector" {
		t.Errorf("the rim's level is in doubt by %+v", worst)
	}
	if lights := d.Lights(level); len(lights) != 1 || lights[0] != inventory.RimLeft {
		t.Errorf("the rim's level rests on %v", lights)
	}
}

// The four standings by hand: a level of total doubt 0.5, of which a meter leaves its own
// tenth and 0.06 that is not its business.
func TestStanding(t *testing.T) {
	d := &Doubts{Causes: []Cause{{What: "rated", Lights: []inventory.Role{inventory.Key}}, {What: "walls"},
		{What: "meter", Lights: []inventory.Role{inventory.Key}, Reading: true}}}
	doubt := PartDoubt{Effects: []float64{0.5, 0.06, 0.1}}
	doubt.add(d.Causes)
	for _, c := range []struct {
		margin float64
		want   Standing
		within float64
	}{
		{-0.01, Fails, 0}, {0.05, Unsure, 0}, {0.1, Unsure, 0}, {0.12, IfMeter, math.Sqrt(0.12*0.12 - 0.06*0.06)}, {0.3, IfMeter, math.Sqrt(0.3*0.3 - 0.06*0.06)}, {0.6, Holds, 0},
	} {
		got, within := d.Standing(Part{Got: unit.Point(0), Want: unit.Interval{Lo: math.Inf(-1), Hi: c.margin}}, doubt)
		if got != c.want || math.Abs(float64(within)-c.within) > 1e-9 {
			t.Errorf("margin %g: %v within %g, want %v within %g", c.margin, got, float64(within), c.want, c.within)
		}
	}
}

// Metered heads are surer than rated ones.
func TestMeteredHeadIsSurer(t *testing.T) {
	b, set, sc := doubtful(t, doubtfulGoals)
	rated := b.DoubtsOf(set, sc, b.Brief.Goals)
	h := *b.Studio.Head("lamp")
	lamp := *h.Lamp
	lamp.Metered = &inventory.MeteredLux{Lux: 900, With: "box", At: 1}
	b.Studio.Head("lamp").Lamp = &lamp
	sc, err := b.SceneOf(set)
	if err != nil {
		t.Fatal(err)
	}
	metered := b.DoubtsOf(set, sc, b.Brief.Goals)
	if r, m := rated.Goals[0][0].Total, metered.Goals[0][0].Total; m > r/2 {
		t.Errorf("rated +-%.2f, metered +-%.2f stops", r, m)
	}
}

func BenchmarkDoubts(b *testing.B) {
	bench, set, sc := doubtful(b, doubtfulGoals)
	b.ReportAllocs()
	for b.Loop() {
		bench.DoubtsOf(set, sc, bench.Brief.Goals)
	}
}
