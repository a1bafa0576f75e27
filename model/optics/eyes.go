package optics

import (
	"math"

	"falloff/model/unit"
)

// Focus says where the photographer, or the camera, puts the plane of focus.
type Focus int

const (
	NearEye     Focus = iota // on the eye nearer to the camera
	BetweenEyes              // on the plane that blurs both eyes alike
)

func (f Focus) String() string {
	if f == BetweenEyes {
		return "between the eyes"
	}
	return "near eye"
}

// In all that follows u is the distance to the middle between the eyes and gap their
// difference in depth, not negative; the eyes are at u - gap/2 and u + gap/2, in front
// of the lens by more than f. The lens is thin (P = 1): at portrait scale, m under 0.1,
// a pupil magnification of 0.5 or 2 moves the blur by less than a tenth.

// FocusDistance returns where the plane of focus lies. Between the eyes it is the
// harmonic mean of their distances, u - gap^2/(4u), a little before the middle.
func FocusDistance(u, gap unit.Length, focus Focus) unit.Length {
	if focus == BetweenEyes {
		return u - gap*gap/(4*u)
	}
	return u - gap/2
}

// EyesBlur returns the blur on the sensor of the near and of the far eye.
func EyesBlur(focal unit.Length, n float64, u, gap unit.Length, focus Focus) (near, far unit.Length) {
	worst := unit.Length(worstEye(float64(focal), float64(u), float64(gap), focus) / n)
	if focus == BetweenEyes {
		return worst, worst
	}
	return 0, worst
}

// worstEye is N times the blur of the worse eye. Focused on the near eye it is
// f^2 gap / (u2 (u1-f)), between them f^2 gap / (2 (u^2 - gap^2/4 - f u)).
func worstEye(f, u, gap float64, focus Focus) float64 {
	if focus == BetweenEyes {
		return f * f * gap / (2 * (u*u - gap*gap/4 - f*u))
	}
	return f * f * gap / ((u + gap/2) * (u - gap/2 - f))
}

// EyesRoom returns the range of focus distances that keeps both eyes within the circle
// of confusion, or, if it is negative, by how much the eyes are too far apart for that.
func EyesRoom(focal unit.Length, n float64, u, gap, coc unit.Length) unit.Length {
	most, least := reach(float64(focal), n, float64(u), float64(gap), float64(coc), NearEye)
	return unit.Length(most - least)
}

// reach returns how far the plane of focus may err from where it was put, positive away
// from the camera, with both eyes still within c: errors from least to most keep both
// sharp, and none does if least > most. With h = f^2/(N c), the near eye at u1 stays sharp
// until the plane is u1(u1-f)/(h-u1) behind it, and the far eye at u2 while the plane is
// no more than u2(u2-f)/(h+u2) before it.
func reach(f, n, u, gap, c float64, focus Focus) (most, least float64) {
	h := f * f / (n * c)
	most, least = behind(f, h, u-gap/2), gap-before(f, h, u+gap/2)
	if focus == BetweenEyes {
		r := gap/2 - gap*gap/(4*u) // from the near eye to the plane
		most, least = most-r, least-r
	}
	return most, least
}

func behind(f, h, u float64) float64 {
	if u >= h {
		return math.Inf(1)
	}
	return u * (u - f) / (h - u)
}

func before(f, h, u float64) float64 { return u * (u - f) / (h + u) }

// FocusSpread is the usual error of the plane of focus hand-held, the camera's own
// spread and the sway of two people together, one standard deviation (from memory).
const FocusSpread = 8 * unit.Millimetre

// EyesSpread is the spread of the errors that part the eyes from the plane of focus: those
// of the focus and the sway, and that of the eyes' own gap in depth, from sitter to sitter,
// one standard deviation of which is gapSD. Focus between the eyes feels half of the gap,
// focus on the near eye all of it. Where one error is normal about the limit of another that
// is normal too, their variances add exactly: P(x + y <= r) with x, y independent.
func EyesSpread(spread, gapSD unit.Length, focus Focus) unit.Length {
	if focus == BetweenEyes {
		gapSD /= 2
	}
	return unit.Length(math.Hypot(float64(spread), float64(gapSD)))
}

// Keepers returns the share of frames with both eyes within the circle of confusion
// when the plane of focus errs by a normal distribution of the given spread about where
// it was put. A spread of 0 gives 0 or 1.
func Keepers(focal unit.Length, n float64, u, gap, spread, coc unit.Length, focus Focus) unit.Share {
	most, least := reach(float64(focal), n, float64(u), float64(gap), float64(coc), focus)
	return unit.Share(kept(most, least, float64(spread), float64(spread)))
}

// kept returns the chance that a normal error lies between least and most. The spread is
// given for each limit, so that a bound can take each at its own end; in a plain call
// they are equal.
func kept(most, least, spreadMost, spreadLeast float64) float64 {
	if !(least <= most) {
		return 0
	}
	return max(0, atMost(most, spreadMost)-under(least, spreadLeast))
}

// atMost returns the chance of an error of at most x.
func atMost(x, spread float64) float64 {
	if spread == 0 {
		return step(x >= 0)
	}
	return math.Erfc(-x/(spread*math.Sqrt2)) / 2
}

// under returns the chance of an error below x.
func under(x, spread float64) float64 {
	if spread == 0 {
		return step(x > 0)
	}
	return math.Erfc(-x/(spread*math.Sqrt2)) / 2
}

func step(sure bool) float64 {
	if sure {
		return 1
	}
	return 0
}
