package constraints

import (
	"strings"

	"falloff/model/unit"
)

// rise is a length above something, negative below it: "-10 cm".
type rise float64

func (r rise) String() string {
	switch {
	case r < 0:
		return "-" + unit.Length(-r).String()
	case r > 0:
		return "+" + unit.Length(r).String()
	}
	return unit.Length(0).String()
}

func (r rise) MarshalText() ([]byte, error) {
	text := exact(unit.Length(max(r, -r)))
	if r < 0 {
		text = "-" + text
	}
	return []byte(text), nil
}

func (r *rise) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(strings.ReplaceAll(string(b), "\u2212", "-"))
	sign := 1.0
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		sign, text = -1, rest
	}
	l, err := unit.Parse[unit.Length](strings.TrimPrefix(text, "+"))
	*r = rise(sign * float64(l))
	return err
}
