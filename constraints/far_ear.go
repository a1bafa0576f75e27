package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/people"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "far-ear",
	Doc: Doc{
		Group: "focus",
		Title: "the far ear is hidden, or is seen",
		Text: `Whether the head is turned beyond the angle at which the last of the far ear goes behind the cheek, for
short or tied-back hair. The head is an ellipse at cheek level (breadth and length of the survey means); that puts the
angle near 24 deg at portrait distance, give or take 6 deg from head to head, and a little less close up. A model: no
published angle was found to check it.`,
		Example: "far-ear: hidden",
		Words:   []string{"ear", "one ear", "both ears", "three-quarter face", "turn of the head", "yaw"},
		Values:  []string{"hidden", "seen"},
	},
	Read: readFarEar,
})

type farEarGoal struct {
	Plain
	hidden bool
	by     unit.Angle // beyond the angle
}

type farEarForm struct {
	source.Places
	Is string     `yaml:"is,required"`
	By unit.Angle `yaml:"by,omitempty"`
}

func readFarEar(n source.Node) (Requirement, error) {
	var f farEarForm
	if w, ok := word(n); ok {
		f.Is = w
	} else if err := n.Decode(&f); err != nil {
		return nil, err
	}
	known, err := oneOf("state of the far ear", f.Is, []string{"hidden", "seen"})
	return &farEarGoal{hidden: known == "hidden", by: f.By}, err
}

func (g *farEarGoal) Validate(*Brief) error {
	if g.by < -60*unit.Degree || g.by > 60*unit.Degree {
		return fmt.Errorf("by lies between -60 deg and 60 deg")
	}
	return nil
}

func (g *farEarGoal) Written() string {
	if g.by == 0 {
		return g.state()
	}
	return fmt.Sprintf("{is: %s, by: %s}", g.state(), exact(g.by))
}

func (g *farEarGoal) state() string {
	if g.hidden {
		return "hidden"
	}
	return "seen"
}

func (g *farEarGoal) Reads() Aspect { return OnLens | OnFrame }

func (g *farEarGoal) Judge(r *Reading, out []Part) []Part {
	got, what := r.FarEar, "head turned past where the ear goes by"
	if !g.hidden {
		got, what = got.Neg(), "head short of where the ear goes by"
	}
	return append(out, Part{What: what, Got: got, Want: atLeast(tidy(g.by.Degrees())), Unit: InDegrees, Fine: 3,
		Doubt: people.FarEarDoubt.Degrees() / 2}) // the range of heads as two standard deviations
}

func (g *farEarGoal) Say(parts []Part) string {
	p := parts[0]
	if !p.Got.IsPoint() {
		return sayParts(parts)
	}
	past := p.Got.Lo
	if !g.hidden {
		past = -past
	}
	text := fmt.Sprintf("the head is turned %s past where the far ear goes", Show(past, InDegrees))
	if past < 0 {
		text = fmt.Sprintf("the head would have to turn %s more for the far ear to go", Show(-past, InDegrees))
	}
	return text + " (wanted " + g.state() + ")"
}

func (g *farEarGoal) Because(_ *Reading, p Part) string {
	if g.hidden {
		return fmt.Sprintf("The head is turned %s too little for the far ear to be hidden.", Show(p.Want.Lo-p.Got.Hi, InDegrees))
	}
	return fmt.Sprintf("The head is turned %s too far for the far ear to be seen.", Show(p.Want.Lo-p.Got.Hi, InDegrees))
}

func (g *farEarGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	turn := math.Abs(b.Brief.Sitter.Turn.Degrees())
	for i, deg := range []float64{25, 30, 35, 45} {
		if g.hidden && deg > turn {
			to := unit.Angle(deg) * unit.Degree
			out = append(out, Change{Text: fmt.Sprintf("turn the head %s or more", Show(deg, InDegrees)), Cost: nothing, Minor: 1 + 0.3*float64(i),
				Apply: func(b *Brief, s *inventory.Studio) { turnTo(to)(b, s) }})
		}
	}
	if !g.hidden {
		out = append(out, turnLess(b)...)
	}
	for i, d := range []unit.Angle{5 * unit.Degree, 15 * unit.Degree} {
		w := &farEarGoal{hidden: g.hidden, by: g.by - d}
		out = append(out, weaker(g, w, 3+float64(i), "let the head be %s from where the far ear is %s", Show(d.Degrees(), InDegrees), g.state()))
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *farEarGoal) Wants(*Bench) []Want {
	v := atLeast(tidy(g.by.Degrees()))
	if !g.hidden {
		v = atMost(-tidy(g.by.Degrees()) - 1e-9) // an ear on the edge is not both
	}
	return []Want{{"turn past the far ear", v, "the far ear " + g.state()}}
}

// Amounts turns the head until the ear is as it should be, and lets it be nearly so, by whole
// degrees.
func (g *farEarGoal) Amounts(b *Bench) []Amount {
	out := turnAmount(b)
	if g.hidden {
		out = g.turnMore(b)
	}
	show := func(x float64) string {
		if !g.hidden {
			x = -x
		}
		switch {
		case x > 0:
			return Show(x, InDegrees) + " past where the far ear goes"
		case x < 0:
			return Show(-x, InDegrees) + " short of where the far ear goes"
		}
		return "just to where the far ear goes"
	}
	say := func(x float64) string { return "let the head be turned " + show(x) }
	return append(out, moved(g, "turn past the far ear", tidy(g.by.Degrees()), -60, 1, show, say, 3,
		func(x float64) Requirement { return &farEarGoal{hidden: g.hidden, by: unit.Angle(x) * unit.Degree} })...)
}

// turnMore turns the head farther, at most to where the ear goes for a camera far away, as
// it goes sooner nearby.
func (g *farEarGoal) turnMore(b *Bench) []Amount {
	build, now := b.build(), math.Abs(tidy(b.Brief.Sitter.Turn.Degrees()))
	enough := math.Ceil((build.FarEarGone(build.EarTip(), unit.Length(math.Inf(1))) + g.by).Degrees())
	if now >= enough || enough > 90 {
		return nil
	}
	return []Amount{listed("turn of the head, farther", now, toward(now, enough, 1), inUnit(InDegrees), func(x float64) Change {
		return Change{Text: fmt.Sprintf("turn the head %s or more", Show(x, InDegrees)), Cost: nothing, Minor: 1.2, Apply: turnTo(unit.Angle(x) * unit.Degree)}
	})}
}
