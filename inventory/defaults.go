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
		unwritten(&t.Places, "open", &t.Open, 0.9)
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

func (m *Modifier) complete() {
	usual := unit.Stops(0.5)
	if m.Beam != nil {
		usual = measuredBeamDoubt
		if b, passes, err := m.Beam.measure(); err == nil {
			m.bare, m.behind = b, map[ID]*light.Beam{}
			if passes > 0 {
				unwritten(&m.Places, "efficiency", &m.Efficiency, passes)
			}
		}
	}
	unwritten(&m.Places, "doubt", &m.Doubt, usual)
}

// measuredBeamDoubt is that of a modifier whose beam and flux were measured, with another
// head of the same mount: where the tube sits matters. Common practice, no source.
const measuredBeamDoubt unit.Stops = 0.2

func (h *Head) complete() {
	unwritten(&h.Places, "tube", &h.Tube, 0.05)
	dial := DialPercent
	if f := h.Flash; f != nil {
		dial = DialFraction
		unwritten(&f.Places, "efficacy", &f.Efficacy, 35)
		f.light.complete(f.Spectrum, &f.Kelvin)
		unwritten(&f.Places, "kelvin", &f.Kelvin, 5600)
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
