package constraints

import (
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "even-background",
	Doc: Doc{
		Group: "tone",
		Title: "the background is of one tone",
		Text: `The stops between the brightest and the darkest point of the backdrop inside the frame, all lights and the
bounce of the room summed. If nothing is written, at most 0.4 stops; 0.2 is what people aim for on white paper (from
memory). One light near the paper makes a spot: a light farther away is more even, and so is a large one.`,
		Example: "even-background: {at most: 0.4 stops}",
		Words:   []string{"even", "flat background", "evenly lit", "uniform", "no hot spot", "seamless", "evenness"},
	},
	Read: readEvenBackground,
})

const usualSpread unit.Stops = 0.4

type evenBackgroundGoal struct {
	Plain
	want unit.Range[unit.Stops]
}

func readEvenBackground(n source.Node) (Requirement, error) {
	if yes(n) {
		return &evenBackgroundGoal{want: unit.AtMost(usualSpread)}, nil
	}
	want, err := readRange[unit.Stops](n)
	if want.Lo == want.Hi { // "0.3 stops" can only mean "at most"
		want = unit.AtMost(want.Hi)
	}
	return &evenBackgroundGoal{want: want}, err
}

func (g *evenBackgroundGoal) Validate(*Brief) error {
	return inside("the spread of the background", g.want, 0, 12)
}
func (g *evenBackgroundGoal) Written() string { return limitText(g.want) }

func (g *evenBackgroundGoal) Roles() (need, may []inventory.Role) {
	return nil, []inventory.Role{inventory.Background}
}

func (g *evenBackgroundGoal) Reads() Aspect {
	return OnSpill | OnBounce | OnBackdrop | OnDepth | Level(inventory.Background) | Pose(inventory.Background)
}

func (g *evenBackgroundGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: r.Spread, Want: g.want.Interval(), Unit: InStep, Fine: 0.1})
}

func (g *evenBackgroundGoal) Because(_ *Reading, p Part) string {
	return short("the spread from the darkest to the brightest point of the background", p)
}

func (g *evenBackgroundGoal) Relax(b *Bench) iter.Seq[Change] {
	out := loosened(g, "the spread of the background", g.want, InStep, func(to unit.Range[unit.Stops]) Requirement { return &evenBackgroundGoal{want: to} }, 0.2, 0.5, 1)
	out = append(append(out, deeper(b)...), tighterFrameAsked(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *evenBackgroundGoal) Wants(*Bench) []Want {
	return []Want{{"spread of the background", g.want.Interval(), "a background that varies by " + ShowRange(g.want.Interval(), InStep)}}
}

// Amounts lets the background vary more, or less, by tenths of a stop.
func (g *evenBackgroundGoal) Amounts(b *Bench) []Amount {
	with := func(r unit.Interval) Requirement { return &evenBackgroundGoal{want: stopsOf(r)} }
	return append(ends(g, "the spread of the background", g.want.Interval(), 0, 12, 0.1, InStep, with, "let the background vary by %s"), depthAmount(b)...)
}
