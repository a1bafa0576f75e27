package optics

import (
	"math"

	"falloff/model/unit"
)

// The bounds below take intervals, lengths in metres, and return an interval that holds
// the value of the plain function for every choice of members. Each function is monotone
// in each argument, for the reason given at it, so its ends are values at corners of the
// box, widened for rounding. When every argument is a point the result is the plain
// value itself. Where a plane comes so near that the formula has no meaning, the bound
// says nothing: from 0 up to all there is.

// rounding is the relative widening of a corner. A corner is at most about twenty
// operations, each off by 2^-53, without a difference of nearly equal numbers save where
// the code adds the size of what is subtracted: 20 x 1.2e-16, with forty times in
// reserve.
const rounding = 1e-13

// widened returns the interval from lo to hi, widened by rounding times size and each
// end's own size.
func widened(lo, hi, size float64) unit.Interval {
	if !math.IsInf(lo, 0) {
		lo -= rounding * (size + math.Abs(lo))
	}
	if !math.IsInf(hi, 0) {
		hi += rounding * (size + math.Abs(hi))
	}
	return unit.Interval{Lo: lo, Hi: hi}
}

// positive is widened for a value that cannot be below 0.
func positive(lo, hi float64) unit.Interval {
	iv := widened(lo, hi, 0)
	iv.Lo = max(0, iv.Lo)
	return iv
}

var notNegative = unit.Interval{Lo: 0, Hi: math.Inf(1)}

func points(ivs ...unit.Interval) bool {
	for _, iv := range ivs {
		if !iv.IsPoint() {
			return false
		}
	}
	return true
}

// BlurBound bounds Blur. N times the blur, with its sign, is
// P f^2 (u-s) / ((s-f)(P u + (1-P) f)). For s and u above f it rises in u, where the
// derivative of the fraction has the sign of f + P(s-f), and falls in s, where it has
// that of -(u-f); its size rises in f, since the logarithm's derivative is
// 2/f + 1/(s-f) - (1-P)/(P u + (1-P) f) and the last term is below 1/f. With P = 1 u may
// lie within f: it still rises in u and its size in f, and goes one way in s at each u.
func BlurBound(focal, n, s, u unit.Interval, pupil float64) unit.Interval {
	if points(focal, n, s, u) {
		return unit.Point(float64(Blur(unit.Length(focal.Lo), n.Lo, unit.Length(s.Lo), unit.Length(u.Lo), pupil)))
	}
	within := u.Lo <= focal.Hi
	if !(s.Lo > focal.Hi && n.Lo > 0) || within && !(pupil == 1 && u.Lo > 0) {
		return notNegative
	}
	end := func(s, u float64, grow, shrink float64) float64 {
		if q := signedBlur(grow, s, u, pupil); q > 0 {
			return q
		}
		return signedBlur(shrink, s, u, pupil)
	}
	hi := end(s.Lo, u.Hi, focal.Hi, focal.Lo)
	lo := end(s.Hi, u.Lo, focal.Lo, focal.Hi)
	if within {
		hi = max(hi, end(s.Hi, u.Hi, focal.Hi, focal.Lo))
		lo = min(lo, end(s.Lo, u.Lo, focal.Lo, focal.Hi))
	}
	// u - s may cancel; its error is that of s and u, as a share of u.
	f := focal.Hi
	q := widened(lo, hi, f*f/(s.Lo-f)*(1+s.Hi/u.Lo)).Abs()
	return positive(q.Lo/n.Hi, q.Hi/n.Lo)
}

// DepthBound bounds both limits of DepthOfField and their difference. With
// k = c N (s-f)/f^2, which rises in N and s and falls in f, near = s/(1+k) and
// far = s/(1-k), so near falls in N, far rises in N and s, and both draw together in f.
// near rises in s while c N < f, the derivative having the sign of 1 - cN/f. The total
// is s 2k/(1-k^2), which rises in s and k.
func DepthBound(focal, n, s unit.Interval, coc unit.Length) (near, far, total unit.Interval) {
	at := func(f, n, s float64) (near, far float64) {
		a, b := DepthOfField(unit.Length(f), n, coc, unit.Length(s))
		return float64(a), float64(b)
	}
	if points(focal, n, s) {
		a, b := at(focal.Lo, n.Lo, s.Lo)
		return unit.Point(a), unit.Point(b), unit.Point(b - a)
	}
	if !(s.Lo > focal.Hi && n.Lo > 0) {
		return unit.Interval{Lo: 0, Hi: s.Hi}, unit.Interval{Lo: s.Lo, Hi: math.Inf(1)}, notNegative
	}
	nearLo, _ := at(focal.Lo, n.Hi, s.Lo)
	nearHi, _ := at(focal.Hi, n.Lo, s.Hi)
	near = positive(nearLo, nearHi)
	if float64(coc)*n.Hi >= focal.Lo {
		near = unit.Interval{Lo: 0, Hi: s.Hi}
	}
	a, farLo := at(focal.Hi, n.Lo, s.Lo)
	b, farHi := at(focal.Lo, n.Hi, s.Hi)
	far = positive(farLo, farHi)
	total = widened(farLo-a, farHi-b, s.Hi)
	if !math.IsInf(farLo, 0) {
		total.Lo -= rounding * farLo
	}
	total.Lo = max(0, total.Lo)
	return near, far, total
}

// inFront reports whether the whole box of eyes lies beyond the focal length.
func inFront(focal, n, u, gap unit.Interval) bool {
	return n.Lo > 0 && gap.Lo >= 0 && u.Lo-gap.Hi/2 > focal.Hi
}

// WorstEyeBound bounds the greater of the two blurs of EyesBlur. Both forms in worstEye
// rise in f and gap and fall in u, since their denominators, (u+gap/2)(u-gap/2-f) and
// u^2 - gap^2/4 - fu, do the opposite for u - gap/2 > f; and blur falls in N.
func WorstEyeBound(focal, n, u, gap unit.Interval, focus Focus) unit.Interval {
	if points(focal, n, u, gap) {
		_, far := EyesBlur(unit.Length(focal.Lo), n.Lo, unit.Length(u.Lo), unit.Length(gap.Lo), focus)
		return unit.Point(float64(far))
	}
	if !inFront(focal, n, u, gap) {
		return notNegative
	}
	return positive(worstEye(focal.Lo, u.Hi, gap.Lo, focus)/n.Hi, worstEye(focal.Hi, u.Lo, gap.Hi, focus)/n.Lo)
}

// reachBound bounds both results of reach. behind(u) and before(u), in eyes.go, rise in
// u and N and fall in f for u > f, with h = f^2/(N c). Focused on the near eye, most is
// behind(u - gap/2): it falls in f and gap and rises in N and u. least is
// gap - before(u + gap/2): it rises in f and falls in N and u, and rises in gap because
// the slope of before, 1 - (h^2+fh)/(h+u)^2, is below 1. Between the eyes both lose
// r = gap/2 - gap^2/(4u), which rises in gap and, slightly, in u. That leaves every
// direction as it is (least keeps 1/2 - slope/2 > 0 in gap) except most in u, where the
// two parts are bounded apart.
func reachBound(focal, n, u, gap unit.Interval, coc float64, focus Focus) (most, least unit.Interval) {
	plane := func(u, gap float64) float64 {
		if focus == BetweenEyes {
			return gap/2 - gap*gap/(4*u)
		}
		return 0
	}
	hiMost, _ := reach(focal.Lo, n.Hi, u.Hi, gap.Lo, coc, NearEye)
	loMost, _ := reach(focal.Hi, n.Lo, u.Lo, gap.Hi, coc, NearEye)
	_, hiLeast := reach(focal.Hi, n.Lo, u.Lo, gap.Hi, coc, focus)
	_, loLeast := reach(focal.Lo, n.Hi, u.Hi, gap.Lo, coc, focus)
	most = widened(loMost-plane(u.Hi, gap.Hi), hiMost-plane(u.Lo, gap.Lo), u.Hi)
	return most, widened(loLeast, hiLeast, u.Hi)
}

// EyesRoomBound bounds EyesRoom, most - least of reach with focus on the near eye: by
// the directions at reachBound it rises in N and u and falls in f and gap.
func EyesRoomBound(focal, n, u, gap unit.Interval, coc unit.Length) unit.Interval {
	room := func(f, n, u, gap float64) float64 {
		return float64(EyesRoom(unit.Length(f), n, unit.Length(u), unit.Length(gap), coc))
	}
	if points(focal, n, u, gap) {
		return unit.Point(room(focal.Lo, n.Lo, u.Lo, gap.Lo))
	}
	if !inFront(focal, n, u, gap) {
		return unit.Whole
	}
	return widened(room(focal.Hi, n.Lo, u.Lo, gap.Hi), room(focal.Lo, n.Hi, u.Hi, gap.Lo), u.Hi)
}

// KeepersBound bounds Keepers, a share 0..1. It is P(error <= most) - P(error < least),
// the first rising in most, the second in least; each falls with the spread where its
// limit is positive and rises where it is negative, so each takes its own end of the
// spread.
func KeepersBound(focal, n, u, gap, spread unit.Interval, coc unit.Length, focus Focus) unit.Interval {
	if points(focal, n, u, gap, spread) {
		return unit.Point(float64(Keepers(unit.Length(focal.Lo), n.Lo, unit.Length(u.Lo), unit.Length(gap.Lo), unit.Length(spread.Lo), coc, focus)))
	}
	if !inFront(focal, n, u, gap) || !(spread.Lo >= 0) {
		return unit.Interval{Lo: 0, Hi: 1}
	}
	most, least := reachBound(focal, n, u, gap, float64(coc), focus)
	forMost, forLeast := spread.Lo, spread.Hi
	if most.Hi < 0 {
		forMost = spread.Hi
	}
	if least.Lo <= 0 {
		forLeast = spread.Lo
	}
	hi := kept(most.Hi, least.Lo, forMost, forLeast)
	forMost, forLeast = spread.Lo, spread.Hi
	if most.Lo >= 0 {
		forMost = spread.Hi
	}
	if least.Hi > 0 {
		forLeast = spread.Lo
	}
	lo := kept(most.Lo, least.Hi, forMost, forLeast)
	return unit.Interval{Lo: max(0, lo-rounding), Hi: min(1, hi+rounding)}
}

// PerspectiveBound bounds PerspectiveRatio, which falls with the distance.
func PerspectiveBound(d unit.Interval) unit.Interval {
	if d.IsPoint() {
		return unit.Point(PerspectiveRatio(unit.Length(d.Lo)))
	}
	if !(d.Lo > 0) {
		return unit.Interval{Lo: 1, Hi: math.Inf(1)}
	}
	return positive(PerspectiveRatio(unit.Length(d.Hi)), PerspectiveRatio(unit.Length(d.Lo)))
}

// DistanceBound bounds DistanceFor, which rises in both the focal length and the frame.
func DistanceBound(focal unit.Interval, sensor unit.Length, frame unit.Interval) unit.Interval {
	at := func(f, h float64) float64 { return float64(DistanceFor(unit.Length(f), sensor, unit.Length(h))) }
	if points(focal, frame) {
		return unit.Point(at(focal.Lo, frame.Lo))
	}
	return positive(at(focal.Lo, frame.Lo), at(focal.Hi, frame.Hi))
}

// FrameBound bounds FrameHeight, which rises with the distance and falls with the focal
// length. A distance below the focal length gives 0.
func FrameBound(focal unit.Interval, sensor unit.Length, s unit.Interval) unit.Interval {
	at := func(f, s float64) float64 { return float64(FrameHeight(unit.Length(f), sensor, unit.Length(s))) }
	if points(focal, s) {
		return unit.Point(at(focal.Lo, s.Lo))
	}
	lo, hi := at(focal.Hi, s.Lo), at(focal.Lo, s.Hi)
	// s - f cancels at most to its own rounding.
	iv := widened(lo, hi, float64(sensor)*(1+s.Hi/focal.Lo))
	return unit.Interval{Lo: max(0, iv.Lo), Hi: max(0, iv.Hi)}
}

// HandheldBound bounds HandheldFloor, which falls with the focal length and rises with
// the stabilisation.
func HandheldBound(equivalent, stabilisation unit.Interval) unit.Interval {
	at := func(f, stops float64) float64 { return float64(HandheldFloor(unit.Length(f), unit.Stops(stops))) }
	if points(equivalent, stabilisation) {
		return unit.Point(at(equivalent.Lo, stabilisation.Lo))
	}
	return positive(at(equivalent.Hi, stabilisation.Lo), at(equivalent.Lo, stabilisation.Hi))
}
