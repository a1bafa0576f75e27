package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
	"falloff/model/people"
)

// eye is one eye as it is drawn, sizes in metres to units.
type eye struct {
	at    geom.Vec
	mid   draw.Point
	per   float64 // units to a metre
	right geom.Vec
	up    geom.Vec
	look  geom.Vec // toward the lens
}

// Eyes is both eyes as the lens sees them, looking into it, with the reflection of every
// light on the cornea.
func (s *Set) Eyes() *draw.Picture {
	p := s.picture("eyes", "Catchlights", 44)
	const per = 1700
	var told []string
	for i, which := range []people.Point{people.LeftEye, people.RightEye} {
		at := s.landmark(which)
		look := s.Stage.Camera.Sub(at).Unit()
		right := geom.Vec{Z: 1}.Cross(look).Neg().Unit()
		if right.X < 0 {
			right = right.Neg()
		}
		e := eye{at: at, mid: draw.Point{X: 30 + 60*float64(i), Y: 20}, per: per, right: right, up: look.Cross(right), look: look}
		if e.up.Z < 0 {
			e.up = e.up.Neg()
		}
		s.openEye(p, e)
		told = append(told, s.glints(p, e)...)
		p.Text("small muted", draw.Point{X: e.mid.X, Y: 41}, draw.Middle, []string{"eye on camera left", "eye on camera right"}[i])
	}
	p.Says = "Both eyes, looking into the lens, with the reflections of the lights."
	if len(told) == 0 {
		p.Says += " No light is reflected to the lens inside the iris."
	}
	for _, t := range told {
		p.Says += " " + t
	}
	return p
}

func (e eye) place(x, y float64) draw.Point {
	return draw.Point{X: e.mid.X + x*e.per, Y: e.mid.Y - y*e.per}
}

// openEye is lids, iris and pupil.
func (s *Set) openEye(p *draw.Picture, e eye) {
	const mm = 1e-3
	half, upper, lower := 15*mm, people.UpperLid, people.LowerLid
	var lids []draw.Point
	for i := range 64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 64)
		open := upper
		if sin < 0 {
			open = lower
		}
		lids = append(lids, e.place(half*cos, open*sin))
	}
	p.Circle("thin", e.mid, people.Iris*e.per)
	p.Circle("pupil", e.mid, 0.0015*e.per)
	p.Path("line", lids, true)
}

// glints draws the reflection of each light's face, and tells where it sits as on a clock.
func (s *Set) glints(p *draw.Picture, e eye) []string {
	var told []string
	for i := range s.Lights {
		l := &s.Lights[i]
		mid, ok := e.glint(l.Pose.At)
		if !ok || l.Pose.Aim.Sub(l.Pose.At).Dot(e.at.Sub(l.Pose.At)) <= 0 {
			continue
		}
		var shape []draw.Point
		for _, q := range faceOutline(l) {
			if at, ok := e.glint(q); ok {
				shape = append(shape, e.place(at.X, at.Y))
			}
		}
		if len(shape) < 3 {
			continue
		}
		class := "glint"
		where := clock(mid)
		if mid.Y > people.UpperLid || mid.Y < -people.LowerLid {
			class = "out"
			where += ", under the lid"
		}
		if l.coloured() {
			p.Path(class, hull(shape), true, "data-role", l.Role.String(), "style", "fill:"+s.swatch(l))
		} else {
			p.Path(class, hull(shape), true, "data-role", l.Role.String())
		}
		c := e.place(mid.X, mid.Y)
		p.FitBadge(c, l.number(), math.Atan2(c.Y-e.mid.Y, c.X-e.mid.X), 6, 9, 13, 17)
		told = append(told, fmt.Sprintf("Light %d: %s.", l.Number, where))
	}
	return told
}

// glint is where the reflection of a point lies on the eye, right and up of its middle in
// metres; false where the cornea does not show it.
func (e eye) glint(p geom.Vec) (draw.Point, bool) {
	x, y, ok := people.Glint(p.Sub(e.at), e.look, e.right, e.up)
	return draw.Point{X: x, Y: y}, ok
}

// clock is a place on the iris as an hour.
func clock(at draw.Point) string {
	hour := int(math.Round(math.Atan2(at.X, at.Y) / (math.Pi / 6)))
	if hour <= 0 {
		hour += 12
	}
	return fmt.Sprintf("%d o'clock", hour)
}
