package light

import "math"

// beamLight integrates a face with a measured beam over circles round the foot of the
// receiver in the plane of the face: on a circle the angle from the normal is one, so that
// the beam is, too, and the part of the circle that lies on the face is known in closed
// form. With intensity glow cos/pi per lumen, dA = h^2 tan sec^2 da dphi and the receiver
// cosine linear in the place,
//
//	E = 1/(pi A) Int glow [-nh sin cos Int dphi + sin^2 (nx Int cos dphi + ny Int sin dphi)] da.
//
// Over the angle a it is integrated between the radii at which the circle touches an edge
// or a corner, and the steps of the beam.
func (e *Emitter) beamLight(w view) float64 {
	var cuts [mostCuts]cut
	var at [3 * mostCuts]touch
	s := slicer{cuts: cuts[:0], at: at[:0]}
	s.face(e, w)
	return s.light(e, w)
}

// beamPiece is beamLight of a convex piece of the face.
func (e *Emitter) beamPiece(w view, poly []point) float64 {
	var s slicer
	near, far := s.polygon(w, poly)
	s.horizon(e, w, near, far)
	return s.light(e, w)
}

// light is the integral over what has been taken.
func (s *slicer) light(e *Emitter, w view) float64 {
	sum := 0.0
	for i := 1; i < len(s.at); i++ {
		low, high := s.at[i-1], s.at[i]
		for from := low.angle; from < high.angle; {
			next := e.Beam.knotAfter(from + 1e-9)
			if next > high.angle-1e-9 {
				next = high.angle
			}
			// The root is felt in what lies next to it, too, if that is near.
			below := low.root && from-low.angle < beamStep/2
			above := high.root && high.angle-next < beamStep/2
			sum += s.step(e.Beam, w, from, next, below, above)
			from = next
		}
	}
	return max(0, sum) / (math.Pi * e.Face.Area())
}

// step integrates over angles between which the beam is about straight. At an end at which the arcs
// change like a root nodes are crowded: a = mid - half cos t takes that out, and so does the
// square at one end. Elsewhere few Gauss nodes do.
func (s *slicer) step(b *Beam, w view, from, to float64, rootBelow, rootAbove bool) (sum float64) {
	long := to - from
	at := func(a, weight float64) { sum += weight * b.toward(a) * s.slice(w, a) }
	switch {
	case rootBelow && rootAbove:
		for j, x := range gauss[6].x {
			sin, cos := math.Sincos(math.Pi * (1 + x) / 2)
			at(from+long*(1-cos)/2, gauss[6].w[j]*long*sin*math.Pi/2)
		}
	case rootBelow || rootAbove:
		for j, x := range gauss[4].x {
			u := (1 + x) / 2
			a := from + long*u*u
			if rootAbove {
				a = to - long*u*u
			}
			at(a, gauss[4].w[j]*2*long*u)
		}
	default:
		for j, x := range gauss[3].x {
			at(from+long*(1+x)/2, gauss[3].w[j]*long)
		}
	}
	return sum
}

// beamOnAxis is the light on the axis. From a disc it is the flux inside the cone from the
// receiver to its rim, over its area: -nh = 1 and whole circles above.
func (e *Emitter) beamOnAxis(d float64) float64 {
	if e.Face.Kind == Disc {
		return e.Beam.inside(math.Atan(e.Face.W/2/d)) / e.Face.Area()
	}
	return e.seen(view{0, 0, d, 0, 0, -1})
}

// A cut leaves out the part of a circle round the foot that lies beyond an edge: the angles
// phi with cos(phi - phi0) above away/radius, where away is how far the edge is from the
// foot, negative if the foot lies beyond it. The rim of a disc is one too, with an away that
// depends on the radius.
type cut struct{ cos, sin, phi, away float64 }

// slicer knows how circles lie on a face that a receiver sees.
type slicer struct {
	cuts   []cut
	disc   float64 // radius of a disc, whose rim is the first cut
	offset float64 // of the foot from the centre of the disc
	at     []touch
}

// mostCuts is how many edges a face has, with the horizon.
const mostCuts = 9

// touch is an angle at which a circle touches an edge, where its arcs change like a root, or
// passes a corner, where they have a kink.
type touch struct {
	angle float64
	root  bool
}

func (s *slicer) cut(nx, ny, away float64) {
	s.cuts = append(s.cuts, cut{nx, ny, math.Atan2(ny, nx), away})
}

// face takes the edges of a face, with the receiver's horizon if it may cut the face, and
// the angles at which circles meet them, in order.
func (s *slicer) face(e *Emitter, w view) {
	var near, far float64
	if e.Face.Kind == Disc {
		s.disc, s.offset = e.Face.W/2, math.Hypot(w.x, w.y)
		nx, ny := 1.0, 0.0
		if s.offset > 0 {
			nx, ny = w.x/s.offset, w.y/s.offset
		}
		s.cut(nx, ny, 0)
		near, far = max(0, s.offset-s.disc), s.offset+s.disc
		s.mark(w, math.Abs(s.offset-s.disc), true)
	} else {
		var buf [8]point
		near, far = s.polygon(w, e.outline(buf[:0], 0))
	}
	s.horizon(e, w, near, far)
}

// polygon takes the edges of a convex polygon, counter-clockwise, and returns how near and
// how far from the foot its points are, at the least and at the most.
func (s *slicer) polygon(w view, poly []point) (near, far float64) {
	p := poly[len(poly)-1]
	for _, q := range poly {
		l := math.Hypot(q.x-p.x, q.y-p.y)
		if l < 1e-12 {
			continue
		}
		nx, ny := (q.y-p.y)/l, (p.x-q.x)/l
		away := nx*(p.x-w.x) + ny*(p.y-w.y)
		s.cut(nx, ny, away)
		s.mark(w, math.Abs(away), true)
		near = max(near, -away)
		r := math.Hypot(q.x-w.x, q.y-w.y)
		s.mark(w, r, false)
		far = max(far, r)
		p = q
	}
	return near, far
}

// horizon takes the receiver's horizon, and ends the taking.
func (s *slicer) horizon(e *Emitter, w view, near, far float64) {
	if side := math.Hypot(w.nx, w.ny); side > 1e-12 {
		away := -w.nh * w.h / side
		s.cut(-w.nx/side, -w.ny/side, away)
		s.mark(w, math.Abs(away), true)
		near = max(near, -away)
	}
	s.limit(math.Atan(near/w.h), min(math.Atan(far/w.h), e.Beam.end))
}

func (s *slicer) mark(w view, radius float64, root bool) {
	s.at = append(s.at, touch{math.Atan(radius / w.h), root})
}

// limit sorts the marks and keeps those between two angles, with these.
func (s *slicer) limit(from, to float64) {
	kept := s.at[:0]
	for _, m := range s.at {
		if m.angle > from && m.angle < to {
			kept = append(kept, m)
		}
	}
	kept = append(kept, touch{from, from > 0}, touch{to, s.disc == 0 || s.offset > 0})
	for i := 1; i < len(kept); i++ { // few, and mostly in order
		m, k := kept[i], i
		for ; k > 0 && kept[k-1].angle > m.angle; k-- {
			kept[k] = kept[k-1]
		}
		kept[k] = m
	}
	s.at = kept
}

// gap is what a cut leaves out of one circle: from a start in 0..2 pi to an end beyond it,
// with the sines and cosines of both.
type gap struct{ from, to, fromSin, fromCos, toSin, toCos float64 }

// slice is the bracket of the integral at an angle.
func (s *slicer) slice(w view, a float64) float64 {
	var buf [mostCuts]gap
	gaps := buf[:0]
	sin, cos := math.Sincos(a)
	radius := w.h * sin / cos
	for i := range s.cuts {
		c := &s.cuts[i]
		q := c.away
		if i == 0 && s.disc > 0 {
			// |foot + radius (cos, sin)|^2 <= R^2
			if s.offset == 0 {
				if radius > s.disc {
					return 0
				}
				continue
			}
			q = (s.disc*s.disc - s.offset*s.offset - radius*radius) / (2 * s.offset)
		}
		if q >= radius {
			continue
		}
		if q <= -radius {
			return 0
		}
		g := c.gap(q / radius)
		gaps = append(gaps, g)
		k := len(gaps) - 1
		for ; k > 0 && gaps[k-1].from > g.from; k-- {
			gaps[k] = gaps[k-1]
		}
		gaps[k] = g
	}
	turn, along, up := arcsBetween(gaps)
	return -w.nh*sin*cos*turn + sin*sin*(w.nx*along+w.ny*up)
}

func (c *cut) gap(q float64) (g gap) {
	half, s := math.Acos(q), math.Sqrt(1-q*q)
	g.from = c.phi - half
	if g.from < 0 {
		g.from += 2 * math.Pi
	}
	if g.from < 0 {
		g.from += 2 * math.Pi
	}
	g.to = g.from + 2*half
	g.fromSin, g.fromCos = c.sin*q-c.cos*s, c.cos*q+c.sin*s
	g.toSin, g.toCos = c.sin*q+c.cos*s, c.cos*q-c.sin*s
	return g
}

// arcsBetween integrates 1, cos and sin over what gaps leave of a whole turn. The gaps are
// in the order of their starts; they may overlap and run past the turn.
func arcsBetween(gaps []gap) (turn, along, up float64) {
	if len(gaps) == 0 {
		return 2 * math.Pi, 0, 0
	}
	last := gaps[0] // the gap that reaches farthest so far
	for _, g := range gaps[1:] {
		if g.to-2*math.Pi > last.to {
			last = g
			last.to -= 2 * math.Pi
		}
	}
	keep := func(from float64, fromSin, fromCos float64) {
		if from > last.to {
			turn += from - last.to
			along += fromSin - last.toSin
			up += last.toCos - fromCos
		}
	}
	for _, g := range gaps[1:] {
		keep(g.from, g.fromSin, g.fromCos)
		if g.to > last.to {
			last = g
		}
	}
	first := &gaps[0]
	keep(first.from+2*math.Pi, first.fromSin, first.fromCos)
	return turn, along, up
}

// beamRays is the fan of a measured beam: the flux inside an angle takes the place of the
// law's.
func (e Emitter) beamRays(dst []ray) []ray {
	b := e.Beam
	for i, cos := range b.rings {
		dst = e.ring(dst, i, cos, gauss[faceRings].w[i]*b.within[beamSteps])
	}
	return dst
}

// roundMean is the transmission of a grid at an angle from the axis, averaged over the
// directions around it: the mean of 48 of a whole turn, exact for tubes.
func (g Grid) roundMean(angle float64) float64 {
	const n = 48
	tan, sum := math.Tan(angle), 0.0
	for k := range n {
		d := direction(360 * (float64(k) + 0.5) / n)
		sum += g.Transmission(tan*d.x, tan*d.y) / n
	}
	return sum
}
