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
	Name: "few-lights",
	Doc: Doc{
		Group: "practical",
		Title: "how many lights are used",
		Text: `Every head that is on counts once. Each light costs four to eight minutes to rig alone (from memory), and
one more thing to meter.`,
		Example: "few-lights: {at most: 4, wish: 2}",
		Words:   []string{"one light", "simple", "number of lights", "minimal", "count"},
	},
	Read: readFewLights,
})

type lightCount float64

type fewLightsGoal struct {
	Plain
	want unit.Range[lightCount]
}

func readFewLights(n source.Node) (Requirement, error) {
	want, err := readRange[lightCount](n)
	if w, ok := word(n); ok && err == nil && want.Lo == want.Hi && w != "" {
		want = unit.AtMost(want.Hi) // "few-lights: 2" can only mean "at most"
	}
	return &fewLightsGoal{want: want}, err
}

func (g *fewLightsGoal) Validate(*Brief) error {
	for _, x := range []lightCount{g.want.Lo, g.want.Hi} {
		if !math.IsInf(float64(x), 0) && (x != lightCount(math.Trunc(float64(x))) || x < 0 || x > 100) {
			return fmt.Errorf("a number of lights is a whole number from 1 to 100")
		}
	}
	if g.want.Hi < 1 {
		return fmt.Errorf("a picture needs one light at least")
	}
	return valid("few-lights", g.want.Interval())
}

func (g *fewLightsGoal) Written() string { return limitText(g.want) }
func (g *fewLightsGoal) Reads() Aspect   { return OnCount }

func (g *fewLightsGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.Count, Want: g.want.Interval(), Unit: InCount})
}

func (g *fewLightsGoal) Because(_ *Reading, p Part) string { return short("the number of lights", p) }

func (g *fewLightsGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i := range 3 {
		d := lightCount(i + 1)
		if !math.IsInf(float64(g.want.Hi), 0) {
			w := &fewLightsGoal{want: unit.Range[lightCount]{Lo: g.want.Lo, Hi: g.want.Hi + d}}
			out = append(out, weaker(g, w, 1.5+1.5*float64(i), "use up to %s lights", endOf(w.want.Hi)))
		}
		if lo := g.want.Lo; !math.IsInf(float64(lo), 0) && lo-d >= 1 {
			w := &fewLightsGoal{want: unit.Range[lightCount]{Lo: lo - d, Hi: g.want.Hi}}
			out = append(out, weaker(g, w, 1.5+1.5*float64(i), "do with %s lights", endOf(w.want.Lo)))
		}
	}
	return slices.Values(out)
}

func endOf(x lightCount) string { return fmt.Sprint(float64(x)) }

func (g *fewLightsGoal) Wants(*Bench) []Want {
	return []Want{{lightsUsed, g.want.Interval(), g.want.String() + " lights"}}
}

// lightsUsed is the quantity that the roles which goals need add up to.
const lightsUsed = "lights used"

// Amounts allows more lights, or fewer, one at a time.
func (g *fewLightsGoal) Amounts(*Bench) (out []Amount) {
	lo, hi := float64(g.want.Lo), float64(g.want.Hi)
	move := func(name string, now float64, values []float64, format string, with func(lightCount) unit.Range[lightCount]) {
		if len(values) == 0 {
			return
		}
		out = append(out, listed(name, now, values, inUnit(InCount), func(x float64) Change {
			return weaker(g, &fewLightsGoal{want: with(lightCount(x))}, 1.5, format, endOf(lightCount(x)))
		}))
	}
	move("number of lights", hi, toward(hi, 12, 1), "use up to %s lights", func(x lightCount) unit.Range[lightCount] { return unit.Range[lightCount]{Lo: g.want.Lo, Hi: x} })
	move("least number of lights", lo, toward(lo, 1, 1), "do with %s lights", func(x lightCount) unit.Range[lightCount] { return unit.Range[lightCount]{Lo: x, Hi: g.want.Hi} })
	return out
}
