package colour

import (
	"fmt"
	"math"

	"falloff/model/unit"
)

// Gel is a filter, or a stack of filters, by its spectral transmittance. The zero Gel is
// opaque; Clear lets everything through.
type Gel struct {
	T     Spectrum // transmittance 0..1 at the samples
	text  string
	parts []curve // their product is the transmittance at any wavelength
}

// Clear returns the gel that is not there.
func Clear() Gel { return Stack() }

// NewGel builds a gel from measured transmittances 0..1 at rising wavelengths in nm,
// joined by straight lines, the end values held beyond the ends. The table must reach
// from 400 to 700 nm.
func NewGel(nm, transmittance []float64) (Gel, error) {
	t, err := newTable(nm, transmittance)
	if err != nil {
		return Gel{}, err
	}
	for i, v := range t.value {
		if v > 1 {
			return Gel{}, fmt.Errorf("point %d: transmittance %g at %g nm is above 1", i+1, v, t.nm[i])
		}
	}
	return Gel{T: sample(t), text: fmt.Sprintf("table of %d points", len(nm)), parts: []curve{t}}, nil
}

// At returns the transmittance 0..1 at any wavelength in nm.
func (g *Gel) At(nm float64) float64 {
	if g.parts == nil {
		return 0
	}
	t := 1.0
	for _, p := range g.parts {
		t *= min(1, max(0, p.at(nm)))
	}
	return t
}

// String returns the curve as written.
func (g *Gel) String() string { return g.text }

// Stack returns the gels laid one on another. Transmittances multiply wavelength by
// wavelength (Bouguer 1729, Lambert 1760). The product of the broadband figures would
// be wrong: two sheets of one blue pass nearly four times as much as that says.
// Reflections between the sheets are left out.
func Stack(gels ...Gel) Gel {
	s := Gel{parts: []curve{}}
	for i := range s.T {
		s.T[i] = 1
	}
	for n, g := range gels {
		for i := range s.T {
			s.T[i] *= g.T[i]
		}
		if n > 0 {
			s.text += " on "
		}
		s.text += g.text
		if g.parts == nil {
			s.parts = append(s.parts, table{[]float64{First, Last}, []float64{0, 0}})
		}
		s.parts = append(s.parts, g.parts...)
	}
	return s
}

// Denser returns the gel with its density times k at every wavelength, k above 0: 2 is two
// sheets, 1/2 a gel half as thick (Bouguer 1729, Lambert 1760).
func (g Gel) Denser(k float64) Gel {
	d := Gel{text: fmt.Sprintf("%g times %s", k, g.text), parts: []curve{denser{g, k}}}
	for i := range d.T {
		d.T[i] = math.Pow(g.T[i], k)
	}
	return d
}

type denser struct {
	of Gel
	k  float64
}

func (d denser) at(nm float64) float64 { return math.Pow(d.of.At(nm), d.k) }

// Tint returns the light that a gel leaves of a source, scaled so that the bare source
// has Y = 1: the Y of the result is the photopic transmittance.
func Tint(source *Spectrum, gel *Gel) XYZ {
	o := observer()
	var through XYZ
	var bare float64
	for i := range source {
		y := source[i] * o[1][i]
		p := source[i] * gel.T[i]
		bare += y
		through.X += p * o[0][i]
		through.Y += p * o[1][i]
		through.Z += p * o[2][i]
	}
	return through.Scale(1 / bare)
}

// PhotopicTransmittance returns the share 0..1 of a source's luminous flux that a gel
// passes. It depends on the source.
func PhotopicTransmittance(source *Spectrum, gel *Gel) float64 {
	y := &observer()[1]
	var through, bare float64
	for i := range source {
		v := source[i] * y[i]
		bare += v
		through += v * gel.T[i]
	}
	return through / bare
}

// GelStops returns the photopic transmittance in stops: zero or negative, and -Inf for
// an opaque gel.
func GelStops(source *Spectrum, gel *Gel) unit.Stops {
	return unit.Stops(math.Log2(PhotopicTransmittance(source, gel)))
}

// Filter returns the spectrum that a gel leaves of a source.
func (g *Gel) Filter(source *Spectrum) Spectrum {
	var s Spectrum
	for i := range s {
		s[i] = source[i] * g.T[i]
	}
	return s
}
