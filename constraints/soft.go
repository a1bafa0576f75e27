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
	Name: "soft",
	Doc: Doc{
		Group: "shape",
		Title: "how soft or hard the key is",
		Text: `The angle that the face of the key fills as the sitter sees it, a disc of equal area: twice the arctangent of
half of D/d, the width of the face over its distance. 30 deg is D/d 0.54, 8 deg 0.14. Words: hard at most 8 deg,
soft at least 25 deg, very soft at least 40 deg (from memory: D/d 0.05..0.15 is hard, 0.3..0.5 moderate, 0.6..1 soft).`,
		Example: "soft: {key: at least 30 deg}",
		Words:   []string{"hard", "very soft", "softness", "hard light", "soft light", "shadow edge", "diffuse", "beauty"},
		Values:  []string{"hard", "soft", "very soft"},
	},
	Read: readSoft,
})

type softWord struct {
	word string
	size unit.Range[unit.Angle]
}

var softWords = []softWord{
	{"hard", unit.AtMost(8 * unit.Degree)},
	{"soft", unit.AtLeast(25 * unit.Degree)},
	{"very soft", unit.AtLeast(40 * unit.Degree)},
}

type softGoal struct {
	Plain
	key unit.Range[unit.Angle]
}

type softForm struct {
	source.Places
	Key unit.Range[unit.Angle] `yaml:"key,required"`
}

func readSoft(n source.Node) (Requirement, error) {
	if yes(n) {
		return &softGoal{key: softWords[1].size}, nil
	}
	w, ok := word(n)
	if !ok {
		var f softForm
		err := n.Decode(&f)
		return &softGoal{key: f.Key}, err
	}
	var known []string
	for _, s := range softWords {
		known = append(known, s.word)
	}
	found, err := oneOf("softness", w, known)
	if err != nil {
		return nil, err
	}
	return &softGoal{key: softWords[slices.Index(known, found)].size}, nil
}

func (g *softGoal) Validate(*Brief) error {
	if v := degrees(g.key); v.Lo > 150 || v.Hi < 0.1 {
		return fmt.Errorf("key: a light fills between 0.1 deg and 150 deg")
	}
	return valid("key", g.key.Interval())
}

func (g *softGoal) Written() string {
	for _, s := range softWords {
		if s.size == g.key {
			return s.word
		}
	}
	return "{key: " + rangeText(g.key) + "}"
}

func (g *softGoal) Roles() (need, may []inventory.Role) { return []inventory.Role{inventory.Key}, nil }
func (g *softGoal) Reads() Aspect                       { return Pose(inventory.Key) | Gear(inventory.Key) }

func (g *softGoal) Judge(r *Reading, out []Part) []Part {
	return lightParts(r, inventory.Key, out,
		Part{What: "key", Got: r.Lights[inventory.Key].Size, Want: degrees(g.key), Unit: InDegrees, Fine: 2})
}

func (g *softGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	return short("the key as the face sees it", p)
}

func (g *softGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	v := degrees(g.key)
	offer := func(lo, hi, minor float64, format string, end float64) {
		w := &softGoal{key: angles(unit.Interval{Lo: lo, Hi: hi})}
		out = append(out, weaker(g, w, minor, format, Show(end, InDegrees)))
	}
	n := 0
	for _, s := range []float64{40, 35, 30, 25, 20, 15, 10} {
		if s < v.Lo && !math.IsInf(v.Lo, 0) && n < 3 {
			offer(s, v.Hi, float64(1+n), "let the key be as small as %s", s)
			n++
		}
	}
	n = 0
	for _, s := range []float64{8, 12, 16, 20, 30, 45} {
		if s > v.Hi && n < 3 {
			offer(v.Lo, s, float64(1+n), "let the key be as large as %s", s)
			n++
		}
	}
	if !math.IsInf(v.Lo, 0) {
		out = append(out, largerBox(b)...)
	}
	return slices.Values(out)
}

// largerBox offers the next common octabox that is larger than any soft face of the
// studio, with the mount of each head. Efficiency 40 % of the bare head, from memory.
func largerBox(b *Bench) []Change {
	var largest unit.Area
	for _, m := range b.Studio.Modifiers {
		largest = max(largest, unit.Area(m.Face.W*m.Face.H))
	}
	var mounts []string
	for _, h := range b.Studio.Heads {
		if !slices.Contains(mounts, h.Mount) {
			mounts = append(mounts, h.Mount)
		}
	}
	for _, d := range []unit.Length{0.9, 1.2, 1.5} {
		if octagon := unit.Area(d * d); octagon <= largest || len(mounts) == 0 {
			continue
		}
		name := fmt.Sprintf("octabox %s", strings.ReplaceAll(Show(float64(d), InMetres), " ", ""))
		return []Change{{Text: fmt.Sprintf("hire an octabox %s across", Show(float64(d), InMetres)), Cost: "a box to hire", Minor: 4, Apply: func(_ *Brief, s *inventory.Studio) {
			s.Modifiers = append(s.Modifiers, inventory.Modifier{
				Item: inventory.Item{ID: freshID(s, name), Name: "octabox " + Show(float64(d), InMetres), Count: 1, Mass: 2},
				Type: "octabox", Fits: mounts, Shape: "octagon", Face: unit.Size{W: d, H: d}, Depth: 0.5, Efficiency: 0.4,
			})
			s.Complete()
		}}}
	}
	return nil
}

func (g *softGoal) Wants(*Bench) []Want {
	return []Want{{"size of the key", degrees(g.key), "a key of " + ShowRange(degrees(g.key), InDegrees)}}
}

// Amounts moves either end by whole degrees.
func (g *softGoal) Amounts(*Bench) []Amount {
	with := func(r unit.Interval) Requirement { return &softGoal{key: angles(r)} }
	return ends(g, "the key's size", degrees(g.key), 1, 90, 1, InDegrees, with, "let the key be %s across")
}
