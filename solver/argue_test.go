package solver

import "testing"

// A level that misses a limit by little is not printed as the limit itself.
func TestLevelsAreToldApart(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x, y    float64
		is, lim string
	}{{-0.42, 0.3, "-0.4", "+0.3"}, {-0.32, -0.3, "-0.32", "-0.30"}, {1.2996, 1.3, "+1.300", "+1.300"}, {-0.301, -0.3, "-0.301", "-0.300"}} {
		if is, lim := toldApart(c.x, c.y); is != c.is || lim != c.lim {
			t.Errorf("%v and %v are told as %s and %s, not %s and %s", c.x, c.y, is, lim, c.is, c.lim)
		}
	}
}
