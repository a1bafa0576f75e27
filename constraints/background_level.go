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
	Name: "background-level",
	Doc: Doc{
		Group: "tone",
		Title: "how bright the background is drawn",
		Text: `The tone of the whole visible backdrop, brightest and darkest point, in stops from middle grey (L 0.18).
Words: black at most -3.8, near black at most -2.6, dark -2.6..-1.2, mid-grey -0.4..+0.4, light 0.5..1.8,
white 1.8..2.5, pure white at least 2.47, which is display white (L 1). The words are from memory, the levels
computed.`,
		Example: "background-level: mid-grey",
		Words:   []string{"background", "backdrop", "grey background", "gray background", "white background", "high key", "pure white"},
		Values:  toneWords(),
	},
	Read: readBackgroundLevel,
})

// A toneName is a word for a range of tones.
type toneName struct {
	word string
	tone unit.Range[unit.Stops]
}

// toneNames go from dark to light. Display white is L = 1: log2(1/0.18) = 2.474.
var toneNames = []toneName{
	{"black", unit.AtMost[unit.Stops](-3.8)},
	{"near black", unit.AtMost[unit.Stops](-2.6)},
	{"dark", unit.Range[unit.Stops]{Lo: -2.6, Hi: -1.2}},
	{"mid-grey", unit.Range[unit.Stops]{Lo: -0.4, Hi: 0.4}},
	{"light", unit.Range[unit.Stops]{Lo: 0.5, Hi: 1.8}},
	{"white", unit.Range[unit.Stops]{Lo: 1.8, Hi: 2.5}},
	{"pure white", unit.AtLeast[unit.Stops](2.47)},
}

func toneWords() []string {
	words := make([]string, len(toneNames))
	for i, t := range toneNames {
		words[i] = t.word
	}
	return words
}

// toneWord names an upper end.
func toneWord(s unit.Stops) string {
	switch {
	case s <= -3.8:
		return "black"
	case s <= -2.6:
		return "near black"
	case s <= -1.2:
		return "dark"
	}
	return "brighter"
}

type backgroundLevelGoal struct {
	Plain
	tone unit.Range[unit.Stops]
}

type backgroundLevelForm struct {
	source.Places
	Tone unit.Range[unit.Stops] `yaml:"tone,required"`
}

func readBackgroundLevel(n source.Node) (Requirement, error) {
	w, ok := word(n)
	if !ok {
		var f backgroundLevelForm
		err := n.Decode(&f)
		return &backgroundLevelGoal{tone: f.Tone}, err
	}
	words := toneWords()
	if normal(w) == "mid gray" || normal(w) == "middle grey" || normal(w) == "grey" {
		w = "mid-grey"
	}
	known, err := oneOf("background level", w, words)
	if err != nil {
		return nil, err
	}
	return &backgroundLevelGoal{tone: toneNames[slices.Index(words, known)].tone}, nil
}

func (g *backgroundLevelGoal) Validate(*Brief) error { return valid("tone", g.tone.Interval()) }

func (g *backgroundLevelGoal) at() int {
	return slices.IndexFunc(toneNames, func(t toneName) bool { return t.tone == g.tone })
}

func (g *backgroundLevelGoal) Written() string {
	if i := g.at(); i >= 0 {
		return toneNames[i].word
	}
	return "{tone: " + rangeText(g.tone) + "}"
}

func (g *backgroundLevelGoal) Roles() (need, may []inventory.Role) {
	return nil, []inventory.Role{inventory.Background}
}

func (g *backgroundLevelGoal) Reads() Aspect {
	return OnSpill | OnBounce | OnBackdrop | OnDepth | Level(inventory.Background) | Pose(inventory.Background)
}

func (g *backgroundLevelGoal) Judge(r *Reading, out []Part) []Part {
	if hi := float64(g.tone.Hi); !math.IsInf(hi, 0) {
		out = append(out, Part{What: "brightest", Got: r.Bright, Want: atMost(hi), Unit: InStops, Fine: 0.2})
	}
	if lo := float64(g.tone.Lo); !math.IsInf(lo, 0) {
		out = append(out, Part{What: "darkest", Got: r.Dim, Want: atLeast(lo), Unit: InStops, Fine: 0.2})
	}
	return out
}

func (g *backgroundLevelGoal) Because(_ *Reading, p Part) string {
	if p.What == "brightest" {
		return short("the brightest point of the background", p)
	}
	return short("the darkest point of the background", p)
}

func (g *backgroundLevelGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Stops{0.3, 0.6, 1} {
		w := &backgroundLevelGoal{tone: widen(g.tone, d)}
		out = append(out, weaker(g, w, float64(1+2*i), "let the background be %s", inStops(w.tone)))
	}
	if i := g.at(); i >= 0 {
		for _, j := range []int{i - 1, i + 1} {
			// Black is near black already: only a step that allows more is an offer.
			if j >= 0 && j < len(toneNames) && !g.tone.Interval().Holds(toneNames[j].tone.Interval()) {
				w := &backgroundLevelGoal{tone: toneNames[j].tone}
				out = append(out, weaker(g, w, 4, "make the background %s (%s)", toneNames[j].word, inStops(w.tone)))
			}
		}
	}
	if !math.IsInf(float64(g.tone.Lo), 0) {
		out = append(out, moreLights(b)...)
	}
	if !math.IsInf(float64(g.tone.Hi), 0) && g.tone.Hi <= 0 {
		out = append(append(append(out, fabricGrid(b)...), deeper(b)...), darkRoom(b)...)
		if g.tone.Hi <= -1 {
			out = append(out, blackPaper(b)...)
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *backgroundLevelGoal) Wants(*Bench) []Want {
	text := "a background of " + inStops(g.tone)
	if i := g.at(); i >= 0 {
		text = fmt.Sprintf("a %s background (%s)", toneNames[i].word, inStops(g.tone))
	}
	return []Want{
		{darkestTone, g.tone.Interval(), text},
		{brightestTone, atMost(float64(g.tone.Hi)), text},
	}
}

// Amounts moves either end by a tenth of a stop.
func (g *backgroundLevelGoal) Amounts(b *Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &backgroundLevelGoal{tone: stopsOf(r)}
	}
	return append(ends(g, "the background", g.tone.Interval(), -6, 3, 0.1, InStops, with, "let the background be %s"), depthAmount(b)...)
}
