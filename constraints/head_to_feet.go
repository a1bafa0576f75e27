package constraints

import (
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "head-to-feet",
	Doc: Doc{
		Group: "tone",
		Title: "the key is as bright on the shoes as on the face",
		Text: `How many stops less light of the key reaches the feet of a sitter who stands on the mark than the eyes, each
turned to the light: at most 0.7 stops if not written (from memory). Distance and a large face make it even, a grid and a
light near the head do not.`,
		Example: "head-to-feet: {at most: 0.7 stops}",
		Words:   []string{"full length", "even head to shoes", "shoes", "legs", "full body", "fashion"},
	},
	Read: readHeadToFeet,
})

const usualFeet unit.Stops = 0.7

type headToFeetGoal struct {
	Plain
	most unit.Stops
}

type headToFeetForm struct {
	source.Places
	AtMost unit.Stops `yaml:"at most,required"`
}

func readHeadToFeet(n source.Node) (Requirement, error) {
	if yes(n) {
		return &headToFeetGoal{most: usualFeet}, nil
	}
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Stops](n)
		return &headToFeetGoal{most: want.Hi}, err
	}
	var f headToFeetForm
	err := n.Decode(&f)
	return &headToFeetGoal{most: f.AtMost}, err
}

func (g *headToFeetGoal) Validate(*Brief) error {
	return inside("at most", unit.Exactly(g.most), 0, 8)
}
func (g *headToFeetGoal) Written() string { return "{at most: " + unsigned(g.most) + "}" }

func (g *headToFeetGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}
func (g *headToFeetGoal) Reads() Aspect { return Pose(inventory.Key) | Gear(inventory.Key) | OnFeet }

func (g *headToFeetGoal) Judge(r *Reading, out []Part) []Part {
	return lightParts(r, inventory.Key, out, Part{What: "feet darker by", Got: r.Feet, Want: atMost(float64(g.most)), Unit: InStep, Fine: 0.1})
}

func (g *headToFeetGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	return short("the step of the key from the eyes down to the feet", p)
}

func (g *headToFeetGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Stops{0.3, 0.8, 1.5} {
		w := &headToFeetGoal{most: unit.Stops(tidy(float64(g.most + d)))}
		if w.most <= 8 {
			out = append(out, weaker(g, w, 1+1.5*float64(i), "let the feet be %s darker", size(float64(w.most), InStops)))
		}
	}
	out = append(append(out, tighterFrameAsked(b)...), largerBox(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts lets the feet be darker, by tenths of a stop.
func (g *headToFeetGoal) Amounts(*Bench) []Amount {
	return moved(g, "step down to the feet", tidy(float64(g.most)), 8, 0.1, inUnit(InStep), worded("let the feet be %s darker", InStep), 1,
		func(x float64) Requirement { return &headToFeetGoal{most: unit.Stops(x)} })
}
