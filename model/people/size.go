// Package people holds the sizes of heads and bodies with their spread, and where the
// points of a face stand for a given turn of the head.
//
// Sizes are those of ANSUR II, 1986 women and 4082 men of the US Army (Gordon et al.
// 2014, NATICK/TR-15/007), a sample of soldiers and not the public at large. What that
// survey does not give is marked "from memory".
package people

import (
	"math"

	"falloff/model/unit"
)

// Dim is a body dimension: mean and standard deviation over a group.
type Dim struct{ Mean, SD unit.Length }

// At returns the size z standard deviations above the mean.
func (d Dim) At(z float64) unit.Length { return d.Mean + unit.Length(z)*d.SD }

// Build holds the dimensions of a group of people.
type Build struct {
	Interpupillary   Dim // between the pupils
	HeadBreadth      Dim
	HeadLength       Dim // brow to back of head
	HeadGirth        Dim // circumference
	Bizygomatic      Dim // breadth across the cheek bones
	TragionToTop     Dim // ear to top of head
	FaceLength       Dim // chin to the bridge of the nose (menton-sellion)
	EarLength        Dim
	EarBreadth       Dim
	EarProtrusion    Dim
	ShoulderBreadth  Dim // bideltoid
	Biacromial       Dim // between the shoulder tips
	EyeHeightSitting Dim // above the seat, sitting erect
	SittingHeight    Dim // above the seat, sitting erect
	EyeToCrown       Dim // sitting height less sitting eye height, person by person
	Stature          Dim
}

func dim(mean, sd float64) Dim {
	return Dim{unit.Length(mean) * unit.Millimetre, unit.Length(sd) * unit.Millimetre}
}

// Women returns the dimensions of the 1986 women of ANSUR II.
func Women() Build {
	return Build{
		Interpupillary:   dim(61.71, 3.62),
		HeadBreadth:      dim(147.77, 5.19),
		HeadLength:       dim(189.82, 7.45),
		HeadGirth:        dim(561.12, 19.36),
		Bizygomatic:      dim(133.77, 5.56),
		TragionToTop:     dim(126.48, 6.55),
		FaceLength:       dim(113.09, 6.09),
		EarLength:        dim(59.36, 3.88),
		EarBreadth:       dim(33.22, 2.77),
		EarProtrusion:    dim(20.39, 2.66),
		ShoulderBreadth:  dim(450.32, 28.69),
		Biacromial:       dim(365.35, 18.30),
		EyeHeightSitting: dim(747.69, 30.38),
		SittingHeight:    dim(856.63, 33.05),
		EyeToCrown:       dim(108.94, 8.16),
		Stature:          dim(1628.47, 64.20),
	}
}

// Men returns the dimensions of the 4082 men of ANSUR II.
func Men() Build {
	return Build{
		Interpupillary:   dim(64.02, 3.42),
		HeadBreadth:      dim(154.33, 5.53),
		HeadLength:       dim(199.50, 7.02),
		HeadGirth:        dim(574.37, 16.05),
		Bizygomatic:      dim(142.62, 6.22),
		TragionToTop:     dim(131.15, 6.16),
		FaceLength:       dim(122.64, 6.67),
		EarLength:        dim(64.21, 4.51),
		EarBreadth:       dim(36.06, 3.02),
		EarProtrusion:    dim(23.17, 3.00),
		ShoulderBreadth:  dim(510.42, 32.51),
		Biacromial:       dim(415.68, 19.16),
		EyeHeightSitting: dim(804.51, 33.16),
		SittingHeight:    dim(918.29, 35.70),
		EyeToCrown:       dim(113.78, 8.99),
		Stature:          dim(1756.21, 68.55),
	}
}

// Anyone returns the dimensions of a sitter of whom nothing is known: women and men in
// equal parts, whatever their numbers in the survey. The interpupillary breadth is
// 63 mm, as Dodgson 2004 has it for adults.
func Anyone() Build { return anyone }

var anyone = func(w, m Build) Build {
	return Build{
		Interpupillary:   either(w.Interpupillary, m.Interpupillary),
		HeadBreadth:      either(w.HeadBreadth, m.HeadBreadth),
		HeadLength:       either(w.HeadLength, m.HeadLength),
		HeadGirth:        either(w.HeadGirth, m.HeadGirth),
		Bizygomatic:      either(w.Bizygomatic, m.Bizygomatic),
		TragionToTop:     either(w.TragionToTop, m.TragionToTop),
		FaceLength:       either(w.FaceLength, m.FaceLength),
		EarLength:        either(w.EarLength, m.EarLength),
		EarBreadth:       either(w.EarBreadth, m.EarBreadth),
		EarProtrusion:    either(w.EarProtrusion, m.EarProtrusion),
		ShoulderBreadth:  either(w.ShoulderBreadth, m.ShoulderBreadth),
		Biacromial:       either(w.Biacromial, m.Biacromial),
		EyeHeightSitting: either(w.EyeHeightSitting, m.EyeHeightSitting),
		SittingHeight:    either(w.SittingHeight, m.SittingHeight),
		EyeToCrown:       either(w.EyeToCrown, m.EyeToCrown),
		Stature:          either(w.Stature, m.Stature),
	}
}(Women(), Men())

// either is the mixture of two groups in equal parts.
func either(a, b Dim) Dim {
	half := float64(a.Mean-b.Mean) / 2
	sa, sb := float64(a.SD), float64(b.SD)
	return Dim{(a.Mean + b.Mean) / 2, unit.Length(math.Sqrt((sa*sa+sb*sb)/2 + half*half))}
}

// Larger returns a group whose every mean is z standard deviations higher: as if one who
// is large is large throughout, which overstates how sizes go together.
func (b Build) Larger(z float64) Build {
	for _, d := range []*Dim{&b.Interpupillary, &b.HeadBreadth, &b.HeadLength, &b.HeadGirth, &b.Bizygomatic, &b.TragionToTop,
		&b.FaceLength, &b.EarLength, &b.EarBreadth, &b.EarProtrusion, &b.ShoulderBreadth, &b.Biacromial, &b.EyeHeightSitting,
		&b.SittingHeight, &b.EyeToCrown, &b.Stature} {
		d.Mean = d.At(z)
	}
	return b
}

// Seat is the height of a usual stool or chair (from memory).
const Seat = 0.46 * unit.Metre

// EyeHeight returns the height of the eyes above the floor: sitting erect on a usual
// seat, or standing, without shoes. People at ease sit 2 to 4 cm lower (from memory).
func (b Build) EyeHeight(seated bool) Dim {
	if seated {
		return Dim{b.EyeHeightSitting.Mean + Seat, b.EyeHeightSitting.SD}
	}
	return Dim{b.Stature.Mean - b.EyeToCrown.Mean, both(b.Stature.SD, b.EyeToCrown.SD)}
}

// both is the spread of a sum of independent parts.
func both(a, b unit.Length) unit.Length { return unit.Length(math.Hypot(float64(a), float64(b))) }
