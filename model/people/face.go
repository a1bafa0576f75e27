package people

import (
	"math"

	"falloff/model/geom"
	"falloff/model/unit"
)

// Pose is how a sitter holds head and shoulders, seen from the camera.
type Pose struct {
	Turn unit.Angle // yaw of the face, positive toward camera right
	Nod  unit.Angle // pitch of the face about its own ear-to-ear axis, positive chin down
	Tilt unit.Angle // roll, positive with the crown toward camera right
	Body unit.Angle // yaw of the shoulders, positive toward camera right
}

// Point names a point of the head or shoulders. Left and right are the camera's.
type Point int

const (
	LeftEye Point = iota
	RightEye
	NoseTip
	Mouth
	Chin
	Forehead
	Crown
	LeftCheek
	RightCheek
	LeftEar
	RightEar
	LeftHair // the outer edge of short or tied-back hair
	RightHair
	LeftShoulder
	RightShoulder
	Points int = iota
)

var pointNames = [Points]string{
	"left eye", "right eye", "nose tip", "mouth", "chin", "forehead", "crown", "left cheek", "right cheek",
	"left ear", "right ear", "left hair edge", "right hair edge", "left shoulder", "right shoulder",
}

func (p Point) String() string { return pointNames[p] }

// FarEye and its kin name the one that a turn of the head takes away from the camera,
// and the other. Straight on, the left counts as near.
func (p Pose) FarEye() Point  { return p.far(LeftEye, RightEye) }
func (p Pose) NearEye() Point { return p.near(LeftEye, RightEye) }
func (p Pose) FarEar() Point  { return p.far(LeftEar, RightEar) }
func (p Pose) NearEar() Point { return p.near(LeftEar, RightEar) }

func (p Pose) far(left, right Point) Point {
	if p.Turn >= 0 {
		return right
	}
	return left
}

func (p Pose) near(left, right Point) Point { return left + right - p.far(left, right) }

// Landmark is where a point stands, in metres from the middle between the eyes in the
// axes of the room (X to camera right, Y toward the camera, Z up), and its spread, one
// standard deviation in any direction.
type Landmark struct {
	At geom.Vec
	SD unit.Length
}

// Landmark returns where a point of the head or shoulders stands. Breadths, the height
// of crown and ear and the length of the face are measured (ANSUR II); the rest is from
// memory: the nose tip 25 to 35 mm before the eyes, the ear 75 to 105 mm behind them,
// the brow 20 mm before them, 15 mm of hair beside the head, shoulders 22 cm below.
func (b Build) Landmark(p Point, pose Pose) Landmark {
	const mm = unit.Millimetre
	side := unit.Length(1)
	if p.isLeft() {
		side = -1
	}
	// The middle of the head lies half its length behind the brow.
	middle := 20*mm - b.HeadLength.Mean/2
	head := func(x, y, z, sd unit.Length) Landmark {
		return Landmark{pose.head(geom.Vec{X: float64(x), Y: float64(y), Z: float64(z)}), sd}
	}
	switch p {
	case LeftEye, RightEye:
		return head(side*b.Interpupillary.Mean/2, 0, 0, b.Interpupillary.SD/2)
	case NoseTip:
		return head(0, 30*mm, -40*mm, 5*mm)
	case Mouth:
		return head(0, 15*mm, -70*mm, 6*mm)
	case Chin:
		return head(0, 5*mm, -b.FaceLength.Mean, both(b.FaceLength.SD, 5*mm))
	case Forehead:
		return head(0, 18*mm, 50*mm, 8*mm)
	case Crown:
		return head(0, middle, b.EyeToCrown.Mean, b.EyeToCrown.SD)
	case LeftCheek, RightCheek:
		return head(side*45*mm, -2*mm, -40*mm, 8*mm)
	case LeftEar, RightEar:
		return head(side*(b.Bizygomatic.Mean/2+b.EarProtrusion.Mean), -90*mm, b.EyeToCrown.Mean-b.TragionToTop.Mean, 10*mm)
	case LeftHair, RightHair:
		return head(side*(b.HeadBreadth.Mean/2+15*mm), middle, 30*mm, 15*mm)
	default: // shoulders turn about the neck, which the head carries
		neck := pose.yaw(geom.Vec{Y: -0.10}, pose.Turn)
		tip := pose.yaw(geom.Vec{X: float64(side * b.ShoulderBreadth.Mean / 2)}, pose.Body)
		return Landmark{neck.Add(tip).Add(geom.Vec{Z: -0.22}), both(b.ShoulderBreadth.SD/2, 30*mm)}
	}
}

func (p Point) isLeft() bool {
	switch p {
	case LeftEye, LeftCheek, LeftEar, LeftHair, LeftShoulder:
		return true
	}
	return false
}

// head carries a point of the upright head that faces the camera into the pose: nod
// about the ear-to-ear axis, then tilt, then turn.
func (p Pose) head(v geom.Vec) geom.Vec {
	s, c := math.Sincos(float64(p.Nod))
	v.Y, v.Z = v.Y*c+v.Z*s, v.Z*c-v.Y*s
	s, c = math.Sincos(float64(p.Tilt))
	v.X, v.Z = v.X*c+v.Z*s, v.Z*c-v.X*s
	return p.yaw(v, p.Turn)
}

func (Pose) yaw(v geom.Vec, turn unit.Angle) geom.Vec {
	s, c := math.Sincos(float64(turn))
	v.X, v.Y = v.X*c+v.Y*s, v.Y*c-v.X*s
	return v
}

// Facing returns the unit vector in which the face looks, in the axes of the room.
func (p Pose) Facing() geom.Vec { return p.head(geom.Vec{Y: 1}) }

// EyeGap returns the difference in depth of the two eyes along the optical axis,
// ipd sin(turn) cos(pitch), exact at any camera distance since depth is a distance of
// planes. The pitch is the camera's, of either sign.
func EyeGap(ipd unit.Length, turn, pitch unit.Angle) unit.Length {
	return unit.Length(math.Abs(float64(ipd) * math.Sin(float64(turn)) * math.Cos(float64(pitch))))
}

// EyeGap returns the difference in depth of the two eyes for a camera that looks down by
// a pitch. A tilt of the head moves part of the eye line out of the depth plane; a nod
// changes nothing.
func (p Pose) EyeGap(ipd unit.Length, pitch unit.Angle) unit.Length {
	if p.Tilt == 0 {
		return EyeGap(ipd, p.Turn, pitch)
	}
	line := p.head(geom.Vec{X: float64(ipd)})
	axis := geom.Vec{Y: math.Cos(float64(pitch)), Z: math.Sin(float64(pitch))}
	return unit.Length(math.Abs(line.Dot(axis)))
}

// EyeGapBound bounds EyeGap of an upright head over intervals in metres and radians. For
// turns and pitches within a right angle it rises with the breadth and the size of the
// turn and falls with the size of the pitch. Points give the plain value.
func EyeGapBound(ipd, turn, pitch unit.Interval) unit.Interval {
	at := func(ipd, turn, pitch float64) float64 {
		return float64(EyeGap(unit.Length(ipd), unit.Angle(turn), unit.Angle(pitch)))
	}
	if ipd.IsPoint() && turn.IsPoint() && pitch.IsPoint() {
		return unit.Point(at(ipd.Lo, turn.Lo, pitch.Lo))
	}
	a, b := turn.Abs(), pitch.Abs()
	if !(ipd.Lo >= 0 && a.Hi <= math.Pi/2 && b.Hi <= math.Pi/2) {
		return unit.Interval{Lo: 0, Hi: max(0, math.Nextafter(ipd.Hi, math.Inf(1)))}
	}
	// Sine, cosine and two products are each within 2^-52 of their value.
	const rounding = 1e-15
	lo, hi := at(ipd.Lo, a.Lo, b.Hi), at(ipd.Hi, a.Hi, b.Lo)
	return unit.Interval{Lo: lo * (1 - rounding), Hi: hi * (1 + rounding)}
}
