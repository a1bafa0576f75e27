package inventory

import (
	"testing"

	"falloff/model/unit"
)

// Sixteen inches are told in what a report turns back into inches.
func TestNearestFocusIsToldByTape(t *testing.T) {
	t.Parallel()
	for x, want := range map[unit.Length]string{16 * unit.Inch: "40.6 cm", 0.85: "85 cm", 0.155: "15.5 cm", 1.2: "1.2 m"} {
		if got := byTape(x); got != want {
			t.Errorf("%v is told as %q, not %q", float64(x), got, want)
		}
	}
}
