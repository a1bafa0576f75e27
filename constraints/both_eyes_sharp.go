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
	Name: "both-eyes-sharp",
	Doc: Doc{
		Group: "focus",
		Title: "both eyes within the depth of field",
		Text: `The share of frames in which both eyes are sharp, with the focus set midway between them and a spread of
focus and sway of 8 mm (from memory). The eyes' distance in depth follows from the turn of the head and the
height of the camera. How much is sharp depends on framing and f-number, not on the lens. If keepers is not
written, 80 % is taken: four frames of five.`,
		Example: "both-eyes-sharp: {keepers: 90 %}",
		Words:   []string{"eyes", "sharp", "focus", "depth of field", "dof", "keepers"},
	},
	Read: readEyes,
})

const usualKeepers unit.Share = 0.8

type eyesGoal struct {
	Plain
	keepers unit.Share
}

type eyesForm struct {
	source.Places
	Keepers unit.Share `yaml:"keepers,omitempty"`
}

func readEyes(n source.Node) (Requirement, error) {
	f := eyesForm{Keepers: usualKeepers}
	if yes(n) {
		return &eyesGoal{keepers: f.Keepers}, nil
	}
	err := n.Decode(&f)
	if err == nil && !f.Wrote("keepers") {
		f.Keepers = usualKeepers
	}
	return &eyesGoal{keepers: f.Keepers}, err
}

func (g *eyesGoal) Validate(*Brief) error {
	if g.keepers <= 0 || g.keepers > 0.999 {
		return fmt.Errorf("keepers is above 0 %% and at most 99.9 %%")
	}
	return nil
}

func (g *eyesGoal) Written() string { return "{keepers: " + exact(g.keepers) + "}" }

func (g *eyesGoal) Reads() Aspect { return OnAperture | OnFrame | OnLens }

func (g *eyesGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "keepers", Got: r.Keepers, Want: atLeast(float64(g.keepers)), Unit: InShare, Fine: 0.05})
}

func (g *eyesGoal) Because(r *Reading, p Part) string {
	at := "Wherever the focus is set"
	if !math.IsInf(r.Aperture.Hi, 0) && !math.IsInf(r.Frame.Hi, 0) {
		at = fmt.Sprintf("At %s%s and a frame of %s%s", Show(r.Aperture.Hi, InFNumber), unlessPoint(r.Aperture, " or wider"),
			cm(r.Frame.Hi, math.Ceil), unlessPoint(r.Frame, " or less"))
	}
	keep := fmt.Sprintf("at best %s of the frames have both eyes sharp, and %s is wanted",
		ceil(p.Got.Hi, InShare, p.Want.Lo), Asked(p.Want.Lo, InShare))
	if math.IsInf(r.Field.Hi, 0) || math.IsInf(r.EyeGap.Lo, 0) {
		return at + " " + keep + "."
	}
	most, least := "", ""
	if !r.Field.IsPoint() {
		most = "at most "
	}
	if !r.EyeGap.IsPoint() {
		least = "at least "
	}
	return fmt.Sprintf("%s %s%s is sharp, and the eyes are %s%s apart in depth, so %s.", at,
		most, mm(r.Field.Hi, math.Ceil), least, mm(max(0, r.EyeGap.Lo), math.Floor), keep)
}

func unlessPoint(v unit.Interval, text string) string {
	if v.IsPoint() {
		return ""
	}
	return text
}

func (g *eyesGoal) Relax(b *Bench) iter.Seq[Change] {
	out := turnLess(b)
	for _, k := range []unit.Share{0.8, 0.6, 0.5} {
		if k < g.keepers {
			w := &eyesGoal{keepers: k}
			c := weaker(g, w, 2+10*float64(g.keepers-k), "take more frames: %s of them sharp is enough", k)
			c.Cost = "more frames"
			out = append(out, c)
		}
	}
	out = append(append(out, stopDownAsked(b)...), widerFrameAsked(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// turnLess turns the sitter's head toward the camera: both eyes come into one plane.
func turnLess(b *Bench) []Change {
	var out []Change
	turn := b.Brief.Sitter.Turn
	for _, deg := range []unit.Angle{10, 5, 0} {
		to := deg * unit.Degree
		if math.Abs(float64(turn)) <= float64(to)+1e-9 {
			continue
		}
		text := fmt.Sprintf("turn the head %s or less", to)
		if to == 0 {
			text = "turn the head to face the camera"
		}
		out = append(out, Change{Text: text, Cost: nothing, Minor: 1 + float64(10-deg)/20, Apply: turnTo(to)})
	}
	return out
}

// stopDown is what an aperture goal offers, and more: it counts as a larger change here.
func stopDown(g *apertureGoal) []Change {
	out := g.stopDown()
	for i := range out {
		out[i].Minor += 1.5
	}
	// A tight head needs f/5.6 to f/8: go on past the next few stops.
	if g.within == 0 && g.want.Hi < 5.6 {
		for i, n := range []unit.FNumber{5, 5.6, 6.3, 7.1, 8} {
			if n.Thirds() <= g.want.Hi.Thirds()+9 {
				continue
			}
			w := &apertureGoal{want: unit.Range[unit.FNumber]{Lo: g.want.Lo, Hi: n}}
			out = append(out, weaker(g, w, 6+float64(i)/4, "stop down to %s", n))
		}
	}
	return out
}

// Amounts turns the head, and takes more frames: keepers by whole per cents.
func (g *eyesGoal) Amounts(b *Bench) []Amount {
	now := tidy(float64(g.keepers))
	return append(turnAmount(b), listed("keepers", now, toward(now, 0.01, 0.01), inUnit(InShare), func(x float64) Change {
		c := weaker(g, &eyesGoal{keepers: unit.Share(x)}, 2, "take more frames: %s of them sharp is enough", unit.Share(x))
		c.Cost = "more frames"
		return c
	}))
}
