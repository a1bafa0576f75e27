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
	Name: "framing",
	Doc: Doc{
		Group: "camera",
		Title: "how much of the sitter is in the picture",
		Text: `The height of the frame, held upright, at the sitter. Names (from memory): tight head 25..35 cm,
head 35..45 cm, head and shoulders 50..75 cm, half 85..110 cm, three-quarter 120..150 cm, full 190..230 cm.
The eyes lie at 60 % of its height, in larger frames 30 cm under the upper edge (from memory).
If a brief says nothing, head and shoulders is taken.`,
		Example: "framing: {head_and_shoulders: true}",
		Words:   []string{"crop", "composition", "headshot", "close-up", "full length", "frame", "bust"},
		Values:  cropKeys(),
	},
	Read: readFraming,
})

// A crop is a named framing.
type crop struct {
	key, name string
	height    unit.Range[unit.Length]
}

// crops go from tight to wide. Heights from memory.
var crops = []crop{
	{"tight_head", "a tight head", unit.Range[unit.Length]{Lo: 0.25, Hi: 0.35}},
	{"head", "a head", unit.Range[unit.Length]{Lo: 0.35, Hi: 0.45}},
	{"head_and_shoulders", "head and shoulders", unit.Range[unit.Length]{Lo: 0.50, Hi: 0.75}},
	{"half", "a half length", unit.Range[unit.Length]{Lo: 0.85, Hi: 1.10}},
	{"three_quarter", "a three-quarter length", unit.Range[unit.Length]{Lo: 1.20, Hi: 1.50}},
	{"full", "a full length", unit.Range[unit.Length]{Lo: 1.90, Hi: 2.30}},
}

func cropKeys() []string {
	keys := make([]string, len(crops))
	for i, c := range crops {
		keys[i] = c.key
	}
	return keys
}

func cropByKey(word string) (crop, error) {
	key, err := oneOf("framing", word, cropKeys())
	if err != nil {
		return crop{}, err
	}
	return crops[slices.IndexFunc(crops, func(c crop) bool { return c.key == key })], nil
}

type framingGoal struct {
	Plain
	height unit.Range[unit.Length]
}

type framingForm struct {
	source.Places
	TightHead        bool                    `yaml:"tight_head,omitempty"`
	Head             bool                    `yaml:"head,omitempty"`
	HeadAndShoulders bool                    `yaml:"head_and_shoulders,omitempty"`
	Half             bool                    `yaml:"half,omitempty"`
	ThreeQuarter     bool                    `yaml:"three_quarter,omitempty"`
	Full             bool                    `yaml:"full,omitempty"`
	Height           unit.Range[unit.Length] `yaml:"height,omitempty"`
}

func readFraming(n source.Node) (Requirement, error) {
	if w, ok := word(n); ok {
		c, err := cropByKey(w)
		return &framingGoal{height: c.height}, err
	}
	var f framingForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	var chosen []unit.Range[unit.Length]
	for i, set := range []bool{f.TightHead, f.Head, f.HeadAndShoulders, f.Half, f.ThreeQuarter, f.Full} {
		if set {
			chosen = append(chosen, crops[i].height)
		}
	}
	if f.Wrote("height") {
		chosen = append(chosen, f.Height)
	}
	if len(chosen) != 1 {
		return nil, fmt.Errorf("name one of %s, or height", strings.Join(cropKeys(), ", "))
	}
	return &framingGoal{height: chosen[0]}, nil
}

func (g *framingGoal) Validate(*Brief) error {
	if g.height.Hi < 0.1 || g.height.Lo > 3 {
		return fmt.Errorf("the height of the frame at the sitter lies between 10 cm and 3 m")
	}
	return valid("height", g.height.Interval())
}

// named is the crop that the range is, if it is one.
func (g *framingGoal) named() (crop, bool) {
	for _, c := range crops {
		if c.height == g.height {
			return c, true
		}
	}
	return crop{}, false
}

func (g *framingGoal) Written() string {
	if c, ok := g.named(); ok {
		return "{" + c.key + ": true}"
	}
	return "{height: " + rangeText(g.height) + "}"
}

func (g *framingGoal) Reads() Aspect { return OnFrame }

func (g *framingGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "frame height", Got: r.Frame, Want: g.height.Interval(), Unit: InMetres, Fine: 0.02})
}

func (g *framingGoal) Because(_ *Reading, p Part) string {
	return short("the height of the frame at the sitter", p)
}

func (g *framingGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	move := func(c crop, minor float64) { out = append(out, g.reframe(c, minor)) }
	if c, ok := g.wider(); ok {
		move(c, 4)
	}
	if c, ok := g.tighter(); ok {
		move(c, 5)
	}
	loose := &framingGoal{height: unit.Range[unit.Length]{
		Lo: unit.Length(max(0.1, tidy(float64(g.height.Lo-0.1)))), Hi: unit.Length(tidy(float64(g.height.Hi + 0.1)))}}
	out = append(out, weaker(g, loose, 3, "let the frame be %s high", tape(loose.height)))
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *framingGoal) Wants(*Bench) []Want {
	text := "a frame " + tape(g.height) + " high"
	if c, ok := g.named(); ok {
		text = fmt.Sprintf("%s (a frame %s high)", c.name, tape(c.height))
	}
	return []Want{{"frame height", g.height.Interval(), text}}
}

// reframe takes another crop.
func (g *framingGoal) reframe(c crop, minor float64) Change {
	return weaker(g, &framingGoal{height: c.height}, minor, "frame %s (%s)", c.name, tape(c.height))
}

// tighter returns the next crop that is wholly tighter than the goal asks.
func (g *framingGoal) tighter() (crop, bool) {
	for _, c := range slices.Backward(crops) {
		if c.height.Hi <= g.height.Lo {
			return c, true
		}
	}
	return crop{}, false
}

// wider returns the next crop that is wholly wider than the goal asks.
func (g *framingGoal) wider() (crop, bool) {
	for _, c := range crops {
		if c.height.Lo >= g.height.Hi {
			return c, true
		}
	}
	return crop{}, false
}

// Amounts moves either end of the height by 5 cm.
func (g *framingGoal) Amounts(*Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &framingGoal{height: unit.Range[unit.Length]{Lo: unit.Length(r.Lo), Hi: unit.Length(r.Hi)}}
	}
	return ends(g, "the frame's height", g.height.Interval(), 0.25, 2.3, 0.05, InMetres, with, "let the frame be %s high")
}
