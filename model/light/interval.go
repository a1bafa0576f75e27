package light

import "math"

// iv is a bare interval for inner loops. It does not round outward: the bounds that are
// made of it are widened once, at the end, by far more than its rounding (see slack).
type iv struct{ lo, hi float64 }

func (a iv) add(b iv) iv { return iv{a.lo + b.lo, a.hi + b.hi} }
func (a iv) sub(b iv) iv { return iv{a.lo - b.hi, a.hi - b.lo} }
func (a iv) mul(b iv) iv {
	p, q, r, s := a.lo*b.lo, a.lo*b.hi, a.hi*b.lo, a.hi*b.hi
	return iv{min(p, q, r, s), max(p, q, r, s)}
}
func (a iv) scale(k float64) iv {
	if k < 0 {
		return iv{k * a.hi, k * a.lo}
	}
	return iv{k * a.lo, k * a.hi}
}
func (a iv) hull(b iv) iv       { return iv{min(a.lo, b.lo), max(a.hi, b.hi)} }
func (a iv) pad(d float64) iv   { return iv{a.lo - d, a.hi + d} }
func (a iv) magnitude() float64 { return max(-a.lo, a.hi) }
func (a iv) abs() iv {
	switch {
	case a.lo >= 0:
		return a
	case a.hi <= 0:
		return iv{-a.hi, -a.lo}
	}
	return iv{0, max(-a.lo, a.hi)}
}
func (a iv) sqr() iv {
	b := a.abs()
	return iv{b.lo * b.lo, b.hi * b.hi}
}
func (a iv) ball() ball { return ball{(a.lo + a.hi) / 2, (a.hi - a.lo) / 2} }

// ball is an interval as centre and radius: cheaper to multiply, a little wider.
type ball struct{ c, r float64 }

func (a ball) add(b ball) ball { return ball{a.c + b.c, a.r + b.r} }
func (a ball) sub(b ball) ball { return ball{a.c - b.c, a.r + b.r} }
func (a ball) mul(b ball) ball {
	return ball{a.c * b.c, math.Abs(a.c)*b.r + a.r*(math.Abs(b.c)+b.r)}
}
func (a ball) scale(k float64) ball { return ball{a.c * k, a.r * math.Abs(k)} }
func (a ball) neg() ball            { return ball{-a.c, a.r} }
func (a ball) iv() iv               { return iv{a.c - a.r, a.c + a.r} }

// weigh multiplies by a non-negative a; the sign of b, where it has one, is kept.
func (a iv) weigh(b ball) iv {
	lo, hi := b.c-b.r, b.c+b.r
	if lo < 0 {
		lo *= a.hi
	} else {
		lo *= a.lo
	}
	if hi < 0 {
		hi *= a.lo
	} else {
		hi *= a.hi
	}
	return iv{lo, hi}
}
