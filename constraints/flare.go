package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "flare",
	Doc: Doc{
		Group: "shape",
		Title: "no light shines into the lens",
		Text: `How far every light that is used is from shining on the front of the lens: its face is outside what a hood
lets in (20 deg beyond the corner of the frame; hoods differ by 10 deg, from memory), or it is turned away by more than
its own spread or its grid's, or it stands behind the sitter's head. By at least 0 deg if not written. Light that bounces
off the set into the lens is not counted.`,
		Example: "flare: {by: 0 deg}",
		Words:   []string{"lens flare", "veil", "haze", "no flare", "hood", "flag", "ghosts", "contrast loss"},
	},
	Read: readFlare,
})

type flareGoal struct {
	Plain
	by unit.Angle
}

type flareForm struct {
	source.Places
	By unit.Angle `yaml:"by,required"`
}

func readFlare(n source.Node) (Requirement, error) {
	if w, _ := word(n); yes(n) || normal(w) == "none" {
		return &flareGoal{}, nil
	}
	var f flareForm
	err := n.Decode(&f)
	return &flareGoal{by: f.By}, err
}

func (g *flareGoal) Validate(*Brief) error {
	return inside("by", unit.Exactly(g.by), -45*unit.Degree, 60*unit.Degree)
}

func (g *flareGoal) Written() string { return "{by: " + exact(g.by) + "}" }
func (g *flareGoal) Reads() Aspect {
	return everyLight(Pose) | everyLight(Gear) | OnStray | OnLens | OnFrame | OnDepth
}

func (g *flareGoal) Judge(r *Reading, out []Part) []Part {
	return usedLights(r, out, func(l *LightReading) Part {
		return Part{Got: l.Stray, Want: atLeast(tidy(g.by.Degrees())), Unit: InDegrees, Fine: 3}
	})
}

func (g *flareGoal) Say(parts []Part) string {
	return sayNearest(parts, "is clear of the lens by", "shines into the lens by", g.by)
}

func (g *flareGoal) Because(_ *Reading, p Part) string {
	if p.Got.Hi < 0 {
		return fmt.Sprintf("Wherever it may stand, the %s shines into the lens.", spoken(p.What))
	}
	return short("the gap between the "+spoken(p.What)+" and what the lens takes in", p)
}

func (g *flareGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Angle{5 * unit.Degree, 10 * unit.Degree, 20 * unit.Degree} {
		w := &flareGoal{by: g.by - d}
		if w.by >= -45*unit.Degree {
			c := weaker(g, w, 2+float64(i), "stop a light with a flag that reaches %s farther", Show(d.Degrees(), InDegrees))
			c.Cost = "a flag, 2 min"
			out = append(out, c)
		}
	}
	out = append(out, fabricGrid(b)...)
	out = append(out, Change{Text: "let the lens flare", Cost: nothing, Minor: 6, Apply: drop(g)})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts flags the light farther, by whole degrees.
func (g *flareGoal) Amounts(*Bench) []Amount {
	now := tidy(g.by.Degrees())
	values := toward(now, -45, 1)
	if len(values) == 0 {
		return nil
	}
	reach := func(x float64) string { return Show(now-x, InDegrees) }
	return []Amount{listed("reach of a flag", now, values, reach, func(x float64) Change {
		c := weaker(g, &flareGoal{by: unit.Angle(x) * unit.Degree}, 2, "stop a light with a flag that reaches %s farther", reach(x))
		c.Cost = "a flag, 2 min"
		return c
	})}
}
