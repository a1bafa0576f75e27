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
	dearPoints  = 5 // where lights decide
	pointProbes = 2
	pointProofs = 2
	pointGoals  = 2 + 2*(cameraProbes*pointProbes+pointProofs) + 2 // and the two values that the kit is told of
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
	most := mostPoints
	if !cameraOnly(q) || !cameraOnly(by) {
		most = dearPoints
	}
	var shown []*Checked
	for _, e := range []*EndOf{c.Along.High, c.Along.Low} {
		if e != nil {
			shown = append(shown, e.found)
		}
	}
	for _, x := range c.Along.values(r.l.bench, most) {
		p := Point{At: x, Outcome: Undecided}
		r = r.roomy(pointGoals)
		there := r.at(by, x)
		got, outcome := there.stand(x, by, slices.Concat([]*Checked{k}, shown))
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

// stand looks for a set-up that keeps all that is kept, a quantity at a value among it: first
// by climbing there from set-ups that there are.
func (r *reacher) stand(x float64, q *constraints.Quantity, from []*Checked) (*Checked, sat.Outcome) {
	l, musts := r.l, r.l.maskOf(r.base)
	goals := l.maskOf(r.keep)
	for _, k := range from {
		l.consider = musts
		k = r.toward(q, x).climb(k)
		if got, err := check(l.bench, l.goals, k.Setup); err == nil && k.from != nil && l.satisfies(got, goals) {
			got.from = k.from
			return got, sat.Yes
		}
	}
	l.consider, r.seek, r.alike = goals, l.find, l.aside
	return r.nearest(nil, l.differences(from[0].Setup))
}

// values picks values of the grid between the two ends that are shown, both included.
func (r *Range) values(b *constraints.Bench, most int) []float64 {
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
	n := min(most, len(grid))
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
