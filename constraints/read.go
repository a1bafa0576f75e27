package constraints

import (
	"encoding"
	"fmt"
	"math"

	"falloff/model/source"
	"falloff/model/unit"
)

// How the values of goals are written: a word or a value, a range, or a mapping.

// word returns the text of a single value.
func word(n source.Node) (string, bool) { return n.Text(), n.Kind() == source.Scalar }

// yes reports whether a goal stands by its name alone: "- low-key", "low-key: true".
func yes(n source.Node) bool {
	switch n.Kind() {
	case source.Absent, source.Null:
		return true
	case source.Scalar:
		return normal(n.Text()) == "true" || normal(n.Text()) == "yes"
	case source.Mapping:
		return len(n.Pairs()) == 0
	}
	return false
}

// limits is a range that is written as a mapping of its ends.
type limits[T ~float64] struct {
	source.Places
	AtLeast T `yaml:"at least,omitempty"`
	AtMost  T `yaml:"at most,omitempty"`
}

// bounds is the range; an end that was not written is infinite.
func (l limits[T]) bounds() unit.Range[T] {
	r := unit.Range[T]{Lo: T(math.Inf(-1)), Hi: T(math.Inf(1))}
	if l.Wrote("at least") {
		r.Lo = l.AtLeast
	}
	if l.Wrote("at most") {
		r.Hi = l.AtMost
	}
	return r
}

// readRange reads "2..3 stops", "at least 3:1", "ISO 100", or {at least: .., at most: ..}.
func readRange[T ~float64](n source.Node) (unit.Range[T], error) {
	if n.Kind() != source.Mapping {
		var r unit.Range[T]
		err := n.Decode(&r)
		return r, err
	}
	var l limits[T]
	if err := n.Decode(&l); err != nil {
		return unit.Range[T]{}, err
	}
	r := l.bounds()
	switch {
	case r.Interval() == unit.Whole:
		return r, n.Errorf("say at least, at most or both")
	case r.Lo > r.Hi:
		return r, n.Errorf("at least is above at most")
	}
	return r, nil
}

// rangeText writes a range as a brief does: "-1..+0.5 stops", "at most 4".
func rangeText[T ~float64](r unit.Range[T]) string {
	b, err := r.MarshalText()
	if err != nil {
		return r.String()
	}
	return string(b)
}

// limitText writes a range as a mapping where only one end is given.
func limitText[T ~float64](r unit.Range[T]) string {
	below, above := math.IsInf(float64(r.Lo), -1), math.IsInf(float64(r.Hi), 1)
	switch {
	case below && !above:
		return "{at most: " + exact(r.Hi) + "}"
	case above && !below:
		return "{at least: " + exact(r.Lo) + "}"
	}
	return rangeText(r)
}

// exact writes one value so that it reads back the same.
func exact[T ~float64](x T) string {
	if m, ok := any(x).(encoding.TextMarshaler); ok {
		if b, err := m.MarshalText(); err == nil {
			return string(b)
		}
	}
	if _, ok := any(x).(fmt.Stringer); ok {
		return fmt.Sprint(x)
	}
	return rangeText(unit.Exactly(x))
}

// widen moves both ends of a range out by d; an end at infinity stays.
func widen[T ~float64](r unit.Range[T], d T) unit.Range[T] {
	return unit.Range[T]{Lo: T(tidy(float64(r.Lo - d))), Hi: T(tidy(float64(r.Hi + d)))}
}
