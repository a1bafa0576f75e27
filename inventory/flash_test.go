package inventory

import (
	"math"
	"testing"

	"falloff/model/unit"
)

// By hand: t0.1 of an exponential flash is 3.32 t0.5; half the energy is ready in half the time.
// That a head turned down by its voltage lasts twice as long in five stops is common practice,
// no source.
func TestFlashTimes(t *testing.T) {
	slow := Flash{T05: 1. / 1500, Range: 5, Recycle: 1.2}
	quick := Flash{T01: 1. / 400, Range: 8, Cutoff: true}
	for _, c := range []struct {
		what      string
		got, want unit.Time
	}{
		{"t0.1 from t0.5", slow.Duration(0), 3.32193 / 1500},
		{"turned down by voltage", slow.Duration(-5), 2 * 3.32193 / 1500},
		{"cut off three stops down", quick.Duration(-3), 1. / 3200},
		{"shortest of one that is cut off", quick.Shortest(), 1. / 102400},
		{"shortest by voltage", slow.Shortest(), 3.32193 / 1500},
		{"ready a stop down", slow.Ready(-1), 0.6},
		{"nothing known", (&Flash{}).Duration(0), 1. / 300},
	} {
		if math.Abs(float64(c.got/c.want)-1) > 1e-4 {
			t.Errorf("%s: %v, want %v", c.what, float64(c.got), float64(c.want))
		}
	}
}
