package inventory_test

import (
	"io/fs"
	"math"
	"strings"
	"testing"

	"falloff/examples"
	"falloff/inventory"
	"falloff/inventory/hirehouse"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

func exampleText(t testing.TB, name string) []byte {
	t.Helper()
	text, err := fs.ReadFile(examples.FS, "studios/"+name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func example(t testing.TB, name string) *inventory.Studio {
	t.Helper()
	s, err := inventory.LoadFrom(&source.File{Name: name, Text: exampleText(t, name)})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Every example loads, and nothing in it is useless or suspicious.
func TestExamplesAreClean(t *testing.T) {
	files, err := fs.Glob(examples.FS, "studios/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%v, %v", files, err)
	}
	for _, f := range files {
		s := example(t, strings.TrimPrefix(f, "studios/"))
		for _, finding := range inventory.Lint(s) {
			if finding.Severity > inventory.Note {
				t.Errorf("%s: %v", f, finding)
			}
		}
	}
}

func TestNorthlightSize(t *testing.T) {
	if n := example(t, "northlight.yaml").Types(); n < 38 || n > 45 {
		t.Errorf("%d types of item, want about 40", n)
	}
	if n := example(t, "spare-room.yaml").Items(); n < 9 || n > 14 {
		t.Errorf("%d items in the spare room, want about ten", n)
	}
}

// The studio must be able to do what it is the example for: a classic at f/5.6 to f/8 by
// flash, within the dial; and a key by lamp at base ISO, f/1.4, 1/125 s, with amber rims
// from behind within a stop of the key and a deep blue glow at -2.5 stops or more.
func TestNorthlightCanDoItsJobs(t *testing.T) {
	s := example(t, "northlight.yaml")
	stops := func(h inventory.ID, lamp bool, m, g, gel inventory.ID, d unit.Length, need float64) float64 {
		head := s.Head(h)
		e := head.At(s, lamp, s.Modifier(m), s.Grid(g), d)
		if gel != "" {
			sp, f := head.Spectrum(lamp), s.Gel(gel).Filter()
			e *= colour.PhotopicTransmittance(&sp, &f)
		}
		return math.Log2(e / need)
	}
	for _, c := range []struct {
		what     string
		got      float64 // stops over need, at full power
		low, top float64
	}{
		{"flash in the octa at 1.2 m, f/5.6", stops("mono-400", false, "octa-90", "", "", 1.2, 250*5.657*5.657/100), 0, 7},
		{"flash in the octa at 1.2 m, f/8", stops("mono-400", false, "octa-90", "", "", 1.2, 250*64/100), 0, 7},
		{"LED in the box at 1.2 m, f/1.4, 1/128 s", stops("led-150", true, "box-60x90", "", "", 1.2, 250*2*128/100), 0, 6},
		{"amber rim at 1.5 m", stops("led-60", true, "reflector-18", "honey-30", "amber", 1.5, 250*2*128/100), -1, 6},
		{"deep blue glow at 0.8 m", stops("led-150", true, "reflector-18", "", "deep-blue", 0.8, 250*2*128/100), -2.5, 6},
	} {
		if c.got < c.low || c.got > c.top {
			t.Errorf("%s: %+.1f stops at full power, want %v to %v", c.what, c.got, c.low, c.top)
		}
	}
}

// The hire house is the same on every call, near the size asked for, and clean.
func TestHireHouse(t *testing.T) {
	if string(hirehouse.YAML(1000)) != string(hirehouse.YAML(1000)) {
		t.Error("two calls differ")
	}
	for _, n := range []int{40, 200, 1000, 2000} {
		s := hirehouse.Studio(n)
		if items := s.Items(); math.Abs(float64(items-n)) > 0.02*float64(n)+6 { // eleven classes, each rounded to whole items
			t.Errorf("%d items for %d", items, n)
		}
		for _, f := range inventory.Lint(s) {
			if f.Severity == inventory.Useless && n >= 200 {
				t.Errorf("%d: %v", n, f)
			}
		}
	}
	if types := hirehouse.Studio(1000).Types(); types < 250 {
		t.Errorf("1,000 items are %d types only", types)
	}
}

func FuzzLoadFrom(f *testing.F) {
	for _, name := range []string{"northlight.yaml", "spare-room.yaml"} {
		f.Add(exampleText(f, name))
	}
	f.Add([]byte(smallStudio))
	f.Add([]byte(lazyStudio))
	f.Add([]byte(strings.Replace(smallStudio, "efficiency: 75 %, law: 3", lambertian, 1)))
	f.Add([]byte(strings.Replace(smallStudio, "watts: 100 W}", "watts: 100 W, spectrum: FL2}", 1)))
	f.Add([]byte("studio: &a [*a]"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := inventory.LoadFrom(&source.File{Name: "fuzz.yaml", Text: text})
		if (s == nil) == (err == nil) {
			t.Fatalf("studio %v, error %v", s != nil, err)
		}
		if err != nil {
			return
		}
		// What loads can be linted, listed and asked for its light.
		inventory.Lint(s)
		inventory.Rows(s)
		for i := range s.Heads {
			h := &s.Heads[i]
			for _, lamp := range []bool{false, true} {
				if q, _, ok := h.Output(s, lamp); ok && !(q > 0) || math.IsInf(q, 0) {
					t.Errorf("%s gives %v", h.ID, q)
				}
				for j := range s.Modifiers {
					if e := h.At(s, lamp, &s.Modifiers[j], nil, 2); !(e >= 0) || math.IsInf(e, 0) {
						t.Errorf("%s in %s gives %v", h.ID, s.Modifiers[j].ID, e)
					}
				}
			}
		}
	})
}

func benchmarkLoad(b *testing.B, name string, text []byte) {
	f := &source.File{Name: name, Text: text}
	for b.Loop() {
		if _, err := inventory.LoadFrom(f); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoad40(b *testing.B) {
	benchmarkLoad(b, "northlight.yaml", exampleText(b, "northlight.yaml"))
}
func BenchmarkLoad1000(b *testing.B) { benchmarkLoad(b, "hirehouse.yaml", hirehouse.YAML(1000)) }
