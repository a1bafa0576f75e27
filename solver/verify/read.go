// Package verify checks a proof that a brief cannot be met. It shares no code with the
// search. Every rule of the proof says that no set-up lies in some box of gear and settings;
// this is derived again from the studio and the brief that the proof quotes, with nothing but
// the model's own bounds. Then the rules are refuted by a small search of its own.
package verify

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// A Line is a goal, a rule or a name of a proof, with the literal that stands for it; or a way
// to cut, with its number.
type Line struct {
	Lit  int
	Text string
}

// A Clause is one of a proof's, with the line before it that says what it looks at.
type Clause struct {
	Lits []int
	By   string
}

// Proof is a proof as read: clauses over numbered variables, DIMACS CNF, in which comment
// lines may number the conflict among all of the brief's, quote studio and brief, name the goals and the rules, say what the variables mean and
// over which boxes of poses lights were looked at. The last clauses, as many as are assumed, hold one
// literal each: a goal or a rule that is in force.
type Proof struct {
	Number, All    int // which conflict this is, and of how many; 1 of 1 if nothing is said
	Brief          string
	Studio, Wishes string // the files, as they were
	Goals, Rules   []Line
	Kinds, Names   []Line
	Grids          []string
	Cells          []Line
	Vars           int
	Clauses        []Clause
	Assumed        int
}

// longest bounds a line of a proof, in bytes, and most the variables and clauses.
const (
	longest = 1 << 20
	most    = 4_000_000
)

// Read reads a proof; an error names the line.
func Read(r io.Reader) (*Proof, error) {
	p := &Proof{Number: 1, All: 1}
	in := bufio.NewScanner(r)
	in.Buffer(make([]byte, 0, 1<<16), longest)
	clauses, by := -1, ""
	for n := 1; in.Scan(); n++ {
		words := strings.Fields(in.Text())
		var err error
		switch {
		case len(words) == 0:
		case len(words) > 1 && words[0] == "c" && words[1] == "by":
			by = strings.Join(words[2:], " ")
		case words[0] == "c":
			err = p.comment(words, in.Text())
		case words[0] == "p":
			clauses, err = p.header(words, clauses)
		default:
			err = p.clause(words, clauses, by)
			by = ""
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
	for mark, to := range map[string]*string{"c studio>": &p.Studio, "c wishes>": &p.Wishes} {
		if text, ok := strings.CutPrefix(line, mark); ok {
			*to += strings.TrimPrefix(text, " ") + "\n"
			return nil
		}
	}
	if len(words) < 3 {
		return nil
	}
	lists := map[string]*[]Line{"goal": &p.Goals, "rule": &p.Rules, "kind": &p.Kinds, "name": &p.Names, "cells": &p.Cells}
	rest := strings.Join(words[2:], " ")
	switch list := lists[words[1]]; {
	case list != nil:
		lit, err := strconv.Atoi(words[2])
		if err != nil {
			return fmt.Errorf("%q is not a literal", words[2])
		}
		*list = append(*list, Line{lit, strings.Join(words[3:], " ")})
	case words[1] == "conflict":
		_, err := fmt.Sscanf(rest, "%d of %d", &p.Number, &p.All)
		if err != nil || p.Number < 1 || p.Number > p.All || p.All > most {
			return fmt.Errorf("%q does not number a conflict", rest)
		}
	case words[1] == "grid":
		p.Grids = append(p.Grids, rest)
	case words[1] == "brief":
		p.Brief = rest
	case words[1] == "assumed":
		n, err := strconv.Atoi(words[2])
		if err != nil || n < 0 {
			return fmt.Errorf("%q does not count", words[2])
		}
		p.Assumed = n
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

func (p *Proof) clause(words []string, clauses int, by string) error {
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
	p.Clauses = append(p.Clauses, Clause{clause, by})
	return nil
}
