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
	Name: "separation",
	Doc: Doc{
		Group: "tone",
		Title: "the hair stands out from the background",
		Text: `The difference in tone between the edge of the hair and the backdrop right beside it as the camera sees it,
on the left, on the right or on both (side; both if not written), either way round: light hair on dark or dark on
light. All lights and the bounce of the room count on both. At least 1.5 stops if not written; 1 stop is seen, 1.5 is
clear (from memory). Hair reflects 4 % (dark), 8 % (brown; taken if the brief does not say), 25 % (fair), 35 % (grey)
or as skin 36 % (none), all from memory.`,
		Example: "separation: {side: both, at least: 1.5 stops}",
		Words:   []string{"dark hair on dark", "hair merges", "outline", "stand out", "edge", "hair against background", "lift the hair"},
	},
	Read: readSeparation,
})

const usualSeparation unit.Stops = 1.5

type separationGoal struct {
	Plain
	side  string
	least unit.Stops
}

type separationForm struct {
	source.Places
	Side    string     `yaml:"side,omitempty"`
	AtLeast unit.Stops `yaml:"at least,omitempty"`
}

func readSeparation(n source.Node) (Requirement, error) {
	g := &separationGoal{side: "both", least: usualSeparation}
	if yes(n) {
		return g, nil
	}
	if n.Kind() == source.Scalar {
		if want, err := readRange[unit.Stops](n); err == nil {
			g.least = want.Lo
			return g, nil
		}
		var err error
		g.side, err = oneOf("side", n.Text(), []string{"both", "left", "right"})
		return g, err
	}
	var f separationForm
	err := n.Decode(&f)
	if err != nil {
		return nil, err
	}
	if f.Wrote("at least") {
		g.least = f.AtLeast
	}
	if f.Side != "" {
		g.side, err = oneOf("side", f.Side, []string{"both", "left", "right"})
	}
	return g, err
}

func (g *separationGoal) Validate(*Brief) error {
	if !(g.least > 0 && g.least <= 8) {
		return fmt.Errorf("at least is above 0 stops and at most 8 stops")
	}
	return nil
}

func (g *separationGoal) Written() string {
	return keyed(pair{"side", g.side}, pair{"at least", unsigned(g.least)})
}

func (g *separationGoal) Roles() (need, may []inventory.Role) {
	may = []inventory.Role{inventory.Background}
	if g.side != "right" {
		may = append(may, inventory.RimLeft)
	}
	if g.side != "left" {
		may = append(may, inventory.RimRight)
	}
	return nil, may
}

func (g *separationGoal) Reads() Aspect {
	return OnSpill | OnBounce | OnEdges | OnBackdrop | OnDepth | OnLens | OnFrame | everyLight(Level) | everyLight(Pose)
}

func (g *separationGoal) Judge(r *Reading, out []Part) []Part {
	part := func(what string, hair, beside unit.Interval) {
		out = append(out, Part{What: what, Got: less(hair, beside).Abs(), Want: atLeast(float64(g.least)), Unit: InStep, Fine: 0.2})
	}
	if g.side != "right" {
		part("left", r.HairLeft, r.BesideLeft)
	}
	if g.side != "left" {
		part("right", r.HairRight, r.BesideRight)
	}
	return out
}

func (g *separationGoal) Because(_ *Reading, p Part) string {
	return short("the step in tone between the "+p.What+" edge of the hair and the background beside it", p)
}

func (g *separationGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, to := range []unit.Stops{1.25, 1, 0.7} {
		if to < g.least {
			out = append(out, weaker(g, &separationGoal{side: g.side, least: to}, 1+1.5*float64(i), "let the hair stand out by only %s", size(float64(to), InStops)))
		}
	}
	if g.side == "both" {
		for _, side := range []string{"left", "right"} {
			out = append(out, weaker(g, &separationGoal{side: side, least: g.least}, 3, "let only the %s edge of the hair stand out", side))
		}
	}
	out = append(append(out, deeper(b)...), moreLights(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// Amounts lets the hair stand out by less, by tenths of a stop.
func (g *separationGoal) Amounts(b *Bench) []Amount {
	least := tidy(float64(g.least))
	return append(moved(g, "step from hair to background", least, min(0.1, least), 0.1, inUnit(InStep), worded("let the hair stand out by only %s", InStep), 1,
		func(x float64) Requirement { return &separationGoal{side: g.side, least: unit.Stops(x)} }), depthAmount(b)...)
}
