package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/unit"
)

const middleGrey = 0.18

// measureBackdrop reads tones and the glow. Every light spills; the background light is
// also read alone, as a photographer meters it.
func (s *Scene) measureBackdrop(r *Reading) {
	if s.Backdrop == nil {
		return
	}
	paper := unit.Point(float64(s.Backdrop.Reflectance) / middleGrey)
	if l := &s.Lights[inventory.Background]; l.On.Lo >= 1 {
		r.GlowTone = l.Level.Add(paper.Log2()) // where it is aimed, as it is metered
	}
	lay := s.layout
	if lay == nil || len(lay.Points) == 0 {
		return
	}
	if s.exactTones(r, paper.Lo) {
		s.measureGlow(r, paper)
		return
	}
	known := len(lay.Points)
	for i := range s.Lights {
		l := &s.Lights[i]
		if l.On.Hi > 0 && l.Reach != nil {
			known = min(known, len(l.Reach.Backdrop))
		}
	}
	total := func(i int, skip inventory.Role) unit.Interval {
		return s.sumBut(skip, func(p *Response) unit.Interval { return p.Backdrop[i].Add(p.PaperBounce) }).Mul(paper)
	}
	dark, bright, dim := unit.Point(0), unit.Point(0), unit.Point(math.Inf(1))
	for i := range known {
		if i > 0 && !lay.Framed || lay.Framed && !lay.visible[i] {
			continue // the head stands before the first point, whatever the framing
		}
		all := total(i, -1)
		bright, dim = bright.Max(all), dim.Min(all)
		if lay.Framed && i >= lay.rings {
			dark = dark.Max(all)
		} else {
			dark = dark.Max(total(i, inventory.Background))
		}
	}
	if known < len(lay.Points) || !lay.Framed { // points that are not known can be brighter or darker
		dark.Hi, bright.Hi, dim.Lo = math.Inf(1), math.Inf(1), 0
	}
	r.Dark, r.Bright, r.Dim = dark.Log2(), bright.Log2(), dim.Log2()
	s.measureGlow(r, paper)
}

// exactTones reads the tones of an exact scene in plain numbers, which is what a search
// does most; it reports false for any other scene. The sums are made in the same order as
// those of intervals, so that a point comes out the same either way.
func (s *Scene) exactTones(r *Reading, paper float64) bool {
	type part struct {
		at            []float64
		level, bounce float64
		background    bool
	}
	var parts [inventory.NumRoles]part
	n := 0
	lay := s.layout
	for i := range s.Lights {
		l := &s.Lights[i]
		if l.On.Hi == 0 {
			continue
		}
		if l.On.Lo < 1 || l.Reach == nil || len(l.Reach.exact) < len(lay.Points) || !s.linear[i].IsPoint() || !l.Reach.PaperBounce.IsPoint() {
			return false
		}
		parts[n] = part{l.Reach.exact, s.linear[i].Lo, l.Reach.PaperBounce.Lo, inventory.Role(i) == inventory.Background}
		n++
	}
	if !lay.Framed {
		return false
	}
	dark, bright, dim := 0.0, 0.0, math.Inf(1)
	for i := range lay.Points {
		if !lay.visible[i] {
			continue
		}
		all, spill := 0.0, 0.0
		for _, p := range parts[:n] {
			x := p.level * (p.at[i] + p.bounce)
			all += x
			if !p.background {
				spill += x
			}
		}
		bright, dim = max(bright, all), min(dim, all)
		if i < lay.rings {
			all = spill
		}
		dark = max(dark, all)
	}
	tone := func(x float64) unit.Interval { return unit.Point(x * paper).Log2() }
	r.Dark, r.Bright, r.Dim = tone(dark), tone(bright), tone(dim)
	return true
}

func (s *Scene) measureGlow(r *Reading, paper unit.Interval) {
	l, lay := &s.Lights[inventory.Background], s.layout
	if l.On.Lo < 1 || l.Reach == nil || lay.rings == 0 || len(l.Reach.Backdrop) < lay.rings {
		return
	}
	scale := lay.scale()
	at := l.Reach.Backdrop[:lay.rings]
	peak := unit.Point(0)
	for _, x := range at {
		peak = peak.Max(x)
	}
	// The brightest place is any point that can reach the peak's lower bound.
	offset := unit.Empty
	for i, x := range at {
		if x.Hi >= peak.Lo {
			d := 0.0
			if i > 0 {
				d = ringRadii[(i-1)/ringPoints]
			}
			offset = offset.Hull(unit.Point(d))
		}
	}
	r.GlowOffset = offset.Div(scale)

	// Along each spoke, the radius at which the level first falls to half the peak: the
	// first crossing of a profile between two others lies between their crossings.
	sum := unit.Point(0)
	for k := range ringPoints {
		sum = sum.Add(unit.Interval{
			Lo: crossing(at, k, peak.Hi/2, func(x unit.Interval) float64 { return x.Lo }),
			Hi: crossing(at, k, peak.Lo/2, func(x unit.Interval) float64 { return x.Hi }),
		})
	}
	r.GlowRadius = sum.Scale(1.0 / ringPoints).Div(scale)
}

// crossing interpolates between rings; a profile that never falls so far ends at the last
// ring's radius times 1.25.
func crossing(at []unit.Interval, spoke int, half float64, end func(unit.Interval) float64) float64 {
	prev, r := end(at[0]), 0.0
	if prev <= half {
		return 0
	}
	for i, radius := range ringRadii {
		x := end(at[1+i*ringPoints+spoke])
		if x <= half && math.IsInf(prev, 1) { // an upper profile of which nothing is known
			return radius
		}
		if x <= half {
			return r + (radius-r)*(prev-half)/(prev-x)
		}
		prev, r = x, radius
	}
	return 1.25 * ringRadii[len(ringRadii)-1]
}
