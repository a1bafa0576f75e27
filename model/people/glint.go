package people

import (
	"math"

	"falloff/model/geom"
)

// The front of an eye, in metres (from memory): the radius of the cornea and of the iris,
// and how far the open lids are above and below its middle.
const (
	Cornea   = 0.0078
	Iris     = 0.0059
	UpperLid = 0.0046
	LowerLid = 0.0052
)

// Glint is where a lens sees the mirror image of a light on the cornea of an eye that
// looks into it: metres to the right and up from the middle of the iris. The cornea is a
// ball; light and lens are far away beside its size, so it mirrors where its normal halves
// the angle between the two (law of reflection). toLight points from the eye to the light,
// look, right and up are unit vectors: toward the lens, and the axes of what it sees. It
// is false where the image lies beyond the iris, where no cornea is.
func Glint(toLight, look, right, up geom.Vec) (x, y float64, ok bool) {
	half := toLight.Unit().Add(look)
	if half.Len() < 1e-9 {
		return 0, 0, false
	}
	half = half.Unit()
	x, y = Cornea*half.Dot(right), Cornea*half.Dot(up)
	return x, y, half.Dot(look) > 0 && math.Hypot(x, y) <= Iris
}
