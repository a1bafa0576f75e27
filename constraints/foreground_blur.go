package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/model/optics"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "foreground-blur",
	Doc: Doc{
		Group: "focus",
		Title: "something in front of the sitter melts into a veil of colour",
		Text: `The blur disc of a thing in front of the sitter, such as leaves or a glass, as a share of the height of
the frame. Its distance is measured from the lens (from lens; if not written 40 cm). From about 10 % a thing becomes
a veil of colour, under 2 % it can be named (from memory).`,
		Example: "foreground-blur: {at least: 10 %, from lens: 40 cm}",
		Words:   []string{"shoot through", "veil", "foreground", "leaves in front", "framing element", "prism"},
	},
	Read: readForegroundBlur,
})

const usualForeground unit.Length = 0.4

type foregroundBlurGoal struct {
	Plain
	want unit.Range[unit.Share]
	from unit.Length
}

type foregroundBlurForm struct {
	source.Places
	AtLeast unit.Share  `yaml:"at least,omitempty"`
	AtMost  unit.Share  `yaml:"at most,omitempty"`
	From    unit.Length `yaml:"from lens,omitempty"`
}

func readForegroundBlur(n source.Node) (Requirement, error) {
	g := &foregroundBlurGoal{want: unit.AtLeast[unit.Share](0.1), from: usualForeground}
	if yes(n) {
		return g, nil
	}
	if n.Kind() == source.Scalar {
		var err error
		g.want, err = readRange[unit.Share](n)
		return g, err
	}
	var f foregroundBlurForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("at least") || f.Wrote("at most") {
		g.want = limits[unit.Share]{f.Places, f.AtLeast, f.AtMost}.bounds()
	}
	if f.Wrote("from lens") {
		g.from = f.From
	}
	return g, nil
}

func (g *foregroundBlurGoal) Validate(*Brief) error {
	if g.from < 0.05 || g.from > 5 {
		return fmt.Errorf("from lens lies between 5 cm and 5 m")
	}
	return valid("blur", g.want.Interval())
}

func (g *foregroundBlurGoal) Written() string {
	var atLeast, atMost string
	if !math.IsInf(float64(g.want.Lo), 0) {
		atLeast = exact(g.want.Lo)
	}
	if !math.IsInf(float64(g.want.Hi), 0) {
		atMost = exact(g.want.Hi)
	}
	return keyed(pair{"at least", atLeast}, pair{"at most", atMost}, pair{"from lens", exact(g.from)})
}

func (g *foregroundBlurGoal) Reads() Aspect { return OnAperture | OnLens | OnFrame }

func (g *foregroundBlurGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: g.disc(r), Want: g.want.Interval(), Unit: InShare, Fine: 0.01})
}

// disc is the blur disc as a share of the frame's height. A thing that stands farther away
// than the sitter has none.
func (g *foregroundBlurGoal) disc(r *Reading) unit.Interval {
	at := unit.Point(float64(g.from))
	if r.Distance == unit.Whole || r.Focal == unit.Whole || r.Sensor == unit.Whole || r.Aperture == unit.Whole {
		return unit.Whole
	}
	if r.Distance.Hi <= at.Lo {
		return unit.Point(0)
	}
	blur := optics.BlurBound(r.Focal, r.Aperture, r.Distance, at, 1).Div(r.Sensor)
	if r.Distance.Lo <= at.Lo {
		blur.Lo = 0
	}
	return blur
}

func (g *foregroundBlurGoal) Because(r *Reading, p Part) string {
	return short("the blur disc of a thing "+Asked(float64(g.from), InMetres)+" from the lens, as a share of the height of the frame,", p)
}

func (g *foregroundBlurGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if !math.IsInf(float64(g.want.Lo), 0) {
		for i, by := range []unit.Length{0.75, 0.5} {
			w := &foregroundBlurGoal{want: g.want, from: unit.Length(tidy(roundTo(float64(g.from*by), 0.01)))}
			if w.from >= 0.05 {
				out = append(out, Change{Text: fmt.Sprintf("hold it %s from the lens", Show(float64(w.from), InMetres)), Cost: nothing, Minor: 1 + float64(i), Apply: swap(g, w)})
			}
		}
		out = append(out, openUpAsked(b)...)
	}
	out = append(out, loosedBy(g, "the blur in front", g.want, InShare, func(to unit.Range[unit.Share]) Requirement {
		return &foregroundBlurGoal{want: to, from: g.from}
	}, 1.5, 3)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts holds the thing elsewhere, by centimetres, where only one end is asked for, and
// moves either end by whole per cents.
func (g *foregroundBlurGoal) Amounts(*Bench) (out []Amount) {
	hold := func(to float64) {
		out = moved(g, "distance of what is in front from the lens", float64(g.from), to, 0.01, inUnit(InMetres), worded("hold it %s from the lens", InMetres), 1,
			func(x float64) Requirement { return &foregroundBlurGoal{want: g.want, from: unit.Length(x)} })
	}
	switch v := g.want.Interval(); {
	case math.IsInf(v.Hi, 1):
		hold(0.05)
	case math.IsInf(v.Lo, -1):
		hold(5)
	}
	return append(out, ends(g, "the blur in front", g.want.Interval(), 0.01, 1, 0.01, InShare, func(r unit.Interval) Requirement {
		return &foregroundBlurGoal{want: sharesOf(r), from: g.from}
	}, "let the blur in front be %s")...)
}
