// Package optics is the geometry of sharpness and framing: depth of field, blur,
// perspective, diffraction, motion, and how often both eyes come out sharp.
//
// Lenses are thin unless a pupil magnification is given. Distances run from the front
// principal plane, which is not the sensor mark on the camera: see FromSensor. N is the
// true f-number. Formulas are those of Ray, Applied Photographic Optics, and Greenleaf
// 1950 (from memory), unless another source stands beside them.
package optics

import (
	"math"

	"falloff/model/unit"
)

// Magnification returns the scale of the image of a plane in focus at s, f/(s-f). The
// distance s is above f.
func Magnification(focal, s unit.Length) float64 {
	return float64(focal) / float64(s-focal)
}

// DistanceFor returns the distance at which a side of the sensor covers a frame of a
// given height (or width): f(1 + frame/sensor).
func DistanceFor(focal, sensor, frame unit.Length) unit.Length {
	return focal + focal*(frame/sensor)
}

// FrameHeight returns how much of the plane in focus at s a side of the sensor covers:
// the inverse of DistanceFor. The distance s is above f.
func FrameHeight(focal, sensor, s unit.Length) unit.Length {
	return sensor * (s - focal) / focal
}

// ImageDistance returns the distance from the rear principal plane to the image of a
// plane at s: fs/(s-f), and f for an infinite s.
func ImageDistance(focal, s unit.Length) unit.Length {
	if math.IsInf(float64(s), 1) {
		return focal
	}
	return focal * s / (s - focal)
}

// FromSensor returns the distance from the sensor mark to a plane at s, for a thin lens;
// the gap between the principal planes of a real lens, some centimetres, is left out.
func FromSensor(focal, s unit.Length) unit.Length { return s + ImageDistance(focal, s) }

// AngleOfView returns the full angle that a side of the sensor sees when focused at s,
// which may be infinite.
func AngleOfView(focal, sensor, s unit.Length) unit.Angle {
	return unit.Angle(2 * math.Atan(float64(sensor/ImageDistance(focal, s))/2))
}

// BellowsStops returns the light that focusing close costs, 2 log2(1 + m/P), positive;
// P is the pupil magnification, 1 for a thin lens.
func BellowsStops(m, pupil float64) unit.Stops {
	return unit.Stops(2 * math.Log2(1+m/pupil))
}

// Equivalent returns the focal length that sees on a 36 mm long side what this one sees
// on its sensor.
func Equivalent(focal, sensorLong unit.Length) unit.Length {
	return focal * (36 * unit.Millimetre / sensorLong)
}

// CircleOfConfusion returns the usual criterion of sharpness, 1/1500 of the sensor's
// diagonal: 0.0288 mm for 36 x 24 mm (Lyon 2006 calls it typical; 0.030 mm is a habit).
func CircleOfConfusion(diagonal unit.Length) unit.Length { return diagonal / 1500 }

// PerspectiveRatio returns how much larger the near end of a head is drawn than a far
// end 0.12 m behind it, (d + 0.12 m)/d. The distance is positive. From about 1.09 a face
// looks drawn, under 1.03 flat (from memory).
func PerspectiveRatio(d unit.Length) float64 { return float64((d + headDepth) / d) }

// headDepth is from the nose tip to the ear, about 0.12 m (from memory).
const headDepth = 0.12 * unit.Metre

// RecomposeError returns how far behind the subject's plane the focus falls when the
// camera is turned by an angle after focusing at d: d(1 - cos a).
func RecomposeError(d unit.Length, turn unit.Angle) unit.Length {
	h := math.Sin(float64(turn) / 2)
	return d * unit.Length(2*h*h)
}
