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
	Name: "rendition",
	Doc: Doc{
		Group: "colour",
		Title: "the key shows colours as they are",
		Text: `The general colour rendering index Ra of the key with its gel (CIE 13.3-1995), at least 90 if not written;
95 for make-up and cloth (from memory). A head whose spectrum the studio gives is judged by it. One that has only a
colour temperature is taken as Planck below 4000 K and daylight above, so its own Ra is near 100 whatever its maker says,
and only gels that shift colours are found: "falloff kit import" turns a measured spectrum into lines for the studio.`,
		Example: "rendition: {at least: 90}",
		Words:   []string{"cri", "ra", "colour rendering", "color rendering", "tm-30", "true colours", "skin tones"},
	},
	Read: readRendition,
})

type renditionGoal struct {
	Plain
	least float64
}

type renditionForm struct {
	source.Places
	AtLeast float64 `yaml:"at least,required"`
}

func readRendition(n source.Node) (Requirement, error) {
	if yes(n) {
		return &renditionGoal{least: 90}, nil
	}
	var f renditionForm
	err := n.Decode(&f)
	return &renditionGoal{least: f.AtLeast}, err
}

func (g *renditionGoal) Validate(*Brief) error {
	if !(g.least > 0 && g.least <= 100) {
		return fmt.Errorf("at least is above 0 and at most 100")
	}
	return nil
}

func (g *renditionGoal) Written() string { return fmt.Sprintf("{at least: %v}", g.least) }
func (g *renditionGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}
func (g *renditionGoal) Reads() Aspect { return Gear(inventory.Key) | OnKit }

func (g *renditionGoal) Judge(r *Reading, out []Part) []Part {
	return lightParts(r, inventory.Key, out, Part{What: "key", Got: r.Lights[inventory.Key].Rendition, Want: atLeast(g.least), Unit: InRa, Fine: 1})
}

// Rules: each head with each gel that shows colours worse.
func (g *renditionGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		sh := b.Studio.Shelf()
		for _, h := range sh.Heads {
			for _, gel := range append([]*inventory.Gel{nil}, sh.Gels...) {
				for _, lamp := range []bool{false, true} {
					if h.Kelvin(lamp) == 0 || lamp && !h.Lamp.Main {
						continue
					}
					ra := rendition(h, gel, lamp)
					if ra >= g.least {
						continue
					}
					kind, id, with := flashLight, None, ""
					if lamp {
						kind = lampLight
					}
					if gel != nil {
						id, with = gel.ID, " with the "+gel.Label()
					}
					if !yield(Rule{If: []Pick{{RoleSlot(inventory.Key, "head"), h.ID}, {RoleSlot(inventory.Key, "gel"), id}, {RoleSlot(inventory.Key, "light"), kind}},
						Why: fmt.Sprintf("The %s%s as key has Ra %.0f, and at least %v is wanted.", h.Label(), with, ra, g.least)}) {
						return
					}
				}
			}
		}
	}
}

func (g *renditionGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	return short("the colour rendering of the key", p)
}

func (g *renditionGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []float64{5, 15, 30} {
		if to := g.least - d; to > 0 {
			out = append(out, weaker(g, &renditionGoal{least: to}, 1+1.5*float64(i), "let the colour rendering be Ra %v", to))
		}
	}
	return slices.Values(out)
}

func (g *renditionGoal) Wants(*Bench) []Want {
	return []Want{{"colour rendering of the key", unit.Interval{Lo: g.least, Hi: 100}, fmt.Sprintf("Ra %v", g.least)}}
}

// Amounts lets colours be shown worse, by whole steps of Ra.
func (g *renditionGoal) Amounts(*Bench) []Amount {
	return moved(g, "colour rendering of the key", g.least, min(1, g.least), 1, inUnit(InRa), worded("let the colour rendering be %s", InRa), 1,
		func(x float64) Requirement { return &renditionGoal{least: x} })
}
