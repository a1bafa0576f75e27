package sat

import "slices"

// Least finds a model of the assumptions with the least sums, the first the most important,
// and reports whether there is one. floor holds values below which the sums, in their
// order, are known not to go; it is raised to what was proved. Where the clauses and the
// assumptions only grow, it serves the next call too.
func (p *Problem) Least(assume []Lit, sums []*Order, floor []int) bool {
	within := func(n int, at []int) []Lit {
		out := slices.Clone(assume)
		for k := range n {
			out = append(out, sums[k].UpTo(at[k]))
		}
		return out
	}
	if p.Solve(within(len(sums), floor)...) == Yes {
		return true
	}
	if p.Solve(assume...) != Yes {
		return false
	}
	at := make([]int, len(sums))
	for k, sum := range sums {
		if at[k] = sum.Value(); k > 0 {
			p.Solve(within(k, at)...)
			at[k] = sum.Value()
		}
		for at[k] > floor[k] {
			less := slices.Clone(at)
			less[k]--
			if p.Solve(within(k+1, less)...) != Yes {
				break
			}
			at[k] = sum.Value()
		}
		if at[k] > floor[k] {
			clear(floor)
			copy(floor, at[:k+1])
		}
	}
	return true
}

// UpTo is AtMost, but True above the range, where a sum has no literal.
func (o *Order) UpTo(k int) Lit {
	if k >= o.High() {
		return True
	}
	return o.AtMost(k)
}
