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
	Name: "perspective",
	Doc: Doc{
		Group: "camera",
		Title: "how near the camera looks",
		Text: `How much larger the nose (30 mm before the eyes) is drawn than the ear (100 mm behind them): it depends
on the distance alone, 13 % at 1 m, 6.6 % at 2 m, 3.3 % at 4 m (computed). "natural" is 3..9 %. Under 3 % a face
looks flat, over 12 % it is a caricature (from memory).`,
		Example: "perspective: natural",
		Words:   []string{"big nose", "distortion", "natural face", "flattering", "camera distance"},
		Values:  []string{"natural"},
	},
	Read: readPerspective,
})

var natural = unit.Range[unit.Share]{Lo: 0.03, Hi: 0.09}

// caricature is how much larger the nose may be drawn than the ear before a face is one (from
// memory).
const caricature = 0.12

// Caricatures says what is drawn so, where the brief does not ask how near the camera looks.
func (b *Brief) Caricatures(r *Reading) []string {
	if slices.ContainsFunc(b.Goals, func(g *Goal) bool { return g.Name() == "perspective" }) || !(r.Perspective.Lo > caricature) {
		return nil
	}
	return []string{fmt.Sprintf("The camera is so near that the nose is drawn %s larger than the ear, and over %s a face is a caricature: take a longer lens from farther away, or ask for perspective: natural.",
		Show(r.Perspective.Lo, InShare), Show(caricature, InShare))}
}

type perspectiveGoal struct {
	Plain
	nose unit.Range[unit.Share]
}

type perspectiveForm struct {
	source.Places
	Nose unit.Range[unit.Share] `yaml:"nose,required"`
}

func readPerspective(n source.Node) (Requirement, error) {
	if w, ok := word(n); ok {
		_, err := oneOf("perspective", w, []string{"natural"})
		return &perspectiveGoal{nose: natural}, err
	}
	var f perspectiveForm
	err := n.Decode(&f)
	return &perspectiveGoal{nose: f.Nose}, err
}

func (g *perspectiveGoal) Validate(*Brief) error { return valid("nose", g.nose.Interval()) }

func (g *perspectiveGoal) Written() string {
	if g.nose == natural {
		return "natural"
	}
	return "{nose: " + rangeText(g.nose) + "}"
}

func (g *perspectiveGoal) Reads() Aspect { return OnLens | OnFrame }

func (g *perspectiveGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "nose against ear", Got: r.Perspective, Want: g.nose.Interval(), Unit: InShare, Fine: 0.003})
}

func (g *perspectiveGoal) Because(_ *Reading, p Part) string {
	if p.Got.Lo > p.Want.Hi {
		return "The camera is so near that the nose is drawn " + floor(p.Got.Lo, InShare, p.Want.Hi) +
			" larger than the ear" + unlessPoint(p.Got, " or more") + ", and at most " + Asked(p.Want.Hi, InShare) + " is wanted."
	}
	return "The camera is so far that the nose is drawn " + unlessPoint(p.Got, "at most ") +
		ceil(p.Got.Hi, InShare, p.Want.Lo) +
		" larger than the ear, and at least " + Asked(p.Want.Lo, InShare) + " is wanted."
}

func (g *perspectiveGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, f := range []float64{1.25, 1.5, 2} {
		if hi := tidy(math.Round(float64(g.nose.Hi)*f*1000) / 1000); !math.IsInf(hi, 0) {
			w := &perspectiveGoal{nose: unit.Range[unit.Share]{Lo: g.nose.Lo, Hi: unit.Share(min(1, hi))}}
			out = append(out, weaker(g, w, float64(1+2*i), "let the nose be drawn up to %s larger than the ear", w.nose.Hi))
		}
		if lo := tidy(math.Round(float64(g.nose.Lo)/f*1000) / 1000); lo > 0 {
			w := &perspectiveGoal{nose: unit.Range[unit.Share]{Lo: unit.Share(lo), Hi: g.nose.Hi}}
			out = append(out, weaker(g, w, float64(1+2*i), "let the nose be drawn only %s larger than the ear", w.nose.Lo))
		}
	}
	return slices.Values(out)
}

func (g *perspectiveGoal) Wants(*Bench) []Want {
	return []Want{{"perspective", g.nose.Interval(), "the nose drawn " + ShowRange(g.nose.Interval(), InShare) + " larger than the ear"}}
}

// Amounts moves either end by whole per cents.
func (g *perspectiveGoal) Amounts(*Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &perspectiveGoal{nose: unit.Range[unit.Share]{Lo: unit.Share(r.Lo), Hi: unit.Share(r.Hi)}}
	}
	return ends(g, "the nose against the ear", g.nose.Interval(), 0, 0.6, 0.01, InShare, with, "let the nose be drawn %s larger than the ear")
}
