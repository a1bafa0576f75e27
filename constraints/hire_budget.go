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

// Limits on what is hired together: of more items, or more ways to go over the sum, nothing
// is said beforehand.
const (
	mostTogether = 4
	mostDear     = 400
)

// A rental is an item with a day rate in a slot.
type rental struct {
	pick Pick
	item *inventory.Item
}

// Rules: items that cost more than all may, alone or with others and none of them too many.
func (g *hireBudgetGoal) Rules(b *Bench) iter.Seq[Rule] {
	var slots []Slot
	offers := map[Slot][]rental{}
	roles := lit(b.Brief.Goals)
	for t := range b.Studio.Things() {
		item := inventory.ItemOf(t)
		if item.DayRate <= 0 {
			continue
		}
		class, _, _ := b.Studio.Find(item.ID)
		all := slotsOf(class, "") // of every role, or one
		for i, slot := range all {
			if len(all) > 1 && !slices.Contains(roles, inventory.Role(i)) {
				continue
			}
			if offers[slot] == nil {
				slots = append(slots, slot)
			}
			offers[slot] = append(offers[slot], rental{Pick{slot, item.ID}, item})
		}
	}
	return func(yield func(Rule) bool) {
		said := 0
		var chosen []rental
		// take goes through sets of n items from slots on; false once no more are wanted.
		var take func(n, from int, sum unit.Money) bool
		take = func(n, from int, sum unit.Money) bool {
			if n == 0 {
				if !g.exceeded(sum) || slices.ContainsFunc(chosen, func(r rental) bool { return g.exceeded(sum - r.item.DayRate) }) {
					return true
				}
				said++
				return yield(g.over(chosen, sum)) && said < mostDear
			}
			for i := from; i < len(slots); i++ {
				for _, r := range offers[slots[i]] {
					if n > 1 && g.exceeded(sum+r.item.DayRate) {
						continue // too dear with fewer
					}
					chosen = append(chosen, r)
					more := take(n-1, i+1, sum+r.item.DayRate)
					chosen = chosen[:len(chosen)-1]
					if !more {
						return false
					}
				}
			}
			return true
		}
		for n := 1; n <= mostTogether && take(n, 0, 0); n++ {
		}
	}
}

// exceeded reports whether a sum is too much in whatever order it was added up.
func (g *hireBudgetGoal) exceeded(sum unit.Money) bool { return sum > g.most*(1+1e-9) }

// over is the rule that some items are too dear together.
func (g *hireBudgetGoal) over(items []rental, sum unit.Money) Rule {
	var r Rule
	var names []string
	for _, x := range items {
		r.If = append(r.If, x.pick)
		names = append(names, "the "+x.item.Label())
	}
	slices.Sort(names)
	if len(names) == 1 {
		r.Why = fmt.Sprintf("%s alone costs %s a day, and at most %s is to be spent.", upper(names[0]), sum, g.most)
	} else {
		r.Why = fmt.Sprintf("Together %s cost %s a day, and at most %s is to be spent.", strings.Join(names, " and "), sum, g.most)
	}
	return r
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
