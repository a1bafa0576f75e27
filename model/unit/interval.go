package unit

import "math"

// Interval is a closed interval of reals, the carrier of every bound in falloff.
// Each operation rounds outward by one unit in the last place, so that the result
// holds every value that the operation can take on members of its operands
// (R. E. Moore, Interval Analysis, 1966). Lo <= Hi, or the interval is empty.
type Interval struct{ Lo, Hi float64 }

// Whole holds every real: nothing is known.
var Whole = Interval{math.Inf(-1), math.Inf(1)}

// Empty holds nothing.
var Empty = Interval{math.Inf(1), math.Inf(-1)}

// Point is the interval that holds x alone.
func Point(x float64) Interval { return Interval{x, x} }

// Of is the smallest interval that holds all of xs.
func Of(xs ...float64) Interval {
	iv := Empty
	for _, x := range xs {
		iv.Lo, iv.Hi = min(iv.Lo, x), max(iv.Hi, x)
	}
	return iv
}

func (a Interval) IsEmpty() bool            { return !(a.Lo <= a.Hi) }
func (a Interval) IsPoint() bool            { return a.Lo == a.Hi }
func (a Interval) Width() float64           { return a.Hi - a.Lo }
func (a Interval) Contains(x float64) bool  { return a.Lo <= x && x <= a.Hi }
func (a Interval) Holds(b Interval) bool    { return a.Lo <= b.Lo && b.Hi <= a.Hi }
func (a Interval) Meets(b Interval) bool    { return a.Lo <= b.Hi && b.Lo <= a.Hi }
func (a Interval) And(b Interval) Interval  { return Interval{max(a.Lo, b.Lo), min(a.Hi, b.Hi)} }
func (a Interval) Hull(b Interval) Interval { return Interval{min(a.Lo, b.Lo), max(a.Hi, b.Hi)} }
func (a Interval) Neg() Interval            { return Interval{-a.Hi, -a.Lo} }

// Mid is a finite member in the middle of a; of a half-line, its end; of Whole, 0.
func (a Interval) Mid() float64 {
	switch {
	case math.IsInf(a.Lo, -1) && math.IsInf(a.Hi, 1):
		return 0
	case math.IsInf(a.Lo, 0):
		return a.Hi
	case math.IsInf(a.Hi, 0):
		return a.Lo
	}
	return a.Lo/2 + a.Hi/2
}

func (a Interval) Abs() Interval {
	switch {
	case a.Lo >= 0:
		return a
	case a.Hi <= 0:
		return a.Neg()
	}
	return Interval{0, max(-a.Lo, a.Hi)}
}

// Out widens a by one unit in the last place at each end.
func (a Interval) Out() Interval { return Interval{down(a.Lo), up(a.Hi)} }

// Points stay points where the arithmetic is exact enough to be read back: an exact
// set-up has no doubt of its own, and its margins must not depend on rounding modes.
func out(a, b Interval, lo, hi float64) Interval {
	if a.IsPoint() && b.IsPoint() {
		return Interval{lo, lo}
	}
	return Interval{down(lo), up(hi)}
}

// outAbove is out for a result that cannot be negative: a square root or a quotient must
// not meet a lower bound of -5e-324.
func outAbove(a, b Interval, lo, hi float64) Interval {
	r := out(a, b, lo, hi)
	r.Lo = max(0, r.Lo)
	return r
}

func (a Interval) Add(b Interval) Interval {
	if a.Lo >= 0 && b.Lo >= 0 {
		return outAbove(a, b, a.Lo+b.Lo, a.Hi+b.Hi)
	}
	return out(a, b, a.Lo+b.Lo, a.Hi+b.Hi)
}

func (a Interval) Sub(b Interval) Interval { return out(a, b, a.Lo-b.Hi, a.Hi-b.Lo) }

func (a Interval) Mul(b Interval) Interval {
	if a.IsEmpty() || b.IsEmpty() {
		return Empty
	}
	if a.Lo >= 0 && b.Lo >= 0 {
		return outAbove(a, b, mul(a.Lo, b.Lo), mul(a.Hi, b.Hi))
	}
	p, q, r, s := mul(a.Lo, b.Lo), mul(a.Lo, b.Hi), mul(a.Hi, b.Lo), mul(a.Hi, b.Hi)
	return out(a, b, min(p, q, r, s), max(p, q, r, s))
}

// Scale multiplies by a constant.
func (a Interval) Scale(k float64) Interval { return a.Mul(Point(k)) }

// Div divides; where b holds 0 the result is Whole, save that a non-negative a over a
// non-negative b keeps its lower bound.
func (a Interval) Div(b Interval) Interval {
	if a.IsEmpty() || b.IsEmpty() {
		return Empty
	}
	if a.Lo >= 0 && b.Lo > 0 {
		return outAbove(a, b, div(a.Lo, b.Hi), div(a.Hi, b.Lo))
	}
	if b.Lo > 0 || b.Hi < 0 {
		p, q, r, s := div(a.Lo, b.Lo), div(a.Lo, b.Hi), div(a.Hi, b.Lo), div(a.Hi, b.Hi)
		return out(a, b, min(p, q, r, s), max(p, q, r, s))
	}
	if a.Lo >= 0 && b.Lo >= 0 && b.Hi > 0 {
		return Interval{max(0, down(div(a.Lo, b.Hi))), math.Inf(1)}
	}
	return Whole
}

// Sqrt of the non-negative part.
func (a Interval) Sqrt() Interval {
	return outAbove(a, a, math.Sqrt(max(0, a.Lo)), math.Sqrt(max(0, a.Hi)))
}

func (a Interval) Sqr() Interval {
	b := a.Abs()
	return outAbove(a, a, b.Lo*b.Lo, b.Hi*b.Hi)
}

// Log2 of the non-negative part; log2 of 0 is -Inf.
func (a Interval) Log2() Interval {
	lo, hi := math.Log2(max(0, a.Lo)), math.Log2(max(0, a.Hi))
	if a.IsPoint() {
		return Interval{lo, lo}
	}
	return Interval{down2(lo - log2Error), up2(hi + log2Error)}
}

// The Go maths library splits log2 x into an exponent and the log2 of a fraction of 0.5
// to 1. Just above x = 1 the two nearly cancel, and the error is that of the fraction's
// log2, up to an ulp of 1, whatever is left. Four of those are added beside the ulps.
const log2Error = 0x1p-50

func (a Interval) Exp2() Interval {
	lo, hi := math.Exp2(a.Lo), math.Exp2(a.Hi)
	if a.IsPoint() {
		return Interval{lo, lo}
	}
	return Interval{max(0, down2(lo)), up2(hi)}
}

// Max and Min hold the larger and the smaller of a member of each.
func (a Interval) Max(b Interval) Interval { return Interval{max(a.Lo, b.Lo), max(a.Hi, b.Hi)} }
func (a Interval) Min(b Interval) Interval { return Interval{min(a.Lo, b.Lo), min(a.Hi, b.Hi)} }

func up(x float64) float64   { return math.Nextafter(x, math.Inf(1)) }
func down(x float64) float64 { return math.Nextafter(x, math.Inf(-1)) }

// The Go maths library's exp2 is within one unit in the last place on the platforms it
// supports, and so is log2 but for log2Error; four steps leave room for a platform that is not.
func up2(x float64) float64   { return up(up(up(up(x)))) }
func down2(x float64) float64 { return down(down(down(down(x)))) }

// 0 x infinity is 0 here: an absent light of unbounded power gives nothing.
func mul(x, y float64) float64 {
	if x == 0 || y == 0 {
		return 0
	}
	return x * y
}

// Infinity over infinity stands for a limit between 0 and infinity; the other corners of
// the quotient hold the infinite end, so 0 is the outward choice.
func div(x, y float64) float64 {
	if math.IsInf(x, 0) && math.IsInf(y, 0) {
		return 0
	}
	return x / y
}
