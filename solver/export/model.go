// Package export writes a yes-or-no problem with a cost for other solvers: as MiniZinc, as
// SMT-LIB and as a linear program. It knows no lights and no search.
package export

import (
	"fmt"
	"slices"
	"strings"
)

// A Model is clauses, counts and sums over named variables, with the least of a cost
// wanted. A literal is the number of a variable, from 1, or its negative.
type Model struct {
	Title   string
	Notes   []string
	Names   []string // of variable v at v-1: unique identifiers, see Namer
	Clauses [][]int
	Counts  []Count
	Sums    []Sum
	Goals   []Goal
	Gear    []int // choices, one of which holds for each part of a light or the camera that is used
	Used    []int // one a light: it is used
}

// A Count says that no more than Most of the literals hold.
type Count struct {
	Most int
	Lits []int
}

// A Sum adds the weights, all positive, of the terms that hold. The cost is the sums in
// their order, the first the most important.
type Sum struct {
	Name  string
	Terms []Term
	Steps []Step
}

// A Term counts Weight while Lit holds.
type Term struct{ Lit, Weight int }

// A Step is a literal that holds if the sum is At or more. It may hold otherwise.
type Step struct{ Lit, At int }

// A Goal has a selector: the rules of the goal stand while it holds. A goal with a Wish
// may be missed, at that cost; a must has to hold.
type Goal struct {
	Lit  int
	Text string
	Wish int
}

// High is the largest value that a sum can have.
func (s *Sum) High() (high int) {
	for _, t := range s.Terms {
		high += t.Weight
	}
	return high
}

// Weights turn the cost into one number that ranks in the same way: what one of each sum
// counts.
func (m *Model) Weights() []int {
	w := make([]int, len(m.Sums))
	next := 1
	for i, s := range slices.Backward(m.Sums) {
		w[i] = next
		next *= s.High() + 1
	}
	return w
}

// Musts are the selectors of goals that have to hold.
func (m *Model) Musts() (out []int) {
	for _, g := range m.Goals {
		if g.Wish == 0 {
			out = append(out, g.Lit)
		}
	}
	return out
}

// Other is a clause that asks for other gear than that of an assignment, by variable at v-1:
// two set-ups are distinct if they differ in gear.
func (m *Model) Other(values []bool) (clause []int) {
	for _, v := range m.Gear {
		if values[v-1] {
			clause = append(clause, -v)
		}
	}
	for _, v := range m.Used {
		if !values[v-1] {
			clause = append(clause, v)
		}
	}
	return clause
}

// Holds reports whether an assignment, by variable at v-1, satisfies all but the musts, and
// what each sum is then.
func (m *Model) Holds(values []bool) (holds bool, sums []int) {
	is := func(lit int) bool { return lit > 0 && values[lit-1] || lit < 0 && !values[-lit-1] }
	for _, c := range m.Clauses {
		if !slices.ContainsFunc(c, is) {
			return false, nil
		}
	}
	for _, c := range m.Counts {
		n := 0
		for _, x := range c.Lits {
			if is(x) {
				n++
			}
		}
		if n > c.Most {
			return false, nil
		}
	}
	for _, s := range m.Sums {
		sum := 0
		for _, t := range s.Terms {
			if is(t.Lit) {
				sum += t.Weight
			}
		}
		for _, st := range s.Steps {
			if sum >= st.At && !is(st.Lit) {
				return false, nil
			}
		}
		sums = append(sums, sum)
	}
	return true, sums
}

// Settle takes out what says nothing: steps of sums that no clause uses; variables that are not kept and that only ever occur
// in one polarity, with the clauses that they satisfy. Such are the marks by which a search
// sets gear aside for a while. What the kept variables can be stays the same. Variables that
// are then in no clause are dropped and the others numbered anew.
func (m *Model) Settle(kept []int) {
	used := make([]bool, len(m.Names)+1)
	for _, c := range m.Clauses {
		for _, x := range c {
			used[max(x, -x)] = true
		}
	}
	for i := range m.Sums {
		s := &m.Sums[i]
		s.Steps = slices.DeleteFunc(s.Steps, func(st Step) bool { return !used[max(st.Lit, -st.Lit)] })
	}
	firm := make([]bool, len(m.Names)+1)
	hold := func(lit int) { firm[max(lit, -lit)] = true }
	for _, v := range slices.Concat(kept, m.Gear, m.Used) {
		hold(v)
	}
	for _, g := range m.Goals {
		hold(g.Lit)
	}
	for _, c := range m.Counts {
		for _, x := range c.Lits {
			hold(x)
		}
	}
	for _, s := range m.Sums {
		for _, t := range s.Terms {
			hold(t.Lit)
		}
		for _, st := range s.Steps {
			hold(st.Lit)
		}
	}
	for {
		var yes, no = make([]bool, len(firm)), make([]bool, len(firm))
		for _, c := range m.Clauses {
			for _, x := range c {
				yes[max(x, 0)], no[max(-x, 0)] = true, true
			}
		}
		free := func(x int) bool { v := max(x, -x); return !firm[v] && !(yes[v] && no[v]) }
		before := len(m.Clauses)
		m.Clauses = slices.DeleteFunc(m.Clauses, func(c []int) bool { return slices.ContainsFunc(c, free) })
		if len(m.Clauses) == before {
			break
		}
	}
	m.renumber(firm)
}

// renumber keeps variables that are firm or occur in a clause.
func (m *Model) renumber(firm []bool) {
	for _, c := range m.Clauses {
		for _, x := range c {
			firm[max(x, -x)] = true
		}
	}
	to := make([]int, len(firm))
	names := m.Names
	m.Names = nil
	for v := 1; v < len(firm); v++ {
		if firm[v] {
			m.Names = append(m.Names, names[v-1])
			to[v] = len(m.Names)
		}
	}
	move := func(x *int) {
		if *x < 0 {
			*x = -to[-*x]
		} else {
			*x = to[*x]
		}
	}
	for _, c := range m.Clauses {
		for i := range c {
			move(&c[i])
		}
	}
	for _, c := range m.Counts {
		for i := range c.Lits {
			move(&c.Lits[i])
		}
	}
	for _, s := range m.Sums {
		for i := range s.Terms {
			move(&s.Terms[i].Lit)
		}
		for i := range s.Steps {
			move(&s.Steps[i].Lit)
		}
	}
	for i := range m.Goals {
		move(&m.Goals[i].Lit)
	}
	for i := range m.Gear {
		move(&m.Gear[i])
	}
	for i := range m.Used {
		move(&m.Used[i])
	}
}

// A Namer makes identifiers that all three languages take: small letters, digits and
// underscores, a letter first, none twice.
type Namer struct{ used map[string]bool }

// longestName is what readers of linear programs take, with room for a number.
const longestName = 80

// Name makes an identifier of words.
func (n *Namer) Name(words string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(words) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "_"):
			b.WriteByte('_')
		}
	}
	base := strings.TrimRight(b.String(), "_")
	base = base[:min(len(base), longestName)]
	if base == "" || base[0] < 'a' || base[0] == 'e' { // "e1" is a number to some
		base = "is_" + base
	}
	if n.used == nil {
		n.used = map[string]bool{}
	}
	name := base
	for i := 2; n.used[name] || reserved[name]; i++ {
		name = fmt.Sprintf("%s_%d", base, i)
	}
	n.used[name] = true
	return name
}

// reserved are identifiers of one of the languages that a set-up's words might hit.
var reserved = map[string]bool{"cost": true, "one": true, "free": true, "inf": true, "st": true, "bin": true, "in": true, "let": true, "par": true, "set": true,
	"var": true, "output": true, "distinct": true, "check": true, "gear": true, "words": true,
	"lights": true, "minutes": true, "missed": true}
