package light

import "falloff/model/geom"

// GlareIndex is the veiling glare of a usual lens: of the light that falls on its front, the
// share that is spread evenly over the picture. ISO 9358:1994 measures it against a black
// patch in a white field; 0.5 to 3 % are usual for zooms, less for coated single lenses
// (from memory).
const GlareIndex = 0.01

// Veil is what light that shines straight into a lens adds to the whole picture, as the
// illuminance in lux per lumen that would make a white of reflectance 1 as bright: a lens in
// an even field of luminance L gets pi L on its front and veils with index L (the definition
// of the index), and a white patch of that luminance has pi L on it. front is the lens and
// axis the unit vector along which it looks. What a hood, a flag or the sitter's head keeps
// off is for the caller to leave out.
func Veil(e Emitter, p Pose, front, axis geom.Vec, index float64) float64 {
	return index * e.Illuminance(p, front, axis)
}
