package solver

import (
	"context"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// Curve is how far one quantity can go for several values of another.
type Curve struct {
	Range  // of the first quantity
	By     *constraints.Quantity
	Along  *Range // of the second
	Points []Point
}

// Point is the range of the first quantity at one value of the second.
type Point struct {
	At        float64
	Low, High *EndOf // nil where no set-up was found, or nobody asks for that end
	Outcome   Outcome
}

// Limits of a curve.
const (
	mostPoints  = 7
	pointProbes = 2
	pointProofs = 2
	pointGoals  = 2 + 2*(pointProbes+pointProofs) + 2 // and the two values that the kit is told of
)

// Trade finds a trade-off: the range of q at values of by that the grid tells apart, spread
// over what by can reach. A point is proved in the same way as a range.
func Trade(ctx context.Context, s *inventory.Studio, b *constraints.Brief, q, by *constraints.Quantity, o Options) (*Curve, error) {
	r, first, err := newReacher(ctx, s, b, o)
	if err != nil {
		return nil, err
	}
	c := &Curve{Range: Range{Quantity: q, Answer: first}, By: by, Along: &Range{Quantity: by, Answer: first}}
	if first.Outcome != Found {
		return c, nil
	}
	k := first.Setups[0]
	c.Along.Low, c.Along.High = r.ends(by, k, endProbes, endProofs)
	for _, x := range c.Along.values(r.l.bench) {
		p := Point{At: x, Outcome: Undecided}
		r = r.roomy(pointGoals)
		there := r.at(by, x)
		got, outcome := there.stand(k)
		switch outcome {
		case sat.No:
			p.Outcome = Cannot
		case sat.Yes:
			p.Outcome, k = Found, got
			p.Low, p.High = there.ends(q, got, pointProbes, pointProofs)
		}
		c.Points = append(c.Points, p)
	}
	return c, nil
}

// roomy is the reacher itself while its lattice has room for some more goals, else a new one.
func (r *reacher) roomy(goals int) *reacher {
	if len(r.l.goals)+goals <= maxGoals {
		return r
	}
	b := r.l.bench
	return begin(r.ctx, &constraints.Bench{Studio: b.Studio, Brief: b.Brief, Bounces: b.Bounces, Flat: b.Flat}, r.o)
}

// at is a reacher on the same lattice that holds a quantity at a value.
func (r *reacher) at(q *constraints.Quantity, x float64) *reacher {
	there, asked := *r, *r.inquiry
	there.inquiry = &asked
	asked.keep = slices.Clone(r.keep)
	for _, g := range q.About(r.l.bench, x) {
		asked.keep = append(asked.keep, r.l.addGoal(g))
	}
	return &there
}

// stand looks for a set-up that keeps all that is kept, first near one that there is.
func (r *reacher) stand(k *Checked) (*Checked, sat.Outcome) {
	r.l.consider = r.l.maskOf(r.keep)
	return r.nearest(nil, r.l.differences(k.Setup))
}

// values picks values of the grid between the two ends that are shown, both included.
func (r *Range) values(b *constraints.Bench) []float64 {
	grid := r.Quantity.Grid(b)
	first := 0
	last := len(grid) - 1
	if r.Low != nil {
		for first < last && !r.Quantity.Meets(r.Low.Value, grid[first], 1) {
			first++
		}
	}
	if r.High != nil {
		for last > first && !r.Quantity.Meets(r.High.Value, grid[last], -1) {
			last--
		}
	}
	grid = grid[first : last+1]
	n := min(mostPoints, len(grid))
	var out []float64
	for i := range n {
		at := 0
		if n > 1 {
			at = int(math.Round(float64(i) * float64(len(grid)-1) / float64(n-1)))
		}
		out = append(out, grid[at])
	}
	return slices.Compact(out)
}
