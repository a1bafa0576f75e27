package solver

import (
	"context"
	"math"
	"testing"

	"falloff/constraints"
)

// No value that a planted set-up has is proved out of reach, and each end is shown by a
// set-up that holds and has the value.
func TestReachAgainstPlantedSetups(t *testing.T) {
	t.Parallel()
	all := constraints.Quantities()
	ends, proved, open := 0, 0, 0
	for n := range max(1, *manyBriefs/40) {
		d := newDice(1, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, choose(d, 0.3, 1, 2))
		q := all[n%len(all)]
		got, err := Reach(context.Background(), p.bench.Studio, b, q, refereeWork)
		if err != nil {
			t.Fatal(err)
		}
		if got.Answer.Outcome == Cannot {
			t.Errorf("brief %d: cannot, and a set-up exists\n%s", *firstBrief+n, p.describe(f))
		}
		for sign, e := range map[float64]*EndOf{1: got.Low, -1: got.High} { // in any order
			if e == nil {
				continue
			}
			ends++
			which := q.Low
			if sign < 0 {
				which = q.High
			}
			rebuilt(t, p.bench.Studio, b, e.Setup)
			if v := which.At(&e.Setup.Reading); v != e.Value {
				t.Errorf("brief %d: %s is %v in the set-up and %v is told", *firstBrief+n, q.Name, v, e.Value)
			}
			if v := which.At(&p.read.Reading); sign*(v-e.Limit) < -1e-6 {
				t.Errorf("brief %d: %s %s: the brief allows no more than %v, and the planted set-up has %v\n%s", *firstBrief+n, which.Name, q.Name, e.Limit, v, p.describe(f))
			}
			if math.IsNaN(e.Beyond) {
				open++
				continue
			}
			proved++
			if v := which.At(&p.read.Reading); q.Meets(v, e.Beyond, sign) {
				t.Errorf("brief %d: %s %s: %v is proved out of reach, and the planted set-up has %v\n%s", *firstBrief+n, which.Name, q.Name, e.Beyond, v, p.describe(f))
			}
			if q.Meets(e.Value, e.Beyond, sign) {
				t.Errorf("brief %d: %s %s: %v is shown and %v is proved out of reach", *firstBrief+n, which.Name, q.Name, e.Value, e.Beyond)
			}
		}
	}
	t.Logf("%d ends, %d with a proof beyond, %d open", ends, proved, open)
	if *manyBriefs >= 400 && proved < 5 {
		t.Errorf("%d proofs test nothing", proved)
	}
}

// No value that is proved out of reach is found by the slow solver, which walks at random
// from the set-up that shows the end.
func TestReachAgainstTheSlowSolver(t *testing.T) {
	t.Parallel()
	all := constraints.Quantities()
	tried := 0
	for n := range max(1, *manyBriefs/40) {
		d := newDice(7, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, choose(d, 1., 2))
		q := all[d.IntN(len(all))]
		got, err := Reach(context.Background(), p.bench.Studio, b, q, refereeWork)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range []*EndOf{got.Low, got.High} {
			if e == nil || math.IsNaN(e.Beyond) {
				continue
			}
			tried++
			beyond := b.Clone()
			if e == got.Low {
				beyond.Goals = append(beyond.Goals, q.AtMost(e.Beyond))
			} else {
				beyond.Goals = append(beyond.Goals, q.AtLeast(e.Beyond))
			}
			bench := &constraints.Bench{Studio: p.bench.Studio, Brief: beyond}
			if set := newSlow(d, bench).look(p, e.Setup.Setup, *oracleWork); set != nil {
				if k, err := Check(bench.Studio, beyond, set); err == nil && k.Holds() {
					text, _ := set.Text()
					t.Errorf("brief %d: %s %v is proved out of reach, and the slow solver found it:\n%s---\n%s", *firstBrief+n, q.Name, e.Beyond, p.describe(f), text)
				}
			}
		}
	}
	t.Logf("the slow solver tried %d ends", tried)
	if *manyBriefs >= 400 && tried < 5 {
		t.Errorf("%d ends test nothing", tried)
	}
}

// The ends of what the camera alone decides agree with trying every setting.
func TestReachAgainstEverySetting(t *testing.T) {
	t.Parallel()
	closed := 0
	for n := range max(1, *manyBriefs/40) {
		d := newDice(42, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		_, b := plantedBrief(t, p, d, 2)
		q, _ := constraints.FindQuantity(choose(d, "aperture", "iso", "shutter"))
		got, err := Reach(context.Background(), p.bench.Studio, b, q, refereeWork)
		if err != nil || got.Answer.Outcome != Found {
			continue
		}
		bench := &constraints.Bench{Studio: p.bench.Studio, Brief: b}
		for sign, e := range map[float64]*EndOf{1: got.Low, -1: got.High} { // in any order
			if !e.Proved || math.IsNaN(e.Beyond) {
				continue
			}
			closed++
			for _, x := range q.Grid(bench) { // nothing of the grid lies between what is shown and what is not
				if q.Meets(x, e.Value, sign) && !q.Meets(e.Value, x, sign) && !q.Meets(x, e.Beyond, sign) {
					t.Errorf("brief %d: %s %v is neither shown nor proved out of reach", *firstBrief+n, q.Name, x)
				}
			}
		}
	}
	t.Logf("%d ends closed", closed)
}
