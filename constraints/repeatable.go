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
	Name: "repeatable",
	Doc: Doc{
		Group: "practical",
		Title: "the set can be built again from its notes and gives the same light",
		Text: `By how much the light of each head that is used changes when the tape is off by 3 cm (tape), which is what a
tape and a tired eye are good for: at most 0.1 stops (within; both from memory). It is 2 log2(1 + tape/distance), that of
a point; a face near by changes less. A light nearer than 85 cm cannot be put back so well with a tape of 3 cm.`,
		Example: "repeatable: {tape: 3 cm, within: 0.1 stops}",
		Words:   []string{"repeat", "same again", "consistent", "series", "headshot series", "next month", "reproducible"},
	},
	Read: readRepeatable,
})

type repeatableGoal struct {
	Plain
	tape   unit.Length
	within unit.Stops
}

type repeatableForm struct {
	source.Places
	Tape   unit.Length `yaml:"tape,omitempty"`
	Within unit.Stops  `yaml:"within,omitempty"`
}

func readRepeatable(n source.Node) (Requirement, error) {
	g := &repeatableGoal{tape: 0.03, within: 0.1}
	if yes(n) {
		return g, nil
	}
	var f repeatableForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("tape") {
		g.tape = f.Tape
	}
	if f.Wrote("within") {
		g.within = f.Within
	}
	return g, nil
}

func (g *repeatableGoal) Validate(*Brief) error {
	if !(g.within > 0 && g.within <= 3) {
		return fmt.Errorf("within is above 0 stops and at most 3 stops")
	}
	return inside("tape", unit.Exactly(g.tape), 0.001, 0.5)
}

func (g *repeatableGoal) Written() string {
	return keyed(pair{"tape", exact(g.tape)}, pair{"within", unsigned(g.within)})
}

func (g *repeatableGoal) Reads() Aspect { return everyLight(Pose) }

func (g *repeatableGoal) Judge(r *Reading, out []Part) []Part {
	return usedLights(r, out, func(l *LightReading) Part {
		return Part{Got: fallFor(float64(g.tape), l.Distance), Want: atMost(float64(g.within)), Unit: InStep, Fine: 0.01}
	})
}

// fallFor is how many stops darker a point light is when its distance d grows by some metres:
// 2 log2(1 + more/d).
func fallFor(more float64, d unit.Interval) unit.Interval {
	if d == unit.Whole {
		return unit.Interval{Lo: 0, Hi: math.Inf(1)}
	}
	d.Lo = max(0, d.Lo)
	return unit.Point(more).Div(d).Add(unit.Point(1)).Log2().Scale(2)
}

func (g *repeatableGoal) Say(parts []Part) string {
	if len(parts) == 0 {
		return ""
	}
	p := slices.MinFunc(parts, cmpMargin)
	text := fmt.Sprintf("%s off on the tape moves the %s by at most %s", Asked(float64(g.tape), InMetres), spoken(p.What), plural(fixed(p.Got.Hi, 2, math.Ceil), "stop"))
	return text + fmt.Sprintf(" (wanted at most %s)", Asked(float64(g.within), InStep))
}

func (g *repeatableGoal) Because(_ *Reading, p Part) string {
	return fmt.Sprintf("The %s would have to stand so near that %s on the tape are %s or more, and at most %s is wanted.", spoken(p.What),
		Asked(float64(g.tape), InMetres), floor(p.Got.Lo, InStep, p.Want.Hi), Asked(p.Want.Hi, InStep))
}

func (g *repeatableGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Stops{0.1, 0.2, 0.5} {
		w := &repeatableGoal{tape: g.tape, within: unit.Stops(tidy(float64(g.within + d)))}
		if w.within <= 3 {
			out = append(out, weaker(g, w, 1.5+float64(i), "let a light be off by %s next time", size(float64(w.within), InStops)))
		}
	}
	for i, to := range []unit.Length{0.02, 0.01} {
		if to < g.tape {
			out = append(out, weaker(g, &repeatableGoal{tape: to, within: g.within}, 1+float64(i)/2, "measure to %s, from a fixed point of each head", Show(float64(to), InMetres)))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts measures to half centimetres, and lets a light be off by more, by tenths of a stop.
func (g *repeatableGoal) Amounts(*Bench) []Amount {
	out := moved(g, "slack of the tape", tidy(float64(g.tape)), min(0.005, float64(g.tape)), 0.005, inUnit(InMetres), worded("measure to %s, from a fixed point of each head", InMetres), 1,
		func(x float64) Requirement { return &repeatableGoal{tape: unit.Length(x), within: g.within} })
	show := func(x float64) string { return plural(unsigned2(unit.Stops(x)), "stop") }
	say := func(x float64) string { return fmt.Sprintf("let a light be off by %s next time", show(x)) }
	return append(out, moved(g, "change of a light next time", tidy(float64(g.within)), 3, 0.1, show, say, 1.5,
		func(x float64) Requirement { return &repeatableGoal{tape: g.tape, within: unit.Stops(x)} })...)
}
