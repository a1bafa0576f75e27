package constraints

import (
	"math"
	"sort"

	"falloff/inventory"
	"falloff/model/unit"
)

// Levels that a window tells apart, in stops: from the lowest to the highest in steps.
const (
	lowestLevel, highestLevel = -16.0, 16.0
	levelStep                 = 0.01
)

// Window is the range of a light's level, in stops, outside which some goal fails, whatever
// else the scene leaves open. fails tells whether some goal fails all over the scene as it
// stands. Each end is the farthest, in steps of a hundredth and found by halving, such that
// everything up to it fails as one box; so it does not matter how it was found.
func (s *Scene) Window(r inventory.Role, fails func() bool) unit.Interval {
	level := &s.Lights[r].Level
	keep := *level
	defer func() { *level = keep }()
	failing := func(x unit.Interval) bool { *level = x; return fails() }
	below := func(k int) unit.Interval {
		return unit.Interval{Lo: math.Inf(-1), Hi: lowestLevel + float64(k)*levelStep}
	}
	above := func(k int) unit.Interval {
		return unit.Interval{Lo: highestLevel - float64(k)*levelStep, Hi: math.Inf(1)}
	}
	const n = int((highestLevel - lowestLevel) / levelStep)
	w := unit.Whole
	if k := sort.Search(n, func(k int) bool { return !failing(below(k)) }); k > 0 {
		w.Lo = below(k - 1).Hi
	}
	if k := sort.Search(n, func(k int) bool { return !failing(above(k)) }); k > 0 {
		w.Hi = above(k - 1).Lo
	}
	return w
}

// Couple is levels that key and fill may have together.
type Couple struct{ Key, Fill unit.Interval }

// Limits on how finely the key's level is cut.
const (
	coupleStep  = 0.5 // stops
	mostCouples = 24
)

// Couples cuts the key's level into spans, each with the window of the fill's level while the
// key's lies there, for a ratio and an exposure tie the two. Spans that leave the fill no
// level, or on which some goal fails, are dropped. Without a fill, or where the spans become
// too many, it is the one couple of the levels as they stand.
func (s *Scene) Couples(fails func() bool) (out []Couple) {
	key, fill := &s.Lights[inventory.Key], &s.Lights[inventory.Fill]
	whole := Couple{key.Level, fill.Level}
	if fill.On.Lo < 1 || key.On.Lo < 1 {
		return []Couple{whole}
	}
	defer func() { key.Level, fill.Level = whole.Key, whole.Fill }()
	var cut func(span unit.Interval)
	cut = func(span unit.Interval) {
		if span.IsEmpty() || len(out) > mostCouples {
			return
		}
		key.Level, fill.Level = span, whole.Fill
		fill.Level = s.Window(inventory.Fill, fails).And(whole.Fill)
		if fill.Level.IsEmpty() || fails() {
			return
		}
		if w := span.Width(); !(w > coupleStep) || math.IsInf(w, 1) {
			out = append(out, Couple{span, fill.Level})
			return
		}
		cut(unit.Interval{Lo: span.Lo, Hi: span.Mid()})
		cut(unit.Interval{Lo: span.Mid(), Hi: span.Hi})
	}
	cut(whole.Key.And(unit.Interval{Lo: math.Inf(-1), Hi: lowestLevel}))
	cut(whole.Key.And(unit.Interval{Lo: lowestLevel, Hi: highestLevel}))
	cut(whole.Key.And(unit.Interval{Lo: highestLevel, Hi: math.Inf(1)}))
	if len(out) > mostCouples {
		return []Couple{whole}
	}
	return out
}
