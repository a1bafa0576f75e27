package colour

import (
	"math"

	"falloff/model/unit"
)

// XYZ is a light by its CIE 1931 tristimulus values, in any common scale.
type XYZ struct{ X, Y, Z float64 }

// XYZ returns the tristimulus sums of a spectrum, unscaled (CIE 015:2018).
func (s *Spectrum) XYZ() XYZ {
	o := observer()
	var c XYZ
	for i, p := range s {
		c.X += p * o[0][i]
		c.Y += p * o[1][i]
		c.Z += p * o[2][i]
	}
	return c
}

func (c XYZ) Add(d XYZ) XYZ       { return XYZ{c.X + d.X, c.Y + d.Y, c.Z + d.Z} }
func (c XYZ) Scale(k float64) XYZ { return XYZ{c.X * k, c.Y * k, c.Z * k} }

// AtY scales the light to a luminance or illuminance; its own Y must be positive.
func (c XYZ) AtY(y float64) XYZ { return c.Scale(y / c.Y) }

// Chromaticity returns CIE 1931 x and y; black gives NaN.
func (c XYZ) Chromaticity() (x, y float64) {
	sum := c.X + c.Y + c.Z
	return c.X / sum, c.Y / sum
}

// FromChromaticity returns the light of chromaticity x, y with Y = 1; y is positive.
func FromChromaticity(x, y float64) XYZ { return XYZ{x / y, 1, (1 - x - y) / y} }

// Mix adds lights, each with its weight: lights add in XYZ (Grassmann 1853). Only as
// many as the shorter list holds are added.
func Mix(weights []float64, lights []XYZ) XYZ {
	var sum XYZ
	for i := range min(len(weights), len(lights)) {
		sum = sum.Add(lights[i].Scale(weights[i]))
	}
	return sum
}

// uv returns CIE 1960 u and v.
func (c XYZ) uv() (u, v float64) {
	d := c.X + 15*c.Y + 3*c.Z
	return 4 * c.X / d, 6 * c.Y / d
}

// Lab returns CIE 1976 L*, a* and b* of a light beside a white (CIE 015:2018).
func Lab(light, white XYZ) (l, a, b float64) {
	f := func(t float64) float64 {
		if t <= 216.0/24389 {
			return (24389.0/27*t + 16) / 116
		}
		return math.Cbrt(t)
	}
	x, y, z := f(light.X/white.X), f(light.Y/white.Y), f(light.Z/white.Z)
	return 116*y - 16, 500 * (x - y), 200 * (y - z)
}

// Luv returns CIE 1976 L*, u* and v* of a light beside a white (CIE 015:2018).
func Luv(light, white XYZ) (l, u, v float64) {
	l, _, _ = Lab(light, white)
	u1, v1 := light.uv()
	un, vn := white.uv()
	return l, 13 * l * (u1 - un), 13 * l * 1.5 * (v1 - vn) // v' = 1.5 v
}

// HueAngle returns the angle of two opponent coordinates in degrees, from 0 up to 360.
func HueAngle(a, b float64) float64 {
	h := math.Atan2(b, a) * (180 / math.Pi)
	if h < 0 {
		h += 360
	}
	return h
}

// HueDistance returns the angle between two hues in degrees, 0 to 180, whichever way
// round is shorter.
func HueDistance(h1, h2 float64) float64 {
	d := math.Abs(math.Mod(h1-h2, 360))
	return min(d, 360-d)
}

// MiredShift returns the shift from one colour temperature to another, positive when
// the second is warmer: 10^6/to - 10^6/from.
func MiredShift(from, to unit.Kelvin) unit.Mired { return MiredOf(to) - MiredOf(from) }

// MiredOf returns 10^6/T.
func MiredOf(t unit.Kelvin) unit.Mired { return unit.Mired(1e6 / float64(t)) }

// Shifted returns the colour temperature after a mired shift; ok is false if the shift
// is so strong toward blue that no temperature is left.
func Shifted(t unit.Kelvin, by unit.Mired) (shifted unit.Kelvin, ok bool) {
	m := MiredOf(t) + by
	if !(m > 0) {
		return 0, false
	}
	return unit.Kelvin(1e6 / float64(m)), true
}
