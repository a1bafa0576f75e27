package light

import (
	"math"
	"slices"

	"falloff/model/geom"
)

// Flag is a flat thing that stops light: its centre, its normal, and its size along the
// axes of geom.Axes(Normal), W level and H upright, in metres.
type Flag struct {
	At, Normal geom.Vec
	W, H       float64
}

// corners in order round the flag.
func (f Flag) corners() [4]geom.Vec {
	u, v := geom.Axes(f.Normal.Unit())
	a, b := u.Mul(f.W/2), v.Mul(f.H/2)
	return [4]geom.Vec{f.At.Sub(a).Sub(b), f.At.Add(a).Sub(b), f.At.Add(a).Add(b), f.At.Sub(a).Add(b)}
}

// shadow is what the flag hides of the plane of a face from a receiver, a convex polygon in
// face axes; fewer than three points if nothing. The part of the flag that is behind the
// receiver or behind the face hides nothing.
func (f Flag) shadow(dst []point, p Pose, q geom.Vec, w view) []point {
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	near := w.h * 1e-6
	inFace := func(c geom.Vec) geom.Vec {
		s := c.Sub(p.At)
		return geom.Vec{X: u.Dot(s), Y: v.Dot(s), Z: axis.Dot(s)}
	}
	corners := f.corners()
	var cut [8]geom.Vec
	between := cut[:0]
	for i := range corners {
		a, b := inFace(corners[i]), inFace(corners[(i+1)%4])
		lo, hi := 0.0, 1.0 // the part of the side between the two planes
		for _, plane := range []struct{ at, sign float64 }{{near, 1}, {w.h - near, -1}} {
			ga, gb := plane.sign*(a.Z-plane.at), plane.sign*(b.Z-plane.at)
			switch {
			case ga < 0 && gb < 0:
				lo, hi = 1, 0
			case ga < 0:
				lo = max(lo, ga/(ga-gb))
			case gb < 0:
				hi = min(hi, ga/(ga-gb))
			}
		}
		if lo >= hi {
			continue
		}
		between = append(between, a.Lerp(b, lo))
		if hi < 1 { // else the next side begins there
			between = append(between, a.Lerp(b, hi))
		}
	}
	for _, c := range between {
		k := w.h / (w.h - c.Z)
		dst = append(dst, point{w.x + (c.X-w.x)*k, w.y + (c.Y-w.y)*k})
	}
	return dst
}

// Past is Illuminance with a flag in the way: the light of the part of the face that q sees
// past it, in lux per lumen that leaves the bare face. A flag has no thickness and throws
// nothing back (for what it throws back see CardBounce). It is as exact as Illuminance for
// Lambertian faces; for other laws, grids and measured beams to 0.5 % of the whole face and
// 1e-5 of the light on its axis. A Ball is seen or hidden as the point that it is.
func (e Emitter) Past(p Pose, f Flag, q, n geom.Vec) float64 {
	if e.Face.Kind == Ball {
		if f.hides(p.At, q) {
			return 0
		}
		return e.Illuminance(p, q, n)
	}
	w := see(p, q, n)
	if w.h <= 0 {
		return 0
	}
	var b0 [16]point
	hidden := f.shadow(b0[:0], p, q, w)
	if len(hidden) < 3 {
		return e.seen(w)
	}
	hidden = counterClockwise(hidden)
	var b1, b2, b3, b4 [80]point
	whole := e.outline(b1[:0], 64)
	dark := append(b2[:0], whole...)
	into := b3[:0]
	eachSide(hidden, func(nx, ny, c float64) {
		next := clip(into, dark, nx, ny, c)
		into, dark = dark[:0], next
	})
	// The smaller of the two parts is integrated piece by piece, for a piece is less exact
	// than the whole where the light falls steeply.
	if areaOf(dark) < areaOf(whole)/2 {
		return max(0, e.seen(w)-e.piece(w, dark))
	}
	sum := 0.0
	rest, into := whole, b3[:0]
	eachSide(hidden, func(nx, ny, c float64) {
		sum += e.piece(w, clip(b4[:0], rest, -nx, -ny, -c))
		next := clip(into, rest, nx, ny, c)
		into, rest = rest[:0], next
	})
	return sum
}

// eachSide goes round a convex polygon, counter-clockwise, giving each side's half plane:
// inside is nx x + ny y >= c.
func eachSide(poly []point, do func(nx, ny, c float64)) {
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		if nx, ny := a.y-b.y, b.x-a.x; nx != 0 || ny != 0 {
			do(nx, ny, nx*a.x+ny*a.y)
		}
	}
}

// piece is the light of a convex piece of the face.
func (e Emitter) piece(w view, poly []point) float64 {
	if len(poly) < 3 {
		return 0
	}
	if e.Beam != nil {
		return e.beamPiece(w, poly)
	}
	if e.Law == 0 && !e.gridded() {
		return contour(w, poly) / (math.Pi * e.Face.Area())
	}
	var cut [88]point
	poly = clip(cut[:0], poly, w.nx, w.ny, w.nx*w.x+w.ny*w.y+w.nh*w.h)
	if len(poly) < 3 {
		return 0
	}
	if e.gridded() {
		return e.sectors(w, poly) / e.Face.Area()
	}
	return e.polygonLight(w, poly) / e.Face.Area()
}

// hides reports whether the flag stands between two points.
func (f Flag) hides(a, b geom.Vec) bool {
	n := f.Normal.Unit()
	ga, gb := a.Sub(f.At).Dot(n), b.Sub(f.At).Dot(n)
	if (ga < 0) == (gb < 0) {
		return false
	}
	at := a.Lerp(b, ga/(ga-gb)).Sub(f.At)
	u, v := geom.Axes(n)
	return math.Abs(u.Dot(at)) <= f.W/2 && math.Abs(v.Dot(at)) <= f.H/2
}

// counterClockwise turns a convex polygon round if need be.
func counterClockwise(p []point) []point {
	if areaOf(p) < 0 {
		slices.Reverse(p)
	}
	return p
}

// areaOf a polygon, positive counter-clockwise.
func areaOf(p []point) (area float64) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		area += a.x*b.y - b.x*a.y
	}
	return area / 2
}
