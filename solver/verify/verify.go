// Package verify checks a proof that a brief cannot be met. It shares no code with the
// search: it reads the rules as they were written down, and refutes them by itself.
package verify

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// A Goal or a rule of a proof, with the literal that stands for it.
type Line struct {
	Lit  int
	Text string
}

// Proof is a proof as read: clauses over numbered variables, DIMACS CNF, in which comment
// lines name the goals and the rules. The last clauses, as many as are assumed, hold one
// literal each: a goal or a rule that is in force.
type Proof struct {
	Brief        string
	Goals, Rules []Line
	Vars         int
	Clauses      [][]int
	Assumed      int
}

// longest bounds a line of a proof, in bytes, and most the variables and clauses.
const (
	longest = 1 << 20
	most    = 4_000_000
)

// Read reads a proof; an error names the line.
func Read(r io.Reader) (*Proof, error) {
	p := &Proof{}
	in := bufio.NewScanner(r)
	in.Buffer(make([]byte, 0, 1<<16), longest)
	clauses := -1
	for n := 1; in.Scan(); n++ {
		words := strings.Fields(in.Text())
		var err error
		switch {
		case len(words) == 0:
		case words[0] == "c":
			err = p.comment(words, in.Text())
		case words[0] == "p":
			clauses, err = p.header(words, clauses)
		default:
			err = p.clause(words, clauses)
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", n, err)
		}
	}
	if err := in.Err(); err != nil {
		return nil, err
	}
	if clauses != len(p.Clauses) {
		return nil, fmt.Errorf("the file says it holds %d clauses, and it holds %d", max(clauses, 0), len(p.Clauses))
	}
	return p, nil
}

func (p *Proof) comment(words []string, line string) error {
	if len(words) < 3 {
		return nil
	}
	switch words[1] {
	case "brief":
		_, p.Brief, _ = strings.Cut(line, "brief ")
	case "assumed":
		n, err := strconv.Atoi(words[2])
		if err != nil || n < 0 {
			return fmt.Errorf("%q does not count", words[2])
		}
		p.Assumed = n
	case "goal", "rule":
		lit, err := strconv.Atoi(words[2])
		if err != nil {
			return fmt.Errorf("%q is not a literal", words[2])
		}
		_, text, _ := strings.Cut(line, " "+words[2]+" ")
		if words[1] == "goal" {
			p.Goals = append(p.Goals, Line{lit, text})
		} else {
			p.Rules = append(p.Rules, Line{lit, text})
		}
	}
	return nil
}

func (p *Proof) header(words []string, before int) (clauses int, err error) {
	if before >= 0 || len(words) != 4 || words[1] != "cnf" {
		return 0, fmt.Errorf("one line \"p cnf VARIABLES CLAUSES\" was expected")
	}
	p.Vars, err = strconv.Atoi(words[2])
	if err == nil {
		clauses, err = strconv.Atoi(words[3])
	}
	if err != nil || p.Vars < 0 || clauses < 0 || p.Vars > most || clauses > most {
		return 0, fmt.Errorf("%q does not count variables and clauses", strings.Join(words, " "))
	}
	return clauses, nil
}

func (p *Proof) clause(words []string, clauses int) error {
	if clauses < 0 {
		return fmt.Errorf("a clause before the line \"p cnf\"")
	}
	if len(p.Clauses) == clauses {
		return fmt.Errorf("more clauses than the file says it holds")
	}
	clause := []int{}
	for i, w := range words {
		lit, err := strconv.Atoi(w)
		switch {
		case err != nil || lit > p.Vars || -lit > p.Vars:
			return fmt.Errorf("%q is not a literal", w)
		case (lit == 0) != (i == len(words)-1):
			return fmt.Errorf("a clause ends with 0, and only there")
		case lit != 0:
			clause = append(clause, lit)
		}
	}
	p.Clauses = append(p.Clauses, clause)
	return nil
}

// Check refutes the proof's clauses. The goals that it assumes must be among those of the
// brief, given as they are written there; nothing but goals and rules may be assumed. It
// returns the number of contradictions that were met on the way.
func (p *Proof) Check(goals []string) (met int, err error) {
	for _, g := range p.Goals {
		if !slices.Contains(goals, g.Text) {
			return 0, fmt.Errorf("the proof is of another brief: it speaks of %q", g.Text)
		}
	}
	named := map[int]bool{}
	for _, l := range slices.Concat(p.Goals, p.Rules) {
		named[l.Lit] = true
	}
	if p.Assumed > len(p.Clauses) {
		return 0, fmt.Errorf("the proof assumes more than it holds")
	}
	for _, c := range p.Clauses[len(p.Clauses)-p.Assumed:] {
		if len(c) != 1 || !named[c[0]] {
			return 0, fmt.Errorf("the proof puts something in force, %v, that it does not name", c)
		}
	}
	refuted, met := refute(p.Vars, p.Clauses)
	if !refuted {
		return met, fmt.Errorf("the rules do not contradict each other, so they prove nothing")
	}
	return met, nil
}
