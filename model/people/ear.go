package people

import (
	"math"

	"falloff/model/geom"
	"falloff/model/unit"
)

// EarTip is the tip of an ear at cheek level, from the middle of the head: Out sideways,
// Forward toward the face. A survey value for either is not known; the usual range is
// Out 15 mm beyond the cheek bone to the whole protrusion of the ear, Forward 0 to
// -20 mm (from memory).
type EarTip struct{ Out, Forward unit.Length }

// EarTip returns the middle of that range for a build.
func (b Build) EarTip() EarTip {
	return EarTip{b.Bizygomatic.Mean/2 + b.EarProtrusion.Mean, -10 * unit.Millimetre}
}

// FarEarDoubt is how far the yaw at which the far ear goes may lie from FarEarGone, for
// the range of heads and ears above and for short or tied-back hair.
const FarEarDoubt = 6 * unit.Degree

// FarEarGone returns the turn of the head at which the last of the far ear goes behind
// the cheek, seen from a camera at a distance from the middle of the head, which may be
// infinite. The head at cheek level is an ellipse with half axes bizygomatic breadth / 2
// and head length / 2, and the ear goes where the line of sight to its tip touches the
// ellipse. A model: no published turn was found to check it.
func (b Build) FarEarGone(ear EarTip, distance unit.Length) unit.Angle {
	a, l := float64(b.Bizygomatic.Mean)/2, float64(b.HeadLength.Mean)/2
	// Scaled by the half axes the ellipse is a unit circle, and tangents stay tangents.
	e := geom.Vec{X: float64(ear.Out) / a, Y: float64(ear.Forward) / l}
	outside := e.Dot(e) - 1
	if outside <= 0 {
		return 0
	}
	touch := e.Add(geom.Vec{X: -e.Y, Y: e.X}.Mul(math.Sqrt(outside))).Mul(1 / e.Dot(e))
	sight := touch.Sub(e)
	sight = geom.Vec{X: sight.X * a, Y: sight.Y * l}.Unit()
	camera := sight
	if d := float64(distance); !math.IsInf(d, 1) {
		// The camera is where the line of sight is a distance d from the middle.
		tip := geom.Vec{X: float64(ear.Out), Y: float64(ear.Forward)}
		along := -tip.Dot(sight) + math.Sqrt(max(0, d*d-tip.Dot(tip)+tip.Dot(sight)*tip.Dot(sight)))
		camera = tip.Add(sight.Mul(along))
	}
	return unit.Angle(max(0, math.Atan2(-camera.X, camera.Y)))
}
