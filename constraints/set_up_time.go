package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "set-up-time",
	Doc: Doc{
		Group: "practical",
		Title: "how long it takes to build",
		Text: `Minutes to rig, aim and meter everything from an empty set, from the studio's handling times (usual ones
from memory: a light on its stand 4..8 min alone, a boom with its counterweight 6..12, a gel inside a box 3..5).
The crew of the studio file says whether somebody assists.`,
		Example: "set-up-time: {at most: 30 min}",
		Words:   []string{"minutes", "time", "quick", "fast", "rigging"},
	},
	Read: func(n source.Node) (Requirement, error) {
		want, err := readRange[unit.Minutes](n)
		if want.Lo == want.Hi { // "30 min" can only mean "at most"
			want = unit.AtMost(want.Hi)
		}
		return &setUpTimeGoal{want: want}, err
	},
})

type setUpTimeGoal struct {
	Plain
	want unit.Range[unit.Minutes]
}

func (g *setUpTimeGoal) Validate(*Brief) error {
	if g.want.Hi <= 0 {
		return fmt.Errorf("nothing is built in 0 min")
	}
	return valid("set-up-time", g.want.Interval())
}

func (g *setUpTimeGoal) Written() string { return limitText(g.want) }
func (g *setUpTimeGoal) Reads() Aspect   { return OnMinutes }

func (g *setUpTimeGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.Minutes, Want: g.want.Interval(), Unit: InMinutes, Fine: 3})
}

func (g *setUpTimeGoal) Because(_ *Reading, p Part) string { return short("the time to build it", p) }

func (g *setUpTimeGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if b.Studio.Crew != inventory.CrewAssisted {
		out = append(out, Change{Text: "bring an assistant", Cost: "an assistant", Minor: 2,
			Apply: func(_ *Brief, s *inventory.Studio) { s.Crew = inventory.CrewAssisted }})
	}
	for i, d := range []unit.Minutes{5, 10, 20, 40} {
		if !math.IsInf(float64(g.want.Hi), 0) {
			w := &setUpTimeGoal{want: unit.Range[unit.Minutes]{Lo: g.want.Lo, Hi: g.want.Hi + d}}
			c := weaker(g, w, 1.5+1.5*float64(i), "allow %s to build it", w.want.Hi)
			c.Cost = fmt.Sprintf("%s", d)
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *setUpTimeGoal) Wants(*Bench) []Want {
	return []Want{{"set-up time", g.want.Interval(), "a set-up time of " + g.want.String()}}
}

// Amounts allows more time, by whole minutes.
func (g *setUpTimeGoal) Amounts(*Bench) []Amount {
	now := float64(g.want.Hi)
	return []Amount{listed("set-up time", now, toward(now, now+120, 1), inUnit(InMinutes), func(x float64) Change {
		c := weaker(g, &setUpTimeGoal{want: unit.Range[unit.Minutes]{Lo: g.want.Lo, Hi: unit.Minutes(x)}}, 1.5, "allow %s to build it", unit.Minutes(x))
		c.Cost = fmt.Sprint(unit.Minutes(x - now))
		return c
	})}
}
