package light

import "math"

// Exposure constants. Each belongs to one kind of measurement and must not be used with
// another: they differ by up to two thirds of a stop.
const (
	// PlaneC is the incident constant in lux seconds for illuminance on a plane (flat
	// receptor, cosine response): ISO 2720:1974 allows 240 to 400; 250 is usual. It is
	// the one that goes with computed illuminances.
	PlaneC = 250.0
	// DomeC is the incident constant for a hemispherical (cardioid) receptor: ISO 2720:1974
	// allows 320 to 540; 320 to 340 are usual. For readings of a dome meter only.
	DomeC = 330.0
	// GuideNumberC is the constant behind published guide numbers, in lux seconds: film
	// data sheets print GN(ft)^2 = 0.05 BCPS ISO, so C = 1/(0.05 ft^2) = 1/(0.05 * 0.3048^2).
	GuideNumberC = 215.278
	// ReflectedK is the usual reflected-light constant of ISO 2720:1974 (10.6 to 13.4), in
	// cd s/m2.
	ReflectedK = 12.5

	foot = 0.3048
)

// Needed is the luminous exposure at the subject, in lux seconds, that an f-number n and
// ISO s ask for with incident constant c: H = c n^2 / s (ISO 2720:1974, N^2/t = E S/C).
// True values, not the engraved ones; all above 0. Flash and continuous light add up to it.
func Needed(c, n, s float64) float64 { return c * n * n / s }

// IncidentN is the f-number for an illuminance e in lux during t seconds at ISO s, with
// incident constant c. It is also the f-number for e t lux seconds of flash: pass t = 1.
func IncidentN(e, t, s, c float64) float64 { return math.Sqrt(e * t * s / c) }

// IncidentEV is the exposure value log2(N^2/t) for an illuminance e in lux at ISO s. At
// s = 100 it is EV100.
func IncidentEV(e, s, c float64) float64 { return math.Log2(e * s / c) }

// ReflectedEV is the exposure value for a luminance l in cd/m2 at ISO s with constant k.
func ReflectedEV(l, s, k float64) float64 { return math.Log2(l * s / k) }

// EV of camera settings: log2(n^2/t), true values.
func EV(n, t float64) float64 { return math.Log2(n * n / t) }

// MatchReflectance is the reflectance at which a reflected reading with constant k and an
// incident reading with constant c agree: pi k / c.
func MatchReflectance(k, c float64) float64 { return math.Pi * k / c }

// GuideNumber is the guide number in metres of a flash of beam candela seconds i (cd s) at
// ISO s: sqrt(i s / c). Published numbers go with GuideNumberC; they are rounded to about
// 5 % and rest on an assumed reflector, so treat them as +-0.15 EV at best.
func GuideNumber(i, s, c float64) float64 { return math.Sqrt(i * s / c) }

// GuideNumberFeet is GuideNumber in feet.
func GuideNumberFeet(i, s, c float64) float64 { return GuideNumber(i, s, c) / foot }

// BeamOfGuideNumber is the inverse: beam candela seconds of a guide number in metres.
func BeamOfGuideNumber(gn, s, c float64) float64 { return gn * gn * c / s }

// BeamOfGuideNumberFeet is BeamOfGuideNumber for a guide number in feet.
func BeamOfGuideNumberFeet(gn, s, c float64) float64 { return BeamOfGuideNumber(gn*foot, s, c) }

// FlashShare is the share, 0..1, of a flash that falls in the first window seconds, for an
// exponential decay of half-peak duration t05 with instant rise: 1 - 2^(-window/t05). A
// flash that is cut off electronically delivers all of it sooner.
func FlashShare(window, t05 float64) float64 { return -math.Expm1(-window * math.Ln2 / t05) }

// T01 is the tenth-peak duration of an exponential flash of half-peak duration t05:
// t05 ln 10 / ln 2. A cut-off flash has T01 near t05 instead.
func T01(t05 float64) float64 { return t05 * math.Ln10 / math.Ln2 }

// Together is the f-number for flash of h lux seconds and continuous light of e lux during
// t seconds, at ISO s with constant c: lux seconds add.
func Together(h, e, t, s, c float64) float64 { return math.Sqrt((h + e*t) * s / c) }

// StopsUnder is how many stops continuous light of e lux during t seconds lies under a
// flash of h lux seconds: log2(h / (e t)). Negative where it outweighs the flash; infinite
// for e = 0.
func StopsUnder(h, e, t float64) float64 { return math.Log2(h / (e * t)) }

// Contamination is how many stops a modelling lamp of e lux, left on for t seconds, adds to
// a flash of h lux seconds: log2(1 + e t / h).
func Contamination(h, e, t float64) float64 { return math.Log1p(e*t/h) / math.Ln2 }
