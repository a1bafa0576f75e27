package picture

import (
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
	"falloff/model/people"
)

// Depths of a body from front to back, metres (from memory).
const (
	chest   = 0.24
	neck    = 0.12
	hipBack = 0.10 // the middle of the trunk behind the eyes, as in people.Landmark
)

// landmark is a point of the sitter in the room.
func (s *Set) landmark(p people.Point) geom.Vec {
	return s.Stage.Eye.Add(s.Stage.Build.Landmark(p, s.Stage.Head).At)
}

// headMiddle is the middle of the head at the height of the eyes.
func (s *Set) headMiddle() geom.Vec {
	l, r := s.landmark(people.LeftHair), s.landmark(people.RightHair)
	m := l.Lerp(r, 0.5)
	m.Z = s.Stage.Eye.Z
	return m
}

// turned is the head's own axes in plan: to its side, and the way it faces.
func (s *Set) turned() (side, face geom.Vec) {
	face = s.Stage.Head.Facing()
	face.Z = 0
	face = face.Unit()
	return geom.Vec{X: face.Y, Y: -face.X}, face
}

// sitterAbove is shoulders, head with hair, nose and ears from above, in survey sizes.
func (s *Set) sitterAbove(p *draw.Picture, k scale) {
	b := s.Stage.Build
	left, right := s.landmark(people.LeftShoulder), s.landmark(people.RightShoulder)
	mid := left.Lerp(right, 0.5)
	half := right.Sub(left).Len() / 2
	p.Path("person", k.all(oval(mid, right.Sub(left).Unit(), geom.Vec{Y: 1}, half, chest/2)), true)
	side, face := s.turned()
	nose := s.landmark(people.NoseTip)
	for _, e := range []people.Point{people.LeftEar, people.RightEar} {
		p.Path("person", k.all(oval(s.landmark(e), side, face, 0.012, float64(b.EarBreadth.Mean)/2)), true)
	}
	root := s.Stage.Eye
	p.Path("person", k.all([]geom.Vec{root.Add(side.Mul(0.02)), nose, root.Sub(side.Mul(0.02))}), false)
	hair := oval(s.headMiddle(), side, face, float64(b.HeadBreadth.Mean)/2+0.015, float64(b.HeadLength.Mean)/2)
	p.Path("person", k.all(hair), true, "data-part", "head")
	p.Take(bounds(k.all(hair)))
}

// oval is an ellipse in the plane of two unit vectors.
func oval(c, u, v geom.Vec, a, b float64) []geom.Vec {
	return ring(32, 0, 1, func(x, y float64) geom.Vec { return c.Add(u.Mul(a * x)).Add(v.Mul(b * y)) })
}

// sitterBeside is the sitter from camera right: head, neck, trunk, and the seat.
func (s *Set) sitterBeside(p *draw.Picture, k scale) {
	b, eye := s.Stage.Build, s.Stage.Eye
	toward, up := geom.Vec{Y: 1}, geom.Vec{Z: 1}
	shoulder := s.landmark(people.LeftShoulder).Z
	hips := 0.53 * float64(b.Stature.Mean) // standing (from memory)
	if s.Brief.Sitter.Seated {
		hips = float64(people.Seat)
		seat := hips - 0.03
		p.Rect("person", k.at(geom.Vec{Y: -hipBack - 0.18, Z: seat}), k.at(geom.Vec{Y: -hipBack + 0.18, Z: seat + 0.03}))
		for _, y := range []float64{-0.15, 0.15} {
			p.Line("line", k.at(geom.Vec{Y: -hipBack + y, Z: seat}), k.at(geom.Vec{Y: -hipBack + y}))
		}
	} else {
		for _, y := range []float64{-0.05, 0.05} {
			p.Line("line", k.at(geom.Vec{Y: -hipBack + y, Z: hips}), k.at(geom.Vec{Y: -hipBack + y}))
		}
	}
	trunk := func(y, z float64) geom.Vec { return geom.Vec{Y: -hipBack + y, Z: z} }
	w := chest / 2
	p.Path("person", k.all([]geom.Vec{trunk(-0.04, shoulder+0.06), trunk(0.04, shoulder+0.06), trunk(0.09, shoulder), trunk(w, shoulder-0.12),
		trunk(0.11, (shoulder+hips)/2-0.05), trunk(w, hips), trunk(-w, hips), trunk(-0.10, (shoulder+hips)/2-0.05), trunk(-w, shoulder-0.1), trunk(-0.09, shoulder)}), true)
	chin := s.landmark(people.Chin).Z
	mid := geom.Vec{Y: s.headMiddle().Y, Z: (s.Stage.Crown.Z + chin) / 2}
	p.Rect("person", k.at(geom.Vec{Y: -hipBack - neck/2, Z: shoulder + 0.05}), k.at(geom.Vec{Y: -hipBack + neck/2, Z: chin + 0.03}))
	nose := s.landmark(people.NoseTip)
	p.Path("person", k.all([]geom.Vec{{Y: nose.Y - 0.035, Z: nose.Z + 0.035}, nose, {Y: nose.Y - 0.03, Z: nose.Z - 0.012}}), false)
	head := oval(mid, toward, up, float64(b.HeadLength.Mean)/2, (s.Stage.Crown.Z-chin)/2)
	p.Path("person", k.all(head), true, "data-part", "head")
	p.Take(bounds(k.all(head)))
	p.Circle("dot", k.at(eye), 0.45, "data-part", "eyes")
}

// towardCamera is the horizontal angle of a vector from the camera's direction, radians,
// 0 to pi.
func towardCamera(v geom.Vec) float64 { return math.Abs(math.Atan2(v.X, v.Y)) }
