// Package picture draws one set-up to scale: the room from above and from the side, what
// the lens sees, the eyes, and charts of light, focus and colour. Every shape is that of
// the thing itself; what a stroke means is told by Legend.
package picture

import (
	"math"
	"strconv"

	"falloff/cmd/internal/report/draw"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/geom"
	"falloff/model/unit"
	"falloff/solver"
)

// Set is a set-up as it is drawn. Prefix makes the names of pictures unique where a page
// shows several set-ups.
type Set struct {
	Studio  *inventory.Studio
	Brief   *constraints.Brief
	Checked *solver.Checked
	Stage   *constraints.Stage
	Lights  []Light // in the order they are built, numbered from 1
	Units   unit.System
	Prefix  string
}

// Light is one light of it. Name is how the sheet calls it: "Key".
type Light struct {
	Number int
	Name   string
	Report *solver.LightReport
	*constraints.StageLight
}

// number is what stands in a light's badge.
func (l *Light) number() string { return strconv.Itoa(l.Number) }

// swatch is the colour in which a light draws white, at its full strength.
func (s *Set) swatch(l *Light) string {
	c := colour.Channels(l.Tint.XYZ.AtY(1), s.Stage.White)
	strongest := max(c[0], c[1], c[2])
	return colour.Swatch(l.Tint.XYZ.AtY(1/strongest), s.Stage.White.AtY(1))
}

// coloured reports whether a light has a gel.
func (l *Light) coloured() bool { return l.Set.Gel != "" }

// tape is a length as a tape measure gives it.
func (s *Set) tape(x float64) string {
	if x = math.Abs(x); x < 0.0005 {
		return "0" // no tape shows less
	}
	return s.Units.Length(unit.Length(x))
}

func (s *Set) imperial() bool { return s.Units == unit.Imperial }

func degrees(a float64) string { return strconv.Itoa(int(math.Round(math.Abs(a)))) + "\u00b0" }

func (s *Set) picture(name, title string, height float64) *draw.Picture {
	return draw.New(s.Prefix, name, title, height)
}

// A scale maps metres of the room onto a picture: right and down are the axes of the room
// that go to the right and down on it.
type scale struct {
	zero  draw.Point // where the origin of the room is
	per   float64    // units of the picture to a metre
	right geom.Vec
	down  geom.Vec
}

func (s scale) at(p geom.Vec) draw.Point {
	return draw.Point{X: s.zero.X + s.per*p.Dot(s.right), Y: s.zero.Y + s.per*p.Dot(s.down)}
}

func (s scale) all(pts []geom.Vec) []draw.Point {
	out := make([]draw.Point, len(pts))
	for i, p := range pts {
		out[i] = s.at(p)
	}
	return out
}
