package solver

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
)

// masks are the goals of a brief as sets: what collides and what frees.
func masks(b *constraints.Brief, a *Answer) (conflicts, releases []mask) {
	of := func(goals []*constraints.Goal) (m mask) {
		for _, g := range goals {
			m |= 1 << slices.IndexFunc(b.Goals, func(x *constraints.Goal) bool { return x == g })
		}
		return m
	}
	for _, c := range append([]*Conflict{a.Conflict}, a.Others...) {
		conflicts = append(conflicts, of(c.Goals))
	}
	for _, r := range a.Releases {
		releases = append(releases, of(r.Goals))
	}
	return conflicts, releases
}

// only is a brief with a set of its goals.
func only(b *constraints.Brief, m mask) *constraints.Brief {
	c := b.Clone()
	c.Goals = nil
	for i, g := range b.Goals {
		if m.has(i) {
			c.Goals = append(c.Goals, g)
		}
	}
	return c
}

// Every one of the 2^g sets of goals either holds a conflict or is free of some release,
// never both: that is all there is to know. Brute force judges the edges between them, and
// so all of them: what holds a conflict cannot, and less than a conflict can.
func TestEverySetOfGoalsIsAccountedFor(t *testing.T) {
	t.Parallel()
	briefs, whole, several, sets, most := 0, 0, 0, 0, 0
	for n := range max(1, *manyBriefs/8) {
		d := newDice(8, *firstBrief+n)
		k, f := gearBriefOf(d, 2, 9)
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil || len(b.Goals) > 12 {
			continue
		}
		a := planned(t, s, b, refereeWork)
		if a.Outcome != Cannot {
			continue
		}
		briefs++
		if !a.Whole {
			continue
		}
		whole++
		most = max(most, len(b.Goals))
		if len(a.Others) > 0 {
			several++
		}
		conflicts, releases := masks(b, a)
		tell := fmt.Sprintf("brief %d: conflicts %b, releases %b\n%s---\n%s", *firstBrief+n, conflicts, releases, k.text(), f.text())
		all := mask(1)<<len(b.Goals) - 1
		for m := mask(0); m <= all; m++ {
			sets++
			collides := slices.ContainsFunc(conflicts, func(c mask) bool { return c&^m == 0 })
			free := slices.ContainsFunc(releases, func(r mask) bool { return r&m == 0 })
			if collides == free {
				t.Fatalf("the set %b collides: %v, and is free: %v\n%s", m, collides, free, tell)
			}
		}
		can := func(m mask) bool { return bruteGear(&constraints.Bench{Studio: s, Brief: only(b, m)}) }
		for _, c := range conflicts {
			if can(c) {
				t.Errorf("the conflict %b can hold\n%s", c, tell)
			}
			for i := range b.Goals {
				if c.has(i) && !can(c&^(1<<i)) {
					t.Errorf("the conflict %b does not need goal %d\n%s", c, i, tell)
				}
			}
		}
		for _, r := range releases {
			if !can(all &^ r) {
				t.Errorf("without %b the rest cannot hold\n%s", r, tell)
			}
		}
	}
	t.Logf("%d briefs that cannot be met, %d known in whole, %d of them with several conflicts; %d sets, of up to %d goals", briefs, whole, several, sets, most)
	if *manyBriefs >= 400 && (whole < briefs*9/10 || several < 3 || most < 12) {
		t.Errorf("too little to judge by")
	}
}

// What collides is told again by a fresh search, each release has a set-up that meets all
// else, each smallest move gives a plan, and one step less does not.
func TestAmountsAreTheSmallestThatDo(t *testing.T) {
	t.Parallel()
	moves, open, pairs := 0, 0, 0
	for n := range max(1, *manyBriefs/16) {
		d := newDice(9, *firstBrief+n)
		k, f := gearBrief(d)
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil {
			continue
		}
		o := refereeWork
		o.NoHelp = false
		a := planned(t, s, b, o)
		if a.Outcome != Cannot {
			continue
		}
		for _, r := range a.Releases {
			for i := range r.Setup.Goals {
				if g := &r.Setup.Goals[i]; !g.Holds && !slices.Contains(r.Goals, g.Goal) {
					t.Errorf("brief %d: the set-up without %v breaks %s", *firstBrief+n, r.Goals, g.Goal.Text)
				}
			}
		}
		bench := &constraints.Bench{Studio: s, Brief: b}
		for _, h := range a.Conflict.Help {
			if len(h.Moves) == 0 {
				continue
			}
			if len(h.Moves) > 1 {
				pairs++
			}
			if !h.Setup.Holds() {
				t.Errorf("brief %d: %q: the set-up that proves it does not hold", *firstBrief+n, h.Text)
			}
			if !bruteGear(applied(bench, h.Moves, -1)) {
				t.Errorf("brief %d: %q is not enough\n%s---\n%s", *firstBrief+n, h.Text, k.text(), f.text())
			}
			for i, m := range h.Moves {
				if m.Open {
					open++
				} else if moves++; bruteGear(applied(bench, h.Moves, i)) {
					t.Errorf("brief %d: %q: %s is enough\n%s---\n%s", *firstBrief+n, h.Text, m.Short, k.text(), f.text())
				}
			}
		}
	}
	t.Logf("%d smallest moves, %d left open, %d trade-offs", moves, open, pairs)
	if *manyBriefs >= 400 && (moves < 10 || open > moves/10) {
		t.Errorf("too few moves are proved to be the smallest")
	}
}

// applied is a bench with numbers moved as told; the one at short by a step less, which is
// told not to be enough. Steps of a small number may read alike, so they are counted.
func applied(b *constraints.Bench, moves []Move, short int) *constraints.Bench {
	out := &constraints.Bench{Studio: b.Studio.Copy(), Brief: b.Brief.Clone()}
	for i, m := range moves {
		for _, g := range b.Brief.Goals {
			movable, ok := g.Req.(constraints.Amounter)
			if !ok {
				continue
			}
			for _, a := range movable.Amounts(b) {
				for k := 1; a.Name == m.Name && k <= a.Steps; k++ {
					if a.Value(k) != m.To {
						continue
					}
					if i == short {
						k--
					}
					if k > 0 {
						a.To(k).Apply(out.Brief, out.Studio)
					}
					break
				}
			}
		}
	}
	return out
}

// Three runs of one search give the same bytes, whatever the order of maps.
func TestThreeRunsAreTheSame(t *testing.T) {
	t.Parallel()
	for n := range max(1, *manyBriefs/80) {
		d := newDice(10, *firstBrief+n)
		p, f, b := randomBrief(t, d)
		if p == nil {
			continue
		}
		var first string
		for run := range 3 {
			var said strings.Builder
			o := refereeWork
			o.NoHelp = n%2 == 0
			o.Progress = func(line string) { fmt.Fprintln(&said, line) }
			a := planned(t, p.bench.Studio, b, o)
			text := answerText(a) + fmt.Sprint(a.Stats) + said.String()
			if run == 0 {
				first = text
			} else if text != first {
				t.Errorf("brief %d: run %d differs:\n%s\nand\n%s\n%s", *firstBrief+n, run+1, first, text, p.describe(f))
			}
		}
	}
}

// helpWith finds the change that a line of help tells of.
func helpWith(b *constraints.Bench, h Help) (*constraints.Bench, bool) {
	if len(h.Moves) > 0 {
		return applied(b, h.Moves, -1), true
	}
	out := &constraints.Bench{Studio: b.Studio.Copy(), Brief: b.Brief.Clone()}
	for _, g := range b.Brief.Goals {
		for ch := range g.Req.Relax(b) {
			if ch.Text == h.Text {
				ch.Apply(out.Brief, out.Studio)
				return out, true
			}
		}
	}
	for x := range out.Studio.Things() {
		if h.Text == "bring one more: "+x.Label() {
			inventory.ItemOf(x).Count++
			return out, true
		}
	}
	return nil, false
}
