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
	Name: "gradient",
	Doc: Doc{
		Group: "tone",
		Title: "the background runs from dark to light, up or down the frame",
		Text: `How many stops lighter the backdrop is at one edge of the frame than at the other, measured on the middle
line, with the place behind the head between the two, so that the run has no dip. light: bottom (if not written) or
top; by: 1.5..3 stops (if not written; from memory).`,
		Example: "gradient: {light: bottom, by: 1.5..3 stops}",
		Words:   []string{"graduated background", "falloff", "vignette", "dark to light", "top dark", "fade", "ramp"},
	},
	Read: readGradient,
})

var usualRun = unit.Range[unit.Stops]{Lo: 1.5, Hi: 3}

type gradientGoal struct {
	Plain
	top bool // the light end
	by  unit.Range[unit.Stops]
}

type gradientForm struct {
	source.Places
	Light string                 `yaml:"light,omitempty"`
	By    unit.Range[unit.Stops] `yaml:"by,omitempty"`
}

func readGradient(n source.Node) (Requirement, error) {
	g := &gradientGoal{by: usualRun}
	if yes(n) {
		return g, nil
	}
	var f gradientForm
	if w, ok := word(n); ok {
		f.Light = w
	} else if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("by") {
		g.by = f.By
	}
	if f.Light == "" {
		return g, nil
	}
	known, err := oneOf("light end", f.Light, []string{"bottom", "top"})
	g.top = known == "top"
	return g, err
}

func (g *gradientGoal) Validate(*Brief) error { return inside("the run", g.by, 0, 10) }

func (g *gradientGoal) light() string {
	if g.top {
		return "top"
	}
	return "bottom"
}

func (g *gradientGoal) Written() string {
	return keyed(pair{"light", g.light()}, pair{"by", rangeText(g.by)})
}

func (g *gradientGoal) Roles() (need, may []inventory.Role) {
	return nil, []inventory.Role{inventory.Background}
}

func (g *gradientGoal) Reads() Aspect {
	return OnSpill | OnBounce | OnFall | OnBackdrop | OnDepth | OnLens | OnFrame | Level(inventory.Background) | Pose(inventory.Background)
}

func (g *gradientGoal) Judge(r *Reading, out []Part) []Part {
	light, dark := r.BottomTone, r.TopTone
	if g.top {
		light, dark = dark, light
	}
	return append(out,
		Part{What: "lighter at the " + g.light() + " by", Got: less(light, dark), Want: g.by.Interval(), Unit: InStep, Fine: 0.2},
		Part{What: overHead, Got: less(light, r.HeadTone), Want: atLeast(0), Unit: InStep, Fine: 0.1},
		Part{What: overDark, Got: less(r.HeadTone, dark), Want: atLeast(0), Unit: InStep, Fine: 0.1})
}

// Names of parts: the steps from the light end down to the head, and on to the dark end.
const (
	overHead = "light end over the head by"
	overDark = "head over the dark end by"
)

func (g *gradientGoal) Say(parts []Part) string {
	text := sayPart(parts[0])
	for _, p := range parts[1:] {
		if p.Fails() {
			text += fmt.Sprintf(", with a dip: %s %s", p.What, p.GotText())
		}
	}
	return text
}

// less is a difference of tones; two that are both black do not differ.
func less(a, b unit.Interval) unit.Interval {
	if a.IsPoint() && b.IsPoint() && math.IsInf(a.Lo, -1) && math.IsInf(b.Lo, -1) {
		return unit.Point(0)
	}
	d := a.Sub(b)
	if math.IsNaN(d.Lo) || math.IsNaN(d.Hi) {
		return unit.Whole
	}
	return d
}

func (g *gradientGoal) Because(_ *Reading, p Part) string {
	switch p.What {
	case overHead:
		return fmt.Sprintf("The background does not run evenly: behind the head it is lighter than at the %s.", g.light())
	case overDark:
		return "The background does not run evenly: behind the head it is darker than at its dark edge."
	}
	return short("the step from the dark edge of the background to the light one", p)
}

func (g *gradientGoal) Relax(b *Bench) iter.Seq[Change] {
	out := loosened(g, "the run of the background", g.by, InStep, func(to unit.Range[unit.Stops]) Requirement { return &gradientGoal{top: g.top, by: to} }, 0.5, 1)
	turned := &gradientGoal{top: !g.top, by: g.by}
	out = append(out, weaker(g, turned, 3, "put the light end at the %s", turned.light()))
	out = append(append(out, deeper(b)...), moreLights(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *gradientGoal) Wants(*Bench) []Want {
	v := g.by.Interval()
	if g.top {
		v = v.Neg()
	}
	lo := atLeast(v.Lo) // the spread is at least the run
	if g.top {
		lo = atLeast(-v.Hi)
	}
	return []Want{{"run of the background toward the bottom", v, "a background that is lighter at the " + g.light()},
		{"spread of the background", lo, "a background that runs from dark to light"}}
}

// Amounts moves either end of the run by tenths of a stop.
func (g *gradientGoal) Amounts(b *Bench) []Amount {
	with := func(r unit.Interval) Requirement { return &gradientGoal{top: g.top, by: stopsOf(r)} }
	return append(ends(g, "the run of the background", g.by.Interval(), 0, 10, 0.1, InStep, with, "let the run of the background be %s"), depthAmount(b)...)
}
