package solver

import (
	"context"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// packTries caps the candidates that are looked at to settle whether a piece can be left.
const packTries = 8

// packEffort is what the lattice may spend on refuting what is left without a piece.
const packEffort = 5000

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
	if o.Work == 0 {
		o.Work = packTries
	}
	q := inquire(ctx, &constraints.Bench{Studio: s, Brief: b}, o)
	q.left, q.efforts, q.near, q.patience = defaultWork, 1, 4, 0
	a := q.plan(Options{Count: alwaysFind, quick: true})
	if a.Outcome != Found { // the long way, with a proof
		var err error
		if a, err = Plan(ctx, s, b, Options{Count: 1, NoHelp: true, Progress: o.Progress}); err != nil || a.Outcome != Found {
			return &Packing{Answer: a}, err
		}
	}
	q.l.content = 0
	a.Setups[0].show(q.l.bench)
	out := &Packing{Answer: a}
	q.beginAt(a.Setups[0])
	near := q.l.differences(a.Setups[0].Setup)
	for i, p := range pieces(s, a.Setups[0].Setup) {
		if p.Pieces > 0 {
			if p.Instead = other(s, a.Setups[1:], i, p.Pieces); p.Instead != nil {
				p.Without = Found
			} else {
				if p.Without, p.Instead = q.without(p.Item, p.Pieces-1, near); p.Instead != nil {
					a.Setups = append(a.Setups, p.Instead)
				}
			}
			out.Bring = append(out.Bring, p)
		}
		if rest := inventory.ItemOf(p.Item).Count - p.Pieces; rest > 0 {
			out.Home = append(out.Home, Packed{Item: p.Item, Pieces: rest})
		}
	}
	return out, nil
}

// other is the first of some set-ups that takes fewer pieces of an item, which is named by its
// place in the list of pieces; nil where none does.
func other(s *inventory.Studio, setups []*Checked, item, count int) *Checked {
	for _, k := range setups {
		if pieces(s, k.Setup)[item].Pieces < count {
			return k
		}
	}
	return nil
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
	q.l.most = q.l.effort + packEffort
	defer func() { q.l.most = 0 }()
	got, outcome := q.nearest([]sat.Lit{q.l.reaches(left+1, lits).Not()}, near)
	switch outcome {
	case sat.Yes:
		return Found, got
	case sat.No:
		return Cannot, nil
	}
	return Undecided, nil
}
