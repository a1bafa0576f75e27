package unit

import (
	"errors"
	"fmt"
	"strings"
)

// Size is a width and a height, as of a soft box or a sensor: "60 x 90 cm",
// "0.6 x 0.9 m", "107 in x 36 ft". A single length, "90 cm", is a diameter or the side
// of a square: then One is set and W and H are equal. Both are above 0.
type Size struct {
	W, H Length
	One  bool
}

// UnmarshalText reads a size; on error *s stays as it was.
func (s *Size) UnmarshalText(b []byte) error {
	text := strings.ReplaceAll(string(b), "\u00d7", "x")
	if len(text) > 2*longest {
		return errors.New("too long for a size, which is written as in 60 x 90 cm")
	}
	i := strings.IndexAny(text, "xX")
	if i < 0 {
		var l Length
		if err := l.UnmarshalText(b); err != nil {
			return fmt.Errorf("%w, or for a size 60 x 90 cm", err)
		}
		return s.set(text, l, l, true)
	}
	var h Length
	if err := h.UnmarshalText([]byte(text[i+1:])); err != nil {
		return err
	}
	w, err := lengths.parseNear(text[:i], soleUnit(text[i+1:]))
	if err != nil {
		return err
	}
	return s.set(text, Length(w), h, false)
}

func (s *Size) set(text string, w, h Length, one bool) error {
	if !(w > 0 && h > 0) {
		return fmt.Errorf("%s: a size is above 0, as in 60 x 90 cm", quote(text))
	}
	*s = Size{w, h, one}
	return nil
}

// String writes the size for people.
func (s Size) String() string { return s.join(lengths.rounded) }

// MarshalText writes the size exactly.
func (s Size) MarshalText() ([]byte, error) {
	for _, l := range []Length{s.W, s.H} {
		if err := lengths.allow(float64(l)); err != nil {
			return nil, fmt.Errorf("cannot write a size of %v by %v m: %w", float64(s.W), float64(s.H), err)
		}
		if l == 0 {
			return nil, errors.New("cannot write a size of 0")
		}
	}
	return []byte(s.join(func(v float64) float64 { return v })), nil
}

// join uses one unit for both sides, that of the longer.
func (s Size) join(round func(float64) float64) string {
	w, h := round(float64(s.W)), round(float64(s.H))
	if s.One {
		return lengths.text(w)
	}
	m := lengths.measure(max(w, h))
	if m.names[0] == "cm" && (len(decimalText(w, -2)) > 4 || len(decimalText(h, -2)) > 4) {
		m = lengthMeasures[2]
	}
	return lengths.bareText(w, m) + " x " + lengths.write(h, m)
}

// Area returns W x H, the area of a rectangle.
func (s Size) Area() Area { return Area(s.W) * Area(s.H) }
