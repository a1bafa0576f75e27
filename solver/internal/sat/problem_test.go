package sat

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// puzzle is a random mixture of all constraints over n variables, with its rules. It
// grows by add, so that questions can come in between.
type puzzle struct {
	p     *Problem
	n     int
	rules []rule
}

func newPuzzle(n int) *puzzle {
	z := &puzzle{p: New(n), n: n}
	for range n {
		z.p.Var()
	}
	return z
}

func (z *puzzle) add(d dice) {
	p, n := z.p, z.n
	switch d.IntN(12) {
	default:
		clause := d.lits(n, 3)
		p.Add(clause...)
		z.rules = append(z.rules, func(w world) bool { return w.satisfies(clause) })
	case 0:
		lits := d.lits(n, d.between(1, 2*n))
		k := d.between(0, len(lits))
		p.AtMost(k, lits...)
		z.rules = append(z.rules, func(w world) bool { return w.count(lits) <= k })
	case 1:
		lits := d.lits(n, d.between(2, n))
		sel := d.lit(n)
		o := p.Sum(ones(lits), len(lits))
		k := d.between(0, len(lits))
		p.Guarded(sel, o.AtMost(k))
		z.rules = append(z.rules, func(w world) bool { return !w.holds(sel) || w.count(lits) <= k })
	case 2:
		if d.IntN(3) > 0 {
			return // strong: most puzzles should have none
		}
		lits := d.lits(n, d.between(3, 2*n))
		p.ExactlyOne(lits...)
		z.rules = append(z.rules, func(w world) bool { return w.count(lits) == 1 })
	case 3:
		terms := d.terms(n)
		ceiling := d.between(-6, 12)
		k := d.between(ceiling-6, ceiling)
		p.Add(p.Sum(terms, ceiling).AtMost(k))
		z.rules = append(z.rules, func(w world) bool { return w.sum(terms) <= k })
	}
}

func ones(lits []Lit) []Term {
	terms := make([]Term, len(lits))
	for i, m := range lits {
		terms[i] = Term{m, 1}
	}
	return terms
}

func (d dice) terms(n int) []Term {
	var terms []Term
	for _, m := range d.lits(n, d.between(0, n)) {
		terms = append(terms, Term{m, d.between(-3, 6)})
	}
	return terms
}

// All answers agree with trying every assignment: the verdict, the model, and that the
// reasons given suffice. Constraints are added between the questions.
func TestAgreesWithEveryAssignment(t *testing.T) {
	verdicts := tally{}
	wide, final := 0, 0
	for seed := range uint64(2500) {
		d := newDice(seed)
		z := newPuzzle(d.between(3, 10))
		if seed%7 == 0 {
			z.p.hint = 0 // the library has to grow
		}
		for round := 0; round < 5 && !z.p.never; round++ {
			for range d.between(1, z.n) {
				z.add(d)
			}
			for range 4 {
				assume := d.assumptions(z.n)
				worlds := possible(z.n, z.rules, assume)
				got := z.p.Solve(assume...)
				if got != outcomeOf(worlds) {
					t.Fatalf("seed %d: solve %v = %v, but %d of all assignments fit", seed, assume, got, len(worlds))
				}
				verdicts[got]++
				if z.p.never {
					final++
				}
				if got == Yes {
					if w := found(z.p, z.n); !slices.Contains(worlds, w) {
						t.Fatalf("seed %d: the model %b breaks a rule", seed, w)
					}
					continue
				}
				why := z.p.Why()
				if len(possible(z.n, z.rules, why)) > 0 || !subset(why, assume) {
					t.Fatalf("seed %d: %v is not a reason among %v", seed, why, assume)
				}
				if len(z.p.Shrink(assume)) < len(why) {
					wide++
				}
			}
		}
	}
	verdicts.report(t)
	t.Logf("%d reasons were longer than a minimal one, %d no by a contradiction", wide, final)
}

func subset(part, whole []Lit) bool {
	for _, m := range part {
		if !slices.Contains(whole, m) {
			return false
		}
	}
	return true
}

// Larger problems, near the threshold of random 3-SAT (4.26 clauses for each variable,
// Crawford and Auton 1996), exercise learning, restarts and growth. There the oracle is
// a fresh solver for each question, and the clauses themselves.
func TestIncrementalAgreesWithFresh(t *testing.T) {
	verdicts := tally{}
	for seed := range uint64(60) {
		d := newDice(seed)
		const n = 90
		p := New(int(seed%3) * n)
		for range n {
			p.Var()
		}
		for range 20 {
			for range d.between(15, 21) {
				p.Add(d.lits(n, 3)...)
			}
			assume := d.assumptions(n)
			assume = assume[:min(len(assume), d.IntN(24))]
			got := p.Solve(assume...)
			verdicts[got]++
			if got == Yes {
				for i := range p.ends {
					if !slices.ContainsFunc(p.clause(i), p.Value) {
						t.Fatalf("seed %d: a clause fails", seed)
					}
				}
			}
			if fresh := p.SolveAfresh(assume...); fresh != got {
				t.Fatalf("seed %d: %v, but afresh %v", seed, got, fresh)
			}
			if got == No && p.SolveAfresh(p.Shrink(assume)...) != No {
				t.Fatalf("seed %d: the shrunk reason can hold", seed)
			}
		}
	}
	verdicts.report(t)
}

func TestSameCallsSameAnswers(t *testing.T) {
	run := func() string {
		var log strings.Builder
		d := newDice(5)
		p := New(0)
		for range 80 {
			p.Var()
		}
		for range 20 {
			for range 17 {
				p.Add(d.lits(80, 3)...)
			}
			fmt.Fprintln(&log, p.Solve(d.lit(80), d.lit(80), d.lit(80)), p.Why(), p.model)
		}
		return log.String()
	}
	if run() != run() {
		t.Error("two runs differ")
	}
}

// After the clauses contradict each other, all further use is safe and says No.
func TestContradictionIsFinal(t *testing.T) {
	contradictions := map[string]func(p *Problem, a, b Lit){
		"empty clause": func(p *Problem, a, b Lit) { p.Add() },
		"false only":   func(p *Problem, a, b Lit) { p.Add(False, True.Not()) },
		"two units":    func(p *Problem, a, b Lit) { p.Add(a); p.Add(a.Not()) },
		"found by search": func(p *Problem, a, b Lit) {
			p.Add(a, b)
			p.Add(a, b.Not())
			p.Add(a.Not(), b)
			p.Add(a.Not(), b.Not())
		},
		"pigeons": func(p *Problem, a, b Lit) { pigeons(p, 5) },
	}
	for name, contradict := range contradictions {
		t.Run(name, func(t *testing.T) {
			p := New(2)
			a, b, c := p.Var(), p.Var(), p.Var()
			p.Add(b, c)
			if p.Solve(a) != Yes || !p.Value(a) {
				t.Fatal("a can hold")
			}
			contradict(p, a, b)
			for range 3 {
				if p.Solve(a, c) != No || p.Solve() != No {
					t.Fatal("the contradiction was forgotten")
				}
				if why := p.Why(); len(why) != 0 {
					t.Fatalf("no assumption is to blame, got %v", why)
				}
				if core := p.Shrink([]Lit{a, c}); len(core) != 0 {
					t.Fatalf("no assumption is to blame, got %v", core)
				}
				p.Add(p.Var(), a)
				p.AtMost(1, a, b, c)
			}
			if p.SolveAfresh(a) != No || p.SolveWithin(time.Hour, a) != No {
				t.Error("a fresh engine disagrees")
			}
			if !p.Value(a) {
				t.Error("the model of the last Yes was lost")
			}
			for set, kind := range p.Conflicts([]Lit{a, b}, 0, nil) {
				if kind != Conflict || len(set.Members) != 0 || !set.Minimal {
					t.Errorf("got %v, %v", set, kind)
				}
			}
		})
	}
}

// pigeons puts holes+1 pigeons in holes, one in each, which cannot be done.
func pigeons(p *Problem, holes int) {
	sits := make([][]Lit, holes)
	for range holes + 1 {
		var somewhere []Lit
		for h := range holes {
			m := p.Var()
			somewhere = append(somewhere, m)
			sits[h] = append(sits[h], m)
		}
		p.Add(somewhere...)
	}
	for _, hole := range sits {
		p.AtMost(1, hole...)
	}
}

// No clock decides here: no time at all is always too short, and a nanosecond is over
// when the library first looks, after its first 20,000 propagations.
func TestOutOfTimeIsUnknown(t *testing.T) {
	hard := New(100)
	pigeons(hard, 8)
	q := New(100)
	for range hard.vars {
		q.Var()
	}
	ok := q.Var()
	for i := range hard.ends {
		q.Guarded(ok.Not(), hard.clause(i)...)
	}
	if got := q.SolveWithin(0, ok); got != Unknown {
		t.Fatalf("no time: %v", got)
	}
	for range 2 {
		if got := q.SolveWithin(time.Nanosecond, ok.Not()); got != Unknown {
			t.Fatalf("one nanosecond: %v", got)
		}
		if len(q.Why()) != 0 {
			t.Fatal("an Unknown has no reason")
		}
	}
	// The stale deadline must not matter.
	if got := q.SolveWithin(time.Hour, ok); got != Yes {
		t.Fatalf("an hour: %v", got)
	}
	if got := q.Solve(ok.Not()); got != No {
		t.Fatalf("no limit: %v", got)
	}
	if got := q.Solve(ok); got != Yes {
		t.Fatalf("no limit: %v", got)
	}
}

func TestConstantAssumptions(t *testing.T) {
	p := New(1)
	a := p.Var()
	if p.Solve(True, a) != Yes || !p.Value(True) || p.Value(False) {
		t.Error("True can be assumed")
	}
	if p.Solve(a, False) != No || !slices.Equal(p.Why(), []Lit{False}) {
		t.Errorf("False cannot be assumed: %v", p.Why())
	}
	if got := p.Shrink([]Lit{a, True, False}); !slices.Equal(got, []Lit{False}) {
		t.Errorf("shrunk to %v", got)
	}
	if p.Solve(a, a.Not()) != No || len(p.Shrink([]Lit{a, a, a.Not()})) != 2 {
		t.Error("a and its negation are a conflict of two")
	}
	if p.Solve() != Yes {
		t.Error("assumptions last for one call")
	}
}

func TestMisusePanics(t *testing.T) {
	p, fresh, other := New(1), New(1), New(9)
	a, b := p.Var(), fresh.Var()
	for range 9 {
		other.Var()
	}
	misuse := map[string]func(){
		"zero literal":          func() { p.Add(a, 0) },
		"zero assumption":       func() { p.Solve(0) },
		"foreign literal":       func() { p.Add(other.Var()) },
		"no model":              func() { fresh.Value(b) },
		"empty range":           func() { p.Order(3, 2) },
		"no conflict":           func() { p.Shrink([]Lit{a}) },
		"above the ceiling":     func() { p.Sum([]Term{{a, 9}}, 3).AtMost(5) },
		"sum of rough sums":     func() { s := p.Sum([]Term{{a, 9}}, 3); p.SumOrders(s, s, 8) },
		"choices without value": func() { p.Channel([]Lit{a}, nil, p.Order(0, 1)) },
	}
	for name, f := range misuse {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("no panic")
				}
			}()
			f()
		})
	}
}

func TestDump(t *testing.T) {
	p := New(3)
	a, b, c := p.Var(), p.Var(), p.Var()
	p.Add(a, b.Not(), a, False)
	p.Add(a, a.Not())
	p.Add(c, True)
	p.Guarded(c, a, b)
	var out bytes.Buffer
	if err := p.Dump(&out, c, True, False, c); err != nil {
		t.Fatal(err)
	}
	want := "p cnf 3 4\n1 -2 0\n-3 1 2 0\n3 0\n0\n"
	if out.String() != want {
		t.Errorf("got\n%swant\n%s", &out, want)
	}
	if vars, clauses, solves := p.Stats(); vars != 3 || clauses != 2 || solves != 0 {
		t.Errorf("stats %d %d %d", vars, clauses, solves)
	}
}

// Cheapest first: lower the bound until nothing is left.
func ExampleProblem_Solve() {
	p := New(8)
	small, large, spare := p.Var(), p.Var(), p.Var()
	p.Add(small, large)
	p.Add(small.Not(), spare) // the small one needs the spare
	cost := p.Sum([]Term{{small, 2}, {large, 5}, {spare, 1}}, 8)

	var assume []Lit
	for p.Solve(assume...) == Yes {
		assume = []Lit{cost.AtMost(cost.Value() - 1)}
	}
	fmt.Println("cost", cost.Value(), "with the small one:", p.Value(small))
	// Output: cost 3 with the small one: true
}

func BenchmarkEncode(b *testing.B) {
	d := newDice(1)
	const n = 20_000 // few enough clauses for each to be easy
	clauses := make([][]Lit, 50_000)
	for i := range clauses {
		clauses[i] = []Lit{d.lit(n), d.lit(n), d.lit(n)}
	}
	encode := func() *Problem {
		p := New(n)
		for range n {
			p.Var()
		}
		for _, c := range clauses {
			p.Add(c...)
		}
		return p
	}
	b.Run("mirror", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			encode()
		}
	})
	b.Run("solve", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			encode().Solve()
		}
	})
	b.Run("again", func(b *testing.B) {
		b.ReportAllocs()
		p := encode()
		for b.Loop() {
			p.Solve(d.lit(n))
		}
	})
}
