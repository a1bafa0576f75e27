package photometry

import (
	"math"
	"slices"

	"falloff/model/unit"
)

// curve is intensity over the angle from a pole, linear between its points and 0 outside.
type curve struct {
	from []unit.Angle
	i    []float64
}

// outward turns intensities at the vertical angles into a curve from the pole that the
// light shines to: 0 as a rule, 180 deg for a light that is brighter there.
func (w *Web) outward(i []float64) curve {
	if !w.backward() {
		return curve{w.Vertical, i}
	}
	c := curve{slices.Clone(w.Vertical), slices.Clone(i)}
	slices.Reverse(c.from)
	slices.Reverse(c.i)
	for k, a := range c.from {
		c.from[k] = turn/2 - a
	}
	return c
}

func (w *Web) backward() bool {
	m := curve{w.Vertical, w.mean()}
	return m.at(turn/2) > m.at(0)
}

func (c curve) at(a unit.Angle) float64 {
	k, s, ok := between(c.from, a)
	switch {
	case !ok:
		return 0
	case s == 0:
		return c.i[k]
	}
	return (1-s)*c.i[k] + s*c.i[k+1]
}

// half is the angle from the pole at which the curve, outward from its greatest value
// within 90 deg, falls to a share of it; 180 deg if it does not.
func (c curve) half(share float64) unit.Angle {
	top := 0
	for k, i := range c.i {
		if c.from[k] <= turn/4+slack && i > c.i[top] {
			top = k
		}
	}
	level := share * c.i[top]
	if !(level > 0) {
		return 0
	}
	last := len(c.i) - 1
	for k := top; k < last; k++ {
		if c.i[k+1] <= level {
			return c.from[k] + (c.from[k+1]-c.from[k])*unit.Angle((c.i[k]-level)/(c.i[k]-c.i[k+1]))
		}
	}
	return c.from[last] // where the data ends, and the light with it; 180 deg for a sphere
}

// Beam is the beam angle: the full angle within which the light is at least half of its
// greatest intensity, taken of the mean around the axis (ANSI/IES LS-1; the older CIE
// practice relates to the intensity on the axis, which is the same where the beam is
// brightest there). See Spread for one plane.
func (w *Web) Beam() unit.Angle { return 2 * w.outward(w.mean()).half(0.5) }

// Field is the field angle: as Beam, to a tenth.
func (w *Web) Field() unit.Angle { return 2 * w.outward(w.mean()).half(0.1) }

// Spread is the full angle in the plane of a horizontal angle, both its sides together,
// out to a share (above 0, at most 1) of the greatest intensity of each side.
func (w *Web) Spread(share float64, horizontal unit.Angle) unit.Angle {
	side := func(h unit.Angle) unit.Angle {
		j, t := w.plane(h)
		if t == 0 {
			return w.outward(w.Candela[j]).half(share)
		}
		row := make([]float64, len(w.Vertical))
		for k := range row {
			row[k] = (1-t)*w.Candela[j][k] + t*w.Candela[j+1][k]
		}
		return w.outward(row).half(share)
	}
	return side(horizontal) + side(horizontal+turn/2)
}

// The exponents that Exponent considers. The highest is a beam of 1.3 deg.
const steepest = 1e4

// Exponent fits the law I = I0 cos^m to the light around its axis, on the brighter of its
// two ends, with I0 the intensity there: least squares over the solid angle of that half
// of space, of the mean around the axis. A flat source that looks the same from all sides
// has m = 1; its luminance goes with cos^(m-1).
//
// misfit is the greatest difference between the light and the law in any direction that
// the file gives, as a share of I0: 0.05 is a difference of 5 % of the light on the axis.
// It counts what is not round and what shines backward. A light that is dark on its axis
// has no such law: 0 and +Inf.
func (w *Web) Exponent() (m, misfit float64) {
	c := w.outward(w.mean())
	axis := c.at(0)
	if !(axis > 0) {
		return 0, math.Inf(1)
	}
	fit := newFit(c, axis)
	m = fit.best()
	return m, max(fit.worst(m), w.worst(m, axis))
}

// fit is the light at angles that lie closer near the axis, where narrow beams are.
type fit struct{ logCos, share, weight []float64 }

func newFit(c curve, axis float64) *fit {
	const n = 400
	f := &fit{}
	for k := range n {
		u := (float64(k) + 0.5) / n
		a := math.Pi / 2 * u * u
		f.logCos = append(f.logCos, math.Log(math.Cos(a)))
		f.share = append(f.share, c.at(unit.Angle(a))/axis)
		f.weight = append(f.weight, math.Sin(a)*u)
	}
	return f
}

func (f *fit) square(m float64) float64 {
	sum := 0.0
	for k, l := range f.logCos {
		d := f.share[k] - math.Exp(m*l)
		sum += f.weight[k] * d * d
	}
	return sum
}

func (f *fit) worst(m float64) float64 {
	worst := 0.0
	for k, l := range f.logCos {
		worst = max(worst, math.Abs(f.share[k]-math.Exp(m*l)))
	}
	return worst
}

// best looks at log(1+m) in even steps, as the sum of squares may have more than one
// valley, and then narrows the best step by the golden section.
func (f *fit) best() float64 {
	const steps = 100
	to := math.Log1p(steepest) / steps
	at := func(t float64) float64 { return f.square(math.Expm1(t * to)) }
	low := 0.0
	for t := 1.0; t <= steps; t++ {
		if at(t) < at(low) {
			low = t
		}
	}
	a, b := max(0, low-1), min(steps, low+1)
	golden := (math.Sqrt(5) - 1) / 2
	for b-a > 1e-7 {
		p, q := b-golden*(b-a), a+golden*(b-a)
		if at(p) <= at(q) {
			b = q
		} else {
			a = p
		}
	}
	return math.Expm1((a + b) / 2 * to)
}

// worst is the greatest difference at the angles of the file, in units of the axis.
func (w *Web) worst(m, axis float64) float64 {
	worst, back := 0.0, w.backward()
	for k, a := range w.Vertical {
		cos := math.Cos(float64(a))
		if back {
			cos = -cos
		}
		law := 0.0
		if cos > 0 {
			law = math.Pow(cos, m)
		}
		for _, plane := range w.Candela {
			worst = max(worst, math.Abs(plane[k]/axis-law))
		}
	}
	return worst
}
