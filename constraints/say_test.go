package constraints

import (
	"math"
	"testing"

	"falloff/model/unit"
)

// A limit is printed as it was written; one that was computed, as it is usually read.
func TestALimitIsPrintedAsItWasWritten(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		x    float64
		u    Unit
		want string
	}{
		{0.05, InStep, "0.05 stops"}, {0.1, InStep, "0.1 stops"}, {-0.25, InStops, "-0.25 stops"}, {12.5, InDegrees, "12.5 deg"},
		{0.925, InShare, "92.5 %"}, {0.9, InShare, "90 %"}, {1.255, InMetres, "1.255 m"}, {0.03, InMetres, "3 cm"}, {math.Log2(3), InStops, "+1.6 stops"},
		{17.5, InMired, "17.5 mired"}, {1. / 125, InSeconds, "1/125 s"}, {2.75, InDiscs, "2.75 x"},
	} {
		if got := Asked(c.x, c.u); got != c.want {
			t.Errorf("%v in %s is printed %q, not %q", c.x, c.u, got, c.want)
		}
	}
}

// A number that misses what was wanted by little does not read as if it met it, and one that
// meets it does not read as if it missed.
func TestANumberReadsOnItsSideOfTheLimit(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	for _, c := range []struct {
		p    Part
		want string
	}{
		{Part{Got: unit.Point(29.6), Want: unit.Interval{Lo: 30, Hi: inf}, Unit: InDegrees}, "29.6 deg (wanted at least 30 deg, misses by 0.4 deg)"},
		{Part{Got: unit.Point(33.6), Want: unit.Interval{Lo: 30, Hi: inf}, Unit: InDegrees}, "34 deg (wanted at least 30 deg)"},
		{Part{Got: unit.Point(12.46), Want: unit.Interval{Lo: -inf, Hi: 12.5}, Unit: InDegrees}, "12.5 deg (wanted at most 12.5 deg)"},
		{Part{Got: unit.Point(0.96), Want: unit.Interval{Lo: -inf, Hi: 0.95}, Unit: InStep}, "0.96 stops (wanted at most 0.95 stops, misses by 0.01 stops)"},
		{Part{Got: unit.Point(0.897), Want: unit.Interval{Lo: 0.9, Hi: inf}, Unit: InShare}, "89.7 % (wanted at least 90 %, misses by 0.3 %)"},
	} {
		if got := sayPart(c.p); got != c.want {
			t.Errorf("%v in %v reads %q, not %q", c.p.Got, c.p.Want, got, c.want)
		}
	}
}

// An amount that is offered is printed as it will be written.
func TestAnAmountIsPrintedAsItWasWritten(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0.15: "0.15 stops", 0.5: "0.5 stops", 1: "1 stop", 0.01: "0.01 stops", math.Log2(3): "1.6 stops"} {
		if got := size(x, InStops); got != want {
			t.Errorf("%v is printed %q, not %q", x, got, want)
		}
	}
}

// A margin that is printed as nothing is not told as an amount.
func TestAMarginOfNothing(t *testing.T) {
	t.Parallel()
	g := &Goal{Kind: &Kind{Name: "out-of-frame"}}
	at := func(x float64) Part {
		return Part{What: "key", Got: unit.Point(x), Want: unit.Interval{Lo: 0.03, Hi: math.Inf(1)}, Unit: InMetres}
	}
	for _, c := range []struct{ got, want string }{
		{Closeness(g, at(0.031)), "out-of-frame, key is at its limit"},
		{Closeness(g, at(0.05)), "out-of-frame, key holds by 2 cm only"},
		{InDoubt(g, at(0.03), 0.04), "out-of-frame, key: just met, and still +-4 cm with every light metered"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}

// Ranges of a ratio read as briefs do: 3:1 is log2(3) = 1.6 stops.
func TestARatioIsShownAsBriefsWriteIt(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{"ratio": "+1.6 stops (3:1)", "spill": "+1.6 stops"} {
		q, err := FindQuantity(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Show(math.Log2(3)); got != want {
			t.Errorf("%s: %q, not %q", name, got, want)
		}
	}
}

// No clearance is told below zero.
func TestRoomThatIsLackingIsToldAsSuch(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ got, want string }{
		{clearance(0.274).String(), "clears walls, ceiling, floor and backdrop by 0.27 m"},
		{clearance(-0.274).String(), "needs 27 cm more to walls, ceiling, floor or backdrop"},
		{clearance(-0.0004).String(), "clears walls, ceiling, floor and backdrop by 0.00 m"}, // no tape tells it from 0
		{clearance(-0.004).String(), "needs under 1 cm more to walls, ceiling, floor or backdrop"},
		{backing(0.86).String(), "with 0.86 m behind it"},
		{backing(-4.86).String(), "4.86 m beyond the wall behind it"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}
