// Package photometry reads files of measured light: ANSI/IES LM-63 in its editions of
// 1986, 1991, 1995, 2002 and 2019, and EULUMDAT (Stockmar 1990, Licht '90, pp. 641-644).
//
// Angles are those of type C photometry (CIE 121): the vertical angle runs from 0 on the
// optical axis to 180 deg behind the light, the horizontal angle turns around the axis.
// Neither format says how to read between its angles; here intensity is linear in each
// angle, and 0 outside the vertical angles of the file. Types A and B are refused.
package photometry

import (
	"math"
	"slices"
	"sort"

	"falloff/model/geom"
	"falloff/model/unit"
)

// Symmetry says how the planes of a file stand for those that it leaves out.
type Symmetry int

const (
	Whole     Symmetry = iota // planes all around
	Axial                     // one plane for all
	Bilateral                 // I(h) = I(-h), planes from 0 to 180 deg
	Crosswise                 // I(h) = I(180 deg - h), planes from -90 to 90 deg
	Quadrant                  // both, planes from 0 to 90 deg
)

func (s Symmetry) String() string {
	return [...]string{"no symmetry", "round about the axis", "symmetric about C0-C180",
		"symmetric about C90-C270", "symmetric about both planes"}[s]
}

// Web is the luminous intensity of one light in all directions.
type Web struct {
	Edition string  // "IESNA:LM-63-2002", "LM-63-1986", "EULUMDAT"
	Labels  []Label // what the file says about the light, in its order

	Symmetry   Symmetry
	Vertical   []unit.Angle // increasing, 0 to 180 deg
	Horizontal []unit.Angle // increasing, over the span of Symmetry; Whole ends with 360 deg
	Candela    [][]float64  // of each plane, at each vertical angle; lamps and ballast are in it

	Absolute bool       // measured as a whole, without reference to its lamps
	Flux     unit.Flux  // of the lamps as rated; 0 if LM-63 does not say (absolute)
	Watts    unit.Power // input, 0 if not given
	Output   unit.Share // light output ratio that EULUMDAT states; 0 in LM-63
	Opening  Opening
	Tilt     *Tilt // nil when the light does not depend on it
}

// Label is a keyword or a heading and its text.
type Label struct{ Name, Text string }

// Opening is the luminous opening. All zero is a point. Sides are as the file names them;
// the formats do not lay the length along the same plane.
type Opening struct {
	Length unit.Length
	Width  unit.Length
	Height unit.Length // the greatest of the four in EULUMDAT
	Round  bool        // an ellipse or a disc; Width is Length where only one is given
}

// Tilt is how the output depends on the tilt of the lamp (LM-63, TILT=INCLUDE). Intensity
// is that of the tested position and does not contain it.
type Tilt struct {
	Geometry int // of lamp and luminaire, 1 to 3
	Angles   []unit.Angle
	Factors  []float64
}

// Factor is what the light of a tilted lamp is multiplied by: linear between the given
// angles, and that of the nearest one outside them.
func (t *Tilt) Factor(by unit.Angle) float64 {
	i := sort.Search(len(t.Angles), func(i int) bool { return t.Angles[i] >= by })
	switch {
	case i == 0:
		return t.Factors[0]
	case i == len(t.Angles):
		return t.Factors[i-1]
	}
	s := float64((by - t.Angles[i-1]) / (t.Angles[i] - t.Angles[i-1]))
	return (1-s)*t.Factors[i-1] + s*t.Factors[i]
}

// An angle that is outside by less than rounding counts as inside.
const slack = 1e-9 * unit.Angle(1)

// Intensity returns candela at a vertical angle of 0 to 180 deg and any horizontal angle:
// linear in each angle, 0 outside the vertical angles of the file.
func (w *Web) Intensity(vertical, horizontal unit.Angle) float64 {
	k, s, ok := between(w.Vertical, vertical)
	if !ok {
		return 0
	}
	at := func(plane []float64) float64 {
		if s == 0 {
			return plane[k]
		}
		return (1-s)*plane[k] + s*plane[k+1]
	}
	j, t := w.plane(horizontal)
	if t == 0 {
		return at(w.Candela[j])
	}
	return (1-t)*at(w.Candela[j]) + t*at(w.Candela[j+1])
}

// between finds the interval that holds a: from i, and the share s of the way on. s is 0
// at the last angle.
func between(angles []unit.Angle, a unit.Angle) (i int, s float64, ok bool) {
	last := len(angles) - 1
	if !(a >= angles[0]-slack && a <= angles[last]+slack) {
		return 0, 0, false
	}
	a = min(max(a, angles[0]), angles[last])
	i = sort.Search(len(angles), func(i int) bool { return angles[i] > a }) - 1
	if i == last {
		return i, 0, true
	}
	return i, float64((a - angles[i]) / (angles[i+1] - angles[i])), true
}

const turn = 360 * unit.Degree

// plane folds a horizontal angle into the planes that are kept.
func (w *Web) plane(h unit.Angle) (i int, s float64) {
	if w.Symmetry == Axial || math.IsNaN(float64(h)) || math.IsInf(float64(h), 0) {
		return 0, 0
	}
	a := unit.Angle(math.Mod(float64(h), float64(turn)))
	if a < 0 {
		a += turn
	}
	mirrored := min(a, turn-a) // 0 to 180
	switch w.Symmetry {
	case Bilateral:
		a = mirrored
	case Quadrant:
		a = min(mirrored, turn/2-mirrored)
	case Crosswise:
		if a > 3*turn/4 {
			a -= turn
		} else if a > turn/4 {
			a = turn/2 - a
		}
	}
	a = min(max(a, w.Horizontal[0]), w.Horizontal[len(w.Horizontal)-1])
	i, s, _ = between(w.Horizontal, a)
	return i, s
}

// Peak is the greatest intensity, candela.
func (w *Web) Peak() float64 {
	peak := 0.0
	for _, plane := range w.Candela {
		peak = max(peak, slices.Max(plane))
	}
	return peak
}

// mean is the intensity at each vertical angle, averaged over all horizontal angles:
// exact for intensity that is linear in the horizontal angle. A symmetric file's mean is
// that of its own span.
func (w *Web) mean() []float64 {
	if len(w.Candela) == 1 {
		return w.Candela[0]
	}
	m := make([]float64, len(w.Vertical))
	last := len(w.Horizontal) - 1
	span := w.Horizontal[last] - w.Horizontal[0]
	for j, plane := range w.Candela {
		share := float64((w.Horizontal[min(j+1, last)] - w.Horizontal[max(j-1, 0)]) / (2 * span))
		for k, i := range plane {
			m[k] += share * i
		}
	}
	return m
}

// Lumens is the flux that leaves the light: the integral of Intensity over all directions.
// It is exact for intensity linear in each angle (a mean over the horizontal angle, then
// the integral of a linear function times the sine in closed form), so it adds no error of
// its own; a file whose angles lie wide apart says less than the light gives.
func (w *Web) Lumens() float64 {
	m := w.mean()
	sum := 0.0
	for k := range len(m) - 1 {
		a, b := float64(w.Vertical[k]), float64(w.Vertical[k+1])
		mid, d := (a+b)/2, (b-a)/2
		// With I = Im + (Ib-Ia) u/(2d) and u from the middle of the interval:
		// Int sin(mid+u) = 2 sin(mid) sin(d), Int u sin(mid+u) = 2 cos(mid) (sin d - d cos d).
		sum += (m[k] + m[k+1]) * math.Sin(mid) * math.Sin(d)
		sum += (m[k+1] - m[k]) * math.Cos(mid) * (math.Sin(d) - d*math.Cos(d)) / d
	}
	return 2 * math.Pi * sum
}

// FarFrom is the distance from which the light may be taken for a point: five times the
// longest side of its opening. Closer, the inverse square law does not hold (CIE 121).
func (w *Web) FarFrom() unit.Length {
	return 5 * max(w.Opening.Length, w.Opening.Width, w.Opening.Height)
}

// Mount is how a light stands in the room. Aim is the direction of the vertical angle 0
// and Zero that of the plane C0, which is not along Aim. The plane C90 lies along Zero x
// Aim: counter-clockwise as seen from behind the light.
type Mount struct{ At, Aim, Zero geom.Vec }

// Angles is the direction from the light to a point in its own angles.
func (m Mount) Angles(p geom.Vec) (vertical, horizontal unit.Angle) {
	aim := m.Aim.Unit()
	side := m.Zero.Cross(aim).Unit()
	zero := aim.Cross(side)
	d := p.Sub(m.At)
	x, y, z := d.Dot(zero), d.Dot(side), d.Dot(aim)
	return unit.Angle(math.Atan2(math.Hypot(x, y), z)), unit.Angle(math.Atan2(y, x))
}

// Illuminance is the light at a point p on a surface with the unit normal n, of a light
// that is far enough to be a point (FarFrom): I cos/d^2, 0 from behind. Kept to p away
// from the light itself.
func (w *Web) Illuminance(m Mount, p, n geom.Vec) unit.Illuminance {
	to := m.At.Sub(p)
	d := to.Len()
	v, h := m.Angles(p)
	return unit.Illuminance(w.Intensity(v, h) * max(0, to.Dot(n)) / (d * d * d))
}
