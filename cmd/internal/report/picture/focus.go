package picture

import (
	"fmt"
	"math"

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
		{pose.NearEar(), "near ear"}, {pose.FarEar(), "far ear"}, {people.LeftHair, "hair edge, left"}, {people.RightHair, "hair edge, right"},
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
	p := s.picture("depth", "Depth of field", 80)
	c := chart{p, draw.Point{X: 10, Y: 8}, draw.Point{X: draw.Width - 4, Y: 68}, draw.Point{X: lo}, draw.Point{X: hi, Y: most}}
	p.Rect("band", c.at(lo, 1), c.at(hi, 0))
	c.axes(tick(hi-lo, 10), tick(most, 6), "\u2190 toward the camera \u00b7 cm from the eyes \u00b7 behind \u2192", "blur, in circles of confusion", signed, plain)
	c.Text("small strong", draw.Point{X: c.a.X + 1.5, Y: c.y(1) + 3.4}, draw.Start, "sharp")
	c.curve("d1", lo, hi, blur)
	c.TakeAlong(c.at(lo, 0), c.at(hi, 0))
	c.TakeAlong(curvePoints(c, lo, hi, blur)...)
	p.Says = fmt.Sprintf("Blur along the lens axis at f/%.3g; one circle of confusion is %.3f mm.", n, coc.Millimetres())
	for _, q := range points {
		b := blur(q.depth * 100)
		on := c.at(q.depth*100, min(b, most))
		c.Circle("dot", on, 1)
		c.Fit("small halo", q.name, []draw.Spot{
			{At: draw.Point{X: on.X, Y: on.Y - 2.2}, Anchor: draw.Middle}, {At: draw.Point{X: on.X + 2, Y: on.Y + 3.4}, Anchor: draw.Start},
			{At: draw.Point{X: on.X - 2, Y: on.Y + 3.4}, Anchor: draw.End}, {At: draw.Point{X: on.X + 2.5, Y: on.Y + 1}, Anchor: draw.Start},
			{At: draw.Point{X: on.X - 2.5, Y: on.Y + 1}, Anchor: draw.End}, {At: draw.Point{X: on.X + 2, Y: on.Y + 6.8}, Anchor: draw.Start},
			{At: draw.Point{X: on.X - 2, Y: on.Y - 4.6}, Anchor: draw.End}, {At: draw.Point{X: on.X, Y: on.Y - 6.2}, Anchor: draw.Middle},
			{At: draw.Point{X: on.X, Y: on.Y - 10}, Anchor: draw.Middle}, {At: draw.Point{X: on.X + 2, Y: on.Y + 10.2}, Anchor: draw.Start},
		})
		p.Says += fmt.Sprintf(" %s %.1f circles.", q.name, b)
	}
	return p
}

func curvePoints(c chart, lo, hi float64, f func(float64) float64) []draw.Point {
	var out []draw.Point
	for i := range 41 {
		x := lo + (hi-lo)*float64(i)/40
		out = append(out, c.at(x, min(max(f(x), c.lo.Y), c.hi.Y)))
	}
	return out
}
