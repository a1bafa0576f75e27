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
	Name: "saturation",
	Doc: Doc{
		Group: "colour",
		Title: "the colour of the background is rich, not washed out",
		Text: `Everywhere in the frame 1 - least / greatest channel of the backdrop in linear light, spill of the white
lights and clipping counted, in a picture balanced for the key: at least 80 % if not written, which is white spill
2.5 to 3 stops under the gel. The brightest channel behind the head (brightest) is a share of display white, 20..60 % if
not written, and no channel burns out (98 %). Grey or black paper lets the gel come up without the spill coming with it
(all from memory; the formula is computed).`,
		Example: "saturation: {at least: 80 %, brightest: 20 %..60 %}",
		Words:   []string{"saturated", "rich colour", "washed out", "pale gel", "vivid", "gel contamination", "clean colour"},
	},
	Read: readSaturation,
})

const (
	usualSaturation unit.Share = 0.8
	mostChannel                = 0.98
)

var usualChannel = unit.Range[unit.Share]{Lo: 0.2, Hi: 0.6}

type saturationGoal struct {
	Plain
	least     unit.Share
	brightest unit.Range[unit.Share]
}

type saturationForm struct {
	source.Places
	AtLeast   unit.Share             `yaml:"at least,omitempty"`
	Brightest unit.Range[unit.Share] `yaml:"brightest,omitempty"`
}

func readSaturation(n source.Node) (Requirement, error) {
	g := &saturationGoal{least: usualSaturation, brightest: usualChannel}
	if yes(n) {
		return g, nil
	}
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Share](n)
		g.least = want.Lo
		return g, err
	}
	var f saturationForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("at least") {
		g.least = f.AtLeast
	}
	if f.Wrote("brightest") {
		g.brightest = f.Brightest
	}
	return g, nil
}

func (g *saturationGoal) Validate(*Brief) error {
	if !(g.least > 0 && g.least < 1) {
		return fmt.Errorf("at least is above 0 %% and under 100 %%")
	}
	return inside("brightest", g.brightest, 0, 1)
}

func (g *saturationGoal) Written() string {
	return keyed(pair{"at least", exact(g.least)}, pair{"brightest", rangeText(g.brightest)})
}

func (g *saturationGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Background}, nil
}

func (g *saturationGoal) Reads() Aspect {
	return OnSpill | OnBounce | OnTint | OnBackdrop | OnDepth | Level(inventory.Background) | Pose(inventory.Background) |
		Colour(inventory.Background) | Colour(inventory.Key)
}

func (g *saturationGoal) Judge(r *Reading, out []Part) []Part {
	got := r.Saturation
	// If no channel may pass its limit, the darkest one tells how rich the colour can be.
	limit := min(float64(g.brightest.Hi), mostChannel)
	got = got.Min(unit.Point(1).Sub(r.HeadLeast.Max(unit.Point(0)).Scale(1 / limit)))
	return lightParts(r, inventory.Background, out,
		Part{What: "least", Got: got, Want: atLeast(float64(g.least)), Unit: InShare, Fine: 0.03},
		Part{What: "brightest channel behind the head", Got: r.HeadChannel, Want: g.brightest.Interval(), Unit: InShare, Fine: 0.03},
		Part{What: "brightest anywhere", Got: r.TopChannel, Want: atMost(mostChannel), Unit: InShare, Fine: 0.03})
}

func (g *saturationGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "least":
		return fmt.Sprintf("White light of the key and of the room spills on the backdrop, so its saturation is at most %s, and at least %s is wanted.",
			ceil(max(0, p.Got.Hi), InShare, p.Want.Lo), Asked(p.Want.Lo, InShare))
	case "brightest anywhere":
		return short("the brightest channel of the backdrop", p)
	}
	return short("the brightest channel behind the head", p)
}

func (g *saturationGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, to := range []unit.Share{0.7, 0.6, 0.5, 0.35} {
		if to < g.least {
			out = append(out, weaker(g, &saturationGoal{least: to, brightest: g.brightest}, 1.5+float64(i), "let the colour be %s saturated", to))
		}
	}
	loose := unit.Range[unit.Share]{Lo: unit.Share(figures(float64(g.brightest.Lo) / 2)), Hi: unit.Share(math.Min(mostChannel, figures(float64(g.brightest.Hi)*1.5)))}
	if loose != g.brightest {
		out = append(out, weaker(g, &saturationGoal{least: g.least, brightest: loose}, 2, "let its brightest channel be %s", ShowRange(loose.Interval(), InShare)))
	}
	out = append(append(append(append(out, deeper(b)...), fabricGrid(b)...), greyPaper(b)...), darkRoom(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts lets the colour be paler, and its brightest channel darker or brighter, by whole per
// cents.
func (g *saturationGoal) Amounts(b *Bench) []Amount {
	out := moved(g, "saturation of the background", float64(g.least), min(0.01, float64(g.least)), 0.01, inUnit(InShare), worded("let the colour be %s saturated", InShare), 1.5,
		func(x float64) Requirement { return &saturationGoal{least: unit.Share(x), brightest: g.brightest} })
	out = append(out, ends(g, "the background's brightest channel", g.brightest.Interval(), 0, mostChannel, 0.01, InShare, func(r unit.Interval) Requirement {
		return &saturationGoal{least: g.least, brightest: sharesOf(r)}
	}, "let its brightest channel be %s")...)
	return append(out, depthAmount(b)...)
}
