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
	pointProbes = 6
)

// Trade finds a trade-off: the range of q at values of by that the grid tells apart, spread
// over what by can reach. A point is proved in the same way as a range.
func Trade(ctx context.Context, s *inventory.Studio, b *constraints.Brief, q, by *constraints.Quantity, o Options) (*Curve, error) {
	along, err := Reach(ctx, s, b, by, o)
	if err != nil || along.Answer.Outcome != Found {
		return &Curve{Range: Range{Quantity: q, Answer: along.Answer}, By: by, Along: along}, err
	}
	c := &Curve{Range: Range{Quantity: q, Answer: along.Answer}, By: by, Along: along}
	bench := &constraints.Bench{Studio: s, Brief: b}
	k := along.Answer.Setups[0]
	if along.Low != nil {
		k = along.Low.Setup
	}
	for _, x := range along.values(bench) {
		there := b.Clone()
		there.Goals = append(there.Goals, by.About(bench, x)...)
		at := &constraints.Bench{Studio: s, Brief: there}
		p := Point{At: x, Outcome: Undecided}
		start := inquire(ctx, at, o)
		start.efforts, start.patience = endEffort, 0
		got, outcome := start.nearest(nil, start.l.differences(k.Setup))
		switch outcome {
		case sat.No:
			p.Outcome = Cannot
		case sat.Yes:
			p.Outcome, k = Found, got
			p.Low, p.High = reachFrom(ctx, at, q, o, got, pointProbes)
		}
		c.Points = append(c.Points, p)
	}
	return c, nil
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
