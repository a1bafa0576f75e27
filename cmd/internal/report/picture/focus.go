package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"falloff/cmd/internal/report/draw"
	"falloff/model/optics"
	"falloff/model/people"
	"falloff/model/unit"
)

// facePoint is a point of the sitter whose sharpness is told.
type facePoint struct {
	name  string
	depth float64 // m along the axis behind the middle of the eyes
}

func (s *Set) facePoints() []facePoint {
	pose := s.Stage.Head
	points := []struct {
		p    people.Point
		name string
	}{
		{people.NoseTip, "nose"}, {pose.NearEye(), "near eye"}, {pose.FarEye(), "far eye"}, {people.Mouth, "mouth"},
		{pose.NearEar(), "near ear"}, {pose.FarEar(), "far ear"}, {people.LeftHair, "hair left"}, {people.RightHair, "hair right"},
	}
	_, _, eyes := s.Stage.See(s.Stage.Eye)
	var out []facePoint
	for _, q := range points {
		_, _, d := s.Stage.See(s.landmark(q.p))
		out = append(out, facePoint{q.name, d - eyes})
	}
	return out
}

// Depth is how large the blur is along the lens axis about the eyes, in circles of
// confusion, and where the points of the face lie on it. Below one circle is sharp.
func (s *Set) Depth() *draw.Picture {
	r := &s.Checked.Reading
	focal, n, coc, at := unit.Length(r.Focal.Lo), r.Aperture.Lo, unit.Length(r.Coc.Lo), unit.Length(r.Distance.Lo)
	lens := s.Studio.Lens(s.Checked.Setup.Camera.Lens)
	plane := optics.FocusDistance(at, unit.Length(r.EyeGap.Lo), optics.BetweenEyes)
	blur := func(cm float64) float64 {
		return float64(optics.Blur(focal, n, plane, at+unit.Length(cm/100), max(1, lens.Pupil)) / coc)
	}
	points := s.facePoints()
	lo, hi, most := -6.0, 14.0, 2.0
	for _, q := range points {
		cm := q.depth * 100
		lo, hi = min(lo, math.Floor(cm-1)), max(hi, math.Ceil(cm+1))
	}
	most = min(8, max(most, math.Ceil(max(blur(lo), blur(hi)))))
	p := s.picture("depth", "Depth of field", 86)
	c := chart{p, draw.Point{X: 10, Y: 16}, draw.Point{X: draw.Width - 4, Y: 74}, draw.Point{X: lo}, draw.Point{X: hi, Y: most}}
	p.Rect("band", c.at(lo, 1), c.at(hi, 0))
	c.axes(tick(hi-lo, 10), tick(most, 6), "\u2190 toward the camera \u00b7 cm from the eyes \u00b7 behind \u2192", "", signed, plain)
	c.Text("small strong", draw.Point{X: c.a.X + 1.5, Y: c.y(1) + 3.4}, draw.Start, "sharp")
	c.curve("d1", lo, hi, blur)
	p.Says = fmt.Sprintf("Blur along the lens axis at f/%.3g; one circle of confusion is %.3f mm.", n, coc.Millimetres())
	for _, q := range points {
		p.Says += fmt.Sprintf(" %s %.1f circles.", q.name, blur(q.depth*100))
	}
	c.TakeAlong(curvePoints(c, lo, hi, blur)...)
	c.FitTag("up: blur in circles of confusion", []draw.Spot{
		{At: draw.Point{X: c.b.X - 1, Y: c.b.Y - 2}, Anchor: draw.End}, {At: draw.Point{X: (c.a.X + c.b.X) / 2, Y: c.a.Y + 12}, Anchor: draw.Middle},
		{At: draw.Point{X: c.b.X - 1, Y: c.y(1) - 2}, Anchor: draw.End}, {At: draw.Point{X: c.b.X - 1, Y: c.a.Y + 8}, Anchor: draw.End}})
	c.pins(points, func(q facePoint) draw.Point { return c.at(q.depth*100, min(blur(q.depth*100), most)) })
	return p
}

// pins names points of a curve over the plot, in two rows, each with a line to its point.
func (c chart) pins(points []facePoint, on func(facePoint) draw.Point) {
	slices.SortStableFunc(points, func(a, b facePoint) int { return cmp.Compare(a.depth, b.depth) })
	for row := range 2 {
		var at, size []float64
		var named []facePoint
		for i := row; i < len(points); i += 2 {
			at = append(at, on(points[i]).X)
			size = append(size, draw.Advance(points[i].name, draw.SmallSize)+2.5)
			named = append(named, points[i])
		}
		y := c.a.Y - 8 + 5*float64(row)
		for i, x := range draw.Spread(at, size, c.a.X-4, c.b.X+3) {
			q := on(named[i])
			c.Text("small", draw.Point{X: x, Y: y}, draw.Middle, named[i].name)
			c.Path("leader", []draw.Point{{X: x, Y: y + 1}, {X: q.X, Y: c.a.Y + 1 + 4*float64(1-row)}, q}, false)
			c.Circle("dot", q, 1)
		}
	}
}

// curvePoints is places along a curve, to keep texts off it.
func curvePoints(c chart, lo, hi float64, f func(float64) float64) []draw.Point {
	const steps = 40
	out := make([]draw.Point, steps+1)
	for i := range out {
		x := lo + (hi-lo)*float64(i)/steps
		out[i] = c.at(x, min(max(f(x), c.lo.Y), c.hi.Y))
	}
	return out
}
