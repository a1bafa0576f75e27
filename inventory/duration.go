package inventory

import (
	"math"

	"falloff/model/light"
	"falloff/model/unit"
)

// curtains is the share of the sync time that a focal-plane shutter's curtains take to
// cross the frame, where the studio does not say (from memory).
const curtains = 2. / 3

// HalfPeak is how long the flash is above half its peak at a power, in stops from full; ok
// is false where the studio file gives no duration. An exponential flash has t0.5 =
// t0.1 ln 2 / ln 10. Turned down, a head that lowers its voltage burns longer, to about
// twice in five stops; one that cuts the flash off is shorter in proportion (common
// practice, no source).
func (f *Flash) HalfPeak(power unit.Stops) (t05 unit.Time, ok bool) {
	switch {
	case f.T05 > 0:
		t05 = f.T05
	case f.T01 > 0:
		t05 = f.T01 * math.Ln2 / math.Ln10
	default:
		return 0, false
	}
	return t05 * f.lengthens(power), true
}

// lengthens is how many times as long a flash lasts at a power as at full.
func (f *Flash) lengthens(power unit.Stops) unit.Time {
	if f.Cutoff {
		return unit.Time(math.Exp2(float64(power)))
	}
	return unit.Time(math.Exp2(-float64(power) / 5))
}

// Window is how long the whole frame is open at a shutter time: the time less the travel
// of the curtains; never below 0.
func (c *Camera) Window(shutter unit.Shutter) unit.Time {
	travel := c.Travel
	if travel == 0 && !c.Wrote("travel") {
		travel = unit.Time(c.Sync.True() * curtains)
	}
	return max(0, unit.Time(shutter.True())-travel)
}

// Caught is the share 0..1 of a flash that falls into the window of a shutter; 1 where no
// duration is known. A head that is cut off delivers all that it has within t0.5 of its
// start; the flash is held to begin as the frame is fully open.
func (f *Flash) Caught(window unit.Time, power unit.Stops) float64 {
	t05, ok := f.HalfPeak(power)
	switch {
	case !ok:
		return 1
	case f.Cutoff:
		return min(1, float64(window/t05))
	}
	return light.FlashShare(float64(window), float64(t05))
}
