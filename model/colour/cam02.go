package colour

import "math"

// CIE 159:2004: cat02 turns XYZ into the sharpened responses in which CIECAM02 adapts,
// hpe into Hunt-Pointer-Estevez cone responses.
var (
	cat02      = matrix{{0.7328, 0.4296, -0.1624}, {-0.7036, 1.6975, 0.0061}, {0.0030, 0.0136, 0.9834}}
	hpe        = matrix{{0.38971, 0.68898, -0.07868}, {-0.22981, 1.18340, 0.04641}, {0, 0, 1}}
	fromCat02  = cat02.inverse()
	cat02Cones = hpe.times(&fromCat02)
)

// cam02 is the CIECAM02 viewing condition of an average surround (CIE 159:2004).
type cam02 struct {
	scale            [3]float64 // adapts cat02 responses
	fl, n, nbb, c, z float64
	aw               float64 // achromatic response of the white
}

// newCAM02 takes a white of Y = 100, the luminance of the adapting field in cd/m2, the
// luminance factor of the background in per cent and the degree of adaptation 0 to 1.
func newCAM02(white XYZ, la, yb, degree float64) cam02 {
	v := cam02{c: 0.69, n: yb / 100}
	r, g, b := cat02.of(white)
	for i, w := range [3]float64{r, g, b} {
		v.scale[i] = 100*degree/w + 1 - degree
	}
	k := 1 / (5*la + 1)
	k4 := k * k * k * k
	v.fl = 0.2*k4*5*la + 0.1*(1-k4)*(1-k4)*math.Cbrt(5*la)
	v.nbb = 0.725 * math.Pow(1/v.n, 0.2)
	v.z = 1.48 + math.Sqrt(v.n)
	v.aw = v.achromatic(v.cones(white))
	return v
}

// cones returns the compressed cone responses to an XYZ on the scale of the white.
func (v *cam02) cones(c XYZ) (r [3]float64) {
	x, y, z := cat02.of(c)
	x, y, z = cat02Cones.of(XYZ{x * v.scale[0], y * v.scale[1], z * v.scale[2]})
	for i, x := range [3]float64{x, y, z} {
		p := math.Pow(v.fl*math.Abs(x)/100, 0.42)
		r[i] = math.Copysign(400*p/(27.13+p), x) + 0.1
	}
	return r
}

func (v *cam02) achromatic(r [3]float64) float64 {
	return (2*r[0] + r[1] + r[2]/20 - 0.305) * v.nbb
}

// appearance returns lightness J, colourfulness M and hue h in degrees.
func (v *cam02) appearance(c XYZ) (j, m, h float64) {
	r := v.cones(c)
	a, b := r[0]-12*r[1]/11+r[2]/11, (r[0]+r[1]-2*r[2])/9
	h = HueAngle(a, b)
	// A saturated light can drive the response of a dark sample below 0, where the model
	// has no lightness: it is taken as black.
	j = 100 * math.Pow(max(0, v.achromatic(r)/v.aw), v.c*v.z)
	e := (math.Cos(h*math.Pi/180+2) + 3.8) / 4
	t := 50000.0 / 13 * v.nbb * e * math.Hypot(a, b) / (r[0] + r[1] + 21*r[2]/20)
	chroma := math.Pow(t, 0.9) * math.Sqrt(j/100) * math.Pow(1.64-math.Pow(0.29, v.n), 0.73)
	return j, chroma * math.Pow(v.fl, 0.25), h
}

// ucs returns J', a' and b' of CAM02-UCS (Luo, Cui and Li 2006).
func (v *cam02) ucs(c XYZ) [3]float64 {
	j, m, h := v.appearance(c)
	m = math.Log1p(0.0228*m) / 0.0228
	sin, cos := math.Sincos(h * math.Pi / 180)
	return [3]float64{1.7 * j / (1 + 0.007*j), m * cos, m * sin}
}
