package constraints

import (
	"fmt"
	"math"

	"falloff/model/unit"
)

// loosened offers a range with both ends moved out by each of some steps, mildest first:
// "let the focal length be 60 to 160 mm".
func loosened[T ~float64](g Requirement, what string, want unit.Range[T], u Unit, with func(unit.Range[T]) Requirement, steps ...T) []Change {
	var out []Change
	for i, d := range steps {
		to := widen(want, d)
		out = append(out, weaker(g, with(to), 1+1.5*float64(i), "let %s be %s", what, ShowRange(scaled(to, u), u)))
	}
	return out
}

// scaled turns a range as written into the numbers of a reading.
func scaled[T ~float64](r unit.Range[T], u Unit) unit.Interval {
	switch v := any(r).(type) {
	case unit.Range[unit.Angle]:
		return degrees(v)
	case unit.Range[unit.Length]:
		if u == InMM {
			return unit.Interval{Lo: tidy(float64(v.Lo) * 1000), Hi: tidy(float64(v.Hi) * 1000)}
		}
	}
	return r.Interval()
}

// loosedBy is loosened with a factor: ends above 0 are divided or multiplied.
func loosedBy[T ~float64](g Requirement, what string, want unit.Range[T], u Unit, with func(unit.Range[T]) Requirement, factors ...float64) []Change {
	var out []Change
	for i, f := range factors {
		to := unit.Range[T]{Lo: T(figures(float64(want.Lo) / f)), Hi: T(figures(float64(want.Hi) * f))}
		out = append(out, weaker(g, with(to), 1+1.5*float64(i), "let %s be %s", what, ShowRange(scaled(to, u), u)))
	}
	return out
}

// figures rounds to three significant figures; infinities stay.
func figures(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-2)
	return tidy(math.Round(x/step) * step)
}

// inside checks that what was written lies inside sensible limits.
func inside[T ~float64](what string, want unit.Range[T], lo, hi T) error {
	if want.Hi < lo || want.Lo > hi {
		return fmt.Errorf("%s lies between %v and %v", what, lo, hi)
	}
	return valid(what, want.Interval())
}
