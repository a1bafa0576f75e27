package solver

import (
	"cmp"
	"context"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
)

// Survey is what a kit and a room can do of a list of looks.
type Survey struct {
	Looks  []*Surveyed
	Spares []Spare // what would break most if one piece of it failed, the worst first
}

// Surveyed is one look.
type Surveyed struct {
	Brief   *constraints.Brief
	Lacks   string // what the brief names and the studio does not have; then nothing was asked
	Outcome Outcome
	Setup   *Checked            // when Found; not proved to be the best
	Goals   []*constraints.Goal // when Cannot: that cannot all hold
	Open    string              // when Undecided
	Fails   []inventory.Thing   // with one piece less of any of these it is proved impossible
	Unsure  []inventory.Thing   // with one piece less of these it stays open
}

// Spare is an item of which one piece more would be good to have.
type Spare struct {
	Item   inventory.Thing
	Breaks []*Surveyed
}

// surveyFinds is how many set-ups of a look are compared where the first is fragile.
const surveyFinds = 3

// SurveyKit plans each look, and of each piece of kit that it uses up asks whether the look
// can still be had if one failed.
func SurveyKit(ctx context.Context, s *inventory.Studio, looks []*constraints.Brief, o Options) (*Survey, error) {
	out := &Survey{}
	bench := constraints.Bench{Studio: s, Bounces: constraints.Bounces{}, Flat: constraints.Flat{}, Places: constraints.Places{}} // they keep to the room
	breaks := map[inventory.ID][]*Surveyed{}
	for _, b := range looks {
		if o.Progress != nil {
			o.Progress(b.Name)
		}
		x, err := survey(ctx, bench, b, o)
		if err != nil {
			return nil, err
		}
		out.Looks = append(out.Looks, x)
		for _, t := range x.Fails {
			id := inventory.ItemOf(t).ID
			breaks[id] = append(breaks[id], x)
		}
	}
	for t := range s.Things() {
		if which := breaks[inventory.ItemOf(t).ID]; len(which) > 0 {
			out.Spares = append(out.Spares, Spare{t, which})
		}
	}
	slices.SortStableFunc(out.Spares, func(a, b Spare) int { return cmp.Compare(len(b.Breaks), len(a.Breaks)) })
	return out, nil
}

// survey is one look on a bench that is still without a brief.
func survey(ctx context.Context, bench constraints.Bench, b *constraints.Brief, o Options) (*Surveyed, error) {
	x := &Surveyed{Brief: b, Outcome: Cannot}
	if err := b.Bind(bench.Studio); err != nil {
		x.Lacks = err.Error()
		return x, nil
	}
	if o.Work == 0 {
		o.Work = packTries
	}
	bench.Brief = b
	q := inquire(ctx, &bench, o)
	q.left, q.efforts, q.near, q.patience, q.brisk = defaultWork, 1, 2, 0, true // many questions, none worth long
	q.l.content = notFragile
	a := q.plan(Options{Count: surveyFinds})
	x.Outcome, x.Open = a.Outcome, a.Open
	switch a.Outcome {
	case Found:
		x.Setup = a.Setups[0]
		q.failures(x, a.Setups[1:])
	case Cannot:
		x.Goals, _ = q.clash(nil)
	}
	return x, nil
}

// failures asks for each item of which a look uses all there are what happens with one less.
// Where another set-up that was found does with less, nothing need be asked.
func (q *inquiry) failures(x *Surveyed, others []*Checked) {
	s := q.l.bench.Studio
	q.beginAt(x.Setup)
	near := q.l.differences(x.Setup.Setup)
	for i, p := range pieces(s, x.Setup.Setup) { // in the order of the shelf for every set-up
		count := inventory.ItemOf(p.Item).Count
		if p.Pieces < count || other(s, others, i, count) != nil {
			continue
		}
		switch outcome, instead := q.without(p.Item, count-1, near); outcome {
		case Found:
			others = append(others, instead)
		case Cannot:
			x.Fails = append(x.Fails, p.Item)
		case Undecided:
			x.Unsure = append(x.Unsure, p.Item)
		}
	}
}
