package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// Side is the room from camera right: heights, stands and arms, the ceiling, the pitch of
// the camera and of every light.
func (s *Set) Side() *draw.Picture {
	lo, hi := s.Stage.Lo, s.Stage.Hi
	left := s.heightWidth()
	const right, top, bottom = 4, 9, 12
	per := min((draw.Width-left-right)/(hi.Y-lo.Y), 70/hi.Z)
	p := s.picture("side", "The room from camera right", top+bottom+per*hi.Z)
	k := scale{draw.Point{X: left - per*lo.Y, Y: top + per*hi.Z}, per, geom.Vec{Y: 1}, geom.Vec{Z: -1}}
	p.Says = s.saySide()
	a, b := k.at(geom.Vec{Y: lo.Y, Z: hi.Z}), k.at(geom.Vec{Y: hi.Y})

	p.Clip("room", a, b)
	s.beams(p, k, false)
	p.Close()
	p.Rect("wall", a, b)
	s.paperBeside(p, k)
	from := k.at(s.Stage.Camera)
	for _, y := range []float64{-1, 1} {
		p.Line("sight", from, k.at(s.Stage.Behind(0, y)))
		p.TakeAlong(from, k.at(s.Stage.Behind(0, y)))
	}
	s.sitterBeside(p, k)
	for i := range s.Lights {
		s.standBeside(p, k, &s.Lights[i])
	}
	for i := range s.Lights {
		s.lightAbove(p, k, &s.Lights[i])
	}
	s.cards(p, k)
	s.cameraBeside(p, k)
	s.heights(p, k, a, b)
	p.Text("small muted", draw.Point{X: a.X, Y: a.Y - 3.2}, draw.Start, "ceiling "+s.tape(hi.Z))
	for i := range s.Lights {
		l := &s.Lights[i]
		out := l.axis()
		p.FitBadge(k.at(l.Pose.At.Add(out.Mul(l.Back/2))), l.number(), math.Atan2(-out.Z, out.Y), 5, 6.5, 8.5, 11, 14)
	}
	s.floorRuler(p, k, b)
	return p
}

func (s *Set) saySide() string {
	text := fmt.Sprintf("The room seen from camera right, backdrop on the left, camera on the right. The eyes are %s up, the lens %s, the ceiling %s.",
		s.tape(s.Stage.Eye.Z), s.tape(s.Stage.Camera.Z), s.tape(s.Stage.Hi.Z))
	for i := range s.Lights {
		l := &s.Lights[i]
		text += fmt.Sprintf(" Light %d, %s: face centre %s up.", l.Number, l.Name, s.tape(l.Pose.At.Z))
	}
	return text
}

func (s *Set) paperBeside(p *draw.Picture, k scale) {
	paper := s.Stage.Paper
	a, b := k.at(geom.Vec{Y: paper.Y, Z: paper.Top}), k.at(geom.Vec{Y: paper.Y})
	p.Line("paper", a, b)
	for y := a.Y + 1; y < b.Y; y += 2 {
		p.Line("thin", draw.Point{X: a.X, Y: y}, draw.Point{X: a.X - 1.8, Y: min(b.Y, y+1.2)})
	}
}

// standBeside is a stand's pole and feet, or an arm seen from its end and the stand that
// holds it.
func (s *Set) standBeside(p *draw.Picture, k scale, l *Light) {
	stand := s.Studio.Stand(l.Set.Stand)
	if stand == nil {
		return
	}
	top, class := l.bracket(), "stand"
	if l.Set.Boom != "" {
		foot := s.boomFoot(l)
		p.Line("arm", k.at(top), k.at(foot))
		p.Circle("arm", k.at(top), 1)
		top, class = foot, "perhaps"
	}
	const spreader = 0.35 // m, how high up the pole the feet begin (common practice, no source)
	floor := geom.Vec{X: top.X, Y: top.Y}
	p.Line(class, k.at(top), k.at(floor))
	for _, side := range []float64{-1, 1} {
		p.Line(class, k.at(geom.Vec{Y: top.Y, Z: min(spreader, top.Z)}), k.at(geom.Vec{Y: top.Y + side*float64(stand.Foot)}))
	}
}

func (s *Set) cameraBeside(p *draw.Picture, k scale) {
	c := s.Stage.Camera
	fwd := s.Stage.Ray(0, 0)
	up := s.Stage.Up()
	back := float64(s.Checked.Camera.Sensor - s.Checked.Camera.Distance)
	pt := func(along, over float64) geom.Vec { return c.Sub(fwd.Mul(along)).Add(up.Mul(over)) }
	const lens, body = 0.03, 0.05 // m, half heights (common practice, no source)
	pts := []geom.Vec{pt(0, lens), pt(back, lens), pt(back, body), pt(back+0.05, body), pt(back+0.05, -body), pt(back, -body), pt(back, -lens), pt(0, -lens)}
	p.Path("camera", k.all(pts), true, "data-part", "camera")
	p.Circle("dot", k.at(c), 0.5, "data-part", "lens")
	p.Take(bounds(k.all(pts)))
	p.Fit("small", "camera", draw.Around(k.at(pt(back, 0)), math.Pi/2, 4, 6))
}

// heightPointers is what has a height to set.
func (s *Set) heightPointers() []pointer {
	var out []pointer
	for i := range s.Lights {
		l := &s.Lights[i]
		out = append(out, pointer{at: l.Pose.At, badge: l.number(), text: s.tape(l.Pose.At.Z)})
	}
	for i, c := range s.Stage.Cards {
		out = append(out, pointer{at: c.At, badge: CardLetter(i), text: s.tape(c.At.Z)})
	}
	return append(out, pointer{at: s.Stage.Camera, text: "lens " + s.tape(s.Stage.Camera.Z)}, pointer{at: s.Stage.Eye, text: "eyes " + s.tape(s.Stage.Eye.Z)})
}

func (s *Set) heightWidth() float64 {
	w := 0.0
	for _, t := range s.heightPointers() {
		w = max(w, t.width())
	}
	return w + 5
}

// heights writes beside the back wall how far up each thing is.
func (s *Set) heights(p *draw.Picture, k scale, a, b draw.Point) {
	s.upright(p, k, s.heightPointers(), true, a, b)
}

// floorRuler marks the floor every half metre, or two feet, from the sitter's mark.
func (s *Set) floorRuler(p *draw.Picture, k scale, b draw.Point) {
	step, unit := 0.5, 1.0
	name := " m"
	if s.imperial() {
		step, unit, name = 2*0.3048, 0.3048, " ft"
	}
	for n := -40; n <= 40; n++ {
		y := float64(n) * step
		if y < s.Stage.Lo.Y || y > s.Stage.Hi.Y {
			continue
		}
		at := k.at(geom.Vec{Y: y})
		whole := n%2 == 0
		tick := 0.8
		if whole {
			tick = 1.6
		}
		p.Line("line", draw.Point{X: at.X, Y: b.Y}, draw.Point{X: at.X, Y: b.Y + tick})
		if whole {
			text := fmt.Sprintf("%g", math.Abs(float64(n)*step/unit))
			if n == 0 {
				text = "mark"
			} else if math.Abs(float64(n)) == 2 {
				text += name
			}
			p.Text("small", draw.Point{X: at.X, Y: b.Y + 5}, draw.Middle, text)
		}
	}
	p.Text("small muted", draw.Point{X: k.at(geom.Vec{}).X, Y: b.Y + 9.5}, draw.Middle, "\u2190 toward the backdrop \u00b7 toward the camera \u2192")
}
