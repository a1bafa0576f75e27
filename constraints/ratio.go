package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "ratio",
	Doc: Doc{
		Group: "tone",
		Title: "the lighting ratio on the face",
		Text: `(key + fill) : fill on the face, with cards and the bounce of the room counted as fill. Some people write
key : fill instead, which is one less (3:1 here is 2:1 there), so both are always printed. Q:1 wants Q within
0.2 stops (from memory). 2:1 is beauty, 3:1 everyday, 5:1 character, 9:1 low key (from memory). A fill light has to
stand on the camera's axis or across from the key: more than 15 deg to the key's side it lights the same cheek.`,
		Example: "ratio: 3:1",
		Words:   []string{"lighting ratio", "contrast", "key to fill", "fill", "moody", "modelling", "2:1", "3:1", "5:1", "8:1"},
	},
	Read: readRatio,
})

const usualRatioSlack unit.Stops = 0.2

// ratioQ is (key+fill):fill as a plain number, written "3:1".
type ratioQ float64

func (q ratioQ) String() string {
	return strconv.FormatFloat(float64(q), 'f', -1, 64) + ":1"
}

func (q ratioQ) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

func (q *ratioQ) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(string(b))
	head, one, ok := strings.Cut(text, ":")
	x, err := strconv.ParseFloat(strings.TrimSpace(head), 64)
	if !ok || strings.TrimSpace(one) != "1" || err != nil {
		return fmt.Errorf("%q is not a ratio; write one as in 3:1", cut(text))
	}
	if !(x >= 1 && x <= 1000) {
		return fmt.Errorf("%q: a ratio of (key + fill) to fill lies between 1:1 and 1000:1", cut(text))
	}
	*q = ratioQ(x)
	return nil
}

// ratioGoal wants Q in a range, or Q itself within some stops.
type ratioGoal struct {
	Plain
	want   unit.Range[ratioQ]
	within unit.Stops // for one value
}

type ratioForm struct {
	source.Places
	Is      ratioQ     `yaml:"is,omitempty"`
	Within  unit.Stops `yaml:"within,omitempty"`
	AtLeast ratioQ     `yaml:"at least,omitempty"`
	AtMost  ratioQ     `yaml:"at most,omitempty"`
}

func readRatio(n source.Node) (Requirement, error) {
	if _, ok := word(n); ok {
		want, err := readRange[ratioQ](n)
		return &ratioGoal{want: want, within: usualRatioSlack}, err
	}
	f := ratioForm{}
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	ranged := f.AtLeast > 0 || f.AtMost > 0
	switch {
	case f.Is > 0 && ranged:
		return nil, fmt.Errorf("say is, or at least and at most, not both")
	case f.Is > 0:
		if !f.Wrote("within") {
			f.Within = usualRatioSlack
		}
		return &ratioGoal{want: unit.Exactly(f.Is), within: f.Within}, nil
	case !ranged:
		return nil, fmt.Errorf("say is, at least or at most, as in {at least: 5:1}")
	}
	return &ratioGoal{want: limits[ratioQ]{f.Places, f.AtLeast, f.AtMost}.bounds()}, nil
}

func (g *ratioGoal) Validate(*Brief) error {
	if g.within < 0 {
		return fmt.Errorf("within is 0 stops or more")
	}
	return valid("ratio", g.want.Interval())
}

func (g *ratioGoal) single() bool { return g.want.Lo == g.want.Hi }

func (g *ratioGoal) Written() string {
	switch {
	case !g.single():
		return limitText(g.want)
	case g.within == usualRatioSlack:
		return g.want.Lo.String()
	}
	return fmt.Sprintf("{is: %s, within: %s}", g.want.Lo, plural(unsigned2(g.within), "stop"))
}

func unsigned2(s unit.Stops) string { return strconv.FormatFloat(tidy(float64(s)), 'f', -1, 64) }

// Roles: a ratio with a top is set by a fill light; a room's bounce is no one's dial.
func (g *ratioGoal) Roles() (need, may []inventory.Role) {
	if !math.IsInf(g.wanted().Hi, 1) {
		return []inventory.Role{inventory.Key, inventory.Fill}, nil
	}
	return []inventory.Role{inventory.Key}, []inventory.Role{inventory.Fill}
}

// ByCard: with a top, a card can fill the shadows as far as a light does.
func (g *ratioGoal) ByCard() bool { return !math.IsInf(g.wanted().Hi, 1) }

func (g *ratioGoal) Reads() Aspect {
	return Pose(inventory.Key) | Level(inventory.Key) | Pose(inventory.Fill) | Level(inventory.Fill) | OnBounce
}

// wanted is the range of log2 Q.
func (g *ratioGoal) wanted() unit.Interval {
	v := g.want.Interval()
	v.Lo, v.Hi = logOrEnd(v.Lo), logOrEnd(v.Hi)
	if g.single() {
		return about(v.Lo, float64(g.within))
	}
	return v
}

func logOrEnd(x float64) float64 {
	if math.IsInf(x, 0) {
		return x
	}
	return math.Log2(x)
}

func (g *ratioGoal) Judge(r *Reading, out []Part) []Part {
	p := Part{What: "(key + fill) to fill", Got: r.Ratio, Want: g.wanted(), Unit: InStops, Fine: 0.1}
	fill := r.Lights[inventory.Fill].On
	switch { // a card fills as well as a light
	case math.IsInf(p.Want.Hi, 1) || r.Cards.Lo >= 1 || fill.Lo >= 1:
	case r.Cards.Hi < 1:
		return lightParts(r, inventory.Fill, out, p)
	default:
		p.Got = unit.Whole
	}
	out = append(out, p)
	if side := fillSide(r); side.Fails() { // else it has nothing to say
		out = append(out, side)
	}
	return out
}

// A fill that stands where the key does lights the same cheek, and leaves the shadow side to the
// room: it may stand so far to the key's side where the key is that far from the camera's axis.
const (
	fillTowardKey = 15.0 // deg (from memory: on the axis or across from the key)
	keyOffAxis    = 20.0
)

func fillSide(r *Reading) Part {
	key, fill := &r.Lights[inventory.Key], &r.Lights[inventory.Fill]
	p := Part{What: towardKey, Got: unit.Whole, Want: atMost(fillTowardKey), Unit: InDegrees, Fine: 5}
	switch {
	case fill.On.Lo < 1:
	case key.Azimuth.Lo >= keyOffAxis:
		p.Got = fill.Azimuth
	case key.Azimuth.Hi <= -keyOffAxis:
		p.Got = fill.Azimuth.Neg()
	}
	return p
}

const towardKey = "fill to the key's side by"

// Q prints log2 Q in both conventions.
func bothRatios(log2 float64) string {
	q := math.Exp2(log2)
	return fmt.Sprintf("%s (key to fill %s)", ratioText(q, math.Round), ratioText(max(0, q-1), math.Round))
}

func ratioText(q float64, round func(float64) float64) string {
	if math.IsInf(q, 0) || q > 1e6 {
		return "no fill at all"
	}
	return fixed(q, 1, round) + ":1"
}

func (g *ratioGoal) Say(parts []Part) string {
	p := parts[0]
	if !p.Got.IsPoint() || p.Unit == InCount {
		return sayParts(parts)
	}
	text := bothRatios(p.Got.Lo) + ", wanted " + g.want.String()
	if p.Fails() {
		text += ", misses by " + size(-p.Margin().Hi, InStops)
	}
	for _, q := range parts[1:] {
		text += "; " + sayPart(q)
	}
	return text
}

func (g *ratioGoal) Because(_ *Reading, p Part) string {
	if text, ok := noLight(p); ok {
		return text
	}
	if p.What == towardKey {
		return fmt.Sprintf("The fill stands on the key's side, %s off the axis or more, where it lights the same cheek; at most %s is wanted.",
			floor(p.Got.Lo, InDegrees, p.Want.Hi), Show(p.Want.Hi, InDegrees))
	}
	if p.Got.Lo > p.Want.Hi {
		return fmt.Sprintf("The shadow side gets so little light that (key + fill) to fill is at least %s, and %s is wanted.",
			ratioText(math.Exp2(p.Got.Lo), math.Floor), g.want)
	}
	return fmt.Sprintf("Fill and the bounce of the room open the shadows so far that (key + fill) to fill is at most %s, and %s is wanted.",
		ratioText(math.Exp2(p.Got.Hi), math.Ceil), g.want)
}

func (g *ratioGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if g.single() {
		for i, d := range []unit.Stops{0.2, 0.5, 1} {
			w := &ratioGoal{want: g.want, within: unit.Stops(tidy(float64(g.within + d)))}
			out = append(out, weaker(g, w, float64(1+2*i), "let the ratio be %s within %s", g.want.Lo, plural(unsigned2(w.within), "stop")))
		}
	} else {
		for i, f := range []ratioQ{1.25, 1.6, 2} {
			if lo := g.want.Lo; !math.IsInf(float64(lo), 0) && lo > 1 {
				w := &ratioGoal{want: unit.Range[ratioQ]{Lo: max(1, ratioQ(math.Round(float64(lo/f)*10)/10)), Hi: g.want.Hi}}
				out = append(out, weaker(g, w, float64(1+2*i), "let the ratio be as low as %s", w.want.Lo))
			}
			if hi := g.want.Hi; !math.IsInf(float64(hi), 0) {
				w := &ratioGoal{want: unit.Range[ratioQ]{Lo: g.want.Lo, Hi: ratioQ(math.Round(float64(hi*f)*10) / 10)}}
				out = append(out, weaker(g, w, float64(1+2*i), "let the ratio be as high as %s", w.want.Hi))
			}
		}
	}
	if !math.IsInf(float64(g.want.Lo), 0) { // bounce can stand in the way of a high ratio
		out = append(out, darkRoom(b)...)
	}
	if !math.IsInf(float64(g.want.Hi), 0) { // a low ratio may lack a fill light
		out = append(out, moreLights(b)...)
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *ratioGoal) Wants(*Bench) []Want {
	return []Want{{"ratio", g.wanted(), "a ratio of " + g.want.String()}}
}

// Amounts widens what a single value may miss by, or moves either end by tenths.
func (g *ratioGoal) Amounts(*Bench) []Amount {
	if g.single() {
		now := tidy(float64(g.within))
		show := func(x float64) string { return plural(unsigned2(unit.Stops(x)), "stop") }
		return []Amount{listed("tolerance of the ratio", now, toward(now, 3, 0.1), show, func(x float64) Change {
			w := &ratioGoal{want: g.want, within: unit.Stops(x)}
			return weaker(g, w, 1, "let the ratio be %s within %s", g.want.Lo, show(x))
		})}
	}
	with := func(r unit.Interval) Requirement {
		return &ratioGoal{want: unit.Range[ratioQ]{Lo: ratioQ(r.Lo), Hi: ratioQ(r.Hi)}}
	}
	return ends(g, "the ratio", g.want.Interval(), 1, 32, 0.1, InRatio, with, "let the ratio be %s")
}

// amounts moves either end of a ratio that is asked for by another goal, by tenths; with is
// that goal with another ratio.
func (g *ratioGoal) amounts(of Requirement, with func(*ratioGoal) Requirement) []Amount {
	v := g.want.Interval()
	if g.single() { // as a range in tenths that allows no less
		v = g.wanted()
		v = unit.Interval{Lo: max(1, math.Floor(math.Exp2(v.Lo)*10)/10), Hi: math.Ceil(math.Exp2(v.Hi)*10) / 10}
	}
	to := func(lo, hi float64) Requirement {
		return with(&ratioGoal{want: unit.Range[ratioQ]{Lo: ratioQ(lo), Hi: ratioQ(hi)}})
	}
	out := moved(of, "the ratio, lowered", v.Lo, min(1, v.Lo), 0.1, inUnit(InRatio), worded("let the ratio be as low as %s", InRatio), 2,
		func(x float64) Requirement { return to(x, v.Hi) })
	return append(out, moved(of, "the ratio, raised", v.Hi, max(32, v.Hi), 0.1, inUnit(InRatio), worded("let the ratio be as high as %s", InRatio), 2,
		func(x float64) Requirement { return to(v.Lo, x) })...)
}
