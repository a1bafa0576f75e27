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
	locusStep        = 15
	locusPoints      = (warmest-coldest)/locusStep + 1
)

type locusPoint struct{ mired, u, v float64 }

var locus = sync.OnceValue(func() *[locusPoints]locusPoint {
	var l [locusPoints]locusPoint
	for i := range l {
		l[i].mired = coldest + locusStep*float64(i)
		l[i].u, l[i].v, _, _ = onLocus(l[i].mired)
	}
	return &l
})

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
	lo, hi := l[max(best-1, 0)].mired, l[min(best+1, locusPoints-1)].mired
	mired, pu, pv := foot(u, v, lo, hi)
	duv = math.Copysign(math.Hypot(u-pu, v-pv), v-pv)
	if math.Abs(duv) > MaxDuv || mired < coldest+1e-3 || mired > warmest-1e-3 {
		return 0, duv, false
	}
	return unit.Kelvin(1e6 / mired), duv, true
}

// foot returns the point of the locus nearest to u, v between two mireds. Its slope,
// half the derivative of the squared distance, rises through 0 there: Gauss-Newton steps
// inside a bracket, halved where a step would leave it, and an end if the slope keeps
// its sign.
func foot(u, v, lo, hi float64) (mired, pu, pv float64) {
	mired = (lo + hi) / 2
	for range 60 {
		var du, dv float64
		pu, pv, du, dv = onLocus(mired)
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
