package constraints

import (
	"fmt"
	"iter"
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
split 80..100 and 0..25, profile 100..135 and 0..35 (degrees from memory; sources disagree by 15 deg). A side is
the camera's; without one either will do.`,
		Example: "pattern: {is: rembrandt, side: left}",
		Words: []string{"butterfly", "paramount", "loop", "rembrandt", "split", "flat", "profile", "broad", "short",
			"nose shadow", "triangle"},
	},
	Read: readPattern,
})

type patternName struct {
	word             string
	angle, elevation unit.Interval // deg
}

// patternNames go round from the front. Degrees from memory.
var patternNames = []patternName{
	{"flat", unit.Interval{Lo: 0, Hi: 10}, unit.Interval{Lo: 0, Hi: 25}},
	{"butterfly", unit.Interval{Lo: 0, Hi: 10}, unit.Interval{Lo: 25, Hi: 50}},
	{"loop", unit.Interval{Lo: 20, Hi: 45}, unit.Interval{Lo: 20, Hi: 40}},
	{"rembrandt", unit.Interval{Lo: 40, Hi: 60}, unit.Interval{Lo: 30, Hi: 50}},
	{"split", unit.Interval{Lo: 80, Hi: 100}, unit.Interval{Lo: 0, Hi: 25}},
	{"profile", unit.Interval{Lo: 100, Hi: 135}, unit.Interval{Lo: 0, Hi: 35}},
}

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
}

type patternForm struct {
	source.Places
	Is    string     `yaml:"is,required"`
	Side  string     `yaml:"side,omitempty"`
	Slack unit.Angle `yaml:"slack,omitempty"`
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
	if f.Side != "" {
		g.side, err = oneOf("side", f.Side, []string{"left", "right"})
	}
	return g, err
}

func (g *patternGoal) Validate(*Brief) error {
	if g.slack < 0 || g.slack > 45 {
		return fmt.Errorf("slack lies between 0 deg and 45 deg")
	}
	return nil
}

func (g *patternGoal) Written() string {
	name := patternNames[g.at].word
	if g.side == "" && g.slack == 0 {
		return name
	}
	keys := []string{"is: " + name}
	if g.side != "" {
		keys = append(keys, "side: "+g.side)
	}
	if g.slack > 0 {
		keys = append(keys, "slack: "+exact(unit.Angle(g.slack)*unit.Degree))
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

func (g *patternGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}
func (g *patternGoal) Reads() Aspect { return Pose(inventory.Key) }

// wanted is the angle from the nose, positive on the wanted side, and the elevation.
func (g *patternGoal) wanted() (angle, elevation unit.Interval) {
	p := patternNames[g.at]
	angle, elevation = p.angle, p.elevation
	angle.Lo, angle.Hi = angle.Lo-g.slack, angle.Hi+g.slack
	elevation.Lo, elevation.Hi = elevation.Lo-g.slack, elevation.Hi+g.slack
	if angle.Lo <= 0 && g.side == "" {
		angle = atMost(angle.Hi) // straight ahead is the middle of it, not its edge
	}
	return angle, elevation
}

func (g *patternGoal) Judge(r *Reading, out []Part) []Part {
	key := &r.Lights[inventory.Key]
	angle, elevation := g.wanted()
	got := key.FromFace
	switch g.side {
	case "":
		got = got.Abs()
	case "left":
		got = got.Neg()
	}
	return lightParts(r, inventory.Key, out,
		Part{What: "key from the nose", Got: got, Want: angle, Unit: InDegrees, Fine: 3},
		Part{What: "above the eyes", Got: key.Elevation, Want: elevation, Unit: InDegrees, Fine: 3})
}

func (g *patternGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	if p.What == "above the eyes" {
		return short("the height of the key above the eyes", p)
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
	for _, at := range []int{g.at - 1, g.at + 1} {
		if at >= 0 && at < len(patternNames) {
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
