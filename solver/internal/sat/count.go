package sat

import "slices"

// ExactlyOne demands that one literal holds and the others do not.
func (p *Problem) ExactlyOne(lits ...Lit) {
	p.Add(lits...)
	p.AtMost(1, lits...)
}

// AtMost demands that no more than k of the literals hold. A literal that is listed
// twice counts twice. Every literal is ruled out by propagation as soon as k others hold.
func (p *Problem) AtMost(k int, lits ...Lit) {
	open := make([]Lit, 0, len(lits))
	for _, m := range lits {
		switch m {
		case True:
			k--
		case False:
		default:
			open = append(open, m)
		}
	}
	from := len(p.ends)
	switch n := len(open); {
	case k < 0:
		p.Add()
		return
	case k >= n:
		return
	case k == 0 || subsetsFit(n, k):
		p.forbidSubsets(k+1, open)
	default:
		p.sequentialCounter(k, open)
	}
	p.tellCount(from, k, open)
}

// subsetsFit reports whether forbidding each set of k+1 takes no more clauses than the
// sequential counter takes clauses and variables together.
func subsetsFit(n, k int) bool {
	budget := 2*n*k + n - 3*k - 1 + (n-1)*k
	subsets := 1
	for i := range min(k+1, n-k-1) {
		subsets = subsets * (n - i) / (i + 1)
		if subsets > budget {
			return false
		}
	}
	return true
}

// forbidSubsets adds one clause for every set of size literals.
func (p *Problem) forbidSubsets(size int, lits []Lit) {
	clause := make([]Lit, 0, size)
	var choose func(rest []Lit)
	choose = func(rest []Lit) {
		need := size - len(clause)
		if need == 0 {
			p.Add(clause...)
			return
		}
		for i := range len(rest) - need + 1 {
			clause = append(clause, rest[i].Not())
			choose(rest[i+1:])
			clause = clause[:len(clause)-1]
		}
	}
	choose(lits)
}

// sequentialCounter is the encoding LT-SEQ of Sinz, "Towards an optimal CNF encoding of
// Boolean cardinality constraints", CP 2005. After each literal, row[j] holds if more
// than j of the literals so far hold.
func (p *Problem) sequentialCounter(k int, lits []Lit) {
	row := slices.Repeat([]Lit{False}, k)
	next := slices.Clone(row)
	for i, m := range lits {
		p.Add(m.Not(), row[k-1].Not())
		if i == len(lits)-1 {
			return
		}
		below := True
		for j := range min(i+1, k) {
			next[j] = p.Var()
			p.Add(m.Not(), below.Not(), next[j])
			p.Add(row[j].Not(), next[j])
			below = row[j]
		}
		row, next = next, row
	}
}
