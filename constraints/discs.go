package constraints

import (
	"cmp"
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/optics"
	"falloff/model/people"
	"falloff/model/unit"
)

// measureDiscs reads how large points of head and shoulders are drawn, in circles of
// confusion, with the focus where the brief has it, and diffraction beside them.
func (s *Scene) measureDiscs(r *Reading, pitch unit.Interval) {
	focus, coc := s.Bench.Brief.Camera.focus(), r.Coc.Lo
	r.FarEyeDisc = r.EyeBlur.Scale(1 / coc)
	r.NearEyeDisc = r.FarEyeDisc
	plane := r.Distance.Sub(r.EyeGap.Sqr().Div(r.Distance.Scale(4))) // see optics.FocusDistance
	if focus == optics.NearEye {
		r.NearEyeDisc = unit.Point(0)
		plane = r.Distance.Sub(r.EyeGap.Scale(0.5))
	}
	pupil := pupilOf(s.Lens)
	pose := people.Pose{Turn: s.Bench.Brief.Sitter.Turn}
	cos, sin := cosOf(pitch.Abs()), sinOf(pitch)
	for _, p := range []struct {
		disc  *unit.Interval
		point people.Point
	}{
		{&r.NoseDisc, people.NoseTip}, {&r.NearEarDisc, pose.NearEar()}, {&r.FarEarDisc, pose.FarEar()},
		{&r.ShoulderDisc, people.LeftShoulder}, // both are as far as each other
	} {
		at := s.Bench.build().Landmark(p.point, pose).At
		depth := r.Distance.Add(sin.Scale(at.Z)).Sub(cos.Scale(at.Y)) // along the camera's axis
		*p.disc = optics.BlurBound(r.Focal, s.Aperture, plane, depth, pupil).Scale(1 / coc)
	}
	r.Airy = airy(r, s.Aperture, pupil)
}

// pupilOf is a lens's pupil magnification, 1 where it is not known.
func pupilOf(l *inventory.Lens) float64 { return cmp.Or(l.Pupil, 1) }

// airy is the diameter of the Airy disc in circles of confusion. It rises with the
// f-number and with the magnification.
func airy(r *Reading, n unit.Interval, pupil float64) unit.Interval {
	m := r.Focal.Div(r.Distance.Sub(r.Focal))
	return m.Scale(1 / pupil).Add(unit.Point(1)).Mul(n).Scale(2.44 * float64(optics.Green) / r.Coc.Lo)
}

// frameFactor is the view factor from the back of the head to the part of the backdrop that
// is surely inside the frame: what light it gets if that part is lit is so much of what the
// part gives off (Lambert 1760; see light.Emitter). Only for one camera place.
func (s *Scene) frameFactor() unit.Interval {
	share := unit.Interval{Lo: 0, Hi: 1}
	if s.Body == nil || s.Lens == nil || !s.Frame.IsPoint() || !s.Depth.IsPoint() || s.Frame.Lo <= 0 || s.Depth.Lo <= 0 {
		return share
	}
	v, depth := s.Bench.view(s.Body, s.Lens, s.Frame.Lo), s.Depth.Lo
	left, right, low, high := math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1)
	for _, x := range []float64{-1, 1} {
		for _, y := range []float64{-1, 1} {
			d := v.axes[0].Mul(x * v.tanW).Add(v.axes[1].Mul(y * v.tanH)).Add(v.axes[2])
			p := v.Cam.Add(d.Mul((-depth - v.Cam.Y) / d.Y))
			if x < 0 {
				left = max(left, p.X)
			} else {
				right = min(right, p.X)
			}
			if y < 0 {
				low = max(low, p.Z)
			} else {
				high = min(high, p.Z)
			}
		}
	}
	low = max(low, 0)
	if right <= left || high <= low {
		return share
	}
	patch := light.Emitter{Face: light.Face{Kind: light.Rect, W: right - left, H: high - low}}
	at := geom.Vec{X: (left + right) / 2, Y: -depth, Z: (low + high) / 2}
	// A Lambertian face of 1 lumen gives off 1/A, so E = F/A.
	return unit.Point(patch.Illuminance(light.Pose{At: at, Aim: at.Add(geom.Vec{Y: 1})}, s.Bench.Eye(), geom.Vec{Y: -1}) * (right - left) * (high - low))
}

// sinOf is the sine over angles within a quarter turn of 0.
func sinOf(a unit.Interval) unit.Interval {
	if a.IsPoint() {
		return unit.Point(math.Sin(a.Lo))
	}
	return unit.Interval{Lo: math.Sin(a.Lo), Hi: math.Sin(a.Hi)}.Out()
}

// farEar is how far the head is turned beyond the angle at which the far ear goes, in
// degrees. The nearer the camera, the sooner it goes.
func (b *Bench) farEar(distance unit.Interval) unit.Interval {
	const nearest = 0.3 // m: nearer than that the head is no ellipse
	if distance.Lo < nearest {
		return unit.Whole
	}
	build, turn := b.build(), math.Abs(b.Brief.Sitter.Turn.Degrees())
	beyond := func(d float64) float64 {
		return turn - build.FarEarGone(build.EarTip(), unit.Length(d)+build.HeadLength.Mean/2).Degrees()
	}
	if distance.IsPoint() {
		return unit.Point(beyond(distance.Lo))
	}
	// A few dozen operations on numbers near 1: far less than a billionth of a degree.
	const rounding = 1e-9
	return unit.Interval{Lo: beyond(distance.Hi) - rounding, Hi: beyond(distance.Lo) + rounding}
}
