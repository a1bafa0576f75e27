package people_test

import (
	"fmt"
	"math"
	"testing"

	"falloff/model/people"
	"falloff/model/published"
	"falloff/model/unit"
)

const survey = "ANSUR II (Gordon et al. 2014, NATICK/TR-15/007), from its public tables"

// Values from outside this program: means and spreads of the survey (TestSurvey recomputes
// them from its 6068 people), depths of turned eyes, and when the far ear goes.
func TestPublished(t *testing.T) {
	var all []published.Value
	add := func(what string, got, want, tol float64, source string) {
		all = append(all, published.Value{What: what, Want: want, Tolerance: tol, Got: got, Source: source})
	}
	w, m := people.Women(), people.Men()
	for _, r := range []struct {
		what       string
		w, m       people.Dim
		wm, ws     float64 // mean and spread, mm
		mm, ms     float64
		low, high  float64 // 5th and 95th percentile of women
		mlow, mtop float64
	}{
		{"interpupillary breadth", w.Interpupillary, m.Interpupillary, 61.71, 3.62, 64.02, 3.42, 55.5, 67.5, 58.5, 70},
		{"head breadth", w.HeadBreadth, m.HeadBreadth, 147.77, 5.19, 154.33, 5.53, 140, 156, 146, 163},
		{"head length", w.HeadLength, m.HeadLength, 189.82, 7.45, 199.50, 7.02, 178, 202, 188, 211},
		{"head circumference", w.HeadGirth, m.HeadGirth, 561.12, 19.36, 574.37, 16.05, 0, 0, 0, 0},
		{"bizygomatic breadth", w.Bizygomatic, m.Bizygomatic, 133.77, 5.56, 142.62, 6.22, 125, 143, 133, 153},
		{"tragion to top of head", w.TragionToTop, m.TragionToTop, 126.48, 6.55, 131.15, 6.16, 0, 0, 0, 0},
		{"face length", w.FaceLength, m.FaceLength, 113.09, 6.09, 122.64, 6.67, 0, 0, 0, 0},
		{"shoulder breadth", w.ShoulderBreadth, m.ShoulderBreadth, 450.32, 28.69, 510.42, 32.51, 406, 499, 459, 567},
		{"biacromial breadth", w.Biacromial, m.Biacromial, 365.35, 18.30, 415.68, 19.16, 0, 0, 0, 0},
		{"eye height sitting", w.EyeHeightSitting, m.EyeHeightSitting, 747.69, 30.38, 804.51, 33.16, 698, 799, 750, 860},
		{"sitting height", w.SittingHeight, m.SittingHeight, 856.63, 33.05, 918.29, 35.70, 0, 0, 0, 0},
		{"stature", w.Stature, m.Stature, 1628.47, 64.20, 1756.21, 68.55, 0, 0, 0, 0},
	} {
		for _, x := range []struct {
			who             string
			d               people.Dim
			mean, sd, lo, h float64
		}{{"women", r.w, r.wm, r.ws, r.low, r.high}, {"men", r.m, r.mm, r.ms, r.mlow, r.mtop}} {
			add(x.who+", "+r.what+", mm", x.d.Mean.Millimetres(), x.mean, .0051, survey)
			add(x.who+", "+r.what+", spread", x.d.SD.Millimetres(), x.sd, .0051, survey)
			if x.lo > 0 { // whole millimetres, of people who are not quite normal: half a spread's tenth
				add(x.who+", "+r.what+", 5th percentile", x.d.At(-1.645).Millimetres(), x.lo, .5+.1*x.sd, survey)
				add(x.who+", "+r.what+", 95th percentile", x.d.At(1.645).Millimetres(), x.h, .5+.1*x.sd, survey)
			}
		}
	}
	add("anyone, interpupillary breadth, mm", people.Anyone().Interpupillary.Mean.Millimetres(), 63, .5, "Dodgson 2004, SPIE 5291")
	for _, g := range []struct{ ipd, turn, pitch, want float64 }{
		{61.7, 10, 0, 10.71}, {61.7, 15, 0, 15.97}, {61.7, 20, 0, 21.10}, {61.7, 30, 0, 30.85}, {61.7, 45, 0, 43.63}, {61.7, 60, 0, 53.43},
		{64.0, 10, 0, 11.11}, {64.0, 15, 0, 16.56}, {64.0, 20, 0, 21.89}, {64.0, 30, 0, 32.00}, {64.0, 45, 0, 45.25}, {64.0, 60, 0, 55.43},
		{61.7, 30, 15, 29.80}, {61.7, -30, -15, 29.80},
	} {
		got := people.EyeGap(unit.Length(g.ipd)*mm, unit.Angle(g.turn)*unit.Degree, unit.Angle(g.pitch)*unit.Degree)
		add(fmt.Sprintf("eyes of %v mm, turned %v deg, camera pitched %v deg: depth, mm", g.ipd, g.turn, g.pitch), got.Millimetres(), g.want, .0051, "breadth sin(turn) cos(pitch), by pocket calculator")
	}
	farEars(func(what string, got, want float64) {
		add(what, got, want, .05, "ellipse model, by bisection on the line of sight, apart from this program")
	})
	published.Report(t, "model/people", all)
}

// farEars are the turns at which the far ear goes, for a woman and a man of the survey's
// means and several ears, from infinity, 2 m and 1.2 m.
func farEars(add func(what string, got, want float64)) {
	woman, man := people.Women(), people.Men()
	woman.Bizygomatic.Mean, woman.HeadLength.Mean = 2*66.9*mm, 2*94.9*mm
	man.Bizygomatic.Mean, man.HeadLength.Mean = 2*71.3*mm, 2*99.75*mm
	for _, w := range []struct {
		who          string
		build        people.Build
		out, forward unit.Length
		want         [3]float64
	}{
		{"woman", woman, 81.9, 0, [3]float64{26.47, 24.36, 22.96}},
		{"woman", woman, 87.3, -10, [3]float64{26.76, 24.66, 23.25}},
		{"woman", woman, 81.9, -20, [3]float64{19.46, 17.44, 16.09}},
		{"woman", woman, 87.3, -20, [3]float64{23.50, 21.44, 20.06}},
		{"man", man, 94.5, -10, [3]float64{28.20, 25.95, 24.45}},
		{"man", man, 85.15, -20, [3]float64{18.28, 16.14, 14.71}},
	} {
		for i, d := range []unit.Length{unit.Length(math.Inf(1)), 2, 1.2} {
			got := w.build.FarEarGone(people.EarTip{Out: w.out * mm, Forward: w.forward * mm}, d)
			add(fmt.Sprintf("%s, ear %v mm out, %v forward, from %v: far ear gone at", w.who, float64(w.out), float64(w.forward), d), got.Degrees(), w.want[i])
		}
	}
}
