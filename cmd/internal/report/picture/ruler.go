package picture

import (
	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
)

// pointer is one thing whose distance is read off a ruler: a light by its number, or a
// thing by its name.
type pointer struct {
	at     geom.Vec
	badge  string // number of a light, or empty
	text   string
	across bool // x is read; else y
	left   bool // on the left ruler
}

const badgeRoom = 6.2 // units that a badge takes before its text

func (t pointer) width() float64 {
	w := draw.Advance(t.text, draw.SmallSize) + 1.6
	if t.badge != "" {
		w += badgeRoom
	}
	return w
}

// rulerWidth is the room that the widest length needs beside a wall.
func (s *Set) rulerWidth() float64 {
	w := 0.0
	for _, t := range s.pointers() {
		if !t.across {
			w = max(w, t.width())
		}
	}
	return w + 5
}

// pointers lists what is taped: lights off the centre line and off the mark, the lens and
// the backdrop.
func (s *Set) pointers() []pointer {
	var out []pointer
	for i := range s.Lights {
		l := &s.Lights[i]
		at := l.Pose.At
		out = append(out, pointer{at: at, badge: l.number(), text: s.tape(at.X), across: true},
			pointer{at: at, badge: l.number(), text: s.tape(at.Y), left: at.X < 0})
	}
	for i, c := range s.Stage.Cards {
		out = append(out, pointer{at: c.At, badge: CardLetter(i), text: s.tape(c.At.X), across: true},
			pointer{at: c.At, badge: CardLetter(i), text: s.tape(c.At.Y), left: c.At.X < 0})
	}
	lens, paper := geom.Vec{Y: s.Stage.Camera.Y}, geom.Vec{X: s.Stage.Paper.HalfWidth, Y: s.Stage.Paper.Y}
	return append(out, pointer{at: lens, text: "lens " + s.tape(lens.Y)}, pointer{at: paper, text: "paper " + s.tape(paper.Y)},
		pointer{at: geom.Vec{}, text: "mark 0"}, pointer{at: geom.Vec{}, text: "mark 0", left: true})
}

// rulers writes along the walls how far each thing is from the mark: beside the walls
// toward camera or backdrop, below the front wall to camera left or right.
func (s *Set) rulers(p *draw.Picture, k scale, a, b draw.Point) {
	for _, left := range []bool{true, false} {
		var on []pointer
		for _, t := range s.pointers() {
			if !t.across && t.left == left {
				on = append(on, t)
			}
		}
		s.upright(p, k, on, left, a, b)
	}
	var on []pointer
	for _, t := range s.pointers() {
		if t.across {
			on = append(on, t)
		}
	}
	s.level(p, k, on, a, b)
}

const rowHeight = 6.0

func (s *Set) upright(p *draw.Picture, k scale, on []pointer, left bool, a, b draw.Point) {
	at, size := make([]float64, len(on)), make([]float64, len(on))
	for i, t := range on {
		at[i], size[i] = k.at(t.at).Y, rowHeight
	}
	wall, sign := b.X, 1.0
	if left {
		wall, sign = a.X, -1
	}
	for i, y := range draw.Spread(at, size, 4, p.H-4) {
		t := on[i]
		from := k.at(t.at)
		elbow := draw.Point{X: wall + 3.5*sign, Y: y}
		p.Path("tape", []draw.Point{from, {X: wall, Y: from.Y}, elbow}, false)
		p.TakeAlong(from, draw.Point{X: wall, Y: from.Y})
		p.Line("line", draw.Point{X: wall - 0.7, Y: from.Y}, draw.Point{X: wall + 0.7, Y: from.Y})
		x := elbow.X + 0.5*sign
		if left {
			x -= t.width() - 1.6
		}
		s.reading(p, t, draw.Point{X: x, Y: y})
	}
}

// reading writes a ruler's number, behind the badge of its light.
func (s *Set) reading(p *draw.Picture, t pointer, at draw.Point) {
	if t.badge != "" {
		p.Badge(draw.Point{X: at.X + 2.7, Y: at.Y}, t.badge)
		at.X += badgeRoom
	}
	p.Text("small", draw.Point{X: at.X, Y: at.Y + 1.15}, draw.Start, t.text)
}

func (s *Set) level(p *draw.Picture, k scale, on []pointer, a, b draw.Point) {
	at, size := make([]float64, len(on)), make([]float64, len(on))
	for i, t := range on {
		at[i], size[i] = k.at(t.at).X, t.width()
	}
	y := b.Y + 9
	for i, x := range draw.Spread(at, size, 1, p.W-1) {
		t := on[i]
		from := k.at(t.at)
		p.Path("tape", []draw.Point{from, {X: from.X, Y: b.Y}, {X: x, Y: b.Y + 5.5}}, false)
		p.Line("line", draw.Point{X: from.X, Y: b.Y - 0.7}, draw.Point{X: from.X, Y: b.Y + 0.7})
		s.reading(p, t, draw.Point{X: x - t.width()/2 + 0.4, Y: y})
	}
	c := k.at(geom.Vec{}).X
	p.Line("tape", draw.Point{X: c, Y: a.Y}, draw.Point{X: c, Y: b.Y})
	p.Text("small muted", draw.Point{X: c - 2, Y: y + 7.5}, draw.End, "\u2190 camera left")
	p.Text("small muted", draw.Point{X: c + 2, Y: y + 7.5}, draw.Start, "camera right \u2192")
}
