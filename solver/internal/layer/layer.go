// Package layer puts a model that was written for other solvers to falloff's own yes-or-no
// layer.
package layer

import (
	"slices"

	"falloff/solver/export"
	"falloff/solver/internal/sat"
)

// A Layer is a model as the search holds its lattice.
type Layer struct {
	m    *export.Model
	p    *sat.Problem
	sums []*sat.Order
}

// Encode makes clauses of a model.
func Encode(m *export.Model) *Layer {
	l := &Layer{m: m, p: sat.New(2 * len(m.Names))}
	for range m.Names {
		l.p.Var()
	}
	for _, c := range m.Clauses {
		l.p.Add(lits(c)...)
	}
	for _, c := range m.Counts {
		l.p.AtMost(c.Most, lits(c.Lits)...)
	}
	for _, s := range m.Sums {
		terms := make([]sat.Term, len(s.Terms))
		for i, t := range s.Terms {
			terms[i] = sat.Term{Lit: sat.Lit(t.Lit), Weight: t.Weight}
		}
		sum := l.p.Sum(terms, s.High())
		for _, st := range s.Steps {
			l.p.Add(sum.AtLeast(st.At).Not(), sat.Lit(st.Lit))
		}
		l.sums = append(l.sums, sum)
	}
	return l
}

func lits(numbers []int) []sat.Lit {
	out := make([]sat.Lit, len(numbers))
	for i, x := range numbers {
		out[i] = sat.Lit(x)
	}
	return out
}

// Cheapest is the costs of the n cheapest set-ups of distinct gear, the best first, with all
// musts met; fewer if there are no more. A cost is one number, as by Model.Weights.
func (l *Layer) Cheapest(n int) (costs []int) {
	musts, weights := lits(l.m.Musts()), l.m.Weights()
	floor := make([]int, len(l.sums))
	values := make([]bool, len(l.m.Names))
	for len(costs) < n && l.p.Least(musts, l.sums, floor) {
		cost := 0
		for i, sum := range l.sums {
			cost += weights[i] * sum.Value()
		}
		costs = append(costs, cost)
		for i := range values {
			values[i] = l.p.Value(sat.Lit(i + 1))
		}
		l.p.Add(lits(l.m.Other(values))...)
	}
	return costs
}

// Conflicts lists each minimal set of musts that cannot all hold, by the names of their
// selectors in order.
func (l *Layer) Conflicts() (out [][]string) {
	for set, kind := range l.p.Conflicts(lits(l.m.Musts()), 0, nil) {
		if kind != sat.Conflict {
			continue
		}
		names := []string{}
		for _, x := range set.Members {
			names = append(names, l.m.Names[x-1])
		}
		slices.Sort(names)
		out = append(out, names)
	}
	return out
}
