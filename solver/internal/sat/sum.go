package sat

import (
	"cmp"
	"slices"
)

// A Term counts Weight while Lit holds. A weight may be negative.
type Term struct {
	Lit    Lit
	Weight int
}

// Sum returns an integer that is at least the sum of the weights whose literals hold: if
// the sum is k or more, AtLeast(k) holds. The other direction is left open, which is
// enough to bound a sum from above by AtMost, and cheaper. Bounds up to the ceiling are
// exact; all above it is one value, ceiling + 1.
//
// It is the generalized totalizer (Joshi, Martins and Manquinho, "Generalized totalizer
// encoding for pseudo-Boolean constraints", CP 2015) with steps only at sums that occur.
// Clauses grow with the square of the number of distinct sums up to the ceiling, so keep
// weights coarse.
func (p *Problem) Sum(terms []Term, ceiling int) *Order {
	from := len(p.ends)
	o := p.sum(terms, ceiling)
	p.tellSum(from, o, terms)
	return o
}

func (p *Problem) sum(terms []Term, ceiling int) *Order {
	lowest := 0
	nodes := []*Order{p.constant(0)}
	for _, t := range terms {
		leaf := p.leaf(t)
		nodes = append(nodes, leaf)
		lowest += leaf.Low()
	}
	if lowest > ceiling {
		return p.beyond(lowest, nodes...)
	}
	slices.SortStableFunc(nodes, func(a, b *Order) int {
		return cmp.Compare(a.High()-a.Low(), b.High()-b.Low())
	})
	// A part may use what the least weight of all the others leaves.
	spare := func(low int) int { return ceiling - (lowest - low) }
	for len(nodes) > 1 {
		half := nodes[:0]
		for pair := range slices.Chunk(nodes, 2) {
			if len(pair) == 2 {
				a, b := pair[0], pair[1]
				pair[0] = p.SumOrders(a, b, spare(a.Low()+b.Low()))
			}
			half = append(half, pair[0])
		}
		nodes = half
	}
	return nodes[0].capped(ceiling)
}

// SumOrders returns an integer that is at least a + b, in the manner of Sum. Where a or b
// has a ceiling of its own, all above that must exceed this ceiling too, or it panics.
func (p *Problem) SumOrders(a, b *Order, ceiling int) *Order {
	if a.open && a.High()+b.Low() <= ceiling || b.open && b.High()+a.Low() <= ceiling {
		panic("sat: a sum cannot be bounded above the ceilings of its parts")
	}
	if len(a.steps) == 0 {
		a, b = b, a
	}
	if len(b.steps) == 0 {
		return a.shifted(b).capped(ceiling)
	}
	if low := a.Low() + b.Low(); low > ceiling {
		return p.beyond(low, a, b)
	}
	o := p.order(sums(a.values, b.values, ceiling))
	o.parts = []*Order{a, b}
	o.open = o.High() > ceiling
	for i, x := range a.values {
		at := 0
		for j, y := range b.values {
			sum := min(x+y, ceiling+1)
			for o.values[at] < sum {
				at++
			}
			if at > 0 {
				p.Add(a.atStep(i).Not(), b.atStep(j).Not(), o.atStep(at))
			}
			if x+y > ceiling {
				break
			}
		}
	}
	return o
}

// sums lists the distinct values of x + y, with all above ceiling as ceiling + 1.
func sums(xs, ys []int, ceiling int) []int {
	all := make([]int, 0, len(xs)*len(ys))
	for _, x := range xs {
		for _, y := range ys {
			all = append(all, min(x+y, ceiling+1))
			if x+y > ceiling {
				break
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// leaf is the integer of one term: exact, and without a variable of its own.
func (p *Problem) leaf(t Term) *Order {
	p.valid(t.Lit)
	switch w := t.Weight; {
	case t.Lit == False || w == 0:
		return p.constant(0)
	case t.Lit == True:
		return p.constant(w)
	case w < 0:
		return &Order{p: p, values: []int{w, 0}, steps: []Lit{t.Lit.Not()}}
	default:
		return &Order{p: p, values: []int{0, w}, steps: []Lit{t.Lit}}
	}
}

// beyond is a sum that is above its ceiling whatever holds.
func (p *Problem) beyond(low int, parts ...*Order) *Order {
	return &Order{p: p, values: []int{low}, open: true, parts: parts}
}

func (p *Problem) constant(v int) *Order { return &Order{p: p, values: []int{v}} }

// atStep is the literal that o has reached values[i].
func (o *Order) atStep(i int) Lit {
	if i == 0 {
		return True
	}
	return o.steps[i-1]
}

// shifted is o plus a constant.
func (o *Order) shifted(c *Order) *Order {
	if c.Low() == 0 && !c.open {
		return o
	}
	s := &Order{p: o.p, steps: o.steps, open: o.open || c.open, parts: []*Order{o, c}}
	for _, v := range o.values {
		s.values = append(s.values, v+c.Low())
	}
	return s
}

// capped is o with all values above ceiling as one.
func (o *Order) capped(ceiling int) *Order {
	i, _ := slices.BinarySearch(o.values, ceiling+1)
	if i >= len(o.values)-1 && (i == len(o.values) || o.values[i] == ceiling+1 || i == 0) {
		return o
	}
	if i == 0 {
		return o.p.beyond(o.Low(), o)
	}
	return &Order{
		p:      o.p,
		values: append(slices.Clone(o.values[:i]), ceiling+1),
		steps:  o.steps[:i],
		open:   true,
		parts:  []*Order{o},
	}
}
