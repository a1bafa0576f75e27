package constraints

import (
	"cmp"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
)

// measureHead reads what the head itself does at its power.
func (l *LightScene) measureHead(out *LightReading) {
	if l.Kit == nil || l.On.Lo < 1 {
		return
	}
	out.Duration, out.Recycle = unit.Point(0), unit.Point(0) // a lamp is steady
	if f := l.Kit.Head.Flash; f != nil && l.Flash.Lo > 0 {
		out.Duration, out.Recycle = unit.Whole, unit.Whole
		if l.Power.IsPoint() {
			out.Duration = unit.Point(float64(f.Duration(unit.Stops(l.Power.Lo))))
			out.Recycle = unit.Point(float64(f.Ready(unit.Stops(l.Power.Lo))))
		}
	}
}

// rendition is the general colour rendering index Ra of a head's light through a gel, or
// 0 where it is too far from white to have one.
func rendition(h *inventory.Head, gel *inventory.Gel, lamp bool) float64 {
	light := h.Spectrum(lamp)
	if gel != nil {
		f := gel.Filter()
		light = f.Filter(&light)
	}
	if r, ok := colour.CRI(&light); ok {
		return r.Ra
	}
	return 0
}

// Equip reads what all the kit of a scene draws and costs, once all of it is known.
func (s *Scene) Equip() {
	if s.reads&OnKit == 0 {
		return
	}
	things := []inventory.Thing{}
	var heads []*inventory.Head
	if s.Body != nil && s.Lens != nil && s.Backdrop != nil {
		things = append(things, s.Body, s.Lens, s.Backdrop)
	}
	for i := range s.Lights {
		l := &s.Lights[i]
		if l.On.Hi == 0 {
			continue
		}
		if l.Kit == nil {
			return
		}
		heads = append(heads, l.Kit.Head)
		things = append(things, l.Kit.things()...)
		l.Rendition = unit.Point(rendition(l.Kit.Head, l.Kit.Gel, l.Flash.Hi == 0))
	}
	s.Hire = unit.Point(HireOf(things))
	s.Load = unit.Point(fullest(s.Bench.Studio, heads))
}

// things are the items of a light.
func (k *LightKit) things() []inventory.Thing {
	out := []inventory.Thing{k.Head, k.Stand}
	if k.Mod != nil {
		out = append(out, k.Mod)
	}
	if k.Grid != nil {
		out = append(out, k.Grid)
	}
	if k.Gel != nil {
		out = append(out, k.Gel)
	}
	if k.Boom != nil {
		out = append(out, k.Boom)
	}
	return out
}

// HireOf adds the day rates of items.
func HireOf(things []inventory.Thing) (sum float64) {
	for _, t := range things {
		sum += float64(inventory.ItemOf(t).DayRate)
	}
	return sum
}

// circuitShare is what a circuit should carry of its rating while the heads recharge: the
// rest is for the computer and the kettle. 80 % is the rule for continuous load in the US
// (NFPA 70, 210.20(A)) and taken everywhere here; local codes go first.
const circuitShare = 0.8

// fullest is the load of the fullest circuit as a share of its rating, with the heads
// shared out as well as may be; 0 where no circuit is listed, infinite where a head finds
// none.
func fullest(s *inventory.Studio, heads []*inventory.Head) float64 {
	circuits := s.Room.Circuits
	if len(circuits) == 0 {
		return 0
	}
	draws := func(h *inventory.Head, c *inventory.Circuit) float64 { return h.Amps(c.Volts) / c.Amps }
	heads = slices.Clone(heads)
	slices.SortStableFunc(heads, func(a, b *inventory.Head) int {
		return cmp.Compare(draws(b, &circuits[0]), draws(a, &circuits[0]))
	})
	load := make([]float64, len(circuits))
	best := math.Inf(1)
	var share func(i int)
	share = func(i int) {
		worst := slices.Max(load)
		if worst >= best {
			return
		}
		if i == len(heads) {
			best = worst
			return
		}
		for k := range circuits {
			d := draws(heads[i], &circuits[k])
			load[k] += d
			share(i + 1)
			load[k] -= d
		}
	}
	share(0)
	return best
}
