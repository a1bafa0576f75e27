package solver

import (
	"maps"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/unit"
)

// openLonger gives a found set-up a slower shutter where the one that it has cuts a flash: the
// next at which no flash loses more than cutShort, else the one that loses least. Lamps are
// turned down by as much. What held must hold as before, and no wish be missed for it.
func (l *lattice) openLonger(k *Checked) {
	least := mostCut(l.bench.Studio, k.Setup)
	for i := range l.shutterMarks {
		t := l.shutterMarks[i]
		if least <= cutShort {
			return
		}
		if t.True() <= k.Setup.Camera.Shutter.True() {
			continue
		}
		set := slower(l.bench.Studio, k.Setup, t)
		cut := mostCut(l.bench.Studio, set)
		if cut > least-leastGain {
			continue
		}
		got, err := check(l.bench, l.goals, set)
		if err != nil || !l.satisfies(got, l.met(k)) {
			continue
		}
		got.from = k.from
		*k, least = *got, cut
	}
}

// leastGain is the loss, in stops, for which another shutter is not worth it.
const leastGain = 0.02

// met is the set of goals that a set-up meets.
func (l *lattice) met(k *Checked) (m mask) {
	for i := range k.Goals {
		if k.Goals[i].Holds {
			m |= 1 << i
		}
	}
	return m
}

// mostCut is the most that a closing shutter cuts from a flash, in stops.
func mostCut(s *inventory.Studio, set *inventory.Setup) float64 {
	lost := slices.Collect(maps.Values(cutOff(s, set)))
	return slices.Max(append(lost, 0))
}

// slower is a set-up with a longer time, its lamps turned down to the nearest mark.
func slower(s *inventory.Studio, set *inventory.Setup, t unit.Shutter) *inventory.Setup {
	out := *set
	out.Lights = slices.Clone(set.Lights)
	longer := math.Log2(t.True() / set.Camera.Shutter.True())
	out.Camera.Shutter = t
	for i := range out.Lights {
		x := &out.Lights[i]
		h := s.Head(x.Head)
		if x.Light != "lamp" || h == nil {
			continue
		}
		if _, step := h.Powers(true); step > 0 {
			x.Power -= unit.Stops(math.Round(longer/float64(step))) * step
		}
	}
	return &out
}
