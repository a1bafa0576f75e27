package sat

import (
	"fmt"
	"slices"
	"testing"
)

// goals is a random problem with up to eight selectors, and the oracle for its subsets.
type goals struct {
	p     *Problem
	sel   []Lit
	holds map[uint]bool // by set of selectors
}

// newGoals guards each of a few random demands by one selector, some of them by the
// same demand twice. Worlds are those of the n variables under the demands.
func newGoals(d dice) *goals {
	n := d.between(2, 5)
	p := New(n + 8)
	for range n {
		p.Var()
	}
	var always []rule
	for range d.IntN(3) {
		clause := d.lits(n, 2)
		p.Add(clause...)
		always = append(always, func(w world) bool { return w.satisfies(clause) })
	}
	g := &goals{p: p, holds: map[uint]bool{}}
	var asked [][]Lit
	demands := make([]rule, 0, 8)
	for range d.between(1, 8) {
		clause := d.lits(n, d.between(1, 2))
		if len(asked) > 0 && d.IntN(4) == 0 {
			clause = asked[d.IntN(len(asked))]
		}
		asked = append(asked, clause)
		sel := p.Var()
		p.Guarded(sel, clause...)
		g.sel = append(g.sel, sel)
		demands = append(demands, func(w world) bool { return w.satisfies(clause) })
	}
	for set := range uint(1) << len(g.sel) {
		rules := slices.Clone(always)
		for i, r := range demands {
			if set>>i&1 == 1 {
				rules = append(rules, r)
			}
		}
		g.holds[set] = len(possible(n, rules, nil)) > 0
	}
	return g
}

func (g *goals) set(lits []Lit) uint {
	var s uint
	for _, m := range lits {
		s |= 1 << slices.Index(g.sel, m)
	}
	return s
}

// minimalSets lists, by trying all, the sets that are bad while no smaller part is; bad is
// inherited by larger sets.
func minimalSets(n int, bad func(uint) bool) map[uint]bool {
	all := map[uint]bool{}
	for s := range uint(1) << n {
		least := bad(s)
		for i := 0; least && i < n; i++ {
			least = s>>i&1 == 0 || !bad(s&^(1<<i))
		}
		if least {
			all[s] = true
		}
	}
	return all
}

func (g *goals) minimalConflicts() map[uint]bool {
	return minimalSets(len(g.sel), func(s uint) bool { return !g.holds[s] })
}

func (g *goals) minimalReleases() map[uint]bool {
	full := uint(1)<<len(g.sel) - 1
	return minimalSets(len(g.sel), func(s uint) bool { return g.holds[full&^s] })
}

func hittingSets(n int, sets map[uint]bool) map[uint]bool {
	return minimalSets(n, func(s uint) bool {
		for t := range sets {
			if s&t == 0 {
				return false
			}
		}
		return true
	})
}

func TestConflictsAgreeWithAllSubsets(t *testing.T) {
	verdicts := tally{}
	sizes := map[int]int{}
	for seed := range uint64(2000) {
		g := newGoals(newDice(seed))
		got := map[Kind]map[uint]bool{Conflict: {}, Release: {}}
		for set, kind := range g.p.Conflicts(g.sel, 0, nil) {
			s := g.set(set.Members)
			if kind != Conflict && kind != Release || !set.Minimal || got[kind][s] {
				t.Fatalf("seed %d: unexpected or repeated %v, kind %v", seed, set, kind)
			}
			got[kind][s] = true
			sizes[len(got[Conflict])]++
		}
		if want := g.minimalConflicts(); !equal(got[Conflict], want) {
			t.Fatalf("seed %d: conflicts %v, want %v", seed, got[Conflict], want)
		}
		if want := g.minimalReleases(); !equal(got[Release], want) {
			t.Fatalf("seed %d: releases %v, want %v", seed, got[Release], want)
		}
		if !equal(got[Release], hittingSets(len(g.sel), got[Conflict])) ||
			!equal(got[Conflict], hittingSets(len(g.sel), got[Release])) {
			t.Fatalf("seed %d: conflicts and releases are not duals", seed)
		}
		if len(got[Conflict]) > 0 {
			verdicts[No]++
		} else {
			verdicts[Yes]++
		}
	}
	verdicts.report(t)
	t.Logf("conflicts found so far, when a set was found: %v", sizes)
}

func equal(a, b map[uint]bool) bool {
	if len(a) != len(b) {
		return false
	}
	for s := range a {
		if !b[s] {
			return false
		}
	}
	return true
}

// The clauses know nothing here; the check knows all, and answers for every set.
func TestCheckDecides(t *testing.T) {
	for seed := range uint64(1000) {
		d := newDice(seed)
		g := newGoals(d)
		blind := New(8)
		for i := range g.sel {
			g.sel[i] = blind.Var()
		}
		asked := map[uint]bool{}
		check := func(keep []Lit) Outcome {
			s := g.set(keep)
			if asked[s] && g.holds[s] {
				t.Fatalf("seed %d: %b was confirmed before", seed, s)
			}
			asked[s] = true
			if g.holds[s] {
				return Yes
			}
			if d.IntN(2) == 0 { // a lemma may come with the refusal
				clause := []Lit{}
				for _, m := range keep {
					clause = append(clause, m.Not())
				}
				blind.Add(clause...)
			}
			return No
		}
		got := map[Kind]map[uint]bool{Conflict: {}, Release: {}}
		for set, kind := range blind.Conflicts(g.sel, 0, check) {
			if !set.Minimal {
				t.Fatalf("seed %d: %v is not minimal", seed, set)
			}
			got[kind][g.set(set.Members)] = true
		}
		if !equal(got[Conflict], g.minimalConflicts()) || !equal(got[Release], g.minimalReleases()) {
			t.Fatalf("seed %d: %v differ from all subsets", seed, got)
		}
	}
}

// A check that cannot always tell leaves doubt, and never a false word: what is called a
// conflict cannot hold, what is called a release does release, and what is called
// minimal is. Without doubt anywhere the answer is complete.
func TestDoubtIsHonest(t *testing.T) {
	doubts, complete := 0, 0
	for seed := range uint64(2000) {
		d := newDice(seed)
		g := newGoals(d)
		blind := New(8)
		for i := range g.sel {
			g.sel[i] = blind.Var()
		}
		unsure := map[uint]bool{}
		for s := range g.holds {
			unsure[s] = newDice(seed<<8|uint64(s)).IntN(6) == 0
		}
		check := func(keep []Lit) Outcome {
			switch s := g.set(keep); {
			case unsure[s]:
				return Unknown
			case g.holds[s]:
				return Yes
			}
			return No
		}
		conflicts, releases := g.minimalConflicts(), g.minimalReleases()
		full := uint(1)<<len(g.sel) - 1
		got := map[Kind]int{}
		sure := true
		for set, kind := range blind.Conflicts(g.sel, 0, check) {
			got[kind]++
			s := g.set(set.Members)
			sure = sure && set.Minimal
			switch {
			case kind == Conflict && (g.holds[s] || set.Minimal && !conflicts[s]),
				kind == Release && (!g.holds[full&^s] || set.Minimal && !releases[s]),
				kind == Doubt && !unsure[s]:
				t.Fatalf("seed %d: false %v of kind %v", seed, set, kind)
			}
		}
		doubts += got[Doubt]
		if sure && got[Doubt] == 0 {
			complete++
			if got[Conflict] != len(conflicts) || got[Release] != len(releases) {
				t.Fatalf("seed %d: said to be complete, but %v", seed, got)
			}
		}
	}
	t.Logf("%d doubts, %d of 2000 surveys complete", doubts, complete)
	if doubts < 400 || complete < 400 {
		t.Error("one kind of case is rare")
	}
}

func TestShrinkIsMinimal(t *testing.T) {
	shrunk, kept := 0, 0
	for seed := range uint64(2000) {
		g := newGoals(newDice(seed))
		if g.p.Solve(g.sel...) == Yes {
			continue
		}
		core := g.p.Shrink(g.sel)
		if !g.minimalConflicts()[g.set(core)] || !slices.IsSorted(core) {
			t.Fatalf("seed %d: %v is not a minimal conflict in order", seed, core)
		}
		if len(core) < len(g.sel) {
			shrunk++
		} else {
			kept++
		}
		for i := range core {
			if g.p.Solve(slices.Delete(slices.Clone(core), i, i+1)...) != Yes {
				t.Fatalf("seed %d: %v does not need its member %d", seed, core, i)
			}
		}
	}
	t.Logf("%d shrunk, %d were minimal", shrunk, kept)
	if shrunk < 200 {
		t.Error("too few cases")
	}
}

// Equal demands under two selectors are two culprits, one conflict each.
func TestEqualGoalsStayApart(t *testing.T) {
	p := New(8)
	a := p.Var()
	first, second, against := p.Var(), p.Var(), p.Var()
	p.Guarded(first, a)
	p.Guarded(second, a)
	p.Guarded(against, a.Not())
	var log []string
	for set, kind := range p.Conflicts([]Lit{first, second, against}, 0, nil) {
		log = append(log, fmt.Sprint(kind, set.Members))
	}
	want := []string{"2 [4]", "1 [2 4]", "1 [3 4]", "2 [2 3]"}
	slices.Sort(log)
	slices.Sort(want)
	if !slices.Equal(log, want) {
		t.Errorf("got %v, want %v", log, want)
	}
}

// Six pairs that exclude each other have 6 conflicts and 2^6 releases.
func TestLimitIsHonest(t *testing.T) {
	p := New(40)
	var sel []Lit
	for range 6 {
		a, yes, no := p.Var(), p.Var(), p.Var()
		p.Guarded(yes, a)
		p.Guarded(no, a.Not())
		sel = append(sel, yes, no)
	}
	for _, limit := range []int{1, 10, 69, 70, 71, 0} {
		got := map[Kind]int{}
		for _, kind := range p.Conflicts(sel, limit, nil) {
			got[kind]++
		}
		rounds, stopped := 70, 0
		if limit > 0 && limit < 70 {
			rounds, stopped = limit, 1
		}
		if got[Conflict]+got[Release] != rounds || got[Stopped] != stopped {
			t.Errorf("limit %d: %v", limit, got)
		}
	}
	rounds := 0
	for range p.Conflicts(sel, 0, nil) {
		if rounds++; rounds == 3 {
			break
		}
	}
	if rounds != 3 || p.Solve() != Yes {
		t.Error("stopping early does no harm")
	}
}

func BenchmarkConflicts(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		p := New(40)
		var sel []Lit
		for range 6 {
			a, yes, no := p.Var(), p.Var(), p.Var()
			p.Guarded(yes, a)
			p.Guarded(no, a.Not())
			sel = append(sel, yes, no)
		}
		for range p.Conflicts(sel, 0, nil) {
		}
	}
}
