package constraints

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/inventory"
	"falloff/model/source"
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
		bench.Studio.Room.Ambient, bench.Studio.Lenses[0].DayRate = 20, 90
		before, kit := texts(bench.Brief), encoded(t, bench.Studio)
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
				b, s := bench.Brief.Clone(), CloneStudio(bench.Studio)
				c.Apply(b, s)
				if texts(bench.Brief) != before || encoded(t, bench.Studio) != kit || texts(b) == before && encoded(t, s) == kit {
					t.Fatalf("%s: %q changed the original, or nothing", name, c.Text)
				}
				if _, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(encoded(t, s))}); err != nil {
					t.Errorf("%s: %q leaves a bad studio: %v", name, c.Text, err)
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

// wordsAlone are kinds that hold no number: what looks like one is in the name of an item.
var wordsAlone = []string{"use", "avoid", "light-kind"}

// Whoever asks for a number is told how far it must move, unless it is as easy as it can be.
func TestEveryNumberMoves(t *testing.T) {
	easiest := []string{"out-of-frame: {by: 0 m}", "out-of-frame"} // lights may come right up to the frame
	bench := benchForTest()
	bench.Studio.Lenses[0].DayRate = 90 // something to hire
	offers := map[string]bool{}
	for name, g := range everyGoal(t) {
		movable, ok := g.Req.(Amounter)
		if ok && len(movable.Amounts(bench)) > 0 {
			offers[g.Name()] = true
			continue
		}
		if w := written(g.Name(), g.Req); strings.ContainsAny(w, "0123456789") && !slices.Contains(wordsAlone, g.Name()) && !slices.Contains(easiest, w) {
			t.Errorf("%s (%s): none of its numbers can be moved", name, w)
		}
	}
	for _, k := range Kinds() {
		if offers[k.Name] == slices.Contains(wordsAlone, k.Name) {
			t.Errorf("%s: numbers that move: %v", k.Name, offers[k.Name])
		}
	}
}

// What one step allows the next one allows, gear included, from the goal as it stands on.
func TestStepsOnlyLoosen(t *testing.T) {
	goals := everyGoal(t)
	bench := benchForTest()
	bench.Studio.Lenses[0].DayRate = 90
	type ladder struct {
		name  string
		value func(int) string
		forms []*Goal // as it stands, then by step
	}
	var ladders []ladder
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
			if a.To(1).Old != g.Req {
				t.Fatalf("%s: %s is a number of another goal", name, a.Name)
			}
			l := ladder{name + ", " + a.Name, a.Value, []*Goal{g}}
			for k := 1; k <= a.Steps; k++ {
				c := *g
				c.Req = a.To(k).New
				l.forms = append(l.forms, &c)
			}
			ladders = append(ladders, l)
			need, may := l.forms[a.Steps].Req.Roles()
			for _, r := range slices.Concat(need, may) {
				wasNeeded, was := g.Req.Roles()
				if !slices.Contains(slices.Concat(wasNeeded, was), r) {
					t.Errorf("%s: %s needs the %s, which it did not need before", name, a.Name, r)
				}
			}
		}
	}
	climbed := map[string]int{} // kinds of which a reading held at some step and not at the first
	rapid.Check(t, func(t *rapid.T) {
		box, member := drawBox(t)
		for _, r := range []*Reading{&box, &member} {
			r.BaseISO = unit.Point(float64(baseISO(bench)))
			for _, l := range ladders {
				from := -1
				for k, form := range l.forms {
					switch v := Judge([]*Goal{form}, r)[0]; {
					case v.Holds && from < 0:
						from = k
					case !v.Holds && from >= 0:
						t.Fatalf("%s: it holds at %s and not at %s: %+v", l.name, l.value(from), l.value(k), v.Parts)
					}
				}
				if from > 0 {
					climbed[l.forms[0].Name()]++
				}
			}
		}
	})
	if most := len(Kinds()) - len(wordsAlone); len(climbed) < most*4/5 {
		t.Errorf("of %d kinds with numbers only %d were held at a step by a reading that did not hold before", most, len(climbed))
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
