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
	Name: "light-kind",
	Doc: Doc{
		Group: "practical",
		Title: "flash or continuous light",
		Text: `Every light that is used is a flash, or every one is a lamp that may light a picture. Flash counts once and
stops movement; continuous light counts with the shutter and shows itself as it will be.`,
		Example: "light-kind: flash",
		Words:   []string{"flash", "strobe", "continuous", "led", "tungsten", "constant light", "lamp"},
		Values:  []string{"flash", "continuous"},
	},
	Read: readLightKind,
})

type lightKindGoal struct {
	Plain
	flash bool
	_     int // requirements are told apart by their address
}

func readLightKind(n source.Node) (Requirement, error) {
	w, _ := word(n)
	known, err := oneOf("kind of light", w, []string{"flash", "continuous"})
	return &lightKindGoal{flash: known == "flash"}, err
}

func (g *lightKindGoal) Written() string {
	if g.flash {
		return "flash"
	}
	return "continuous"
}

// Items of the light slot.
const (
	flashLight inventory.ID = "flash"
	lampLight  inventory.ID = "lamp"
)

func (g *lightKindGoal) Rules(*Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		other, why := lampLight, "The brief asks for flash only."
		if !g.flash {
			other, why = flashLight, "The brief asks for continuous light only."
		}
		for r := range allRoles() {
			if !yield(Rule{If: []Pick{{RoleSlot(r, "light"), other}}, Why: why}) {
				return
			}
		}
	}
}

func (g *lightKindGoal) Reads() Aspect { return everyLight(Gear) }

func (g *lightKindGoal) Judge(r *Reading, out []Part) []Part {
	want := atLeast(1)
	if !g.flash {
		want = atMost(0)
	}
	return usedLights(r, out, func(l *LightReading) Part { return Part{Got: l.Flash, Want: want, Unit: InCount} })
}

func (g *lightKindGoal) Say(parts []Part) string {
	var wrong, open []string
	for _, p := range parts {
		switch {
		case p.Fails():
			wrong = append(wrong, p.What)
		case !p.Holds():
			open = append(open, p.What)
		}
	}
	if len(wrong) > 0 {
		return fmt.Sprintf("not so: %s (wanted %s)", strings.Join(wrong, ", "), g.Written())
	}
	if len(open) > 0 {
		return "not known: " + strings.Join(open, ", ")
	}
	if len(parts) == 1 {
		return "the one light is " + g.Written()
	}
	return fmt.Sprintf("all %d lights are %s", len(parts), g.Written())
}

func (g *lightKindGoal) Because(_ *Reading, p Part) string {
	if g.flash {
		return fmt.Sprintf("The %s is continuous light, and the brief asks for flash only.", p.What)
	}
	return fmt.Sprintf("The %s is flash, and the brief asks for continuous light only.", p.What)
}

func (g *lightKindGoal) Relax(*Bench) iter.Seq[Change] {
	both := "allow continuous light as well"
	if !g.flash {
		both = "allow flash as well"
	}
	return slices.Values([]Change{
		{Text: both, Cost: nothing, Minor: 3, Apply: drop(g)},
		weaker(g, &lightKindGoal{flash: !g.flash}, 5, "light it all by %s", map[bool]string{true: "continuous light", false: "flash"}[g.flash]),
	})
}

func (g *lightKindGoal) Wants(*Bench) []Want {
	if g.flash {
		return []Want{{"kind of light", unit.Point(1), "flash only"}}
	}
	return []Want{{"kind of light", unit.Point(0), "continuous light only"}}
}
