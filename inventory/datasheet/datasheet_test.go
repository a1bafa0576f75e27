package datasheet_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/inventory/datasheet"
	"falloff/model/colour"
	"falloff/model/light/photometry"
	"falloff/model/source"
	"falloff/model/unit"
)

func file(name, text string) *source.File { return &source.File{Name: name, Text: []byte(text)} }

func read(t testing.TB, name, text string, o datasheet.Options) *datasheet.Sheet {
	t.Helper()
	s, err := datasheet.Read(file(name, text), o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// paste puts the entries of a sheet into a studio with one head of 6000 lm on a ring.
func paste(t testing.TB, s *datasheet.Sheet) *inventory.Studio {
	t.Helper()
	studio := `studio: Pasted
cameras: [{id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100}]
lenses: [{id: lens, mount: ff, focal: 85 mm, widest: f/1.8}]
stands: [{id: post, height: 2.6 m, load: 8 kg}]
backdrops: [{id: paper, reflectance: 18 %, width: 2.7 m}]
room: {width: 4 m, depth: 6 m, height: 2.7 m, walls: 30 %, ceiling: 70 %, floor: 20 %}
` + s.Text()
	if !strings.Contains(s.YAML, "heads:") {
		studio += "heads: [{id: lamp, mount: ring, lamp: {flux: 6000 lm, main: true}}]\n"
	}
	got, err := inventory.LoadFrom(file("pasted.yaml", studio))
	if err != nil {
		t.Fatalf("%v\n%s", err, studio)
	}
	return got
}

// A light of 800 cd on its axis, cos^3 in both planes to 90 deg, for a lamp of 2000 lm.
func cosines(lumens string) string {
	var v, i strings.Builder
	for a := 0; a <= 90; a += 5 {
		fmt.Fprintf(&v, "%d ", a)
		fmt.Fprintf(&i, "%.4f ", 800*math.Pow(max(0, math.Cos(float64(a)*math.Pi/180)), 3))
	}
	return fmt.Sprintf("IESNA:LM-63-2002\n[LUMCAT] invented bowl\nTILT=NONE\n1 %s 1 19 1 1 2 -0.2 0 0\n1 1 60\n%s\n0\n%s\n", lumens, v.String(), i.String())
}

// What is pasted gives the light of the file: I/d^2 from far, by a head of the lamp's flux.
func TestModifierGivesTheLightOfItsFile(t *testing.T) {
	for lumens, flux := range map[string]float64{"2000": 2000, "-1": 0} {
		s := read(t, "bowl.ies", cosines(lumens), datasheet.Options{Mount: "ring"})
		studio := paste(t, s)
		m := studio.Modifier("bowl")
		if flux == 0 { // absolute: the file is the lamp too
			q, _, ok := studio.Head("bowl-lamp").Output(studio, true)
			if flux = q; !ok || !inventory.HeadTakes(studio.Head("bowl-lamp"), m) {
				t.Fatal("no lamp of its own")
			}
		}
		if got := flux * inventory.Throughput(m, nil) * m.Emitter(nil).OnAxis(20) * 400; math.Abs(got/800-1) > 0.003 {
			t.Errorf("%s lm: %v cd on its axis, want 800", lumens, got)
		}
		if m.Shape != "disc" || m.Face.W != 0.2 || m.Doubt != 0.2 || m.Type != "reflector" {
			t.Errorf("%+v", m)
		}
	}
}

// Planes that differ widen the doubt: hypot(0.2, typical), to the next twentieth.
func TestPlanesWidenTheDoubt(t *testing.T) {
	text := "TILT=NONE\n1 -1 1 2 2 1 2 0.3 0.3 0\n1 1 60\n0 90\n0 90\n1000 1000\n1000 1000\n"
	uneven := strings.Replace(text, "1000 1000\n1000 1000", "1000 1500\n1000 500", 1)
	if got := paste(t, read(t, "even.ies", text, datasheet.Options{})).Modifier("even").Doubt; got != 0.2 {
		t.Errorf("even planes: doubt %v", got)
	}
	w, err := photometry.ReadIES(file("uneven.ies", uneven))
	if err != nil {
		t.Fatal(err)
	}
	typical, _ := w.Unevenness()
	s := read(t, "uneven.ies", uneven, datasheet.Options{})
	got := float64(paste(t, s).Modifier("uneven").Doubt)
	if want := math.Hypot(0.2, float64(typical)); got < want || got > want+0.051 || typical < 0.4 {
		t.Errorf("doubt %v, want about %v", got, want)
	}
	if !strings.Contains(s.Text(), "differ from it by") {
		t.Errorf("nothing is said of it:\n%s", s.Text())
	}
}

func TestSpectra(t *testing.T) {
	fl, _ := colour.Illuminant("FL11")
	var power, pass strings.Builder
	power.WriteString("nm,power\n")
	pass.WriteString("nm,transmittance\n")
	gel, _ := colour.GenericGelByName("deep blue")
	for i, v := range fl {
		fmt.Fprintf(&power, "%v,%v\n", colour.Wavelength(i), v)
		fmt.Fprintf(&pass, "%v,%v\n", colour.Wavelength(i), gel.T[i])
	}
	s := paste(t, read(t, "tube.csv", power.String(), datasheet.Options{Flux: 3000}))
	h := s.Head("tube")
	if q, _, _ := h.Output(s, true); q != 3000 {
		t.Errorf("%v lm", q)
	}
	// FL11 has 4000 K (CIE 015); four digits of a value move it by less than 2 K.
	if k := float64(h.Kelvin(true)); math.Abs(k-4000) > 2 {
		t.Errorf("%v K", k)
	}
	flash := paste(t, read(t, "tube.csv", power.String(), datasheet.Options{Energy: 300}))
	if flash.Head("tube").Flash == nil {
		t.Error("no flash")
	}
	blue := paste(t, read(t, "blue.csv", pass.String(), datasheet.Options{})).Gel("blue")
	got := blue.Filter()
	for i, v := range gel.T {
		if math.Abs(got.T[i]-v) > 5e-4*v+1e-9 {
			t.Errorf("%v nm: %v, want %v", colour.Wavelength(i), got.T[i], v)
		}
	}
	// The key alone goes under a head.
	alone := read(t, "tube.csv", power.String(), datasheet.Options{})
	if !strings.HasPrefix(alone.YAML, "spectrum: [") {
		t.Error(alone.YAML)
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct{ name, text, as, says string }{
		{"bowl.ies", strings.Replace(cosines("2000"), "-0.2 0 0", "0 0 0", 1), "", "gives no size of the luminous face"},
		{"bowl.ies", strings.Replace(cosines("2000"), "-0.2 0 0", "-0.002 0 0", 1), "", "outside 10 mm to 8 m"},
		{"bowl.ies", cosines("900"), "", "more than the 900 lm of its lamps"},
		{"bowl.ies", strings.Replace(cosines("2000"), "800.0000", "0", 1), "", "dark on its axis"},
		{"x.csv", "380,1\n780,1\n", "", "whether it is the spectrum of a light or the transmittance of a gel"},
		{"x.csv", "nm,power\n380,0\n600,0\n650,1\n780,0\n", "", "too far from white"},
		{"x.csv", "nm,transmittance\n380,0\n780,0\n", "", "next to nothing"},
		{"x.csv", "nm,power\n380,1\n780,1\n", "gel", ""},
		{"x.csv", "nm,transmittance\n380,1\n780,1\n", "head", "where a power was expected"},
		{"x.csv", "", "head", "0 points"},
		{"x.txt", "nothing", "modifier", "neither LM-63 nor EULUMDAT"},
		{"x.txt", "nothing", "lamp", "not one of modifier, head, gel"},
	} {
		s, err := datasheet.Read(file(c.name, c.text), datasheet.Options{As: c.as})
		if c.says == "" {
			continue
		}
		if s != nil || err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.says, err, c.says)
		}
	}
}

// Whatever is not refused pastes into a studio.
func FuzzRead(f *testing.F) {
	f.Add([]byte(cosines("2000")), uint8(0))
	f.Add([]byte(cosines("-1")), uint8(0))
	f.Add([]byte("nm,power\n380,1\n500,2\n780,1\n"), uint8(1))
	f.Add([]byte("nm,%T\n380,10\n500,20\n780,10\n"), uint8(2))
	f.Add([]byte("CGATS.17\nNUMBER_OF_FIELDS 3\nBEGIN_DATA_FORMAT\nSPEC_380 SPEC_550 SPEC_780\nEND_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\n1 2 3\nEND_DATA\n"), uint8(1))
	f.Fuzz(func(t *testing.T, text []byte, kind uint8) {
		o := datasheet.Options{As: datasheet.Kinds[int(kind)%len(datasheet.Kinds)], Face: unit.Size{W: 0.2, H: 0.2, One: true}, Flux: 1000}
		s, err := datasheet.Read(&source.File{Name: "fuzz.txt", Text: text}, o)
		if (s == nil) == (err == nil) {
			t.Fatalf("sheet %v, error %v", s, err)
		}
		if err != nil {
			return
		}
		paste(t, s)
	})
}
