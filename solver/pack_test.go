package solver

import (
	"context"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
)

// less is a studio with so many pieces of an item fewer.
func less(s *inventory.Studio, t inventory.Thing, n int) *inventory.Studio {
	out := s.Copy()
	out.Complete()
	for range n {
		out.Remove(inventory.ItemOf(t).ID)
	}
	return out
}

// What is called needed is: planning without it finds nothing. What is not can be left, and
// the set-up in its place holds without it. What stays at home is not missed.
func TestPackingAgainstPlanning(t *testing.T) {
	t.Parallel()
	v := verdicts{}
	for n := range max(1, *manyBriefs/40) {
		d := newDice(1, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, choose(d, 1., 2))
		s := p.bench.Studio
		got, err := Pack(context.Background(), s, b, refereeWork)
		if err != nil {
			t.Fatal(err)
		}
		if got.Answer.Outcome != Found {
			continue
		}
		for _, x := range got.Bring {
			v[x.Without]++
			rest := less(s, x.Item, inventory.ItemOf(x.Item).Count-x.Pieces+1)
			switch x.Without {
			case Cannot:
				if len(b.Lacking(rest)) > 0 || len(s.Triggers) > len(rest.Triggers) {
					continue // named by the brief; and a studio without triggers does not count them
				}
				if a := planned(t, rest, b, refereeWork); a.Outcome == Found {
					t.Errorf("brief %d: %d of %s is needed, and there is a set-up without\n%s", n, x.Pieces, x.Item.Label(), p.describe(f))
				}
			case Found:
				if k, err := Check(rest, b, x.Instead.Setup); err != nil || !k.Holds() {
					t.Errorf("brief %d: the set-up without one %s does not hold: %v\n%s", n, x.Item.Label(), err, p.describe(f))
				}
			}
		}
		bag := s
		for _, x := range got.Home {
			bag = less(bag, x.Item, x.Pieces)
		}
		if k, err := Check(bag, b, got.Answer.Setups[0].Setup); err != nil || !k.Holds() {
			t.Errorf("brief %d: what is brought does not do: %v\n%s", n, err, p.describe(f))
		}
	}
	t.Logf("%s", v)
	if *manyBriefs >= 400 && (v[Found] < 8 || v[Cannot] < 10) {
		t.Errorf("the packing lists test nothing: %s", v)
	}
}

// A survey says what planning says, and a spare is named for each look that breaks without.
func TestSurveyAgainstPlanning(t *testing.T) {
	t.Parallel()
	found, breaks := 0, 0
	for n := range max(1, *manyBriefs/40) {
		d := newDice(1, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		_, b := plantedBrief(t, p, d, 2)
		s := p.bench.Studio
		got, err := SurveyKit(context.Background(), s, []*constraints.Brief{b}, refereeWork)
		if err != nil {
			t.Fatal(err)
		}
		x := got.Looks[0]
		if x.Outcome == Cannot {
			t.Errorf("brief %d: cannot, and a set-up exists", n)
		}
		if x.Outcome == Found {
			found++
		}
		if len(got.Spares) != len(x.Fails) {
			t.Errorf("brief %d: %d spares for %d pieces", n, len(got.Spares), len(x.Fails))
		}
		for _, item := range x.Fails {
			breaks++
			rest := less(s, item, 1)
			if len(b.Lacking(rest)) > 0 || len(s.Triggers) > len(rest.Triggers) {
				continue
			}
			if a := planned(t, rest, b, refereeWork); a.Outcome == Found {
				t.Errorf("brief %d: without one %s it is said to break, and there is a set-up", n, item.Label())
			}
		}
	}
	t.Logf("%d found, %d pieces break them", found, breaks)
	if *manyBriefs >= 400 && (found < 3 || breaks < 5) {
		t.Errorf("the surveys test nothing")
	}
}
