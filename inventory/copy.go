package inventory

import (
	"maps"
	"slices"
)

// Copy returns a studio that shares nothing that can be changed with s.
func (s *Studio) Copy() *Studio {
	c := *s
	c.shelf, c.beside = nil, nil
	c.Room.Circuits = slices.Clone(s.Room.Circuits)
	c.Cameras = slices.Clone(s.Cameras)
	c.Lenses = slices.Clone(s.Lenses)
	c.Heads = slices.Clone(s.Heads)
	for i := range c.Heads {
		c.Heads[i].own()
	}
	c.Modifiers = slices.Clone(s.Modifiers)
	for i := range c.Modifiers {
		m := &c.Modifiers[i]
		m.Fits, m.Beam, m.behind = slices.Clone(m.Fits), m.Beam.own(), maps.Clone(m.behind)
	}
	c.Grids = slices.Clone(s.Grids)
	for i := range c.Grids {
		c.Grids[i].Fits = slices.Clone(c.Grids[i].Fits)
	}
	c.Gels = slices.Clone(s.Gels)
	for i := range c.Gels {
		c.Gels[i].Fits = slices.Clone(c.Gels[i].Fits)
		c.Gels[i].Table = slices.Clone(c.Gels[i].Table)
	}
	c.Cards = slices.Clone(s.Cards)
	c.Stands = slices.Clone(s.Stands)
	c.Booms = slices.Clone(s.Booms)
	c.Backdrops = slices.Clone(s.Backdrops)
	c.Triggers = slices.Clone(s.Triggers)
	return &c
}

// own gives a head its own flash and lamp.
func (h *Head) own() {
	if h.Flash != nil {
		f := *h.Flash
		f.Metered = cloned(f.Metered)
		f.Spectrum.Table = slices.Clone(f.Spectrum.Table)
		h.Flash = &f
	}
	if h.Lamp != nil {
		l := *h.Lamp
		l.Metered = cloned(l.Metered)
		l.Spectrum.Table = slices.Clone(l.Spectrum.Table)
		h.Lamp = &l
	}
}

// own copies a beam table; nil is none.
func (t *BeamTable) own() *BeamTable {
	if t = cloned(t); t != nil {
		t.Angles, t.Candela, t.Relative = slices.Clone(t.Angles), slices.Clone(t.Candela), slices.Clone(t.Relative)
	}
	return t
}

func cloned[T any](p *T) *T {
	if p == nil {
		return nil
	}
	v := *p
	return &v
}
