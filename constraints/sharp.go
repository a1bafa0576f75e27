package constraints

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "sharp",
	Doc: Doc{
		Group: "focus",
		Title: "named parts of the face are sharp",
		Text: `The blur disc of each point on the sensor is at most one circle of confusion, 1/1500 of the sensor's
diagonal (by: another number of them). ` + focusPointsText + ` From nose to ear needs about f/10 at a frame of
60 cm and f/28 at 35 cm, as the focus is on the eyes (computed).`,
		Example: "sharp: [nose, near ear]",
		Words:   []string{"nose to ear", "whole face sharp", "in focus", "depth of field", "nose", "near eye", "lashes", "eyes sharp"},
	},
	Read: func(n source.Node) (Requirement, error) {
		set, by, err := readPoints(n, 1)
		return &sharpGoal{points: set, by: by}, err
	},
})

type sharpGoal struct {
	Plain
	points pointSet
	by     float64 // circles of confusion
}

func (g *sharpGoal) Validate(*Brief) error {
	if !(g.by >= 0.2 && g.by <= 10) {
		return fmt.Errorf("by lies between 0.2 and 10 circles of confusion")
	}
	return nil
}

func (g *sharpGoal) Written() string {
	if g.by == 1 {
		return g.points.written()
	}
	return fmt.Sprintf("{points: %s, by: %v}", g.points.written(), g.by)
}

func (g *sharpGoal) Reads() Aspect { return OnAperture | OnFrame | OnLens }

func (g *sharpGoal) Judge(r *Reading, out []Part) []Part {
	for _, i := range g.points {
		out = append(out, Part{What: focusPoints[i].word, Got: focusPoints[i].disc(r), Want: atMost(g.by), Unit: InDiscs, Fine: 0.2})
	}
	return out
}

func (g *sharpGoal) Say(parts []Part) string { return sayDiscs(parts) }

// sayDiscs words blur: "nose 0.8 x what counts as sharp (wanted at most 1 x)".
func sayDiscs(parts []Part) string {
	var said []string
	for _, p := range parts {
		text := p.What + " blurred " + p.GotText()
		if p.Fails() {
			text += " (" + p.aside() + ")"
		}
		said = append(said, text)
	}
	want := ""
	if len(parts) > 0 {
		want = "; " + parts[0].WantText() + " the sharpness limit wanted"
	}
	return strings.Join(said, ", ") + want
}

func (g *sharpGoal) Because(r *Reading, p Part) string {
	return fmt.Sprintf("%s the %s %s blurred by %s the sharpness limit or more, and at most %s is wanted.",
		where(r, "or wider"), p.What, isAre(p.What), floor(p.Got.Lo, InDiscs, p.Want.Hi), Asked(p.Want.Hi, InDiscs))
}

func isAre(what string) string {
	if strings.HasSuffix(what, "s") && what != "nose" {
		return "are"
	}
	return "is"
}

func (g *sharpGoal) Relax(b *Bench) iter.Seq[Change] {
	out := stopDownAsked(b)
	for i, by := range []float64{1.5, 2, 3} {
		if by > g.by {
			out = append(out, weaker(g, &sharpGoal{points: g.points, by: by}, 2+float64(i), "let %s be blurred by %v times the sharpness limit", g.points.spoken(), by))
		}
	}
	for i := range g.points {
		if len(g.points) > 1 {
			rest := slices.Delete(slices.Clone(g.points), i, i+1)
			out = append(out, weaker(g, &sharpGoal{points: rest, by: g.by}, 3, "let the %s go soft", focusPoints[g.points[i]].word))
		}
	}
	out = append(out, widerFrameAsked(b)...)
	out = append(out, turnLess(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Wants: what is to be sharp cannot be blurred as well.
func (g *sharpGoal) Wants(*Bench) []Want {
	var out []Want
	for _, i := range g.points {
		out = append(out, Want{"blur of the " + focusPoints[i].word, unit.Interval{Lo: 0, Hi: g.by}, "the " + focusPoints[i].word + " sharp"})
	}
	return out
}

// Amounts turns the head, and allows more blur, by tenths of the sharpness limit.
func (g *sharpGoal) Amounts(b *Bench) []Amount {
	points := g.points.spoken()
	return append(turnAmount(b), moved(g, "blur of "+points, g.by, 10, 0.1, times, func(x float64) string {
		return fmt.Sprintf("let %s be blurred by %v times the sharpness limit", points, x)
	}, 2, func(x float64) Requirement { return &sharpGoal{points: g.points, by: x} })...)
}
