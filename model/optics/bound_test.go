package optics_test

import (
	"testing"

	"pgregory.net/rapid"

	"falloff/model/optics"
	"falloff/model/unit"
)

// box draws an interval inside lo..hi, a point or of any width.
func box(t *rapid.T, name string, lo, hi float64) unit.Interval {
	a := rapid.Float64Range(lo, hi).Draw(t, name)
	switch rapid.IntRange(0, 3).Draw(t, name+" width") {
	case 0:
		return unit.Point(a)
	case 1:
		return unit.Interval{Lo: a, Hi: min(hi, a+(hi-lo)*1e-6)}
	default:
		b := rapid.Float64Range(lo, hi).Draw(t, name+" other")
		return unit.Of(a, b)
	}
}

// member draws a member, often an end.
func member(t *rapid.T, iv unit.Interval) float64 {
	switch rapid.IntRange(0, 3).Draw(t, "member") {
	case 0:
		return iv.Lo
	case 1:
		return iv.Hi
	}
	k := rapid.Float64Range(0, 1).Draw(t, "share")
	return min(iv.Hi, max(iv.Lo, iv.Lo+k*(iv.Hi-iv.Lo)))
}

func point(ivs ...unit.Interval) bool {
	for _, iv := range ivs {
		if !iv.IsPoint() {
			return false
		}
	}
	return true
}

// holds checks that a bound holds a member's value, and is that value when all of the
// arguments are points.
func holds(t *rapid.T, what string, bound unit.Interval, value float64, exact bool) {
	if !bound.Contains(value) {
		t.Fatalf("%s: %v is outside %v by %g", what, value, bound, max(bound.Lo-value, value-bound.Hi))
	}
	if exact && bound != unit.Point(value) {
		t.Fatalf("%s: %v for points, plain %v", what, bound, value)
	}
}

func length(x float64) unit.Length { return unit.Length(x) }

func TestBoundsHoldEveryMember(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		focal, n := box(t, "focal", .020, .300), box(t, "N", 1, 32)
		u, gap := box(t, "u", .2, 12), box(t, "gap", 0, .065)
		s, spread := box(t, "s", .2, 12), box(t, "spread", 0, .03)
		frame, stops := box(t, "frame", .2, 2.5), box(t, "stops", 0, 8)
		pupil := rapid.Float64Range(.4, 2.5).Draw(t, "pupil")
		coc := rapid.SampledFrom([]unit.Length{.015 * mm, .030 * mm, .1 * mm}).Draw(t, "c")
		focus := optics.Focus(rapid.IntRange(0, 1).Draw(t, "focus"))

		blur := optics.BlurBound(focal, n, s, u, pupil)
		close := box(t, "close", .03, 1)
		before := optics.BlurBound(focal, n, s, close, 1)
		near, far, total := optics.DepthBound(focal, n, s, coc)
		eye := optics.WorstEyeBound(focal, n, u, gap, focus)
		room := optics.EyesRoomBound(focal, n, u, gap, coc)
		keep := optics.KeepersBound(focal, n, u, gap, spread, coc, focus)
		drawn := optics.PerspectiveBound(u)
		stand := optics.DistanceBound(focal, 36*mm, frame)
		seen := optics.FrameBound(focal, 24*mm, s)
		hand := optics.HandheldBound(focal, stops)
		for range 6 {
			f, n1, u1, g := member(t, focal), member(t, n), member(t, u), member(t, gap)
			s1, sp, h, st := member(t, s), member(t, spread), member(t, frame), member(t, stops)
			holds(t, "perspective", drawn, optics.PerspectiveRatio(length(u1)), point(u))
			holds(t, "distance", stand, float64(optics.DistanceFor(length(f), 36*mm, length(h))), point(focal, frame))
			holds(t, "hand-held", hand, float64(optics.HandheldFloor(length(f), unit.Stops(st))), point(focal, stops))
			if s1 > f*1.001 {
				holds(t, "frame", seen, float64(optics.FrameHeight(length(f), 24*mm, length(s1))), point(focal, s))
				a, b := optics.DepthOfField(length(f), n1, coc, length(s1))
				exact := point(focal, n, s)
				holds(t, "near", near, float64(a), exact)
				holds(t, "far", far, float64(b), exact)
				holds(t, "total", total, float64(b-a), exact)
				u2 := member(t, close)
				holds(t, "blur before the lens", before, float64(optics.Blur(length(f), n1, length(s1), length(u2), 1)), point(focal, n, s, close))
				if u1 > f {
					holds(t, "blur", blur, float64(optics.Blur(length(f), n1, length(s1), length(u1), pupil)), point(focal, n, s, u))
				}
			}
			if u1-g/2 > f*1.001 {
				_, worst := optics.EyesBlur(length(f), n1, length(u1), length(g), focus)
				holds(t, "worst eye", eye, float64(worst), point(focal, n, u, gap))
				holds(t, "room", room, float64(optics.EyesRoom(length(f), n1, length(u1), length(g), coc)), point(focal, n, u, gap))
				holds(t, "keepers", keep, float64(optics.Keepers(length(f), n1, length(u1), length(g), length(sp), coc, focus)),
					point(focal, n, u, gap, spread))
			}
		}
	})
}

// A bound must also be tight, or it proves nothing: over a small box around a portrait
// its width is near the spread of the values at the corners.
func TestBoundsAreTight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		about := func(x float64) unit.Interval { return unit.Interval{Lo: x * .999, Hi: x * 1.001} }
		focal, n := about(rapid.Float64Range(.05, .15).Draw(t, "focal")), about(rapid.Float64Range(1.2, 11).Draw(t, "N"))
		u, gap := about(rapid.Float64Range(.8, 4).Draw(t, "u")), about(rapid.Float64Range(.001, .03).Draw(t, "gap"))
		spread := about(rapid.Float64Range(.002, .012).Draw(t, "spread"))
		focus := optics.Focus(rapid.IntRange(0, 1).Draw(t, "focus"))
		keep := optics.KeepersBound(focal, n, u, gap, spread, .03*mm, focus)
		worst := optics.WorstEyeBound(focal, n, u, gap, focus)
		keepers, blurs := unit.Empty, unit.Empty
		for corner := range 32 {
			end := func(bit int, iv unit.Interval) unit.Length {
				if corner>>bit&1 == 1 {
					return length(iv.Hi)
				}
				return length(iv.Lo)
			}
			f, n1, u1, g, sp := end(0, focal), float64(end(1, n)), end(2, u), end(3, gap), end(4, spread)
			keepers = keepers.Hull(unit.Point(float64(optics.Keepers(f, n1, u1, g, sp, .03*mm, focus))))
			_, b := optics.EyesBlur(f, n1, u1, g, focus)
			blurs = blurs.Hull(unit.Point(float64(b)))
		}
		// The corners are exact for all but the spread and, between the eyes, a part of
		// gap^2/(4u); those widen a chance by at most a few parts in a thousand here.
		if keep.Width() > keepers.Width()+.004 {
			t.Fatalf("keepers %v, corners span %v", keep, keepers)
		}
		if worst.Width() > blurs.Width()*(1+1e-9)+1e-15 {
			t.Fatalf("worst eye %v, corners span %v", worst, blurs)
		}
	})
}

var kept unit.Interval

func BenchmarkKeepersBound(b *testing.B) {
	focal, n := unit.Point(.085), unit.Interval{Lo: 2, Hi: 2.1}
	u, gap, spread := unit.Interval{Lo: 1.4, Hi: 1.5}, unit.Point(.012), unit.Point(.008)
	b.ReportAllocs()
	for b.Loop() {
		kept = optics.KeepersBound(focal, n, u, gap, spread, .03*mm, optics.NearEye)
	}
}

func BenchmarkBlurBound(b *testing.B) {
	focal, n := unit.Point(.085), unit.Interval{Lo: 2, Hi: 2.1}
	s, u := unit.Interval{Lo: 1.4, Hi: 1.5}, unit.Interval{Lo: 3, Hi: 3.2}
	for b.Loop() {
		kept = optics.BlurBound(focal, n, s, u, 1)
	}
}
