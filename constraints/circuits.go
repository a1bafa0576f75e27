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
	Name: "circuits",
	Doc: Doc{
		Group: "practical",
		Title: "the heads do not trip the breaker",
		Text: `The draw on the fullest circuit of the studio as a share of its rating, with the heads shared out among the
circuits as well as may be: at most 80 % if not written, which leaves room for the computer and the kettle (the rule for
continuous load in the US, NFPA 70, 210.20(A); elsewhere a habit). A flash counts with its nameplate current, or with
what refilling its energy in its recycling time takes at 75 % efficiency (common practice, no source), and its
modelling lamp with its watts; a head on a battery draws nothing. Local codes and the maker's manual go first.`,
		Example: "circuits: {at most: 80 %}",
		Words:   []string{"breaker", "fuse", "sockets", "power draw", "amps", "electricity", "watts", "tripped"},
	},
	Read: readCircuits,
})

type circuitsGoal struct {
	Plain
	most unit.Share
}

type circuitsForm struct {
	source.Places
	AtMost unit.Share `yaml:"at most,required"`
}

func readCircuits(n source.Node) (Requirement, error) {
	if yes(n) {
		return &circuitsGoal{most: circuitShare}, nil
	}
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Share](n)
		return &circuitsGoal{most: want.Hi}, err
	}
	var f circuitsForm
	err := n.Decode(&f)
	return &circuitsGoal{most: f.AtMost}, err
}

func (g *circuitsGoal) Validate(*Brief) error {
	if !(g.most > 0 && g.most <= 1) {
		return fmt.Errorf("at most is above 0 %% and at most 100 %%")
	}
	return nil
}

func (g *circuitsGoal) Written() string { return "{at most: " + exact(g.most) + "}" }
func (g *circuitsGoal) Reads() Aspect   { return everyLight(Gear) | OnKit }

func (g *circuitsGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "fullest circuit", Got: r.Load, Want: atMost(float64(g.most)), Unit: InShare, Fine: 0.05})
}

// mostHeadTypes is how many types of head are looked at together; of more each is looked
// at alone.
const mostHeadTypes = 8

// Rules: heads that the circuits do not carry together, alone, in pairs or in threes.
func (g *circuitsGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		heads := b.Studio.Shelf().Heads
		deepest := 3
		if len(heads) > mostHeadTypes {
			deepest = 1
		}
		var picks []Pick
		var chosen []*inventory.Head
		var grow func(from inventory.Role) bool
		grow = func(from inventory.Role) bool {
			for r := from; r < inventory.NumRoles; r++ {
				for _, h := range heads {
					picks, chosen = append(picks, Pick{RoleSlot(r, "head"), h.ID}), append(chosen, h)
					if load := fullest(b.Studio, chosen); load > float64(g.most) {
						if !yield(Rule{If: slices.Clone(picks), Why: g.why(chosen, load)}) {
							return false
						}
					} else if len(chosen) < deepest && !grow(r+1) {
						return false
					}
					picks, chosen = picks[:len(picks)-1], chosen[:len(chosen)-1]
				}
			}
			return true
		}
		grow(0)
	}
}

func (g *circuitsGoal) why(heads []*inventory.Head, load float64) string {
	var names []string
	for _, h := range heads {
		names = append(names, "the "+h.Label())
	}
	slices.Sort(names)
	return fmt.Sprintf("With %s the fullest circuit carries %s of its rating, and at most %s is wanted.", strings.Join(names, " and "),
		floor(load, InShare, float64(g.most)), Asked(float64(g.most), InShare))
}

func (g *circuitsGoal) Because(_ *Reading, p Part) string {
	return short("the load of the fullest circuit", p)
}

func (g *circuitsGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, to := range []unit.Share{0.9, 1} {
		if to > g.most {
			out = append(out, weaker(g, &circuitsGoal{most: to}, 4+float64(i), "load a circuit to %s and plug in nothing else", to))
		}
	}
	if len(b.Studio.Room.Circuits) > 0 {
		out = append(out, Change{Text: "lay a cable from one more circuit like the first", Cost: "5 min", Minor: 2, Apply: func(_ *Brief, s *inventory.Studio) {
			more := s.Room.Circuits[0]
			more.Name = ""
			s.Room.Circuits = append(slices.Clone(s.Room.Circuits), more)
		}})
	}
	out = append(out, Change{Text: "mind no circuits", Cost: nothing, Minor: 8, Apply: drop(g)})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts loads a circuit fuller, by whole per cents.
func (g *circuitsGoal) Amounts(*Bench) []Amount {
	return moved(g, "load of a circuit", float64(g.most), 1, 0.01, inUnit(InShare), worded("load a circuit to %s and plug in nothing else", InShare), 4,
		func(x float64) Requirement { return &circuitsGoal{most: unit.Share(x)} })
}
