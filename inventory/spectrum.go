package inventory

import (
	"errors"
	"fmt"
	"strings"

	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

// Filter returns the gel's transmittance. A gel that Load let through always has one; a
// gel with no valid curve is opaque.
func (g *Gel) Filter() colour.Gel {
	if g.filter != nil {
		return *g.filter
	}
	f, _ := g.measure()
	return f
}

func (g *Gel) complete() {
	if f, err := g.measure(); err == nil {
		g.filter = &f
	}
}

// measure reads the curve, table or standard name of a gel.
func (g *Gel) measure() (colour.Gel, error) {
	switch {
	case g.Curve != "":
		return colour.ParseCurve(g.Curve)
	case len(g.Table) > 0:
		return tableGel(g.Table)
	case g.Standard != "":
		return standardGel(g.Standard)
	}
	return colour.Gel{}, errors.New("a gel needs one of curve, table or standard")
}

func tableGel(t []float64) (colour.Gel, error) {
	if len(t) != colour.Samples {
		return colour.Gel{}, fmt.Errorf("%d values; it takes %d, for %d to %d nm by %d nm",
			len(t), colour.Samples, colour.First, colour.Last, colour.Step)
	}
	nm := make([]float64, len(t))
	for i := range nm {
		nm[i] = colour.Wavelength(i)
	}
	return colour.NewGel(nm, t)
}

func standardGel(name string) (colour.Gel, error) {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	if g, ok := colour.GenericGelByName(name); ok {
		return g, nil
	}
	var known []string
	for _, g := range colour.GenericGels() {
		known = append(known, g.Name)
	}
	return colour.Gel{}, fmt.Errorf("no gel of the catalogue is called %q; %s", name, source.DidYouMean(name, known))
}

// Kelvin is the colour temperature of the flash, or of the lamp; 0 where the head has no
// such light.
func (h *Head) Kelvin(useLamp bool) unit.Kelvin {
	switch {
	case useLamp && h.Lamp != nil:
		return h.Lamp.Kelvin
	case !useLamp && h.Flash != nil:
		return h.Flash.Kelvin
	}
	return 0
}

// Spectrum is the light of the flash or the lamp with no gel, luminous sum 1: as measured,
// or else from its colour temperature alone, from which a real tube or LED differs (see
// colour.Source). All zero where the head has no such light.
func (h *Head) Spectrum(useLamp bool) colour.Spectrum {
	if h.SpectrumKnown(useLamp) {
		if useLamp {
			return *h.Lamp.light.spectrum
		}
		return *h.Flash.light.spectrum
	}
	sp, _ := colour.Source(h.Kelvin(useLamp))
	return sp
}

// SpectrumKnown reports whether the colour of a light is known by its spectrum.
func (h *Head) SpectrumKnown(useLamp bool) bool {
	if useLamp {
		return h.Lamp != nil && h.Lamp.light.spectrum != nil
	}
	return h.Flash != nil && h.Flash.light.spectrum != nil
}
