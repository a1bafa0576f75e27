package constraints

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/unit"
)

// Every number that can be moved is worded, is moved on copies only, and leaves a goal that
// is valid and reads back; each step has a value of its own.
func TestAmounts(t *testing.T) {
	numbers := 0
	for name, g := range everyGoal(t) {
		movable, ok := g.Req.(Amounter)
		if !ok {
			continue
		}
		bench := benchForTest()
		bench.Brief.Goals = append([]*Goal{g}, bench.Brief.Goals...)
		before := texts(bench.Brief)
		for _, a := range movable.Amounts(bench) {
			numbers++
			if a.Name == "" || a.Steps < 1 {
				t.Errorf("%s: amount %q of %d steps", name, a.Name, a.Steps)
			}
			values := map[string]int{a.Value(0): 0}
			for k := 1; k <= a.Steps; k++ {
				if j, double := values[a.Value(k)]; double {
					t.Errorf("%s: %s: steps %d and %d are both %s", name, a.Name, j, k, a.Value(k))
				}
				values[a.Value(k)] = k
			}
			for _, k := range []int{1, (a.Steps + 1) / 2, a.Steps} {
				c := a.To(k)
				if c.Text == "" || strings.HasSuffix(c.Text, ".") || c.Cost == "" || c.Minor < 0 || c.Minor > 10 {
					t.Errorf("%s: bad wording %q, cost %q, order %v", name, c.Text, c.Cost, c.Minor)
				}
				b := bench.Brief.Clone()
				c.Apply(b, CloneStudio(bench.Studio))
				if texts(bench.Brief) != before || texts(b) == before {
					t.Fatalf("%s: %q changed the original, or nothing", name, c.Text)
				}
				for _, goal := range b.Goals {
					if err := goal.Req.Validate(b); err != nil {
						t.Errorf("%s: %q leaves %s: %v", name, c.Text, goal.Text, err)
					}
					again := goalForTest(t, goal.Text)
					if w := written(goal.Name(), goal.Req); written(again.Name(), again.Req) != w {
						t.Errorf("%s: %q reads back as %q", name, w, written(again.Name(), again.Req))
					}
				}
			}
		}
	}
	if numbers < 25 {
		t.Errorf("only %d numbers can be moved", numbers)
	}
}

// What one step allows the next one allows, gear included.
func TestStepsOnlyLoosen(t *testing.T) {
	goals := everyGoal(t)
	bench := benchForTest()
	type pair struct {
		name          string
		strict, loose *Goal
	}
	var pairs []pair
	for _, name := range sortedKeys(goals) {
		g := goals[name]
		movable, ok := g.Req.(Amounter)
		if !ok {
			continue
		}
		for _, a := range movable.Amounts(bench) {
			if a.To(1).Old == nil {
				continue
			}
			form := func(k int) *Goal {
				c := *g
				if k > 0 {
					c.Req = a.To(k).New
				}
				return &c
			}
			for _, k := range []int{1, 2, a.Steps / 2, a.Steps} {
				if k >= 1 && k <= a.Steps {
					pairs = append(pairs, pair{name + ", " + a.Name + " " + a.Value(k-1) + " -> " + a.Value(k), form(k - 1), form(k)})
				}
			}
			need, may := form(a.Steps).Req.Roles()
			for _, r := range slices.Concat(need, may) {
				wasNeeded, was := g.Req.Roles()
				if !slices.Contains(slices.Concat(wasNeeded, was), r) {
					t.Errorf("%s: %s needs the %s, which it did not need before", name, a.Name, r)
				}
			}
		}
	}
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		_, r := drawBox(t)
		r.BaseISO = unit.Point(float64(baseISO(bench)))
		for _, p := range pairs {
			if Judge([]*Goal{p.strict}, &r)[0].Holds {
				held++
				if v := Judge([]*Goal{p.loose}, &r)[0]; !v.Holds {
					t.Fatalf("%s: the next step fails: %+v", p.name, v.Parts)
				}
			}
		}
	})
	if held < 100 {
		t.Errorf("only %d cases held at all", held)
	}
}

// Values lie on their steps, and go on from a value that does not.
func TestToward(t *testing.T) {
	for _, c := range []struct {
		from, to, step float64
		want           []float64
	}{
		{-3, -2.7, 0.1, []float64{-2.9, -2.8, -2.7}},
		{25, 22, 1, []float64{24, 23, 22}},
		{0.35, 0.45, 0.05, []float64{0.4, 0.45}},
		{0.33, 0.45, 0.05, []float64{0.35, 0.4, 0.45}},
		{0.33, 0.25, 0.05, []float64{0.3, 0.25}},
		{1, 1, 0.1, nil},
		{math.Inf(-1), 0, 1, nil},
	} {
		if got := toward(c.from, c.to, c.step); !slices.Equal(got, c.want) {
			t.Errorf("toward %v from %v by %v: %v, want %v", c.to, c.from, c.step, got, c.want)
		}
	}
}
