package light

import (
	"math"

	"falloff/model/geom"
)

// Card is a flat Lambertian reflector: its centre, the normal of its lit side, its size
// along the axes of geom.Axes(Normal) (W level, H upright), and its reflectance 0..1.
type Card struct {
	At, Normal geom.Vec
	W, H, Rho  float64
}

// CardBounce is the illuminance at q on a plane of unit normal n by way of the card: one
// bounce, no shadows, in lux per lumen that leaves the bare face. Each point of the card
// emits rho E / pi. Good to 0.5 % for cards no nearer to the light and the receiver than
// a quarter of their own size.
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
		return e.Illuminance(p, at, axis) * once.kernel(w, x, y)
	})
}

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
