// Package sat decides yes-or-no problems for the solver, and is the only place that
// knows the library underneath. It adds what the search needs and the library lacks:
// counting, integers, weighted sums, minimal conflicts and their releases.
//
// Answers are deterministic: the same calls in the same order give the same models,
// reasons and conflicts. A literal of one Problem means nothing to another. Misuse,
// such as a zero literal, is our own bug and panics.
package sat

import (
	"fmt"
	"math"
)

// A Lit is a variable or its negation. The zero Lit is not valid.
type Lit int32

// True and False are the constants. Every method accepts them in place of a literal.
const (
	True  Lit = math.MaxInt32
	False Lit = -True
)

// Not is the negation of m.
func (m Lit) Not() Lit { return -m }

// Var is the positive literal of the variable of m.
func (m Lit) Var() Lit { return max(m, -m) }

func (m Lit) String() string {
	switch m {
	case True:
		return "true"
	case False:
		return "false"
	}
	return fmt.Sprintf("%d", int32(m))
}

// An Outcome answers the question whether something can hold.
type Outcome int

const (
	Unknown Outcome = iota // nothing was proved
	Yes                    // it can, and there is a model
	No                     // it cannot, and that is proved
)

func (o Outcome) String() string {
	switch o {
	case Yes:
		return "yes"
	case No:
		return "no"
	}
	return "unknown"
}
