package verify

import (
	"math"

	"falloff/constraints"
)

// An Account is what was looked at to derive one rule again.
type Account struct {
	Line
	Taken   bool // it came to too many cases: the rule was taken as it is written
	Clauses int
	Cases   int   // choices of gear, backdrop and settings
	Boxes   int   // of places, over which lights were looked at
	Outside int   // of these: where a light does not fit the room
	Fails   []int // where a goal fails, by goal of the proof
	Because string

	margin  float64 // of the case that comes nearest, in units of what is fragile
	goal    *constraints.Goal
	reading constraints.Reading
	part    constraints.Part
}

func newAccount(l Line, goals int) *Account {
	return &Account{Line: l, Fails: make([]int, goals), margin: math.Inf(-1)}
}

// add enters the boxes of one light.
func (a *Account) add(l *looked) {
	a.Boxes += len(l.left) + l.room
	a.Outside += l.room
	for i, n := range l.fails {
		a.Boxes += n
		a.Fails[i] += n
	}
}

// near keeps a goal that fails if no case came nearer to holding. A nil account keeps nothing.
func (a *Account) near(g *constraints.Goal, rd *constraints.Reading, p constraints.Part) {
	if a == nil {
		return
	}
	m := p.Margin().Hi
	if p.Fine > 0 {
		m /= p.Fine
	}
	if m > a.margin {
		a.margin, a.goal, a.reading, a.part = m, g, *rd, p
	}
}

// close words the case that came nearest.
func (a *Account) close() {
	if a.goal != nil {
		a.Because = a.goal.Req.Because(&a.reading, a.part)
	}
}
