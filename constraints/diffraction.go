package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "diffraction",
	Doc: Doc{
		Group: "focus",
		Title: "the aperture is not so small that diffraction blurs",
		Text: `The Airy disc at 550 nm, 2.44 x wavelength x f-number x (1 + magnification), against the circle of
confusion: at most one of it, if not written. On 36 x 24 mm that is about f/20 at portrait distance. Half of it, about
f/10, keeps the full sharpness of a good lens (from memory).`,
		Example: "diffraction: {at most: 1}",
		Words:   []string{"airy", "small aperture", "softness at f/22", "stopped down too far", "crisp"},
	},
	Read: readDiffraction,
})

type diffractionGoal struct {
	Plain
	most float64
}

type diffractionForm struct {
	source.Places
	AtMost float64 `yaml:"at most,required"`
}

func readDiffraction(n source.Node) (Requirement, error) {
	if yes(n) {
		return &diffractionGoal{most: 1}, nil
	}
	var f diffractionForm
	err := n.Decode(&f)
	return &diffractionGoal{most: f.AtMost}, err
}

func (g *diffractionGoal) Validate(*Brief) error {
	if !(g.most >= 0.1 && g.most <= 5) {
		return fmt.Errorf("at most lies between 0.1 and 5 circles of confusion")
	}
	return nil
}

func (g *diffractionGoal) Written() string { return fmt.Sprintf("{at most: %v}", g.most) }
func (g *diffractionGoal) Reads() Aspect   { return OnAperture | OnLens | OnFrame }

func (g *diffractionGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "Airy disc", Got: r.Airy, Want: atMost(g.most), Unit: InDiscs, Fine: 0.05})
}

func (g *diffractionGoal) Because(r *Reading, p Part) string {
	return fmt.Sprintf("%s diffraction alone blurs by %s the sharpness limit or more, and at most %s is wanted.",
		where(r, "or smaller"), floor(p.Got.Lo, InDiscs, p.Want.Hi), Asked(p.Want.Hi, InDiscs))
}

func (g *diffractionGoal) Relax(b *Bench) iter.Seq[Change] {
	out := openUpAsked(b)
	for i, f := range []float64{1.2, 1.5, 2} {
		if to := figures(g.most * f); to <= 5 {
			out = append(out, weaker(g, &diffractionGoal{most: to}, 2+float64(i), "let diffraction blur by %v times the sharpness limit", to))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *diffractionGoal) Wants(*Bench) []Want {
	return []Want{{"Airy disc", unit.Interval{Lo: 0, Hi: g.most}, "little diffraction"}}
}

// Amounts allows more blur, by tenths of the sharpness limit.
func (g *diffractionGoal) Amounts(*Bench) []Amount {
	return moved(g, "blur by diffraction", g.most, 5, 0.1, times, func(x float64) string {
		return fmt.Sprintf("let diffraction blur by %v times the sharpness limit", x)
	}, 2, func(x float64) Requirement { return &diffractionGoal{most: x} })
}
