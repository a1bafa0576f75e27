package unit

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Range is a closed range of one quantity; Lo or Hi may be infinite ("at most").
// Written "-1..+0.5 stops", "0.2 m..0.35 m", "f/5.6..f/8", "at most 4 stops",
// "at least 30 deg", "20 deg" (both ends the same) or "any". Shutter speeds compare by
// duration, so 1/250 s comes before 1/60 s and "at most 1/125 s" is 1/125 s or faster.
type Range[T ~float64] struct{ Lo, Hi T }

func (r Range[T]) Contains(x T) bool  { return r.Lo <= x && x <= r.Hi }
func (r Range[T]) Interval() Interval { return Interval{float64(r.Lo), float64(r.Hi)} }

// Exactly is the range that holds x alone.
func Exactly[T ~float64](x T) Range[T] { return Range[T]{x, x} }

// AtMost is the range of everything up to x.
func AtMost[T ~float64](x T) Range[T] { return Range[T]{T(math.Inf(-1)), x} }

// AtLeast is the range of everything from x.
func AtLeast[T ~float64](x T) Range[T] { return Range[T]{x, T(math.Inf(1))} }

var plain = quantity{name: "a number", example: "2", lo: -1e15, hi: 1e15, bare: true, decimals: -4}

// quantityOf finds how a T is written. A type of another package that reads its own
// text is served by that; anything else is a plain number.
func quantityOf[T ~float64]() (q *quantity, own bool) {
	var t T
	if m, ok := any(t).(interface{ quantity() *quantity }); ok {
		return m.quantity(), false
	}
	_, own = any(&t).(encoding.TextUnmarshaler)
	return &plain, own
}

func parseEnd[T ~float64](text, neighbour string) (T, error) {
	q, own := quantityOf[T]()
	if own {
		var t T
		err := any(&t).(encoding.TextUnmarshaler).UnmarshalText([]byte(text))
		return t, err
	}
	v, err := q.parseNear(text, neighbour)
	return T(v), err
}

// UnmarshalText reads a range; on error *r stays as it was.
func (r *Range[T]) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(string(b))
	if len(text) > 2*longest {
		return errors.New("too long for a range, which is written as in 1..2 with a unit")
	}
	if strings.EqualFold(text, "any") {
		*r = Range[T]{T(math.Inf(-1)), T(math.Inf(1))}
		return nil
	}
	for _, w := range []struct {
		word string
		make func(T) Range[T]
	}{
		{"at most", AtMost[T]}, {"up to", AtMost[T]}, {"<=", AtMost[T]}, {"\u2264", AtMost[T]},
		{"at least", AtLeast[T]}, {">=", AtLeast[T]}, {"\u2265", AtLeast[T]},
	} {
		if len(text) < len(w.word) || !strings.EqualFold(text[:len(w.word)], w.word) {
			continue
		}
		x, err := parseEnd[T](text[len(w.word):], "")
		if err != nil {
			return err
		}
		*r = w.make(x)
		return nil
	}
	lo, hi, two := strings.Cut(text, "..")
	if !two {
		x, err := parseEnd[T](text, "")
		if err != nil {
			return err
		}
		*r = Exactly(x)
		return nil
	}
	return r.unmarshalEnds(text, lo, hi)
}

func (r *Range[T]) unmarshalEnds(text, lo, hi string) error {
	q, own := quantityOf[T]()
	if strings.HasPrefix(hi, ".") || strings.Contains(hi, "..") {
		return fmt.Errorf("%s: a range has two ends and two points between them, as in 1..2", quote(text))
	}
	if strings.TrimSpace(lo) == "" || strings.TrimSpace(hi) == "" {
		return fmt.Errorf("%s: a range needs both ends; for one, write at least or at most, as in at most %s", quote(text), firstExample(q))
	}
	if q.needPrefix && !own { // "f/5.6..8"
		if _, err := q.cutPrefix(strings.TrimSpace(hi)); err != nil {
			hi = q.prefix + strings.TrimSpace(hi)
		}
	}
	b, err := parseEnd[T](hi, "")
	if err != nil {
		return err
	}
	neighbour := ""
	if !own {
		neighbour = soleUnit(hi)
	}
	a, err := parseEnd[T](lo, neighbour)
	if err != nil {
		return err
	}
	if a > b {
		return fmt.Errorf("%s is turned round; write %s", quote(text), Range[T]{b, a}.join(endText[T]))
	}
	*r = Range[T]{a, b}
	return nil
}

func firstExample(q *quantity) string {
	first, _, _ := strings.Cut(q.example, " or ")
	first, _, _ = strings.Cut(first, ",")
	return first
}

// soleUnit is the unit of a text of one number and one unit, and nothing otherwise:
// "1..4 ft 6 in" does not say what the 1 is.
func soleUnit(text string) string {
	_, rest, ok := scanNumber(strings.TrimSpace(text))
	if !ok {
		return ""
	}
	name, rest := scanName(strings.TrimSpace(rest))
	if strings.TrimSpace(rest) != "" {
		return ""
	}
	return name
}

// String writes the range for people, its ends as the type's String does.
func (r Range[T]) String() string { return r.join(endString[T]) }

// MarshalText writes the range exactly; a turned or unknown one is an error.
func (r Range[T]) MarshalText() ([]byte, error) {
	if !(r.Lo <= r.Hi) {
		return nil, fmt.Errorf("cannot write a range from %v to %v", float64(r.Lo), float64(r.Hi))
	}
	q, own := quantityOf[T]()
	for _, end := range []T{r.Lo, r.Hi} {
		if v := float64(end); !own && !math.IsInf(v, 0) {
			if err := q.allow(v); err != nil {
				return nil, fmt.Errorf("cannot write %v: %w", v, err)
			}
		}
	}
	if math.IsInf(float64(r.Lo), 1) || math.IsInf(float64(r.Hi), -1) {
		return nil, errors.New("cannot write a range without members")
	}
	return []byte(r.join(endText[T])), nil
}

func endText[T ~float64](x T) string {
	q, own := quantityOf[T]()
	if m, ok := any(x).(encoding.TextMarshaler); own && ok {
		if b, err := m.MarshalText(); err == nil {
			return string(b)
		}
		return strconv.FormatFloat(float64(x), 'g', -1, 64)
	}
	return q.text(float64(x))
}

func endString[T ~float64](x T) string {
	if s, ok := any(x).(fmt.Stringer); ok {
		return s.String()
	}
	return endText(x)
}

func (r Range[T]) join(text func(T) string) string {
	below, above := math.IsInf(float64(r.Lo), -1), math.IsInf(float64(r.Hi), 1)
	switch {
	case below && above:
		return "any"
	case below:
		return "at most " + text(r.Hi)
	case above:
		return "at least " + text(r.Lo)
	case r.Lo == r.Hi:
		return text(r.Lo)
	}
	lo, hi := text(r.Lo), text(r.Hi)
	if strings.HasPrefix(lo, isos.prefix) && strings.HasPrefix(hi, isos.prefix) {
		return lo + ".." + strings.TrimPrefix(hi, isos.prefix)
	}
	if _, own := quantityOf[T](); own {
		return lo + ".." + hi
	}
	return dropUnit(lo, &hi) + ".." + hi
}

// dropUnit leaves out the unit of the lower end where the upper has the same.
func dropUnit(lo string, hi *string) string {
	value, unit, ok := strings.Cut(lo, " ")
	_, other, _ := strings.Cut(*hi, " ")
	if !ok || strings.ContainsAny(unit, " ") || strings.ContainsAny(other, " ") {
		return lo
	}
	isStop := func(s string) bool { return s == "stop" || s == "stops" }
	switch {
	case isStop(unit) && isStop(other):
		*hi = strings.TrimSuffix(*hi, other) + "stops"
		return value
	case unit == other:
		return value
	}
	return lo
}
