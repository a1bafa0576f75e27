// Package colour turns a light and the gels in front of it into what a camera sees:
// how much light is left, which hue it has beside a white, and how warm it is.
//
// Spectra are sampled at 5 nm from 380 to 780 nm. For the smooth sources and gels of a
// studio, sums at this step differ from sums at 1 nm over 360 to 830 nm by less than
// 1e-4 in x and y up to 10 000 K, which the tests measure.
package colour

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"falloff/model/unit"
)

// The sampling of every Spectrum, in nm.
const (
	First   = 380
	Last    = 780
	Step    = 5
	Samples = (Last-First)/Step + 1
)

// Spectrum is a relative spectral power, or a transmittance, at 380, 385 ... 780 nm.
type Spectrum [Samples]float64

// Wavelength returns the wavelength of sample i, in nm.
func Wavelength(i int) float64 { return float64(First + Step*i) }

// c2 is the second radiation constant hc/k in m K, exact since the SI of 2019.
const c2 = 1.438776877e-2

// planck is the spectral power of a black body at nm, up to a constant factor.
func planck(nm, kelvin float64) float64 {
	x := nm * 1e-9
	return 1e-30 / (x * x * x * x * x * math.Expm1(c2/(x*kelvin)))
}

// Planck returns the spectrum of a black body, 1 at 560 nm. The temperature is
// positive (Planck's law; CIE 015:2018).
func Planck(t unit.Kelvin) Spectrum {
	var s Spectrum
	at560 := planck(560, float64(t))
	for i := range s {
		s[i] = planck(Wavelength(i), float64(t)) / at560
	}
	return s
}

// Warmer returns the spectrum shifted by a difference of reciprocal temperature in 1/K,
// positive warmer: every wavelength times exp(-c2 shift / wavelength), the ratio of two
// black bodies in Wien's form, 1 at 560 nm.
func (s Spectrum) Warmer(shift float64) Spectrum {
	at560 := c2 * shift / 560e-9
	for i := range s {
		s[i] *= math.Exp(at560 - c2*shift/(Wavelength(i)*1e-9))
	}
	return s
}

// The range of temperatures on the daylight locus (CIE 015:2018).
const (
	CoolestDaylight unit.Kelvin = 25000
	WarmestDaylight unit.Kelvin = 4000
)

// Daylight returns a phase of daylight of a correlated colour temperature, 1 at 560 nm,
// from the CIE basis (CIE 015:2018; Judd, MacAdam and Wyszecki 1964). The temperature
// is on the present scale, on which D65 is 6504 K; the range is 4000 K to 25000 K.
func Daylight(t unit.Kelvin) (Spectrum, error) {
	if !(t >= WarmestDaylight && t <= CoolestDaylight) {
		return Spectrum{}, fmt.Errorf("daylight of %.0f K is outside %.0f K to %.0f K", t, WarmestDaylight, CoolestDaylight)
	}
	k := 1e3 / float64(t)
	var x float64
	if t <= 7000 {
		x = 0.244063 + k*(0.09911+k*(2.9678-k*4.6070))
	} else {
		x = 0.237040 + k*(0.24748+k*(1.9018-k*2.0064))
	}
	y := -3*x*x + 2.870*x - 0.275
	m := 0.0241 + 0.2562*x - 0.7341*y
	m1 := (-1.3515 - 1.7703*x + 5.9114*y) / m
	m2 := (0.0300 - 31.4424*x + 30.0717*y) / m
	b := daylightBasis()
	var s Spectrum
	for i := range s {
		s[i] = (b[0][i] + m1*b[1][i] + m2*b[2][i]) / 100
	}
	return s, nil
}

// The range of temperatures that Source takes.
const (
	CoolestSource unit.Kelvin = 25000
	WarmestSource unit.Kelvin = 1000
)

// Source returns the spectrum that stands for a lamp or tube of which only the colour
// temperature is known, with luminous sum 1: a black body up to 4000 K, daylight from
// 5000 K, and between them a blend in proportion, so that nothing jumps (the reference
// illuminant of CIE 224:2017). The range is 1000 K to 25000 K.
func Source(t unit.Kelvin) (Spectrum, error) {
	if !(t >= WarmestSource && t <= CoolestSource) {
		return Spectrum{}, fmt.Errorf("a light of %.0f K is outside %.0f K to %.0f K", t, WarmestSource, CoolestSource)
	}
	warm := Planck(t).lit()
	if t <= 4000 {
		return warm, nil
	}
	cool, err := Daylight(t)
	if err != nil {
		return Spectrum{}, err
	}
	cool = cool.lit()
	share := min(1, (float64(t)-4000)/1000)
	for i := range warm {
		warm[i] += share * (cool[i] - warm[i])
	}
	return warm, nil
}

// lit scales s to a luminous sum of 1.
func (s Spectrum) lit() Spectrum {
	k := 1 / s.XYZ().Y
	for i := range s {
		s[i] *= k
	}
	return s
}

// Illuminant returns a CIE standard or example illuminant by its name, such as A, D65,
// E, FL2 or LED-B3, in capitals or not; IlluminantNames lists them (CIE 015:2018).
func Illuminant(name string) (Spectrum, bool) {
	s, ok := illuminants().at[strings.ToUpper(strings.TrimSpace(name))]
	return s, ok
}

// IlluminantNames lists the illuminants in the order of the published tables.
func IlluminantNames() []string { return append([]string(nil), illuminants().names...) }

// NewSpectrum resamples a measured spectrum, given at rising wavelengths in nm, by
// straight lines; beyond its ends the last value holds (CIE 015:2018 allows both).
// The table must reach from 400 to 700 nm and hold no negative value.
func NewSpectrum(nm, power []float64) (Spectrum, error) {
	t, err := newTable(nm, power)
	if err != nil {
		return Spectrum{}, err
	}
	s := sample(t)
	if s.XYZ().Y <= 0 {
		return Spectrum{}, errors.New("the spectrum gives no visible light")
	}
	return s, nil
}

// curve is a function of wavelength in nm.
type curve interface{ at(nm float64) float64 }

func sample(c curve) Spectrum {
	var s Spectrum
	for i := range s {
		s[i] = c.at(Wavelength(i))
	}
	return s
}

// table is a curve through measured points, rising in nm.
type table struct{ nm, value []float64 }

func newTable(nm, value []float64) (table, error) {
	switch {
	case len(nm) != len(value):
		return table{}, fmt.Errorf("%d wavelengths, but %d values", len(nm), len(value))
	case len(nm) < 2:
		return table{}, errors.New("a spectral table needs at least 2 points")
	}
	for i, x := range nm {
		switch {
		case !(x > 0) || math.IsInf(x, 0):
			return table{}, fmt.Errorf("point %d: wavelength %g nm is not positive", i+1, x)
		case i > 0 && !(x > nm[i-1]):
			return table{}, fmt.Errorf("point %d: wavelength %g nm does not rise above %g nm", i+1, x, nm[i-1])
		case !(value[i] >= 0) || math.IsInf(value[i], 0):
			return table{}, fmt.Errorf("point %d: value %g at %g nm is not 0 or more", i+1, value[i], x)
		}
	}
	if nm[0] > 400 || nm[len(nm)-1] < 700 {
		return table{}, fmt.Errorf("the table spans %g to %g nm, but must reach from 400 to 700 nm", nm[0], nm[len(nm)-1])
	}
	return table{append([]float64(nil), nm...), append([]float64(nil), value...)}, nil
}

func (t table) at(nm float64) float64 {
	last := len(t.nm) - 1
	switch {
	case nm <= t.nm[0]:
		return t.value[0]
	case nm >= t.nm[last]:
		return t.value[last]
	}
	i := 1
	for t.nm[i] < nm {
		i++
	}
	k := (nm - t.nm[i-1]) / (t.nm[i] - t.nm[i-1])
	return t.value[i-1] + k*(t.value[i]-t.value[i-1])
}
