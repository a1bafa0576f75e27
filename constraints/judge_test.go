package constraints

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/inventory"
	"falloff/model/unit"
)

// spans are the values that each number of a reading can take in a studio, and more.
var spans = map[string]unit.Interval{
	"ISO": {Lo: 25, Hi: 6400}, "Shutter": {Lo: 1. / 8000, Hi: 2}, "Aperture": {Lo: 1, Hi: 32}, "BaseISO": {Lo: 50, Hi: 800},
	"Handheld": {Lo: 1. / 500, Hi: 1}, "Widest": {Lo: 1, Hi: 5.6}, "Frame": {Lo: 0.1, Hi: 3}, "Keepers": {Lo: 0, Hi: 1},
	"BackdropBlur": {Lo: 0, Hi: 0.1}, "Perspective": {Lo: 0.01, Hi: 0.3}, "EyeGap": {Lo: 0, Hi: 0.06}, "Field": {Lo: 0.001, Hi: 0.2},
	"Count": {Lo: 0, Hi: 6}, "Minutes": {Lo: 1, Hi: 90}, "Ratio": {Lo: 0, Hi: 6}, "GlowOffset": {Lo: 0, Hi: 0.5}, "GlowRadius": {Lo: 0.02, Hi: 1},
	"Azimuth": {Lo: -180, Hi: 180}, "FromFace": {Lo: -180, Hi: 180}, "FromNose": {Lo: -180, Hi: 180}, "Elevation": {Lo: -30, Hi: 90}, "Size": {Lo: 0.5, Hi: 120},
	"Focal": {Lo: 0.02, Hi: 0.2}, "FocalEq": {Lo: 0.02, Hi: 0.2}, "Distance": {Lo: 0.3, Hi: 8}, "Coc": {Lo: 1e-5, Hi: 5e-5}, "Sensor": {Lo: 0.02, Hi: 0.06},
	"LensHeight": {Lo: 0.1, Hi: 2.5}, "LensAbove": {Lo: -1.5, Hi: 1}, "Pitch": {Lo: -40, Hi: 40}, "FarEar": {Lo: -60, Hi: 60}, "Airy": {Lo: 0.1, Hi: 3},
	"NearEyeDisc": {Lo: 0, Hi: 20}, "FarEyeDisc": {Lo: 0, Hi: 20}, "NoseDisc": {Lo: 0, Hi: 20}, "NearEarDisc": {Lo: 0, Hi: 20}, "FarEarDisc": {Lo: 0, Hi: 20}, "ShoulderDisc": {Lo: 0, Hi: 20},
	"Load": {Lo: 0, Hi: 2}, "Hire": {Lo: 0, Hi: 300}, "Ambient": {Lo: -20, Hi: -2}, "RoomLux": {Lo: 0, Hi: 500}, "Spread": {Lo: 0, Hi: 6}, "Feet": {Lo: -1, Hi: 5},
	"Saturation": {Lo: 0, Hi: 1}, "TopChannel": {Lo: 0, Hi: 2}, "HeadLeast": {Lo: 0, Hi: 2}, "HeadChannel": {Lo: 0, Hi: 2},
	"FrameFactor": {Lo: 0, Hi: 1}, "Mirror": {Lo: -30, Hi: 90}, "Stray": {Lo: -30, Hi: 90}, "LensSize": {Lo: 0.1, Hi: 30}, "Duration": {Lo: 0, Hi: 0.01}, "Recycle": {Lo: 0, Hi: 5}, "Rendition": {Lo: 0, Hi: 100},
	"Hue": {Lo: -360, Hi: 720}, "Chroma": {Lo: 0, Hi: 0.3}, "Kelvin": {Lo: 2000, Hi: 12000}, "Clear": {Lo: -1, Hi: 1}, "Purity": {Lo: -4, Hi: 6},
}

// drawBox fills a reading with boxes, some of them points and some unknown, and draws a
// member of it.
func drawBox(t *rapid.T) (box, member Reading) {
	box, member = Unknown(), Unknown()
	fill := func(b, m reflect.Value, name string) {
		for i := range b.NumField() {
			field := b.Type().Field(i).Name
			if b.Type().Field(i).Type != reflect.TypeFor[unit.Interval]() {
				continue
			}
			v, x := drawInterval(t, name+field, field)
			b.Field(i).Set(reflect.ValueOf(v))
			m.Field(i).Set(reflect.ValueOf(unit.Point(x)))
		}
	}
	fill(reflect.ValueOf(&box).Elem(), reflect.ValueOf(&member).Elem(), "")
	for r := range inventory.NumRoles {
		fill(reflect.ValueOf(&box.Lights[r]).Elem(), reflect.ValueOf(&member.Lights[r]).Elem(), r.String()+".")
	}
	return box, member
}

func drawInterval(t *rapid.T, label, field string) (unit.Interval, float64) {
	if field == "On" || field == "Flash" {
		x := float64(rapid.IntRange(0, 1).Draw(t, label))
		if rapid.Bool().Draw(t, label+" known") {
			return unit.Point(x), x
		}
		return unit.Interval{Lo: 0, Hi: 1}, x
	}
	span, ok := spans[field]
	if !ok {
		span = unit.Interval{Lo: -8, Hi: 4} // levels and tones
	}
	a := rapid.Float64Range(span.Lo, span.Hi).Draw(t, label)
	switch rapid.IntRange(0, 3).Draw(t, label+" sort") {
	case 0:
		return unit.Point(a), a
	case 1:
		return unit.Whole, a
	}
	b := rapid.Float64Range(span.Lo, span.Hi).Draw(t, label+" end")
	share := rapid.Float64Range(0, 1).Draw(t, label+" member")
	v := unit.Of(a, b)
	return v, min(max(v.Lo+share*(v.Hi-v.Lo), v.Lo), v.Hi)
}

// What is said of a box is true of each member: its parts hold those of the member, what
// holds on the box holds on the member, and what is refuted fails there. The sentences
// must not fail on any box either.
func TestJudgeIsInclusionMonotone(t *testing.T) {
	goals := everyGoal(t)
	names := sortedKeys(goals)
	var held, refuted int
	rapid.Check(t, func(t *rapid.T) {
		box, member := drawBox(t)
		for _, name := range names {
			g := goals[name]
			b, m := Judge([]*Goal{g}, &box)[0], Judge([]*Goal{g}, &member)[0]
			if b.Holds && len(b.Parts) > 0 {
				held++
				if !m.Holds {
					t.Fatalf("%s holds on the box and fails at the member: %+v, %+v", name, b.Parts, m.Parts)
				}
			}
			if b.Refuted {
				refuted++
				if m.Holds {
					t.Fatalf("%s is refuted on the box and holds at the member: %+v, %+v", name, b.Parts, m.Parts)
				}
			}
			for _, p := range m.Parts {
				for _, q := range b.Parts {
					if p.What == q.What && p.Want == q.Want && !q.Got.Holds(p.Got) {
						t.Fatalf("%s, %s: %v does not hold %v", name, p.What, q.Got, p.Got)
					}
				}
			}
			Sentence(g, b.Parts)
			Sentence(g, m.Parts)
			for _, p := range append(b.Parts, m.Parts...) {
				if p.Fails() {
					r := &box
					if !b.Refuted {
						r = &member
					}
					if text := g.Req.Because(r, p); !strings.HasSuffix(text, ".") {
						t.Fatalf("%s: %q is no sentence", name, text)
					}
				}
			}
		}
	})
	if held == 0 || refuted == 0 {
		t.Errorf("the boxes test nothing: %d held, %d refuted", held, refuted)
	}
}

// An unknown reading neither meets nor refutes a goal.
func TestUnknownDecidesNothing(t *testing.T) {
	r := Unknown()
	for name, g := range everyGoal(t) {
		v := Judge([]*Goal{g}, &r)[0]
		if v.Refuted || v.Holds && len(v.Parts) > 0 {
			t.Errorf("%s: holds %v, refuted %v", name, v.Holds, v.Refuted)
		}
		if v.Holds && len(v.Parts) == 0 && g.Name() != "use" && g.Name() != "avoid" {
			t.Errorf("%s says nothing", name)
		}
	}
}

// aspectsOf says what each number of a reading depends on, any of which a goal that looks
// at the number must name in Reads.
var aspectsOf = map[string]Aspect{
	"ISO": OnISO, "BaseISO": OnLens, "Shutter": OnShutter, "Handheld": OnLens, "Aperture": OnAperture, "Widest": OnLens,
	"Frame": OnFrame, "Keepers": OnAperture | OnFrame | OnLens, "BackdropBlur": OnAperture | OnLens | OnFrame | OnDepth,
	"Perspective": OnLens | OnFrame, "Count": OnCount, "Minutes": OnMinutes,
	"Exposure": Level(inventory.Key) | OnBounce, "Ratio": Level(inventory.Key) | Level(inventory.Fill) | OnBounce,
	"Dark": OnSpill | OnBounce, "Bright": OnSpill | OnBounce, "Dim": OnSpill | OnBounce,
	"GlowTone":   Level(inventory.Background) | OnBackdrop,
	"GlowOffset": Pose(inventory.Background), "GlowRadius": Pose(inventory.Background),
	"FocalEq": OnLens, "LensHeight": 0, "LensAbove": 0, "Pitch": OnLens | OnFrame, "FarEar": OnLens | OnFrame, "Airy": OnAperture | OnLens | OnFrame,
	"NearEyeDisc": OnAperture | OnLens | OnFrame, "FarEyeDisc": OnAperture | OnLens | OnFrame, "NoseDisc": OnAperture | OnLens | OnFrame,
	"NearEarDisc": OnAperture | OnLens | OnFrame, "FarEarDisc": OnAperture | OnLens | OnFrame, "ShoulderDisc": OnAperture | OnLens | OnFrame,
	"Load": OnKit, "Hire": OnKit, "Ambient": OnAperture | OnShutter | OnISO, "RoomLux": 0, "Bounce": OnBounce,
	"FrameFactor": OnWrap | OnLens | OnFrame | OnDepth, "Spread": OnSpill | OnBounce, "Wrap": OnWrap | OnBounce, "Feet": OnFeet | Pose(inventory.Key), "TopTone": OnFall | OnSpill | OnFrame, "BottomTone": OnFall | OnSpill | OnFrame,
	"HeadTone": OnFall | OnSpill, "HairLeft": OnEdges | OnSpill, "HairRight": OnEdges | OnSpill, "BesideLeft": OnEdges | OnSpill, "BesideRight": OnEdges | OnSpill,
	"Saturation": OnTint | OnSpill, "TopChannel": OnTint | OnSpill, "HeadLeast": OnTint | OnSpill, "HeadChannel": OnTint | OnSpill,
}

func lightAspect(r inventory.Role, field string) Aspect {
	switch field {
	case "Level", "Purity":
		return Level(r)
	case "Hue", "Kelvin":
		return Colour(r)
	case "Flash", "Duration", "Recycle", "Rendition":
		return Gear(r)
	case "Mirror":
		return Pose(r) | OnGlasses
	case "Stray", "LensSize":
		return Pose(r) | OnStray
	}
	return Pose(r)
}

// A goal whose parts change with a number names all that the number depends on.
func TestReadsNamesAll(t *testing.T) {
	for name, g := range everyGoal(t) {
		for _, at := range []float64{-3, 0.001, 1, 40} {
			base := Unknown()
			for r := range inventory.NumRoles {
				base.Lights[r].On = unit.Point(1)
			}
			before := fmt.Sprint(g.Req.Judge(&base, nil))
			check := func(r Reading, field string, aspects Aspect) {
				if fmt.Sprint(g.Req.Judge(&r, nil)) != before && g.Req.Reads()&aspects != aspects {
					t.Errorf("%s looks at %s and does not say so in Reads", name, field)
				}
			}
			v := reflect.ValueOf(unit.Point(at))
			for field, aspects := range aspectsOf {
				r := base
				reflect.ValueOf(&r).Elem().FieldByName(field).Set(v)
				check(r, field, aspects)
			}
			for role := range inventory.NumRoles {
				for _, field := range []string{"Level", "Purity", "Hue", "Kelvin", "Flash", "Azimuth", "FromFace", "FromNose", "Elevation", "Size", "Clear",
					"Distance", "Mirror", "Stray", "LensSize", "Duration", "Recycle", "Rendition"} {
					r := base
					reflect.ValueOf(&r.Lights[role]).Elem().FieldByName(field).Set(v)
					check(r, role.String()+"."+field, lightAspect(role, field))
				}
			}
		}
	}
}

// The hue distance against a slow oracle: the least distance over whole turns, sampled.
func TestApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-360, 720).Draw(t, "lo")
		width := rapid.Float64Range(0, 400).Draw(t, "width")
		wanted := rapid.Float64Range(0, 360).Draw(t, "wanted")
		v := unit.Interval{Lo: lo, Hi: lo + width}
		got := apart(v, wanted)
		if got.Lo < 0 || got.Hi > 180 {
			t.Fatalf("%v leaves 0..180", got)
		}
		const steps = 200
		seen := unit.Empty
		for i := range steps + 1 {
			x := v.Lo + (v.Hi-v.Lo)*float64(i)/steps
			least := 1e9
			for turn := -6.0; turn <= 6; turn++ {
				d := x + 360*turn - wanted
				least = min(least, max(d, -d))
			}
			// Both ways of computing round in the last place of numbers up to 3000.
			if least < got.Lo-1e-11 || least > got.Hi+1e-11 {
				t.Fatalf("%v deg is %v from %v, outside %v", x, least, wanted, got)
			}
			seen = seen.Hull(unit.Point(least))
		}
		// The samples come within a step of the true ends.
		if step := width / steps; got.Lo < seen.Lo-step-1e-9 || got.Hi > seen.Hi+step+1e-9 {
			t.Fatalf("%v is wider than what is seen, %v", got, seen)
		}
	})
}

// The margin is the worst and the best over the box, for the four sorts of range.
func TestMargin(t *testing.T) {
	inf := unit.Whole.Hi
	for _, c := range []struct {
		got, want, margin unit.Interval
	}{
		{unit.Point(3), unit.Interval{Lo: 1, Hi: 4}, unit.Point(1)},
		{unit.Point(5), unit.Interval{Lo: 1, Hi: 4}, unit.Point(-1)},
		{unit.Point(3), atLeast(1), unit.Point(2)},
		{unit.Point(3), atMost(1), unit.Point(-2)},
		{unit.Point(inf), atLeast(1), unit.Point(inf)},
		{unit.Point(-inf), atMost(1), unit.Point(inf)},
		{unit.Point(-inf), atLeast(1), unit.Point(-inf)},
		{unit.Interval{Lo: 0, Hi: 10}, unit.Interval{Lo: 1, Hi: 4}, unit.Interval{Lo: -6, Hi: 1.5}},
		{unit.Whole, atLeast(1), unit.Whole},
		{unit.Whole, atMost(1), unit.Whole},
	} {
		p := Part{Got: c.got, Want: c.want}
		m := p.Margin()
		// Boxes are rounded outward by one unit in the last place.
		if !m.Holds(c.margin) || m.Lo < c.margin.Lo-1e-12 || m.Hi > c.margin.Hi+1e-12 {
			t.Errorf("%v in %v: margin %v, want %v", c.got, c.want, m, c.margin)
		}
		if p.Fails() != (m.Hi < 0) || p.Holds() != (m.Lo >= 0) {
			t.Errorf("%v in %v: fails %v, holds %v, margin %v", c.got, c.want, p.Fails(), p.Holds(), m)
		}
	}
}
