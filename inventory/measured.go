package inventory

import (
	"errors"
	"fmt"
	"strings"

	"falloff/model/colour"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// BeamTable is how the light of a modifier spreads, as measured, the same all round its
// axis: luminous intensities at rising angles from the axis, linear in between and 0 beyond
// the last; see light.NewBeam. Give Candela with the flux of the bare Lamp that they were
// measured with, from which the efficiency follows, or Relative values in any unit.
type BeamTable struct {
	source.Places
	Angles   []unit.Angle `yaml:"angles,required,flow"` // from 0 deg
	Candela  []float64    `yaml:"candela,omitempty,flow"`
	Lamp     unit.Flux    `yaml:"lamp,omitempty"`
	Relative []float64    `yaml:"relative,omitempty,flow"`
}

// mostAngles is how many angles a beam table may have: more than a half degree each of 180.
const mostAngles = 400

// measure is the beam, and the share of the lamp's light that leaves forward; 0 where the
// table is relative.
func (t *BeamTable) measure() (*light.Beam, unit.Share, error) {
	values, relative := t.Candela, len(t.Relative) > 0
	switch {
	case len(t.Angles) > mostAngles:
		return nil, 0, fmt.Errorf("%d angles; it takes at most %d", len(t.Angles), mostAngles)
	case relative && len(t.Candela) > 0:
		return nil, 0, errors.New("give candela or relative values, not both")
	case relative && t.Lamp > 0:
		return nil, 0, errors.New("the flux of the lamp goes with candela, not with relative values")
	case relative:
		values = t.Relative
	case len(t.Candela) == 0:
		return nil, 0, errors.New("a beam needs candela with the flux of the lamp, or relative values")
	case !(t.Lamp > 0):
		return nil, 0, errors.New("candela need the flux of the bare lamp they were measured with, as in lamp: 2400 lm")
	}
	b, flux, err := light.NewBeam(t.Angles, values)
	switch {
	case err != nil:
		return nil, 0, err
	case relative:
		return b, 0, nil
	case flux > float64(t.Lamp)*(1+1e-6):
		return nil, 0, fmt.Errorf("the candela add up to %.0f lm, more than the %v of the lamp", flux, t.Lamp)
	}
	return b, unit.Share(min(1, flux/float64(t.Lamp))), nil
}

// Spectral is the spectrum of a light: the name of a CIE illuminant (A, D65, FL2, LED-B3),
// or 81 relative powers for 380 to 780 nm by 5 nm. The zero value is none.
type Spectral struct {
	Name  string
	Table []float64
}

// DecodeNode reads a name or a list.
func (s *Spectral) DecodeNode(n source.Node) error {
	if n.Kind() == source.Scalar {
		s.Name = strings.ToUpper(strings.TrimSpace(n.Text()))
		if s.Name == "" {
			return errors.New("there is no name of an illuminant here")
		}
		return nil
	}
	return n.Decode(&s.Table)
}

// MarshalYAML writes what DecodeNode reads.
func (s Spectral) MarshalYAML() (any, error) {
	if s.Name != "" {
		return s.Name, nil
	}
	return s.Table, nil
}

func (s Spectral) given() bool { return s.Name != "" || s.Table != nil }

// Measure is the spectrum with luminous sum 1, and its colour temperature.
func (s Spectral) Measure() (colour.Spectrum, unit.Kelvin, error) {
	var sp colour.Spectrum
	if s.Name != "" {
		named, ok := colour.Illuminant(s.Name)
		if !ok {
			return sp, 0, fmt.Errorf("no illuminant is called %q; %s", s.Name, source.DidYouMean(s.Name, colour.IlluminantNames()))
		}
		sp = named
	} else {
		if len(s.Table) != colour.Samples {
			return sp, 0, fmt.Errorf("%d values; it takes %d, for %d to %d nm by %d nm",
				len(s.Table), colour.Samples, colour.First, colour.Last, colour.Step)
		}
		nm := make([]float64, len(s.Table))
		for i := range nm {
			nm[i] = colour.Wavelength(i)
		}
		var err error
		if sp, err = colour.NewSpectrum(nm, s.Table); err != nil {
			return sp, 0, err
		}
	}
	k, duv, ok := colour.CCT(sp.XYZ())
	if !ok {
		return sp, 0, fmt.Errorf("this light is too far from white for a colour temperature (Duv %+.3f, at most %g either way); a head takes a white light, and a gel its colour", duv, colour.MaxDuv)
	}
	if !(k >= colour.WarmestSource && k <= colour.CoolestSource) {
		return sp, 0, fmt.Errorf("this light has %v, outside %v to %v", k, colour.WarmestSource, colour.CoolestSource)
	}
	y := sp.XYZ().Y
	for i := range sp {
		sp[i] /= y
	}
	return sp, k, nil
}

// lamplight is a spectrum that was measured once.
type lamplight struct{ spectrum *colour.Spectrum }

// complete reads a spectrum that is given, and the colour temperature from it.
func (l *lamplight) complete(s Spectral, kelvin *unit.Kelvin) {
	if !s.given() {
		return
	}
	if sp, k, err := s.Measure(); err == nil {
		l.spectrum, *kelvin = &sp, k
	}
}

// beam checks how much light leaves a modifier and how it spreads.
func (c *checker) beam(m *Modifier) {
	p, b := &m.Places, m.Beam
	if b != nil {
		_, passes, err := b.measure()
		switch {
		case err != nil:
			c.say(p, "beam", "%v", err)
			return
		case m.Law != 0:
			c.say(p, "law", "the beam says how the light spreads; give law or beam, not both")
		case passes > 0 && p.Wrote("efficiency"):
			c.say(p, "efficiency", "it follows from the candela and the lamp of the beam, %v; give one of the two", passes)
		}
	}
	if !c.needs(p, "efficiency", m.Efficiency > 0) {
		return
	}
	within(c, p, "efficiency", m.Efficiency, someShare)
}

// spectrum checks the colour of a light.
func (c *checker) spectrum(p *source.Places, what string, s Spectral, kelvin unit.Kelvin) {
	if !s.given() {
		within(c, p, what+".kelvin", kelvin, warmth)
		return
	}
	if _, _, err := s.Measure(); err != nil {
		c.say(p, what+".spectrum", "%v", err)
	} else if p.Wrote("kelvin") {
		c.say(p, what+".kelvin", "it follows from the spectrum; give kelvin or spectrum, not both")
	}
}
