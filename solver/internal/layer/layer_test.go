package layer

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"falloff/solver/export"
)

// shoot draws a model of two lights, of which each has one of two heads if it is used, three
// goals and some rules.
func shoot(t *rapid.T) *export.Model {
	m := &export.Model{Names: []string{"key_on", "key_a", "key_b", "rim_on", "rim_a", "rim_b", "goal_1", "goal_2", "goal_3", "dark"},
		Used: []int{1, 4}, Gear: []int{2, 3, 5, 6}}
	for _, v := range m.Used {
		m.Clauses = append(m.Clauses, []int{-v, v + 1, v + 2}, []int{v, -v - 1}, []int{v, -v - 2})
		m.Counts = append(m.Counts, export.Count{Most: 1, Lits: []int{v + 1, v + 2}})
	}
	lit := rapid.Custom(func(t *rapid.T) int {
		return rapid.SampledFrom([]int{1, -1}).Draw(t, "sign") * rapid.IntRange(1, len(m.Names)).Draw(t, "variable")
	})
	for range rapid.IntRange(0, 7).Draw(t, "rules") {
		m.Clauses = append(m.Clauses, append(rapid.SliceOfN(lit, 0, 2).Draw(t, "rule"), -rapid.IntRange(7, 9).Draw(t, "of goal")))
	}
	weight := rapid.IntRange(1, 4)
	missed, lights := export.Sum{Name: "missed"}, export.Sum{Name: "lights", Terms: []export.Term{{Lit: 1, Weight: 1}, {Lit: 4, Weight: 1}}}
	for v := 7; v <= 9; v++ {
		g := export.Goal{Lit: v}
		if rapid.IntRange(0, 3).Draw(t, "wish") == 0 {
			g.Wish = weight.Draw(t, "weight")
			missed.Terms = append(missed.Terms, export.Term{Lit: -v, Weight: g.Wish})
		}
		m.Goals = append(m.Goals, g)
	}
	minutes := export.Sum{Name: "minutes"}
	for _, v := range m.Gear {
		minutes.Terms = append(minutes.Terms, export.Term{Lit: v, Weight: weight.Draw(t, "minutes")})
	}
	minutes.Steps = []export.Step{{Lit: 10, At: rapid.IntRange(1, 6).Draw(t, "at")}} // dark: it takes long
	m.Sums = []export.Sum{missed, lights, minutes}
	return m
}

// each goes through the assignments that satisfy a model, musts aside.
func each(m *export.Model, f func(values []bool, cost int)) {
	values := make([]bool, len(m.Names))
	for bits := range 1 << len(values) {
		for i := range values {
			values[i] = bits>>i&1 == 1
		}
		if ok, sums := m.Holds(values); ok {
			cost := 0
			for i, w := range m.Weights() {
				cost += w * sums[i]
			}
			f(values, cost)
		}
	}
}

func TestCheapest(t *testing.T) {
	some := 0
	rapid.Check(t, func(t *rapid.T) {
		m := shoot(t)
		least := map[string]int{} // by gear
		each(m, func(values []bool, cost int) {
			for _, v := range m.Musts() {
				if !values[v-1] {
					return
				}
			}
			gear := fmt.Sprint(values[:6])
			if old, ok := least[gear]; !ok || cost < old {
				least[gear] = cost
			}
		})
		want := []int{}
		for _, cost := range least {
			want = append(want, cost)
		}
		slices.Sort(want)
		want = want[:min(5, len(want))]
		if len(want) == 5 {
			some++
		}
		if d := cmp.Diff(want, append([]int{}, Encode(m).Cheapest(5)...)); d != "" {
			t.Fatal(d)
		}
	})
	if some == 0 {
		t.Error("no model had five set-ups")
	}
}

func TestConflicts(t *testing.T) {
	some := 0
	rapid.Check(t, func(t *rapid.T) {
		m := shoot(t)
		musts := m.Musts()
		holds := make([]bool, 1<<len(musts)) // by set of musts
		each(m, func(values []bool, _ int) {
			all := 0
			for i, v := range musts {
				if values[v-1] {
					all |= 1 << i
				}
			}
			for s := range holds {
				holds[s] = holds[s] || s&^all == 0
			}
		})
		want := [][]string{}
		for s := range holds {
			if holds[s] {
				continue
			}
			minimal, names := true, []string{}
			for i, v := range musts {
				if s>>i&1 == 1 {
					minimal = minimal && holds[s&^(1<<i)]
					names = append(names, m.Names[v-1])
				}
			}
			if minimal {
				want = append(want, names)
			}
		}
		some += len(want)
		got := append([][]string{}, Encode(m).Conflicts()...)
		slices.SortFunc(want, slices.Compare)
		slices.SortFunc(got, slices.Compare)
		if d := cmp.Diff(want, got); d != "" {
			t.Fatal(d)
		}
	})
	if some == 0 {
		t.Error("nothing ever collided")
	}
}
