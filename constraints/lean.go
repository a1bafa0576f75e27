package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "lean",
	Doc: Doc{
		Group: "tone",
		Title: "the sitter may move and stays well exposed",
		Text: `By how much the key darkens on the face when the sitter leans away from it (by; 30 cm if not written): at
most half a stop (within; from memory). It is 2 log2(1 + by/distance), that of a point; a face near by falls a little
less: 1.2 stops at 60 cm, 0.9 at 80 cm, 0.64 at 1.2 m, 0.4 at 2 m (computed). A light that is near is soft and falls
fast; a larger one farther away is as soft and falls less.`,
		Example: "lean: {by: 30 cm, within: 0.5 stops}",
		Words:   []string{"free movement", "moving sitter", "children", "dancing", "fall-off on the face", "inverse square", "latitude"},
	},
	Read: readLean,
})

type leanGoal struct {
	Plain
	by     unit.Length
	within unit.Stops
}

type leanForm struct {
	source.Places
	By     unit.Length `yaml:"by,omitempty"`
	Within unit.Stops  `yaml:"within,omitempty"`
}

func readLean(n source.Node) (Requirement, error) {
	g := &leanGoal{by: 0.3, within: 0.5}
	if yes(n) {
		return g, nil
	}
	var f leanForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("by") {
		g.by = f.By
	}
	if f.Wrote("within") {
		g.within = f.Within
	}
	return g, nil
}

func (g *leanGoal) Validate(*Brief) error {
	if !(g.within > 0 && g.within <= 5) {
		return fmt.Errorf("within is above 0 stops and at most 5 stops")
	}
	return inside("by", unit.Exactly(g.by), 0.01, 2)
}

func (g *leanGoal) Written() string {
	return keyed(pair{"by", exact(g.by)}, pair{"within", unsigned(g.within)})
}

func (g *leanGoal) Roles() (need, may []inventory.Role) { return []inventory.Role{inventory.Key}, nil }
func (g *leanGoal) Reads() Aspect                       { return Pose(inventory.Key) }

func (g *leanGoal) Judge(r *Reading, out []Part) []Part {
	return lightParts(r, inventory.Key, out, Part{What: "key darker by", Got: fallFor(float64(g.by), r.Lights[inventory.Key].Distance),
		Want: atMost(float64(g.within)), Unit: InStep, Fine: 0.05})
}

func (g *leanGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	return fmt.Sprintf("The key would have to stand so near that the face is %s or more darker when the sitter leans back by %s, and at most %s is wanted.",
		floor(p.Got.Lo, InStep, p.Want.Hi), Asked(float64(g.by), InMetres), Asked(p.Want.Hi, InStep))
}

func (g *leanGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, to := range []unit.Length{0.2, 0.1, 0.05} {
		if to < g.by {
			out = append(out, weaker(g, &leanGoal{by: to, within: g.within}, 1+float64(i)/2, holdStill(b), Show(float64(to), InMetres)))
		}
	}
	for i, d := range []unit.Stops{0.2, 0.5, 1} {
		w := &leanGoal{by: g.by, within: unit.Stops(tidy(float64(g.within + d)))}
		if w.within <= 5 {
			out = append(out, weaker(g, w, 2+float64(i), "let the face be off by %s, and bracket", size(float64(w.within), InStops)))
		}
	}
	out = append(out, largerBox(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// holdStill is how a sitter is made to move less.
func holdStill(b *Bench) string {
	if b.Brief.Sitter.Seated {
		return "tape the mark of the stool and of the feet: %s of movement"
	}
	return "put the sitter on a stool and tape the mark: %s of movement"
}

// Amounts lets the sitter move less, by centimetres, and the face be off by more, by tenths
// of a stop.
func (g *leanGoal) Amounts(b *Bench) []Amount {
	out := moved(g, "room to move", tidy(float64(g.by)), 0.01, 0.01, inUnit(InMetres), worded(holdStill(b), InMetres), 1,
		func(x float64) Requirement { return &leanGoal{by: unit.Length(x), within: g.within} })
	return append(out, moved(g, "fall of the key when the sitter leans", tidy(float64(g.within)), 5, 0.1, inUnit(InStep), worded("let the face be off by %s, and bracket", InStep), 2,
		func(x float64) Requirement { return &leanGoal{by: g.by, within: unit.Stops(x)} })...)
}
