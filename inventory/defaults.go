package inventory

import (
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// unwritten sets *v to its default unless the file gave it, be it as zero.
func unwritten[T comparable](p *source.Places, key string, v *T, usual T) {
	var zero T
	if *v == zero && !p.Wrote(key) {
		*v = usual
	}
}

// Complete fills in what was not written, as the comments of the types say, and puts the
// kit on its shelf. Load does it; a studio that was built by hand needs it once.
func (s *Studio) Complete() {
	unwritten(&s.Places, "crew", &s.Crew, CrewAlone)
	s.Meter.complete()
	if s.HasRoom() {
		unwritten(&s.Room.Places, "standoff", &s.Room.Standoff, 0.3)
		unwritten(&s.Room.Places, "behind", &s.Room.Behind, 0.6)
	}
	for t := range s.Things() {
		it := t.item()
		unwritten(&it.Places, "count", &it.Count, 1)
		if it.Like != "" {
			takeAfter(t)
		}
		if h, ok := t.(*Head); ok {
			unwritten(&h.Places, "mount", &h.Mount, "usual")
		}
	}
	s.expandFits()
	for t := range s.Things() {
		complete(s, t)
	}
	s.shelf = newShelf(s)
	for _, g := range s.shelf.Grids {
		for _, id := range g.Fits {
			if m := s.Modifier(id); m != nil && m.bare != nil {
				m.behind[g.ID] = m.bare.Through(g.cells())
			}
		}
	}
}

func (m *Meter) complete() {
	unwritten(&m.Places, "kind", &m.Kind, "plane")
	usual := 250.0
	if m.Kind == "dome" {
		usual = 340
	}
	unwritten(&m.Places, "constant", &m.Constant, usual)
}

func complete(s *Studio, t Thing) {
	switch t := t.(type) {
	case *Camera:
		unwritten(&t.Places, "fastest", &t.Fastest, 1.0/4000)
		unwritten(&t.Places, "sync", &t.Sync, max(1.0/160, t.Fastest))
		unwritten(&t.Places, "top_iso", &t.TopISO, 64*t.BaseISO)
	case *Lens:
		unwritten(&t.Places, "narrowest", &t.Narrowest, max(16, t.Widest))
		unwritten(&t.Places, "pupil", &t.Pupil, 1)
	case *Head:
		t.complete()
	case *Modifier:
		t.complete()
		unwritten(&t.Places, "gel_at", &t.GelAt, modifierTypes[t.Type].gelAt)
	case *Grid:
		t.complete()
	case *Gel:
		unwritten(&t.Places, "doubt", &t.Doubt, 0.3)
		t.complete()
	case *Stand:
		unwritten(&t.Places, "lowest", &t.Lowest, roundOff(t.Height/3))
		unwritten(&t.Places, "foot", &t.Foot, 0.45)
	case *Boom:
		unwritten(&t.Places, "tail", &t.Tail, t.Reach*2/5)
	case *Backdrop:
		unwritten(&t.Places, "drop", &t.Drop, s.Room.Height)
	case *Trigger:
		unwritten(&t.Places, "fires", &t.Fires, 1)
	}
}

// measuredBeamDoubt is that of a modifier whose beam and flux were measured, with another
// head of the same mount: where the tube sits matters. Common practice, no source.
const measuredBeamDoubt unit.Stops = 0.2

func (m *Modifier) complete() {
	usual := unit.Stops(0.5)
	if m.Beam != nil && m.Wrote("law") && !m.Wrote("beam") {
		m.Beam = nil // that of what it is like
	}
	if m.Beam != nil {
		usual = measuredBeamDoubt
		if !m.Wrote("law") {
			m.Law = 0
		}
		if b, passes, err := m.Beam.measure(); err == nil {
			m.bare, m.behind = b, map[ID]*light.Beam{}
			if passes > 0 && !m.Wrote("efficiency") {
				m.Efficiency = passes
			}
		}
	}
	unwritten(&m.Places, "doubt", &m.Doubt, usual)
}

// A grid that writes one of cutoff and ratio does not take the other from what it is like.
func (g *Grid) complete() {
	unwritten(&g.Places, "open", &g.Open, 0.9)
	switch {
	case g.Wrote("cutoff") && !g.Wrote("ratio"):
		g.Ratio = 0
	case g.Wrote("ratio") && !g.Wrote("cutoff"):
		g.Cutoff = 0
	}
}

func (h *Head) complete() {
	unwritten(&h.Places, "tube", &h.Tube, 0.05)
	dial := DialPercent
	if f := h.Flash; f != nil {
		dial = DialFraction
		unwritten(&f.Places, "efficacy", &f.Efficacy, 35)
		f.light.complete(f.Spectrum, &f.Kelvin)
		unwritten(&f.Places, "kelvin", &f.Kelvin, 5600)
		f.durations()
		if f.Metered != nil {
			unwritten(&f.Metered.Places, "at", &f.Metered.At, 2)
		}
	}
	unwritten(&h.Places, "dial", &h.Dial, dial)
	if l := h.Lamp; l != nil {
		l.light.complete(l.Spectrum, &l.Kelvin)
		unwritten(&l.Places, "kelvin", &l.Kelvin, 5600)
		if l.Range > 0 {
			unwritten(&l.Places, "step", &l.Step, unit.Stops(0.1))
		}
	}
}

// durations: a flash that writes one of t0.5 and t0.1 does not take the other from what it
// is like.
func (f *Flash) durations() {
	switch {
	case f.Wrote("t05") && !f.Wrote("t01"):
		f.T01 = 0
	case f.Wrote("t01") && !f.Wrote("t05"):
		f.T05 = 0
	}
}
