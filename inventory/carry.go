package inventory

import "falloff/model/unit"

// LightMass is what hangs at the end of a stand or boom: head, modifier and grid. A gel
// weighs nothing to speak of.
func LightMass(h *Head, m *Modifier, g *Grid) unit.Mass {
	mass := h.Mass
	if m != nil {
		mass += m.Mass
	}
	if g != nil {
		mass += g.Mass
	}
	return mass
}

// Counterweight is the mass that balances a light at the tip of an arm, by the lever law:
// the arm itself is a uniform rod, so its weight acts at its middle. It is never negative,
// and infinite for an arm without a tail.
func (b *Boom) Counterweight(light unit.Mass) unit.Mass {
	reach, tail := float64(b.Reach), float64(b.Tail)
	moment := float64(light)*reach + float64(b.Mass)*(reach-tail)/2
	return unit.Mass(max(0, moment/tail))
}

// Carries reports whether a stand holds a light of that mass, at its top or, where boom is
// not nil, at the tip of the arm. The stand then carries light, arm and counterweight.
func Carries(stand *Stand, boom *Boom, light unit.Mass) bool {
	if boom == nil {
		return light <= stand.Load
	}
	return light <= boom.Load && light+boom.Mass+boom.Counterweight(light) <= stand.Load
}

// Holds reports whether a stand can put its top at that height above the floor.
func (s *Stand) Holds(height unit.Length) bool {
	return s.Lowest <= height && height <= s.Height
}
