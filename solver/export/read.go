package export

import (
	"fmt"
	"strconv"
	"strings"
)

// ReadSMT reads a model as SMT writes it: no other SMT-LIB. Goals come back without their
// text. An error names the byte at which it stopped.
func ReadSMT(text []byte) (m *Model, err error) {
	r := &reader{text: string(text), m: &Model{}, vars: map[string]int{}}
	defer func() {
		if p := recover(); p != nil {
			bad, ok := p.(malformed)
			if !ok {
				panic(p)
			}
			m, err = nil, fmt.Errorf("byte %d: %s", r.at, string(bad))
		}
	}()
	for r.skip(); r.at < len(r.text); r.skip() {
		r.command()
	}
	return r.m, nil
}

// reader goes through a text once.
type reader struct {
	text string
	at   int
	m    *Model
	vars map[string]int
	list [][2]string // information, whose variables are declared later
}

// malformed ends a reading.
type malformed string

// skip passes blanks and comments.
func (r *reader) skip() {
	for r.at < len(r.text) {
		switch r.text[r.at] {
		case ' ', '\n':
			r.at++
		case ';':
			end := strings.IndexByte(r.text[r.at:], '\n')
			if end < 0 {
				end = len(r.text) - r.at
			}
			r.at += end
		default:
			return
		}
	}
}

// word is a name, a number, or one of ( and ).
func (r *reader) word() string {
	r.skip()
	from := r.at
	for r.at < len(r.text) {
		switch c := r.text[r.at]; {
		case c == ' ' || c == '\n' || c == ';':
			return r.text[from:r.at]
		case c == '(' || c == ')':
			if r.at == from {
				r.at++
			}
			return r.text[from:r.at]
		case c == '"' && r.at == from:
			end := strings.IndexByte(r.text[from+1:], '"')
			if end < 0 {
				panic(malformed("a text without an end"))
			}
			r.at += end + 2
			return r.text[from:r.at]
		}
		r.at++
	}
	if from == r.at {
		panic(malformed("the end came too early"))
	}
	return r.text[from:r.at]
}

func (r *reader) want(words ...string) {
	for _, w := range words {
		if got := r.word(); got != w {
			panic(malformed(fmt.Sprintf("%q where %q was expected", got, w)))
		}
	}
}

// peek is the next word, left in place.
func (r *reader) peek() string {
	at := r.at
	w := r.word()
	r.at = at
	return w
}

func (r *reader) number() int {
	w := r.word()
	n, err := strconv.Atoi(w)
	if err != nil {
		panic(malformed(fmt.Sprintf("%q is not a number", w)))
	}
	return n
}

func (r *reader) command() {
	r.want("(")
	switch w := r.word(); w {
	case "set-info":
		key, names := r.word(), r.word()
		r.list = append(r.list, [2]string{key, strings.Trim(names, `"`)})
		r.want(")")
	case "declare-const":
		name := r.word()
		r.want("Bool", ")")
		r.m.Names = append(r.m.Names, name)
		r.vars[name] = len(r.m.Names)
	case "define-fun":
		s := Sum{Name: r.word()}
		r.want("(", ")", "Int")
		s.Terms = r.terms()
		r.want(")")
		r.m.Sums = append(r.m.Sums, s)
	case "assert":
		r.fact()
		r.want(")")
	case "minimize":
		r.word()
		r.want(")")
	case "check-sat", "get-objectives":
		r.want(")")
		r.lists()
	default:
		panic(malformed(fmt.Sprintf("%q is no command", w)))
	}
}

// lists looks up the variables of the information.
func (r *reader) lists() {
	for _, l := range r.list {
		var vars []int
		for _, name := range strings.Fields(l[1]) {
			vars = append(vars, r.named(name))
		}
		switch l[0] {
		case ":gear":
			r.m.Gear = vars
		case ":used":
			r.m.Used = vars
		}
	}
	r.list = nil
}

func (r *reader) named(name string) int {
	v := r.vars[name]
	if v == 0 {
		panic(malformed(fmt.Sprintf("%q is not declared", name)))
	}
	return v
}

func (r *reader) lit() int {
	if r.peek() != "(" {
		return r.named(r.word())
	}
	r.want("(", "not")
	v := r.named(r.word())
	r.want(")")
	return -v
}

// terms reads (+ 0 (ite LITERAL WEIGHT 0) ...).
func (r *reader) terms() (out []Term) {
	r.want("(", "+", "0")
	for r.peek() == "(" {
		r.want("(", "ite")
		t := Term{Lit: r.lit()}
		t.Weight = r.number()
		r.want("0", ")")
		out = append(out, t)
	}
	r.want(")")
	return out
}

// fact reads what is asserted.
func (r *reader) fact() {
	if w := r.peek(); w != "(" {
		if r.word(); w == "false" {
			r.m.Clauses = append(r.m.Clauses, nil)
		} else {
			r.m.Clauses = append(r.m.Clauses, []int{r.named(w)})
		}
		return
	}
	begin := r.at
	r.want("(")
	switch w := r.word(); w {
	case "not":
		r.at = begin
		r.m.Clauses = append(r.m.Clauses, []int{r.lit()})
		return
	case "or":
		var c []int
		for r.peek() != ")" {
			c = append(c, r.lit())
		}
		r.m.Clauses = append(r.m.Clauses, c)
	case "<=":
		var c Count
		for _, t := range r.terms() {
			c.Lits = append(c.Lits, t.Lit)
		}
		c.Most = r.number()
		r.m.Counts = append(r.m.Counts, c)
	case "=":
		st := Step{Lit: r.lit()}
		r.want("(", ">=")
		s := r.sum(r.word())
		st.At = r.number()
		r.want(")")
		s.Steps = append(s.Steps, st)
	case "!":
		r.m.Goals = append(r.m.Goals, Goal{Lit: r.lit()})
		r.want(":named")
		r.word()
	default:
		panic(malformed(fmt.Sprintf("%q where a rule was expected", w)))
	}
	r.want(")")
}

func (r *reader) sum(name string) *Sum {
	for i := range r.m.Sums {
		if r.m.Sums[i].Name == name {
			return &r.m.Sums[i]
		}
	}
	panic(malformed(fmt.Sprintf("%q is no sum", name)))
}
