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
	Name: "hire-budget",
	Doc: Doc{
		Group: "practical",
		Title: "what is hired for the day stays within a sum",
		Text: `The day rates of all kit that a set-up uses, added up, in the currency of the studio file. Kit of one's own
has no day_rate and costs nothing. A hire list is a studio file whose items have one.`,
		Example: "hire-budget: {at most: 60}",
		Words:   []string{"budget", "rental", "rent", "cost", "money", "price", "day rate"},
	},
	Read: readHireBudget,
})

type hireBudgetGoal struct {
	Plain
	most unit.Money
}

type hireBudgetForm struct {
	source.Places
	AtMost unit.Money `yaml:"at most,required"`
}

func readHireBudget(n source.Node) (Requirement, error) {
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Money](n)
		return &hireBudgetGoal{most: want.Hi}, err
	}
	var f hireBudgetForm
	err := n.Decode(&f)
	return &hireBudgetGoal{most: f.AtMost}, err
}

func (g *hireBudgetGoal) Validate(*Brief) error {
	return inside("the sum", unit.Exactly(g.most), 0, 1e7)
}
func (g *hireBudgetGoal) Written() string { return "{at most: " + exact(g.most) + "}" }
func (g *hireBudgetGoal) Reads() Aspect {
	return everyLight(Gear) | OnLens | OnBackdrop | OnKit
}

func (g *hireBudgetGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.Hire, Want: atMost(float64(g.most)), Unit: InMoney})
}

// Rules: items that cost more than all may.
func (g *hireBudgetGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		for t := range b.Studio.Things() {
			item := inventory.ItemOf(t)
			if item.DayRate <= g.most {
				continue
			}
			class, _, _ := b.Studio.Find(item.ID)
			for _, slot := range slotsOf(class, "") {
				if !yield(Rule{If: []Pick{{slot, item.ID}}, Why: fmt.Sprintf("The %s alone costs %s a day, and at most %s is to be spent.", item.Label(), item.DayRate, g.most)}) {
					return
				}
			}
		}
	}
}

func (g *hireBudgetGoal) Because(_ *Reading, p Part) string { return short("the hire", p) }

func (g *hireBudgetGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	for i, f := range []unit.Money{1.25, 1.5, 2, 4} {
		to := unit.Money(figures(float64(g.most * f)))
		if g.most == 0 {
			to = []unit.Money{25, 50, 100, 200}[i]
		}
		c := weaker(g, &hireBudgetGoal{most: to}, 2+float64(i), "spend up to %s on hire", to)
		c.Cost = fmt.Sprintf("%s more", to-g.most)
		out = append(out, c)
	}
	return slices.Values(out)
}

func (g *hireBudgetGoal) Wants(*Bench) []Want {
	return []Want{{"hire", unit.Interval{Lo: 0, Hi: float64(g.most)}, fmt.Sprintf("a hire of at most %s", g.most)}}
}

// Amounts spends more, by whole units of the currency or by as much as is a thousandth of all
// that can be hired, up to that.
func (g *hireBudgetGoal) Amounts(b *Bench) []Amount {
	all := 0.0
	for t := range b.Studio.Things() {
		item := inventory.ItemOf(t)
		all += float64(item.DayRate) * float64(max(1, item.Count))
	}
	now := tidy(float64(g.most))
	if all <= now {
		return nil
	}
	step := math.Pow(10, max(0, math.Floor(math.Log10(all))-3))
	return []Amount{listed("sum for hire", now, toward(now, math.Ceil(all/step)*step, step), inUnit(InMoney), func(x float64) Change {
		to := unit.Money(x)
		c := weaker(g, &hireBudgetGoal{most: to}, 2, "spend up to %s on hire", to)
		c.Cost = fmt.Sprintf("%s more", to-g.most)
		return c
	})}
}
