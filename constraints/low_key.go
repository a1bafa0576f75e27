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
	Name: "low-key",
	Doc: Doc{
		Group: "tone",
		Title: "a dark picture: no stray light behind the sitter",
		Text: `The brightest tone of the border of the frame, and of all that spills on the backdrop from lights that are
not meant for it, room bounce counted. A tone is a rendered level in stops from middle grey: white paper in
light of 0 stops has +2.24, black paper -2.17. If nothing is written, -2.6 stops is taken (near black, L 0.03);
-3.8 is black (L 0.013). An intended glow is not spill. A ratio may be asked for as well; 5:1 and up is usual
(from memory).`,
		Example: "low-key: {background: at most -4 stops}",
		Words:   []string{"dark", "moody", "black background", "dark background", "spill", "dramatic"},
	},
	Read: readLowKey,
})

const nearBlack unit.Stops = -2.6

type lowKeyGoal struct {
	Plain
	background unit.Range[unit.Stops]
	ratio      *ratioGoal // nil: not asked for
}

type lowKeyForm struct {
	source.Places
	Background unit.Range[unit.Stops] `yaml:"background,omitempty"`
	Ratio      unit.Range[ratioQ]     `yaml:"ratio,omitempty"`
}

func readLowKey(n source.Node) (Requirement, error) {
	g := &lowKeyGoal{background: unit.AtMost(nearBlack)}
	if yes(n) {
		return g, nil
	}
	var f lowKeyForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("background") {
		g.background = f.Background
		if g.background.Lo == g.background.Hi { // "-4 stops" can only mean "at most"
			g.background = unit.AtMost(g.background.Hi)
		}
	}
	if f.Wrote("ratio") {
		g.ratio = &ratioGoal{want: f.Ratio, within: usualRatioSlack}
	}
	return g, nil
}

func (g *lowKeyGoal) Validate(*Brief) error {
	if math.IsInf(float64(g.background.Hi), 0) {
		return fmt.Errorf("background needs an upper end, as in at most -4 stops")
	}
	if g.background.Hi > 0 {
		return fmt.Errorf("a background of %s is lighter than middle grey", g.background.Hi)
	}
	return valid("background", g.background.Interval())
}

func (g *lowKeyGoal) Written() string {
	text := "{background: " + rangeText(g.background)
	if g.ratio != nil {
		text += ", ratio: " + rangeText(g.ratio.want)
	}
	return text + "}"
}

func (g *lowKeyGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}

func (g *lowKeyGoal) Reads() Aspect {
	a := OnSpill | OnBounce | OnBackdrop | OnDepth
	if g.ratio != nil {
		a |= g.ratio.Reads()
	}
	return a
}

func (g *lowKeyGoal) Judge(r *Reading, out []Part) []Part {
	out = append(out, Part{What: "background", Got: r.Dark, Want: g.background.Interval(), Unit: InStops, Fine: 0.3})
	if g.ratio != nil {
		out = g.ratio.Judge(r, out)
	}
	return out
}

func (g *lowKeyGoal) Say(parts []Part) string {
	text := sayPart(parts[0])
	if g.ratio != nil && len(parts) > 1 {
		text += ", ratio " + g.ratio.Say(parts[1:])
	}
	return text
}

func (g *lowKeyGoal) Because(r *Reading, p Part) string {
	if p.What != "background" {
		return g.ratio.Because(r, p)
	}
	if p.Got.Lo <= p.Want.Hi {
		return short("the background", p)
	}
	return fmt.Sprintf("Spill and the bounce of the room lift the background to %s or more, and at most %s is wanted.",
		floor(p.Got.Lo, InStops, p.Want.Hi), Asked(p.Want.Hi, InStops))
}

func (g *lowKeyGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, to := range []unit.Stops{-3.8, nearBlack, -1.9, -1.2} {
		if to > g.background.Hi {
			w := &lowKeyGoal{background: unit.Range[unit.Stops]{Lo: g.background.Lo, Hi: to}, ratio: g.ratio}
			out = append(out, weaker(g, w, 1.5+float64(i), "let the background be %s (%s)", toneWord(to), Show(float64(to), InStops)))
		}
	}
	if g.ratio != nil {
		for i, f := range []ratioQ{1.25, 1.6} {
			if lo := g.ratio.want.Lo; !math.IsInf(float64(lo), 0) {
				q := &ratioGoal{want: unit.AtLeast(max(1, ratioQ(math.Round(float64(lo/f)*10)/10)))}
				out = append(out, weaker(g, &lowKeyGoal{background: g.background, ratio: q}, float64(2+2*i), "let the ratio be as low as %s", q.want.Lo))
			}
		}
		w := &lowKeyGoal{background: g.background}
		out = append(out, weaker(g, w, 6, "ask for no ratio"))
	}
	out = append(out, blackPaper(b)...)
	out = append(out, fabricGrid(b)...)
	out = append(out, deeper(b)...)
	out = append(out, darkRoom(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *lowKeyGoal) Wants(b *Bench) []Want {
	wants := []Want{{darkestTone, g.background.Interval(), "a background of " + inStops(g.background)}}
	if g.ratio != nil {
		wants = append(wants, g.ratio.Wants(b)...)
	}
	return wants
}

// The brightest spill is at least as bright as the darkest point of the backdrop, and so
// is its brightest point: goals about either can be compared at the darkest.
const (
	darkestTone   = "darkest tone of the background"
	brightestTone = "brightest tone of the background"
)

// Amounts lets the background be brighter by tenths of a stop, and moves the ratio by
// tenths.
func (g *lowKeyGoal) Amounts(b *Bench) []Amount {
	with := func(r unit.Interval) Requirement { return &lowKeyGoal{background: stopsOf(r), ratio: g.ratio} }
	now := g.background.Interval()
	now.Lo = math.Inf(-1) // no darker end is of use
	out := ends(g, "the background", now, now.Lo, 0, 0.1, InStops, with, "let the background be %s")
	if g.ratio != nil {
		out = append(out, g.ratio.amounts(g, func(q *ratioGoal) Requirement { return &lowKeyGoal{background: g.background, ratio: q} })...)
	}
	return append(out, depthAmount(b)...)
}
