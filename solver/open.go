package solver

import (
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// OpenPlace is gear that could be neither built nor ruled out, and where.
type OpenPlace struct {
	Gear   string              // lens, backdrop and lights in words
	Goals  []*constraints.Goal // that failed where the search came nearest; all that the gear was to meet if it came to no place
	Lights []OpenLight
	Depth  unit.Interval // m from the sitter to the backdrop, of the brief
}

// OpenLight is where one light of it may still stand: the box around all places that no
// goal by itself rules out, wherever the backdrop is.
type OpenLight struct {
	Role                         inventory.Role
	Gear                         string
	Distance, Azimuth, Elevation unit.Interval // m, degrees
}

// openCase is a candidate that stayed open, with where insisting on it came nearest; nil if
// there was no time for it.
type openCase struct {
	c       *candidate
	nearest *trial
}

// manyPlaces caps the open places that an answer names.
const manyPlaces = 3

// places names what stayed open, the first of it.
func (h *hunt) places() (out []OpenPlace) {
	for _, x := range h.stuck {
		p := h.l.openPlace(x)
		if len(out) < manyPlaces && !slices.ContainsFunc(out, func(q OpenPlace) bool { return q.Gear == p.Gear }) {
			out = append(out, p)
		}
	}
	return out
}

func (l *lattice) openPlace(x openCase) OpenPlace {
	p := OpenPlace{Gear: l.describe(x.c), Depth: unit.Interval{Lo: l.depths[0], Hi: l.depths[len(l.depths)-1]}}
	if x.nearest != nil {
		for _, r := range x.nearest.broken() {
			p.Goals = append(p.Goals, r.Goal)
		}
	}
	if len(p.Goals) == 0 {
		for i, g := range l.goals {
			if x.c.active.has(i) {
				p.Goals = append(p.Goals, g)
			}
		}
	}
	for _, g := range x.c.rigs {
		if g == nil {
			continue
		}
		o := OpenLight{Role: g.role, Gear: l.rigName(g), Distance: unit.Empty, Azimuth: unit.Empty, Elevation: unit.Empty}
		for depth := range l.depths {
			d := *x.c
			d.depth = depth
			for _, c := range l.region(l.site(&d, g, d.active, l.looksAt()[0])).open(d.active, d.sideOf(g.role)) {
				o.Distance, o.Azimuth, o.Elevation = o.Distance.Hull(c.box.D), o.Azimuth.Hull(c.box.Az), o.Elevation.Hull(c.box.El)
			}
		}
		if o.Distance.IsEmpty() { // it has no place, which nobody had looked at
			continue
		}
		inDegrees := func(a unit.Interval) unit.Interval { return unit.Interval{Lo: a.Lo * degrees, Hi: a.Hi * degrees} }
		o.Azimuth, o.Elevation = inDegrees(o.Azimuth), inDegrees(o.Elevation)
		p.Lights = append(p.Lights, o)
	}
	return p
}
