package solver

import (
	"context"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// packTries caps the candidates that are looked at to settle whether a piece can be left.
const packTries = 8

// Packing is what to bring for a brief, and what can stay at home.
type Packing struct {
	Answer *Answer // its outcome, and its one set-up or its conflict
	Bring  []Packed
	Home   []Packed
}

// Packed is some pieces of one item.
type Packed struct {
	Item    inventory.Thing
	Pieces  int
	Without Outcome // of the brief with one piece less of what is brought
	Instead *Checked
}

// Pack plans for the fewest lights and says of each piece of kit that the set-up uses
// whether another set-up would do without it. All that it does not use can stay at home
// together; of what it uses, one piece at a time was taken away.
func Pack(ctx context.Context, s *inventory.Studio, b *constraints.Brief, o Options) (*Packing, error) {
	o.Count, o.NoHelp = 1, true
	a, err := Plan(ctx, s, b, o)
	if err != nil {
		return nil, err
	}
	out := &Packing{Answer: a}
	if a.Outcome != Found {
		return out, nil
	}
	if o.Work == 0 {
		o.Work = packTries
	}
	q := inquire(ctx, &constraints.Bench{Studio: s, Brief: b}, o)
	near := q.l.differences(a.Setups[0].Setup)
	for _, p := range pieces(s, a.Setups[0].Setup) {
		if p.Pieces > 0 {
			p.Without, p.Instead = q.without(p.Item, p.Pieces-1, near)
			out.Bring = append(out.Bring, p)
		}
		if rest := inventory.ItemOf(p.Item).Count - p.Pieces; rest > 0 {
			out.Home = append(out.Home, Packed{Item: p.Item, Pieces: rest})
		}
	}
	return out, nil
}

// pieces lists the whole kit in the order of the file, with how many of each item a set-up
// uses.
func pieces(s *inventory.Studio, set *inventory.Setup) (out []Packed) {
	n := Used(set)
	fires := flashHeads(set)
	for t := range s.Things() {
		p := Packed{Item: t, Pieces: n[inventory.ItemOf(t).ID]}
		if trigger, ok := t.(*inventory.Trigger); ok {
			p.Pieces = min(trigger.Count, (fires+trigger.Fires-1)/trigger.Fires)
			fires = max(0, fires-p.Pieces*trigger.Fires)
		}
		out = append(out, p)
	}
	return out
}

// without decides the brief where only so many pieces of an item are left.
func (q *inquiry) without(t inventory.Thing, left int, near *sat.Order) (Outcome, *Checked) {
	lits := q.l.uses(inventory.ItemOf(t).ID)
	if trigger, ok := t.(*inventory.Trigger); ok {
		fires, _ := q.l.bench.Fires()
		lits, left = q.l.flashes(), fires-(trigger.Count-left)*trigger.Fires
	}
	got, outcome := q.nearest([]sat.Lit{q.l.reaches(left+1, lits).Not()}, near)
	switch outcome {
	case sat.Yes:
		return Found, got
	case sat.No:
		return Cannot, nil
	}
	return Undecided, nil
}
