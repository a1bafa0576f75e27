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
	Name: "hard",
	Doc: Doc{
		Group: "shape",
		Title: "one hard light: a sharp edge of shadow, and only one",
		Text: `The key fills at most 7 deg as the sitter sees it (D/d 0.12; key: another angle), and no second light opens
or doubles its shadow: a fill and the bounce of the room each lie at least 2 stops under it (second; both from memory).
"soft: hard" asks for the size alone.`,
		Example: "hard: {key: at most 7 deg, second: at least 2 stops}",
		Words:   []string{"hard light", "old film", "hollywood", "fresnel look", "single shadow", "crisp shadow", "bare bulb", "noir"},
	},
	Read: readHard,
})

type hardGoal struct {
	Plain
	key    unit.Range[unit.Angle]
	second unit.Stops // at least so far under the key
}

type hardForm struct {
	source.Places
	Key    unit.Range[unit.Angle] `yaml:"key,omitempty"`
	Second unit.Range[unit.Stops] `yaml:"second,omitempty"`
}

func readHard(n source.Node) (Requirement, error) {
	g := &hardGoal{key: unit.AtMost(7 * unit.Degree), second: 2}
	if yes(n) {
		return g, nil
	}
	if n.Kind() == source.Scalar {
		key, err := readRange[unit.Angle](n)
		g.key = key
		return g, err
	}
	var f hardForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("key") {
		g.key = f.Key
	}
	if f.Wrote("second") {
		g.second = f.Second.Lo
	}
	return g, nil
}

func (g *hardGoal) Validate(*Brief) error {
	if math.IsInf(float64(g.key.Hi), 0) {
		return fmt.Errorf("key needs an upper end, as in at most 7 deg")
	}
	if !(g.second > -5 && g.second < 12) {
		return fmt.Errorf("second is written as in at least 2 stops, and lies between -5 stops and 12 stops")
	}
	return inside("key", g.key, 0.1*unit.Degree, 150*unit.Degree)
}

func (g *hardGoal) Written() string {
	return keyed(pair{"key", rangeText(g.key)}, pair{"second", "at least " + unsigned(g.second)})
}

func (g *hardGoal) Roles() (need, may []inventory.Role) { return []inventory.Role{inventory.Key}, nil }

func (g *hardGoal) Reads() Aspect {
	return Pose(inventory.Key) | Gear(inventory.Key) | Level(inventory.Key) | Level(inventory.Fill) | OnBounce
}

func (g *hardGoal) Judge(r *Reading, out []Part) []Part {
	key, fill := &r.Lights[inventory.Key], &r.Lights[inventory.Fill]
	under := atLeast(float64(g.second))
	parts := []Part{
		{What: "key", Got: key.Size, Want: degrees(g.key), Unit: InDegrees, Fine: 1},
		{What: "room under the key by", Got: less(key.Level, r.Bounce), Want: under, Unit: InStep, Fine: 0.2},
	}
	if fill.On.Hi >= 1 {
		gap := less(key.Level, fill.Level)
		if fill.On.Lo < 1 {
			gap.Hi = math.Inf(1) // there may be none
		}
		parts = append(parts, Part{What: "fill under the key by", Got: gap, Want: under, Unit: InStep, Fine: 0.2})
	}
	return lightParts(r, inventory.Key, out, parts...)
}

func (g *hardGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "key":
		return short("the key as the face sees it", p)
	case "fill under the key by":
		return short("the step from the key down to the fill", p)
	}
	return short("the step from the key down to the bounce of the room", p)
}

func (g *hardGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	v := degrees(g.key)
	n := 0
	for _, s := range []float64{8, 10, 13, 17, 25} {
		if s > v.Hi && n < 3 {
			w := &hardGoal{key: angles(unit.Interval{Lo: v.Lo, Hi: s}), second: g.second}
			out = append(out, weaker(g, w, float64(1+n), "let the key be as large as %s", Show(s, InDegrees)))
			n++
		}
	}
	for i, d := range []unit.Stops{1, 2} {
		w := &hardGoal{key: g.key, second: unit.Stops(tidy(float64(g.second - d)))}
		if w.second > -5 {
			out = append(out, weaker(g, w, 2+float64(i), "let other light on the face be only %s under the key", size(float64(w.second), InStops)))
		}
	}
	out = append(out, darkRoom(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *hardGoal) Wants(*Bench) []Want {
	return []Want{{"size of the key", degrees(g.key), "a hard key of " + ShowRange(degrees(g.key), InDegrees)}}
}

// Amounts moves the key's size by whole degrees, and lets other light come nearer to it by
// tenths of a stop.
func (g *hardGoal) Amounts(*Bench) []Amount {
	out := ends(g, "the key's size", degrees(g.key), 1, 150, 1, InDegrees,
		func(r unit.Interval) Requirement { return &hardGoal{key: angles(r), second: g.second} }, "let the key be %s across")
	show := func(x float64) string {
		switch {
		case x > 0:
			return Show(x, InStep) + " under the key"
		case x < 0:
			return Show(-x, InStep) + " over the key"
		}
		return "as bright as the key"
	}
	say := func(x float64) string { return "let other light on the face be " + show(x) }
	return append(out, moved(g, "other light under the key", tidy(float64(g.second)), -4.9, 0.1, show, say, 2,
		func(x float64) Requirement { return &hardGoal{key: g.key, second: unit.Stops(x)} })...)
}
