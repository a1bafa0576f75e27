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
	Name: "high-key",
	Doc: Doc{
		Group: "tone",
		Title: "a light picture: white behind, and the edges of the sitter hold",
		Text: `Two things at once. The darkest point of the visible backdrop is white (background, a tone in stops from
middle grey; if not written at least +1.8 stops; "pure" is at least +2.47, display white). And what the lit backdrop and
the room throw on the sitter from behind (wrap) stays two stops or more under the camera's setting: from about there
a cheek's edge is eaten away, at three it is safe (from memory). A large lit wall near the sitter is a large light;
distance and a smaller lit patch cure it, less light on the wall too. A ratio may be asked for: 3:1 and less is usual.`,
		Example: "high-key: {background: at least 1.8 stops, wrap: at most -2 stops}",
		Words:   []string{"white background", "bright", "pure white", "wrap", "catalogue", "cut out", "airy", "light picture"},
		Values:  []string{"white", "pure"},
	},
	Read: readHighKey,
})

const (
	whiteTone    unit.Stops = 1.8
	pureWhite    unit.Stops = 2.47 // display white: log2(1/0.18)
	usualWrap    unit.Stops = -2
	usualCeiling unit.Stops = 3.3 // a stop over white paper in light of 0 stops; flare beyond (from memory)
)

type highKeyGoal struct {
	Plain
	background unit.Range[unit.Stops]
	wrap       unit.Stops // at most
	ratio      *ratioGoal
}

type highKeyForm struct {
	source.Places
	Background unit.Range[unit.Stops] `yaml:"background,omitempty"`
	Wrap       unit.Range[unit.Stops] `yaml:"wrap,omitempty"`
	Ratio      unit.Range[ratioQ]     `yaml:"ratio,omitempty"`
}

func readHighKey(n source.Node) (Requirement, error) {
	g := &highKeyGoal{background: unit.Range[unit.Stops]{Lo: whiteTone, Hi: usualCeiling}, wrap: usualWrap}
	if yes(n) {
		return g, nil
	}
	if w, ok := word(n); ok {
		found, err := oneOf("high key", w, []string{"white", "pure"})
		if found == "pure" {
			g.background.Lo = pureWhite
		}
		return g, err
	}
	var f highKeyForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("background") {
		g.background = f.Background
		if math.IsInf(float64(g.background.Hi), 1) {
			g.background.Hi = max(usualCeiling, g.background.Lo)
		}
	}
	if f.Wrote("wrap") {
		g.wrap = f.Wrap.Hi
	}
	if f.Wrote("ratio") {
		g.ratio = &ratioGoal{want: f.Ratio, within: usualRatioSlack}
	}
	return g, nil
}

func (g *highKeyGoal) Validate(*Brief) error {
	switch {
	case math.IsInf(float64(g.background.Lo), 0):
		return fmt.Errorf("background needs a lower end, as in at least 1.8 stops")
	case g.background.Lo < 0:
		return fmt.Errorf("a background of %s is darker than middle grey", g.background.Lo)
	case math.IsInf(float64(g.wrap), 0) || g.wrap > 2 || g.wrap < -8:
		return fmt.Errorf("wrap is written as in at most -2 stops, and lies between -8 stops and 2 stops")
	}
	return valid("background", g.background.Interval())
}

func (g *highKeyGoal) Written() string {
	ratio := ""
	if g.ratio != nil {
		ratio = rangeText(g.ratio.want)
	}
	return keyed(pair{"background", rangeText(g.background)}, pair{"wrap", rangeText(unit.AtMost(g.wrap))}, pair{"ratio", ratio})
}

func (g *highKeyGoal) Roles() (need, may []inventory.Role) {
	may = []inventory.Role{inventory.Background}
	if g.ratio != nil {
		var more []inventory.Role
		need, more = g.ratio.Roles()
		may = append(may, more...)
	}
	return need, may
}

func (g *highKeyGoal) Reads() Aspect {
	a := OnSpill | OnBounce | OnBackdrop | OnDepth | OnLens | OnFrame | OnWrap | Level(inventory.Background) | Pose(inventory.Background)
	if g.ratio != nil {
		a |= g.ratio.Reads()
	}
	return a
}

// CameraReads: how large a white backdrop is drawn behind the sitter, and how far away it is,
// say how much it throws back at least.
func (g *highKeyGoal) CameraReads() Aspect { return OnLens | OnFrame | OnDepth }

func (g *highKeyGoal) Judge(r *Reading, out []Part) []Part {
	// If all of the backdrop in the frame is as light as it is asked to be, then that part
	// alone throws so much on the sitter.
	least := r.FrameFactor.Max(unit.Point(0)).Scale(middleGrey).Log2().Add(unit.Point(float64(g.background.Lo)))
	out = append(out,
		Part{What: "darkest of the background", Got: r.Dim, Want: atLeast(float64(g.background.Lo)), Unit: InStops, Fine: 0.1},
		Part{What: "brightest", Got: r.Bright, Want: atMost(float64(g.background.Hi)), Unit: InStops, Fine: 0.1},
		Part{What: "wrap", Got: r.Wrap.Max(least), Want: atMost(float64(g.wrap)), Unit: InStops, Fine: 0.2})
	if g.ratio != nil {
		out = g.ratio.Judge(r, out)
	}
	return out
}

func (g *highKeyGoal) Say(parts []Part) string {
	text := sayParts(parts[:3])
	if g.ratio != nil && len(parts) > 3 {
		text += ", ratio " + g.ratio.Say(parts[3:])
	}
	return text
}

func (g *highKeyGoal) Because(r *Reading, p Part) string {
	switch p.What {
	case "darkest of the background":
		return short("the darkest point of the background", p)
	case "brightest":
		return short("the brightest point of the background", p)
	case "wrap":
		near := ""
		if !math.IsInf(r.Depth.Hi, 0) {
			near = Show(r.Depth.Hi, InMetres) + " "
		}
		return fmt.Sprintf("The lit backdrop %sbehind the sitter is a large light: from behind it gives %s or more, and at most %s is wanted.", near,
			floor(p.Got.Lo, InStops, p.Want.Hi), Asked(p.Want.Hi, InStops))
	}
	return g.ratio.Because(r, p)
}

func (g *highKeyGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	with := func(minor float64, edit func(*highKeyGoal), format string, args ...any) {
		w := *g
		edit(&w)
		out = append(out, weaker(g, &w, minor, format, args...))
	}
	for i, d := range []unit.Stops{0.3, 0.7, 1.5} {
		if to := unit.Stops(tidy(float64(g.background.Lo - d))); to >= 0 {
			with(1+1.5*float64(i), func(w *highKeyGoal) { w.background.Lo = to }, "let the background be as dark as %s", Show(float64(to), InStops))
		}
		to := unit.Stops(tidy(float64(g.wrap + d)))
		with(1.5+1.5*float64(i), func(w *highKeyGoal) { w.wrap = to }, "let light wrap round the sitter at %s", Show(float64(to), InStops))
	}
	up := unit.Stops(tidy(float64(g.background.Hi + 1)))
	with(3, func(w *highKeyGoal) { w.background.Hi = up }, "let the brightest of the background reach %s", Show(float64(up), InStops))
	if g.ratio != nil {
		with(3, func(w *highKeyGoal) { w.ratio = nil }, "ask for no ratio")
	}
	out = append(append(append(out, deeper(b)...), narrowPaper(b)...), moreLights(b)...)
	out = append(out, darkRoom(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *highKeyGoal) Wants(b *Bench) []Want {
	text := "a background of at least " + Show(float64(g.background.Lo), InStops)
	wants := []Want{{darkestTone, atLeast(float64(g.background.Lo)), text}, {brightestTone, g.background.Interval(), text}}
	if g.ratio != nil {
		wants = append(wants, g.ratio.Wants(b)...)
	}
	return wants
}

// Amounts moves the background and the wrap by tenths of a stop, the ratio by tenths.
func (g *highKeyGoal) Amounts(b *Bench) []Amount {
	edited := func(edit func(*highKeyGoal)) Requirement {
		w := *g
		edit(&w)
		return &w
	}
	move := func(name string, now, to, minor float64, format string, set func(*highKeyGoal, unit.Stops)) []Amount {
		return moved(g, name, tidy(now), to, 0.1, inUnit(InStops), worded(format, InStops), minor,
			func(x float64) Requirement { return edited(func(w *highKeyGoal) { set(w, unit.Stops(x)) }) })
	}
	lo, hi := float64(g.background.Lo), float64(g.background.Hi)
	out := move("darkest of the background", lo, 0, 1, "let the background be as dark as %s", func(w *highKeyGoal, x unit.Stops) { w.background.Lo = x })
	out = append(out, move("wrap", float64(g.wrap), 2, 1.5, "let light wrap round the sitter at %s", func(w *highKeyGoal, x unit.Stops) { w.wrap = x })...)
	out = append(out, move("brightest of the background", hi, hi+4, 3, "let the brightest of the background reach %s", func(w *highKeyGoal, x unit.Stops) { w.background.Hi = x })...)
	if g.ratio != nil {
		out = append(out, g.ratio.amounts(g, func(q *ratioGoal) Requirement { return edited(func(w *highKeyGoal) { w.ratio = q }) })...)
	}
	return append(out, depthAmount(b)...)
}
