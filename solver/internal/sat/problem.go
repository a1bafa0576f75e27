package sat

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"time"
)

// A Problem is a set of clauses over its own variables. It keeps a mirror of every
// clause, so that a fresh engine can be built whenever the old one must be thrown
// away. It is not safe for concurrent use.
type Problem struct {
	hint      int
	vars      int
	seen      []Lit // by variable: its literal in the clause being added
	lits      []Lit // all clauses, end to end
	ends      []int // clause i stops before lits[ends[i]]
	never     bool  // the clauses contradict each other
	encodings []encoded
	engine    *engine
	model     []bool // by variable, of the last Yes
	why       []Lit  // of the last No
	solves    int
}

// New returns an empty problem with room for about hint variables. A good hint saves
// time and changes nothing else.
func New(hint int) *Problem {
	hint = max(hint, 0)
	return &Problem{
		hint: hint,
		seen: make([]Lit, 1, hint+1),
		lits: make([]Lit, 0, 6*hint),
		ends: make([]int, 0, 2*hint),
	}
}

// Var returns a fresh variable. Selectors come from here: each goal gets its own, even
// if two goals ask for the same thing.
func (p *Problem) Var() Lit {
	p.vars++
	p.seen = append(p.seen, 0)
	return Lit(p.vars)
}

// Add demands that at least one literal of the clause holds. Repeats and clauses that
// always hold are dropped. An empty clause makes every later answer No.
func (p *Problem) Add(clause ...Lit) {
	start := len(p.lits)
	always := false
	for _, m := range clause {
		p.valid(m)
		v := m.Var()
		switch {
		case m == True || v != True && p.seen[v] == m.Not():
			always = true
		case m == False || p.seen[v] == m:
		default:
			p.seen[v] = m
			p.lits = append(p.lits, m)
		}
	}
	for _, m := range p.lits[start:] {
		p.seen[m.Var()] = 0
	}
	if always {
		p.lits = p.lits[:start]
		return
	}
	p.ends = append(p.ends, len(p.lits))
	if len(p.lits) == start {
		p.contradict()
	}
}

// Guarded demands the clause only while sel holds.
func (p *Problem) Guarded(sel Lit, clause ...Lit) {
	p.Add(append([]Lit{sel.Not()}, clause...)...)
}

// Solve decides whether all clauses and all assumptions can hold together. It does not
// answer Unknown. The assumptions last for this call only.
func (p *Problem) Solve(assume ...Lit) Outcome { return p.solve(0, assume) }

// SolveWithin is Solve with a limit on the time spent. It answers Unknown when the time
// is up, and sometimes a little later: the library looks at its clock now and then. Only
// an Unknown depends on the clock, and what follows one does not.
func (p *Problem) SolveWithin(limit time.Duration, assume ...Lit) Outcome {
	if limit <= 0 && !p.never {
		p.solves++
		p.why = p.why[:0]
		return Unknown
	}
	return p.solve(limit, assume)
}

// SolveAfresh answers as Solve does, with a new engine that has learned nothing and
// remembers no earlier answer. It leaves Value and Why as they were.
func (p *Problem) SolveAfresh(assume ...Lit) Outcome {
	p.solves++
	for _, m := range assume {
		p.valid(m)
		if m == False {
			return No
		}
	}
	if p.hasEmptyClause() {
		return No
	}
	e := newEngine(p.vars, len(p.lits))
	p.feed(e)
	return e.solve(0, assume)
}

func (p *Problem) solve(limit time.Duration, assume []Lit) Outcome {
	p.solves++
	p.why = p.why[:0]
	for _, m := range assume {
		p.valid(m)
	}
	switch {
	case p.never:
		return No
	case slices.Contains(assume, False):
		p.why = append(p.why, False)
		return No
	}
	if p.engine == nil {
		p.engine = newEngine(max(p.hint, p.vars), len(p.lits))
	}
	p.feed(p.engine)
	outcome := p.engine.solve(limit, assume)
	switch outcome {
	case Yes:
		p.model = p.engine.model(p.model, p.vars)
	case No:
		if p.why = p.engine.why(p.why); len(p.why) == 0 {
			p.contradict()
		}
	default:
		p.engine = nil
	}
	return outcome
}

// Value is the truth of m in the model of the last Yes. A No or Unknown in between
// leaves that model alone. A variable that is newer than the model counts as false.
// Before the first Yes there is no model, and Value panics.
func (p *Problem) Value(m Lit) bool {
	p.valid(m)
	if p.model == nil {
		panic("sat: there is no model yet")
	}
	v := m.Var()
	truth := v == True || int(v) < len(p.model) && p.model[v]
	return truth == (m > 0)
}

// Why returns the assumptions that were named for the last No, in no special order.
// They cannot hold together, but a part of them may suffice: see Shrink. It is empty if
// the clauses alone contradict each other, and then no later call can answer Yes.
func (p *Problem) Why() []Lit { return slices.Clone(p.why) }

// Stats counts the variables and clauses made so far, those of the encodings included,
// and the questions asked.
func (p *Problem) Stats() (vars, clauses, solves int) {
	return p.vars, len(p.ends), p.solves
}

// Dump writes the clauses in DIMACS CNF for a check by another program. Assumptions, if
// any, follow as clauses of one literal.
func (p *Problem) Dump(w io.Writer, assume ...Lit) error {
	assume = distinct(assume)
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "p cnf %d %d\n", p.vars, len(p.ends)+len(assume))
	line := func(clause ...Lit) {
		for _, m := range clause {
			fmt.Fprintf(out, "%d ", m)
		}
		fmt.Fprintln(out, 0)
	}
	for i := range p.ends {
		line(p.clause(i)...)
	}
	for _, m := range assume {
		p.valid(m)
		if m == False {
			line()
		} else {
			line(m)
		}
	}
	return out.Flush()
}

// contradict records that the clauses cannot all hold. The engine must not be asked
// again after that.
func (p *Problem) contradict() {
	p.never = true
	p.engine = nil
}

func (p *Problem) feed(e *engine) {
	for e.fed < len(p.ends) {
		e.add(p.clause(e.fed))
	}
}

// Vars lists the variables made so far.
func (p *Problem) Vars() (out []Lit) {
	for v := range p.vars {
		out = append(out, Lit(v+1))
	}
	return out
}

// Clause is the clause that was the i-th to be kept, from 0; it must not be changed.
func (p *Problem) Clause(i int) []Lit { return p.clause(i) }

func (p *Problem) clause(i int) []Lit {
	start := 0
	if i > 0 {
		start = p.ends[i-1]
	}
	return p.lits[start:p.ends[i]]
}

func (p *Problem) hasEmptyClause() bool {
	for i := range p.ends {
		if len(p.clause(i)) == 0 {
			return true
		}
	}
	return false
}

func (p *Problem) valid(m Lit) {
	if v := m.Var(); v != True && (v <= 0 || int(v) > p.vars) {
		panic(fmt.Sprintf("sat: literal %d does not belong to this problem", int32(m)))
	}
}
