package optics

import (
	"math"

	"falloff/model/unit"
)

// Hyperfocal returns the nearest focus at which infinity is still sharp,
// f^2/(N c) + f.
func Hyperfocal(focal unit.Length, n float64, coc unit.Length) unit.Length {
	return focal*focal/(unit.Length(n)*coc) + focal
}

// DepthOfField returns the near and the far limit of what is blurred by no more than coc
// on the sensor, focused at s above f. The far limit is +Inf from the hyperfocal
// distance on.
func DepthOfField(focal unit.Length, n float64, coc, s unit.Length) (near, far unit.Length) {
	return DepthOfFieldPupil(focal, n, coc, s, 1)
}

// DepthOfFieldPupil is DepthOfField for a lens of pupil magnification P, exit pupil over
// entrance pupil; it matters above a magnification of about 0.1 (van Walree,
// toothwalker.org, "Derivation of the DOF equations"). It solves Blur = coc.
func DepthOfFieldPupil(focal unit.Length, n float64, coc, s unit.Length, pupil float64) (near, far unit.Length) {
	f, d := float64(focal), float64(s)
	k := float64(coc) * n * (d - f) / (pupil * f * f)
	shift := k * (1 - pupil) * f
	near = unit.Length(max(0, (d-shift)/(1+k*pupil)))
	if k*pupil >= 1 {
		return near, unit.Length(math.Inf(1))
	}
	return near, unit.Length((d + shift) / (1 - k*pupil))
}

// Blur returns the diameter on the sensor of the blur disc of a point at u when the lens
// is focused at s above f; u is positive and may be infinite. P is the pupil
// magnification, 1 for a thin lens. It is P (f/N) |v-v0| / (v - f(1-P)) with the image
// distances v and v0, written without their difference.
func Blur(focal unit.Length, n float64, s, u unit.Length, pupil float64) unit.Length {
	return unit.Length(math.Abs(signedBlur(float64(focal), float64(s), float64(u), pupil)) / n)
}

// signedBlur is N times the blur in metres, positive behind the focus.
func signedBlur(f, s, u, pupil float64) float64 {
	m := f / (s - f)
	if math.IsInf(u, 1) {
		return f * m
	}
	return pupil * f * m * (u - s) / (pupil*u + (1-pupil)*f)
}

// AiryDiameter returns the diameter of the first dark ring of diffraction at working
// aperture, 2.44 lambda N (1 + m/P) (Airy 1835).
func AiryDiameter(wavelength unit.Length, n, m, pupil float64) unit.Length {
	return 2.44 * wavelength * unit.Length(n*(1+m/pupil))
}

// Green is the wavelength at which diffraction is usually stated.
const Green unit.Length = 550e-9

// Cutoff returns the spatial frequency in cycles per metre on the sensor beyond which
// diffraction leaves no contrast, 1/(lambda N). At 0.40397 of it half the contrast is
// left.
func Cutoff(wavelength unit.Length, n float64) float64 { return 1 / (float64(wavelength) * n) }

// TotalBlur adds independent blurs in root-sum-square: a convention, not wave optics.
func TotalBlur(blurs ...unit.Length) unit.Length {
	sum := 0.0
	for _, b := range blurs {
		sum += float64(b) * float64(b)
	}
	return unit.Length(math.Sqrt(sum))
}

// MotionBlur returns the trail on the sensor of something that moves across the picture
// at a speed in m/s for a time, at magnification m.
func MotionBlur(speed float64, t unit.Time, m float64) unit.Length {
	return unit.Length(speed * float64(t) * m)
}

// HandheldFloor returns the longest exposure that the rule of thumb allows by hand: one
// second over the equivalent focal length in millimetres, times 2^stops of
// stabilisation. Rated stops are measured at 63 um of blur on 36 x 24 mm (CIPA DC-011,
// ISO 20954-1), and nothing here holds the sitter still.
func HandheldFloor(equivalent unit.Length, stabilisation unit.Stops) unit.Time {
	return unit.Time(stabilisation.Linear() / equivalent.Millimetres())
}
