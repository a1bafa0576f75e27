package sat

import (
	"slices"
	"testing"
)

// An integer takes each value of its range and no other, and its bounds mean what they say.
func TestOrderBounds(t *testing.T) {
	for _, bounds := range [][2]int{{0, 0}, {-3, 4}, {5, 11}} {
		lo, hi := bounds[0], bounds[1]
		p := New(10)
		o := p.Order(lo, hi)
		for k := lo - 2; k <= hi+2; k++ {
			atLeast, atMost := o.Is(k)
			want := Yes
			if k < lo || k > hi {
				want = No
			}
			if got := p.Solve(atLeast, atMost); got != want {
				t.Fatalf("%d in %v: %v", k, bounds, got)
			}
			if want == Yes && o.Value() != k {
				t.Fatalf("value %d, want %d", o.Value(), k)
			}
			for j := lo - 2; want == Yes && j <= hi+2; j++ {
				if p.Value(o.AtLeast(j)) != (k >= j) || p.Value(o.AtMost(j)) != (k <= j) {
					t.Fatalf("%d against bound %d", k, j)
				}
			}
		}
		if o.AtLeast(lo) != True || o.AtLeast(hi+1) != False || o.AtMost(hi) != True || o.AtMost(lo-1) != False {
			t.Errorf("the ends of %v are not constants", bounds)
		}
	}
}

// A choice and its integer agree both ways, also under bounds on the integer.
func TestChannel(t *testing.T) {
	verdicts := tally{}
	for seed := range uint64(1500) {
		d := newDice(seed)
		n := d.between(1, 8)
		p := New(20)
		lits := make([]Lit, n)
		values := make([]int, n)
		for i := range lits {
			lits[i], values[i] = p.Var(), d.between(-1, 8)
		}
		lo := d.between(0, 3)
		hi := d.between(lo, 7)
		o := p.Order(lo, hi)
		p.ExactlyOne(lits...)
		p.Channel(lits, values, o)
		from, to := d.between(lo-1, hi+1), d.between(lo-1, hi+1)
		var fit []int
		for i, v := range values {
			if v >= max(lo, from) && v <= min(hi, to) {
				fit = append(fit, i)
			}
		}
		got := p.Solve(o.AtLeast(from), o.AtMost(to))
		verdicts[got]++
		if (got == Yes) != (len(fit) > 0) {
			t.Fatalf("seed %d: %v, but %d choices fit", seed, got, len(fit))
		}
		if got == Yes {
			i := slices.IndexFunc(lits, p.Value)
			if !slices.Contains(fit, i) || o.Value() != values[i] {
				t.Fatalf("seed %d: choice %d has %d, the integer is %d", seed, i, values[i], o.Value())
			}
		}
	}
	verdicts.report(t)
}

// For each assignment and each bound up to the ceiling, a sum can be kept at or below
// the bound exactly if the true sum is.
func TestSumIsExactUpToItsCeiling(t *testing.T) {
	verdicts := tally{}
	for seed := range uint64(1200) {
		d := newDice(seed)
		n := d.between(1, 6)
		p := New(40)
		for range n {
			p.Var()
		}
		left, right := d.terms(n), d.terms(n)
		all := append(slices.Clone(left), right...)
		ceiling := d.between(-4, 14)
		o := sumInSomeWay(p, d, left, right, ceiling)
		for w := world(0); w < 1<<n; w++ {
			assume := make([]Lit, n)
			for v := range n {
				if assume[v] = Lit(v + 1); !w.holds(assume[v]) {
					assume[v] = assume[v].Not()
				}
			}
			want := w.sum(all)
			if p.Solve(assume...) != Yes || o.Value() != want {
				t.Fatalf("seed %d: value %d, want %d", seed, o.Value(), want)
			}
			for _, k := range []int{d.between(-12, ceiling), min(want, ceiling), min(want-1, ceiling)} {
				got := p.Solve(append(assume, o.AtMost(k))...)
				verdicts[got]++
				if (got == Yes) != (want <= k) {
					t.Fatalf("seed %d: %v + %v in %06b is %d, at most %d: %v", seed, left, right, w, want, k, got)
				}
			}
		}
	}
	verdicts.report(t)
}

// sumInSomeWay adds the terms at once, or as a sum of two sums.
func sumInSomeWay(p *Problem, d dice, left, right []Term, ceiling int) *Order {
	if d.IntN(2) == 0 {
		return p.Sum(append(slices.Clone(left), right...), ceiling)
	}
	const plenty = 1000
	return p.SumOrders(p.Sum(left, plenty), p.Sum(right, plenty), ceiling)
}

// The sum of two integers can be kept at or below a bound exactly if it is.
func TestSumOfIntegers(t *testing.T) {
	p := New(60)
	a, b := p.Order(-2, 5), p.Order(1, 6)
	o := p.SumOrders(a, b, 7)
	for x := -2; x <= 5; x++ {
		for y := 1; y <= 6; y++ {
			ax, ay := a.Is(x)
			bx, by := b.Is(y)
			for k := -3; k <= 7; k++ {
				if got := p.Solve(ax, ay, bx, by, o.AtMost(k)); (got == Yes) != (x+y <= k) {
					t.Fatalf("%d + %d at most %d: %v", x, y, k, got)
				}
			}
		}
	}
}

// A repeated weight makes few sums, so a hundred equal terms stay small: each of the 99
// additions has at most 7 values on either side and 6 steps in its result.
func TestSumStaysSmall(t *testing.T) {
	p := New(2000)
	var terms []Term
	for range 100 {
		terms = append(terms, Term{p.Var(), 30})
	}
	o := p.Sum(terms, 150)
	if _, clauses, _ := p.Stats(); clauses > 99*(7*7+6) {
		t.Errorf("%d clauses", clauses)
	}
	if want := []int{0, 30, 60, 90, 120, 150, 151}; !slices.Equal(o.values, want) {
		t.Errorf("steps at %v, want %v", o.values, want)
	}
}
