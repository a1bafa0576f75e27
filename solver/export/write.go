package export

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// page is a text under way.
type page struct {
	bytes.Buffer
	m *Model
}

func (p *page) line(format string, args ...any) {
	fmt.Fprintf(p, format, args...)
	p.WriteByte('\n')
}

// remarks writes the title and the notes as comments.
func (p *page) remarks(mark string) {
	for _, text := range append([]string{p.m.Title}, p.m.Notes...) {
		p.line("%s %s", mark, strings.Join(strings.Fields(text), " "))
	}
}

func (p *page) name(lit int) string { return p.m.Names[max(lit, -lit)-1] }

// wrap writes items with a separator, some to a line.
func (p *page) wrap(items []string, sep string) {
	const columns = 100
	n := 0
	for i, it := range items {
		if i > 0 {
			p.WriteString(sep)
			if n > columns {
				p.WriteString("\n   ")
				n = 0
			} else {
				p.WriteByte(' ')
			}
		}
		p.WriteString(it)
		n += len(it) + 2
	}
}

// goalRemark says what a goal is, in one line.
func goalRemark(g Goal) string {
	text := strings.Join(strings.Fields(g.Text), " ")
	if g.Wish > 0 {
		return fmt.Sprintf("wish %d: %s", g.Wish, text)
	}
	return "must: " + text
}

// MiniZinc writes the model in MiniZinc 2. Everything is a Boolean, settings by steps ("this
// or more"), for the rules are clauses over such steps; counts and sums are linear.
func (m *Model) MiniZinc() []byte {
	p := &page{m: m}
	p.remarks("%")
	goal := map[int]Goal{}
	for _, g := range m.Goals {
		goal[g.Lit] = g
	}
	for i, name := range m.Names {
		if g, ok := goal[i+1]; ok {
			p.line("var bool: %s; %% %s", name, goalRemark(g))
		} else {
			p.line("var bool: %s;", name)
		}
	}
	for _, c := range m.Clauses {
		var yes, no []string
		for _, x := range c {
			if x > 0 {
				yes = append(yes, p.name(x))
			} else {
				no = append(no, p.name(x))
			}
		}
		if len(c) == 1 && len(yes) == 1 {
			p.line("constraint %s;", yes[0])
			continue
		}
		p.line("constraint bool_clause([%s], [%s]);", strings.Join(yes, ", "), strings.Join(no, ", "))
	}
	lit := func(x int) string {
		if x < 0 {
			return "not " + p.name(x)
		}
		return p.name(x)
	}
	term := func(x int) string { return "bool2int(" + lit(x) + ")" }
	sum := func(items []string) {
		p.WriteString("sum([")
		p.wrap(items, ",")
		p.WriteString("])")
	}
	for _, c := range m.Counts {
		var items []string
		for _, x := range c.Lits {
			items = append(items, term(x))
		}
		p.WriteString("constraint ")
		sum(items)
		p.line(" <= %d;", c.Most)
	}
	var cost []string
	weights := m.Weights()
	for i, s := range m.Sums {
		var items []string
		for _, t := range s.Terms {
			items = append(items, fmt.Sprintf("%d*%s", t.Weight, term(t.Lit)))
		}
		p.WriteString(fmt.Sprintf("var 0..%d: %s = ", s.High(), s.Name))
		sum(items)
		p.line(";")
		for _, st := range s.Steps {
			p.line("constraint (%s >= %d) -> (%s);", s.Name, st.At, lit(st.Lit))
		}
		cost = append(cost, fmt.Sprintf("%d*%s", weights[i], s.Name))
	}
	for _, g := range m.Goals {
		if g.Wish == 0 {
			p.line("constraint %s; %% must", p.name(g.Lit))
		}
	}
	p.line("var 0..%d: cost = %s;", m.highest(), strings.Join(cost, " + "))
	p.line("solve minimize cost;")
	var gear, words []string
	for _, v := range m.Gear {
		gear = append(gear, p.name(v))
		words = append(words, strconv.Quote(p.name(v)+"\n"))
	}
	p.WriteString("array[int] of var bool: gear = [")
	p.wrap(gear, ",")
	p.WriteString("];\narray[int] of string: words = [")
	p.wrap(words, ",")
	p.line("];")
	p.line(`output ["cost \(cost)\n"] ++ [words[i] | i in index_set(gear) where fix(gear[i])];`)
	return p.Bytes()
}

// highest is the largest cost.
func (m *Model) highest() (high int) {
	for i, w := range m.Weights() {
		high += w * m.Sums[i].High()
	}
	return high
}

// SMT writes the model in SMT-LIB 2, with the objectives of z3, which are no part of the
// standard: the sums are minimised in their order. Musts have names; a list of the gear that
// tells set-ups apart, and of the lights, goes along as information.
func (m *Model) SMT() []byte {
	p := &page{m: m}
	p.remarks(";")
	p.list("gear", m.Gear)
	p.list("used", m.Used)
	p.rules()
	for _, g := range m.Goals {
		if g.Wish == 0 {
			p.line("(assert (! %s :named must_%s)) ; %s", p.name(g.Lit), p.name(g.Lit), goalRemark(g))
		} else {
			p.line("; %s: %s", p.name(g.Lit), goalRemark(g))
		}
	}
	for _, s := range m.Sums {
		p.line("(minimize %s)", s.Name)
	}
	p.line("(check-sat)")
	p.line("(get-objectives)")
	return p.Bytes()
}

// list writes variables as a remark that a reader can find.
func (p *page) list(what string, vars []int) {
	names := make([]string, len(vars))
	for i, v := range vars {
		names[i] = p.name(v)
	}
	p.line("(set-info :%s %q)", what, strings.Join(names, " "))
}

// rules declares the variables and asserts everything but the musts.
func (p *page) rules() {
	m := p.m
	for _, name := range m.Names {
		p.line("(declare-const %s Bool)", name)
	}
	lit := func(x int) string {
		if x < 0 {
			return "(not " + p.name(x) + ")"
		}
		return p.name(x)
	}
	for _, c := range m.Clauses {
		switch len(c) {
		case 0:
			p.line("(assert false)")
		case 1:
			p.line("(assert %s)", lit(c[0]))
		default:
			p.WriteString("(assert (or")
			for _, x := range c {
				p.WriteString(" " + lit(x))
			}
			p.line("))")
		}
	}
	add := func(terms []Term) {
		items := []string{"(+ 0"}
		for _, t := range terms {
			items = append(items, fmt.Sprintf("(ite %s %d 0)", lit(t.Lit), t.Weight))
		}
		p.wrap(items, "")
		p.WriteByte(')')
	}
	for _, c := range m.Counts {
		var terms []Term
		for _, x := range c.Lits {
			terms = append(terms, Term{x, 1})
		}
		p.WriteString("(assert (<= ")
		add(terms)
		p.line(" %d))", c.Most)
	}
	for _, s := range m.Sums {
		p.WriteString("(define-fun " + s.Name + " () Int ")
		add(s.Terms)
		p.line(")")
		for _, st := range s.Steps {
			p.line("(assert (=> (>= %s %d) %s))", s.Name, st.At, lit(st.Lit))
		}
	}
}

// LP writes the model as a 0-1 linear program in the format that CPLEX made common: a clause
// is a sum of at least one. The variable one is 1, so that the objective is the whole cost.
func (m *Model) LP() []byte {
	p := &page{m: m}
	p.remarks(`\`)
	// linear writes a sum in which each variable stands once; the constant is what negative
	// literals add.
	linear := func(terms []Term) (items []string, constant int) {
		weight := map[int]int{}
		var vars []int
		for _, t := range terms {
			v, w := t.Lit, t.Weight
			if v < 0 {
				v, w, constant = -v, -w, constant+w
			}
			if _, ok := weight[v]; !ok {
				vars = append(vars, v)
			}
			weight[v] += w
		}
		for _, v := range vars {
			items = append(items, fmt.Sprintf("%+d %s", weight[v], p.name(v)))
		}
		return items, constant
	}
	rows := 0
	row := func(terms []Term, relation string, bound int) {
		rows++
		items, constant := linear(terms)
		if len(items) == 0 {
			items = []string{"+0 one"}
		}
		p.wrap(append([]string{fmt.Sprintf(" r%d:", rows)}, items...), "")
		p.line(" %s %d", relation, bound-constant)
	}
	ones := func(lits []int) (terms []Term) {
		for _, x := range lits {
			terms = append(terms, Term{x, 1})
		}
		return terms
	}
	var cost []Term
	for i, w := range m.Weights() {
		for _, t := range m.Sums[i].Terms {
			cost = append(cost, Term{t.Lit, w * t.Weight})
		}
	}
	items, constant := linear(cost)
	p.line("Minimize")
	p.wrap(append([]string{" cost:"}, append(items, fmt.Sprintf("%+d one", constant))...), "")
	p.line("\nSubject To")
	for _, c := range m.Clauses {
		row(ones(c), ">=", 1)
	}
	for _, c := range m.Counts {
		row(ones(c.Lits), "<=", c.Most)
	}
	for _, s := range m.Sums {
		for _, st := range s.Steps { // without the step the sum is below At
			row(append([]Term{{st.Lit, st.At - 1 - s.High()}}, s.Terms...), "<=", st.At-1)
		}
	}
	for _, x := range m.Musts() {
		row(ones([]int{x}), ">=", 1)
	}
	p.line("Bounds\n one = 1\nBinaries")
	for _, name := range m.Names {
		p.line(" %s", name)
	}
	p.line("End")
	return p.Bytes()
}
