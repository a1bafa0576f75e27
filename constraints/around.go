package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/unit"
)

// measureAround reads what some goals ask of the backdrop and of the sitter's edges beyond
// the tones that every picture has. Each part is measured only if a goal reads it.
func (s *Scene) measureAround(r *Reading) {
	if s.reads&OnWrap != 0 {
		r.Wrap = s.sum(func(p *Response) unit.Interval { return p.Behind }).Log2()
	}
	if key := s.Lights[inventory.Key].Reach; s.reads&OnFeet != 0 && key != nil {
		r.Feet = key.Feet.Log2().Neg()
	}
	if s.reads&OnEdges != 0 {
		hair := unit.Point(s.Bench.Brief.Sitter.hair() / middleGrey).Log2()
		r.HairLeft = s.sum(func(p *Response) unit.Interval { return p.EdgeLeft }).Log2().Add(hair)
		r.HairRight = s.sum(func(p *Response) unit.Interval { return p.EdgeRight }).Log2().Add(hair)
	}
	lay := s.layout
	if s.Backdrop == nil || lay == nil || len(lay.Points) == 0 {
		return
	}
	if r.Bright.IsPoint() && r.Dim.IsPoint() {
		r.Spread = r.Bright.Sub(r.Dim)
	}
	if s.reads&OnFall != 0 {
		r.HeadTone = s.toneAt(0)
		if lay.Framed {
			r.TopTone, r.BottomTone = s.toneAt(lay.rings+topPoint), s.toneAt(lay.rings+bottomPoint)
		}
	}
	if s.reads&OnEdges != 0 && lay.rings > 0 {
		r.BesideLeft, r.BesideRight = s.beside(leftSpoke), s.beside(rightSpoke)
	}
	if s.reads&OnTint != 0 {
		s.measureTint(r)
	}
}

// Places among the points of a layout: of the frame's border, and spokes of the rings.
const (
	bottomPoint = 3
	topPoint    = 4
	rightSpoke  = 0
	leftSpoke   = ringPoints / 2
)

// hairTones are reflectances of hair, and of a bald head (all from memory). Brown is taken
// where the brief does not say.
var hairTones = map[string]float64{"dark": 0.04, "brown": 0.08, "fair": 0.25, "grey": 0.35, "none": 0.36}

func (s *Sitter) hair() float64 {
	if rho, ok := hairTones[s.Hair]; ok {
		return rho
	}
	return hairTones["brown"]
}

// toneAt is the tone of one point of the backdrop in all light.
func (s *Scene) toneAt(i int) unit.Interval {
	paper := unit.Point(float64(s.Backdrop.Reflectance) / middleGrey)
	return s.backdropAt(i, func(inventory.Role) unit.Interval { return unit.Point(1) }).Mul(paper).Log2()
}

// backdropAt sums all light on a point of the backdrop, each light times a factor.
func (s *Scene) backdropAt(i int, factor func(inventory.Role) unit.Interval) unit.Interval {
	total := unit.Point(0)
	for role := range inventory.NumRoles {
		l := &s.Lights[role]
		switch {
		case l.On.Hi == 0:
		case l.Reach == nil || i >= len(l.Reach.Backdrop):
			total.Hi = math.Inf(1)
		default:
			total = total.Add(s.linear[role].Mul(l.Reach.Backdrop[i].Add(l.Reach.PaperBounce)).Mul(factor(role)))
		}
	}
	return total
}

// beside is the tone of the backdrop right beside an edge of the hair, as the camera sees
// it: between two rings, in equal steps of tone. Outside the frame it is that of the last
// place inside.
func (s *Scene) beside(spoke int) unit.Interval {
	lay := s.layout
	index := func(ring int) int { return 1 + ring*ringPoints + spoke }
	if !lay.Framed {
		all := s.toneAt(0)
		for ring := range ringRadii {
			all = all.Hull(s.toneAt(index(ring)))
		}
		return all
	}
	at := edgeOut * lay.scale().Lo
	inner, tone := 0.0, s.toneAt(0)
	for ring, radius := range ringRadii {
		if !lay.visible[index(ring)] {
			return tone
		}
		next := s.toneAt(index(ring))
		if radius >= at {
			share := (at - inner) / (radius - inner)
			return tone.Scale(1 - share).Add(next.Scale(share))
		}
		inner, tone = radius, next
	}
	return tone
}

// measureTint reads the colour of the backdrop. A light whose tint is not known may have
// any; the key is what the picture is balanced for, so its channels are 1, 1, 1.
func (s *Scene) measureTint(r *Reading) {
	lay := s.layout
	paper := unit.Point(float64(s.Backdrop.Reflectance))
	channels := func(point int) (least, most unit.Interval) {
		least, most = unit.Point(math.Inf(1)), unit.Point(0)
		for c := range 3 {
			x := s.backdropAt(point, func(role inventory.Role) unit.Interval {
				switch t := s.Lights[role].Tint; {
				case role == inventory.Key:
					return unit.Point(1)
				case t == nil:
					return anyLight
				default:
					return unit.Point(t.Channels[c])
				}
			}).Mul(paper)
			least, most = least.Min(x), most.Max(x)
		}
		return least, most
	}
	least, most := channels(0)
	r.HeadLeast, r.HeadChannel = least, most
	full := unit.Point(1)
	r.Saturation = saturation(least.Min(full), most.Min(full))
	r.TopChannel = unit.Interval{Lo: most.Lo, Hi: math.Inf(1)}
	if !lay.Framed || !r.Bright.IsPoint() {
		r.Saturation.Lo = 0
		return
	}
	r.TopChannel = most
	for i := 1; i < len(lay.Points); i++ {
		if lay.visible[i] {
			least, most := channels(i)
			r.TopChannel = r.TopChannel.Max(most)
			r.Saturation = r.Saturation.Min(saturation(least.Min(full), most.Min(full)))
		}
	}
}

// saturation is 1 - least / most, of channels that are clipped to display white; see
// colour.Saturation. Black has none.
func saturation(least, most unit.Interval) unit.Interval {
	if most.Hi <= 0 {
		return unit.Point(0)
	}
	s := unit.Point(1).Sub(least.Div(most))
	if s.IsPoint() {
		return s
	}
	return s.And(unit.Interval{Lo: 0, Hi: 1})
}
