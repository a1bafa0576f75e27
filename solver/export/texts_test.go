package export

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"text/scanner"
)

// Small evaluators of the three languages. They know the languages' grammar where it is
// used, and nothing of how a model is written.

// tokens splits a text; a comment runs from the mark to the end of its line.
func tokens(text, comment string) (out []string) {
	var s scanner.Scanner
	s.Init(strings.NewReader(without(comment, text)))
	s.Mode = scanner.ScanIdents | scanner.ScanInts | scanner.ScanStrings
	for s.Scan() != scanner.EOF {
		out = append(out, s.TokenText())
	}
	return out
}

// tree is a value that is computed once the variables are known. A yes counts 1.
type tree func(is map[string]int) int

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// parser goes through tokens.
type parser struct{ left []string }

func (p *parser) next() string {
	if len(p.left) == 0 {
		panic("the text ends too early")
	}
	w := p.left[0]
	p.left = p.left[1:]
	return w
}

func (p *parser) eat(words ...string) bool {
	for i, w := range words {
		if i >= len(p.left) || p.left[i] != w {
			return false
		}
	}
	p.left = p.left[len(words):]
	return true
}

func (p *parser) must(words ...string) {
	if !p.eat(words...) {
		panic(fmt.Sprintf("%q expected before %q", words, p.left[:min(5, len(p.left))]))
	}
}

// miniZinc reads declarations, constraints and the objective.
func miniZinc(text string) func(map[string]bool) (bool, int) {
	p := &parser{tokens(text, "%")}
	var rules []tree
	var defined []string
	values := map[string]tree{}
	var cost tree
	bools := map[string]bool{}
	for len(p.left) > 0 {
		switch {
		case p.eat("var", "bool", ":"):
			bools[p.next()] = true
		case p.eat("var"):
			low := p.next()
			p.must(".", ".")
			high := p.next()
			p.must(":")
			name := p.next()
			p.must("=")
			value := p.compared()
			values[name], defined = value, append(defined, name)
			rules = append(rules, func(is map[string]int) int {
				lo, _ := strconv.Atoi(low)
				hi, _ := strconv.Atoi(high)
				v := is[name]
				return count(lo <= v && v <= hi)
			})
		case p.eat("constraint"):
			rules = append(rules, p.implied())
		case p.eat("solve", "minimize"):
			cost = p.compared()
		case p.eat("array"), p.eat("output"): // they only show what was found
			for p.left[0] != ";" {
				p.next()
			}
		default:
			panic("no item begins with " + p.left[0])
		}
		p.must(";")
	}
	return func(given map[string]bool) (bool, int) {
		is := map[string]int{}
		for name, yes := range given {
			if !bools[name] {
				panic(name + " is not declared")
			}
			is[name] = count(yes)
		}
		for _, name := range defined {
			is[name] = values[name](is)
		}
		for _, r := range rules {
			if r(is) == 0 {
				return false, 0
			}
		}
		return true, cost(is)
	}
}

// implied is one comparison or "A -> B".
func (p *parser) implied() tree {
	a := p.compared()
	if p.eat("-", ">") {
		b := p.compared()
		return func(is map[string]int) int { return count(a(is) <= b(is)) }
	}
	return a
}

func (p *parser) compared() tree {
	a := p.added()
	switch {
	case p.eat("<", "="):
		b := p.added()
		return func(is map[string]int) int { return count(a(is) <= b(is)) }
	case p.eat(">", "="):
		b := p.added()
		return func(is map[string]int) int { return count(a(is) >= b(is)) }
	}
	return a
}

func (p *parser) added() tree {
	a := p.multiplied()
	for p.eat("+") {
		x, b := a, p.multiplied()
		a = func(is map[string]int) int { return x(is) + b(is) }
	}
	return a
}

func (p *parser) multiplied() tree {
	a := p.single()
	for p.eat("*") {
		x, b := a, p.single()
		a = func(is map[string]int) int { return x(is) * b(is) }
	}
	return a
}

func (p *parser) list() (out []tree) {
	p.must("[")
	for !p.eat("]") {
		out = append(out, p.implied())
		p.eat(",")
	}
	return out
}

func (p *parser) single() tree {
	switch {
	case p.eat("("):
		a := p.implied()
		p.must(")")
		return a
	case p.eat("not"):
		a := p.single()
		return func(is map[string]int) int { return 1 - a(is) }
	case p.eat("bool2int", "("):
		a := p.implied()
		p.must(")")
		return a
	case p.eat("sum", "("):
		all := p.list()
		p.must(")")
		return func(is map[string]int) (sum int) {
			for _, a := range all {
				sum += a(is)
			}
			return sum
		}
	case p.eat("bool_clause", "("):
		yes := p.list()
		p.must(",")
		no := p.list()
		p.must(")")
		return func(is map[string]int) int {
			some := 0
			for _, a := range yes {
				some += a(is)
			}
			for _, a := range no {
				some += 1 - a(is)
			}
			return count(some > 0)
		}
	}
	w := p.next()
	if n, err := strconv.Atoi(w); err == nil {
		return func(map[string]int) int { return n }
	}
	return func(is map[string]int) int {
		v, ok := is[w]
		if !ok {
			panic(w + " is not known")
		}
		return v
	}
}

// smtLib evaluates assertions and weighs the objectives in their order: no sum of the
// models here reaches the base.
func smtLib(text string) func(map[string]bool) (bool, int) {
	var forms [][]any
	p := &parser{strings.Fields(strings.NewReplacer("(", " ( ", ")", " ) ").Replace(without(";", text)))}
	for len(p.left) > 0 {
		forms = append(forms, p.form().([]any))
	}
	return func(given map[string]bool) (bool, int) {
		is := map[string]int{}
		for name, yes := range given {
			is[name] = count(yes)
		}
		var sums, highs []int
		for _, f := range forms {
			switch f[0] {
			case "define-fun":
				is[f[1].(string)] = smtValue(f[4], is)
				highs = append(highs, highest(f[4]))
			case "assert":
				if smtValue(f[1], is) == 0 {
					return false, 0
				}
			case "minimize":
				sums = append(sums, smtValue(f[1], is))
			}
		}
		cost := 0
		for i, s := range sums { // lexicographic, in mixed base
			cost = cost*(highs[i]+1) + s
		}
		return true, cost
	}
}

// highest is what a sum of (ite _ WEIGHT 0) can reach.
func highest(f any) (high int) {
	if l, ok := f.([]any); ok && l[0] == "ite" {
		return smtValue(l[2], nil)
	} else if ok {
		for _, x := range l[1:] {
			high += highest(x)
		}
	}
	return high
}

// without drops comments, which run from the mark to the end of the line.
func without(comment, text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i], _, _ = strings.Cut(lines[i], comment)
	}
	return strings.Join(lines, "\n")
}

func (p *parser) form() any {
	w := p.next()
	if w != "(" {
		return w
	}
	list := []any{}
	for !p.eat(")") {
		list = append(list, p.form())
	}
	return list
}

func smtValue(f any, is map[string]int) int {
	if w, ok := f.(string); ok {
		if w == "false" {
			return 0
		}
		if n, err := strconv.Atoi(w); err == nil {
			return n
		}
		v, ok := is[w]
		if !ok {
			panic(w + " is not known")
		}
		return v
	}
	l := f.([]any)
	arg := func(i int) int { return smtValue(l[i], is) }
	switch l[0] {
	case "not":
		return 1 - arg(1)
	case "!":
		return arg(1)
	case "=>":
		return count(arg(1) <= arg(2))
	case "<=":
		return count(arg(1) <= arg(2))
	case ">=":
		return count(arg(1) >= arg(2))
	case "ite":
		if arg(1) == 1 {
			return arg(2)
		}
		return arg(3)
	case "or", "+":
		sum := 0
		for i := range l[1:] {
			sum += arg(i + 1)
		}
		if l[0] == "or" {
			return count(sum > 0)
		}
		return sum
	}
	panic(fmt.Sprint("no function ", l[0]))
}

// linear reads the objective and the rows of a linear program.
func linear(text string) func(map[string]bool) (bool, int) {
	p := &parser{strings.Fields(strings.NewReplacer(":", " : ").Replace(strings.ReplaceAll(without(`\`, text), "Subject To", "Subject-To")))}
	// row reads WEIGHT NAME pairs up to a word that is no weight.
	row := func() (names []string, weights []int) {
		for len(p.left) > 0 {
			w, err := strconv.Atoi(p.left[0])
			if err != nil {
				break
			}
			p.next()
			names, weights = append(names, p.next()), append(weights, w)
		}
		return names, weights
	}
	value := func(names []string, weights []int, is map[string]bool) (sum int) {
		for i, name := range names {
			if is[name] || name == "one" {
				sum += weights[i]
			}
		}
		return sum
	}
	p.must("Minimize", "cost", ":")
	costNames, costWeights := row()
	p.must("Subject-To")
	type bound struct {
		names    []string
		weights  []int
		relation string
		than     int
	}
	var rows []bound
	for !p.eat("Bounds") {
		p.next()
		p.must(":")
		b := bound{}
		b.names, b.weights = row()
		b.relation = p.next()
		b.than, _ = strconv.Atoi(p.next())
		rows = append(rows, b)
	}
	p.must("one", "=", "1", "Binaries")
	binary := map[string]bool{"one": true}
	for !p.eat("End") {
		binary[p.next()] = true
	}
	return func(is map[string]bool) (bool, int) {
		for _, b := range rows {
			for i, name := range b.names {
				if !binary[name] {
					panic(name + " is not declared")
				}
				if slices.Contains(b.names[:i], name) {
					panic(name + " stands twice in a row")
				}
			}
			v := value(b.names, b.weights, is)
			if b.relation == ">=" && v < b.than || b.relation == "<=" && v > b.than {
				return false, 0
			}
		}
		return true, value(costNames, costWeights, is)
	}
}
