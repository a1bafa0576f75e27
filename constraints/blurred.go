package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "blurred",
	Doc: Doc{
		Group: "focus",
		Title: "named parts fall out of focus: ears, shoulders, the far eye",
		Text: `The blur disc of each point on the sensor is at least three times what counts as sharp (by: another
number; three is from memory). "soft" says how soft the light is, so softness of focus has this word. ` + focusPointsText,
		Example: "blurred: {points: [ears], by: 3}",
		Words:   []string{"soft ears", "ears soft", "soft parts", "shallow focus", "only the near lashes", "shoulders", "ears", "far eye", "thin focus"},
	},
	Read: func(n source.Node) (Requirement, error) {
		set, by, err := readPoints(n, usualBlur)
		return &blurredGoal{points: set, by: by}, err
	},
})

const usualBlur = 3.0

type blurredGoal struct {
	Plain
	points pointSet
	by     float64 // times the circle of confusion
}

func (g *blurredGoal) Validate(*Brief) error {
	if !(g.by >= 0.5 && g.by <= 100) {
		return fmt.Errorf("by lies between 0.5 and 100 circles of confusion")
	}
	return nil
}

func (g *blurredGoal) Written() string {
	if g.by == usualBlur {
		return g.points.written()
	}
	return fmt.Sprintf("{points: %s, by: %v}", g.points.written(), g.by)
}

func (g *blurredGoal) Reads() Aspect { return OnAperture | OnFrame | OnLens }

func (g *blurredGoal) Judge(r *Reading, out []Part) []Part {
	for _, i := range g.points {
		out = append(out, Part{What: focusPoints[i].word, Got: focusPoints[i].disc(r), Want: atLeast(g.by), Unit: InDiscs, Fine: 0.3})
	}
	return out
}

func (g *blurredGoal) Say(parts []Part) string { return sayDiscs(parts) }

func (g *blurredGoal) Because(r *Reading, p Part) string {
	return fmt.Sprintf("%s the %s %s blurred by at most %s the sharpness limit, and at least %s is wanted.",
		where(r, "or smaller"), p.What, isAre(p.What), ceil(p.Got.Hi, InDiscs, p.Want.Lo), Asked(p.Want.Lo, InDiscs))
}

func (g *blurredGoal) Relax(b *Bench) iter.Seq[Change] {
	out := openUpAsked(b)
	for i, by := range []float64{2, 1.5, 1} {
		if by < g.by {
			out = append(out, weaker(g, &blurredGoal{points: g.points, by: by}, 2+float64(i), "let %s be blurred by only %v times the sharpness limit", g.points.spoken(), by))
		}
	}
	for i := range g.points {
		if len(g.points) > 1 {
			rest := slices.Delete(slices.Clone(g.points), i, i+1)
			out = append(out, weaker(g, &blurredGoal{points: rest, by: g.by}, 3, "let the %s be sharp", focusPoints[g.points[i]].word))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *blurredGoal) Wants(*Bench) []Want {
	var out []Want
	for _, i := range g.points {
		out = append(out, Want{"blur of the " + focusPoints[i].word, unit.Interval{Lo: g.by, Hi: math.Inf(1)}, "the " + focusPoints[i].word + " out of focus"})
	}
	return out
}

// Amounts asks for less blur, by tenths of the sharpness limit.
func (g *blurredGoal) Amounts(*Bench) []Amount {
	points := g.points.spoken()
	return moved(g, "blur of "+points, g.by, 0.5, 0.1, times, func(x float64) string {
		return fmt.Sprintf("let %s be blurred by only %v times the sharpness limit", points, x)
	}, 2, func(x float64) Requirement { return &blurredGoal{points: g.points, by: x} })
}
