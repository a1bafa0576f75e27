package picture

import (
	"fmt"
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/model/geom"
	"falloff/model/people"
)

// view places what the lens sees on a picture: half frames to units.
type view struct {
	*Set
	mid          draw.Point
	halfW, halfH float64
}

func (v view) at(x, y float64) draw.Point {
	return draw.Point{X: v.mid.X + x*v.halfW, Y: v.mid.Y - y*v.halfH}
}

// sees is where a point of the room stands on the picture; false for what is behind the
// lens or so far aside that it is nowhere near the frame.
func (v view) sees(p geom.Vec) (draw.Point, bool) {
	x, y, depth := v.Stage.See(p)
	return v.at(x, y), depth > 0.1 && math.Abs(x) < 50 && math.Abs(y) < 50
}

func (v view) seesAll(pts []geom.Vec) ([]draw.Point, bool) {
	out := make([]draw.Point, len(pts))
	for i, p := range pts {
		q, ok := v.sees(p)
		if !ok {
			return nil, false
		}
		out[i] = q
	}
	return out, true
}

// Frame is what the lens sees: the backdrop as it will be drawn with lines of equal tone,
// the outline of the sitter, and outside the frame the lights and stands that must stay
// out of it.
func (s *Set) Frame() *draw.Picture {
	const side, over = 27, 13
	w, h := s.Stage.HalfFrame()
	halfW := draw.Width/2 - float64(side)
	halfH := halfW * h / w
	under := 3.0
	if s.anyBelow() {
		under = over
	}
	p := s.picture("frame", "What the lens sees", 2*halfH+over+under)
	v := view{s, draw.Point{X: draw.Width / 2, Y: over + halfH}, halfW, halfH}
	a, b := v.at(-1, 1), v.at(1, -1)
	field := s.backdrop()
	p.Says = s.sayFrame(field)

	p.Image(field.image(s), a, b)
	p.Clip("seen", a, b)
	field.contours(p, v)
	v.stands(p, true)
	v.sitter(p)
	v.stands(p, false)
	p.Close()
	v.lights(p)
	v.cards(p)
	p.Rect("frame", a, b)
	v.badges(p)
	v.marks(p)
	field.labels(p, v)
	return p
}

// anyBelow reports whether a light stands under the frame as the lens would see it.
func (s *Set) anyBelow() bool {
	for i := range s.Lights {
		for _, q := range bulk(&s.Lights[i]) {
			if _, y, depth := s.Stage.See(q); depth > 0.1 && y < -1.1 {
				return true
			}
		}
	}
	return false
}

func (s *Set) sayFrame(f *field) string {
	lo, hi := f.tones(s)
	_, eyes, _ := s.Stage.See(s.Stage.Eye)
	return fmt.Sprintf("The frame as the lens sees it. The backdrop is drawn from %+.1f to %+.1f stops from middle grey. The eyes are %.0f %% up the frame.",
		lo, hi, 50*(1+eyes))
}

// stands draws poles and arms, those behind the sitter or those before.
func (v view) stands(p *draw.Picture, behind bool) {
	for i := range v.Lights {
		l := &v.Lights[i]
		if (l.Pose.At.Y < -0.1) != behind {
			continue
		}
		top := l.bracket()
		if l.Set.Boom != "" {
			foot := v.boomFoot(l)
			v.pole(p, "arm", top, foot)
			top = foot
		}
		v.pole(p, "stand", top, geom.Vec{X: top.X, Y: top.Y})
	}
}

func (v view) pole(p *draw.Picture, class string, a, b geom.Vec) {
	from, ok := v.sees(a)
	to, too := v.sees(b)
	if ok && too {
		p.Line(class, from, to)
	}
}

// lights draws the outlines of the lights as the lens would see them.
func (v view) lights(p *draw.Picture) {
	p.Clip("about", draw.Point{X: 0, Y: 0}, draw.Point{X: draw.Width, Y: p.H})
	for i := range v.Lights {
		l := &v.Lights[i]
		body, ok := v.seesAll(bulk(l))
		if !ok {
			continue
		}
		p.Open("light", "data-role", l.Role.String())
		outline := hull(body)
		p.Path("out", outline, true)
		if face, ok := v.seesAll(faceOutline(l)); ok {
			p.Path("out", hull(face), true)
		}
		p.Close()
		p.Take(bounds(outline))
	}
	p.Close()
}

// cards draws the outlines of cards and flags as the lens would see them.
func (v view) cards(p *draw.Picture) {
	for i, body := range v.cardCorners() {
		if pts, ok := v.seesAll(body); ok {
			p.Path("out", hull(pts), true)
			p.Take(bounds(hull(pts)))
			if at, ok := v.sees(v.Stage.Cards[i].At); ok && at.X > 3 && at.X < draw.Width-3 && at.Y > 3 && at.Y < p.H-3 {
				p.Badge(at, CardLetter(i))
			}
		}
	}
}

// badges names every light at its face or, where that is off the picture, at the edge
// toward it, with an arrow.
func (v view) badges(p *draw.Picture) {
	const edge = 3.2
	for i := range v.Lights {
		l := &v.Lights[i]
		at, ok := v.sees(l.Pose.At)
		if !ok {
			continue
		}
		c := draw.Point{X: min(max(at.X, edge), draw.Width-edge), Y: min(max(at.Y, edge), p.H-edge)}
		if c == at {
			p.Badge(at, l.number())
			continue
		}
		away := math.Atan2(at.Y-c.Y, at.X-c.X)
		sin, cos := math.Sincos(away)
		inward := v.free(p, draw.Point{X: c.X - 4.4*cos, Y: c.Y - 4.4*sin})
		tip := draw.Point{X: inward.X + 5.6*cos, Y: inward.Y + 5.6*sin}
		p.Path("solid", []draw.Point{tip, {X: tip.X - 2.4*cos + 1.3*sin, Y: tip.Y - 2.4*sin - 1.3*cos}, {X: tip.X - 2.4*cos - 1.3*sin, Y: tip.Y - 2.4*sin + 1.3*cos}}, true)
		p.Badge(inward, l.number())
	}
}

// free moves a badge along the side of the picture until nothing is in its way.
func (v view) free(p *draw.Picture, at draw.Point) draw.Point {
	const half = 3.6
	var places []draw.Point
	for _, d := range []float64{0, 7, -7, 14, -14, 21, -21} {
		places = append(places, draw.Point{X: at.X - half, Y: at.Y + d - half})
	}
	q := p.FitBox(2*half, 2*half, places)
	return draw.Point{X: q.X + half, Y: q.Y + half}
}

// sitter draws shoulders, neck, ears and head, with a coloured edge where a rim or hair
// light falls, and the eyes.
func (v view) sitter(p *draw.Picture) {
	b := v.Stage.Build
	left, right, chin := v.landmark(people.LeftShoulder), v.landmark(people.RightShoulder), v.landmark(people.Chin)
	across := right.Sub(left)
	drop := func(t, z float64) geom.Vec { return left.Add(across.Mul(t)).Add(geom.Vec{Z: z}) }
	body := []geom.Vec{drop(0.42, 0.10), drop(0.58, 0.10), drop(0.62, 0.06), drop(0.86, 0.035), drop(0.96, 0), drop(1, -0.06),
		drop(0.99, -0.25), drop(0.93, -0.8), drop(0.07, -0.8), drop(0.01, -0.25), drop(0, -0.06), drop(0.04, 0), drop(0.14, 0.035), drop(0.38, 0.06)}
	if pts, ok := v.seesAll(body); ok {
		p.Path("person", pts, true)
		p.Take(bounds(pts))
	}
	side, face := v.turned()
	for _, e := range []people.Point{people.LeftEar, people.RightEar} {
		c := v.landmark(e)
		if pts, ok := v.seesAll(oval(c, geom.Vec{X: 1}, geom.Vec{Z: 1}, 0.011, float64(b.EarLength.Mean)/2)); ok {
			p.Path("person", pts, true)
		}
	}
	mid := v.headMiddle()
	mid.Z = (v.Stage.Crown.Z + chin.Z) / 2
	// The outline of an ellipsoid of head breadth and length, turned.
	half := math.Hypot((float64(b.HeadBreadth.Mean)/2+0.015)*side.X, float64(b.HeadLength.Mean)/2*face.X)
	head := oval(mid, geom.Vec{X: 1}, geom.Vec{Z: 1}, half, (v.Stage.Crown.Z-chin.Z)/2)
	pts, ok := v.seesAll(head)
	if !ok {
		return
	}
	p.Path("person", pts, true, "data-part", "head")
	v.edges(p, head)
	v.features(p)
	p.Take(bounds(pts))
}

// edges colours the rim of the head where a rim light or a hair light falls on it.
func (v view) edges(p *draw.Picture, head []geom.Vec) {
	n := len(head) // ring runs from camera right over the crown to camera left
	part := map[string][2]int{"rim-right": {-n / 12, n / 6}, "rim-left": {n / 3, n/2 + n/12}, "hair": {n / 6, n / 3}}
	for i := range v.Lights {
		l := &v.Lights[i]
		span, ok := part[l.Role.String()]
		if !ok {
			continue
		}
		var arc []geom.Vec
		for j := span[0]; j <= span[1]; j++ {
			arc = append(arc, head[(j+n)%n])
		}
		if pts, ok := v.seesAll(arc); ok {
			p.Path("edge", pts, false, "style", "stroke:"+v.swatch(l))
		}
	}
}

// features are the eyes, nose and mouth, by their places on the head.
func (v view) features(p *draw.Picture) {
	side, _ := v.turned()
	for _, e := range []people.Point{people.LeftEye, people.RightEye} {
		c := v.landmark(e)
		if pts, ok := v.seesAll(oval(c, side, geom.Vec{Z: 1}, 0.014, 0.0055)); ok {
			p.Path("line", pts, true)
		}
		if q, ok := v.sees(c); ok {
			p.Circle("dot", q, 0.006*v.halfH/v.half(), "data-part", e.String())
		}
	}
	nose, mouth := v.landmark(people.NoseTip), v.landmark(people.Mouth)
	if pts, ok := v.seesAll([]geom.Vec{nose.Add(side.Mul(-0.014)), nose, nose.Add(side.Mul(0.014))}); ok {
		p.Path("thin", pts, false)
	}
	if pts, ok := v.seesAll([]geom.Vec{mouth.Add(side.Mul(-0.024)), mouth.Add(side.Mul(0.024))}); ok {
		p.Path("line", pts, false)
	}
}

// half is half the height of the frame at the sitter, metres.
func (v view) half() float64 {
	_, h := v.Stage.HalfFrame()
	return h
}

// marks are the heights in the frame to look for in the viewfinder.
func (v view) marks(p *draw.Picture) {
	_, eye, _ := v.Stage.See(v.Stage.Eye)
	_, crown, _ := v.Stage.See(v.Stage.Crown)
	edge := v.at(1, 0).X
	for _, m := range []struct {
		y    float64
		text string
	}{{eye, fmt.Sprintf("eyes %.0f %%", 50*(1+eye))}, {crown, v.headroom(crown)}} {
		if math.Abs(m.y) > 1 {
			continue
		}
		y := v.at(0, m.y).Y
		p.Line("heavy", draw.Point{X: edge - 1.5, Y: y}, draw.Point{X: edge + 1.5, Y: y})
		var spots []draw.Spot // beside the mark, or as near to it as a light's number leaves
		for _, at := range []draw.Point{{X: 2.3, Y: 1.1}, {X: 2.3, Y: 4.1}, {X: 2.3, Y: -1.9}, {X: 6, Y: 1.1}, {X: 2.3, Y: 6.6}, {X: 2.3, Y: -4.4}} {
			spots = append(spots, draw.Spot{At: draw.Point{X: edge + at.X, Y: y + at.Y}, Anchor: draw.Start})
		}
		p.Fit("small halo", m.text, spots)
	}
}

func (v view) headroom(crown float64) string {
	return fmt.Sprintf("%.0f %% free", 50*(1-crown))
}

// InFrame lists the lights whose stand would show in the picture as it is drawn here: its
// pole crosses the frame before the sitter, or beside the sitter behind.
func (s *Set) InFrame() []string {
	var out []string
	for i := range s.Lights {
		l := &s.Lights[i]
		top := l.bracket()
		if l.Set.Boom != "" {
			top = s.boomFoot(l)
		}
		const steps = 60
		for n := range steps + 1 {
			p := geom.Vec{X: top.X, Y: top.Y, Z: top.Z * float64(n) / steps}
			if s.shows(p) {
				out = append(out, l.number())
				break
			}
		}
	}
	return out
}

// shows reports whether the lens sees a point that no sitter hides.
func (s *Set) shows(p geom.Vec) bool {
	x, y, depth := s.Stage.See(p)
	if depth < 0.1 || math.Abs(x) > 1 || math.Abs(y) > 1 {
		return false
	}
	_, _, eyes := s.Stage.See(s.Stage.Eye)
	if depth < eyes {
		return true
	}
	// Where the line of sight passes the sitter: the head, or the shoulders and below.
	at := s.Stage.Camera.Lerp(p, eyes/depth)
	head := s.headMiddle()
	b := s.Stage.Build
	inHead := math.Hypot((at.X-head.X)/(float64(b.HeadBreadth.Mean)/2), (at.Z-head.Z)/float64(b.EyeToCrown.Mean)) < 1
	shoulder := s.landmark(people.LeftShoulder)
	return !inHead && !(at.Z < shoulder.Z && math.Abs(at.X) < float64(b.ShoulderBreadth.Mean)/2)
}
