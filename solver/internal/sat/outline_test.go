package sat

import "testing"

// Given all variables, the clauses hold exactly where the outline does, and a sum can be
// bounded exactly where its terms allow it.
func TestOutline(t *testing.T) {
	verdicts, left := tally{}, 0
	for seed := range uint64(300) {
		d := newDice(seed)
		const n = 6
		p := New(0)
		for range n {
			p.Var()
		}
		for range d.between(0, 4) {
			p.Add(d.lits(n, 3)...)
			p.AtMost(d.between(1, 3), d.lits(n, d.between(2, 6))...)
		}
		var terms []Term
		for _, m := range d.lits(n, d.between(1, 5)) {
			terms = append(terms, Term{m, d.between(1, 6)})
		}
		sum := p.Sum(terms, 40)
		p.Add(d.lits(n, 3)...)
		o := p.Outline()
		_, clauses, _ := p.Stats()
		left += clauses - len(o.Clauses)
		if len(o.Sums) != 1 || o.Sums[0].Of != sum {
			t.Fatalf("seed %d: %d sums", seed, len(o.Sums))
		}
		for bits := range 1 << n {
			var given []Lit
			is := truths(bits)
			for v := Lit(1); v <= n; v++ {
				if is(v) {
					given = append(given, v)
				} else {
					given = append(given, v.Not())
				}
			}
			total := 0
			for _, x := range o.Sums[0].Terms {
				if is(x.Lit) {
					total += x.Weight
				}
			}
			want := No
			if o.holds(is) {
				want = Yes
			}
			if got := p.Solve(given...); got != want {
				t.Fatalf("seed %d: %v, but %v by the outline", seed, got, want)
			}
			verdicts[want]++
			if want == Yes && (p.Solve(append(given, sum.UpTo(total))...) != Yes || total > 0 && p.Solve(append(given, sum.UpTo(total-1))...) != No) {
				t.Fatalf("seed %d: the sum is not %d", seed, total)
			}
			for _, st := range o.Sums[0].Steps {
				if want == Yes && total >= st.At && p.Solve(append(given, st.Lit.Not())...) != No {
					t.Fatalf("seed %d: the step at %d does not hold at %d", seed, st.At, total)
				}
			}
		}
	}
	verdicts.report(t)
	if left == 0 {
		t.Error("no encoding was left out")
	}
}

// truths reads an assignment from bits, constants included.
func truths(bits int) func(Lit) bool {
	return func(m Lit) bool { return (m.Var() == True || bits>>(m.Var()-1)&1 == 1) == (m > 0) }
}

func (o *Outline) holds(is func(Lit) bool) bool {
	for _, c := range o.Clauses {
		some := false
		for _, m := range c {
			some = some || is(m)
		}
		if !some {
			return false
		}
	}
	for _, c := range o.Counts {
		n := 0
		for _, m := range c.Lits {
			if is(m) {
				n++
			}
		}
		if n > c.Most {
			return false
		}
	}
	return true
}

// Least goes through every assignment's sums, the first the most important, and goes on from
// what it proved when the best models are taken away one by one.
func TestLeast(t *testing.T) {
	found, none := 0, 0
	for seed := range uint64(200) {
		d := newDice(seed)
		const n = 6
		p := New(0)
		for range n {
			p.Var()
		}
		var clauses [][]Lit
		for range d.between(2, 12) {
			c := d.lits(n, 3)
			clauses = append(clauses, c)
			p.Add(c...)
		}
		var sums []*Order
		var terms [2][]Term
		for i := range terms {
			for _, m := range d.lits(n, d.between(1, 4)) {
				terms[i] = append(terms[i], Term{m, d.between(1, 4)})
			}
			sums = append(sums, p.Sum(terms[i], 20))
		}
		assume := d.lits(n, 1)
		floor := make([]int, 2)
		for {
			best := [2]int{1 << 20, 0}
			for bits := range 1 << n {
				is := truths(bits)
				o := Outline{Clauses: append(clauses, assume)}
				if !o.holds(is) {
					continue
				}
				var at [2]int
				for i := range terms {
					for _, x := range terms[i] {
						if is(x.Lit) {
							at[i] += x.Weight
						}
					}
				}
				if at[0] < best[0] || at[0] == best[0] && at[1] < best[1] {
					best = at
				}
			}
			if !p.Least(assume, sums, floor) {
				if best[0] < 1<<20 {
					t.Fatalf("seed %d: none, but %v is there", seed, best)
				}
				none++
				break
			}
			if got := [2]int{sums[0].Value(), sums[1].Value()}; got != best {
				t.Fatalf("seed %d: %v, want %v", seed, got, best)
			}
			found++
			var block []Lit
			for v := Lit(1); v <= n; v++ {
				if p.Value(v) {
					block = append(block, v.Not())
				} else {
					block = append(block, v)
				}
			}
			clauses = append(clauses, block)
			p.Add(block...)
		}
	}
	if found < 1000 || none < 100 {
		t.Errorf("%d found and %d ends: one of them is too rare", found, none)
	}
}
