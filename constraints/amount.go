package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/unit"
)

// toward lists the values beyond from, on multiples of a step, as far as to: those that
// can be written for a number that moves. from may lie between two of them.
func toward(from, to, step float64) (out []float64) {
	if math.IsInf(from, 0) || math.IsNaN(from) {
		return nil
	}
	up := 1.0
	k := math.Floor(from/step+1e-6) + 1
	if to < from {
		up = -1
		k = math.Ceil(from/step-1e-6) - 1
	}
	for ; up*(k*step-to) <= step*1e-6; k += up {
		out = append(out, math.Round(k*step*1e9)/1e9)
	}
	return out
}

// listed makes an amount of listed values; show prints one, and to is the change to it.
func listed(name string, now float64, values []float64, show func(float64) string, to func(x float64) Change) Amount {
	return Amount{
		Name: name, Steps: len(values),
		To: func(k int) Change { return to(values[k-1]) },
		Value: func(k int) string {
			if k == 0 {
				return show(now)
			}
			return show(values[k-1])
		},
	}
}

// inUnit prints values as people read them.
func inUnit(u Unit) func(float64) string { return func(x float64) string { return Show(x, u) } }

// moved makes the amount of one number that moves from now as far as to; with is the goal
// with another number, say words the change.
func moved(g Requirement, name string, now, to, step float64, show, say func(float64) string, minor float64,
	with func(float64) Requirement) []Amount {
	values := toward(now, to, step)
	if len(values) == 0 {
		return nil
	}
	return []Amount{listed(name, now, values, show, func(x float64) Change { return weaker(g, with(x), minor, "%s", say(x)) })}
}

// ends makes the amounts of a range: its upper end moved up as far as top, its lower end
// moved down as far as bottom. with is the goal with another range.
func ends(g Requirement, name string, now unit.Interval, bottom, top, step float64, u Unit,
	with func(unit.Interval) Requirement, format string) []Amount {
	say := func(r unit.Interval) string { return fmt.Sprintf(format, ShowRange(r, u)) }
	return endsSaid(g, name, now, bottom, top, step, inUnit(u), say, with)
}

// endsSaid is ends with words for a value and for the change.
func endsSaid(g Requirement, name string, now unit.Interval, bottom, top, step float64, show func(float64) string,
	say func(unit.Interval) string, with func(unit.Interval) Requirement) (out []Amount) {
	end := func(which string, at, to float64, r func(x float64) unit.Interval) {
		out = append(out, moved(g, which+" end of "+name, at, to, step, show, func(x float64) string { return say(r(x)) }, 2,
			func(x float64) Requirement { return with(r(x)) })...)
	}
	if top > now.Hi {
		end("upper", now.Hi, top, func(x float64) unit.Interval { return unit.Interval{Lo: now.Lo, Hi: x} })
	}
	if bottom < now.Lo {
		end("lower", now.Lo, bottom, func(x float64) unit.Interval { return unit.Interval{Lo: x, Hi: now.Hi} })
	}
	return out
}

// worded puts values in a unit into a sentence: "let the feet be %s darker".
func worded(format string, u Unit) func(float64) string {
	return func(x float64) string { return fmt.Sprintf(format, Show(x, u)) }
}

// times prints a multiple of the sharpness limit.
func times(x float64) string { return fmt.Sprintf("%v times the limit", x) }

// sharesOf is an interval as a range of shares.
func sharesOf(r unit.Interval) unit.Range[unit.Share] {
	return unit.Range[unit.Share]{Lo: unit.Share(r.Lo), Hi: unit.Share(r.Hi)}
}

// thirds makes an amount of marks a third of a stop apart: n of them, from one on.
func thirds[T ~float64](name string, now T, n int, at func(k int) T, to func(T) Change) Amount {
	return Amount{
		Name: name, Steps: n,
		To: func(k int) Change { return to(at(k)) },
		Value: func(k int) string {
			if k == 0 {
				return fmt.Sprint(now)
			}
			return fmt.Sprint(at(k))
		},
	}
}

// hueAmount is how far a hue may be off, by degrees.
func hueAmount(g Requirement, what string, h hueText, within unit.Angle, with func(unit.Angle) Requirement) []Amount {
	if h == "" {
		return nil
	}
	now := h.tolerance(within)
	return []Amount{listed("tolerance of the "+what+"'s hue", now, toward(now, 90, 1), inUnit(InDegrees), func(x float64) Change {
		return weaker(g, with(unit.Angle(x)*unit.Degree), 1, "let the %s be up to %s from %s", what, Show(x, InDegrees), h)
	})}
}

// turnAmount turns the sitter's head toward the camera, by degrees.
func turnAmount(b *Bench) []Amount {
	now := math.Abs(tidy(b.Brief.Sitter.Turn.Degrees()))
	values := toward(now, 0, 1)
	if now == 0 || len(values) == 0 {
		return nil
	}
	return []Amount{listed("turn of the head", now, values, inUnit(InDegrees), func(x float64) Change {
		to := unit.Angle(x) * unit.Degree
		text := fmt.Sprintf("turn the head %s or less", to)
		if x == 0 {
			text = "turn the head to face the camera"
		}
		return Change{Text: text, Cost: nothing, Minor: 1.2, Apply: turnTo(to)}
	})}
}

// depthStep is how finely the solver looks at distances to the backdrop, in metres.
const depthStep = 0.25

// depthAmount lets the sitter come farther forward from the backdrop.
func depthAmount(b *Bench) []Amount {
	r := b.Depths()
	deepest := float64(b.Studio.Room.Depth)
	values := toward(float64(r.Hi), deepest, depthStep)
	if len(values) == 0 {
		return nil
	}
	return []Amount{listed("distance to the backdrop", float64(r.Hi), values, inUnit(InMetres), func(x float64) Change {
		to := unit.Range[unit.Length]{Lo: r.Lo, Hi: unit.Length(x)}
		return Change{Text: fmt.Sprintf("let the sitter be up to %s from the backdrop", Show(x, InMetres)), Cost: "1 min", Minor: 1.5,
			Apply: func(b *Brief, _ *inventory.Studio) { b.Sitter.Backdrop = to }}
	})}
}

// stopsOf is an interval as a range of levels or tones.
func stopsOf(r unit.Interval) unit.Range[unit.Stops] {
	return unit.Range[unit.Stops]{Lo: unit.Stops(r.Lo), Hi: unit.Stops(r.Hi)}
}
