package constraints

import (
	"iter"
	"math"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "background-blur",
	Doc: Doc{
		Group: "focus",
		Title: "how far the background melts",
		Text: `The blur disc of the backdrop as a share of the height of the frame. Creases in paper vanish from about
1 %, and from about 2.5 % a background melts (from memory).`,
		Example: "background-blur: {at least: 2.5 %}",
		Words:   []string{"bokeh", "creases", "melt", "soft background", "out of focus"},
	},
	Read: func(n source.Node) (Requirement, error) {
		want, err := readRange[unit.Share](n)
		return &backgroundBlurGoal{want: want}, err
	},
})

type backgroundBlurGoal struct {
	Plain
	want unit.Range[unit.Share]
}

func (g *backgroundBlurGoal) Validate(*Brief) error { return valid("blur", g.want.Interval()) }
func (g *backgroundBlurGoal) Written() string       { return limitText(g.want) }
func (g *backgroundBlurGoal) Reads() Aspect         { return OnAperture | OnLens | OnFrame | OnDepth }

func (g *backgroundBlurGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.BackdropBlur, Want: g.want.Interval(), Unit: InShare, Fine: 0.002})
}

func (g *backgroundBlurGoal) Because(_ *Reading, p Part) string {
	return short("the blur disc of the backdrop, as a share of the height of the frame,", p)
}

func (g *backgroundBlurGoal) Relax(b *Bench) iter.Seq[Change] {
	out := deeper(b)
	for _, s := range []unit.Share{0.02, 0.015, 0.01, 0.005} {
		if lo := g.want.Lo; !math.IsInf(float64(lo), 0) && s < lo {
			w := &backgroundBlurGoal{want: unit.Range[unit.Share]{Lo: s, Hi: g.want.Hi}}
			out = append(out, weaker(g, w, 2+100*float64(lo-s), "let the backdrop blur by %s", s))
		}
	}
	for i, f := range []unit.Share{1.5, 2, 4} {
		if hi := g.want.Hi; !math.IsInf(float64(hi), 0) {
			w := &backgroundBlurGoal{want: unit.Range[unit.Share]{Lo: g.want.Lo, Hi: min(1, unit.Share(tidy(float64(hi*f))))}}
			out = append(out, weaker(g, w, float64(2+i), "let the backdrop blur by up to %s", w.want.Hi))
		}
	}
	return slices.Values(out)
}

func (g *backgroundBlurGoal) Wants(*Bench) []Want {
	return []Want{{"backdrop blur", g.want.Interval(), "a backdrop blurred by " + ShowRange(g.want.Interval(), InShare)}}
}

// Amounts moves either end by a tenth of a per cent.
func (g *backgroundBlurGoal) Amounts(b *Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &backgroundBlurGoal{want: unit.Range[unit.Share]{Lo: unit.Share(r.Lo), Hi: unit.Share(r.Hi)}}
	}
	return append(ends(g, "the backdrop's blur", g.want.Interval(), 0, 0.2, 0.001, InShare, with, "let the backdrop blur by %s"), depthAmount(b)...)
}
