package constraints

import (
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "no-nose-rim",
	Doc: Doc{
		Group: "shape",
		Title: "no rim light reaches the nose",
		Text: `How far every rim stands from the way the nose points: at least 125 deg if not written. From the tip of the
nose, 32 mm before the cheek and 45 mm beside it, the cheek begins to hide a light at 125 deg (computed from the face of
this program; 120 deg and a margin is the rule of thumb, from memory). Count with the turn of the head: the nose points
away from one rim and toward the other.`,
		Example: "no-nose-rim: {at least: 125 deg}",
		Words:   []string{"rim on the nose", "nose tip", "light on the nose", "spill on the nose", "clean rim"},
	},
	Read: readNoNoseRim,
})

const cheekHides = 125 * unit.Degree

type noNoseRimGoal struct {
	Plain
	least unit.Angle
}

type noNoseRimForm struct {
	source.Places
	AtLeast unit.Angle `yaml:"at least,required"`
}

func readNoNoseRim(n source.Node) (Requirement, error) {
	if yes(n) {
		return &noNoseRimGoal{least: cheekHides}, nil
	}
	var f noNoseRimForm
	err := n.Decode(&f)
	return &noNoseRimGoal{least: f.AtLeast}, err
}

func (g *noNoseRimGoal) Validate(*Brief) error {
	return inside("at least", unit.Exactly(g.least), 60*unit.Degree, 180*unit.Degree)
}

func (g *noNoseRimGoal) Written() string { return "{at least: " + exact(g.least) + "}" }

func (g *noNoseRimGoal) Reads() (a Aspect) {
	for _, r := range rims {
		a |= Pose(r)
	}
	return a
}

func (g *noNoseRimGoal) Judge(r *Reading, out []Part) []Part {
	for _, role := range rims {
		if part, used := usedPart(r, role); used {
			part.Got = knownIf(r.Lights[role].On, apart(r.Lights[role].FromFace, 0))
			part.Want, part.Unit, part.Fine = atLeast(tidy(g.least.Degrees())), InDegrees, 3
			out = append(out, part)
		}
	}
	return out
}

// usedPart begins a part about a light that is used, or may be.
func usedPart(r *Reading, role inventory.Role) (Part, bool) {
	return Part{What: role.String()}, r.Lights[role].On.Hi >= 1
}

// knownIf is a number of a light, of which nothing is said while the light may be missing.
func knownIf(on, got unit.Interval) unit.Interval {
	if on.Lo < 1 {
		return unit.Whole
	}
	return got
}

func (g *noNoseRimGoal) Because(_ *Reading, p Part) string {
	return short("the angle of the "+spoken(p.What)+" from the way the nose points", p)
}

func (g *noNoseRimGoal) Relax(b *Bench) iter.Seq[Change] {
	out := turnLess(b)
	for i, d := range []unit.Angle{5 * unit.Degree, 15 * unit.Degree} {
		if to := g.least - d; to >= 60*unit.Degree {
			out = append(out, weaker(g, &noNoseRimGoal{least: to}, 2+float64(i), "let a rim stand %s from the nose", Show(to.Degrees(), InDegrees)))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts turns the head, and lets a rim come nearer to the nose, by whole degrees.
func (g *noNoseRimGoal) Amounts(b *Bench) []Amount {
	return append(turnAmount(b), moved(g, "angle between rim and nose", tidy(g.least.Degrees()), 60, 1, inUnit(InDegrees), worded("let a rim stand %s from the nose", InDegrees), 2,
		func(x float64) Requirement { return &noNoseRimGoal{least: unit.Angle(x) * unit.Degree} })...)
}
