// Package light computes illuminance from area sources, grids, cards and room walls,
// its proved bounds over ranges of poses, and the exposure that follows from it.
//
// Lengths are metres, angles radians, luminous intensity candela, illuminance lux; every
// result of an Emitter is per lumen that leaves its bare face. Scale by the flux of a lamp
// for lux, or by the lumen-seconds of a flash for lux seconds.
package light

import (
	"math"

	"falloff/model/geom"
)

// Kind is the shape of a luminous face.
type Kind int

const (
	Disc Kind = iota
	Rect
	Octagon
	Ball
)

func (k Kind) String() string { return [...]string{"disc", "rectangle", "octagon", "ball"}[k] }

// Face is the luminous face of a light, in metres. Disc: W is the diameter. Rect: W runs
// along the level axis u, H along v. Octagon: W is corner to corner, flats level and
// upright. Ball: a bare tube or bulb of diameter W with the same intensity all round.
type Face struct {
	Kind Kind
	W, H float64
}

// Area of the face in square metres; of a Ball, of its disc as seen.
func (f Face) Area() float64 {
	switch f.Kind {
	case Rect:
		return f.W * f.H
	case Octagon:
		return f.W * f.W / math.Sqrt2 // 8 (R^2/2) sin 45 deg with R = W/2
	}
	return math.Pi / 4 * f.W * f.W
}

// half returns the half extents of the face along u and v.
func (f Face) half() (a, b float64) {
	switch f.Kind {
	case Rect:
		return f.W / 2, f.H / 2
	case Octagon:
		a = f.W / 2 * math.Cos(math.Pi/8)
		return a, a
	}
	return f.W / 2, f.W / 2
}

// Emitter is a face with its directional law and its grid: luminance L0 cos^Law of the
// angle from the face normal, times the transmission of the grid. Law 0 is Lambertian;
// Law is 0..20. A measured Beam takes the place of both: then Law is 0 and there is no Grid
// (see Beam.Through). A Ball has none of the three: they are ignored.
type Emitter struct {
	Face Face
	Law  float64
	Grid Grid
	Beam *Beam // nil: none was measured
}

// Pose places a face: its centre and a point on its axis, which must differ. The face axes
// are those of geom.Axes, so a Rect stands upright: u level, v up.
type Pose struct{ At, Aim geom.Vec }

// peak returns L0 per lumen. The flux of L0 cos^m over a flat face of area A is
// A L0 2 pi / (m + 2) (integrate L cos over the hemisphere).
func (e Emitter) peak() float64 { return (e.Law + 2) / (2 * math.Pi * e.Face.Area()) }

func (e Emitter) gridded() bool {
	return e.Face.Kind != Ball && e.Beam == nil && e.Grid.Cell != NoGrid && e.Grid.K > 0
}

// AngularSize is the angle in radians under which a disc of the same area is seen from
// distance d on its axis: 2 atan(sqrt(A/pi)/d).
func (e Emitter) AngularSize(d float64) float64 {
	return 2 * math.Atan(math.Sqrt(e.Face.Area()/math.Pi)/d)
}

// Intensity is the far-field luminous intensity in direction dir (any length), in candela
// per lumen, with the grid: A L0 cos^(Law+1) T.
func (e Emitter) Intensity(p Pose, dir geom.Vec) float64 {
	if e.Face.Kind == Ball {
		return 1 / (4 * math.Pi)
	}
	n := p.Aim.Sub(p.At).Unit()
	h := n.Dot(dir)
	if h <= 0 {
		return 0
	}
	c2 := h * h / dir.Dot(dir)
	i := (e.Law + 2) / (2 * math.Pi) * math.Sqrt(c2) * cosPow(e.Law, c2)
	if e.screened() {
		u, v := geom.Axes(n)
		i *= e.screen(u.Dot(dir)/h, v.Dot(dir)/h)
	}
	return i
}

// cosPow is cos^m from the square of the cosine.
func cosPow(m, c2 float64) float64 {
	switch m {
	case 0:
		return 1
	case 1:
		return math.Sqrt(c2)
	case 2:
		return c2
	case 4:
		return c2 * c2
	}
	if c2 <= 0 {
		return 0
	}
	if k := int(2 * m); float64(k) == 2*m && k <= 32 { // halves: by roots and squares
		p := 1.0
		if k&2 != 0 {
			p = math.Sqrt(c2)
		}
		if k&1 != 0 {
			p *= math.Sqrt(math.Sqrt(c2))
		}
		for k >>= 2; k > 0; k >>= 1 {
			if k&1 != 0 {
				p *= c2
			}
			c2 *= c2
		}
		return p
	}
	return math.Exp(m / 2 * math.Log(c2))
}
