package constraints

import (
	"fmt"
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/source/spell"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "use",
	Doc: Doc{
		Group: "practical",
		Title: "a piece of kit that must be used",
		Text: `The item with this id takes part: a body, a lens, a backdrop, or a head, modifier, grid, gel, stand or boom of
any light; with as, of that light. Cards and triggers are not placed, so they cannot be asked for.`,
		Example: "use: {item: strip-30x120, as: rim-left}",
		Words:   []string{"with", "require", "item", "favourite", "favorite", "my"},
	},
	Read: readUse,
})

type useGoal struct {
	Plain
	item inventory.ID
	as   string // a role, or empty
}

type useForm struct {
	source.Places
	Item inventory.ID `yaml:"item,required"`
	As   string       `yaml:"as,omitempty"`
}

func readUse(n source.Node) (Requirement, error) {
	f, err := readItem(n)
	return &useGoal{item: f.Item, as: f.As}, err
}

func readItem(n source.Node) (useForm, error) {
	var f useForm
	if w, ok := word(n); ok {
		f.Item = inventory.ID(w)
		return f, nil
	}
	if err := n.Decode(&f); err != nil {
		return f, err
	}
	if f.As != "" {
		var names []string
		for r := range allRoles() {
			names = append(names, r.String())
		}
		for i, name := range names {
			if normal(name) == normal(f.As) {
				f.As = names[i]
				return f, nil
			}
		}
		_, err := oneOf("light", f.As, names)
		return f, err
	}
	return f, nil
}

func (g *useGoal) Validate(*Brief) error {
	if g.item == "" {
		return fmt.Errorf("item: name a piece of kit by its id")
	}
	return nil
}

func (g *useGoal) Written() string { return itemText(g.item, g.as) }

func itemText(item inventory.ID, as string) string {
	if as == "" {
		return "{item: " + string(item) + "}"
	}
	return fmt.Sprintf("{item: %s, as: %s}", item, as)
}

// CheckStudio finds an item that the studio does not have, or that is never placed.
func (g *useGoal) CheckStudio(s *inventory.Studio) error {
	class, err := classOf(s, g.item)
	if err != nil {
		return err
	}
	if len(slotsOf(class, g.as)) == 0 {
		if g.as != "" {
			return fmt.Errorf("%q is a %s, which is no part of a light", g.item, class)
		}
		return fmt.Errorf("%q is a %s; falloff does not place those, so it cannot be asked for", g.item, class)
	}
	return nil
}

func classOf(s *inventory.Studio, item inventory.ID) (string, error) {
	class, _, ok := s.Find(item)
	if ok {
		return class, nil
	}
	ids := make([]string, 0, len(s.Shelf().IDs))
	for _, id := range s.Shelf().IDs {
		ids = append(ids, string(id))
	}
	if near, ok := spell.Nearest(string(item), ids); ok {
		return "", fmt.Errorf("the studio has no %q; did you mean %q?", cut(string(item)), near)
	}
	return "", fmt.Errorf("the studio has no %q", cut(string(item)))
}

// slotsOf lists the slots that an item of a class can fill; as narrows them to one light.
func slotsOf(class, as string) []Slot {
	switch class {
	case "camera", "lens", "backdrop":
		if as == "" {
			return []Slot{Slot(class)}
		}
	case "head", "modifier", "grid", "gel", "stand", "boom":
		var out []Slot
		for r := range allRoles() {
			if as == "" || as == r.String() {
				out = append(out, RoleSlot(r, class))
			}
		}
		return out
	}
	return nil
}

func (g *useGoal) Roles() (need, may []inventory.Role) {
	if r, ok := inventory.RoleByName(g.as); ok {
		return []inventory.Role{r}, nil
	}
	return nil, nil
}

func (g *useGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		class, item, ok := b.Studio.Find(g.item)
		if !ok {
			return
		}
		rule := Rule{Why: fmt.Sprintf("The brief asks for the %s%s.", item.Label(), asRole(g.as))}
		for _, slot := range slotsOf(class, g.as) {
			rule.Need = append(rule.Need, Pick{slot, g.item})
		}
		yield(rule)
	}
}

func asRole(as string) string {
	if as == "" {
		return ""
	}
	return " as " + as
}

func (g *useGoal) Say([]Part) string { return g.words() }

func (g *useGoal) words() string {
	if g.as != "" {
		return fmt.Sprintf("%s as %s", g.item, g.as)
	}
	return string(g.item)
}

func (g *useGoal) Because(*Reading, Part) string {
	return fmt.Sprintf("The brief asks for %s.", g.words())
}

func (g *useGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	if g.as != "" {
		out = append(out, weaker(g, &useGoal{item: g.item}, 2, "let %s be used for any light", g.item))
	}
	out = append(out, Change{Text: fmt.Sprintf("do without %s", g.words()), Cost: nothing, Minor: 4, Apply: drop(g)})
	return slices.Values(out)
}

func (g *useGoal) Wants(b *Bench) []Want {
	wants := []Want{{"use of " + string(g.item), atLeast(1), g.words() + " used"}}
	if g.as != "" {
		wants = append(wants, Want{"use of " + g.words(), atLeast(1), g.words()})
	}
	if b.Studio == nil {
		return wants
	}
	class, _, _ := b.Studio.Find(g.item)
	if one := slotsOf(class, g.as); len(one) == 1 { // only one item fits a slot
		at, _ := slices.BinarySearch(b.Studio.Shelf().IDs, g.item)
		wants = append(wants, Want{"item in " + string(one[0]), unit.Point(float64(at)), g.words()})
	}
	return wants
}
