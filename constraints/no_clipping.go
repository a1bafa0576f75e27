package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "no-clipping",
	Doc: Doc{
		Group: "tone",
		Title: "nothing burns out: face, rims, background",
		Text: `The brightest tones stay under display white, 2.47 stops over middle grey, by a margin (under; if not
written 0.03 stops, L 0.98). On the face: key and fill on skin of 36 % (fair; deep skin is 1 to 2 stops darker; from
memory). On a rim: what the light gives on skin; a rim that grazes shines more than that, so meter and look (how much is
not modelled). On the background: the brightest point in the frame. on: which of face, rims and background; all if not
written.`,
		Example: "no-clipping: {on: [face, rims]}",
		Words:   []string{"clipping", "blown highlights", "burnt out", "overexposed", "zebra", "highlights", "hot rim"},
	},
	Read: readNoClipping,
})

const (
	displayWhite = 2.4739 // tone of L = 1: log2(1 / 0.18)
	skin         = 0.36   // fair skin (from memory)
)

var clipPlaces = []string{"face", "rims", "background"}

type noClippingGoal struct {
	Plain
	on    []string
	under unit.Stops
}

type noClippingForm struct {
	source.Places
	On    []string   `yaml:"on,omitempty"`
	Under unit.Stops `yaml:"under,omitempty"`
}

func readNoClipping(n source.Node) (Requirement, error) {
	g := &noClippingGoal{on: clipPlaces, under: 0.03}
	if yes(n) {
		return g, nil
	}
	var f noClippingForm
	if w, ok := word(n); ok {
		f.On = []string{w}
	} else if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("under") {
		g.under = f.Under
	}
	if len(f.On) == 0 {
		return g, nil
	}
	g.on = nil
	for _, place := range clipPlaces {
		for _, w := range f.On {
			known, err := oneOf("place", w, clipPlaces)
			if err != nil {
				return nil, err
			}
			if known == place && !slices.Contains(g.on, place) {
				g.on = append(g.on, place)
			}
		}
	}
	return g, nil
}

func (g *noClippingGoal) Validate(*Brief) error {
	if g.under < -2 || g.under > 4 {
		return fmt.Errorf("under lies between -2 stops and 4 stops")
	}
	return nil
}

func (g *noClippingGoal) Written() string {
	return keyed(pair{"on", "[" + strings.Join(g.on, ", ") + "]"}, pair{"under", exact(g.under)})
}

func (g *noClippingGoal) has(place string) bool { return slices.Contains(g.on, place) }

func (g *noClippingGoal) Reads() (a Aspect) {
	if g.has("face") {
		a |= Level(inventory.Key) | Pose(inventory.Key) | Level(inventory.Fill) | OnBounce
	}
	if g.has("rims") {
		for _, r := range rims {
			a |= Level(r)
		}
	}
	if g.has("background") {
		a |= OnSpill | OnBounce | OnBackdrop | OnDepth | Level(inventory.Background) | Pose(inventory.Background)
	}
	return a
}

// rims are the lights from behind that draw an edge.
var rims = []inventory.Role{inventory.RimLeft, inventory.RimRight, inventory.Hair}

func (g *noClippingGoal) Judge(r *Reading, out []Part) []Part {
	most := atMost(displayWhite - float64(g.under))
	skinTone := unit.Point(skin / middleGrey).Log2()
	if g.has("face") {
		out = append(out, Part{What: "face", Got: r.Exposure.Add(skinTone), Want: most, Unit: InStops, Fine: 0.2})
	}
	if g.has("rims") {
		for _, role := range rims {
			l := &r.Lights[role]
			p := Part{What: role.String(), Got: l.Level.Add(skinTone), Want: most, Unit: InStops, Fine: 0.2}
			switch {
			case l.On.Hi < 1:
				continue
			case l.On.Lo < 1:
				p.Got = unit.Interval{Lo: math.Inf(-1), Hi: p.Got.Hi} // perhaps there is none
			}
			out = append(out, p)
		}
	}
	if g.has("background") {
		out = append(out, Part{What: "background", Got: r.Bright, Want: most, Unit: InStops, Fine: 0.2})
	}
	return out
}

func (g *noClippingGoal) Because(_ *Reading, p Part) string {
	what := "skin in the light of the " + spoken(p.What)
	switch p.What {
	case "face":
		what = "the lit side of the face"
	case "background":
		what = "the brightest point of the background"
	}
	return fmt.Sprintf("%s is drawn at %s or more, and above %s it burns out.", upper(what), floor(p.Got.Lo, InStops, p.Want.Hi), Asked(p.Want.Hi, InStops))
}

func (g *noClippingGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Stops{0.5, 1} {
		w := &noClippingGoal{on: g.on, under: unit.Stops(tidy(float64(g.under - d)))}
		if w.under >= -2 {
			out = append(out, weaker(g, w, 2+float64(i), "let it burn out by %s", size(float64(d), InStops)))
		}
	}
	for i, place := range g.on {
		if len(g.on) > 1 {
			out = append(out, weaker(g, &noClippingGoal{on: slices.Delete(slices.Clone(g.on), i, i+1), under: g.under}, 3, "let the %s burn out", place))
		}
	}
	return slices.Values(out)
}

func (g *noClippingGoal) Wants(*Bench) (wants []Want) {
	white := displayWhite - float64(g.under)
	onSkin := atMost(white - math.Log2(skin/middleGrey))
	text := " of at most " + show(onSkin.Hi, InStops, 1, math.Floor) + ", so as not to burn out"
	if g.has("face") {
		wants = append(wants, Want{"exposure of the face", onSkin, "a face" + text})
	}
	if g.has("rims") {
		for _, r := range rims {
			wants = append(wants, Want{"level of the " + r.String(), onSkin, "rims" + text})
		}
	}
	if g.has("background") {
		wants = append(wants, Want{darkestTone, atMost(white), "a background that does not burn out"}, Want{brightestTone, atMost(white), "a background that does not burn out"})
	}
	return wants
}

// Amounts lets tones come nearer to display white, and over it, by tenths of a stop.
func (g *noClippingGoal) Amounts(*Bench) []Amount {
	show := func(x float64) string {
		switch {
		case x > 0:
			return size(x, InStops) + " under display white"
		case x < 0:
			return size(-x, InStops) + " over display white"
		}
		return "just at display white"
	}
	say := func(x float64) string { return "let the brightest tones be " + show(x) }
	return moved(g, "gap under display white", tidy(float64(g.under)), -2, 0.1, show, say, 2,
		func(x float64) Requirement { return &noClippingGoal{on: g.on, under: unit.Stops(x)} })
}
