package solver

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// cellAround is a random box of poses, inside the stated ranges, that holds a given pose.
func cellAround(d dice, r inventory.Role, at light.PoseBox) light.PoseBox {
	size := choose(d, 0.02, 0.3, 1)
	around := func(x float64, width, lo, hi float64) unit.Interval {
		k := d.Float64()
		if d.chance(0.1) {
			k = float64(d.IntN(2)) // the pose on an edge
		}
		return unit.Interval{Lo: max(lo, x-k*width*size), Hi: min(hi, x+(1-k)*width*size)}
	}
	s := constraints.Stated[r]
	b := at
	b.D = around(at.D.Lo, 0.4, s.D.Lo, s.D.Hi)
	b.Az = around(at.Az.Lo, 0.4, s.Az.Lo*math.Pi/180, s.Az.Hi*math.Pi/180)
	b.El = around(at.El.Lo, 0.35, s.El.Lo*math.Pi/180, s.El.Hi*math.Pi/180)
	return b
}

// outside lists the numbers of an exact reading that are not inside a bound on it.
func outside(exact, bound reflect.Value, path string) (out []string) {
	if iv, ok := exact.Interface().(unit.Interval); ok {
		b := bound.Interface().(unit.Interval)
		if !b.IsEmpty() && !b.Holds(iv) { // an empty bound is judged as nothing known
			out = append(out, fmt.Sprintf("%s is %v, outside %v", path, iv, b))
		}
		return out
	}
	switch exact.Kind() {
	case reflect.Struct:
		for i := range exact.NumField() {
			out = append(out, outside(exact.Field(i), bound.Field(i), path+"."+exact.Type().Field(i).Name)...)
		}
	case reflect.Array:
		for i := range exact.Len() {
			out = append(out, outside(exact.Index(i), bound.Index(i), fmt.Sprintf("%s[%v]", path, inventory.Role(i)))...)
		}
	}
	return out
}

// Whatever is known of a set-up, and however roughly, the reading of what is known must
// hold the exact reading of the set-up: every number of it.
func TestReadingsOfCellsHoldExactOnes(t *testing.T) {
	t.Parallel()
	tested, wrong := 0, map[string]int{}
	for n := range max(1, *manyBriefs/8) {
		d := newDice(3, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		exact, err := p.bench.SceneOf(p.setup)
		if err != nil {
			t.Fatal(err)
		}
		want := constraints.Measure(exact)
		for range 3 {
			tested++
			sc, how, room := rough(d, p, exact)
			for _, line := range room {
				wrong["room"]++
				if wrong["room"] <= 3 {
					t.Errorf("brief %d, %s: %s\n%s", *firstBrief+n, how, line, p.describe(&draft{sitter: p.sitter, goals: []string{"few-lights"}}))
				}
			}
			got := constraints.Measure(&sc)
			for _, line := range outside(reflect.ValueOf(want), reflect.ValueOf(got), "") {
				wrong[line[:1+indexByte(line, ' ')]]++
				if wrong[line[:1+indexByte(line, ' ')]] <= 2 {
					t.Errorf("brief %d, %s: %s\n%s", *firstBrief+n, how, line, p.describe(&draft{sitter: p.sitter, goals: []string{"few-lights"}}))
				}
			}
		}
	}
	t.Logf("%d boxes; outside: %v", tested, wrong)
}

func indexByte(s string, c byte) int {
	for i := range len(s) {
		if s[i] == c {
			return i
		}
	}
	return len(s) - 1
}

// rough forgets a part of an exact scene and makes boxes of the rest.
func rough(d dice, p *plant, exact *constraints.Scene) (sc constraints.Scene, how string, room []string) {
	b, set := p.bench, p.setup
	s := b.Studio
	framed, bounce := d.chance(0.5), d.chance(0.6)
	if math.Abs(b.CameraHeight()-b.Eye().Z) > 1e-9 {
		framed = true // without the camera's place nothing is said then: see looksAt
	}
	sc = constraints.NewScene(b)
	sc.Backdrop, sc.Depth = exact.Backdrop, exact.Depth
	var paper *inventory.Backdrop
	if bounce {
		paper = exact.Backdrop
	}
	var lay *constraints.Layout
	if framed {
		sc.Body, sc.Lens, sc.Frame = exact.Body, exact.Lens, exact.Frame
		lay = b.Lay(exact.Body, exact.Lens, exact.Frame.Lo, exact.Depth.Lo, paper, nil)
	} else {
		var views []constraints.View
		if d.chance(0.7) {
			views = b.Views([]float64{exact.Frame.Lo, choose(d, constraints.Frames...)})
		}
		lay = b.LayAny(views, exact.Depth.Lo, paper, nil)
		if d.chance(0.5) {
			sc.Body, sc.Lens = exact.Body, exact.Lens
			sc.Frame = unit.Interval{Lo: exact.Frame.Lo * 0.9, Hi: exact.Frame.Hi * 1.1}
		}
	}
	sc.Lay(lay)
	loosen := func(x unit.Interval, by float64) unit.Interval {
		switch d.IntN(3) {
		case 0:
			return unit.Whole
		case 1:
			return x
		}
		return unit.Interval{Lo: x.Lo - by*d.Float64(), Hi: x.Hi + by*d.Float64()}
	}
	scale := func(x unit.Interval) unit.Interval {
		switch d.IntN(3) {
		case 0:
			return unit.Whole
		case 1:
			return x
		}
		return unit.Interval{Lo: x.Lo * d.between(0.7, 1), Hi: x.Hi * d.between(1, 1.4)}
	}
	sc.Aperture, sc.Shutter, sc.ISO = scale(exact.Aperture), scale(exact.Shutter), scale(exact.ISO)
	for r := range inventory.NumRoles {
		if exact.Lights[r].On.Lo == 0 && d.chance(0.8) {
			sc.Lights[r].Off()
		}
	}
	for i := range set.Lights {
		ls := &set.Lights[i]
		r, _ := inventory.RoleByName(ls.Role)
		x, from := &sc.Lights[r], &exact.Lights[r]
		if d.chance(0.1) {
			continue // nothing known of this light
		}
		h, m, g := s.Head(ls.Head), s.Modifier(ls.Modifier), s.Grid(ls.Grid)
		e := constraints.EmitterOf(h, m, g)
		box := cellAround(d, r, from.Pose)
		if r == inventory.Background {
			box.Target = lay.Glow
		}
		x.On, x.Posed, x.Pose = unit.Point(1), true, box
		x.Level = loosen(from.Level, 1)
		x.Flash = from.Flash
		x.Modelling = from.Modelling
		if d.chance(0.5) {
			x.Tint = from.Tint
		}
		x.Size = constraints.SizeOf(e, box.D)
		x.Clear = lay.Clear(box, e.Face, ls.Boom != "")
		body, depth := constraints.BodyOf(h, m), exact.Depth.Lo
		// The exact layout for a light's own place: only the glow's depends on the camera.
		true_ := b.Lay(exact.Body, exact.Lens, exact.Frame.Lo, depth, nil, nil)
		if in := true_.InRoom(from.Pose, body, depth); !lay.InRoom(box, body, depth).Holds(in) {
			room = append(room, fmt.Sprintf("the %s is %v inside the room, outside %v", r, in, lay.InRoom(box, body, depth)))
		}
		if z := constraints.Height(from.Pose); !constraints.Height(box).Holds(z) {
			room = append(room, fmt.Sprintf("the %s is at height %v, outside %v", r, z, constraints.Height(box)))
		}
		if e := lay.TargetBound(r, e, box); !e.Holds(from.Reach.Target) {
			room = append(room, fmt.Sprintf("the %s gives its target %v, outside %v", r, from.Reach.Target, e))
		}
		respond := choose(d, lay.Respond, lay.RespondCoarse, lay.RespondRings, lay.RespondBorder)
		x.Reach = respond(r, e, box)
		if d.chance(0.3) {
			x.Reach = x.Reach.Hull(respond(r, e, cellAround(d, r, from.Pose)))
		}
		if d.chance(0.15) {
			x.Reach = nil
		}
	}
	return sc, fmt.Sprintf("framed %v, bounce %v", framed, bounce), room
}

// Cells that are judged once for lights that are seen alike say of each what would be said of it alone.
func TestCellsAreJudgedForEachLight(t *testing.T) {
	s, err := inventory.LoadFrom(embedded(t, "studios/northlight.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(`
brief: Rims that do not flare
sitter: {seated: true}
framing: {head_and_shoulders: true}
goals:
  - rim: {side: both, angle: 120 deg..170 deg}
  - background-level: dark
  - flare
  - out-of-frame
`)})
	if err == nil {
		err = b.Bind(s)
	}
	if err != nil {
		t.Fatal(err)
	}
	l := newLattice(&constraints.Bench{Studio: s, Brief: b}, b.Goals, false)
	all := mask(1)<<len(b.Goals) - 1
	l.p.Solve(l.musts()...)
	c := l.read()
	refuted := 0
	for _, r := range l.allowed {
		for _, head := range l.shelf.Heads[:2] {
			for _, m := range l.shelf.Modifiers {
				for _, grid := range append(l.shelf.Grids, nil) {
					if !inventory.HeadTakes(head, m) || !inventory.ModTakesGrid(m, grid) {
						continue
					}
					g := &rig{role: r, head: head, mod: m, grid: grid}
					re := l.region(l.site(c, g, all, sight{}))
					for _, cell := range re.cells {
						if alone := l.judgeCell(re, cell.box); alone.refuted != cell.refuted {
							t.Fatalf("%s with %v: goals %b fail over %v, not %b", r, l.rigName(g), alone.refuted, cell.box, cell.refuted)
						}
						if cell.refuted != 0 {
							refuted++
						}
					}
				}
			}
		}
	}
	if refuted < 100 {
		t.Errorf("only %d cells are refuted", refuted)
	}
}
