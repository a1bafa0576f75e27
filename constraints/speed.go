package constraints

import (
	"fmt"
	"strconv"
	"strings"
)

// speed is metres a second, written "1.5 m/s" or "5 km/h".
type speed float64

func (s speed) String() string {
	return strconv.FormatFloat(tidy(float64(s)), 'f', -1, 64) + " m/s"
}

func (s speed) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

func (s *speed) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(string(b))
	number, per, over := text, "m/s", 1.0
	if head, ok := strings.CutSuffix(text, "km/h"); ok {
		number, per, over = head, "km/h", 3.6
	} else if head, ok := strings.CutSuffix(text, "m/s"); ok {
		number = head
	} else {
		return fmt.Errorf("%q is not a speed; write one as in 1.5 m/s or 5 km/h", cut(text))
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil {
		return fmt.Errorf("%q is not a speed; write one as in 1.5 %s", cut(text), per)
	}
	if x /= over; !(x > 0 && x <= 50) {
		return fmt.Errorf("%q: a speed is above 0 and at most 50 m/s", cut(text))
	}
	*s = speed(x)
	return nil
}
