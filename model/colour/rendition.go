package colour

import (
	_ "embed"
	"fmt"
	"math"
	"sync"

	"falloff/model/unit"
)

//go:embed data/cie_13_3_test_samples_5nm.csv
var testSampleCSV string

// testSamples are the reflectances of the 14 test colour samples.
var testSamples = sync.OnceValue(func() *[14]Spectrum {
	var t [14]Spectrum
	columns(testSampleCSV, t[:])
	return &t
})

// columns fills one spectrum from each column of an embedded table.
func columns(csv string, into []Spectrum) {
	rows(csv, func(i int, cells string) {
		for c := range into {
			into[c][i], cells = cell(cells)
		}
	})
}

// WhiteTolerance is the distance in CIE 1960 u, v between a light and its reference
// beyond which CIE 13.3-1995 says that the index may be inaccurate.
const WhiteTolerance = 5.4e-3

// Rendition says how near a light renders the test colour samples of CIE 13.3-1995 to
// how its reference illuminant would. 100 is no difference; values may be negative.
type Rendition struct {
	Ra     float64     // general index, the mean of R1 to R8
	R      [14]float64 // special indices, R[0] is R1
	CCT    unit.Kelvin // of the light and of its reference
	Duv    float64     // of the light
	Tinted bool        // farther than WhiteTolerance from the reference: take with caution
}

// R9 returns the special index of the strong red, which Ra leaves out.
func (r *Rendition) R9() float64 { return r.R[8] }

// CRI returns the colour rendering index of a light, from the CIE 1931 observer at 5 nm
// (CIE 13.3-1995). The reference is a black body below 5000 K and daylight from 5000 K
// on. ok is false for a light without a correlated colour temperature (see CCT) or above
// 25 000 K, where no reference is defined.
func CRI(s *Spectrum) (r Rendition, ok bool) {
	white := s.XYZ()
	t, duv, ok := CCT(white)
	if !ok {
		return Rendition{}, false
	}
	ref := Planck(t)
	if t >= 5000 {
		var err error
		if ref, err = Daylight(t); err != nil {
			return Rendition{}, false
		}
	}
	here, there := sampleLook(s, white), sampleLook(&ref, ref.XYZ())
	r.CCT, r.Duv = t, duv
	r.Tinted = math.Hypot(here.u-there.u, here.v-there.v) > WhiteTolerance
	for i := range r.R {
		u, v := there.adapt(&here, here.samples[i])
		d1 := there.uvw(u, v, here.samples[i].y)
		d2 := there.uvw(there.samples[i].u, there.samples[i].v, there.samples[i].y)
		d := math.Hypot(math.Hypot(d1[0]-d2[0], d1[1]-d2[1]), d1[2]-d2[2])
		r.R[i] = 100 - 4.6*d
		if i < 8 {
			r.Ra += r.R[i] / 8
		}
	}
	return r, true
}

// uvY is a chromaticity in CIE 1960 u, v and a luminance factor of 0 to 100.
type uvY struct{ u, v, y float64 }

// scene is the test samples under one light.
type scene struct {
	u, v    float64 // of the light
	samples [14]uvY
}

func sampleLook(light *Spectrum, white XYZ) scene {
	var l scene
	l.u, l.v = white.uv()
	for i, sample := range testSamples() {
		for k := range sample {
			sample[k] *= light[k]
		}
		c := sample.XYZ()
		u, v := c.uv()
		l.samples[i] = uvY{u, v, 100 * c.Y / white.Y}
	}
	return l
}

// cd returns the coordinates in which CIE 13.3 adapts by von Kries' rule.
func cd(u, v float64) (c, d float64) {
	return (4 - u - 10*v) / v, (1.708*v + 0.404 - 1.481*u) / v
}

// adapt moves a sample from under the light of from to under the light of l
// (CIE 13.3-1995, clause 5.7).
func (l *scene) adapt(from *scene, s uvY) (u, v float64) {
	cr, dr := cd(l.u, l.v)
	ck, dk := cd(from.u, from.v)
	c, d := cd(s.u, s.v)
	c, d = c*cr/ck, d*dr/dk
	below := 16.518 + 1.481*c - d
	return (10.872 + 0.404*c - 4*d) / below, 5.520 / below
}

// uvw returns CIE 1964 U*, V* and W* beside the light of l.
func (l *scene) uvw(u, v, y float64) [3]float64 {
	w := 25*math.Cbrt(y) - 17
	return [3]float64{13 * w * (u - l.u), 13 * w * (v - l.v), w}
}

// Quality says in a line how well a light renders: "Duv +0.002, Ra 64, R9 -84, Rf 70,
// Rg 86"; only its Duv where it is too far from white for the rest.
func Quality(s *Spectrum) string {
	_, duv, _ := CCT(s.XYZ())
	text := fmt.Sprintf("Duv %+.3f", duv)
	if r, ok := CRI(s); ok {
		text += fmt.Sprintf(", Ra %.0f, R9 %.0f", r.Ra, r.R9())
	}
	if f, ok := TM30(s); ok {
		text += fmt.Sprintf(", Rf %.0f, Rg %.0f", f.Rf, f.Rg)
	}
	return text
}
