package colour

import (
	"math"
	"sync"

	"falloff/model/unit"
)

// MaxDuv is the distance from the black-body locus, in CIE 1960 u, v, beyond which a
// correlated colour temperature has no meaning (CIE 015:2018).
const MaxDuv = 0.05

// The locus is searched between these mireds, 100 000 K to 1000 K.
const (
	coldest, warmest = 10, 1000
	locusStep        = 5
	locusPoints      = (warmest-coldest)/locusStep + 1
)

type locusPoint struct{ mired, u, v, du, dv float64 }

var locus = sync.OnceValue(func() *[locusPoints]locusPoint {
	var l [locusPoints]locusPoint
	for i := range l {
		p := &l[i]
		p.mired = coldest + locusStep*float64(i)
		p.u, p.v, p.du, p.dv = onLocus(p.mired)
	}
	return &l
})

// between returns the locus at a mired of the table's step that begins at p: a cubic with
// the values and slopes of both ends (Hermite), within 2e-9 in u and v of the locus, which
// the tests measure.
func (p *locusPoint) between(q *locusPoint, mired float64) (u, v, du, dv float64) {
	const h = locusStep
	t := (mired - p.mired) / h
	a, b := (1+2*t)*(1-t)*(1-t), t*(1-t)*(1-t)*h
	c, d := t*t*(3-2*t), -t*t*(1-t)*h
	da, db := 6*t*(t-1)/h, (1-t)*(1-3*t)
	dd := t * (3*t - 2)
	return a*p.u + b*p.du + c*q.u + d*q.du, a*p.v + b*p.dv + c*q.v + d*q.dv,
		da*(p.u-q.u) + db*p.du + dd*q.du, da*(p.v-q.v) + db*p.dv + dd*q.dv
}

// toward is half the derivative by mired of the squared distance from u, v.
func (p *locusPoint) toward(u, v float64) float64 { return (p.u-u)*p.du + (p.v-v)*p.dv }

// onLocus returns u and v of a black body and their derivatives by mired.
func onLocus(mired float64) (u, v, du, dv float64) {
	o := observer()
	var X, Y, Z, dX, dY, dZ float64
	for i := range Samples {
		l := Wavelength(i) * 1e-9
		k := c2 * 1e-6 / l // exponent per mired
		e := math.Exp(k * mired)
		p := 1e-30 / (l * l * l * l * l * (e - 1))
		dp := -p * k * e / (e - 1)
		x, y, z := o[0][i], o[1][i], o[2][i]
		X, Y, Z = X+p*x, Y+p*y, Z+p*z
		dX, dY, dZ = dX+dp*x, dY+dp*y, dZ+dp*z
	}
	d, dd := X+15*Y+3*Z, dX+15*dY+3*dZ
	return 4 * X / d, 6 * Y / d, 4 * (dX*d - X*dd) / (d * d), 6 * (dY*d - Y*dd) / (d * d)
}

// CCT returns the correlated colour temperature of a light, by least distance in CIE
// 1960 u, v, and Duv, the distance, positive above the locus (toward green). ok is
// false, and the temperature 0, if |Duv| is over MaxDuv or the nearest black body lies
// outside 1000 K to 100 000 K (CIE 015:2018; Ohno, LEUKOS 10, 2014).
func CCT(c XYZ) (t unit.Kelvin, duv float64, ok bool) {
	u, v := c.uv()
	if !(u > 0 && v > 0) {
		return 0, math.NaN(), false
	}
	l := locus()
	best, nearest := 0, math.Inf(1)
	for i, p := range l {
		if d := (p.u-u)*(p.u-u) + (p.v-v)*(p.v-v); d < nearest {
			best, nearest = i, d
		}
	}
	// The foot lies on the side to which the distance falls.
	if best == locusPoints-1 || best > 0 && l[best].toward(u, v) > 0 {
		best--
	}
	mired, pu, pv := foot(u, v, &l[best], &l[best+1])
	duv = math.Copysign(math.Hypot(u-pu, v-pv), v-pv)
	if math.Abs(duv) > MaxDuv || mired < coldest+1e-3 || mired > warmest-1e-3 {
		return 0, duv, false
	}
	return unit.Kelvin(1e6 / mired), duv, true
}

// foot returns the point of the locus nearest to u, v between two neighbours of the table.
// Its slope, half the derivative of the squared distance, rises through 0 there: Gauss-Newton
// steps inside a bracket, halved where a step would leave it, and an end if the slope keeps
// its sign.
func foot(u, v float64, p, q *locusPoint) (mired, pu, pv float64) {
	lo, hi := p.mired, q.mired
	mired = (lo + hi) / 2
	for range 60 {
		var du, dv float64
		pu, pv, du, dv = p.between(q, mired)
		slope := (pu-u)*du + (pv-v)*dv
		if slope < 0 {
			lo = mired
		} else {
			hi = mired
		}
		next := mired - slope/(du*du+dv*dv)
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		// A millionth of a mired is far below what any light is known to.
		if math.Abs(next-mired) < 1e-6 {
			return mired, pu, pv
		}
		mired = next
	}
	return mired, pu, pv
}
