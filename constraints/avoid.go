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
	Name: "avoid",
	Doc: Doc{
		Group:   "practical",
		Title:   "a piece of kit that must not be used",
		Text:    `The item with this id takes no part; with as, not in that light.`,
		Example: "avoid: {item: octabox-120}",
		Words:   []string{"without", "not", "exclude", "forbid", "broken", "leave out"},
	},
	Read: readAvoid,
})

type avoidGoal struct {
	Plain
	item inventory.ID
	as   string
}

func readAvoid(n source.Node) (Requirement, error) {
	f, err := readItem(n)
	return &avoidGoal{item: f.Item, as: f.As}, err
}

func (g *avoidGoal) Validate(*Brief) error {
	if g.item == "" {
		return fmt.Errorf("item: name a piece of kit by its id")
	}
	return nil
}

func (g *avoidGoal) Written() string { return itemText(g.item, g.as) }

func (g *avoidGoal) CheckStudio(s *inventory.Studio) error {
	_, err := classOf(s, g.item)
	return err
}

func (g *avoidGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		class, item, ok := b.Studio.Find(g.item)
		if !ok {
			return
		}
		for _, slot := range slotsOf(class, g.as) {
			rule := Rule{If: []Pick{{slot, g.item}}, Why: fmt.Sprintf("The brief leaves out the %s%s.", item.Label(), asRole(g.as))}
			if !yield(rule) {
				return
			}
		}
	}
}

func (g *avoidGoal) words() string { return (&useGoal{item: g.item, as: g.as}).words() }

func (g *avoidGoal) Say([]Part) string { return g.words() }

func (g *avoidGoal) Because(*Reading, Part) string {
	return fmt.Sprintf("The brief leaves out %s.", g.words())
}

func (g *avoidGoal) Relax(*Bench) iter.Seq[Change] {
	return slices.Values([]Change{{Text: fmt.Sprintf("allow %s", g.words()), Cost: nothing, Minor: 3, Apply: drop(g)}})
}

func (g *avoidGoal) Wants(*Bench) []Want {
	if g.as != "" {
		return []Want{{"use of " + g.words(), unit.Point(0), g.words() + " left out"}}
	}
	return []Want{{"use of " + string(g.item), unit.Point(0), string(g.item) + " left out"}}
}
