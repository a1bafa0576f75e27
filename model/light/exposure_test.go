package light

import (
	"math"
	"strings"
	"testing"

	"falloff/model/geom"
)

func TestExposureCases(t *testing.T) {
	for _, c := range references(t, "exposure") {
		has := func(key string) bool { _, ok := c.Input[key]; return ok }
		switch {
		case strings.HasPrefix(c.ID, "F-inc"):
			e, s, k := c.num("E_lx"), c.num("ISO"), c.num("C")
			c.near(t, IncidentN(e, c.num("t_s"), s, k), c.want("N"))
			// The cases print log2(N^2/t) less log2(S/100): EV100.
			c.near(t, EV(IncidentN(e, c.num("t_s"), s, k), c.num("t_s"))-math.Log2(s/100), c.want("EV100"))
			c.near(t, IncidentEV(e, 100, k), c.want("EV100"))
		case c.ID == "F-refl":
			c.near(t, ReflectedEV(c.num("L_cd_m2"), c.num("ISO"), c.num("K")), c.want("EV"))
		case c.ID == "F-KC-reflectance":
			c.near(t, MatchReflectance(c.num("K"), c.num("C")), c.want(""))
		case c.ID == "F-GN-from-BCPS-C250":
			c.near(t, GuideNumber(c.num("BCPS"), c.num("ISO"), c.num("C")), c.want("GN_m"))
			c.near(t, GuideNumberFeet(c.num("BCPS"), c.num("ISO"), c.num("C")), c.want("GN_ft"))
		case has("k_ft"):
			c.near(t, GuideNumberFeet(c.num("BCPS"), c.num("ISO"), GuideNumberC), c.want("GN_ft"))
			c.near(t, GuideNumberC, c.want("equivalent_C"))
		case has("energy_Ws"):
			q := c.num("energy_Ws") * c.num("lumen_seconds_per_Ws") * c.num("modifier_transmission")
			e, d := Emitter{Face: Face{Rect, 0.9, 0.9}}, c.num("distance_m")
			h := q * e.OnAxis(d)
			if c.text("treat_as") == "point" {
				n := geom.Vec{Y: 1}
				h = q * e.Intensity(Pose{geom.Vec{}, n}, n) / (d * d)
			}
			c.near(t, h, c.want("lux_seconds"))
			c.near(t, IncidentN(h, 1, c.num("ISO"), c.num("C")), c.want("N"))
		case has("ambient_lx"):
			h, e, s := c.num("flash_lux_s"), c.num("ambient_lx"), c.num("t_s")
			c.near(t, Together(h, e, s, c.num("ISO"), c.num("C")), c.want("N"))
			c.near(t, StopsUnder(h, e, s), c.want("ambient_stops_below_flash"))
		case strings.HasPrefix(c.ID, "F-true"):
			// Marks against true values belong to package unit.
		default:
			t.Errorf("%s: unread case", c.ID)
		}
	}
}

// Rows of a film maker's data sheet (beam candela seconds to guide number in feet at ISO
// 100), as printed, rounded there to about 5 %.
func TestPublishedGuideNumbers(t *testing.T) {
	for bcps, feet := range map[float64]float64{350: 40, 500: 50, 700: 60, 1000: 70, 1400: 85, 2000: 100, 2800: 120, 4000: 140, 5600: 170, 8000: 200} {
		if got := GuideNumberFeet(bcps, 100, GuideNumberC); math.Abs(got/feet-1) > 0.05 {
			t.Errorf("%v cd s: %.1f ft, printed %v", bcps, got, feet)
		}
		if got := BeamOfGuideNumberFeet(GuideNumberFeet(bcps, 100, GuideNumberC), 100, GuideNumberC); math.Abs(got/bcps-1) > 1e-12 {
			t.Errorf("%v cd s come back as %v", bcps, got)
		}
	}
}

func TestExposureIdentities(t *testing.T) {
	near := func(name string, got, want, tol float64) {
		t.Helper()
		if math.Abs(got-want) > tol {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
	// f/8 for 1 s at ISO 100 asks for 160 lux (ISO 2720:1974 with C = 250).
	near("needed", Needed(PlaneC, 8, 100), 160, 1e-12)
	near("round trip", IncidentN(Needed(PlaneC, 5.6, 200), 1, 200, PlaneC), 5.6, 1e-12)
	// Exponential decay: ln 10 / ln 2 = 3.32193; the half-peak window holds half.
	near("t0.1", T01(1./500), 3.321928/500, 1e-8)
	near("half", FlashShare(1./500, 1./500), 0.5, 1e-12)
	near("tenth", FlashShare(T01(1./500), 1./500), 0.9, 1e-12)
	near("3 ms of 1/500 s", FlashShare(0.003, 1./500), 0.646447, 1e-6)
	// An equal amount adds one stop.
	near("contamination", Contamination(100, 800, 1./8), 1, 1e-12)
	near("constants", math.Log2(PlaneC/GuideNumberC), 0.216, 5e-4)
}

func TestGridTable(t *testing.T) {
	deg := math.Pi / 180
	// Closed forms evaluated by hand: tube and hexagon of depth equal to the cell width,
	// the hexagon toward a flat and toward a corner.
	for i, want := range []struct{ tube, flat, corner float64 }{
		{.7767, .7753, .7964}, {.5470, .5589, .5797}, {.3081, .3413, .3333}, {.07558, .1159, .0996},
	} {
		s := math.Tan(float64(i+1) * 10 * deg)
		c, d := math.Cos(30*deg), math.Sin(30*deg)
		for _, v := range []struct {
			name      string
			got, want float64
		}{
			{"tube", Grid{Tube, 1}.Transmission(s*c, s*d), want.tube},
			{"flat", Grid{Hex, 1}.Transmission(s, 0), want.flat},
			{"flat at 60", Grid{Hex, 1}.Transmission(s*d, -s*c), want.flat},
			{"corner", Grid{Hex, 1}.Transmission(s*c, s*d), want.corner},
			{"corner at 90", Grid{Hex, 1}.Transmission(0, s), want.corner},
		} {
			if math.Abs(v.got-v.want) > 1e-4 {
				t.Errorf("%s at %d deg: %.5f, want %.5f", v.name, 10*(i+1), v.got, v.want)
			}
		}
	}
	for _, row := range []struct{ k, cutoff, half, diagonal float64 }{
		{.5, 63.43, 45.0, 70.53}, {1, 45, 26.57, 54.74}, {2, 26.57, 14.04, 35.26}, {3, 18.43, 9.462, 25.24},
	} {
		g := Grid{Square, row.k}
		at := func(a, roll float64) float64 {
			s := math.Tan(a * deg)
			return g.Transmission(s*math.Cos(roll), s*math.Sin(roll))
		}
		if at(row.cutoff-0.05, 0) <= 0 || at(row.cutoff+0.05, 0) != 0 {
			t.Errorf("K %v: cut-off is not at %v", row.k, row.cutoff)
		}
		if at(row.diagonal-0.05, math.Pi/4) <= 0 || at(row.diagonal+0.05, math.Pi/4) != 0 {
			t.Errorf("K %v: diagonal cut-off is not at %v", row.k, row.diagonal)
		}
		if math.Abs(at(row.half, 0)-0.5) > 1e-3 {
			t.Errorf("K %v: %v passes at %v", row.k, at(row.half, 0), row.half)
		}
	}
	if g := GridOfAngle(Square, 90*3.14159265358979/180); math.Abs(g.K-1) > 1e-9 {
		t.Errorf("a 90 degree grid has K = 1, not %v", g.K)
	}
}
