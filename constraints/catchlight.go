package constraints

import (
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "catchlight",
	Doc: Doc{
		Group: "shape",
		Title: "the key is mirrored in both eyes, high up",
		Text: `The eye is a small round mirror (radius 7.8 mm): a light at an angle t from the camera is drawn 7.8 mm x
sin(t/2) from the middle of the iris, which is 5.9 mm in radius, so t is at most 75 deg. The upper lid cuts it off when
the key is more than 50 deg above the eyes, and the bridge of the nose hides it from the far eye when the key is more
than 70 deg from the nose. It sits within 60 deg of 12 o'clock, 10 to 2, if not written (clock). The offset is computed,
lid, nose and clock are from memory.`,
		Example: "catchlight: {clock: 60 deg}",
		Words:   []string{"catchlights", "eye light", "sparkle in the eyes", "10 o'clock", "2 o'clock", "dead eyes", "reflection in the eye"},
	},
	Read: readCatchlight,
})

const (
	irisEdge     = 75.0 // deg from the camera
	lidEdge      = 50.0 // deg above the eyes
	noseEdge     = 70.0 // deg from the nose
	usualClock   = 60 * unit.Degree
	clockFragile = 5
)

type catchlightGoal struct {
	Plain
	clock unit.Angle // from 12 o'clock, either way
}

type catchlightForm struct {
	source.Places
	Clock unit.Angle `yaml:"clock,required"`
}

func readCatchlight(n source.Node) (Requirement, error) {
	if yes(n) {
		return &catchlightGoal{clock: usualClock}, nil
	}
	var f catchlightForm
	err := n.Decode(&f)
	return &catchlightGoal{clock: f.Clock}, err
}

func (g *catchlightGoal) Validate(*Brief) error {
	return inside("clock", unit.Exactly(g.clock), 5*unit.Degree, 180*unit.Degree)
}

func (g *catchlightGoal) Written() string { return "{clock: " + exact(g.clock) + "}" }

func (g *catchlightGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}
func (g *catchlightGoal) Reads() Aspect { return Pose(inventory.Key) }

func (g *catchlightGoal) Judge(r *Reading, out []Part) []Part {
	key := &r.Lights[inventory.Key]
	return lightParts(r, inventory.Key, out,
		Part{What: "key from the camera", Got: fromAxis(key.Azimuth, key.Elevation), Want: atMost(irisEdge), Unit: InDegrees, Fine: 3},
		Part{What: "above the eyes", Got: key.Elevation, Want: atMost(lidEdge), Unit: InDegrees, Fine: 3},
		Part{What: "from the nose", Got: apart(key.FromFace, 0), Want: atMost(noseEdge), Unit: InDegrees, Fine: 3},
		Part{What: "from 12 o'clock", Got: clockOf(key.Azimuth, key.Elevation), Want: atMost(tidy(g.clock.Degrees())), Unit: InDegrees, Fine: clockFragile})
}

// fromAxis is the angle between a light and the camera as the eyes see them, in degrees:
// its cosine is that of the azimuth times that of the elevation.
func fromAxis(az, el unit.Interval) unit.Interval {
	if az == unit.Whole || el == unit.Whole {
		return unit.Interval{Lo: 0, Hi: 180}
	}
	a, e := apart(az, 0), el.Abs()
	at := func(a, e float64) float64 {
		return math.Acos(min(1, max(-1, math.Cos(a/inDegrees)*math.Cos(e/inDegrees)))) * inDegrees
	}
	if a.IsPoint() && e.IsPoint() {
		return unit.Point(at(a.Lo, e.Lo))
	}
	// The angle grows with the azimuth; with the elevation it grows in front and falls behind.
	e.Hi = min(e.Hi, 90)
	lo, hi := min(at(a.Lo, e.Lo), at(a.Lo, e.Hi)), max(at(a.Hi, e.Lo), at(a.Hi, e.Hi))
	const rounding = 1e-5 // of an arc cosine near its ends
	return unit.Interval{Lo: max(0, lo-rounding), Hi: min(180, hi+rounding)}
}

// clockOf is where round the iris a light is mirrored: the angle from 12 o'clock, in
// degrees either way.
func clockOf(az, el unit.Interval) unit.Interval {
	if az == unit.Whole || el == unit.Whole {
		return unit.Interval{Lo: 0, Hi: 180}
	}
	a := apart(az, 0)
	at := func(sin, e float64) float64 {
		return math.Atan2(sin*math.Cos(e/inDegrees), math.Sin(e/inDegrees)) * inDegrees
	}
	// Sideways it is the sine of the azimuth, which is largest at 90 deg. The angle falls with
	// the elevation; away from 90 deg, that is above the eyes, it grows with the sine, and
	// below them it falls.
	s := unit.Of(math.Sin(a.Lo/inDegrees), math.Sin(a.Hi/inDegrees))
	if a.Contains(90) {
		s.Hi = 1
	}
	if a.IsPoint() && el.IsPoint() {
		return unit.Point(at(max(0, s.Lo), el.Lo+0))
	}
	lo, hi := max(-90, el.Lo)+0, min(90, el.Hi)+0 // no zero below zero, behind which an arc tangent lies
	const rounding = 1e-9
	s.Lo = max(0, s.Lo)
	least, most := s.Lo, s.Hi
	if hi < 0 {
		least = s.Hi
	}
	if lo < 0 {
		most = s.Lo
	}
	return unit.Interval{Lo: max(0, at(least, hi)-rounding), Hi: min(180, at(most, lo)+rounding)}
}

func (g *catchlightGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "key from the camera":
		return short("the angle between key and camera, seen from the eyes,", p)
	case "above the eyes":
		return short("the height of the key above the eyes", p)
	case "from the nose":
		return short("the angle of the key from the nose", p)
	}
	return short("the place of the catchlight, from 12 o'clock,", p)
}

func (g *catchlightGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Angle{15 * unit.Degree, 30 * unit.Degree, 60 * unit.Degree} {
		if to := g.clock + d; to <= 180*unit.Degree {
			out = append(out, weaker(g, &catchlightGoal{clock: to}, 1+float64(i), "let the catchlight sit up to %s from 12 o'clock", Show(to.Degrees(), InDegrees)))
		}
	}
	out = append(out, Change{Text: "do without a catchlight of the key in both eyes", Cost: nothing, Minor: 6, Apply: drop(g)})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts lets the catchlight sit lower, by whole degrees.
func (g *catchlightGoal) Amounts(*Bench) []Amount {
	return moved(g, "place of the catchlight", tidy(g.clock.Degrees()), 180, 1, inUnit(InDegrees), worded("let the catchlight sit up to %s from 12 o'clock", InDegrees), 1,
		func(x float64) Requirement { return &catchlightGoal{clock: unit.Angle(x) * unit.Degree} })
}
