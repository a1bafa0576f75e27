package light

import (
	"math"

	"falloff/model/unit"
)

// Cell is the shape of the cells of a grid.
type Cell int

const (
	NoGrid Cell = iota
	Square
	Hex
	Tube
)

func (c Cell) String() string { return [...]string{"no grid", "square", "hex", "tube"}[c] }

// Grid is an ideal grid with black walls: K is depth over cell width (a hexagon's width is
// across its flats, which face along u; a square's sides run along u and v). It passes the
// share of each cell that is seen straight through, so T is the overlap of the cell with
// itself shifted by K tan(theta). Real walls reflect a little: the real cut-off is softer.
type Grid struct {
	Cell Cell
	K    float64
}

// GridOfAngle makes a grid of a catalogue angle. No standard defines that angle. Here it is
// the full cut-off angle, from edge to edge across the flats of the cells: K = 1/tan(angle/2).
// The angle is above 0 and below 180 degrees.
func GridOfAngle(cell Cell, fullCutoff unit.Angle) Grid {
	return Grid{cell, 1 / math.Tan(fullCutoff.Radians()/2)}
}

// Widest is the largest angle from the axis, in radians, at which any light passes: along
// the diagonal of a square cell, to the corner of a hexagon, to the wall of a tube.
func (g Grid) Widest() float64 {
	reach := 1.0
	switch g.Cell {
	case Square:
		reach = math.Sqrt2
	case Hex:
		reach = 2 / math.Sqrt(3)
	}
	return math.Atan(reach / g.K)
}

// Transmission of a ray whose tangents along the face axes u and v are tx and ty: 0..1.
func (g Grid) Transmission(tx, ty float64) float64 {
	switch g.Cell {
	case Square:
		return max(0, 1-g.K*math.Abs(tx)) * max(0, 1-g.K*math.Abs(ty))
	case Hex:
		s := g.slabs(tx, ty)
		return hexOverlap((1-math.Abs(s[0]))/2, (1-math.Abs(s[1]))/2, (1-math.Abs(s[2]))/2)
	case Tube:
		return tubeOverlap(g.K * math.Sqrt(tx*tx+ty*ty))
	}
	return 1
}

// slabs projects the shift of the cell on the three normals of a hexagon's flats.
func (g Grid) slabs(tx, ty float64) [3]float64 {
	const s60 = 0.8660254037844386
	x, y := g.K*tx, g.K*ty
	return [3]float64{x, x/2 + s60*y, s60*y - x/2}
}

// hexOverlap is the area, over that of the cell, where three slabs of half widths e meet
// whose normals stand 60 degrees apart: two regular hexagons of width 1 shifted by s meet
// in the slabs of half width (1-|s.n|)/2. With the two thinnest slabs p, q it is their
// rhomb less the two corners that the widest slab r cuts off.
func hexOverlap(p, q, r float64) float64 {
	if p > q {
		p, q = q, p
	}
	if q > r {
		q, r = r, q
	}
	if p > q {
		p, q = q, p
	}
	if p <= 0 {
		return 0
	}
	l := max(0, p+q-r)
	return 4. / 3 * (4*p*q - l*l)
}

// tubeOverlap is the overlap of two discs of diameter 1 shifted by s, over the area of one.
func tubeOverlap(s float64) float64 {
	if s >= 1 {
		return 0
	}
	return 2 / math.Pi * (math.Acos(s) - s*math.Sqrt(1-s*s))
}

// bounds returns the range of the transmission over ranges of the tangents. It falls with
// every |shift|, so it takes its ends at the ends.
func (g Grid) bounds(tx, ty iv) iv {
	switch g.Cell {
	case Square:
		ax, ay := tx.abs(), ty.abs()
		return iv{max(0, 1-g.K*ax.hi) * max(0, 1-g.K*ay.hi), max(0, 1-g.K*ax.lo) * max(0, 1-g.K*ay.lo)}
	case Hex:
		e := g.halfSlabs(tx, ty)
		return iv{hexOverlap(e[0].lo, e[1].lo, e[2].lo), hexOverlap(e[0].hi, e[1].hi, e[2].hi)}
	case Tube:
		s := g.shift(tx, ty)
		return iv{tubeOverlap(s.hi), tubeOverlap(s.lo)}
	}
	return iv{1, 1}
}

func (g Grid) shift(tx, ty iv) iv {
	q := tx.sqr().add(ty.sqr())
	return iv{g.K * math.Sqrt(q.lo), g.K * math.Sqrt(q.hi)}
}

func (g Grid) slabRanges(tx, ty iv) [3]iv {
	const s60 = 0.8660254037844386
	x, y := tx.scale(g.K), ty.scale(g.K*s60)
	half := x.scale(0.5)
	return [3]iv{x, half.add(y), y.sub(half)}
}

func (g Grid) halfSlabs(tx, ty iv) (e [3]iv) {
	for k, s := range g.slabRanges(tx, ty) {
		a := s.abs()
		e[k] = iv{(1 - a.hi) / 2, (1 - a.lo) / 2}
	}
	return e
}

// gradient returns ranges that hold the derivatives of the transmission with respect to
// both tangents, wherever they exist.
func (g Grid) gradient(tx, ty iv) (dx, dy iv) {
	switch g.Cell {
	case Square:
		return g.tent(tx).mul(g.ramp(ty)), g.tent(ty).mul(g.ramp(tx))
	case Hex:
		return g.hexGradient(tx, ty)
	case Tube:
		s := g.shift(tx, ty)
		if s.lo >= 1 {
			return iv{}, iv{}
		}
		slope := iv{-math.Sqrt(max(0, 1-s.lo*s.lo)), -math.Sqrt(max(0, 1-s.hi*s.hi))}.scale(4 / math.Pi * g.K)
		return slope.mul(cosineOf(tx, ty)), slope.mul(cosineOf(ty, tx))
	}
	return iv{}, iv{}
}

// ramp is the range of 1-K|t|, not below 0; tent is that of its derivative.
func (g Grid) ramp(t iv) iv {
	a := t.abs()
	return iv{max(0, 1-g.K*a.hi), max(0, 1-g.K*a.lo)}
}

func (g Grid) tent(t iv) iv {
	a := t.abs()
	if g.K*a.lo >= 1 {
		return iv{}
	}
	d := signs(t).scale(-g.K)
	if g.K*a.hi >= 1 {
		d = d.hull(iv{})
	}
	return d
}

func signs(t iv) iv {
	switch {
	case t.lo > 0:
		return iv{1, 1}
	case t.hi < 0:
		return iv{-1, -1}
	}
	return iv{-1, 1}
}

// cosineOf is the range of x/sqrt(x^2+y^2).
func cosineOf(x, y iv) iv {
	y2 := y.sqr()
	at := func(x float64, small bool) float64 { // |x| far from or near to 0 for a given y
		q := y2.hi
		if small {
			q = y2.lo
		}
		if x == 0 {
			return 0
		}
		return x / math.Sqrt(x*x+q)
	}
	return iv{at(x.lo, x.lo < 0), at(x.hi, x.hi > 0)}
}

// hexGradient: the derivative of the overlap with a slab's half width is twice the length
// of the side which that slab contributes, and a half width falls by half the shift.
func (g Grid) hexGradient(tx, ty iv) (dx, dy iv) {
	const s60 = 0.8660254037844386
	e := g.halfSlabs(tx, ty)
	s := g.slabRanges(tx, ty)
	var d [3]iv
	for k := range d {
		d[k] = sideLength(e[k], e[(k+1)%3], e[(k+2)%3]).mul(signs(s[k])).scale(-4. / 3 * g.K)
	}
	half := d[1].sub(d[2]).scale(0.5)
	return d[0].add(half), d[1].add(d[2]).scale(s60)
}

// sideLength is the range of the side on slab a of the meeting of slabs a, b and c (in the
// skew measure in which the whole cell is 3/4); 0 where nothing is left.
func sideLength(a, b, c iv) iv {
	if a.hi <= 0 || b.hi <= 0 || c.hi <= 0 {
		return iv{}
	}
	hi := max(0, min(c.hi, b.hi-a.lo)+min(c.hi, a.hi+b.hi))
	if a.lo <= 0 || b.lo <= 0 || c.lo <= 0 {
		return iv{0, hi}
	}
	return iv{max(0, min(c.lo, b.lo-a.hi)+min(c.lo, a.lo+b.lo)), hi}
}
