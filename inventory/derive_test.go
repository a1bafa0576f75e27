package inventory_test

import (
	"math"
	"testing"

	"falloff/inventory"
	"falloff/model/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s is %.5g, want %.5g +- %.2g", what, got, want, tolerance)
	}
}

// 200 Ws at 40 lm s/Ws through a 60 % front of 0.9 m square, a point at 1.5 m: H = 606.648
// lx s and N = 15.5775 at ISO 100, C = 250; bare, I = Q/(4 pi) = 636.62 cd s and the guide
// number is 15.958 m (from Q = eta W, Lambert 1760 and ISO 2720:1974 by hand, the square
// by the contour formula). Rounding of the last figure, 1e-4 relative.
func TestRatedFlash(t *testing.T) {
	text := with(t, smallStudio, "energy: 300 Ws,", "energy: 200 Ws, efficacy: 40 lm/W,")
	text = with(t, text, "face: 60 x 90 cm, efficiency: 45 %", "face: 90 x 90 cm, efficiency: 60 %")
	s := load(t, text)
	h, box := s.Head("mono"), s.Modifier("box")
	q, doubt, ok := h.Output(s, false)
	if !ok || q != 8000 || doubt != 0.7 {
		t.Errorf("output is %v lm s +- %v, %v; want 8000 lm s +- 0.7 stops", q, doubt, ok)
	}
	exposure := h.At(s, false, box, nil, 1.5)
	near(t, "H", exposure, 606.648, 0.06)
	near(t, "N", math.Sqrt(100*exposure/250), 15.5775, 0.0016)
	near(t, "bare guide number", 3*math.Sqrt(100*h.At(s, false, nil, nil, 3)/250), 15.958, 0.0016)
	if _, _, ok := s.Head("mono").Output(s, true); !ok {
		t.Error("the lamp gives nothing")
	}
}

// A guide number read at a distance gives the same reading there again: the definition.
func TestMeteredFlash(t *testing.T) {
	for _, at := range []string{"", ", at: 1.2 m"} {
		s := load(t, with(t, smallStudio, "energy: 300 Ws,", "metered: {guide: 24 m, with: box"+at+"},"))
		h := s.Head("mono")
		d := h.Flash.Metered.At
		_, doubt, ok := h.Output(s, false)
		if !ok || doubt != 0.1 {
			t.Errorf("doubt is %v, %v; want 0.1", doubt, ok)
		}
		got := math.Sqrt(100*h.At(s, false, s.Modifier("box"), nil, d)/250) * float64(d)
		near(t, "guide number", got, 24, 1e-9)
		if d := h.Doubt(s, false, s.Modifier("box"), nil); d != 0.1 {
			t.Errorf("the box was metered, yet the doubt is %v", d)
		}
		near(t, "doubt in another modifier", float64(h.Doubt(s, false, s.Modifier("pan"), nil)), math.Hypot(0.1, 0.5), 1e-12)
	}
}

// With a meter constant of 320 the same reading means 320/250 times the light.
func TestMeterConstant(t *testing.T) {
	text := with(t, smallStudio, "energy: 300 Ws,", "metered: {guide: 24 m, with: box},")
	plain := load(t, text)
	other := load(t, "meter: {constant: 320}\n"+text)
	dome := load(t, "meter: {kind: dome}\n"+text)
	a, _, _ := plain.Head("mono").Output(plain, false)
	b, _, _ := other.Head("mono").Output(other, false)
	c, _, _ := dome.Head("mono").Output(dome, false)
	near(t, "ratio", b/a, 320.0/250, 1e-12)
	near(t, "dome, a plane still", c/a, 1, 1e-12)
}

func TestMeteredLamp(t *testing.T) {
	s := load(t, with(t, smallStudio, "flux: 2000 lm,", "metered: {lux: 400 lx, with: box, at: 1.5 m},"))
	near(t, "lux", s.Head("mono").At(s, true, s.Modifier("box"), nil, 1.5), 400, 1e-9)
}

// 300 Ws in a soft box at 1.2 m is about f/18 at ISO 100, within 1.5 stops (common
// practice, no source).
func TestSoftBoxFNumber(t *testing.T) {
	s := load(t, smallStudio)
	n := math.Sqrt(100 * s.Head("mono").At(s, false, s.Modifier("box"), nil, 1.2) / 250)
	if stops := 2 * math.Log2(n/18); math.Abs(stops) > 1.5 {
		t.Errorf("f/%.1f is %+.1f stops from f/18", n, stops)
	}
}

// A 60 W daylight LED in a soft box at 1.5 m carries at least ISO 200, 1/50 s, f/1.2
// (common practice, no source).
func TestLEDInSoftBox(t *testing.T) {
	s := example(t, "northlight.yaml")
	lux := s.Head("led-60").At(s, true, s.Modifier("box-60x90"), nil, 1.5)
	if need := 250 * 1.2 * 1.2 * 50 / 200; lux < need {
		t.Errorf("%.0f lx, and f/1.2 at ISO 200, 1/50 s takes %.0f", lux, need)
	}
}

func TestGridTakesLight(t *testing.T) {
	s := load(t, smallStudio)
	h, pan, comb := s.Head("mono"), s.Modifier("pan"), s.Grid("comb")
	near(t, "throughput", inventory.Throughput(pan, comb), 0.75*0.9, 1e-12)
	if inventory.Throughput(nil, nil) != 1 {
		t.Error("a bare head loses light")
	}
	open, gridded := h.At(s, false, pan, nil, 2), h.At(s, false, pan, comb, 2)
	if !(gridded > 0 && gridded < 0.9*open) {
		t.Errorf("on axis %v with the grid, %v without", gridded, open)
	}
}

// A cut-off and the ratio that it means are the same grid: k = 1/tan(angle/2).
func TestGridByAngleOrRatio(t *testing.T) {
	a := load(t, with(t, smallStudio, "cutoff: 30 deg", "cutoff: 90 deg"))
	b := load(t, with(t, smallStudio, "cutoff: 30 deg", "ratio: 1"))
	ka := a.Modifier("pan").Emitter(a.Grid("comb")).Grid.K
	kb := b.Modifier("pan").Emitter(b.Grid("comb")).Grid.K
	near(t, "k of 90 deg", ka, 1, 1e-12)
	near(t, "k of ratio 1", kb, 1, 1e-12)
}

func TestFits(t *testing.T) {
	text := with(t, smallStudio, "efficiency: 45 %,", "efficiency: 45 %, max_lamp: 60 W,")
	s := load(t, text+"# end\n")
	h, box, pan := s.Head("mono"), s.Modifier("box"), s.Modifier("pan")
	for _, c := range []struct {
		what      string
		got, want bool
	}{
		{"a lamp over the limit", inventory.HeadTakes(h, box), false},
		{"a reflector", inventory.HeadTakes(h, pan), true},
		{"bare", inventory.HeadTakes(h, nil), true},
		{"no grid", inventory.ModTakesGrid(box, nil), true},
		{"a grid of another modifier", inventory.ModTakesGrid(box, s.Grid("comb")), false},
		{"its grid", inventory.ModTakesGrid(pan, s.Grid("comb")), true},
		{"a grid on a bare head", inventory.ModTakesGrid(nil, s.Grid("comb")), false},
		{"a gel that fits all", inventory.HeadTakesGel(h, pan, s.Gel("amber")), true},
		{"a gel round the tube", inventory.HeadTakesGel(h, nil, s.Gel("amber")), true},
		{"a gel of another mount", inventory.HeadTakesGel(h, pan, &inventory.Gel{Fits: []string{"small"}}), false},
		{"a modifier that takes none", inventory.HeadTakesGel(h, &inventory.Modifier{GelAt: "no"}, s.Gel("amber")), false},
	} {
		if c.got != c.want {
			t.Errorf("%s: %v", c.what, c.got)
		}
	}
}

// 5 kg at 1.5 m is balanced by 12.5 kg at 0.6 m: the lever law (Archimedes).
func TestCounterweight(t *testing.T) {
	b := &inventory.Boom{Reach: 1.5, Tail: 0.6, Load: 6}
	near(t, "counterweight", float64(b.Counterweight(5)), 12.5, 1e-9)
	b.Mass = 2 // a rod of 2.1 m, its middle 0.45 m beyond the pivot: 2*0.45/0.6 = 1.5 kg more
	near(t, "with the arm", float64(b.Counterweight(5)), 14, 1e-9)
	strong, weak := &inventory.Stand{Load: 21}, &inventory.Stand{Load: 20.9}
	if !inventory.Carries(strong, b, 5) || inventory.Carries(weak, b, 5) {
		t.Error("5 + 2 + 14 kg hang on a stand for 21 kg and no less")
	}
	if inventory.Carries(strong, b, 6.5) {
		t.Error("the tip carries 6 kg only")
	}
	if !inventory.Carries(weak, nil, 20.9) {
		t.Error("a stand carries its load")
	}
}

func TestPowers(t *testing.T) {
	for _, c := range []struct {
		reach, step string
		n           int
	}{
		{"6 stops", "0.1 stops", 61},
		{"7 stops", "0.1 stops", 71},
		{"5 stops", "1/3 stop", 16},
		{"6 stops", "0.7 stops", 9}, // 8 steps reach 5.6
		{"0.3 stops", "0.1 stops", 4},
	} {
		s := load(t, with(t, smallStudio, "range: 6 stops, step: 0.1 stops,", "range: "+c.reach+", step: "+c.step+","))
		if n, _ := s.Head("mono").Powers(false); n != c.n {
			t.Errorf("%s by %s: %d settings, want %d", c.reach, c.step, n, c.n)
		}
	}
	h := load(t, smallStudio).Head("mono")
	if n, _ := h.Powers(true); n != 1 {
		t.Errorf("a lamp that does not dim has %d powers", n)
	}
	if got := h.Setting(false, 17); math.Abs(float64(got)+1.7) > 1e-12 {
		t.Errorf("setting 17 is %v", got)
	}
	if got := h.Dialled(-1.7); got != "1/4 +0.3" {
		t.Errorf("-1.7 stops reads %q", got)
	}
	h.Dial = inventory.DialPercent
	if got := h.Dialled(-1); got != "50 %" {
		t.Errorf("-1 stop reads %q", got)
	}
}

// 300 Ws in 1 s at three quarters efficiency is 400 W, and 100 W of lamp: 2.17 A at 230 V.
func TestAmps(t *testing.T) {
	h := load(t, smallStudio).Head("mono")
	near(t, "amperes", h.Amps(230), 500.0/230, 1e-9)
	near(t, "of the lamp", h.LampAmps(230), 100.0/230, 1e-9)
	h.Flash.Amps = 5
	near(t, "nameplate", h.Amps(230), 5+100.0/230, 1e-9)
	h.Cable = 0
	near(t, "on battery", h.Amps(230), 0, 0)
}

// Handling times are midpoints of ranges from memory, no source. Their sums must agree
// with the range for a whole rig, from the same memory: three to four lights in an empty
// room take 35 to 60 minutes alone and 20 to 35 with an assistant, of which paper, camera
// and a full metering are part.
func TestHandlingTimes(t *testing.T) {
	rig := []inventory.LightSet{
		{Head: "mono", Modifier: "box"},
		{Head: "mono", Modifier: "pan", Grid: "comb", Gel: "amber"},
		{Head: "mono", Modifier: "pan", Grid: "comb", Gel: "amber"},
		{Head: "mono", Modifier: "pan"},
	}
	for _, c := range []struct {
		crew     string
		low, top unit.Minutes
	}{{"alone", 35, 60}, {"assisted", 20, 35}} {
		s := load(t, "crew: "+c.crew+"\n"+smallStudio)
		total := s.Minutes(inventory.PaperChange) + s.Minutes(inventory.LensChange) + s.Minutes(inventory.MeterSet)
		for _, l := range rig {
			total += s.LightMinutes(l)
		}
		if total < c.low || total > c.top {
			t.Errorf("%s: %v, want %v to %v", c.crew, total, c.low, c.top)
		}
	}
}

func TestOwnTimes(t *testing.T) {
	s := load(t, "times: {new_light: 3 min, gel_in_box: 0 min}\n"+smallStudio)
	if got := s.Minutes(inventory.NewLight); got != 3 {
		t.Errorf("a new light takes %v, want 3 min", got)
	}
	if got := s.GelMinutes(s.Modifier("box")); got != 0 {
		t.Errorf("a gel in a box takes %v, want nothing", got)
	}
	if got := s.GelMinutes(s.Modifier("pan")); got != 1.35 {
		t.Errorf("a gel on a reflector takes %v, want the usual 1.35 min", got)
	}
	plain := load(t, smallStudio)
	base := plain.LightMinutes(inventory.LightSet{Head: "mono"})
	boomed := plain.LightMinutes(inventory.LightSet{Head: "mono", Boom: "arm"})
	if boomed-base != plain.Minutes(inventory.RigBoom) {
		t.Errorf("a boom adds %v", boomed-base)
	}
}

func TestShelf(t *testing.T) {
	s := load(t, with(t, smallStudio, "  - {id: radio}\n", "  - {id: radio}\n  - {id: aradio}\n"))
	sh := s.Shelf()
	for i := 1; i < len(sh.IDs); i++ {
		if sh.IDs[i-1] >= sh.IDs[i] {
			t.Fatalf("ids are not sorted: %v", sh.IDs)
		}
	}
	if len(sh.IDs) != s.Types() || s.Types() != 13 || s.Items() != 14 {
		t.Errorf("%d ids, %d types, %d items; want 13, 13, 14", len(sh.IDs), s.Types(), s.Items())
	}
	if sh.Triggers[0].ID != "aradio" || s.Triggers[0].ID != "radio" {
		t.Error("the shelf is in the order of ids, the file keeps its own")
	}
	class, it, ok := s.Find("pan")
	if !ok || class != "modifier" || it != &s.Modifier("pan").Item {
		t.Errorf("Find gives %v %v %v", class, it, ok)
	}
	if s.Grid("") != nil || s.Grid("pan") != nil {
		t.Error("no grid has these ids")
	}
}

// The shelf follows a studio whose lists change, and a copy does not touch its original.
func TestChangedStudio(t *testing.T) {
	s := load(t, smallStudio)
	c := s.Copy()
	c.Gels = append(c.Gels, inventory.Gel{Item: inventory.Item{ID: "blue"}, Standard: "deep blue"})
	c.Complete()
	c.Heads[0].Flash.Energy = 1000
	c.Modifiers[0].Fits[0] = "other"
	if c.Gel("blue") == nil || c.Gel("blue").Count != 1 {
		t.Error("the new gel is not on the shelf")
	}
	if s.Gel("blue") != nil || s.Heads[0].Flash.Energy != 300 || s.Modifiers[0].Fits[0] != "studio" {
		t.Error("the original changed")
	}
	s.Heads = nil
	if s.Head("mono") != nil {
		t.Error("a head that was taken away is still found")
	}
}

func TestSpectra(t *testing.T) {
	s := load(t, smallStudio)
	h := s.Head("mono")
	flash := h.Spectrum(false)
	near(t, "luminous sum", flash.XYZ().Y, 1, 1e-9)
	f := s.Gel("amber").Filter()
	if f.T[0] > 0.2 || f.T[len(f.T)-1] < 0.6 {
		t.Error("amber passes the long end")
	}
	if h.Kelvin(false) != 5600 || (&inventory.Head{}).Kelvin(true) != 0 {
		t.Error("colour temperatures")
	}
}
