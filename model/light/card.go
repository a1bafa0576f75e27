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
	given := func(x, y float64) float64 {
		at := c.At.Add(u.Mul(x)).Add(v.Mul(y))
		got := e.Illuminance(p, at, axis)
		if c.Mirror > 0 && got > 0 {
			got *= 1 - c.Mirror + c.Mirror*inLobe(e.mirrored(p, at, axis), q.Sub(at).Unit(), c.Lobe)
		}
		return got * once.kernel(w, x, y)
	}
	return c.Rho * overPolygon(seen, cardOrder, func(p swath, across, radius *legendre) (sum float64) {
		for j, s := range across.half {
			for k, t := range radius.half {
				sum += across.w[j] * radius.radial[k] * given(p.from.x+t*(p.along.x+s*p.turn.x), p.from.y+t*(p.along.y+s*p.turn.y))
			}
		}
		return sum
	})
}

// mirrored is where a mirror at a point sends the light of each part of a face, and the
// share of each.
func (e Emitter) mirrored(p Pose, at, normal geom.Vec) []beam {
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	w := see(p, at, normal)
	a, b := e.Face.half()
	if e.Face.Kind == Ball {
		a, b = 0, 0
	}
	rule := &discRules[1]
	out, weight := make([]beam, 0, len(rule.x)), 0.0
	for i, x := range rule.x {
		x, y := a*x, b*rule.y[i]
		if e.Face.Kind == Rect { // the same nodes on a square: close enough for a lobe
			x, y = x*squared, y*squared
		}
		part := rule.w[i]
		if e.Face.Kind != Ball {
			part *= max(0, e.through(w, x, y))
		}
		in := at.Sub(p.At.Add(u.Mul(x)).Add(v.Mul(y))).Unit()
		out = append(out, beam{in.Sub(normal.Mul(2 * in.Dot(normal))), part})
		weight += part
	}
	if weight <= 0 {
		return nil
	}
	for i := range out {
		out[i].share /= weight
	}
	return out
}

// squared makes the spread of a disc's nodes that of a square of the same half side: their
// mean squares along an axis are 1/4 and 1/3.
var squared = math.Sqrt(4. / 3)

// Ten nodes a side follow both the light's falloff over the card and the card's toward q.
const cardOrder = 10

// LitCard is a card under one light, worked out once for many receivers.
type LitCard struct {
	card  Card
	axis  geom.Vec
	nodes []litNode
}

// litNode is a piece of a card: what it emits if it were matt, in lumens over pi, and the
// directions in which a mirror there would send the parts of the light.
type litNode struct {
	at    geom.Vec
	gives float64
	beams []beam
}

type beam struct {
	dir   geom.Vec
	share float64
}

// litOrder nodes a side are enough for what a card adds to other light: within 1 % of
// CardBounce for receivers farther off than half the card's side.
const litOrder = 6

// Lit works out a card under a light: see CardBounce, of which At is a quicker form.
func (c Card) Lit(e Emitter, p Pose) LitCard {
	l := LitCard{card: c, axis: c.Normal.Unit()}
	u, v := geom.Axes(l.axis)
	g := &gauss[litOrder]
	for i, x := range g.x {
		for j, y := range g.x {
			at := c.At.Add(u.Mul(c.W / 2 * x)).Add(v.Mul(c.H / 2 * y))
			got := e.Illuminance(p, at, l.axis)
			if got <= 0 {
				continue
			}
			n := litNode{at: at, gives: c.Rho * got * g.w[i] * g.w[j] * c.W * c.H / math.Pi}
			if c.Mirror > 0 {
				n.beams = e.mirrored(p, at, l.axis)
			}
			l.nodes = append(l.nodes, n)
		}
	}
	return l
}

// At is the illuminance at q on a plane of unit normal n by way of the card, in lux per
// lumen of the light.
func (l *LitCard) At(q, n geom.Vec) (sum float64) {
	for i := range l.nodes {
		k := &l.nodes[i]
		to := q.Sub(k.at)
		out, in := to.Dot(l.axis), -to.Dot(n)
		if out <= 0 || in <= 0 {
			continue
		}
		r2 := to.Dot(to)
		got := k.gives * out * in / (r2 * r2)
		if len(k.beams) > 0 {
			got *= 1 - l.card.Mirror + l.card.Mirror*inLobe(k.beams, to.Mul(1/math.Sqrt(r2)), l.card.Lobe)
		}
		sum += got
	}
	return sum
}

// inLobe is the mean of (m+2)/2 cos^m of the angle from the beams.
func inLobe(beams []beam, toward geom.Vec, m float64) (sum float64) {
	for _, b := range beams {
		if c := b.dir.Dot(toward); c > 0 {
			sum += b.share * (m + 2) / 2 * math.Pow(c, m)
		}
	}
	return sum
}

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
