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
	Name: "pattern",
	Doc: Doc{
		Group: "shape",
		Title: "the pattern that the key draws on the face",
		Text: `Where the key stands, by its angle from the nose (not from the camera) and its height above the eyes:
flat 0..10 and 0..25 deg, butterfly 0..10 and 25..50, loop 20..45 and 20..40, rembrandt 40..60 and 30..50,
split 80..100 and 0..25, profile 100..135 and 0..35. short and broad want a head that is turned: 15..60 deg from
the nose on the side to which it points (the far cheek is lit, which slims) or on the other, 15..45 deg up. clamshell
is a butterfly key 30..50 deg up and a fill under the face, 10 deg at most to the side and 20..50 deg down, 0.5 to 2
stops under the key. Degrees are from memory; sources disagree by 15 deg. above: another height of the key. A side is the
camera's; without one either will do.`,
		Example: "pattern: {is: rembrandt, side: left}",
		Words: []string{"butterfly", "paramount", "loop", "rembrandt", "split", "flat", "profile", "broad", "short", "clamshell",
			"beauty light", "nose shadow", "triangle", "short lighting", "broad lighting"},
		Values: patternWords(),
	},
	Read: readPattern,
})

type patternName struct {
	word             string
	angle, elevation unit.Interval // deg
	turned           float64       // 1: on the side to which the head is turned, -1: on the other
	under            bool          // with a fill under the face
}

// patternNames go round from the front. Degrees from memory.
var patternNames = []patternName{
	{word: "flat", angle: unit.Interval{Lo: 0, Hi: 10}, elevation: unit.Interval{Lo: 0, Hi: 25}},
	{word: "butterfly", angle: unit.Interval{Lo: 0, Hi: 10}, elevation: unit.Interval{Lo: 25, Hi: 50}},
	{word: "loop", angle: unit.Interval{Lo: 20, Hi: 45}, elevation: unit.Interval{Lo: 20, Hi: 40}},
	{word: "rembrandt", angle: unit.Interval{Lo: 40, Hi: 60}, elevation: unit.Interval{Lo: 30, Hi: 50}},
	{word: "split", angle: unit.Interval{Lo: 80, Hi: 100}, elevation: unit.Interval{Lo: 0, Hi: 25}},
	{word: "profile", angle: unit.Interval{Lo: 100, Hi: 135}, elevation: unit.Interval{Lo: 0, Hi: 35}},
	{word: "short", angle: unit.Interval{Lo: 15, Hi: 60}, elevation: unit.Interval{Lo: 15, Hi: 45}, turned: 1},
	{word: "broad", angle: unit.Interval{Lo: 15, Hi: 60}, elevation: unit.Interval{Lo: 15, Hi: 45}, turned: -1},
	{word: "clamshell", angle: unit.Interval{Lo: 0, Hi: 10}, elevation: unit.Interval{Lo: 30, Hi: 50}, under: true},
}

// round is how many of the patterns go round from the front, each next to the one before.
const round = 6

// The fill of a clamshell (from memory).
var (
	underAside = atMost(10)
	underDown  = unit.Interval{Lo: -50, Hi: -20}
	underLevel = unit.Interval{Lo: 0.5, Hi: 2} // stops under the key
)

// leastTurn is how far a head is turned that short and broad can speak of, in degrees.
const leastTurn = 5

func patternWords() []string {
	words := make([]string, len(patternNames))
	for i, p := range patternNames {
		words[i] = p.word
	}
	return words
}

type patternGoal struct {
	Plain
	at    int    // in patternNames
	side  string // "", left or right
	slack float64
	above *unit.Range[unit.Angle] // another height; nil: the pattern's own
}

type patternForm struct {
	source.Places
	Is    string                 `yaml:"is,required"`
	Side  string                 `yaml:"side,omitempty"`
	Slack unit.Angle             `yaml:"slack,omitempty"`
	Above unit.Range[unit.Angle] `yaml:"above,omitempty"`
}

func readPattern(n source.Node) (Requirement, error) {
	var f patternForm
	if w, ok := word(n); ok {
		f.Is = w
	} else if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if normal(f.Is) == "paramount" {
		f.Is = "butterfly"
	}
	known, err := oneOf("pattern", f.Is, patternWords())
	if err != nil {
		return nil, err
	}
	g := &patternGoal{at: slices.Index(patternWords(), known), slack: tidy(f.Slack.Degrees())}
	if f.Wrote("above") {
		g.above = &f.Above
	}
	if f.Side != "" {
		g.side, err = oneOf("side", f.Side, []string{"left", "right"})
	}
	return g, err
}

func (g *patternGoal) Validate(b *Brief) error {
	if turn := math.Abs(b.Sitter.Turn.Degrees()); patternNames[g.at].turned != 0 && turn < leastTurn {
		return fmt.Errorf("%s wants a head that is turned; write sitter: {turn: 20 deg}", patternNames[g.at].word)
	}
	if g.above != nil {
		if err := inside("above", *g.above, -30*unit.Degree, 85*unit.Degree); err != nil {
			return err
		}
	}
	if g.slack < 0 || g.slack > 45 {
		return fmt.Errorf("slack lies between 0 deg and 45 deg")
	}
	return nil
}

func (g *patternGoal) Written() string {
	name := patternNames[g.at].word
	if g.side == "" && g.slack == 0 && g.above == nil {
		return name
	}
	keys := []string{"is: " + name}
	if g.side != "" {
		keys = append(keys, "side: "+g.side)
	}
	if g.slack > 0 {
		keys = append(keys, "slack: "+exact(unit.Angle(g.slack)*unit.Degree))
	}
	if g.above != nil {
		keys = append(keys, "above: "+rangeText(*g.above))
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

func (g *patternGoal) Roles() (need, may []inventory.Role) {
	if patternNames[g.at].under {
		return []inventory.Role{inventory.Key, inventory.Fill}, nil
	}
	return []inventory.Role{inventory.Key}, nil
}

func (g *patternGoal) Reads() Aspect {
	if patternNames[g.at].under {
		return Pose(inventory.Key) | Pose(inventory.Fill) | Level(inventory.Key) | Level(inventory.Fill)
	}
	return Pose(inventory.Key)
}

// wanted is the angle from the nose, positive on the wanted side, and the elevation.
func (g *patternGoal) wanted() (angle, elevation unit.Interval) {
	p := patternNames[g.at]
	angle, elevation = p.angle, p.elevation
	if g.above != nil {
		elevation = degrees(*g.above)
	}
	angle.Lo, angle.Hi = angle.Lo-g.slack, angle.Hi+g.slack
	elevation.Lo, elevation.Hi = elevation.Lo-g.slack, elevation.Hi+g.slack
	if angle.Lo <= 0 && g.side == "" && p.turned == 0 {
		angle = atMost(angle.Hi) // straight ahead is the middle of it, not its edge
	}
	return angle, elevation
}

func (g *patternGoal) Judge(r *Reading, out []Part) []Part {
	key := &r.Lights[inventory.Key]
	angle, elevation := g.wanted()
	got, p := key.FromFace, patternNames[g.at]
	switch {
	case p.turned != 0:
		got = key.FromNose.Scale(p.turned)
	case g.side == "":
		got = got.Abs()
	case g.side == "left":
		got = got.Neg()
	}
	out = lightParts(r, inventory.Key, out,
		Part{What: "key from the nose", Got: got, Want: angle, Unit: InDegrees, Fine: 3},
		Part{What: "above the eyes", Got: key.Elevation, Want: elevation, Unit: InDegrees, Fine: 3})
	if p.turned != 0 && g.side != "" {
		side := key.Azimuth
		if g.side == "left" {
			side = side.Neg()
		}
		out = lightParts(r, inventory.Key, out, Part{What: "on the " + g.side + " by", Got: side, Want: atLeast(0), Unit: InDegrees, Fine: 3})
	}
	if p.under {
		out = g.judgeUnder(r, out)
	}
	return out
}

// judgeUnder looks at the fill under the face.
func (g *patternGoal) judgeUnder(r *Reading, out []Part) []Part {
	key, fill := &r.Lights[inventory.Key], &r.Lights[inventory.Fill]
	aside, down := underAside, underDown
	aside.Hi, down.Lo, down.Hi = aside.Hi+g.slack, down.Lo-g.slack, down.Hi+g.slack
	return lightParts(r, inventory.Fill, out,
		Part{What: "fill from the nose", Got: apart(fill.FromFace, 0), Want: aside, Unit: InDegrees, Fine: 3},
		Part{What: "fill above the eyes", Got: fill.Elevation, Want: down, Unit: InDegrees, Fine: 3},
		Part{What: "fill under the key by", Got: less(key.Level, fill.Level), Want: underLevel, Unit: InStep, Fine: 0.2})
}

func (g *patternGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "above the eyes":
		return short("the height of the key above the eyes", p)
	case "fill from the nose":
		return short("the angle of the fill from the nose", p)
	case "fill above the eyes":
		return short("the height of the fill above the eyes", p)
	case "fill under the key by":
		return short("the step from the key down to the fill", p)
	case "on the left by", "on the right by":
		return fmt.Sprintf("The key cannot stand on the camera's %s and be %s.", strings.Fields(p.What)[2], patternNames[g.at].word)
	}
	return short("the angle of the key from the nose", p)
}

func (g *patternGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []float64{5, 10} {
		w := *g
		w.slack += d
		out = append(out, weaker(g, &w, 1+float64(i), "let the key stand up to %s outside %s", Show(w.slack, InDegrees), patternNames[g.at].word))
	}
	if g.side != "" {
		w := *g
		w.side = map[string]string{"left": "right", "right": "left"}[g.side]
		out = append(out, weaker(g, &w, 3, "put the key on the other side"))
	}
	if g.above != nil {
		w := *g
		w.above = nil
		own := patternNames[g.at].elevation
		out = append(out, weaker(g, &w, 2, "put the key at the usual height of %s, %s", patternNames[g.at].word, ShowRange(own, InDegrees)))
	}
	for _, at := range []int{g.at - 1, g.at + 1} {
		if at >= 0 && at < round && g.at < round {
			w := &patternGoal{at: at, side: g.side}
			out = append(out, weaker(g, w, 4, "light a %s pattern instead", patternNames[at].word))
		}
	}
	return slices.Values(out)
}

func (g *patternGoal) Wants(*Bench) []Want {
	angle, elevation := g.wanted()
	text := "a " + patternNames[g.at].word + " key"
	wants := []Want{{"height of the key above the eyes", elevation, text}}
	if patternNames[g.at].turned != 0 {
		return append(wants, Want{"angle of the key from the nose", angle, text}, Want{"key against the turn of the head", angle.Scale(patternNames[g.at].turned), text})
	}
	all := Want{"angle of the key from the nose", angle, text}
	if g.side == "" {
		return append(wants, all)
	}
	text += " from the " + g.side
	signed := angle
	if g.side == "left" {
		signed = signed.Neg()
	}
	all.Range, all.Text = angle.Abs(), text
	return append(wants, all, Want{"side of the key", signed, text})
}

// Amounts lets the key stand outside the pattern's angles, by whole degrees.
func (g *patternGoal) Amounts(*Bench) []Amount {
	return []Amount{listed("angles of the pattern", g.slack, toward(g.slack, 45, 1), inUnit(InDegrees), func(x float64) Change {
		w := *g
		w.slack = x
		return weaker(g, &w, 1, "let the key stand up to %s outside %s", Show(x, InDegrees), patternNames[g.at].word)
	})}
}
