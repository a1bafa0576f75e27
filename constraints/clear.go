package constraints

import (
	"math"

	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/unit"
)

// Clear is how far a light's face and its stand clear the frame, in metres, over a box of
// poses and over all views; a light hidden behind the sitter is clear too. Whole when
// nothing is known of the camera.
func (l *Layout) Clear(box light.PoseBox, face light.Face, boom bool) unit.Interval {
	if !l.Framed && len(l.views) == 0 {
		return unit.Whole
	}
	dir := geom.Polar(box.Az.Mid(), box.El.Mid())
	mid := dir.Mul(box.D.Mid()).Add(box.Target)
	b := bulkOf(face, dir)
	c := unit.Empty
	if l.Framed {
		c = unit.Point(l.View.clear(l.Eye, mid, &b, boom))
	}
	for i := range l.views {
		c = c.Hull(unit.Point(l.views[i].clear(l.Eye, mid, &b, boom)))
	}
	if l.Framed && isPose(box) {
		return c
	}
	// Each distance to a plane changes by at most the displacement of the face's farthest
	// point, which is the centre's and a turn of its radius; so do their minima and maxima,
	// and a projection onto the sitter's plane by no more.
	r := boxRadius(box) + b.radius*(box.Az.Width()+box.El.Width())/2
	return unit.Interval{Lo: c.Lo - r, Hi: c.Hi + r}.Out()
}

// bulk is how far a flat face reaches from its centre in any direction.
type bulk struct {
	u, v, n geom.Vec // half sides of a rectangle, and the normal
	radius  float64
	flat    bool // a rectangle; else a disc or a ball of the radius
	ball    bool
}

func bulkOf(f light.Face, dir geom.Vec) bulk {
	b := bulk{radius: radius(f), n: dir, flat: f.Kind == light.Rect, ball: f.Kind == light.Ball}
	if b.flat {
		u, v := geom.Axes(dir.Neg())
		b.u, b.v = u.Mul(f.W/2), v.Mul(f.H/2)
	}
	return b
}

// reach is the support of the face in a unit direction.
func (b *bulk) reach(d geom.Vec) float64 {
	if b.flat {
		return b.reachOf(b.u.Dot(d), b.v.Dot(d))
	}
	return b.reachOf(b.n.Dot(d), 0)
}

// reachOf is the same from the scalar products of the direction with the half sides of a
// rectangle, or the first with the normal of another face.
func (b *bulk) reachOf(u, v float64) float64 {
	switch {
	case b.flat:
		return math.Abs(u) + math.Abs(v)
	case b.ball:
		return b.radius
	}
	return b.radius * math.Sqrt(max(0, 1-u*u))
}

func isPose(b light.PoseBox) bool { return b.D.IsPoint() && b.Az.IsPoint() && b.El.IsPoint() }

// boxRadius bounds how far a pose of the box is from its middle.
func boxRadius(b light.PoseBox) float64 {
	dr := b.D.Width() / 2
	return dr + b.D.Hi*(b.Az.Width()+b.El.Width())/2 + 1e-12
}

// clear looks along the camera's axes, of which the first is level: what is left of the scalar
// products is shared by the sides of the frame.
func (v *View) clear(eye, p geom.Vec, b *bulk, boom bool) float64 {
	d, u, w := v.along(p.Sub(v.Cam)), v.along(b.u), v.along(b.v)
	if !b.flat {
		u = v.along(b.n)
	}
	clear := -d.Z - b.reachOf(u.Z, w.Z)
	aside, over := v.edges[0], v.edges[1]
	clear = max(clear, -aside.cos*d.X-aside.sin*d.Z-b.reachOf(aside.cos*u.X+aside.sin*u.Z, aside.cos*w.X+aside.sin*w.Z))
	clear = max(clear, aside.cos*d.X-aside.sin*d.Z-b.reachOf(aside.cos*u.X-aside.sin*u.Z, aside.cos*w.X-aside.sin*w.Z))
	clear = max(clear, -over.cos*d.Y-over.sin*d.Z-b.reachOf(over.cos*u.Y+over.sin*u.Z, over.cos*w.Y+over.sin*w.Z))
	if boom { // a stand under a light over the frame is in it
		clear = max(clear, over.cos*d.Y-over.sin*d.Z-b.reachOf(over.cos*u.Y-over.sin*u.Z, over.cos*w.Y-over.sin*w.Z))
	}
	if p.Y < behindHead { // hidden by the shoulders if it is low and narrow enough
		k := v.Cam.Y / (v.Cam.Y - p.Y)
		top := v.Cam.Z + (p.Z-v.Cam.Z)*k
		hidden := min(torsoHalf-(math.Abs(d.X)+b.reachOf(u.X, w.X))*k, eye.Z-torsoTop-top-b.reach(geom.Vec{Z: 1})*k)
		clear = max(clear, hidden)
	}
	return clear
}

// along tells a direction by the camera's axes.
func (v *View) along(p geom.Vec) geom.Vec {
	up, ahead := &v.axes[1], &v.axes[2]
	return geom.Vec{X: p.X, Y: p.Y*up.Y + p.Z*up.Z, Z: p.Y*ahead.Y + p.Z*ahead.Z}
}
