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
	switch {
	case b.flat:
		return math.Abs(b.u.Dot(d)) + math.Abs(b.v.Dot(d))
	case b.ball:
		return b.radius
	}
	c := b.n.Dot(d)
	return b.radius * math.Sqrt(max(0, 1-c*c))
}

func isPose(b light.PoseBox) bool { return b.D.IsPoint() && b.Az.IsPoint() && b.El.IsPoint() }

// boxRadius bounds how far a pose of the box is from its middle.
func boxRadius(b light.PoseBox) float64 {
	dr := b.D.Width() / 2
	return dr + b.D.Hi*(b.Az.Width()+b.El.Width())/2 + 1e-12
}

func (v *View) clear(eye, p geom.Vec, b *bulk, boom bool) float64 {
	d := p.Sub(v.Cam)
	sides := v.sides[:3] // a stand under a light over the frame is in it
	if boom {
		sides = v.sides[:]
	}
	clear := -d.Dot(v.axes[2]) - b.reach(v.axes[2])
	for _, n := range sides {
		clear = max(clear, d.Dot(n)-b.reach(n))
	}
	if p.Y < behindHead { // hidden by the shoulders if it is low and narrow enough
		k := v.Cam.Y / (v.Cam.Y - p.Y)
		top := v.Cam.Z + (p.Z-v.Cam.Z)*k
		hidden := min(torsoHalf-(math.Abs(d.Dot(v.axes[0]))+b.reach(v.axes[0]))*k, eye.Z-torsoTop-top-b.reach(geom.Vec{Z: 1})*k)
		clear = max(clear, hidden)
	}
	return clear
}
