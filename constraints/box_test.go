package constraints

import (
	"math"
	"math/rand/v2"
	"testing"

	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// A brief whose goals read everything that is measured only when it is asked for.
const readsAll = `
brief: all
sitter: {seated: true, turn: 15 deg, hair: dark}
goals:
  - high-key
  - separation
  - gradient
  - saturation
  - head-to-feet
  - glasses
  - flare
  - glow: {hue: amber}
  - rim: {side: both}
  - rim: {side: top}
  - ratio: 3:1
`

// What is read of a box of set-ups holds what is read of every set-up in it: a thousand
// members of fifty boxes, for every number of a reading. The boxes are of the size that a
// search cuts, and smaller; the camera's place is known.
func TestBoxesHoldTheirMembers(t *testing.T) {
	b := benchForTest()
	brief, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(readsAll)})
	if err != nil {
		t.Fatal(err)
	}
	b.Brief = brief
	rng := rand.New(rand.NewPCG(4, 2))
	members, known := 0, map[int]bool{}
	for range 50 {
		sc, poses := boxOfScenes(b, rng)
		box := Measure(&sc)
		numbers := box.numbers()
		for range 20 {
			at := memberOf(b, &sc, poses, rng)
			got := Measure(&at)
			members++
			for i, x := range got.numbers() {
				if math.IsNaN(x.Lo) || math.IsNaN(x.Hi) {
					t.Fatalf("number %d of a member is %v", i, *x)
				}
				if x.IsPoint() && *numbers[i] != unit.Whole {
					known[i] = true
				}
				if !numbers[i].Holds(*x) && x.IsPoint() {
					t.Fatalf("number %d: the box has %v and a member %v", i, *numbers[i], *x)
				}
			}
		}
	}
	if members < 1000 || len(known) < 60 {
		t.Errorf("%d members, and only %d numbers were bounded at all", members, len(known))
	}
}

type boxed struct {
	emitter light.Emitter
	box     light.PoseBox
	level   unit.Interval
}

var boxRoles = []inventory.Role{inventory.Key, inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair, inventory.Background}

// boxOfScenes draws a camera, a backdrop and a box of places for every light.
func boxOfScenes(b *Bench, rng *rand.Rand) (Scene, [inventory.NumRoles]boxed) {
	s := b.Studio
	sc := NewScene(b)
	sc.Body, sc.Lens, sc.Backdrop = &s.Cameras[0], &s.Lenses[0], &s.Backdrops[0]
	sc.Frame, sc.Depth = unit.Point(0.4+0.4*rng.Float64()), unit.Point(1+1.5*rng.Float64())
	sc.Aperture, sc.Shutter, sc.ISO = around(rng, 4, 2), around(rng, 0.008, 0.002), around(rng, 200, 50)
	lay := b.Lay(sc.Body, sc.Lens, sc.Frame.Lo, sc.Depth.Lo, sc.Backdrop, b.Bounces)
	sc.Lay(lay)
	where := [inventory.NumRoles][3]float64{inventory.Key: {1.3, 40, 25}, inventory.Fill: {1.6, -20, 5}, inventory.RimLeft: {1.4, -148, 15},
		inventory.RimRight: {1.4, 148, 15}, inventory.Hair: {0.8, 180, 60}, inventory.Background: {0.8, 10, -40}}
	var out [inventory.NumRoles]boxed
	size := math.Exp2(-4 * rng.Float64()) // of a cell of the search, down to a sixteenth
	for _, r := range boxRoles {
		mod := &s.Modifiers[rng.IntN(len(s.Modifiers))]
		w := where[r]
		d, az, el := w[0]*(0.8+0.4*rng.Float64()), (w[1]+20*rng.Float64()-10)/inDegrees, (w[2]+10*rng.Float64()-5)/inDegrees
		box := light.PoseBox{Target: b.Target(r, lay.Glow), D: unit.Interval{Lo: d, Hi: d * (1 + 0.18*size)},
			Az: unit.Interval{Lo: az, Hi: az + 15/inDegrees*size}, El: unit.Interval{Lo: el, Hi: el + 13/inDegrees*size}}
		level := -3 + 4*rng.Float64()
		p := boxed{mod.Emitter(nil), box, unit.Interval{Lo: level, Hi: level + rng.Float64()}}
		out[r] = p
		l := &sc.Lights[r]
		l.On, l.Posed, l.Pose, l.Level, l.Flash, l.Modelling = unit.Point(1), true, box, p.level, unit.Point(1), unit.Point(math.Inf(-1))
		l.Reach, l.Seen = lay.Respond(r, p.emitter, box), lay.See(p.emitter, box, true)
	}
	return sc, out
}

// around is an interval about x.
func around(rng *rand.Rand, x, width float64) unit.Interval {
	lo := x + width*(rng.Float64()-0.5)
	return unit.Interval{Lo: lo, Hi: lo + width*rng.Float64()/2}
}

// memberOf draws one set-up of a box.
func memberOf(b *Bench, box *Scene, poses [inventory.NumRoles]boxed, rng *rand.Rand) Scene {
	in := func(v unit.Interval) unit.Interval { return unit.Point(min(v.Hi, v.Lo+rng.Float64()*(v.Hi-v.Lo))) }
	at := *box
	at.Aperture, at.Shutter, at.ISO = in(box.Aperture), in(box.Shutter), in(box.ISO)
	for _, r := range boxRoles {
		p := poses[r]
		l := &at.Lights[r]
		l.Pose = light.PoseBox{Target: p.box.Target, D: in(p.box.D), Az: in(p.box.Az), El: in(p.box.El)}
		l.Level = in(p.level)
		l.Reach, l.Seen = at.layout.Respond(r, p.emitter, l.Pose), at.layout.See(p.emitter, l.Pose, true)
	}
	return at
}

// What a light shows of its face holds for every camera place of a set of framings, if it is
// read without knowing which.
func TestUnframedSightsHoldTheirViews(t *testing.T) {
	b := benchForTest()
	brief, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(readsAll)})
	if err != nil {
		t.Fatal(err)
	}
	b.Brief = brief
	rng := rand.New(rand.NewPCG(7, 1))
	frames := []float64{0.35, 0.6, 0.9}
	for range 100 {
		sc, poses := boxOfScenes(b, rng)
		r := boxRoles[rng.IntN(len(boxRoles)-1)] // the background light's target moves with the camera
		p := poses[r]
		any := b.LayAny(b.Views(frames), sc.Depth.Lo, nil, nil).See(p.emitter, p.box, true)
		at := memberOf(b, &sc, poses, rng).Lights[r].Pose
		for _, f := range frames {
			one := b.Lay(sc.Body, sc.Lens, f, sc.Depth.Lo, nil, nil).See(p.emitter, at, true)
			var all, got LightReading
			any.read(&all)
			one.read(&got)
			for i, pair := range [][2]unit.Interval{{all.Size, got.Size}, {all.Clear, got.Clear}, {all.Mirror, got.Mirror}, {all.Stray, got.Stray}, {all.LensSize, got.LensSize}} {
				if !pair[0].Holds(pair[1]) {
					t.Fatalf("%s, number %d: %v does not hold %v", r, i, pair[0], pair[1])
				}
			}
		}
	}
}

// Every number of a reading is listed among its numbers, or a hull would lose it.
func TestNumbersAreAllThere(t *testing.T) {
	r := Unknown()
	for i, x := range r.numbers() {
		*x = unit.Point(float64(i))
	}
	box := Unknown()
	h := r.Hull(&box)
	for i, x := range h.numbers() {
		if x.Lo > float64(i) || x.Hi < float64(i) {
			t.Errorf("number %d is lost", i)
		}
	}
}
