package geom

import "math"

// Frustum is the pyramid that a camera frames: its apex, the unit directions it looks
// along and up, and the tangents of half the angles of view across and upright.
type Frustum struct {
	Camera, Forward, Up         Vec
	TanHalfWidth, TanHalfHeight float64
}

// FrustumToward frames from a camera point toward a target with level sides. Looking
// straight up or down, up is -Y or Y.
func FrustumToward(camera, target Vec, tanHalfWidth, tanHalfHeight float64) Frustum {
	f := target.Sub(camera).Unit()
	right := f.Cross(Vec{Z: 1})
	if right.Len() < 1e-9 {
		right = Vec{X: 1}
	}
	return Frustum{camera, f, right.Unit().Cross(f), tanHalfWidth, tanHalfHeight}
}

// Outside is the clearance in metres of a ball from the framed pyramid: positive when the
// ball is wholly out of frame, 0 when it touches, and negative by the depth to which it
// reaches inside. What is behind the camera is out of frame.
//
// It is the exact distance from the pyramid outside and the exact depth inside, less the
// radius. So it changes by at most the distance that the ball moves: see OutsideWithin.
func (f Frustum) Outside(p Vec, radius float64) float64 {
	d := p.Sub(f.Camera)
	right := f.Forward.Cross(f.Up)
	x, y, z := math.Abs(d.Dot(right)), math.Abs(d.Dot(f.Up)), d.Dot(f.Forward)
	w, h := f.TanHalfWidth, f.TanHalfHeight
	// Heights over the two nearest side planes; the pyramid is symmetric.
	sx, sy := (x-w*z)/math.Hypot(1, w), (y-h*z)/math.Hypot(1, h)
	if sx <= 0 && sy <= 0 {
		return max(sx, sy) - radius
	}
	// The nearest point lies on a side plane, on the edge between them, or at the apex.
	best := d.Len()
	if along := (w*x + z) / (1 + w*w); sx > 0 && along > 0 && y <= h*along {
		best = min(best, sx)
	}
	if along := (h*y + z) / (1 + h*h); sy > 0 && along > 0 && x <= w*along {
		best = min(best, sy)
	}
	if along := (w*x + h*y + z) / (1 + w*w + h*h); along > 0 {
		best = min(best, Vec{x - w*along, y - h*along, z - along}.Len())
	}
	return best - radius
}

// OutsideWithin returns the least and the greatest that Outside can be for a ball whose
// centre lies within reach metres of p.
func (f Frustum) OutsideWithin(p Vec, reach, radius float64) (lo, hi float64) {
	c := f.Outside(p, radius)
	return c - reach - 1e-12, c + reach + 1e-12
}

// SegmentDistance is the distance in metres from p to the segment from a to b.
func SegmentDistance(p, a, b Vec) float64 {
	d := b.Sub(a)
	t := 0.0
	if l := d.Dot(d); l > 0 {
		t = min(1, max(0, p.Sub(a).Dot(d)/l))
	}
	return p.Sub(a.Add(d.Mul(t))).Len()
}

// SegmentsDistance is the least distance in metres between the segments ab and cd: between
// two ends, an end and a segment, or the nearest points of the two lines where these lie in
// the segments. By cross products, as the squares of dot products cancel where the segments
// are nearly parallel.
func SegmentsDistance(a, b, c, d Vec) float64 {
	u, v, r := b.Sub(a), d.Sub(c), c.Sub(a)
	best := min(SegmentDistance(a, c, d), SegmentDistance(b, c, d), SegmentDistance(c, a, b), SegmentDistance(d, a, b))
	n := u.Cross(v)
	if nn := n.Dot(n); nn > 0 {
		s, t := r.Cross(v).Dot(n)/nn, r.Cross(u).Dot(n)/nn
		if s >= 0 && s <= 1 && t >= 0 && t <= 1 {
			best = min(best, c.Add(v.Mul(t)).Sub(a.Add(u.Mul(s))).Len())
		}
	}
	return best
}

// SegmentHitsDisc reports whether the segment from a to b passes through the disc of
// centre c, normal n (any length) and radius r.
func SegmentHitsDisc(a, b, c, n Vec, r float64) bool {
	da, db := a.Sub(c).Dot(n), b.Sub(c).Dot(n)
	if da*db > 0 || da == db {
		return false
	}
	hit := a.Lerp(b, da/(da-db))
	return hit.Sub(c).Len() <= r
}

// Box is an upright box between two corners, in metres.
type Box struct{ Min, Max Vec }

// Clearance is how far p is inside the box: the least distance to a wall, negative outside
// (then by the farthest overstepped wall).
func (b Box) Clearance(p Vec) float64 {
	return min(p.X-b.Min.X, b.Max.X-p.X, p.Y-b.Min.Y, b.Max.Y-p.Y, p.Z-b.Min.Z, b.Max.Z-p.Z)
}

// SegmentHitsBox reports whether any point of the segment from a to b is in the box, and
// the share of the way at which it enters (the slab method of Kay and Kajiya, 1986).
func (x Box) SegmentHitsBox(a, b Vec) (at float64, hit bool) {
	in, out := 0.0, 1.0
	for _, s := range [3][4]float64{
		{a.X, b.X - a.X, x.Min.X, x.Max.X}, {a.Y, b.Y - a.Y, x.Min.Y, x.Max.Y}, {a.Z, b.Z - a.Z, x.Min.Z, x.Max.Z},
	} {
		if s[1] == 0 {
			if s[0] < s[2] || s[0] > s[3] {
				return 0, false
			}
			continue
		}
		t0, t1 := (s[2]-s[0])/s[1], (s[3]-s[0])/s[1]
		in, out = max(in, min(t0, t1)), min(out, max(t0, t1))
	}
	return in, in <= out
}
