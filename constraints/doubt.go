package constraints

import (
	"fmt"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/unit"
)

// Basis is how well a number of the model is known.
type Basis string

const (
	Rated    Basis = "rated"    // from a label or a data sheet
	Typical  Basis = "typical"  // usual for its type
	Metered  Basis = "metered"  // read with a meter
	Taped    Basis = "taped"    // set with a tape and by eye
	Surveyed Basis = "surveyed" // the spread of people
)

// A Cause is something that the model takes as known and that nobody knows exactly.
type Cause struct {
	What  string // "output of the 60 W daylight LED"
	By    string // one standard uncertainty: "0.7 stop"
	Basis Basis
	// Lights are those whose metering takes the cause away; none if no meter helps.
	Lights []inventory.Role
	// Reading marks what is left of a light after it was metered. It counts then only.
	Reading bool
	stops   float64 // By, where it is one of level
	shifts  []shift
}

// A shift moves a scene by one standard uncertainty up (+1) or down (-1) a cause.
type shift func(sc *Scene, sign float64)

// PartDoubt is what the causes do to one number of a goal, in the number's own unit.
type PartDoubt struct {
	Effects []float64 // one per cause
	Total   float64   // standard uncertainty before any light is metered
	Metered float64   // and once every light is
	last    float64
}

// Doubts says how far the numbers of a set-up may be off, and what makes them so.
type Doubts struct {
	Causes []Cause
	Goals  [][]PartDoubt // in the order of the goals and of their parts
}

// DoubtsOf carries the doubt of kit, room, tape and sitter through the model to every
// number of every goal. Each cause is moved by one standard uncertainty either way, alone,
// and the larger change counts; causes are independent, so their squares add (the law of
// propagation of the Guide to the expression of uncertainty in measurement, JCGM 100:2008,
// 5.1.2, with differences for derivatives as its 5.1.3 note 2 allows).
func (b *Bench) DoubtsOf(set *inventory.Setup, sc *Scene, goals []*Goal) Doubts {
	d := Doubts{Causes: b.causes(set, sc), Goals: make([][]PartDoubt, len(goals))}
	r := Measure(sc)
	parts := make([][]Part, len(goals))
	for i, g := range goals {
		parts[i] = g.Req.Judge(&r, nil)
		d.Goals[i] = make([]PartDoubt, len(parts[i]))
		for j := range d.Goals[i] {
			d.Goals[i][j].Effects = make([]float64, len(d.Causes))
		}
	}
	for n := range d.Causes {
		for _, move := range d.Causes[n].shifts {
			for _, sign := range []float64{1, -1} {
				moved := *sc
				move(&moved, sign)
				d.feel(n, goals, parts, Measure(&moved), sign > 0)
			}
		}
	}
	for i := range d.Goals {
		for j := range d.Goals[i] {
			d.Goals[i][j].add(d.Causes)
		}
	}
	return d
}

// feel notes how a shift of cause n changes each part. Several shifts of one cause are
// independent of each other; of the two signs the larger counts.
func (d *Doubts) feel(n int, goals []*Goal, parts [][]Part, r Reading, first bool) {
	for i, g := range goals {
		now := g.Req.Judge(&r, nil)
		for j, p := range parts[i] {
			if j >= len(now) || now[j].What != p.What || !p.Got.IsPoint() || !now[j].Got.IsPoint() {
				continue
			}
			by := math.Abs(now[j].Got.Lo - p.Got.Lo)
			if math.IsNaN(by) || math.IsInf(by, 0) {
				continue
			}
			e := &d.Goals[i][j].Effects[n]
			if first {
				*e = math.Hypot(*e, by)
				d.Goals[i][j].last = by
			} else if last := d.Goals[i][j].last; by > last {
				*e = math.Sqrt(max(0, *e**e-last*last) + by*by)
			}
		}
	}
}

func (p *PartDoubt) add(causes []Cause) {
	var before, after float64
	for n, e := range p.Effects {
		c := &causes[n]
		if !c.Reading {
			before += e * e
		}
		if c.Reading || len(c.Lights) == 0 {
			after += e * e
		}
	}
	p.Total, p.Metered = math.Sqrt(before), math.Sqrt(after)
}

// Largest is the cause that leaves most open of a light's level; nil if none does.
func (d *Doubts) Largest(r inventory.Role) (worst *Cause) {
	best := 0.0
	for n := range d.Causes {
		if c := &d.Causes[n]; !c.Reading && c.stops > best && slices.Contains(c.Lights, r) {
			worst, best = c, c.stops
		}
	}
	return worst
}

// WorstMetered is the cause that adds most to a part's doubt once every light is metered;
// false if none does.
func (d *Doubts) WorstMetered(p PartDoubt) (*Cause, bool) {
	return d.worst(p, func(c *Cause) bool { return c.Reading || len(c.Lights) == 0 })
}

// Worst is the cause that adds most to a part's doubt before metering; false if none does.
func (d *Doubts) Worst(p PartDoubt) (*Cause, bool) {
	return d.worst(p, func(c *Cause) bool { return !c.Reading })
}

func (d *Doubts) worst(p PartDoubt, counts func(*Cause) bool) (*Cause, bool) {
	best := -1
	for n, e := range p.Effects {
		if counts(&d.Causes[n]) && e > 0 && (best < 0 || e > p.Effects[best]) {
			best = n
		}
	}
	if best < 0 {
		return nil, false
	}
	return &d.Causes[best], true
}

// Lights are those on whose levels a part rests: metering each to a tenth of a stop moves
// it by more than a twentieth of its doubt.
func (d *Doubts) Lights(p PartDoubt) (out []inventory.Role) {
	for n, e := range p.Effects {
		if c := &d.Causes[n]; c.Reading && e > p.Metered/20 && e > 0 {
			out = append(out, c.Lights...)
		}
	}
	return out
}

// Standing is how sure it is that a part holds.
type Standing int

const (
	Fails   Standing = iota
	Unsure           // inside what was wanted by less than the doubt that no light meter takes away
	IfMeter          // holds once its lights are metered
	Holds            // whatever the doubt
)

// Standing compares the margin of a part with its doubt. within is the tolerance, in
// stops, to which each of its lights has to be metered for IfMeter.
func (d *Doubts) Standing(p Part, doubt PartDoubt) (s Standing, within unit.Stops) {
	m := p.Margin().Lo
	switch {
	case m < 0:
		return Fails, 0
	case m >= doubt.Total-1e-12:
		return Holds, 0
	}
	// Of the margin, what the other causes leave belongs to the meter.
	var meter, rest float64
	for n, e := range doubt.Effects {
		switch c := &d.Causes[n]; {
		case c.Reading:
			meter += e * e
		case len(c.Lights) == 0:
			rest += e * e
		}
	}
	left := m*m - rest
	if left <= 0 || meter == 0 {
		return Unsure, 0
	}
	within = meterDoubt * unit.Stops(math.Sqrt(left/meter))
	if within < meterStep {
		return Unsure, 0
	}
	return IfMeter, within
}

// meterDoubt is the standard uncertainty of one light set by meter: the meter's tenth, the
// head's steps and its variation from shot to shot (0.04 to 0.2 stop) together; common
// practice, no source. meterStep is the smallest difference that a meter shows.
const (
	meterDoubt unit.Stops = 0.1
	meterStep  unit.Stops = 0.1
)

// stopsText is an uncertainty in stops.
func stopsText(s unit.Stops) string {
	if s <= 1 {
		return fmt.Sprintf("%.1f stop", float64(s))
	}
	return fmt.Sprintf("%.1f stops", float64(s))
}
