package inventory

import (
	"math"

	"falloff/model/light"
	"falloff/model/unit"
)

// Doubt of a head's output, one standard deviation. Flash rated by energy is uncertain by
// 0.7 stops (efficacy 15 to 50 lm s per Ws round 35); a meter repeats to a tenth. That of
// rated lumens and of watts is common practice, no source.
const (
	ratedFlashDoubt unit.Stops = 0.7
	ratedLampDoubt  unit.Stops = 0.3
	wattsLampDoubt  unit.Stops = 0.5 // watts times what lamps of its kind give
	meteredDoubt    unit.Stops = 0.1
)

// Output is what a head gives at full power with no modifier: lumen-seconds of the flash,
// or lumens of the lamp. Rated flash gives Q = energy x efficacy. Metered heads are worked
// back from the reading through the modifier that it was taken with. doubt is one standard
// deviation. ok is false where the head has no such light, or no data for it.
func (h *Head) Output(s *Studio, useLamp bool) (full float64, doubt unit.Stops, ok bool) {
	if useLamp {
		return h.lampOutput(s)
	}
	return h.flashOutput(s)
}

func (h *Head) flashOutput(s *Studio) (full float64, doubt unit.Stops, ok bool) {
	f := h.Flash
	switch {
	case f == nil:
		return 0, 0, false
	case f.Metered != nil:
		m := f.Metered
		// Guide number: N = GN/d at ISO 100, and the meter's H = C N^2 / S (ISO 2720:1974).
		n := float64(m.Guide / m.At)
		full, ok = s.workBack(s.planeConstant()*n*n/100, m.With, m.At)
		return full, meteredDoubt, ok
	}
	full = float64(f.Energy) * float64(f.Efficacy)
	return full, ratedFlashDoubt, full > 0
}

func (h *Head) lampOutput(s *Studio) (full float64, doubt unit.Stops, ok bool) {
	l := h.Lamp
	switch {
	case l == nil:
		return 0, 0, false
	case l.Metered != nil:
		full, ok = s.workBack(float64(l.Metered.Lux), l.Metered.With, l.Metered.At)
		return full, meteredDoubt, ok
	}
	if l.Flux == 0 {
		full = float64(l.Watts) * float64(l.Efficacy)
		return full, wattsLampDoubt, full > 0
	}
	return float64(l.Flux), ratedLampDoubt, true
}

// planeConstant is the incident constant of a flat disc, in lx s. A studio that names a
// dome still has its readings for a plane at the usual 250.
func (s *Studio) planeConstant() float64 {
	if s.Meter.Kind == "dome" || s.Meter.Constant == 0 {
		return 250
	}
	return s.Meter.Constant
}

// workBack returns the flux (lm, or lm s) of a head that gives e (lx, or lx s) on the axis
// of a modifier at a distance.
func (s *Studio) workBack(e float64, with ID, at unit.Length) (float64, bool) {
	m := s.Modifier(with)
	if m == nil || at <= 0 {
		return 0, false
	}
	full := e / (Throughput(m, nil) * m.Emitter(nil).OnAxis(float64(at)))
	return full, full > 0 && !math.IsInf(full, 0)
}

// Throughput is the share of a head's light that leaves the face of a modifier (nil: bare)
// and passes straight through a grid (nil: none). What the grid takes at an angle is part
// of the emitter.
func Throughput(m *Modifier, g *Grid) float64 {
	t := 1.0
	if m != nil {
		t = float64(m.Efficiency)
	}
	if g != nil {
		t *= float64(g.Open)
	}
	return t
}

// shapes are the faces of modifiers.
var shapes = map[string]light.Kind{"rectangle": light.Rect, "octagon": light.Octagon, "disc": light.Disc}

// Emitter is the luminous face of a modifier, with a grid or with none (nil). Scale it by
// the head's output and by Throughput.
func (m *Modifier) Emitter(g *Grid) light.Emitter {
	face := light.Face{Kind: shapes[m.Shape], W: float64(m.Face.W), H: float64(m.Face.H)}
	if m.bare != nil {
		return light.Emitter{Face: face, Beam: m.beam(g)}
	}
	return light.Emitter{Face: face, Law: m.Law, Grid: g.cells()}
}

// beam is the measured beam behind a grid or none (nil), always the same one for the same two.
func (m *Modifier) beam(g *Grid) *light.Beam {
	if g == nil {
		return m.bare
	}
	if b, ok := m.behind[g.ID]; ok {
		return b
	}
	return m.bare.Through(g.cells())
}

var cells = map[string]light.Cell{"square": light.Square, "hex": light.Hex, "tube": light.Tube}

func (g *Grid) cells() light.Grid {
	switch {
	case g == nil:
		return light.Grid{}
	case g.Ratio > 0:
		return light.Grid{Cell: cells[g.Cell], K: g.Ratio}
	}
	return light.GridOfAngle(cells[g.Cell], g.Cutoff)
}

// BareEmitter is the head with no modifier, a ball.
func (h *Head) BareEmitter() light.Emitter {
	return light.Emitter{Face: light.Face{Kind: light.Ball, W: float64(h.Tube), H: float64(h.Tube)}}
}

// Lit is the emitter of a head in a modifier and grid, either of which may be nil.
func (h *Head) Lit(m *Modifier, g *Grid) light.Emitter {
	if m == nil {
		return h.BareEmitter()
	}
	return m.Emitter(g)
}

// Doubt is that of a head's light in a modifier and gel, either of which may be nil: head,
// modifier and gel are independent, so their variances add. A metered head needs no doubt
// of the modifier that it was metered with.
func (h *Head) Doubt(s *Studio, useLamp bool, m *Modifier, g *Gel) unit.Stops {
	_, d, _ := h.Output(s, useLamp)
	sum := float64(d * d)
	if m != nil && m.ID != h.MeteredWith(useLamp) {
		sum += float64(m.Doubt * m.Doubt)
	}
	if g != nil {
		sum += float64(g.Doubt * g.Doubt)
	}
	return unit.Stops(math.Sqrt(sum))
}

// MeteredWith is the modifier with which the flash, or the lamp, was metered; empty if it
// is only rated.
func (h *Head) MeteredWith(useLamp bool) ID {
	switch {
	case useLamp && h.Lamp != nil && h.Lamp.Metered != nil:
		return h.Lamp.Metered.With
	case !useLamp && h.Flash != nil && h.Flash.Metered != nil:
		return h.Flash.Metered.With
	}
	return ""
}

// At is the light on the axis of a head at full power, at a distance from its face: lux
// seconds of the flash, or lux of the lamp. m and g may be nil. 0 where it has no such light.
func (h *Head) At(s *Studio, useLamp bool, m *Modifier, g *Grid, d unit.Length) float64 {
	full, _, ok := h.Output(s, useLamp)
	if !ok {
		return 0
	}
	return full * Throughput(m, g) * h.Lit(m, g).OnAxis(float64(d))
}
