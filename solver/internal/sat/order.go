package sat

import (
	"fmt"
	"slices"
)

// An Order is an integer with a finite domain. There is one literal for each step
// "at least this value", and the steps imply each other downwards (the order encoding;
// Tamura, Taga, Kitagawa and Banbara, "Compiling finite linear CSP into SAT", 2009).
// Bounds are single literals, so they can be assumed, guarded and named in a conflict.
type Order struct {
	p      *Problem
	values []int    // the domain, ascending
	steps  []Lit    // steps[i]: at least values[i+1]
	open   bool     // the last value stands for itself and all above
	parts  []*Order // of a sum
}

// Order returns a fresh integer from lo to hi, both included.
func (p *Problem) Order(lo, hi int) *Order {
	if lo > hi {
		panic(fmt.Sprintf("sat: there is no integer from %d to %d", lo, hi))
	}
	values := make([]int, 0, hi-lo+1)
	for v := lo; v <= hi; v++ {
		values = append(values, v)
	}
	return p.order(values)
}

// order makes an integer with fresh steps between the values, which are ascending.
func (p *Problem) order(values []int) *Order {
	o := &Order{p: p, values: values, steps: make([]Lit, len(values)-1)}
	for i := range o.steps {
		o.steps[i] = p.Var()
		if i > 0 {
			p.Add(o.steps[i].Not(), o.steps[i-1])
		}
	}
	return o
}

// AtLeast is the literal that the integer is k or more: True at or below the smallest
// value, False above the largest. A sum has no
// literal for a bound above its ceiling plus one, and asking for it panics.
func (o *Order) AtLeast(k int) Lit {
	i, _ := slices.BinarySearch(o.values, k)
	switch {
	case i == 0:
		return True
	case i < len(o.values):
		return o.steps[i-1]
	case o.open:
		panic(fmt.Sprintf("sat: bound %d lies above the ceiling of the sum", k))
	}
	return False
}

// AtMost is the literal that the integer is k or less.
func (o *Order) AtMost(k int) Lit { return o.AtLeast(k + 1).Not() }

// Is returns the two literals that hold together if and only if the integer is k.
func (o *Order) Is(k int) (atLeast, atMost Lit) { return o.AtLeast(k), o.AtMost(k) }

// Low is the smallest value in the domain.
func (o *Order) Low() int { return o.values[0] }

// High is the largest value in the domain. For a sum that can exceed its ceiling this is the
// smallest value that stands for "too much".
func (o *Order) High() int { return o.values[len(o.values)-1] }

// Value is the integer in the model of the last Yes. For a sum it is the sum of the true
// weights, even above the ceiling and even where the steps have slack.
func (o *Order) Value() int {
	if o.parts == nil {
		return o.values[o.reached()]
	}
	total := 0
	for _, part := range o.parts {
		total += part.Value()
	}
	return total
}

func (o *Order) reached() int {
	i := len(o.steps)
	for i > 0 && !o.p.Value(o.steps[i-1]) {
		i--
	}
	return i
}

// Channel ties a choice to an integer: if lits[i] holds, o is values[i]; and o takes no
// value that none of the chosen literals has, so at least one of them holds. That they
// exclude each other is left to the caller, usually by ExactlyOne. A literal whose value
// is outside the domain is ruled out.
func (p *Problem) Channel(lits []Lit, values []int, o *Order) {
	if len(lits) != len(values) {
		panic("sat: Channel needs one value for each literal")
	}
	holders := make(map[int][]Lit, len(o.values))
	for i, m := range lits {
		v := values[i]
		if _, found := slices.BinarySearch(o.values, v); !found {
			p.Add(m.Not())
			continue
		}
		atLeast, atMost := o.Is(v)
		p.Add(m.Not(), atLeast)
		p.Add(m.Not(), atMost)
		holders[v] = append(holders[v], m)
	}
	for _, v := range o.values {
		atLeast, atMost := o.Is(v)
		p.Add(append([]Lit{atLeast.Not(), atMost.Not()}, holders[v]...)...)
	}
}
