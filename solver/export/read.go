package export

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// ReadSMT reads a model as SMT writes it: no other SMT-LIB. Goals come back without their
// text. An error names the byte at which it stopped.
func ReadSMT(text []byte) (m *Model, err error) {
	r := &reader{text: text, m: &Model{}, vars: map[string]int{}, lits: make([]int, 0, len(text)/24)}
	defer func() {
		if p := recover(); p != nil {
			bad, ok := p.(malformed)
			if !ok {
				panic(p)
			}
			m, err = nil, fmt.Errorf("byte %d: %s", r.at, string(bad))
		}
	}()
	for r.next() != 0 {
		r.command()
	}
	return r.m, nil
}

// reader goes through a text once.
type reader struct {
	text []byte
	at   int
	m    *Model
	vars map[string]int
	list [][2]string // information, whose variables are declared later
	lits []int       // room for clauses, one after the other
}

// malformed ends a reading.
type malformed string

// next is the first byte of what comes next, after blanks and comments; 0 at the end.
func (r *reader) next() byte {
	for r.at < len(r.text) {
		switch c := r.text[r.at]; c {
		case ' ', '\n':
			r.at++
		case ';':
			end := bytes.IndexByte(r.text[r.at:], '\n')
			if end < 0 {
				end = len(r.text) - r.at
			}
			r.at += end
		default:
			return c
		}
	}
	return 0
}

// ends marks the bytes before which a name or a number ends.
var ends = [256]bool{' ': true, '\n': true, ';': true, '(': true, ')': true}

// word is a name, a number, a text in quotes, or one of ( and ).
func (r *reader) word() []byte {
	c := r.next()
	from := r.at
	switch c {
	case 0:
		panic(malformed("the end came too early"))
	case '(', ')':
		r.at++
	case '"':
		end := bytes.IndexByte(r.text[from+1:], '"')
		if end < 0 {
			panic(malformed("a text without an end"))
		}
		r.at += end + 2
	default:
		for r.at < len(r.text) && !ends[r.text[r.at]] {
			r.at++
		}
	}
	return r.text[from:r.at]
}

func (r *reader) want(words ...string) {
	for _, w := range words {
		if got := r.word(); string(got) != w {
			panic(malformed(fmt.Sprintf("%q where %q was expected", got, w)))
		}
	}
}

func (r *reader) number() int {
	w := string(r.word())
	n, err := strconv.Atoi(w)
	if err != nil {
		panic(malformed(fmt.Sprintf("%q is not a number", w)))
	}
	return n
}

func (r *reader) command() {
	r.want("(")
	switch w := r.word(); string(w) {
	case "set-info":
		key, names := string(r.word()), string(r.word())
		r.list = append(r.list, [2]string{key, strings.Trim(names, `"`)})
		r.want(")")
	case "declare-const":
		name := string(r.word())
		r.want("Bool", ")")
		r.m.Names = append(r.m.Names, name)
		r.vars[name] = len(r.m.Names)
	case "define-fun":
		s := Sum{Name: string(r.word())}
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
			vars = append(vars, r.named([]byte(name)))
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

func (r *reader) named(name []byte) int {
	v := r.vars[string(name)]
	if v == 0 {
		panic(malformed(fmt.Sprintf("%q is not declared", name)))
	}
	return v
}

// negated begins most literals.
var negated = []byte("(not ")

func (r *reader) lit() int {
	if r.next() != '(' {
		return r.named(r.word())
	}
	if rest, ok := bytes.CutPrefix(r.text[r.at:], negated); ok {
		r.at = len(r.text) - len(rest)
	} else {
		r.want("(", "not")
	}
	v := r.named(r.word())
	r.want(")")
	return -v
}

// terms reads (+ 0 (ite LITERAL WEIGHT 0) ...).
func (r *reader) terms() (out []Term) {
	r.want("(", "+", "0")
	for r.next() == '(' {
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
	if r.next() != '(' {
		if w := r.word(); string(w) == "false" {
			r.clause()
		} else {
			r.clause(r.named(w))
		}
		return
	}
	begin := r.at
	r.want("(")
	switch w := r.word(); string(w) {
	case "not":
		r.at = begin
		r.clause(r.lit())
		return
	case "or":
		from := len(r.lits)
		for r.next() != ')' {
			r.lits = append(r.lits, r.lit())
		}
		r.m.Clauses = append(r.m.Clauses, r.lits[from:len(r.lits):len(r.lits)])
	case "<=":
		var c Count
		for _, t := range r.terms() {
			c.Lits = append(c.Lits, t.Lit)
		}
		c.Most = r.number()
		r.m.Counts = append(r.m.Counts, c)
	case "=>":
		r.want("(", ">=")
		s := r.sum(string(r.word()))
		st := Step{At: r.number()}
		r.want(")")
		st.Lit = r.lit()
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

func (r *reader) clause(lits ...int) {
	from := len(r.lits)
	r.lits = append(r.lits, lits...)
	r.m.Clauses = append(r.m.Clauses, r.lits[from:len(r.lits):len(r.lits)])
}

func (r *reader) sum(name string) *Sum {
	for i := range r.m.Sums {
		if r.m.Sums[i].Name == name {
			return &r.m.Sums[i]
		}
	}
	panic(malformed(fmt.Sprintf("%q is no sum", name)))
}
