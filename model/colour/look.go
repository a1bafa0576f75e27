package colour

import (
	"fmt"
	"math"

	"falloff/model/unit"
)

// LCh is a light as seen beside a white, in Oklab: lightness L (1 for the white),
// chroma C and hue H in degrees, 0 up to 360.
type LCh struct{ L, C, H float64 }

// D65 is the white of sRGB and of Oklab, x 0.3127, y 0.3290 (IEC 61966-2-1).
var D65 = FromChromaticity(0.3127, 0.3290)

type matrix [3][3]float64

func (m *matrix) of(c XYZ) (a, b, d float64) {
	return m[0][0]*c.X + m[0][1]*c.Y + m[0][2]*c.Z,
		m[1][0]*c.X + m[1][1]*c.Y + m[1][2]*c.Z,
		m[2][0]*c.X + m[2][1]*c.Y + m[2][2]*c.Z
}

func (m *matrix) times(n *matrix) (p matrix) {
	for i := range 3 {
		for j := range 3 {
			p[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return p
}

func (m *matrix) inverse() (n matrix) {
	det := 0.0
	for i := range 3 {
		for j := range 3 {
			a, b := (j+1)%3, (j+2)%3
			c, d := (i+1)%3, (i+2)%3
			n[i][j] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
		det += m[0][i] * n[i][0]
	}
	for i := range 3 {
		for j := range 3 {
			n[i][j] /= det
		}
	}
	return n
}

var (
	// cat16 turns XYZ into cone-like values (Li et al. 2017; CIE 248:2022).
	cat16 = matrix{
		{0.401288, 0.650173, -0.051461},
		{-0.250268, 1.204414, 0.045854},
		{-0.002079, 0.048952, 0.953127},
	}
	// oklabCones and oklabOpponent are those of Oklab (Ottosson 2020), recalculated for
	// the white above so that greys are exactly grey (CSS Color Module Level 4).
	oklabCones = matrix{
		{0.8190224379967030, 0.3619062600528904, -0.1288737815209879},
		{0.0329836539323885, 0.9292868615863434, 0.0361446663506424},
		{0.0481771893596242, 0.2642395317527308, 0.6335478284694309},
	}
	oklabOpponent = matrix{
		{0.2104542683093140, 0.7936177747023054, -0.0040720430116193},
		{1.9779985324311684, -2.4285922420485799, 0.4505937096174110},
		{0.0259040424655478, 0.7827717124575296, -0.8086757549230774},
	}
	// srgbPrimaries turns linear sRGB into XYZ (IEC 61966-2-1, unrounded).
	srgbPrimaries = matrix{
		{0.41239079926595934, 0.357584339383878, 0.1804807884018343},
		{0.21263900587151027, 0.715168678767756, 0.07219231536073371},
		{0.01933081871559182, 0.11919477979462598, 0.9505321522496607},
	}

	fromCat16  = cat16.inverse()
	catToOklab = oklabCones.times(&fromCat16)
	fromSRGB   = srgbPrimaries.inverse()
	catToRGB   = fromSRGB.times(&fromCat16)
	rgbToCat   = cat16.times(&srgbPrimaries)
)

var d65Cones = func() [3]float64 {
	a, b, c := cat16.of(D65)
	return [3]float64{a, b, c}
}()

// adapt returns the light's CAT16 cones after full adaptation from white, with Y = 1,
// to D65 (von Kries; CIE 248:2022 with D = 1).
func adapt(light, white XYZ) XYZ {
	r, g, b := cat16.of(light)
	wr, wg, wb := cat16.of(white)
	return XYZ{r / wr * d65Cones[0], g / wg * d65Cones[1], b / wb * d65Cones[2]}
}

// Look returns how a light looks beside a white: the light's XYZ is carried by CAT16
// from that white, set to Y = 1, to D65, and then into Oklab (Ottosson 2020). Both
// lights are in one scale; the white is positive. A hue angle belongs to its space:
// blue is near 255 here and near 293 in CIE Lab.
func Look(light, white XYZ) LCh {
	l, m, s := catToOklab.of(adapt(light, white))
	L, a, b := oklabOpponent.of(XYZ{math.Cbrt(l), math.Cbrt(m), math.Cbrt(s)})
	return LCh{L, math.Hypot(a, b), HueAngle(a, b)}
}

// Channels returns the linear sRGB values of a light in a picture balanced for a white,
// which itself is 1, 1, 1. A light outside the gamut has a value below 0; one over 1
// clips. Both lights are in one scale.
func Channels(light, white XYZ) [3]float64 {
	r, g, b := catToRGB.of(adapt(light, white))
	return [3]float64{r, g, b}
}

// Saturation returns 1 - least/greatest of the channels after they are clipped to 0..1,
// as a camera would record them; 0 for black (common practice, no source).
func Saturation(channels [3]float64) float64 {
	lo, hi := math.Inf(1), 0.0
	for _, c := range channels {
		c = min(1, max(0, c))
		lo, hi = min(lo, c), max(hi, c)
	}
	if hi == 0 {
		return 0
	}
	return 1 - lo/hi
}

// Swatch returns the sRGB colour of a light beside a white as #rrggbb, clipped.
func Swatch(light, white XYZ) string {
	var code [3]int
	for i, c := range Channels(light, white) {
		c = min(1, max(0, c))
		if c <= 0.0031308 { // IEC 61966-2-1
			c *= 12.92
		} else {
			c = 1.055*math.Pow(c, 1/2.4) - 0.055
		}
		code[i] = int(math.Round(255 * c))
	}
	return fmt.Sprintf("#%02x%02x%02x", code[0], code[1], code[2])
}

// Recorded is a light as a camera keeps it that is balanced for a white: each of its
// channels is cut off at 0 and at 1, where the white itself is 1 (see Channels). Past that
// a strong colour turns pale and its hue moves toward that of the channels that are left.
func Recorded(light, white XYZ) XYZ {
	c := Channels(light, white)
	for i := range c {
		c[i] = min(1, max(0, c[i]))
	}
	x, y, z := rgbToCat.of(XYZ{c[0], c[1], c[2]})
	wr, wg, wb := cat16.of(white)
	x, y, z = fromCat16.of(XYZ{x / d65Cones[0] * wr, y / d65Cones[1] * wg, z / d65Cones[2] * wb})
	return XYZ{x, y, z}
}

// Brightest is the channel of a light that clips first beside a white: "red", "green" or
// "blue", and how far it stands over a white of the same illuminance, in stops. A light that
// a meter reads as so many stops under the white's clipping point just fills that channel.
//
// The channels are those of linear sRGB, which stands in for a camera: a sensor behind its
// own filters differs by up to half a stop for strong colours (common practice, no source).
func Brightest(light, white XYZ) (channel string, over unit.Stops) {
	c := Channels(light.AtY(1), white.AtY(1))
	best := 0
	for i := range c {
		if c[i] > c[best] {
			best = i
		}
	}
	return [...]string{"red", "green", "blue"}[best], unit.StopsOf(c[best])
}
