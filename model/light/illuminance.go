package light

import (
	"math"

	"falloff/model/geom"
)

// view is what a face sees of a receiver: the receiver at (x, y, h) in face axes, h in
// front of it, and the components of its unit normal.
type view struct{ x, y, h, nx, ny, nh float64 }

func see(p Pose, q, n geom.Vec) view {
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	s := q.Sub(p.At)
	return view{u.Dot(s), v.Dot(s), axis.Dot(s), u.Dot(n), v.Dot(n), axis.Dot(n)}
}

// g is the receiver normal times the vector from the receiver to the face point (x, y).
func (w view) g(x, y float64) float64 { return w.nx*(x-w.x) + w.ny*(y-w.y) - w.nh*w.h }

// Illuminance is the illuminance at q on a plane of unit normal n, in lux per lumen that
// leaves the bare face. The receiver's horizon and the back of the face are cut off.
//
// A Lambertian face without grid is exact: Lambert's contour formula (Photometria, 1760)
// for polygons, the configuration factors of a disc (Howell, A Catalog of Radiation Heat
// Transfer Configuration Factors) unless the horizon cuts it; then the disc is a 64-gon of
// its area. Other laws and grids are integrated, cut where the integrand is not smooth,
// within 2e-4 and 5e-4, a measured beam within 2e-3. A Ball is a point source at its centre, exact for a uniform sphere that is
// wholly above the horizon.
func (e Emitter) Illuminance(p Pose, q, n geom.Vec) float64 {
	if e.Face.Kind == Ball {
		c := p.At.Sub(q)
		r2 := c.Dot(c)
		return max(0, c.Dot(n)) / (4 * math.Pi * r2 * math.Sqrt(r2))
	}
	return e.seen(see(p, q, n))
}

// Toward is the illuminance at q on a plane that faces the centre of the face.
func (e Emitter) Toward(p Pose, q geom.Vec) float64 {
	return e.Illuminance(p, q, p.At.Sub(q).Unit())
}

// OnAxis is the illuminance on the axis at distance d > 0 from the face, on a plane that
// faces it. It never rises with d, and d^2 times it never falls, save for a measured beam
// that is darker on its axis than beside it.
func (e Emitter) OnAxis(d float64) float64 {
	switch {
	case e.Face.Kind == Ball:
		return 1 / (4 * math.Pi * d * d)
	case e.Beam != nil:
		return e.beamOnAxis(d)
	case e.Face.Kind == Disc && !e.gridded():
		// Integral of 2 pi t h^(2+m) / (h^2+t^2)^((4+m)/2), t from 0 to R.
		r := e.Face.W / 2
		a := (e.Law + 2) / 2
		return -math.Expm1(-a*math.Log1p(r*r/(d*d))) / (math.Pi * r * r)
	}
	w := view{0, 0, d, 0, 0, -1}
	a, b := e.Face.half()
	switch {
	case e.Law == 0 && !e.gridded():
	case e.Face.Kind == Rect && !e.gridded():
		return e.rectLight(w, a/2, b/2, a/2, b/2, 0) / (a * b)
	case e.Face.Kind == Rect && e.Grid.Cell == Square:
		return e.crateQuarter(w, 1, 1, d/e.Grid.K) / (a * b)
	case e.Face.Kind == Octagon && e.gridded() && e.Grid.Cell == Hex:
	case e.Face.Kind != Rect:
		return e.slice(w)
	}
	return e.seen(w)
}

// slice is the light on the axis of a disc or octagon by the sector that repeats itself:
// an eighth of the turn, or a twelfth under hexagons. It is cut where the octagon's rim
// has a corner.
func (e Emitter) slice(w view) float64 {
	a, _ := e.Face.half()
	span, panels, edge := math.Pi/4, 1, math.Inf(1)
	if e.Face.Kind == Octagon {
		panels = 2
	}
	if e.gridded() {
		edge = w.h / e.Grid.K
		if e.Grid.Cell == Hex {
			span = math.Pi / 6
		}
	}
	g, along := &gauss[6], &gauss[8]
	if min(a, edge)*math.Sqrt(1+e.Law/4) > w.h {
		along = &gauss[mostNodes]
	}
	sum := 0.0
	for panel := range panels {
		for i, t := range g.x {
			s, c := math.Sincos((float64(panel) + (1+t)/2) / float64(panels) * span)
			rim, cut := a, edge
			if e.Face.Kind == Octagon {
				rim = a / max(c, (c+s)/math.Sqrt2)
			}
			if e.gridded() && e.Grid.Cell != Tube {
				cut = edge / c
			}
			rim = min(rim, cut)
			for j, u := range along.x {
				r := (1 + u) / 2 * rim
				sum += g.w[i] * along.w[j] * r * rim * e.through(w, r*c, r*s)
			}
		}
	}
	return sum / float64(panels) * 2 * math.Pi / e.Face.Area()
}

func (e Emitter) seen(w view) float64 {
	if w.h <= 0 {
		return 0
	}
	a, b := e.Face.half()
	mid := w.g(0, 0)
	reach := math.Abs(w.nx)*a + math.Abs(w.ny)*b
	if e.Face.Kind != Rect {
		reach = math.Hypot(w.nx, w.ny) * e.Face.W / 2
	}
	if mid+reach <= 0 {
		return 0
	}
	clear := mid-reach >= 0 // the whole face is above the receiver's horizon
	if e.Beam != nil {
		return e.beamLight(w)
	}
	if e.gridded() {
		return e.gridLight(w, clear)
	}
	if e.Law == 0 {
		if e.Face.Kind == Disc && clear {
			return discLight(w, e.Face.W/2) / (math.Pi * e.Face.Area())
		}
		var buf [64]point
		return contour(w, e.outline(buf[:0], 64)) / (math.Pi * e.Face.Area())
	}
	if clear {
		switch e.Face.Kind {
		case Rect:
			return e.rectLight(w, 0, 0, a, b, 0) / (4 * a * b)
		case Disc:
			if mean, ok := e.discMean(w); ok {
				return mean
			}
		}
	}
	var buf, cut [64]point
	poly := e.outline(buf[:0], 32)
	if !clear {
		poly = clip(cut[:0], poly, w.nx, w.ny, w.nx*w.x+w.ny*w.y+w.nh*w.h)
	}
	return e.polygonLight(w, poly) / e.Face.Area()
}

// outline of the face, counter-clockwise; a disc becomes a polygon of n corners.
func (e Emitter) outline(dst []point, n int) []point {
	a, b := e.Face.half()
	switch e.Face.Kind {
	case Rect:
		return append(dst, point{-a, -b}, point{a, -b}, point{a, b}, point{-a, b})
	case Octagon:
		c := a * math.Tan(math.Pi/8)
		return append(dst, point{a, -c}, point{a, c}, point{c, a}, point{-c, a},
			point{-a, c}, point{-a, -c}, point{-c, -a}, point{c, -a})
	}
	return ngon(dst, n, a)
}

// contour is the illuminance of a polygon of luminance 1, cut at the receiver's horizon:
// half the sum over its edges of the angle each subtends times the receiver normal's
// component along the normal of the edge's plane.
func contour(w view, poly []point) float64 {
	n := geom.Vec{X: w.nx, Y: w.ny, Z: w.nh}
	var buf [72]geom.Vec
	seen := buf[:0]
	last := poly[len(poly)-1]
	p := geom.Vec{X: last.x - w.x, Y: last.y - w.y, Z: -w.h}
	gp := p.Dot(n)
	for _, c := range poly {
		q := geom.Vec{X: c.x - w.x, Y: c.y - w.y, Z: -w.h}
		gq := q.Dot(n)
		if (gp < 0) != (gq < 0) {
			seen = append(seen, p.Lerp(q, gp/(gp-gq)))
		}
		if gq >= 0 {
			seen = append(seen, q)
		}
		p, gp = q, gq
	}
	if len(seen) < 3 {
		return 0
	}
	sum := 0.0
	a := seen[len(seen)-1]
	for _, b := range seen {
		g := a.Cross(b)
		if l := g.Len(); l > 0 {
			sum += math.Atan2(l, a.Dot(b)) / l * g.Dot(n)
		}
		a = b
	}
	return math.Abs(sum) / 2
}

// discLight is the illuminance of a whole disc of luminance 1 and radius r: pi times the
// factors for an element parallel to it and for one at right angles to it, facing its axis
// (Howell), added as a vector. Written so that nothing cancels far away.
func discLight(w view, r float64) float64 {
	a2, h2, r2 := w.x*w.x+w.y*w.y, w.h*w.h, r*r
	z := a2 + h2 + r2
	root := math.Sqrt(z*z - 4*r2*a2)
	along := a2 + h2 - r2
	parallel := (root - along) / (2 * root)
	if along > 0 {
		parallel = 2 * r2 * h2 / (root * (root + along))
	}
	side := 2 * r2 * w.h / (root * (z + root)) // over the offset a
	return math.Pi * (-w.nh*parallel - (w.nx*w.x+w.ny*w.y)*side)
}

// The integrand is L0 cos^m h g / r^4 times the area, per lumen, and what a grid or the beam
// passes of it. What is the same all over the face, scale, is kept out of the sums.
func (e *Emitter) scale(w *view) float64 { return (e.Law + 2) / (2 * math.Pi) * w.h }

// swath is a part of the face that is gone over in lines: the line at s begins at from + s
// step and goes along + s turn. A rectangle's lines are parallel, a triangle's part from a corner.
type swath struct{ from, step, along, turn point }

// over sums the integrand over a swath with two rules: places and weights of the lines, and
// along them. Most of the program's time goes into this sum.
func (e *Emitter) over(w *view, p swath, lines, lineWeights, places, weights []float64) float64 {
	screened, law := e.screened(), e.Law
	nx, ny := w.nx, w.ny
	h2, floor, slope := w.h*w.h, w.nh*w.h, -1/w.h
	sum := 0.0
	for j, s := range lines {
		fx, fy := p.from.x+s*p.step.x-w.x, p.from.y+s*p.step.y-w.y
		ax, ay := p.along.x+s*p.turn.x, p.along.y+s*p.turn.y
		line := 0.0
		for k, t := range places {
			dx, dy := fx+t*ax, fy+t*ay
			f := weights[k]
			if screened {
				pass := e.screen(dx*slope, dy*slope)
				if pass == 0 {
					continue
				}
				f *= pass
			}
			per := 1 / (dx*dx + dy*dy + h2)
			f *= (nx*dx + ny*dy - floor) * per * per
			if law != 0 {
				f *= cosPow(law, h2*per)
			}
			line += f
		}
		sum += lineWeights[j] * line
	}
	return sum
}

// kernel is the integrand at one point, as it is without grid or beam.
func (e *Emitter) kernel(w view, x, y float64) float64 {
	dx, dy := x-w.x, y-w.y
	h2 := w.h * w.h
	r2 := dx*dx + dy*dy + h2
	f := e.scale(&w) * w.g(x, y) / (r2 * r2)
	if e.Law != 0 {
		f *= cosPow(e.Law, h2/r2)
	}
	return f
}

// The relative error that the smooth rules of Illuminance may have, by their tail bounds.
const fine = 5e-5

// rectLight integrates the kernel over the part of a rectangle centred at (cx, cy), with
// as few nodes as the tail bound allows; where no rule will do it is quartered.
func (e Emitter) rectLight(w view, cx, cy, a, b float64, depth int) float64 {
	p := e.Law + 4
	gap := math.Hypot(max(0, math.Abs(w.x-cx)-a), max(0, math.Abs(w.y-cy)-b))
	d := math.Hypot(gap, w.h)
	nx, ny := order(p, a/d), order(p, b/d)
	if (nx == 0 || ny == 0) && depth < 6 {
		sum := 0.0
		if nx == 0 {
			a /= 2
		}
		if ny == 0 {
			b /= 2
		}
		for _, sx := range signsOf(nx == 0) {
			for _, sy := range signsOf(ny == 0) {
				sum += e.rectLight(w, cx+sx*a, cy+sy*b, a, b, depth+1)
			}
		}
		return sum
	}
	gx, gy := &gauss[max(nx, 2)], &gauss[max(ny, 2)]
	return 4 * a * b * e.scale(&w) * e.over(&w, swath{from: point{cx, cy}, step: point{x: a}, along: point{y: b}}, gx.x, gx.w, gy.x, gy.w)
}

func signsOf(split bool) []float64 {
	if split {
		return both
	}
	return none
}

var both, none = []float64{-1, 1}, []float64{0}

// order is the least number of Gauss nodes, up to 12, whose tail is below fine; 0 for none.
func order(p, s float64) int {
	if s >= 1 {
		return 0
	}
	for n := 2; n <= 12; n++ {
		if even, odd := tail(p, s, gauss[n].e0, gauss[n].ratio, 2*n); even+odd < fine {
			return n
		}
	}
	return 0
}

// discMean averages the kernel over a disc by the first rule whose tail is below fine.
func (e Emitter) discMean(w view) (float64, bool) {
	r := e.Face.W / 2
	d := math.Sqrt(w.x*w.x + w.y*w.y + w.h*w.h)
	for _, s := range discRules {
		if even, odd := tail(e.Law+4, r/d, s.e0, 1, s.degree+1); even+odd < fine {
			return e.spotMean(w, r, &s), true
		}
	}
	return 0, false
}

// spotMean is the weighted mean of the kernel over the nodes of a rule for a disc of radius
// r: the sum that most of the program's time goes into, so what does not change is kept out.
func (e *Emitter) spotMean(w view, r float64, s *spots) float64 {
	h2, floor := w.h*w.h, w.nh*w.h
	sum := 0.0
	for i, x := range s.x {
		dx, dy := r*x-w.x, r*s.y[i]-w.y
		r2 := dx*dx + dy*dy + h2
		f := s.w[i] * (w.nx*dx + w.ny*dy - floor) / (r2 * r2)
		if e.Law != 0 {
			f *= cosPow(e.Law, h2/r2)
		}
		sum += f
	}
	return e.scale(&w) * sum
}

// polygonLight integrates the kernel over a convex polygon of the face.
func (e Emitter) polygonLight(w view, poly []point) float64 {
	return e.overFace(&w, poly, e.polygonOrder(w, poly))
}

// overFace integrates over a convex polygon of the face with nr nodes along the radius.
func (e *Emitter) overFace(w *view, poly []point, nr int) float64 {
	return e.scale(w) * overPolygon(poly, nr, func(triangle swath, across, radius *legendre) float64 {
		return e.over(w, triangle, across.half, across.w, radius.half, radius.radial)
	})
}

// polygonOrder follows the angular size of the polygon seen from the receiver; a high law
// narrows the integrand. Found by trial against brute force (see the tests), not derived.
func (e Emitter) polygonOrder(w view, poly []point) int {
	if len(poly) < 3 {
		return 1
	}
	c, r := circle(poly)
	d := math.Hypot(w.h, max(0, math.Hypot(w.x-c.x, w.y-c.y)-r))
	s := r / d * math.Sqrt(1+e.Law/4)
	switch {
	case s < 0.1:
		return 2
	case s < 0.3:
		return 3
	case s < 0.6:
		return 4
	case s < 1.2:
		return 6
	case s < 2.5:
		return 9
	}
	return mostNodes
}

// gridLight integrates face times grid. The grid's transmission is smooth inside sectors
// around the foot of the receiver in the face plane (quadrants for square and round cells,
// sixths between the corners for hexagons) and vanishes beyond K tan = 1, so the face is
// cut there.
func (e Emitter) gridLight(w view, clear bool) float64 {
	reach := w.h / e.Grid.K
	if clear && e.Face.Kind == Rect && e.Grid.Cell == Square {
		return e.crateLight(w, reach)
	}
	if clear && e.Face.Kind != Rect {
		if mean, ok := e.sectorLight(w, reach); ok {
			return mean
		}
	}
	return e.cutLight(w, clear)
}

// cutLight is gridLight by cutting the face into sectors.
func (e Emitter) cutLight(w view, clear bool) float64 {
	var b0, b1 [64]point
	corners := 32
	if e.Face.W*(1+e.Grid.K) < 0.8*w.h {
		corners = 14
	}
	poly := e.outline(b0[:0], corners)
	if !clear {
		poly = clip(b1[:0], poly, w.nx, w.ny, w.nx*w.x+w.ny*w.y+w.nh*w.h)
	}
	return e.sectors(w, poly) / e.Face.Area()
}

// sectors integrates kernel times transmission over a convex polygon of the face that is
// above the receiver's horizon.
func (e Emitter) sectors(w view, poly []point) float64 {
	reach := w.h / e.Grid.K
	var b2, b3 [64]point
	a, b := e.Face.half()
	out := 1.01 * math.Hypot(a, b) // no farther from the centre is any of the outline
	sum := 0.0
	rays := e.Grid.rays()
	for i, r := range rays {
		next := rays[(i+1)%len(rays)]
		if r.y*w.x-r.x*w.y < -out || next.x*w.y-next.y*w.x < -out {
			continue
		}
		part := clip(b2[:0], poly, -r.y, r.x, r.x*w.y-r.y*w.x)
		part = clip(b3[:0], part, next.y, -next.x, next.y*w.x-next.x*w.y)
		if len(part) < 3 {
			continue
		}
		into, other := b2[:0], b3[:0]
		for _, t := range e.Grid.edges() {
			// Edge directions are given in the first sector; turn them into this one.
			t = point{t.x*r.x - t.y*r.y, t.x*r.y + t.y*r.x}
			part = clip(into, part, -t.x, -t.y, -t.x*w.x-t.y*w.y-reach)
			into, other = other, part[:0]
		}
		if e.Grid.Cell != Hex {
			sum += e.throughLight(w, part)
			continue
		}
		// A hexagon's overlap loses its last two corners half-way out along each of the
		// other two pairs of flats: there its second derivative jumps.
		for i, t := range hexFolds {
			t = point{t.x*r.x - t.y*r.y, t.x*r.y + t.y*r.x}
			c := t.x*w.x + t.y*w.y + reach/2
			var b [64]point
			sum += e.throughLight(w, clip(b[:0], part, t.x, t.y, c))
			if part = clip(into, part, -t.x, -t.y, -c); i == 0 {
				into, other = other, into
			}
		}
		sum += e.throughLight(w, part)
	}
	return sum
}

// throughLight integrates kernel times transmission over a convex polygon.
func (e Emitter) throughLight(w view, poly []point) float64 {
	if len(poly) < 3 {
		return 0
	}
	return e.overFace(&w, poly, min(mostNodes, e.polygonOrder(w, poly)+1))
}

// through is the kernel times the transmission of the grid and the beam.
func (e *Emitter) through(w view, x, y float64) float64 {
	t := 1.0
	if e.screened() {
		t = e.screen((w.x-x)/w.h, (w.y-y)/w.h)
	}
	if t == 0 {
		return 0
	}
	return e.kernel(w, x, y) * t
}

// crateLight is gridLight for square cells on a rectangle: at most four rectangles.
func (e Emitter) crateLight(w view, reach float64) float64 {
	a, b := e.Face.half()
	sum := 0.0
	for _, sx := range both {
		for _, sy := range both {
			sum += e.crateQuarter(w, sx, sy, reach)
		}
	}
	return sum / (4 * a * b)
}

// crateQuarter integrates over what the receiver sees in one quadrant from its foot.
func (e Emitter) crateQuarter(w view, sx, sy, reach float64) float64 {
	a, b := e.Face.half()
	x0, x1 := max(-a, min(w.x, w.x+sx*reach)), min(a, max(w.x, w.x+sx*reach))
	y0, y1 := max(-b, min(w.y, w.y+sy*reach)), min(b, max(w.y, w.y+sy*reach))
	if x0 >= x1 || y0 >= y1 {
		return 0
	}
	gx, gy := e.crateRule(w, x1-x0), e.crateRule(w, y1-y0)
	quarter := swath{from: point{(x0 + x1) / 2, (y0 + y1) / 2}, step: point{x: (x1 - x0) / 2}, along: point{y: (y1 - y0) / 2}}
	return e.scale(&w) * e.over(&w, quarter, gx.x, gx.w, gy.x, gy.w) * (x1 - x0) * (y1 - y0)
}

// crateRule: like polygonOrder, found by trial.
func (e Emitter) crateRule(w view, side float64) *legendre {
	switch s := side / (2 * w.h) * math.Sqrt(1+e.Law/4); {
	case s < 0.1:
		return &gauss[2]
	case s < 0.25:
		return &gauss[3]
	case s < 0.5:
		return &gauss[5]
	case s < 1.2:
		return &gauss[8]
	}
	return &gauss[mostNodes]
}

// sectorLight is gridLight where a whole disc or octagon lies within one sector, well
// inside the cut-off: there all is smooth. ok is false elsewhere.
func (e Emitter) sectorLight(w view, reach float64) (mean float64, ok bool) {
	r := e.Face.W / 2
	if r > 0.35*w.h || (e.Grid.Cell == Tube && r > 0.2*reach) {
		return 0, false
	}
	rays, inside := e.Grid.rays(), false
	for i, a := range rays {
		b := rays[(i+1)%len(rays)]
		if a.x*-w.y+a.y*w.x > r && b.y*-w.x+b.x*w.y > r {
			for _, t := range e.Grid.edges() {
				t = point{t.x*a.x - t.y*a.y, t.x*a.y + t.y*a.x}
				if -t.x*w.x-t.y*w.y > reach-r {
					return 0, false
				}
			}
			if e.Grid.Cell == Hex {
				for _, t := range hexFolds {
					t = point{t.x*a.x - t.y*a.y, t.x*a.y + t.y*a.x}
					if math.Abs(-t.x*w.x-t.y*w.y-reach/2) < r {
						return 0, false
					}
				}
			}
			inside = true
			break
		}
	}
	if !inside {
		return 0, false
	}
	rule := &discRules[1]
	if e.Face.Kind == Octagon {
		rule = &octagonRules[1]
	}
	for i, x := range rule.x {
		mean += rule.w[i] * e.through(w, r*x, r*rule.y[i])
	}
	return mean, true
}

// rays are the directions from the foot that part the sectors, in order.
func (g Grid) rays() []point {
	if g.Cell == Hex {
		return sixths
	}
	return quadrants
}

// edges are the outward normals, in the frame of a sector's first ray, of the lines at
// h/K from the foot beyond which nothing passes; a tube's round edge becomes four tangents.
func (g Grid) edges() []point {
	switch g.Cell {
	case Square:
		return crateEdges
	case Hex:
		return hexEdges
	}
	return tubeEdges
}

func direction(degrees float64) point {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return point{c, s}
}

var (
	quadrants  = []point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	sixths     = []point{direction(-30), direction(30), direction(90), direction(150), direction(210), direction(270)}
	crateEdges = []point{{1, 0}, {0, 1}}
	hexEdges   = []point{direction(30)}
	hexFolds   = []point{direction(90), direction(-30)}
	tubeEdges  = []point{direction(11.25), direction(33.75), direction(56.25), direction(78.75)}
)
