package constraints

import (
	"math"
	"math/rand/v2"
	"testing"

	"falloff/inventory"
	"falloff/model/unit"
)

// Whatever levels key and fill may have together lie in a couple, and in the window of either.
// The goals are an exposure and a ratio as in Scene, with a cosine and a bounce that are known
// as roughly as over a box of poses.
func TestCouplesHoldWhatMayBe(t *testing.T) {
	held, cut := 0, 0
	for n := range 3000 {
		d := rand.New(rand.NewPCG(21, uint64(n)))
		in := func(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }
		span := func(lo, hi, wide float64) unit.Interval {
			x := in(lo, hi)
			return unit.Interval{Lo: x, Hi: x + wide*d.Float64()}
		}
		s := Scene{}
		key, fill := &s.Lights[inventory.Key], &s.Lights[inventory.Fill]
		key.On, fill.On = unit.Point(1), unit.Point(1)
		key.Level, fill.Level = unit.Whole, unit.Whole
		if d.Float64() < 0.5 {
			key.Level = span(-6, 4, 8)
		}
		exposure, ratio := span(-3, 3, 1.5), span(0.05, 3, 1)
		onto, bounce := span(0, 0.7, 0.3), span(0, 0.05, 0.1)
		reads := func(k, f, c, b unit.Interval) (e, r unit.Interval) {
			k, f = k.Exp2(), f.Exp2()
			return k.Add(f.Mul(c)).Log2(), k.Div(f.Add(k.Mul(b))).Add(unit.Point(1)).Log2()
		}
		fails := func() bool {
			e, r := reads(key.Level, fill.Level, onto, bounce)
			return !e.Meets(exposure) || !r.Meets(ratio)
		}
		couples := s.Couples(fails)
		keys, fills := s.Window(inventory.Key, fails), s.Window(inventory.Fill, fails)
		if len(couples) != 1 {
			cut++
		}
		for range 200 {
			k, f := unit.Point(in(-6, 6)), unit.Point(in(-8, 6))
			e, r := reads(k, f, unit.Point(in(onto.Lo, onto.Hi)), unit.Point(in(bounce.Lo, bounce.Hi)))
			if !exposure.Holds(e) || !ratio.Holds(r) || !key.Level.Holds(k) {
				continue
			}
			held++
			if !keys.Holds(k) || !fills.Holds(f) {
				t.Fatalf("draw %d: key %v and fill %v hold, outside the windows %v and %v", n, k.Lo, f.Lo, keys, fills)
			}
			inside := false
			for _, c := range couples {
				inside = inside || c.Key.Holds(k) && c.Fill.Holds(f)
			}
			if !inside {
				t.Fatalf("draw %d: key %v and fill %v hold, outside all of %v", n, k.Lo, f.Lo, couples)
			}
		}
	}
	if held < 1000 || cut < 1000 {
		t.Errorf("too little to judge by: %d levels, %d cut into several couples", held, cut)
	}
	s := NewScene(&Bench{Brief: &Brief{}})
	s.Lights[inventory.Fill].Off()
	s.Lights[inventory.Key].Level = unit.Interval{Lo: math.Inf(-1), Hi: 1}
	if got := s.Couples(func() bool { return false }); len(got) != 1 || got[0].Key != s.Lights[inventory.Key].Level {
		t.Errorf("without a fill: %v", got)
	}
}
