package colour

import (
	_ "embed"
	"math"
	"sync"

	"falloff/model/unit"
)

var (
	//go:embed data/cie_1964_10deg_5nm.csv
	wideObserverCSV string
	//go:embed data/cie_224_2017_ces99_5nm.csv
	evaluationSampleCSV string
)

var (
	wideObserver      = sync.OnceValue(func() *[3]Spectrum { return threeColumns(wideObserverCSV) })
	evaluationSamples = sync.OnceValue(func() *[99]Spectrum {
		var t [99]Spectrum
		columns(evaluationSampleCSV, t[:])
		return &t
	})
)

// Fidelity says how near a light renders 99 everyday colours to how its reference
// illuminant would, and whether it makes them more or less vivid.
type Fidelity struct {
	Rf  float64     // fidelity 0 to 100, 100 is no difference (CIE 224:2017)
	Rg  float64     // gamut, 100 as vivid as the reference, above more vivid (ANSI/IES TM-30-20)
	CCT unit.Kelvin // of the light and of its reference
	Duv float64     // of the light
}

// TM30 returns the fidelity and gamut indices of a light (CIE 224:2017 for Rf; ANSI/IES
// TM-30-20 for Rg), from the CIE 1964 10 degree observer at 5 nm; the correlated colour
// temperature is by the 1931 observer. ok is false for a light without one (see CCT),
// above 25 000 K, or so saturated that the appearance model fails.
func TM30(s *Spectrum) (f Fidelity, ok bool) {
	t, duv, ok := CCT(s.XYZ())
	if !ok || t > CoolestDaylight {
		return Fidelity{}, false
	}
	ref := fidelityReference(t)
	here, there := appearances(s), appearances(&ref)
	var sum float64
	var gamut, gamutRef [hueBins]bin
	for i := range here {
		h, r := here[i], there[i]
		sum += math.Hypot(math.Hypot(h[0]-r[0], h[1]-r[1]), h[2]-r[2])
		k := min(int(HueAngle(r[1], r[2])/360*hueBins), hueBins-1)
		gamut[k].add(h[1], h[2])
		gamutRef[k].add(r[1], r[2])
	}
	f = Fidelity{CCT: t, Duv: duv}
	f.Rf = 10 * math.Log1p(math.Exp((100-6.73*sum/float64(len(here)))/10))
	f.Rg = 100 * area(&gamut) / area(&gamutRef)
	if sum = f.Rf + f.Rg; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return Fidelity{}, false
	}
	return f, true
}

// fidelityReference is a black body up to 4000 K, daylight from 5000 K and between them
// a blend in proportion at equal luminance of the 10 degree observer (CIE 224:2017).
func fidelityReference(t unit.Kelvin) Spectrum {
	warm := Planck(t)
	if t <= WarmestDaylight {
		return warm
	}
	cool, err := Daylight(t)
	if err != nil {
		panic("colour: " + err.Error()) // the caller keeps to the range
	}
	y := &wideObserver()[1]
	share := min(1, (float64(t)-4000)/1000)
	k, l := (1-share)/dot(&warm, y), share/dot(&cool, y)
	for i := range warm {
		warm[i] = k*warm[i] + l*cool[i]
	}
	return warm
}

func dot(a, b *Spectrum) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// appearances returns the samples under a light in CAM02-UCS: adapting field 100 cd/m2,
// background 20 %, average surround, full adaptation (CIE 224:2017).
func appearances(light *Spectrum) (all [99][3]float64) {
	o := wideObserver()
	k := 100 / dot(light, &o[1])
	var weight [3]Spectrum
	for c := range weight {
		for i := range light {
			weight[c][i] = k * light[i] * o[c][i]
		}
	}
	under := func(r *Spectrum) XYZ { return XYZ{dot(r, &weight[0]), dot(r, &weight[1]), dot(r, &weight[2])} }
	perfect := Clear().T
	view := newCAM02(under(&perfect), 100, 20, 1)
	samples := evaluationSamples()
	for i := range samples {
		all[i] = view.ucs(under(&samples[i]))
	}
	return all
}

// hueBins is the number of equal slices of hue whose means make the gamut polygon.
const hueBins = 16

// bin is the mean a' and b' of the samples in a slice.
type bin struct{ a, b, n float64 }

func (b *bin) add(x, y float64) { b.a, b.b, b.n = b.a+x, b.b+y, b.n+1 }

// area returns the area of the polygon of the means. A slice without a sample has no
// corner.
func area(bins *[hueBins]bin) (sum float64) {
	var corners []bin
	for _, b := range bins {
		if b.n > 0 {
			corners = append(corners, bin{b.a / b.n, b.b / b.n, 1})
		}
	}
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		sum += (p.a*q.b - q.a*p.b) / 2
	}
	return sum
}
