package sat

import "slices"

// An Outline is a problem as another program may be given it: counts and sums as they were
// asked for, and not as the clauses that encode them, which are left out.
type Outline struct {
	Vars    int
	Clauses [][]Lit
	Counts  []Count
	Sums    []Total
}

// A Count demands that no more than Most of the literals hold.
type Count struct {
	Most int
	Lits []Lit
}

// A Total is a sum with the literals that bound it. A sum of one term needs none, for there
// the term bounds itself.
type Total struct {
	Of    *Order
	Terms []Term
	Steps []Step
}

// A Step is a literal that holds if a sum is At or more. As in Sum, the other direction is
// left open.
type Step struct {
	Lit Lit
	At  int
}

// encoded is a run of clauses that stands for one count or one sum.
type encoded struct {
	from, to int // clauses
	count    *Count
	total    *Total
}

// Outline describes the problem. Its literals are those of the problem.
func (p *Problem) Outline() *Outline {
	o := &Outline{Vars: p.vars}
	next := 0
	plain := func(to int) {
		for ; next < to; next++ {
			o.Clauses = append(o.Clauses, p.clause(next))
		}
	}
	for _, e := range p.encodings {
		plain(e.from)
		next = e.to
		if e.count != nil {
			o.Counts = append(o.Counts, *e.count)
		} else {
			o.Sums = append(o.Sums, *e.total)
		}
	}
	plain(len(p.ends))
	return o
}

// tellCount notes that the clauses since from count literals.
func (p *Problem) tellCount(from, most int, lits []Lit) {
	p.encodings = append(p.encodings, encoded{from: from, to: len(p.ends), count: &Count{most, lits}})
}

// tellSum notes that the clauses since from add up terms.
func (p *Problem) tellSum(from int, o *Order, terms []Term) {
	t := &Total{Of: o, Terms: terms}
	for i, step := range o.steps {
		if !slices.ContainsFunc(terms, func(t Term) bool { return t.Lit == step }) {
			t.Steps = append(t.Steps, Step{step, o.values[i+1]})
		}
	}
	p.encodings = append(p.encodings, encoded{from: from, to: len(p.ends), total: t})
}
