package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// A near plan shows lights within farthest of the mark, and at least nearest of floor to
// either side of it, in metres.
const (
	farthest = 2.2
	nearest  = 0.6
)

// nearLights is the lights that a near plan shows.
func (s *Set) nearLights() []*Light {
	var out []*Light
	for i := range s.Lights {
		l := &s.Lights[i]
		if math.Hypot(l.Pose.At.X, l.Pose.At.Y) <= farthest {
			out = append(out, l)
		}
	}
	return out
}

// Near is the floor round the sitter from above, larger: the angle of each light from the
// camera's direction and how far its face is from what it is aimed at.
func (s *Set) Near() *draw.Picture {
	lights := s.nearLights()
	lo, hi := s.extent(lights)
	lo.Y = max(lo.Y, s.Stage.Paper.Y-0.1)
	const top, bottom = 2, 8
	per := min((draw.Width-4)/(hi.X-lo.X), 96/(hi.Y-lo.Y))
	p := s.picture("near", "Round the sitter, from above", top+bottom+per*(hi.Y-lo.Y))
	k := fromAbove(draw.Point{X: draw.Width/2 - per*(lo.X+hi.X)/2, Y: top - per*lo.Y}, per)
	p.Says = s.sayNear(lights)
	b := k.at(hi)
	p.Clip("floor", draw.Point{X: 1, Y: top}, draw.Point{X: draw.Width - 1, Y: b.Y})
	s.lineOfSight(p, k)
	s.sitterAbove(p, k)
	s.mark(p, k)
	for _, l := range lights {
		s.standAbove(p, k, l)
	}
	for _, l := range lights {
		s.lightAbove(p, k, l)
	}
	s.cards(p, k)
	p.Close()
	p.Text("small muted", draw.Point{X: 2, Y: b.Y + 5}, draw.Start, "toward the camera \u2193")
	s.scaleBar(p, k, draw.Point{X: draw.Width - 2, Y: b.Y + 4}, draw.End)
	p.Clip("aims", draw.Point{X: 1, Y: top}, draw.Point{X: draw.Width - 1, Y: b.Y})
	for i, l := range lights {
		s.aim(p, k, l, i)
	}
	p.Close()
	for _, l := range lights {
		s.callout(p, k, l, s.tape(float64(l.Set.Distance)), bearing(turnOf(l)*180/math.Pi))
	}
	return p
}

// NearSide is the same from camera right: the height of each face, and how far above its
// target it stands as an angle.
func (s *Set) NearSide() *draw.Picture {
	lights := s.nearLights()
	lo, hi := s.extent(lights)
	lo.Y = max(lo.Y, s.Stage.Paper.Y-0.1)
	hi.Z = min(hi.Z, s.Stage.Hi.Z+0.05)
	left := s.heightWidth()
	const top, bottom = 2, 8
	per := min((draw.Width-left-2)/(hi.Y-lo.Y), 70/(hi.Z-lo.Z))
	width := per * (hi.Y - lo.Y)
	p := s.picture("near-side", "Round the sitter, from camera right", top+bottom+per*(hi.Z-lo.Z))
	x := left + max(0, (draw.Width-left-2-width)/2)
	k := scale{draw.Point{X: x - per*lo.Y, Y: top + per*hi.Z}, per, geom.Vec{Y: 1}, geom.Vec{Z: -1}}
	p.Says = s.saySide()
	a, b := k.at(geom.Vec{Y: lo.Y, Z: hi.Z}), k.at(geom.Vec{Y: hi.Y, Z: lo.Z})
	p.Clip("air", a, b)
	if hi.Z > s.Stage.Hi.Z {
		p.Line("wall", k.at(geom.Vec{Y: lo.Y, Z: s.Stage.Hi.Z}), k.at(geom.Vec{Y: hi.Y, Z: s.Stage.Hi.Z}))
	}
	for _, y := range []float64{-1, 1} {
		p.Line("sight", k.at(s.Stage.Camera), k.at(s.Stage.Behind(0, y)))
	}
	s.sitterBeside(p, k)
	for _, l := range lights {
		s.standBeside(p, k, l)
	}
	for _, l := range lights {
		s.lightAbove(p, k, l)
	}
	s.cards(p, k)
	p.Close()
	p.Text("small muted", draw.Point{X: left, Y: b.Y + 5}, draw.Start, "toward the camera \u2192")
	s.scaleBar(p, k, draw.Point{X: draw.Width - 2, Y: b.Y + 4}, draw.End)
	p.Clip("aims", a, b)
	for _, l := range lights {
		p.Line("aim", k.at(l.Target), k.at(l.Pose.At))
		p.TakeAlong(k.at(l.Target), k.at(l.Pose.At))
	}
	p.Close()
	var on []pointer
	for _, l := range lights {
		on = append(on, pointer{at: l.Pose.At, badge: l.number(), text: s.tape(l.Pose.At.Z)})
	}
	s.upright(p, k, append(on, pointer{at: s.Stage.Eye, text: "eyes " + s.tape(s.Stage.Eye.Z)}), true, a, b)
	for _, l := range lights {
		s.callout(p, k, l, tipOf(l))
	}
	return p
}

// tipOf is how far a light's face is tipped from upright.
func tipOf(l *Light) string {
	_, el := l.Pose.Aim.Sub(l.Pose.At).AzEl()
	switch d := math.Round(el * 180 / math.Pi); {
	case d < 0:
		return degrees(d) + " down"
	case d > 0:
		return degrees(d) + " up"
	}
	return "upright"
}

// extent is the space that some lights and the sitter's head take, with room for labels.
func (s *Set) extent(lights []*Light) (lo, hi geom.Vec) {
	eye := s.Stage.Eye.Z
	lo, hi = geom.Vec{X: -nearest, Y: -nearest, Z: eye - 0.45}, geom.Vec{X: nearest, Y: nearest, Z: eye + 0.3}
	corners := s.cardCorners()
	for _, l := range lights {
		corners = append(corners, bulk(l))
	}
	for _, body := range corners {
		for _, q := range body {
			lo = geom.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y), Z: min(lo.Z, q.Z)}
			hi = geom.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y), Z: max(hi.Z, q.Z)}
		}
	}
	const edge = 0.12
	room := geom.Vec{X: edge, Y: edge, Z: edge}
	return lo.Sub(room), hi.Add(room)
}

// Far lists the numbers of the lights that a near plan leaves out.
func (s *Set) Far() []string {
	var out []string
	for i := range s.Lights {
		if l := &s.Lights[i]; math.Hypot(l.Pose.At.X, l.Pose.At.Y) > farthest {
			out = append(out, l.number())
		}
	}
	return out
}

func (s *Set) sayNear(lights []*Light) string {
	text := "The floor round the sitter seen from above, camera at the bottom."
	for _, l := range lights {
		text += fmt.Sprintf(" Light %d, %s: %s from its target, seen from there %s.",
			l.Number, l.Name, s.tape(float64(l.Set.Distance)), bearing(turnOf(l)*180/math.Pi))
	}
	return text
}

// turnOf is a light's azimuth, brought within half a turn either way, in radians.
func turnOf(l *Light) float64 { return math.Remainder(float64(l.Set.Azimuth), 2*math.Pi) }

// bearing words an angle from the camera's direction, in degrees.
func bearing(deg float64) string {
	switch d := math.Round(deg); {
	case d == 0:
		return "on the axis"
	case math.Abs(d) == 180:
		return "straight behind"
	case d < 0:
		return degrees(d) + " left"
	default:
		return degrees(d) + " right"
	}
}

// aim is the line from a light's target to its face, and the angle at the target from
// the camera's direction, each on its own radius.
func (s *Set) aim(p *draw.Picture, k scale, l *Light, nth int) {
	target, face := k.at(l.Target), k.at(l.Pose.At)
	p.Line("aim", target, face, "data-role", l.Role.String())
	p.TakeAlong(target, face)
	length := math.Hypot(face.X-target.X, face.Y-target.Y)
	r := min(length*0.8, (0.16+0.04*float64(nth))*k.per)
	p.Line("thin", target, draw.Point{X: target.X, Y: target.Y + r + 2})
	arc := draw.Arc(target, r, r, math.Pi/2, math.Pi/2-turnOf(l))
	p.Path("arc", arc, false)
	p.TakeAlong(arc...)
}

// callout is a light's badge with what is to be measured of it, line by line, beside the
// light.
func (s *Set) callout(p *draw.Picture, k scale, l *Light, lines ...string) {
	b := bounds(hull(k.all(bulk(l))))
	width := 0.0
	for _, t := range lines {
		width = max(width, draw.Advance(t, draw.SmallSize))
	}
	w, h := width+badgeRoom+0.5, max(5.4, 4.2*float64(len(lines)))
	at := p.FitBox(w, h, draw.Beside(b, w, h))
	// The badge is at the end toward the light, so that its line crosses no text.
	badge, text, anchor := at.X+2.7, at.X+badgeRoom, draw.Start
	if at.X+w/2 < (b.X0+b.X1)/2-1 {
		badge, text, anchor = at.X+w-2.7, at.X+w-badgeRoom, draw.End
	}
	c := draw.Point{X: badge, Y: at.Y + h/2}
	near := draw.Point{X: min(max(c.X, b.X0), b.X1), Y: min(max(c.Y, b.Y0), b.Y1)}
	if d := math.Hypot(c.X-near.X, c.Y-near.Y); d > 4 {
		t := (d - 2.7) / d
		p.Line("leader", near, draw.Point{X: near.X + (c.X-near.X)*t, Y: near.Y + (c.Y-near.Y)*t})
	}
	p.Badge(c, l.number())
	y := at.Y + h/2 - 4.2*float64(len(lines))/2
	for i, t := range lines {
		p.Text("small halo", draw.Point{X: text, Y: y + 4.2*float64(i) + 3.1}, anchor, t)
	}
}
