package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/unit"
)

// Changes to other goals of the brief, offered by goals that they stand in the way of.

// filterOn puts a neutral filter on the lens, where there is none: for pictures that are too
// bright with every light turned down.
func filterOn(b *Bench) []Change {
	if b.Brief.Camera.Filter > 0 {
		return nil
	}
	const dense unit.Stops = 3
	return []Change{{Text: fmt.Sprintf("put a neutral filter of %s on the lens", size(float64(dense), InStep)), Cost: "a filter; the finder darkens; 1 min", Minor: 1.5,
		Apply: func(b *Brief, _ *inventory.Studio) { b.Camera.Filter = dense }}}
}

// goalsOf lists the brief's requirements of one sort.
func goalsOf[T Requirement](b *Brief) (out []T) {
	for _, g := range b.Goals {
		if req, ok := g.Req.(T); ok {
			out = append(out, req)
		}
	}
	return out
}

// stopDownAsked stops down from the aperture that was asked for.
func stopDownAsked(b *Bench) (out []Change) {
	for _, g := range goalsOf[*apertureGoal](b.Brief) {
		out = append(out, stopDown(g)...)
	}
	return out
}

// openUpAsked opens up from the aperture that was asked for.
func openUpAsked(b *Bench) (out []Change) {
	for _, g := range goalsOf[*apertureGoal](b.Brief) {
		for i, k := range moreThirds {
			if w := g.wider(k); w != nil && g.within == 0 && (i == 0 || w.want.Lo > 1) {
				out = append(out, weaker(g, w, 2.5+float64(i), "open up to %s", w.want.Lo))
			}
		}
	}
	return out
}

// widerFrameAsked takes the next wider crop.
func widerFrameAsked(b *Bench) (out []Change) {
	for _, g := range goalsOf[*framingGoal](b.Brief) {
		if c, ok := g.wider(); ok {
			out = append(out, g.reframe(c, 5))
		}
	}
	return out
}

// tighterFrameAsked takes the next tighter crop.
func tighterFrameAsked(b *Bench) (out []Change) {
	for _, g := range goalsOf[*framingGoal](b.Brief) {
		if c, ok := g.tighter(); ok {
			out = append(out, g.reframe(c, 5))
		}
	}
	return out
}

// turnAway turns the sitter's head farther from the camera.
func turnAway(b *Bench) []Change {
	var out []Change
	turn := math.Abs(b.Brief.Sitter.Turn.Degrees())
	for i, deg := range []float64{20, 30} {
		if deg > turn {
			out = append(out, Change{Text: fmt.Sprintf("turn the head %s to the side", Show(deg, InDegrees)), Cost: nothing, Minor: 2 + 0.3*float64(i),
				Apply: turnTo(unit.Angle(deg) * unit.Degree)})
		}
	}
	return out
}
