package sat

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// A world is one assignment: bit v-1 is variable v. The oracle tries all of them.
type world uint

func (w world) holds(m Lit) bool {
	switch m {
	case True:
		return true
	case False:
		return false
	}
	return (w>>(m.Var()-1)&1 == 1) == (m > 0)
}

func (w world) satisfies(clause []Lit) bool { return slices.ContainsFunc(clause, w.holds) }

func (w world) count(lits []Lit) int {
	n := 0
	for _, m := range lits {
		if w.holds(m) {
			n++
		}
	}
	return n
}

func (w world) sum(terms []Term) int {
	n := 0
	for _, t := range terms {
		if w.holds(t.Lit) {
			n += t.Weight
		}
	}
	return n
}

// A rule is a constraint as the oracle reads it.
type rule func(world) bool

// possible lists the worlds over n variables in which all rules and literals hold.
func possible(n int, rules []rule, lits []Lit) []world {
	var all []world
	for w := world(0); w < 1<<n; w++ {
		ok := w.count(lits) == len(lits)
		for _, r := range rules {
			ok = ok && r(w)
		}
		if ok {
			all = append(all, w)
		}
	}
	return all
}

// found is the world of the last model, over the first n variables.
func found(p *Problem, n int) world {
	var w world
	for v := range n {
		if p.Value(Lit(v + 1)) {
			w |= 1 << v
		}
	}
	return w
}

// A dice makes random input from a seed, so that each case can be run again.
type dice struct{ *rand.Rand }

func newDice(seed uint64) dice { return dice{rand.New(rand.NewPCG(seed, 2))} }

func (d dice) between(lo, hi int) int { return lo + d.IntN(hi-lo+1) }

func (d dice) lit(n int) Lit {
	m := Lit(d.between(1, n))
	if d.IntN(2) == 0 {
		return m.Not()
	}
	return m
}

// lits draws with repeats, negations and now and then a constant.
func (d dice) lits(n, length int) []Lit {
	lits := make([]Lit, length)
	for i := range lits {
		switch d.IntN(40) {
		case 0:
			lits[i] = True
		case 1:
			lits[i] = False
		default:
			lits[i] = d.lit(n)
		}
	}
	return lits
}

// assumptions draws literals of different variables.
func (d dice) assumptions(n int) []Lit {
	var lits []Lit
	for _, v := range d.Perm(n)[:d.IntN(n+1)] {
		m := Lit(v + 1)
		if d.IntN(2) == 0 {
			m = m.Not()
		}
		lits = append(lits, m)
	}
	return lits
}

// outcomeOf is what the solver must say about these worlds.
func outcomeOf(worlds []world) Outcome {
	if len(worlds) > 0 {
		return Yes
	}
	return No
}

// A tally counts verdicts, so that a test shows that it saw enough of both.
type tally map[Outcome]int

func (c tally) report(t *testing.T) {
	t.Helper()
	t.Logf("%d yes, %d no", c[Yes], c[No])
	if few := (c[Yes] + c[No]) / 5; c[Yes] < few || c[No] < few {
		t.Errorf("one verdict is rare: %d yes, %d no", c[Yes], c[No])
	}
}
