package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "glasses",
	Doc: Doc{
		Group: "shape",
		Title: "no light is mirrored in the sitter's glasses",
		Text: `How far the face of every light, all of it, lies outside the patch of directions that some point of the
glasses mirrors into the lens: by at least 5 deg if not written. Glasses 50 x 40 mm, curved to a radius of 90 to 130 mm and
tilted forward by 8 to 12 deg (from memory) mirror what is within 32 deg to either side of twice the turn of the head
and between 50 deg under and 10 deg over the eye line (computed). So the lower edge of a key goes 15 deg and more above the
eyes, or the key well to the side. Lifting the arms of the glasses by a few degrees helps as well.`,
		Example: "glasses: {by: 5 deg}",
		Words:   []string{"spectacles", "glare", "reflection in glasses", "eyeglasses", "specs", "lens reflection"},
	},
	Read: readGlasses,
})

const usualGlassGap = 5 * unit.Degree

type glassesGoal struct {
	Plain
	by unit.Angle
}

type glassesForm struct {
	source.Places
	By unit.Angle `yaml:"by,required"`
}

func readGlasses(n source.Node) (Requirement, error) {
	if yes(n) {
		return &glassesGoal{by: usualGlassGap}, nil
	}
	var f glassesForm
	err := n.Decode(&f)
	return &glassesGoal{by: f.By}, err
}

func (g *glassesGoal) Validate(*Brief) error {
	return inside("by", unit.Exactly(g.by), -20*unit.Degree, 60*unit.Degree)
}

func (g *glassesGoal) Written() string { return "{by: " + exact(g.by) + "}" }
func (g *glassesGoal) Reads() Aspect {
	return everyLight(Pose) | everyLight(Gear) | OnGlasses | OnLens | OnFrame
}

func (g *glassesGoal) Judge(r *Reading, out []Part) []Part {
	return usedLights(r, out, func(l *LightReading) Part {
		return Part{Got: l.Mirror, Want: atLeast(tidy(g.by.Degrees())), Unit: InDegrees, Fine: 3}
	})
}

func (g *glassesGoal) Say(parts []Part) string {
	return sayNearest(parts, "is clear of the glasses by", "is mirrored in the glasses by", g.by)
}

func (g *glassesGoal) Because(_ *Reading, p Part) string {
	if p.Got.Hi < 0 {
		return fmt.Sprintf("Wherever it may stand, the %s is mirrored in the glasses.", spoken(p.What))
	}
	return short("the gap between the "+spoken(p.What)+" and what the glasses mirror", p)
}

func (g *glassesGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Angle{3 * unit.Degree, 5 * unit.Degree, 10 * unit.Degree} {
		w := &glassesGoal{by: g.by - d}
		if w.by >= -20*unit.Degree {
			out = append(out, weaker(g, w, 1.5+float64(i), "let a light come within %s of the glasses", Show(w.by.Degrees(), InDegrees)))
		}
	}
	out = append(out, turnAway(b)...)
	out = append(out, Change{Text: "take the lenses out of the glasses, or retouch", Cost: "retouching", Minor: 7, Apply: drop(g)})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// sayNearest words the light that comes closest to what is not wanted.
func sayNearest(parts []Part, clear, caught string, want unit.Angle) string {
	if len(parts) == 0 {
		return ""
	}
	p := slices.MinFunc(parts, func(a, b Part) int {
		switch {
		case a.Margin().Lo < b.Margin().Lo:
			return -1
		case a.Margin().Lo > b.Margin().Lo:
			return 1
		}
		return 0
	})
	text := fmt.Sprintf("the %s %s %s", spoken(p.What), clear, p.GotText())
	if p.Got.IsPoint() && p.Got.Lo < 0 {
		text = fmt.Sprintf("the %s %s %s", spoken(p.What), caught, Show(-p.Got.Lo, InDegrees))
	}
	return text + fmt.Sprintf(" (wanted at least %s)", Show(tidy(want.Degrees()), InDegrees))
}

// Amounts lets a light come nearer to the glasses, and into them, by whole degrees.
func (g *glassesGoal) Amounts(*Bench) []Amount {
	show := func(x float64) string {
		if x < 0 {
			return "mirrored in the glasses by " + Show(-x, InDegrees)
		}
		return Show(x, InDegrees)
	}
	say := func(x float64) string {
		if x < 0 {
			return "let a light be " + show(x)
		}
		return fmt.Sprintf("let a light come within %s of the glasses", show(x))
	}
	return moved(g, "gap between lights and glasses", tidy(g.by.Degrees()), -20, 1, show, say, 1.5,
		func(x float64) Requirement { return &glassesGoal{by: unit.Angle(x) * unit.Degree} })
}
