package optics_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"falloff/model/optics"
	"falloff/model/published"
	"falloff/model/unit"
)

// Values from outside this program.
func TestPublished(t *testing.T) {
	all := append(referenceCases(t), lenses()...)
	all = append(all, diffraction()...)
	all = append(all, keepers()...)
	published.Report(t, "model/optics", all)
}

// Computed by tracing the edge ray and solving blur = c, apart from this program.
func referenceCases(t *testing.T) (all []published.Value) {
	for _, c := range published.Cases(t, "E-") {
		f, n := unit.Length(c.Num("f_mm"))*mm, c.Num("N")
		value := func(key string, got unit.Length) { all = append(all, c.Value(key, "", got.Millimetres())) }
		switch {
		case strings.HasPrefix(c.ID, "E-dof"):
			near, far := optics.DepthOfFieldPupil(f, n, unit.Length(c.Num("coc_mm"))*mm,
				unit.Length(c.Num("focus_mm_from_front_principal_plane"))*mm, c.Num("pupil_magnification"))
			value("near_mm", near)
			value("far_mm", far)
			value("total_mm", far-near)
		case strings.HasPrefix(c.ID, "E-blur"):
			u := unit.Length(math.Inf(1))
			if c.Has("object_mm") {
				if v, ok := c.Input["object_mm"].(float64); ok {
					u = unit.Length(v) * mm
				}
			}
			value("", optics.Blur(f, n, unit.Length(c.Num("focus_mm"))*mm, u, 1))
		default:
			gap := unit.Length(c.Num("IPD_mm")*math.Sin(c.Num("yaw_deg")*math.Pi/180)) * mm
			value("depth_difference_mm", gap)
			near, far := optics.EyesBlur(f, n, unit.Length(c.Num("near_eye_at_mm"))*mm+gap/2, gap, optics.NearEye)
			value("far_eye_blur_mm", far)
			within(t, c.ID+" near eye", float64(near), 0, 0)
			if sharp := far <= 0.03*mm; sharp != c.Expected.(map[string]any)["far_eye_sharp_at_c0p03"].(bool) {
				t.Errorf("%s: sharp is %v", c.ID, sharp)
			}
		}
	}
	return all
}

const (
	thinLens = "thin lens (Greenleaf 1950; Ray, Applied Photographic Optics; from memory), worked apart from this program"
	trade    = "common practice, computed for a 36 mm frame"
)

// Each is given to the digits shown; half of the last is the tolerance, or a little more.
func lenses() (all []published.Value) {
	add := func(source, what string, got, want, tol float64) {
		all = append(all, published.Value{What: what, Want: want, Tolerance: tol, Got: got, Source: source})
	}
	for _, w := range []struct{ f, n, c, want, tol float64 }{{50, 8, .03, 10.4667, 1e-4}, {85, 8, .03, 30.1892, 1e-4}, {35, 11, .03, 3.74712, 1e-5}, {24, 8, .02, 3.624, 1e-4}} {
		add(thinLens, fmt.Sprintf("hyperfocal of %v mm f/%v, m", w.f, w.n), float64(optics.Hyperfocal(unit.Length(w.f)*mm, w.n, unit.Length(w.c)*mm)), w.want, w.tol)
	}
	for _, w := range [][3]float64{{36, 24, .028844}, {23.5, 15.6, .018804}, {43.8, 32.9, .036520}} {
		add("1/1500 of the diagonal (R. F. Lyon 2006)", fmt.Sprintf("circle of confusion of %v x %v mm", w[0], w[1]), optics.CircleOfConfusion(unit.Length(math.Hypot(w[0], w[1]))*mm).Millimetres(), w[2], 1e-6)
	}
	for _, w := range [][3]float64{{85, 1.5, .0600707}, {85, 2, .0443864}, {50, 1, .0526316}, {135, 2.5, .0570825}} {
		add(thinLens, fmt.Sprintf("magnification of %v mm at %v m", w[0], w[1]), optics.Magnification(unit.Length(w[0])*mm, unit.Length(w[1])), w[2], 1e-7)
	}
	m := optics.Magnification(85*mm, 1.5)
	add(thinLens, "frame of 85 mm at 1.5 m, mm", optics.FrameHeight(85*mm, 36*mm, 1.5).Millimetres(), 599.3, .05)
	add(thinLens, "angle of view of 85 mm at infinity", optics.AngleOfView(85*mm, 36*mm, unit.Length(math.Inf(1))).Degrees(), 23.913, 1e-3)
	add(thinLens, "angle of view of 85 mm at 1.5 m", optics.AngleOfView(85*mm, 36*mm, 1.5).Degrees(), 22.594, 1e-3)
	add(thinLens, "bellows factor of 85 mm at 1.5 m, stops", float64(optics.BellowsStops(m, 1)), .1683, 1e-4)
	add(thinLens, "85 mm at 1.5 m, from the sensor mark", float64(optics.FromSensor(85*mm, 1.5)), 1.5+.085*(1+.0600707), 1e-8)
	add("ratio of the sensors, by hand", "56 mm on 23.5 mm is like", optics.Equivalent(56*mm, 23.5*mm).Millimetres(), 85.787, 1e-3)
	for _, w := range [][2]float64{{5, 4.57}, {10, 18.23}, {15, 40.89}, {20, 72.37}} {
		add("d (1 - cos a), by hand", fmt.Sprintf("recomposed by %v deg at 1.2 m, mm", w[0]), optics.RecomposeError(1.2, unit.Angle(w[0])*unit.Degree).Millimetres(), w[1], .005)
	}
	for _, w := range [][2]float64{{.5, 1.24}, {.8, 1.15}, {1.2, 1.10}, {1.5, 1.08}, {2, 1.06}, {3, 1.04}} {
		add("(d + 0.12 m)/d, by hand", fmt.Sprintf("perspective at %v m", w[0]), optics.PerspectiveRatio(unit.Length(w[0])), w[1], 1e-12)
	}
	add(trade, "85 mm covers 60 cm from, m", float64(optics.DistanceFor(85*mm, 36*mm, .6)), 1.50, .005)
	add(trade, "135 mm covers 90 cm from, m", float64(optics.DistanceFor(135*mm, 36*mm, .9)), 3.51, .005)
	for _, w := range [][4]float64{{85, 1.8, 30, .057165}, {85, 1.4, 45, .16237}, {85, 2.8, 35, .043562}} {
		// The sitters of these: 61.7 mm at 1.5 m and 1.2 m, 64.0 mm at 1.5 m; near eye in focus.
		ipd, near := 61.7, unit.Length(1.5)
		switch w[2] {
		case 45:
			near = 1.2
		case 35:
			ipd = 64
		}
		gap := unit.Length(ipd*math.Sin(w[2]*math.Pi/180)) * mm
		_, far := optics.EyesBlur(unit.Length(w[0])*mm, w[1], near+gap/2, gap, optics.NearEye)
		add(thinLens, fmt.Sprintf("blur of the far eye, %v mm f/%v, turned %v deg", w[0], w[1], w[2]), far.Millimetres(), w[3], 5e-6)
	}
	return all
}

func diffraction() (all []published.Value) {
	add := func(source, what string, got, want, tol float64) {
		all = append(all, published.Value{What: what, Want: want, Tolerance: tol, Got: got, Source: source})
	}
	for _, w := range [][2]float64{{2.8, 3.758}, {5.6, 7.515}, {8, 10.736}, {11, 14.762}, {16, 21.472}, {22, 29.524}} {
		add("Airy 1835, 2.44 wavelengths N, by hand", fmt.Sprintf("Airy diameter at f/%v, um", w[0]), float64(optics.AiryDiameter(optics.Green, w[0], 0, 1))*1e6, w[1], 1e-3)
	}
	add("1/(wavelength N), by hand", "cut-off at f/16, lp/mm", optics.Cutoff(optics.Green, 16)/1e3, 113.64, .005)
	add("root sum square, by hand", "three blurs together, mm", optics.TotalBlur(.03*mm, .014762*mm, .006*mm).Millimetres(), .03397, 1e-5)
	add("v t m, by hand", "0.5 m/s for 1/128 s, pixels of 4.36 um", float64(optics.MotionBlur(.5, 1./128, .06007))/4.36e-6, 53.82, .01)
	add("v t m, by hand", "0.5 m/s for a flash of 1/1000 s, pixels", float64(optics.MotionBlur(.5, 1./1000, .06007))/4.36e-6, 6.889, .001)
	add("1/f rule and 4 stops, by hand", "hand-held 85 mm, s", float64(optics.HandheldFloor(85*mm, 4)), .1882, 5e-5)
	return all
}

// Shares with both eyes sharp, focus on the near eye, spread 8 mm, c 0.030 mm, for a frame
// of 36 x 24 mm upright over 35 cm and 60 cm, interpupillary breadth 63 mm; computed
// elsewhere with the simpler depth of field 2cN(1+m)/m^2, hence 0.02 of room.
func keepers() (all []published.Value) {
	for _, w := range []struct{ frame, n, yaw, want float64 }{
		{.35, 1.4, 0, .42}, {.35, 1.4, 10, 0}, {.35, 2.8, 0, .72}, {.35, 2.8, 10, .26},
		{.35, 5.6, 0, .97}, {.35, 5.6, 10, .78},
		{.60, 1.4, 0, .88}, {.60, 1.4, 10, .51}, {.60, 1.4, 20, .06},
		{.60, 2, 0, .97}, {.60, 2, 10, .79}, {.60, 2, 20, .30},
		{.60, 2.8, 0, 1}, {.60, 2.8, 10, .96}, {.60, 2.8, 20, .65},
	} {
		for _, f := range []unit.Length{85 * mm, 135 * mm} { // the lens does not matter
			gap := unit.Length(.063 * math.Sin(w.yaw*math.Pi/180))
			u := optics.DistanceFor(f, 36*mm, unit.Length(w.frame)) + gap/2
			got := optics.Keepers(f, w.n, u, gap, optics.FocusSpread, .03*mm, optics.NearEye)
			all = append(all, published.Value{What: fmt.Sprintf("keepers, %v over %.2f m, f/%v, turned %v deg", f, w.frame, w.n, w.yaw), Want: w.want, Tolerance: .02, Got: float64(got),
				Source: "common practice, computed with a simpler depth of field"})
		}
	}
	return all
}
