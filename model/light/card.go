package light

import (
	"math"

	"falloff/model/geom"
)

// Card is a flat reflector: its centre, the normal of its lit side, its size along the axes
// of geom.Axes(Normal) (W level, H upright), and its reflectance 0..1. Of what it reflects,
// the share Mirror 0..1 goes about the mirror direction in a lobe, cos^Lobe of the angle from
// it, and the rest evenly (Phong's lobe as Lafortune and Willems 1994 scale it: it gives back
// Rho at right angles and less at a slant). A matt card has Mirror 0.
type Card struct {
	At, Normal geom.Vec
	W, H, Rho  float64
	Mirror     float64
	Lobe       float64
}

// CardBounce is the illuminance at q on a plane of unit normal n by way of the card: one
// bounce, no shadows, in lux per lumen that leaves the bare face. Each point of the card
// emits rho E / pi, and in a lobe what it mirrors. Good to 0.5 % for cards no nearer to the
// light and the receiver than a quarter of their own size, and to 2 % with a lobe of 20 or
// less.
func CardBounce(e Emitter, p Pose, c Card, q, n geom.Vec) float64 {
	axis := c.Normal.Unit()
	u, v := geom.Axes(axis)
	w := see(Pose{c.At, c.At.Add(axis)}, q, n)
	if w.h <= 0 {
		return 0
	}
	a, b := c.W/2, c.H/2
	card := [4]point{{-a, -b}, {a, -b}, {a, b}, {-a, b}}
	var buf [8]point
	seen := clip(buf[:0], card[:], w.nx, w.ny, w.nx*w.x+w.ny*w.y+w.nh*w.h)
	once := Emitter{Face: Face{Rect, c.W, c.H}} // kernel: pi cos cos / r^2 over the area, per lumen
	return c.Rho * overPolygon(seen, cardOrder, func(x, y float64) float64 {
		at := c.At.Add(u.Mul(x)).Add(v.Mul(y))
		got := e.Illuminance(p, at, axis)
		if c.Mirror > 0 && got > 0 {
			got *= 1 - c.Mirror + c.Mirror*e.glint(p, at, axis, q.Sub(at).Unit(), c.Lobe)
		}
		return got * once.kernel(w, x, y)
	})
}

// glint is how much brighter a point that mirrors in a lobe looks in a direction than one
// that is matt, for the light of a face: the mean of (m+2)/2 cos^m over the face, weighted
// by what each part of it sends there.
func (e Emitter) glint(p Pose, at, normal, toward geom.Vec, m float64) float64 {
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	w := see(p, at, normal)
	a, b := e.Face.half()
	if e.Face.Kind == Ball {
		a, b = 0, 0
	}
	sum, weight := 0.0, 0.0
	for i, x := range discRules[1].x {
		x, y := a*x, b*discRules[1].y[i]
		if e.Face.Kind == Rect { // the same nodes on a square: a disc's worth is close enough for a lobe
			x, y = x*squared, y*squared
		}
		part := discRules[1].w[i]
		if e.Face.Kind != Ball {
			part *= max(0, e.through(w, x, y))
		}
		in := at.Sub(p.At.Add(u.Mul(x)).Add(v.Mul(y))).Unit()
		mirrored := in.Sub(normal.Mul(2 * in.Dot(normal)))
		if c := mirrored.Dot(toward); c > 0 {
			sum += part * (m + 2) / 2 * math.Pow(c, m)
		}
		weight += part
	}
	if weight <= 0 {
		return 0
	}
	return sum / weight
}

// squared makes the spread of a disc's nodes that of a square of the same half side: their
// mean squares along an axis are 1/4 and 1/3.
var squared = math.Sqrt(4. / 3)

// Ten nodes a side follow both the light's falloff over the card and the card's toward q.
const cardOrder = 10

// Patch is the illuminance by a small patch of illuminance e (lux), reflectance rho and
// area (square metres) at distance d, at angles from the normals of the patch and of the
// receiver: rho e area cos cos / (pi d^2). Beyond five times the patch's size only.
func Patch(e, rho, area, d, atPatch, atReceiver float64) float64 {
	return rho / math.Pi * e * area * math.Cos(atPatch) * math.Cos(atReceiver) / (d * d)
}

// Enclosure is the illuminance in lux inside an enclosure of even reflectance rho, 0 <= rho < 1,
// with a flux in lumens spread evenly over its area: flux / (area (1-rho)). Of that, the
// share rho is indirect. Only a check for rooms: see Bounce.
func Enclosure(flux, area, rho float64) float64 { return flux / (area * (1 - rho)) }
