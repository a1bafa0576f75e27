package photometry

import (
	"math"

	"falloff/model/unit"
)

// Round is the light averaged around its axis, at the file's angles from the end that it
// shines to; backward reports that this end is 180 deg of the file.
func (w *Web) Round() (from []unit.Angle, candela []float64, backward bool) {
	c := w.outward(w.mean())
	return c.from, c.i, w.backward()
}

// darkestStops is how far under its mean a plane without light counts as.
const darkestStops = 4

// Unevenness is how far the planes lie from their mean around the axis, in stops, in the
// directions in which that mean is a tenth of its greatest or more (the field): the root of
// the mean square over solid angle, and the greatest. A plane without light counts as 4
// stops under. Both are 0 for a light that is round.
func (w *Web) Unevenness() (typical, most unit.Stops) {
	if len(w.Candela) == 1 {
		return 0, 0
	}
	mean := w.mean()
	top := 0.0
	for _, i := range mean {
		top = max(top, i)
	}
	last, end := len(w.Horizontal)-1, len(w.Vertical)-1
	var square, weight float64
	for k, i := range mean {
		if i < top/10 || top == 0 {
			continue
		}
		a, b := float64(w.Vertical[max(k-1, 0)]), float64(w.Vertical[min(k+1, end)])
		ring := math.Abs(math.Cos(a) - math.Cos(b))
		for j, plane := range w.Candela {
			share := ring * float64(w.Horizontal[min(j+1, last)]-w.Horizontal[max(j-1, 0)])
			d := -float64(darkestStops)
			if plane[k] > 0 {
				d = max(d, math.Log2(plane[k]/i))
			}
			square += share * d * d
			weight += share
			most = max(most, unit.Stops(math.Abs(d)))
		}
	}
	if weight > 0 {
		typical = unit.Stops(math.Sqrt(square / weight))
	}
	return typical, most
}
