package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "lens",
	Doc: Doc{
		Group: "camera",
		Title: "the focal length of the lens",
		Text: `The focal length as it would be on a 36 x 24 mm frame, so that it says the same on any body; a single
value is held within 5 %. The focal length alone changes neither perspective (that is the distance) nor how much is
sharp at a framing (that is the f-number): it decides how far away the camera stands and how wide a backdrop it
needs.`,
		Example: "lens: 85 mm..135 mm",
		Words:   []string{"focal length", "telephoto", "wide angle", "portrait lens", "85", "zoom", "prime"},
	},
	Read: readLens,
})

// sameLens is how far a focal length may lie from the one that was asked for: makers round.
const sameLens = 0.05

type lensGoal struct {
	Plain
	want unit.Range[unit.Length]
}

type lensForm struct {
	source.Places
	Focal unit.Range[unit.Length] `yaml:"focal,required"`
}

func readLens(n source.Node) (Requirement, error) {
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Length](n)
		return &lensGoal{want: want}, err
	}
	var f lensForm
	err := n.Decode(&f)
	return &lensGoal{want: f.Focal}, err
}

func (g *lensGoal) Validate(*Brief) error {
	return inside("a focal length", g.want, 8*unit.Millimetre, 1200*unit.Millimetre)
}

func (g *lensGoal) Written() string { return "{focal: " + rangeText(g.want) + "}" }
func (g *lensGoal) Reads() Aspect   { return OnLens }

func (g *lensGoal) wanted() unit.Interval {
	v := scaled(g.want, InMM)
	return unit.Interval{Lo: tidy(v.Lo * (1 - sameLens)), Hi: tidy(v.Hi * (1 + sameLens))}
}

func (g *lensGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.FocalEq.Scale(1000), Want: g.wanted(), Unit: InMM})
}

func (g *lensGoal) Say(parts []Part) string {
	text := parts[0].GotText() + " (wanted " + g.asked()
	if parts[0].Fails() {
		text += ", misses by " + size(-parts[0].Margin().Hi, InMM)
	}
	return text + ")"
}

// asked is what was written, without the slack.
func (g *lensGoal) asked() string { return ShowRange(scaled(g.want, InMM), InMM) }

func (g *lensGoal) Because(_ *Reading, p Part) string {
	return fmt.Sprintf("The focal length is %s, and %s is wanted.", p.GotText(), g.asked())
}

func (g *lensGoal) Relax(*Bench) iter.Seq[Change] {
	out := loosedBy(g, "the focal length", g.want, InMM, func(to unit.Range[unit.Length]) Requirement { return &lensGoal{want: to} }, 1.25, 1.7, 2.5)
	return slices.Values(out)
}

func (g *lensGoal) Wants(*Bench) []Want {
	return []Want{{"focal length", g.wanted(), "a lens of " + g.asked()}}
}

// Amounts moves either end of the focal length by millimetres.
func (g *lensGoal) Amounts(*Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &lensGoal{want: unit.Range[unit.Length]{Lo: unit.Length(r.Lo) * unit.Millimetre, Hi: unit.Length(r.Hi) * unit.Millimetre}}
	}
	return ends(g, "the focal length", scaled(g.want, InMM), 8, 1200, 1, InMM, with, "let the focal length be %s")
}
