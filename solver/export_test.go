package solver

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/export"
	"falloff/solver/internal/layer"
)

// What is exported says what was answered: the cost of the best set-up, where that is
// proved, and all conflicts, where they are whole; and every set-up is a solution.
func TestExportSaysWhatWasAnswered(t *testing.T) {
	t.Parallel()
	proved, whole, setups := 0, 0, 0
	for n := range max(1, *manyBriefs/4) {
		d := newDice(12, *firstBrief+n)
		k, f := gearBrief(d)
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil {
			continue
		}
		for i := range b.Goals { // wishes among them
			if b.Goals[i].Wish == 0 && !b.Goals[i].Assumed && d.chance(0.3) {
				b.Goals[i].Wish = d.count(1, 3)
			}
		}
		o := refereeWork
		o.Count, o.Work = 2, 60
		written, a, err := Export(context.Background(), s, b, o)
		if err != nil {
			t.Fatal(err)
		}
		m, err := export.ReadSMT(written.SMT())
		if err != nil {
			t.Fatal(err)
		}
		tell := k.text() + "---\n" + f.text()
		costs := layer.Encode(m).Cheapest(1)
		base := (&constraints.Bench{Studio: s, Brief: b}).CameraMinutes()
		cost := func(c Cost) (sum int) {
			for i, x := range []int{c.Missed, c.Lights, c.Minutes - base} {
				sum += x * m.Weights()[i]
			}
			return sum
		}
		switch {
		case a.Outcome == Found:
			for _, x := range a.Setups {
				setups++
				if got := layer.Encode(chosen(t, m, x.Setup)).Cheapest(1); len(got) == 0 || got[0] > cost(x.Cost) {
					t.Errorf("brief %d: a set-up costs %d, and its gear %v by the model\n%s", *firstBrief+n, cost(x.Cost), got, tell)
				}
			}
			if a.Proved {
				proved++
				if want := cost(a.Setups[0].Cost); len(costs) == 0 || costs[0] != want {
					t.Errorf("brief %d: the best set-up costs %d, and %v by the model\n%s", *firstBrief+n, want, costs, tell)
				}
			}
		case a.Outcome == Cannot && len(costs) > 0:
			t.Errorf("brief %d: cannot, and %v by the model\n%s", *firstBrief+n, costs, tell)
		case a.Outcome == Cannot && a.Whole:
			whole++
			var want [][]string
			for _, c := range append([]*Conflict{a.Conflict}, a.Others...) {
				want = append(want, selectors(b, written, c))
			}
			got := layer.Encode(m).Conflicts()
			slices.SortFunc(want, slices.Compare)
			slices.SortFunc(got, slices.Compare)
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("brief %d: %s\n%s", *firstBrief+n, d, tell)
			}
		}
	}
	t.Logf("%d proved, %d whole, %d set-ups", proved, whole, setups)
	if *manyBriefs >= 200 && (proved < 5 || whole < 5) {
		t.Errorf("%d were proved to be best and %d conflicts were whole: too few to judge by", proved, whole)
	}
}

// chosen is a model in which lens, backdrop, heads and modifiers are those of a set-up.
func chosen(t *testing.T, m *export.Model, set *inventory.Setup) *export.Model {
	t.Helper()
	fixed := *m
	fixed.Clauses = slices.Clone(m.Clauses)
	namer := func(what string) string { var n export.Namer; return n.Name(what) }
	fix := func(what string) {
		v := slices.Index(m.Names, namer(what)) + 1
		if v == 0 {
			t.Fatalf("the model knows no %q", what)
		}
		fixed.Clauses = append(fixed.Clauses, []int{v})
	}
	fix("lens " + string(set.Camera.Lens))
	fix("backdrop " + string(set.Backdrop.Item))
	used := map[string]bool{}
	for _, x := range set.Lights {
		used[namer(x.Role+" on")] = true
		fix(x.Role + " head " + string(x.Head))
		if x.Modifier != "" {
			fix(x.Role + " modifier " + string(x.Modifier))
		} else {
			fix(x.Role + " modifier none")
		}
	}
	for _, v := range m.Used {
		if !used[m.Names[v-1]] {
			v = -v
		}
		fixed.Clauses = append(fixed.Clauses, []int{v})
	}
	return &fixed
}

// selectors names a conflict's goals as the model does.
func selectors(b *constraints.Brief, m *export.Model, c *Conflict) []string {
	out := []string{}
	for i, g := range b.Goals {
		if slices.Contains(c.Goals, g) {
			out = append(out, m.Names[m.Goals[i].Lit-1])
		}
	}
	slices.SortFunc(out, strings.Compare)
	return out
}
