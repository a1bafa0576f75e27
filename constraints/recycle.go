package constraints

import (
	"cmp"
	"iter"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "recycle",
	Doc: Doc{
		Group: "practical",
		Title: "the flashes are ready again soon",
		Text: `The time until each flash that is used is full again at its power: the head's own time at full power, in
proportion to the energy that it gives off (common practice, no source); 1.5 s at full where the head does not say.
Continuous light is always ready. Half the power is ready in half the time, so open up, come nearer or use a stronger
head.`,
		Example: "recycle: {at most: 1 s}",
		Words:   []string{"recycling", "ready", "frame rate", "burst", "fast shooting", "frames per second"},
	},
	Read: readRecycle,
})

type recycleGoal struct {
	Plain
	most unit.Time
}

type recycleForm struct {
	source.Places
	AtMost unit.Time `yaml:"at most,required"`
}

func readRecycle(n source.Node) (Requirement, error) {
	if yes(n) {
		return &recycleGoal{most: 1}, nil
	}
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Time](n)
		return &recycleGoal{most: want.Hi}, err
	}
	var f recycleForm
	err := n.Decode(&f)
	return &recycleGoal{most: f.AtMost}, err
}

func (g *recycleGoal) Validate(*Brief) error {
	return inside("the wait", unit.Exactly(g.most), 0.01, 60)
}
func (g *recycleGoal) Written() string { return "{at most: " + exact(g.most) + "}" }
func (g *recycleGoal) Reads() Aspect   { return everyLight(Gear) | OnPower }

func (g *recycleGoal) Judge(r *Reading, out []Part) []Part {
	return usedLights(r, out, func(l *LightReading) Part {
		return Part{Got: l.Recycle, Want: atMost(float64(g.most)), Unit: InWait, Fine: 0.1}
	})
}

func (g *recycleGoal) Say(parts []Part) string {
	if len(parts) == 0 {
		return ""
	}
	p := slices.MinFunc(parts, cmpMargin)
	return "slowest is the " + spoken(p.What) + ", ready in " + p.GotText() + " (" + p.aside() + ")"
}

// cmpMargin orders parts by how tight they are.
func cmpMargin(a, b Part) int { return cmp.Compare(a.Margin().Lo, b.Margin().Lo) }

func (g *recycleGoal) Because(_ *Reading, p Part) string {
	return short("the time until the "+spoken(p.What)+" is ready again", p)
}

func (g *recycleGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, f := range []unit.Time{1.5, 2, 4} {
		w := &recycleGoal{most: unit.Time(figures(float64(g.most * f)))}
		out = append(out, weaker(g, w, 1+float64(i), "wait %s between frames", Show(float64(w.most), InWait)))
	}
	out = append(append(out, openUpAsked(b)...), otherHeads(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *recycleGoal) Wants(*Bench) []Want {
	return []Want{{"wait between frames", unit.Interval{Lo: 0, Hi: float64(g.most)}, "a short wait"}}
}

// Amounts waits longer, by tenths of a second.
func (g *recycleGoal) Amounts(*Bench) []Amount {
	return moved(g, "wait between frames", tidy(float64(g.most)), 60, 0.1, inUnit(InWait), worded("wait %s between frames", InWait), 1,
		func(x float64) Requirement { return &recycleGoal{most: unit.Time(x)} })
}
