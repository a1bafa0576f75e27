package inventory

import (
	"math"

	"falloff/model/unit"
)

// usualT01 is t0.1 at full power of a head that gives no duration: 1/200 to 1/900 s, from
// memory.
const usualT01 unit.Time = 1.0 / 300

// Duration is t0.1 at a power in stops from full; see HalfPeak for how it changes.
func (f *Flash) Duration(power unit.Stops) unit.Time {
	full := f.T01
	if full == 0 {
		full = f.T05 * math.Ln10 / math.Ln2 // of an exponential decay
	}
	if full == 0 {
		full = usualT01
	}
	return full * f.lengthens(power)
}

// Shortest is the least t0.1 at any power of the dial.
func (f *Flash) Shortest() unit.Time { return min(f.Duration(0), f.Duration(-f.Range)) }

// Ready is the time until a flash is full again at a power: that at full, in proportion to
// the energy that was given off (common practice, no source).
func (f *Flash) Ready(power unit.Stops) unit.Time {
	full := f.Recycle
	if full == 0 {
		full = usualRecycle
	}
	return full * unit.Time(math.Exp2(float64(power)))
}
