package inventory

import (
	"math"
	"testing"

	"falloff/model/unit"
)

func TestCaught(t *testing.T) {
	for _, c := range []struct {
		what   string
		flash  Flash
		power  unit.Stops
		window unit.Time
		want   float64
	}{
		// t0.5 1/500 s, 3 ms -> 0.646447: half-lives of an exponential, by hand 1 - 2^-1.5.
		{"half-lives", Flash{T05: 1. / 500}, 0, 0.003, 0.646447},
		// t0.1 holds nine tenths of an exponential that starts at its peak, by its definition.
		{"tenth peak", Flash{T01: 1. / 300}, 0, 1. / 300, 0.9},
		{"longer when turned down", Flash{T05: 1. / 1000}, -5, 0.002, 0.5},
		{"cut off", Flash{T05: 1. / 1000, Cutoff: true}, -3, 1. / 1000, 1},
		{"cut off, too long", Flash{T05: 1. / 100, Cutoff: true}, 0, 1. / 200, 0.5},
		{"nothing known", Flash{}, 0, 0.001, 1},
	} {
		if got := c.flash.Caught(c.window, c.power); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: %.6f, want %.6f", c.what, got, c.want)
		}
	}
}

func TestWindow(t *testing.T) {
	focal := Camera{Sync: 1. / 160}
	// True 1/160 is 1/161.27 s (ISO 516 series); a third of it is left at sync.
	if got, want := float64(focal.Window(1./160)), 1/161.27/3; math.Abs(got-want) > 1e-6 {
		t.Errorf("at sync %.6f s are open, want %.6f", got, want)
	}
	if got := focal.Window(1. / 1000); got != 0 {
		t.Errorf("faster than sync %.6f s are open", float64(got))
	}
}
