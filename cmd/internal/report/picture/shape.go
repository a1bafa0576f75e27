package picture

import (
	"math"
	"slices"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
	"falloff/model/light"
)

// headWidth stands for the width of a head behind its mount (common practice, no source).
const headWidth = 0.13 // m

// faceOutline is the rim of a light's face in the room.
func faceOutline(l *Light) []geom.Vec {
	n := l.Pose.Aim.Sub(l.Pose.At).Unit()
	u, v := geom.Axes(n)
	f := l.Emitter.Face
	corner := func(x, y float64) geom.Vec { return l.Pose.At.Add(u.Mul(x)).Add(v.Mul(y)) }
	switch f.Kind {
	case light.Rect:
		w, h := f.W/2, f.H/2
		return []geom.Vec{corner(-w, -h), corner(w, -h), corner(w, h), corner(-w, h)}
	case light.Octagon:
		return ring(8, math.Pi/8, f.W/2, corner)
	}
	return ring(32, 0, f.W/2, corner)
}

func ring(n int, first, r float64, corner func(x, y float64) geom.Vec) []geom.Vec {
	out := make([]geom.Vec, n)
	for i := range out {
		s, c := math.Sincos(first + 2*math.Pi*float64(i)/float64(n))
		out[i] = corner(r*c, r*s)
	}
	return out
}

// axis is the unit vector from a light's face backward to its head.
func (l *Light) axis() geom.Vec { return l.Pose.At.Sub(l.Pose.Aim).Unit() }

// bracket is where a head sits on its stand: behind the modifier, a little into the head.
func (l *Light) bracket() geom.Vec { return l.Pose.At.Add(l.axis().Mul(l.Depth + headWidth/2)) }

// bulk is the points that a light's outline is drawn round: the rim of the face, and the
// head from the modifier to its back.
func bulk(l *Light) []geom.Vec {
	back := l.axis()
	u, v := geom.Axes(back)
	pts := faceOutline(l)
	for _, d := range []float64{l.Depth, l.Back} {
		pts = append(pts, ring(8, math.Pi/8, headWidth/2, func(x, y float64) geom.Vec {
			return l.Pose.At.Add(back.Mul(d)).Add(u.Mul(x)).Add(v.Mul(y))
		})...)
	}
	return pts
}

// hull is the convex outline of points (Andrew's monotone chain, 1979).
func hull(pts []draw.Point) []draw.Point {
	pts = slices.Clone(pts)
	slices.SortFunc(pts, func(a, b draw.Point) int {
		switch {
		case a.X < b.X || a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	half := func(pts []draw.Point) []draw.Point {
		var out []draw.Point
		for _, p := range pts {
			for n := len(out); n > 1 && cross(out[n-2], out[n-1], p) <= 0; n = len(out) {
				out = out[:n-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half(pts)
	slices.Reverse(pts)
	return append(lower, half(pts)...)
}

func cross(o, a, b draw.Point) float64 {
	return (a.X-o.X)*(b.Y-o.Y) - (a.Y-o.Y)*(b.X-o.X)
}

// halfBeam is the angle off the axis, along one of the face's own axes, at which a light
// far away has fallen by some stops, in radians; a right angle where it never does.
func halfBeam(e light.Emitter, along bool, stops float64) float64 {
	if e.Face.Kind == light.Ball {
		return math.Pi / 2
	}
	pose := light.Pose{Aim: geom.Vec{Y: 1}}
	u, v := geom.Axes(geom.Vec{Y: 1})
	side := u
	if !along {
		side = v
	}
	at := func(a float64) float64 {
		s, c := math.Sincos(a)
		return e.Intensity(pose, geom.Vec{Y: c}.Add(side.Mul(s)))
	}
	wanted := at(0) * math.Exp2(-stops)
	lo, hi := 0.0, math.Pi/2
	for range 40 {
		if mid := (lo + hi) / 2; at(mid) > wanted {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// spread is rays from one edge of a light's beam to the other in the plane of one of its
// face's axes: where each leaves the face, and where it ends in the room.
func (s *Set) spread(l *Light, along bool, stops float64, rays int) (from, to []geom.Vec) {
	n := l.Pose.Aim.Sub(l.Pose.At).Unit()
	u, v := geom.Axes(n)
	f := l.Emitter.Face
	side, half := u, f.W/2
	if !along {
		side = v
		if f.Kind == light.Rect {
			half = f.H / 2
		}
	}
	edge := halfBeam(l.Emitter, along, stops)
	for i := range rays {
		t := 2*float64(i)/float64(rays-1) - 1
		sin, cos := math.Sincos(edge * t)
		start := l.Pose.At.Add(side.Mul(half * t))
		from = append(from, start)
		to = append(to, s.stop(start, n.Mul(cos).Add(side.Mul(sin))))
	}
	return from, to
}

// stop is where a ray from inside the room meets paper, wall, floor or ceiling.
func (s *Set) stop(p, dir geom.Vec) geom.Vec {
	t := math.Inf(1)
	meet := func(at, along, lo, hi float64) {
		if along > 1e-12 {
			t = min(t, (hi-at)/along)
		} else if along < -1e-12 {
			t = min(t, (lo-at)/along)
		}
	}
	lo, hi := s.Stage.Lo, s.Stage.Hi
	meet(p.X, dir.X, lo.X, hi.X)
	meet(p.Y, dir.Y, lo.Y, hi.Y)
	meet(p.Z, dir.Z, lo.Z, hi.Z)
	if paper := s.Stage.Paper; dir.Y < 0 && p.Y > paper.Y {
		k := (paper.Y - p.Y) / dir.Y
		if hit := p.Add(dir.Mul(k)); math.Abs(hit.X) <= paper.HalfWidth && hit.Z <= paper.Top {
			t = min(t, k)
		}
	}
	return p.Add(dir.Mul(max(0, t)))
}

// boomFoot is one place for the stand of a light that hangs on an arm: level with it, to
// the side where it hangs, or to the other where the room ends. Any place will do that the
// arm reaches.
func (s *Set) boomFoot(l *Light) geom.Vec {
	boom := s.Studio.Boom(l.Set.Boom)
	at := l.bracket()
	if boom == nil {
		return at
	}
	const pole = 0.15 // m, from a wall to the stand
	reach := float64(boom.Reach)
	side := 1.0
	if at.X < 0 {
		side = -1
	}
	for _, x := range []float64{side, -side} {
		if p := at.X + x*reach; math.Abs(p) < s.Stage.Hi.X-pole {
			return geom.Vec{X: p, Y: at.Y, Z: at.Z}
		}
	}
	return geom.Vec{X: at.X, Y: max(s.Stage.Paper.Y+pole, at.Y-reach), Z: at.Z}
}
