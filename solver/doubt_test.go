package solver

import (
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// A goal of which one number needs a meter and another stays in doubt whatever is metered
// is not told to hold once its lights are metered; a goal that only needs a meter is.
func TestMeteringIsNotSaidToMakeSureWhatStaysInDoubt(t *testing.T) {
	t.Parallel()
	reads := []inventory.Role{inventory.Key}
	causes := []constraints.Cause{{Reading: true, Lights: reads}, {}, {Lights: reads}}
	part := constraints.Part{Got: unit.Point(0.3), Want: unit.Interval{Lo: 0, Hi: 1}, Unit: constraints.InStops}
	output := constraints.PartDoubt{Effects: []float64{0.1, 0, 0.5}, Total: 0.5, Metered: 0.1} // a rated output, which a meter takes away
	room := constraints.PartDoubt{Effects: []float64{0.1, 0.5, 0}, Total: 0.5, Metered: 0.5}   // the walls, which stay
	goal := func(name string) *constraints.Goal { return &constraints.Goal{Kind: &constraints.Kind{Name: name}} }
	c := &Checked{
		Lights: []LightReport{{Set: inventory.LightSet{Role: "key"}}},
		Goals: []GoalResult{
			{Goal: goal("glow"), Holds: true, Parts: []constraints.Part{part, part}},
			{Goal: goal("exposure"), Holds: true, Parts: []constraints.Part{part}},
		},
	}
	c.Doubts = constraints.Doubts{Causes: causes, Goals: [][]constraints.PartDoubt{{output, room}, {output}}}
	for i := range c.Goals {
		c.stand(&c.Goals[i], c.Doubts.Goals[i])
	}
	c.meterFirst()
	if glow := c.Goals[0]; glow.Standing != constraints.Unsure || len(glow.Meter) > 0 || glow.Within != 0 {
		t.Errorf("glow stands at %v, with %v to meter within %v", glow.Standing, glow.Meter, glow.Within)
	}
	if len(c.MeterFirst) != 1 || !strings.Contains(c.MeterFirst[0], ": exposure holds only then") {
		t.Errorf("to meter first: %q", c.MeterFirst)
	}
}
