package photometry_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/model/geom"
	"falloff/model/light/photometry"
	"falloff/model/source"
	"falloff/model/unit"
)

// Written by hand for these tests, after the layout of IESNA LM-63-2002.
const hand = `IESNA:LM-63-2002
[TEST] X1
[TESTLAB] none
[ISSUEDATE] 2026-01-01
[MANUFAC] none
TILT=NONE
1 -1 1.5 4 2 1 2 0.4 1.33 0
1 1 100
0 30 60 90
0 90
1000 800 300 0
1000 600 100 0
`

func file(text string) *source.File { return &source.File{Name: "light.ies", Text: []byte(text)} }

func ies(t testing.TB, text string) *photometry.Web {
	t.Helper()
	w, err := photometry.ReadIES(file(text))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func eulumdat(t testing.TB, text string) *photometry.Web {
	t.Helper()
	w, err := photometry.ReadEULUMDAT(file(text))
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// near allows what rounding may do to a handful of sums and products.
func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)+1e-12) {
		t.Errorf("%s: got %.9g, want %.9g", what, got, want)
	}
}

func deg(d float64) unit.Angle { return unit.Angle(d) * unit.Degree }

const rounding = 1e-12

func TestByHand(t *testing.T) {
	w := ies(t, hand)
	near(t, "I(45, -30)", w.Intensity(deg(45), deg(-30)), 725, rounding)
	near(t, "I(45, 390)", w.Intensity(deg(45), deg(390)), 725, rounding)
	near(t, "I(60, 90)", w.Intensity(deg(60), deg(90)), 150, rounding)
	// The mean around the axis is 1500, 1050, 300, 0: half at 30 + 300/750 * 30 = 42 deg and
	// a tenth at 60 + 150/300 * 30 = 75 deg.
	near(t, "beam", w.Beam().Degrees(), 84, rounding)
	near(t, "field", w.Field().Degrees(), 150, rounding)
	// Plane C90 is 1500, 900, 150, 0: half at 30 + 150/750 * 30 = 36 deg.
	near(t, "spread", w.Spread(0.5, deg(90)).Degrees(), 72, rounding)
	if !w.Absolute || w.Flux != 0 || w.Watts != 100 || w.Symmetry != photometry.Quadrant {
		t.Errorf("read as %+v", w)
	}
	if o := w.Opening; o.Width != 0.4 || o.Length != 1.33 || o.Height != 0 || o.Round {
		t.Errorf("opening %+v", o)
	}
	near(t, "far", float64(w.FarFrom()), 5*1.33, rounding)
}

func TestPlanesTurnCounterClockwise(t *testing.T) {
	// IESNA LM-63-2002, 3.0: horizontal angles of type C are counter-clockwise; a light
	// that points down, seen from above, with C0 along x.
	m := photometry.Mount{At: geom.Vec{Z: 2}, Aim: geom.Vec{Z: -1}, Zero: geom.Vec{X: 1}}
	v, h := m.Angles(geom.Vec{Y: 2})
	near(t, "vertical", v.Degrees(), 45, rounding)
	near(t, "horizontal", h.Degrees(), 90, rounding)
	v, _ = m.Angles(geom.Vec{Z: 5})
	near(t, "behind", v.Degrees(), 180, rounding)
}

func TestEditions(t *testing.T) {
	// The field after the ballast factor is the ballast-lamp factor before 2002 only.
	for _, c := range []struct {
		version string
		want    float64
	}{
		{"", 0.25}, {"A lamp\n", 0.25}, {"IESNA91\n", 0.25}, {"IESNA:LM-63-1995\n", 0.25},
		{"IESNA:LM-63-2002\n", 0.5}, {"IES:LM-63-2019\n", 0.5}, {"\ufeffiesna:lm-63-2002\n", 0.5},
	} {
		w := ies(t, c.version+"TILT=NONE\n2 1000 1 2 1 1 1 -1 -1 0\n0.5 0.5 10\n0 90\n0\n1 1\n")
		near(t, c.version, w.Intensity(0, 0), c.want, rounding)
		if w.Absolute || w.Flux != 2000 {
			t.Errorf("%s: flux %v, absolute %v", c.version, w.Flux, w.Absolute)
		}
		if o := w.Opening; !o.Round || o.Width != unit.Foot || o.Length != unit.Foot {
			t.Errorf("%s: a round opening of a foot was read as %+v", c.version, o)
		}
	}
}

func TestDelimitersAndLetters(t *testing.T) {
	plain := ies(t, hand)
	for name, text := range map[string]string{
		"commas":    strings.Replace(strings.Replace(hand, "1000 800 300 0", "1000,800, 300,0", 1), "0 30 60 90", "0,30,60 ,\n90", 1),
		"CR LF":     strings.ReplaceAll(hand, "\n", "\r\n"),
		"CR":        strings.ReplaceAll(hand, "\n", "\r"),
		"DOS end":   hand + "\x1a",
		"one line":  hand[:strings.Index(hand, "1 -1")] + strings.ReplaceAll(hand[strings.Index(hand, "1 -1"):], "\n", " "),
		"tabs":      strings.ReplaceAll(hand, " ", "\t"),
		"exponents": strings.Replace(hand, "1000 800 300 0", "1E3 +8.0e+2 300. 0", 1),
	} {
		w := ies(t, text)
		if got, want := w.Lumens(), plain.Lumens(); got != want {
			t.Errorf("%s: %v lm, want %v", name, got, want)
		}
	}
	w := ies(t, strings.Replace(hand, "[MANUFAC] none", "[manufac] caf\xe9\n[MORE] two", 1))
	want := []photometry.Label{{Name: "MANUFAC", Text: "caf\u00e9"}, {Name: "MANUFAC", Text: "two"}}
	if got := w.Labels[3:]; len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("labels %q", got)
	}
}

func TestTilt(t *testing.T) {
	w := ies(t, strings.Replace(hand, "TILT=NONE", "TILT=INCLUDE\n1\n3\n0 45 90\n1 0.9 0.7", 1))
	if w.Tilt == nil || w.Tilt.Geometry != 1 {
		t.Fatalf("tilt %+v", w.Tilt)
	}
	for at, want := range map[float64]float64{-5: 1, 0: 1, 22.5: 0.95, 45: 0.9, 90: 0.7, 120: 0.7} {
		near(t, fmt.Sprint("tilt ", at), w.Tilt.Factor(deg(at)), want, rounding)
	}
	near(t, "intensity as tested", w.Intensity(0, 0), 1500, rounding)
}

// ldt writes a file of EULUMDAT.
func ldt(isym int, c, gamma []float64, lumens float64, planes [][]float64) string {
	var b strings.Builder
	line := func(v ...any) {
		for _, x := range v {
			fmt.Fprintln(&b, x)
		}
	}
	line("company", 1, isym, len(c), 0, len(gamma), 0, "report", "name", "number", "file", "date")
	line(600, 300, 50, 500, 200, 10, 20, 30, 40, 100, 80, 1, 0)
	line(1, 1, "a lamp", lumens, "", "", 40)
	line(0, 0, 0, 0, 0, 0, 0, 0, 0, 0)
	for _, list := range append([][]float64{c, gamma}, planes...) {
		for _, x := range list {
			line(x)
		}
	}
	return b.String()
}

func TestEULUMDATIsPerThousandLumens(t *testing.T) {
	text := ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}})
	w := eulumdat(t, text)
	near(t, "250 cd/klm of 2400 lm", w.Intensity(deg(20), deg(123)), 600, rounding)
	if w.Flux != 2400 || w.Watts != 40 || w.Absolute || w.Output != 0.8 {
		t.Errorf("read as %+v", w)
	}
	if o := w.Opening; o.Length != 0.5 || o.Width != 0.2 || o.Height != 0.04 || o.Round {
		t.Errorf("opening %+v", o)
	}
	for name, c := range map[string]struct {
		old, new string
		want     float64
	}{
		"decimal comma":     {"\n250\n", "\n250,5\n", 601.2},
		"conversion factor": {"\n80\n1\n", "\n80\n0,5\n", 300},
		"absolute":          {"\n1\na lamp", "\n-1\na lamp", 600},
		"Latin-1":           {"company", "f\xfcr", 600},
		"CR LF":             {"\n", "\r\n", 600},
	} {
		changed := strings.Replace(text, c.old, c.new, 1)
		if name == "CR LF" {
			changed = strings.ReplaceAll(text, c.old, c.new)
		}
		w := eulumdat(t, changed)
		near(t, name, w.Intensity(0, 0), c.want, rounding)
		if w.Absolute != (name == "absolute") {
			t.Errorf("%s: absolute %v", name, w.Absolute)
		}
		if name == "Latin-1" && w.Labels[0].Text != "f\u00fcr" {
			t.Errorf("label %q", w.Labels[0].Text)
		}
	}
}

func TestLampSets(t *testing.T) {
	one := "1\n1\na lamp\n2400\n\n\n40\n"
	text := ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}})
	for name, c := range map[string]struct {
		sets string
		ok   bool
	}{
		"set by set":     {"2\n1\na lamp\n2400\nwhite\n1B\n40\n2\nother\n5000\nwhite\n1B\n60\n", true},
		"field by field": {"2\n1\n2\na lamp\nother\n2400\n5000\nwhite\nwhite\n1B\n1B\n40\n60\n", true},
		"either":         {"2\n1\n36\n2400\n830\n83\n40\n2\n58\n5000\n830\n83\n60\n", false},
	} {
		w, err := photometry.ReadEULUMDAT(file(strings.Replace(text, one, c.sets, 1)))
		if (err == nil) != c.ok {
			t.Errorf("%s: %v", name, err)
		} else if c.ok && (w.Flux != 2400 || w.Watts != 40) {
			t.Errorf("%s: %v, %v", name, w.Flux, w.Watts)
		}
	}
}

// A light whose intensity is another one in every plane: what a reader of the right planes
// must find at the angles of the file, and half-way between them.
func lit(v, h float64) float64 { return 100 + v*math.Mod(h+360, 360) }

func TestSymmetries(t *testing.T) {
	c := []float64{0, 45, 90, 135, 180, 225, 270, 315}
	gamma := []float64{0, 30, 90}
	for _, s := range []struct {
		isym   int
		planes []float64
		fold   func(h float64) float64 // where the light of h is measured
		kind   photometry.Symmetry
	}{
		{0, c, func(h float64) float64 { return h }, photometry.Whole},
		{1, []float64{0}, func(float64) float64 { return 0 }, photometry.Axial},
		{2, []float64{0, 45, 90, 135, 180}, func(h float64) float64 { return min(h, 360-h) }, photometry.Bilateral},
		// Stockmar 1990: the first plane is number 3 Mc/4 + 1 = 7, C270; the last is C90.
		{3, []float64{270, 315, 0, 45, 90}, func(h float64) float64 {
			if h > 90 && h < 270 {
				return math.Mod(540-h, 360)
			}
			return h
		}, photometry.Crosswise},
		{4, []float64{0, 45, 90}, func(h float64) float64 {
			h = min(h, 360-h)
			return min(h, 180-h)
		}, photometry.Quadrant},
	} {
		var rows [][]float64
		for _, h := range s.planes {
			var row []float64
			for _, v := range gamma {
				row = append(row, lit(v, h))
			}
			rows = append(rows, row)
		}
		w := eulumdat(t, ldt(s.isym, c, gamma, 1000, rows))
		if w.Symmetry != s.kind {
			t.Errorf("Isym %d read as %v", s.isym, w.Symmetry)
		}
		for _, v := range gamma {
			for k, h := range c {
				here, next := lit(v, s.fold(h)), lit(v, s.fold(c[(k+1)%len(c)]))
				near(t, fmt.Sprintf("Isym %d at %v, C%v", s.isym, v, h), w.Intensity(deg(v), deg(h)), here, rounding)
				near(t, fmt.Sprintf("Isym %d at %v, C%v", s.isym, v, h+22.5), w.Intensity(deg(v), deg(h+22.5)), (here+next)/2, 1e-9)
			}
		}
	}
}

func TestHorizontalAnglesOfIES(t *testing.T) {
	for list, want := range map[string]photometry.Symmetry{
		"0": photometry.Axial, "0 90": photometry.Quadrant, "0 45 90 180": photometry.Bilateral,
		"0 120 240 360": photometry.Whole, "0 120 240": photometry.Whole, "90 180 270": photometry.Crosswise,
	} {
		n := len(strings.Fields(list))
		text := fmt.Sprintf("TILT=NONE\n1 -1 1 2 %d 1 2 0 0 0\n1 1 0\n0 90\n%s\n", n, list)
		for k := range n {
			text += fmt.Sprintf("%d %d\n", 100+k, k)
		}
		w := ies(t, text)
		if w.Symmetry != want {
			t.Errorf("%s: %v, want %v", list, w.Symmetry, want)
		}
		for k, h := range strings.Fields(list) {
			if h == "360" {
				continue // the same plane as 0, of which this file says something else
			}
			var d float64
			fmt.Sscan(h, &d)
			near(t, list+" at "+h, w.Intensity(deg(90), deg(d)), float64(k), 1e-9)
			if want == photometry.Crosswise {
				near(t, list+" mirrored", w.Intensity(deg(90), deg(180-d)), float64(k), 1e-9)
			}
		}
	}
}

func TestIsotropicHasNoBeam(t *testing.T) {
	w := ies(t, "IESNA91\nTILT=NONE\n1 10000 1 2 1 1 2 0 0 0\n1 1 0\n0 180\n0\n795.774715 795.774715\n")
	near(t, "lumens", w.Lumens(), 10000, 1e-8)
	if w.Beam() != deg(360) || w.Field() != deg(360) {
		t.Errorf("beam %v, field %v", w.Beam(), w.Field())
	}
}

// cosine writes the light I0 cos^m in steps of a degree or less, round about an axis that
// may point backward.
func cosine(m, i0, step float64, back bool) string {
	n := int(math.Round(180/step)) + 1
	var v, i strings.Builder
	for k := range n {
		a := step * float64(k)
		fmt.Fprintf(&v, "%.17g ", a)
		c := math.Cos(a * math.Pi / 180)
		if back {
			c = -c
		}
		x := 0.0
		if c > 1e-12 {
			x = i0 * math.Pow(c, m)
		}
		fmt.Fprintf(&i, "%.17g ", x)
	}
	return fmt.Sprintf("TILT=NONE\n1 -1 1 %d 1 1 2 0 0 0\n1 1 0\n%s\n0\n%s\n", n, v.String(), i.String())
}

func TestCosines(t *testing.T) {
	// cos^m = 1/2 and 1/10: 2 acos(2^(-1/m)), 2 acos(10^(-1/m)).
	for _, m := range []float64{1, 2, 4, 8, 50} {
		for _, back := range []bool{false, true} {
			const step = 0.5
			w := ies(t, cosine(m, 1000, step, back))
			// A chord of step s lies below cos^m by at most m s^2/8 of the axis, and the slope
			// where the curve is a half or a tenth is never under a hundredth of that.
			s := step * math.Pi / 180
			below := m * s * s / 8
			near(t, "lumens", w.Lumens(), 2*math.Pi*1000/(m+1), below*(m+1))
			near(t, "beam", w.Beam().Degrees(), 2*math.Acos(math.Pow(2, -1/m))*180/math.Pi, 0.002)
			near(t, "field", w.Field().Degrees(), 2*math.Acos(math.Pow(10, -1/m))*180/math.Pi, 0.002)
			got, misfit := w.Exponent()
			near(t, fmt.Sprintf("exponent of %v, back %v", m, back), got, m, 0.002)
			if misfit > 2*below+1e-3*m/math.E { // the chords, and an exponent off by 0.002 or less
				t.Errorf("cos^%v misfits by %v", m, misfit)
			}
		}
	}
	// A dark axis has no such law.
	dark := ies(t, "TILT=NONE\n1 -1 1 3 1 1 2 0 0 0\n1 1 0\n0 45 90\n0\n0 5 0\n")
	if m, misfit := dark.Exponent(); m != 0 || !math.IsInf(misfit, 1) {
		t.Errorf("a dark axis fits cos^%v within %v", m, misfit)
	}
	// What shines backward counts: as bright behind as in front is a misfit of all of it.
	ball := ies(t, "TILT=NONE\n1 -1 1 2 1 1 2 0 0 0\n1 1 0\n0 180\n0\n7 7\n")
	if _, misfit := ball.Exponent(); misfit < 1 {
		t.Errorf("a ball misfits by %v only", misfit)
	}
}

// table is a made-up light, and what a file says of it.
type table struct {
	v, h []float64 // degrees
	cd   [][]float64
	sym  photometry.Symmetry
}

func increasing(t *rapid.T, from, to float64, name string) []float64 {
	n := rapid.IntRange(0, 5).Draw(t, name)
	list := []float64{from}
	for range n {
		// Halves of a degree at least apart.
		room := to - list[len(list)-1]
		if room < 2 {
			break
		}
		list = append(list, list[len(list)-1]+0.5*float64(rapid.IntRange(1, int(2*room)-1).Draw(t, name)))
	}
	return append(list, to)
}

func drawTable(t *rapid.T) table {
	ends := rapid.SampledFrom([][2]float64{{0, 90}, {0, 180}, {90, 180}}).Draw(t, "ends")
	tab := table{v: increasing(t, ends[0], ends[1], "v")}
	tab.sym = photometry.Symmetry(rapid.IntRange(0, 4).Draw(t, "symmetry"))
	switch tab.sym {
	case photometry.Whole:
		tab.h = increasing(t, 0, 360, "h")
	case photometry.Axial:
		tab.h = []float64{0}
	case photometry.Bilateral:
		tab.h = increasing(t, 0, 180, "h")
	case photometry.Crosswise:
		tab.h = increasing(t, 90, 270, "h")
	case photometry.Quadrant:
		tab.h = increasing(t, 0, 90, "h")
	}
	for range tab.h {
		tab.cd = append(tab.cd, rapid.SliceOfN(rapid.Float64Range(0, 5000), len(tab.v), len(tab.v)).Draw(t, "cd"))
	}
	if tab.sym == photometry.Whole { // 360 deg is 0 deg
		tab.cd[len(tab.h)-1] = tab.cd[0]
	}
	return tab
}

func (tab table) ies() string {
	var b strings.Builder
	fmt.Fprintf(&b, "TILT=NONE\n1 -1 1 %d %d 1 2 0 0 0\n1 1 0\n", len(tab.v), len(tab.h))
	for _, list := range append([][]float64{tab.v, tab.h}, tab.cd...) {
		for _, x := range list {
			fmt.Fprintf(&b, "%.17g ", x)
		}
		fmt.Fprintln(&b)
	}
	return b.String()
}

// at is the slow reading: try every image of h, and of the intervals the one that holds it.
func (tab table) at(v, h float64) (float64, bool) {
	if v < tab.v[0] || v > tab.v[len(tab.v)-1] {
		return 0, true
	}
	line := func(row []float64) float64 {
		for k := 1; ; k++ {
			if v <= tab.v[k] {
				return row[k-1] + (row[k]-row[k-1])*(v-tab.v[k-1])/(tab.v[k]-tab.v[k-1])
			}
		}
	}
	images := []float64{h}
	switch tab.sym {
	case photometry.Axial:
		return line(tab.cd[0]), true
	case photometry.Bilateral:
		images = []float64{h, -h}
	case photometry.Crosswise:
		images = []float64{h, 180 - h}
	case photometry.Quadrant:
		images = []float64{h, -h, 180 - h, 180 + h}
	}
	for _, x := range images {
		for turns := -3.0; turns <= 3; turns++ {
			y := x + 360*turns
			for j := 1; j < len(tab.h); j++ {
				if a, b := tab.h[j-1], tab.h[j]; a <= y && y <= b {
					return line(tab.cd[j-1]) + (line(tab.cd[j])-line(tab.cd[j-1]))*(y-a)/(b-a), true
				}
			}
		}
	}
	return 0, false
}

func TestIntensityAgreesWithTheSlowReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := drawTable(t)
		w, err := photometry.ReadIES(file(tab.ies()))
		if err != nil {
			t.Fatal(err)
		}
		if w.Symmetry != tab.sym {
			t.Fatalf("%v read as %v", tab.sym, w.Symmetry)
		}
		for range 20 {
			v := rapid.Float64Range(0, 180).Draw(t, "v")
			h := rapid.Float64Range(-400, 700).Draw(t, "h")
			want, ok := tab.at(v, h)
			if !ok {
				t.Fatalf("the slow reading has no light at %v", h)
			}
			// At the end of the vertical angles radians may round across it.
			if math.Abs(v-tab.v[0]) < 1e-6 || math.Abs(v-tab.v[len(tab.v)-1]) < 1e-6 {
				continue
			}
			// Half a degree of slope 5000 cd, times the rounding of 700 deg.
			if got := w.Intensity(deg(v), deg(h)); math.Abs(got-want) > 1e-7 {
				t.Fatalf("I(%v, %v) = %v, want %v", v, h, got, want)
			}
		}
	})
}

func TestLumensAgreeWithASum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tab := drawTable(t)
		w, err := photometry.ReadIES(file(tab.ies()))
		if err != nil {
			t.Fatal(err)
		}
		const n = 360 // midpoints of half a degree; the angles of the file are its borders
		sum, most := 0.0, 0.0
		for k := range n {
			v := (float64(k) + 0.5) * 180 / n
			// In the horizontal angle the light is linear between halves of degrees, so that
			// midpoints are exact.
			row := 0.0
			for j := range 720 {
				row += w.Intensity(deg(v), deg((float64(j)+0.5)/2))
			}
			most = max(most, row)
			sum += row / 720 * 2 * math.Pi * math.Sin(v*math.Pi/180) * math.Pi / n
		}
		// Midpoints of I sin(v): h^2/24 times the second derivative, I sin + 2 I' cos with
		// |I'| of at most 5000 cd per half degree, over pi.
		h := math.Pi / n
		bound := 2 * math.Pi * math.Pi * h * h / 24 * (5000 + 2*5000/h)
		if got := w.Lumens(); math.Abs(got-sum) > bound {
			t.Fatalf("%v lm, the sum gives %v, bound %v", got, sum, bound)
		}
	})
}

func TestFormatsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := []float64{0, 30, 90, 150, 180, 210, 270, 330}
		gamma := increasing(t, 0, 180, "gamma")
		var rows [][]float64
		for range c {
			rows = append(rows, rapid.SliceOfN(rapid.Float64Range(0, 500), len(gamma), len(gamma)).Draw(t, "cd"))
		}
		a, err := photometry.Read(file(ldt(0, c, gamma, 1000, rows)))
		if err != nil {
			t.Fatal(err)
		}
		b, err := photometry.Read(file(table{v: gamma, h: append(c, 360), cd: append(rows, rows[0])}.ies()))
		if err != nil {
			t.Fatal(err)
		}
		near2 := func(x, y float64) {
			if math.Abs(x-y) > 1e-9*(1+math.Abs(y)) {
				t.Fatalf("EULUMDAT %v, LM-63 %v", x, y)
			}
		}
		near2(a.Lumens(), b.Lumens())
		v, h := deg(rapid.Float64Range(0, 180).Draw(t, "v")), deg(rapid.Float64Range(0, 360).Draw(t, "h"))
		near2(a.Intensity(v, h), b.Intensity(v, h))
		near2(float64(a.Beam()), float64(b.Beam()))
	})
}

func TestBrokenIES(t *testing.T) {
	for _, c := range []struct {
		old, new string
		line     int
		says     string
	}{
		{"TILT=NONE\n", "", 11, "TILT="},
		{"TILT=NONE", "TILT=other.tlt", 6, "NONE or INCLUDE"},
		{"TILT=NONE", "TILT=INCLUDE\n4", 7, "1 to 3"},
		{"LM-63-2002", "LM-63-2031", 1, "2019"},
		{"1 -1 1.5", "0 -1 1.5", 7, "number of lamps"},
		{"1 -1 1.5", "1 -2 1.5", 7, "lumens"},
		{"1 -1 1.5", "1 -1 0", 7, "multiplier"},
		{"1 -1 1.5", "1 -1 NaN", 7, "multiplier"},
		{"1 -1 1.5", "1 -1 0x1p3", 7, "multiplier"},
		{"1.5 4 2 1", "1.5 4.5 2 1", 7, "whole number"},
		{"1.5 4 2 1", "1.5 999999 999999 1", 7, "limit"},
		{"1.5 4 2 1", "1.5 4 2 2", 7, "type B"},
		{"1.5 4 2 1", "1.5 4 2 3", 7, "type A"},
		{"1.5 4 2 1 2", "1.5 4 2 1 3", 7, "1 for feet"},
		{"1 1 100", "0 1 100", 8, "ballast factor"},
		{"1 1 100", "1 1 -5", 8, "watts"},
		{"0 30 60 90", "0 60 30 90", 9, "increase"},
		{"0 30 60 90", "0 30 60 190", 9, "0 to 180"},
		{"0 30 60 90", "5 30 60 90", 9, "0 or 90"},
		{"0 30 60 90", "0 30 60 80", 9, "90 or 180"},
		{"\n0 90\n", "\n0 80\n", 10, "0, 90, 180 or 360"},
		{"\n0 90\n", "\n45 90\n", 10, "begin"},
		{"1000 600 100 0", "1000 600 -100 0", 12, "intensity 3 of plane 2"},
		{"1000 600 100 0", "1000 600 x 0", 12, "\"x\""},
		{"1000 600 100 0", "1000 600 1e99 0", 12, "too large"},
		{"1000 600 100 0\n", "1000 600\n", 12, "ends where intensity 3 of plane 2"},
		{"1000 600 100 0\n", "1000 600 100 0\n7\n", 13, "goes on"},
		{"1000 600 100 0", "1000 600 10\x000 0", 12, "plain text"},
	} {
		w, err := photometry.ReadIES(file(strings.Replace(hand, c.old, c.new, 1)))
		refused(t, c.new, w, err, c.line, c.says)
	}
	_, err := photometry.ReadIES(file("TILT=NONE\n1 -1 1 2 3 1 2 0 0 0\n1 1 0\n0 90\n0 100\n200\n1 2 3 4 5 6\n"))
	refused(t, "0 100 200", nil, err, 6, "leave open")
	_, err = photometry.ReadIES(file(strings.Repeat("words\n", 20_000)))
	refused(t, "wordy", nil, err, 10_001, "TILT=")
	_, err = photometry.ReadIES(file(""))
	refused(t, "empty", nil, err, 1, "empty")
	_, err = photometry.ReadIES(file(strings.Repeat(" ", 10<<20+1)))
	refused(t, "large", nil, err, 1, "10 MB")
}

func refused(t *testing.T, what string, w *photometry.Web, err error, line int, says string) {
	t.Helper()
	var fault source.Error
	if !errors.As(err, &fault) || w != nil {
		t.Errorf("%q: got %v, %v", what, w, err)
		return
	}
	if fault.At.Line != line || !strings.Contains(fault.Error(), says) {
		t.Errorf("%q: %v; want line %d and %q", what, err, line, says)
	}
}

func TestBrokenEULUMDAT(t *testing.T) {
	whole := strings.Split(strings.TrimSpace(ldt(4, []float64{0, 90, 180, 270}, []float64{0, 90}, 1000, [][]float64{{9, 8}, {7, 6}})), "\n")
	for _, c := range []struct {
		line int // from 1
		text string
		says string
	}{
		{3, "5", "Isym"}, {3, "x", "Isym"}, {3, "", "nothing"}, {4, "6", "4 divides"}, {4, "0", "Mc"}, {4, "1.5", "whole"},
		{6, "1", "Ng"}, {16, "-1", "length"}, {24, "-2", "conversion"}, {26, "0", "sets"}, {27, "many", "number of lamps"},
		{29, "0", "flux"}, {29, "1,000,000", "flux"}, {32, "-1", "watts"}, {43, "5", "0 deg was expected"}, {44, "80", "90 deg was expected"},
		{45, "90", "increase"}, {48, "200", "0 to 180"}, {50, "-8", "intensity 2 of plane 1"}, {51, "1e99", "too large"},
	} {
		text := append([]string(nil), whole...)
		text[c.line-1] = c.text
		w, err := photometry.ReadEULUMDAT(file(strings.Join(text, "\n") + "\n"))
		refused(t, c.text, w, err, c.line, c.says)
	}
	for n := 1; n < len(whole); n++ { // cut anywhere it is refused
		text := strings.Join(whole[:n], "\n")
		if w, err := photometry.ReadEULUMDAT(file(text)); err == nil {
			t.Errorf("the first %d lines read as %+v", n, w)
		}
	}
	w, err := photometry.ReadEULUMDAT(file(strings.Join(whole, "\n") + "\n5\n"))
	refused(t, "longer", w, err, 53, "goes on")
}

func TestRead(t *testing.T) {
	for text, want := range map[string]string{
		hand:                               "IESNA:LM-63-2002",
		hand[strings.Index(hand, "TILT"):]: "LM-63-1986",
		ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}}):            "EULUMDAT",
		"\ufeff" + ldt(1, []float64{0}, []float64{0, 90}, 2400, [][]float64{{250, 250}}): "EULUMDAT",
	} {
		w, err := photometry.Read(file(text))
		if err != nil || w.Edition != want {
			t.Errorf("got %v, %v; want %s", w, err, want)
		}
	}
	w, err := photometry.Read(file("a letter\nto somebody\n"))
	refused(t, "letter", w, err, 1, "neither")
}

// sane: whatever is read, its light is finite and no brighter than the file says.
func sane(t *testing.T, w *photometry.Web, err error) {
	if err != nil {
		var fault source.Error
		if !errors.As(err, &fault) || !fault.At.Known() || fault.Msg == "" {
			t.Fatalf("an error without a place: %#v", err)
		}
		return
	}
	peak := w.Peak()
	for v := -10.0; v <= 190; v += 7.3 {
		for h := -400.0; h <= 400; h += 37.7 {
			if i := w.Intensity(deg(v), deg(h)); !(i >= 0 && i <= peak*(1+1e-9)) {
				t.Fatalf("I(%v, %v) = %v, peak %v", v, h, i, peak)
			}
		}
	}
	if l := w.Lumens(); !(l >= -1e-9*peak && l <= 4*math.Pi*peak*(1+1e-9)) {
		t.Fatalf("%v lm, peak %v cd", l, peak)
	}
	if b, f := w.Beam(), w.Field(); !(b >= 0 && b <= f && f <= deg(360.001)) {
		t.Fatalf("beam %v, field %v", b, f)
	}
	if s := w.Spread(0.5, deg(33)); !(s >= 0 && s <= deg(360.001)) {
		t.Fatalf("spread %v", s)
	}
	if m, misfit := w.Exponent(); !(m >= 0 && m <= 1e4+1 && misfit >= 0) {
		t.Fatalf("cos^%v within %v", m, misfit)
	}
}

func FuzzReadIES(f *testing.F) {
	f.Add(hand)
	f.Add(cosine(3, 100, 30, true))
	f.Add(strings.Replace(hand, "TILT=NONE", "TILT=INCLUDE 1 2 0 90 1 0.7", 1))
	f.Add("IESNA91\nTILT=NONE\n1,-1,1,2,3,1,1,0,0,0\n1,1,0\n90,180\n90,180,270\n1,2,3,4,5,6")
	f.Add("TILT=NONE\r1 -1 1 2 3 1 1 0 0 0 1 1 0 0 180 0 120 240 1 2 3 4 5 6\x1a")
	f.Fuzz(func(t *testing.T, text string) {
		w, err := photometry.ReadIES(file(text))
		sane(t, w, err)
	})
}

func FuzzReadEULUMDAT(f *testing.F) {
	for isym, n := range []int{4, 1, 3, 3, 2} {
		rows := [][]float64{{1, 2}, {3, 4}, {5, 6}, {7, 8}}[:n]
		f.Add(ldt(isym, []float64{0, 90, 180, 270}, []float64{0, 90}, 1000, rows))
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := photometry.ReadEULUMDAT(file(text))
		sane(t, w, err)
		if w, err := photometry.Read(file(text)); err == nil {
			sane(t, w, err)
		}
	})
}
