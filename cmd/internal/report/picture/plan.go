package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// fromAbove looks down: camera right to the right, toward the camera down.
func fromAbove(zero draw.Point, per float64) scale {
	return scale{zero, per, geom.Vec{X: 1}, geom.Vec{Y: 1}}
}

// Plan is the whole room from above, with the tape marks of every light, measured along
// the walls from the sitter's mark.
func (s *Set) Plan() *draw.Picture {
	lo, hi := s.Stage.Lo, s.Stage.Hi
	side := s.rulerWidth()
	const top, bottom = 9, 22
	per := min((draw.Width-2*side)/(hi.X-lo.X), 128/(hi.Y-lo.Y))
	p := s.picture("plan", "The room from above", top+bottom+per*(hi.Y-lo.Y))
	k := fromAbove(draw.Point{X: draw.Width / 2, Y: top - per*lo.Y}, per)
	p.Says = s.sayPlan()
	a, b := k.at(lo), k.at(hi)

	p.Clip("room", a, b)
	s.beams(p, k, true)
	p.Close()
	p.Rect("wall", a, b)
	s.paperAbove(p, k)
	s.lineOfSight(p, k)
	s.sitterAbove(p, k)
	s.mark(p, k)
	for i := range s.Lights {
		s.standAbove(p, k, &s.Lights[i])
	}
	for i := range s.Lights {
		s.lightAbove(p, k, &s.Lights[i])
	}
	s.cards(p, k)
	s.cameraAbove(p, k)
	s.rulers(p, k, a, b)
	p.Text("small muted", draw.Point{X: a.X, Y: a.Y - 3.2}, draw.Start, fmt.Sprintf("room %s wide, %s deep", s.tape(hi.X-lo.X), s.tape(hi.Y-lo.Y)))
	for i := range s.Lights {
		l := &s.Lights[i]
		out := l.axis()
		p.FitBadge(k.at(l.Pose.At.Add(out.Mul(l.Back/2))), l.number(), math.Atan2(out.Y, out.X), 5, 6.5, 8.5, 11, 14)
	}
	s.scaleBar(p, k, draw.Point{X: draw.Width - 2, Y: b.Y + 15.5}, draw.End)
	return p
}

func (s *Set) sayPlan() string {
	text := fmt.Sprintf("The room seen from above, backdrop at the top, camera at the bottom. The lens is %s from the eyes and the backdrop %s behind them.",
		s.tape(s.Stage.Camera.Sub(s.Stage.Eye).Len()), s.tape(s.Stage.Paper.Y))
	for i := range s.Lights {
		l := &s.Lights[i]
		text += fmt.Sprintf(" Light %d, %s: %s.", l.Number, l.Name, s.offMark(l.Pose.At))
	}
	return text
}

// offMark words a place on the floor.
func (s *Set) offMark(p geom.Vec) string {
	x := s.tape(p.X) + " to camera right of the mark"
	if p.X < 0 {
		x = s.tape(p.X) + " to camera left of the mark"
	}
	if p.Y < 0 {
		return x + ", " + s.tape(p.Y) + " toward the backdrop"
	}
	return x + ", " + s.tape(p.Y) + " toward the camera"
}

// beams draws how far each light reaches in its own plane: filled to where it is a stop
// weaker than on its axis, dotted to where it is four.
func (s *Set) beams(p *draw.Picture, k scale, along bool) {
	for i := range s.Lights {
		l := &s.Lights[i]
		from, to := s.spread(l, along, 1, 13)
		wedge := append([]draw.Point{k.at(from[0])}, k.all(to)...)
		wedge = append(wedge, k.at(from[len(from)-1]))
		if l.coloured() {
			p.Path("beam", wedge, true, "style", "fill:"+s.swatch(l))
		} else {
			p.Path("beam plain-beam", wedge, true)
		}
		from, to = s.spread(l, along, 4, 3)
		p.Line("spill", k.at(from[0]), k.at(to[0]))
		p.Line("spill", k.at(from[2]), k.at(to[2]))
	}
}

// paperAbove is the backdrop: a heavy line of its true width, hatched behind.
func (s *Set) paperAbove(p *draw.Picture, k scale) {
	w, y := s.Stage.Paper.HalfWidth, s.Stage.Paper.Y
	a, b := k.at(geom.Vec{X: -w, Y: y}), k.at(geom.Vec{X: w, Y: y})
	p.Line("paper", a, b)
	for x := a.X + 1; x < b.X; x += 2 {
		p.Line("thin", draw.Point{X: x, Y: a.Y}, draw.Point{X: min(b.X, x+1.2), Y: a.Y - 1.8})
	}
}

// lineOfSight is what the lens takes in at its own height, to the backdrop.
func (s *Set) lineOfSight(p *draw.Picture, k scale) {
	from := k.at(s.Stage.Camera)
	for _, x := range []float64{-1, 1} {
		end := s.Stage.Behind(x, 0)
		p.Line("sight", from, k.at(geom.Vec{X: end.X, Y: end.Y}))
		p.TakeAlong(from, k.at(geom.Vec{X: end.X, Y: end.Y}))
	}
}

// cameraAbove is lens and sensor mark: a wedge from the front of the lens back to the
// width of a body.
func (s *Set) cameraAbove(p *draw.Picture, k scale) {
	c := s.Stage.Camera
	back := float64(s.Checked.Camera.Sensor - s.Checked.Camera.Distance)
	const body = 0.07 // m, half the width of a camera body (common practice, no source)
	pts := []geom.Vec{{X: -0.03, Y: c.Y}, {X: 0.03, Y: c.Y}, {X: 0.03, Y: c.Y + back}, {X: body, Y: c.Y + back},
		{X: body, Y: c.Y + back + 0.05}, {X: -body, Y: c.Y + back + 0.05}, {X: -body, Y: c.Y + back}, {X: -0.03, Y: c.Y + back}}
	p.Path("camera", k.all(pts), true, "data-part", "camera")
	p.Circle("dot", k.at(geom.Vec{Y: c.Y}), 0.5, "data-part", "lens")
	b := k.at(geom.Vec{Y: c.Y + back + 0.05})
	p.Take(draw.Box{X0: b.X - body*k.per, Y0: k.at(c).Y, X1: b.X + body*k.per, Y1: b.Y})
	p.Fit("small", "camera", draw.Around(draw.Point{X: b.X, Y: b.Y}, math.Pi/2, 3, 5))
}

// mark is the tape cross under the eyes.
func (s *Set) mark(p *draw.Picture, k scale) {
	c := k.at(geom.Vec{})
	p.Line("mark", draw.Point{X: c.X - 1.6, Y: c.Y}, draw.Point{X: c.X + 1.6, Y: c.Y})
	p.Line("mark", draw.Point{X: c.X, Y: c.Y - 1.6}, draw.Point{X: c.X, Y: c.Y + 1.6})
	p.Circle("dot", c, 0.35, "data-part", "mark")
}

// standAbove is the feet of a stand, true to size, one of them under the load.
func (s *Set) standAbove(p *draw.Picture, k scale, l *Light) {
	stand := s.Studio.Stand(l.Set.Stand)
	if stand == nil {
		return
	}
	at, class := l.bracket(), "stand"
	if l.Set.Boom != "" {
		foot := s.boomFoot(l)
		p.Line("arm", k.at(at), k.at(foot))
		at, class = foot, "perhaps"
	}
	toward := l.Pose.Aim.Sub(at)
	if l.Set.Boom != "" {
		toward = l.bracket().Sub(at)
	}
	az, _ := toward.AzEl()
	for i := range 3 {
		leg := geom.Polar(az+2*math.Pi*float64(i)/3, 0).Mul(float64(stand.Foot))
		p.Line(class, k.at(at), k.at(at.Add(leg)))
	}
}

// lightAbove is a light's outline and, heavy, its face, with a dot at the face's centre.
func (s *Set) lightAbove(p *draw.Picture, k scale, l *Light) {
	p.Open("light", "data-role", l.Role.String())
	outline := hull(k.all(bulk(l)))
	p.Path("body", outline, true)
	p.Path("face", hull(k.all(faceOutline(l))), true)
	p.Circle("dot", k.at(l.Pose.At), 0.45, "data-part", "centre")
	p.Close()
	p.Take(bounds(outline))
}

func bounds(pts []draw.Point) draw.Box {
	b := draw.Box{X0: math.Inf(1), Y0: math.Inf(1), X1: math.Inf(-1), Y1: math.Inf(-1)}
	for _, q := range pts {
		b.X0, b.Y0, b.X1, b.Y1 = min(b.X0, q.X), min(b.Y0, q.Y), max(b.X1, q.X), max(b.Y1, q.Y)
	}
	return b
}

// scaleBar is a metre or three feet long, or less on a large drawing.
func (s *Set) scaleBar(p *draw.Picture, k scale, at draw.Point, anchor draw.Anchor) {
	length, text := 1.0, "1 m"
	large := k.per > 25
	switch {
	case s.imperial() && large:
		length, text = 0.3048, "1 ft"
	case s.imperial():
		length, text = 3*0.3048, "3 ft"
	case large:
		length, text = 0.5, "50 cm"
	}
	a, b := at, draw.Point{X: at.X + length*k.per, Y: at.Y}
	if anchor == draw.End {
		a, b = draw.Point{X: at.X - length*k.per, Y: at.Y}, at
	}
	p.Line("line", a, b, "data-part", "scale", "data-metres", fmt.Sprint(length))
	for _, e := range []draw.Point{a, b} {
		p.Line("line", draw.Point{X: e.X, Y: e.Y - 0.9}, draw.Point{X: e.X, Y: e.Y + 0.9})
	}
	p.Text("small muted", draw.Point{X: a.X - 1, Y: a.Y + 1.1}, draw.End, text)
}
