package light

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"falloff/model/unit"
)

// Beam is a measured beam, the same all round its axis, as it leaves every point of a face.
// It is kept as the luminance toward each angle from the face normal, over that of a
// Lambertian face of the same flux: 1 at all angles is Lambertian. Use one value for one
// modifier: emitters are compared by its address.
//
// A flat face gives nothing along itself, so beyond 85 degrees the luminance stays what it
// is there and the intensity falls to 0 with the cosine. What shines backward is left out.
type Beam struct {
	glow    [beamSteps + 1]float64 // relative luminance at each step, straight lines between
	within  [beamSteps + 1]float64 // flux inside each angle; 1 in all, less behind a grid
	falling bool                   // on the axis d^2 E never falls with the distance
	end     float64                // the angle beyond which there is no light
	knot    [beamSteps + 1]int     // from each step the next at which the glow is not about straight
	rings   [faceRings]float64     // cosines of the angles of the fan of rays; see Emitter.rays
}

const (
	beamSteps = 180
	beamStep  = math.Pi / 2 / beamSteps // half a degree
	grazing   = 170                     // 85 degrees, in steps
)

// NewBeam makes a beam of luminous intensities, in any unit, at rising angles from the
// axis: linear in the angle, 0 beyond the last one. The first angle is 0. flux is what the
// light gives forward, in that unit times steradians: lumens of candela.
func NewBeam(angles []unit.Angle, intensity []float64) (b *Beam, flux float64, err error) {
	if err := checkBeam(angles, intensity); err != nil {
		return nil, 0, err
	}
	b = new(Beam)
	k := 0
	for i := range b.glow {
		if i > grazing {
			b.glow[i] = b.glow[grazing]
			continue
		}
		a := unit.Angle(float64(i) * beamStep)
		for k < len(angles)-1 && angles[k+1] < a {
			k++
		}
		b.glow[i] = math.Pi * tabled(angles, intensity, k, a) / math.Cos(float64(a))
	}
	b.add()
	flux = b.within[beamSteps]
	if !(flux > 0) {
		return nil, 0, errors.New("it gives no light forward")
	}
	if b.glow[0] < darkest*slices.Max(b.glow[:]) {
		return nil, 0, errors.New("it is dark on its axis, along which a light is aimed")
	}
	if half := b.Half(); half < narrowest {
		return nil, 0, fmt.Errorf("it is %.1f deg wide; the narrowest beam that is computed is %v", 2*half.Degrees(), 2*narrowest)
	}
	for i := range b.glow {
		b.glow[i] /= flux
	}
	b.add()
	return b, flux, nil
}

// What a beam may be: no darker on its axis than a hundredth of its brightest luminance,
// and not so narrow that the steps miss it.
const (
	darkest              = 0.01
	narrowest unit.Angle = 2 * unit.Degree
)

// Through is the beam behind a grid, which takes its share from the flux. The grid counts by
// its mean around the axis: of one of square cells the skirt is then rounder than it is.
func (b *Beam) Through(g Grid) *Beam {
	t := &Beam{glow: b.glow}
	for i := range t.glow {
		t.glow[i] *= g.roundMean(float64(i) * beamStep)
	}
	t.add()
	return t
}

// add works out what follows from the glow.
func (b *Beam) add() {
	for i := range beamSteps {
		b.within[i+1] = b.within[i] + b.flux(i, beamStep)
		if b.glow[i+1] > 0 || b.glow[i] > 0 {
			b.end = float64(i+1) * beamStep
		}
	}
	b.falling = b.falls()
	b.knots()
	for i, x := range gauss[faceRings].x {
		b.rings[i] = math.Cos(b.angleOf(b.within[beamSteps] * (1 + x) / 2))
	}
}

// knots finds stretches of steps over which few nodes integrate the glow: a kink in the
// middle of a stretch costs them at most its change of slope times the length over 36, here
// a twentieth of the accuracy that is promised.
func (b *Beam) knots() {
	top := slices.Max(b.glow[:])
	for i := range beamSteps {
		least, bend := min(b.glow[i], b.glow[i+1]), 0.0
		k := i + 1
		for ; k < beamSteps && k < i+8; k++ {
			least = min(least, b.glow[k+1])
			bend += math.Abs(b.glow[k+1] - 2*b.glow[k] + b.glow[k-1])
			if bend*float64(k+1-i)/36 > 1e-4*max(least, top/100) {
				break
			}
		}
		b.knot[i] = k
	}
	b.knot[beamSteps] = beamSteps
}

// knotAfter is the end of the stretch that an angle lies in, above it.
func (b *Beam) knotAfter(a float64) float64 {
	return float64(b.knot[min(beamSteps, int(a/beamStep))]) * beamStep
}

func checkBeam(angles []unit.Angle, intensity []float64) error {
	switch {
	case len(angles) != len(intensity):
		return fmt.Errorf("%d angles, but %d intensities", len(angles), len(intensity))
	case len(angles) < 2:
		return errors.New("a beam needs at least 2 angles")
	case angles[0] != 0:
		return fmt.Errorf("the first angle is %v, and not 0 deg, the axis", angles[0])
	}
	for i, a := range angles {
		switch {
		case i > 0 && !(a > angles[i-1]):
			return fmt.Errorf("angle %d, %v, does not rise above %v", i+1, a, angles[i-1])
		case !(a <= math.Pi+1e-9):
			return fmt.Errorf("angle %d, %v, is beyond 180 deg", i+1, a)
		case !(intensity[i] >= 0) || intensity[i] > 1e12:
			return fmt.Errorf("intensity %d is %g; 0 or more is allowed", i+1, intensity[i])
		}
	}
	return nil
}

// tabled reads a table at an angle in or after interval k.
func tabled(angles []unit.Angle, value []float64, k int, a unit.Angle) float64 {
	if k == len(angles)-1 || a > angles[len(angles)-1] {
		return 0
	}
	s := float64((a - angles[k]) / (angles[k+1] - angles[k]))
	return value[k] + s*(value[k+1]-value[k])
}

// falls reports whether glow cos^4 never rises with the angle. On the axis d^2 E is the mean
// of that over the face, and every point of the face comes nearer to the axis with d.
func (b *Beam) falls() bool {
	for i := range beamSteps {
		slope := (b.glow[i+1] - b.glow[i]) / beamStep
		// On a step glow is linear and the tangent rises, so the low end decides.
		if slope > 1e-9 && slope > 4*b.glow[i]*math.Tan(float64(i)*beamStep) {
			return false
		}
	}
	return true
}

// at is the relative luminance at the tangent s of the angle from the normal.
func (b *Beam) at(s float64) float64 { return b.toward(math.Atan(s)) }

func (b *Beam) toward(angle float64) float64 {
	u := angle / beamStep
	k := min(beamSteps-1, max(0, int(u)))
	return b.glow[k] + (u-float64(k))*(b.glow[k+1]-b.glow[k])
}

// flux is what a light gives within step i, up to the angle on from its start: the integral
// of glow sin(2a), which is 2 pi I sin(a), in closed form for glow that is linear.
func (b *Beam) flux(i int, on float64) float64 {
	p := float64(i) * beamStep
	q := p + on
	slope := (b.glow[i+1] - b.glow[i]) / beamStep
	end := b.glow[i] + slope*on
	return max(0, (b.glow[i]*math.Cos(2*p)-end*math.Cos(2*q))/2+slope*(math.Sin(2*q)-math.Sin(2*p))/4)
}

// inside is the flux inside an angle of 0 to 90 degrees from the axis.
func (b *Beam) inside(a float64) float64 {
	k := min(beamSteps-1, int(a/beamStep))
	return b.within[k] + b.flux(k, a-float64(k)*beamStep)
}

// angleOf is the least angle that holds a flux.
func (b *Beam) angleOf(flux float64) float64 {
	lo, hi := 0, beamSteps
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; b.within[mid] < flux {
			lo = mid
		} else {
			hi = mid
		}
	}
	from, to := 0.0, beamStep
	for range 30 {
		if mid := (from + to) / 2; b.within[lo]+b.flux(lo, mid) < flux {
			from = mid
		} else {
			to = mid
		}
	}
	return float64(lo)*beamStep + to
}

// Half is the angle from the axis at which the intensity is half of that on it, or of the
// brightest where the axis is darker; 90 degrees at most.
func (b *Beam) Half() unit.Angle {
	i := func(k int) float64 { return b.glow[k] * math.Cos(float64(k)*beamStep) }
	top := 0
	for k := range b.glow {
		if i(k) > i(top) {
			top = k
		}
	}
	for k := top; k < beamSteps; k++ {
		if level := i(top) / 2; i(k+1) <= level {
			return unit.Angle((float64(k) + (i(k)-level)/(i(k)-i(k+1))) * beamStep)
		}
	}
	return unit.Angle(math.Pi / 2)
}

// bounds is the range of the relative luminance over ranges of the tangents: its ends and
// the steps between them, as it is linear in between.
func (b *Beam) bounds(tx, ty iv) iv {
	q := tx.sqr().add(ty.sqr())
	return b.span(math.Atan(math.Sqrt(q.lo)), math.Atan(math.Sqrt(q.hi)))
}

// span is bounds over angles, which get room for rounding.
func (b *Beam) span(from, to float64) iv {
	from, to = max(0, from-1e-13), min(math.Pi/2, to+1e-13)
	p, q := b.toward(from), b.toward(to)
	r := iv{min(p, q), max(p, q)}
	for k := int(from/beamStep) + 1; float64(k)*beamStep < to && k <= beamSteps; k++ {
		r = iv{min(r.lo, b.glow[k]), max(r.hi, b.glow[k])}
	}
	return r
}

// gradient holds the derivatives of the relative luminance by both tangents: that by the
// angle, times d angle/d tangent, times the direction of the tangents.
func (b *Beam) gradient(tx, ty iv) (dx, dy iv) {
	q := tx.sqr().add(ty.sqr())
	from, to := math.Atan(math.Sqrt(q.lo))-1e-13, math.Atan(math.Sqrt(q.hi))+1e-13
	first, last := max(0, int(from/beamStep)), min(beamSteps-1, int(to/beamStep))
	slope := iv{math.Inf(1), math.Inf(-1)}
	for k := min(first, beamSteps-1); k <= last; k++ {
		d := (b.glow[k+1] - b.glow[k]) / beamStep
		slope = iv{min(slope.lo, d), max(slope.hi, d)}
	}
	slope = slope.mul(iv{1 / (1 + q.hi), 1 / (1 + q.lo)})
	return slope.mul(cosineOf(tx, ty)), slope.mul(cosineOf(ty, tx))
}

// screened reports whether something beside the cosine law says how the light of the face
// spreads: a grid or a measured beam.
func (e *Emitter) screened() bool { return e.Face.Kind != Ball && (e.Beam != nil || e.gridded()) }

// screen is what the grid passes, or the beam, at tangents along the face axes.
func (e *Emitter) screen(tx, ty float64) float64 {
	if e.Beam != nil {
		return e.Beam.at(math.Sqrt(tx*tx + ty*ty))
	}
	return e.Grid.Transmission(tx, ty)
}

// screenSlopes is the range of screen and of its derivatives over ranges of the tangents.
func (e *Emitter) screenSlopes(tx, ty iv) (t, dx, dy iv) {
	if e.Beam != nil {
		dx, dy = e.Beam.gradient(tx, ty)
		return e.Beam.bounds(tx, ty), dx, dy
	}
	dx, dy = e.Grid.gradient(tx, ty)
	return e.Grid.bounds(tx, ty), dx, dy
}

// passes is the range of screen for offsets tx, ty at depth h.
func (e *Emitter) passes(tx, ty iv, h0, h1 float64) iv {
	if e.Beam == nil {
		return e.Grid.passes(tx, ty, h0, h1)
	}
	q := tx.sqr().add(ty.sqr())
	least, most := math.Atan(math.Sqrt(q.lo)/h1), math.Pi/2
	if h0 > 0 {
		most = math.Atan(math.Sqrt(q.hi) / h0)
	}
	return e.Beam.span(least, most)
}
