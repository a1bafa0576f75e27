package inventory

import (
	"math"

	"falloff/model/unit"
)

// The two ways in which a head shows its power.
const (
	DialFraction = "fraction"
	DialPercent  = "percent"
)

// Powers is the number of settings of a head's dial, full power included, and the step
// between them; the settings are 0, -step, -2 step and so on. A lamp that does not dim has
// one. n is 0 where the head has no such light.
func (h *Head) Powers(useLamp bool) (n int, step unit.Stops) {
	reach, step, ok := h.dial(useLamp)
	switch {
	case !ok:
		return 0, 0
	case reach <= 0 || step <= 0:
		return 1, 0
	}
	// A range written as a whole number of steps must not lose one to rounding.
	return int(math.Floor(float64(reach/step)+1e-9)) + 1, step
}

func (h *Head) dial(useLamp bool) (reach, step unit.Stops, ok bool) {
	switch {
	case useLamp && h.Lamp != nil:
		return h.Lamp.Range, h.Lamp.Step, true
	case !useLamp && h.Flash != nil:
		return h.Flash.Range, h.Flash.Step, true
	}
	return 0, 0, false
}

// Setting is the i-th power of the dial, from full down: 0, -step ...
func (h *Head) Setting(useLamp bool, i int) unit.Stops {
	_, step := h.Powers(useLamp)
	return -step * unit.Stops(i)
}

// Dialled writes a power, in stops from full, as the head shows it: "1/4 +0.3" or "21 %".
func (h *Head) Dialled(power unit.Stops) string {
	if h.Dial == DialPercent {
		return unit.DialPercent(power)
	}
	return unit.DialFraction(power)
}

// What a charger draws is reckoned at this efficiency, and for a head whose recycling time
// is not known at this time. Common practice, no source.
const (
	chargerEfficiency           = 0.75
	usualRecycle      unit.Time = 1.5
)

// Amps is the current that a head can draw at a voltage: the nameplate current of the
// flash, or what refilling its energy takes, and the lamp with it. A head without a cable
// runs on its battery and draws nothing.
func (h *Head) Amps(volts float64) float64 {
	if h.Cable == 0 || volts <= 0 {
		return 0
	}
	amps := 0.0
	if h.Lamp != nil {
		amps += float64(h.Lamp.Watts) / volts
	}
	if f := h.Flash; f != nil && f.Amps > 0 {
		return amps + f.Amps
	} else if f != nil {
		refill := usualRecycle
		if f.Recycle > 0 {
			refill = f.Recycle
		}
		amps += float64(f.Energy) / float64(refill) / chargerEfficiency / volts
	}
	return amps
}

// LampAmps is the current of the lamp alone.
func (h *Head) LampAmps(volts float64) float64 {
	if h.Cable == 0 || h.Lamp == nil || volts <= 0 {
		return 0
	}
	return float64(h.Lamp.Watts) / volts
}
