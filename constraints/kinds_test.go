package constraints

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// Every kind has an archive testdata/kinds/<name>.txtar. Its sections are small cases, of
// which "satisfied" and "violated" must be there. A case is written so:
//
//	goal: low-key: {background: at most -4 stops}   the goal as a brief has it
//	Dark = -4.5                                     what is read: a number, lo..hi, or ?
//	key.On = 1                                      of a light, or all.On of every one
//	part "background" -4.5 in ..-4 stops            the parts in order: got, wanted, unit
//	say: ...                                        the whole sentence of Sentence
//	because: ...                                    of the first part that fails
//	rule: ...                                       Why of each rule that picks break
//	pick rim-left.gel = amber                       what a set-up uses
//
// What is not set is unknown. Lines that begin with # say how the numbers were worked.
func TestKinds(t *testing.T) {
	for _, k := range Kinds() {
		t.Run(k.Name, func(t *testing.T) {
			name := filepath.Join("..", "testdata", "kinds", k.Name+".txtar")
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatalf("a kind needs an archive: %v", err)
			}
			seen := map[string]bool{}
			for _, s := range sections(string(text)) {
				seen[s[0]] = true
				t.Run(s[0], func(t *testing.T) { runCase(t, k, s[0], s[1]) })
			}
			if !seen["satisfied"] || !seen["violated"] {
				t.Error("an archive holds a section satisfied and a section violated")
			}
		})
	}
}

// sections splits a txtar archive into names and texts.
func sections(text string) (out [][2]string) {
	for _, line := range strings.SplitAfter(text, "\n") {
		name, ok := strings.CutPrefix(strings.TrimSpace(line), "-- ")
		if name, end := strings.CutSuffix(name, " --"); ok && end {
			out = append(out, [2]string{name, ""})
		} else if len(out) > 0 {
			out[len(out)-1][1] += line
		}
	}
	return out
}

// An archive without a kind is a left-over of a rename.
func TestArchivesHaveKinds(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "kinds", "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no archives: %v", err)
	}
	for _, f := range files {
		if _, ok := KindByName(strings.TrimSuffix(filepath.Base(f), ".txtar")); !ok {
			t.Errorf("%s has no kind", f)
		}
	}
}

type wantPart struct {
	what      string
	got, want unit.Interval
	unit      Unit
}

func runCase(t *testing.T, k *Kind, section, text string) {
	goal, bench := "", benchForTest()
	r := Unknown()
	var parts []wantPart
	var say, because string
	var rules []string
	var picks []Pick
	for _, line := range strings.Split(text, "\n") {
		key, rest, _ := strings.Cut(line, " ")
		rest = strings.TrimSpace(rest)
		switch key {
		case "", "#":
		case "goal:":
			goal = rest
		case "part":
			parts = append(parts, parsePart(t, rest))
		case "say:":
			say = rest
		case "because:":
			because = rest
		case "rule:":
			rules = append(rules, rest)
		case "pick":
			slot, item, _ := strings.Cut(rest, " = ")
			picks = append(picks, Pick{Slot(slot), inventory.ID(item)})
		default:
			_, value, ok := strings.Cut(line, " = ")
			if !ok {
				t.Fatalf("what is %q?", line)
			}
			setReading(t, &r, key, parseInterval(t, value))
		}
	}
	g := goalForTest(t, goal)
	if g.Kind != k {
		t.Fatalf("%q is a goal of another kind", goal)
	}
	v := Judge([]*Goal{g}, &r)[0]
	broken := Broken(g, bench, picks)
	checkParts(t, v.Parts, parts)
	if got := Sentence(g, v.Parts); got != say {
		t.Errorf("says\n%s\nwant\n%s", got, say)
	}
	var whys []string
	for _, b := range broken {
		whys = append(whys, b.Why)
	}
	if !slices.Equal(whys, rules) {
		t.Errorf("breaks %q, want %q", whys, rules)
	}
	if i := slices.IndexFunc(v.Parts, func(p Part) bool { return p.Fails() }); i >= 0 {
		if got := g.Req.Because(&r, v.Parts[i]); got != because {
			t.Errorf("because\n%s\nwant\n%s", got, because)
		}
	} else if because != "" {
		t.Errorf("nothing fails, yet there is a because")
	}
	switch {
	case strings.HasPrefix(section, "satisfied") && (!v.Holds || len(broken) > 0):
		t.Error("does not hold")
	case strings.HasPrefix(section, "violated") && v.Holds && len(broken) == 0:
		t.Error("holds")
	case strings.HasPrefix(section, "open") && (v.Holds || v.Refuted):
		t.Error("is decided")
	}
}

// Numbers are compared to 1e-6 of a unit: the archives give them to six decimals.
func checkParts(t *testing.T, got []Part, want []wantPart) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d parts, want %d: %+v", len(got), len(want), got)
	}
	same := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-6 }
	for i, w := range want {
		p := got[i]
		if p.What != w.what || p.Unit != w.unit || !same(p.Got.Lo, w.got.Lo) || !same(p.Got.Hi, w.got.Hi) ||
			!same(p.Want.Lo, w.want.Lo) || !same(p.Want.Hi, w.want.Hi) {
			t.Errorf("part %d is %q %v in %v %s, want %q %v in %v %s", i+1, p.What, p.Got, p.Want, p.Unit, w.what, w.got, w.want, w.unit)
		}
	}
}

func parsePart(t *testing.T, line string) wantPart {
	_, line, _ = strings.Cut(line, `"`)
	what, rest, ok := strings.Cut(line, `"`)
	f := strings.Fields(rest)
	if !ok || len(f) < 3 || f[1] != "in" {
		t.Fatalf("a part is written \"what\" got in lo..hi unit, not %q", line)
	}
	return wantPart{what, parseInterval(t, f[0]), parseInterval(t, f[2]), Unit(strings.Join(f[3:], " "))}
}

func parseInterval(t *testing.T, s string) unit.Interval {
	if s == "?" {
		return unit.Whole
	}
	end := func(s string, open float64) float64 {
		if s == "" {
			return open
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	lo, hi, two := strings.Cut(s, "..")
	if !two {
		return unit.Point(end(s, 0))
	}
	return unit.Interval{Lo: end(lo, math.Inf(-1)), Hi: end(hi, math.Inf(1))}
}

// setReading sets a field of a reading by name, of a light as in "rim-left.Hue".
func setReading(t *testing.T, r *Reading, name string, v unit.Interval) {
	at := reflect.ValueOf(r).Elem()
	if light, field, ok := strings.Cut(name, "."); ok {
		if light == "all" {
			for role := range allRoles() {
				setReading(t, r, role.String()+"."+field, v)
			}
			return
		}
		role, known := inventory.RoleByName(light)
		if !known {
			t.Fatalf("no light %q", light)
		}
		at, name = reflect.ValueOf(&r.Lights[role]).Elem(), field
	}
	f := at.FieldByName(name)
	if !f.IsValid() {
		t.Fatalf("a reading has no %q", name)
	}
	f.Set(reflect.ValueOf(v))
}

// goalForTest reads one goal as a brief would.
func goalForTest(t testing.TB, yaml string) *Goal {
	t.Helper()
	b, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte("brief: test\nsitter: {turn: 20 deg}\ngoals:\n  - " + yaml + "\n")})
	if err != nil {
		t.Fatalf("%s: %v", yaml, err)
	}
	return b.Goals[0]
}

// benchForTest is a small studio in a white room.
func benchForTest() *Bench {
	s, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(`
studio: test
room: {width: 4 m, depth: 6 m, height: 2.6 m, walls: 80 %, ceiling: 80 %, floor: 30 %}
cameras:
  - {id: body, mount: a, sensor: 36 x 24 mm, base_iso: 100, sync: 1/160 s}
lenses:
  - {id: lens-85, mount: a, focal: 85 mm, widest: f/1.8}
heads:
  - {id: mono-400, count: 2, mount: b, mass: 2.5 kg, flash: {energy: 400 Ws, range: 7 stops, step: 0.1 stops}}
  - {id: lamp-60, count: 2, mount: b, mass: 1.5 kg, lamp: {flux: 5000 lm, watts: 60 W, main: true, range: 3 stops}}
modifiers:
  - {id: box-60x90, name: soft box 60 x 90, type: softbox, fits: [b], shape: rectangle, face: 60 x 90 cm, efficiency: 40 %}
  - {id: strip-30x120, type: strip, fits: [b], shape: rectangle, face: 30 x 120 cm, efficiency: 35 %}
  - {id: reflector, type: reflector, fits: [b], shape: disc, face: 18 cm, efficiency: 60 %, law: 4}
grids:
  - {id: grid-20, fits: [reflector], cell: hex, cutoff: 20 deg}
gels:
  - {id: straw, standard: straw}
cards:
  - {id: white-card, face: 60 x 90 cm, reflectance: 85 %}
stands:
  - {id: stand, count: 4, height: 2.6 m, load: 8 kg}
  - {id: tall, height: 3.3 m, load: 10 kg}
backdrops:
  - {id: white-paper, name: white paper, reflectance: 85 %, width: 2.72 m}
`)})
	if err != nil {
		panic(fmt.Sprint("the studio of the tests: ", err))
	}
	b, err := LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(`
brief: test
sitter: {seated: true, turn: 20 deg}
goals:
  - aperture: f/2
  - use: white-paper
`)})
	if err != nil {
		panic(fmt.Sprint("the brief of the tests: ", err))
	}
	return &Bench{Studio: s, Brief: b}
}

// everyGoal collects the goals of all archives.
func everyGoal(t testing.TB) map[string]*Goal {
	files, err := filepath.Glob(filepath.Join("..", "testdata", "kinds", "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*Goal{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(text), "\n") {
			if yaml, ok := strings.CutPrefix(line, "goal: "); ok {
				out[yaml] = goalForTest(t, yaml)
			}
		}
	}
	for _, k := range Kinds() {
		out[k.Doc.Example] = goalForTest(t, k.Doc.Example)
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// A kind needs no edit anywhere else: it is read, judged, found and printed from its
// registration.
func TestOneMoreKind(t *testing.T) {
	Register(Kind{Name: "depth-in-room", Doc: Doc{Group: "practical", Title: "how deep the set is",
		Text: "Metres.", Example: "depth-in-room: {at most: 2 m}", Words: []string{"shallow set"}}, Read: Into[shallow]})
	defer delete(kinds, "depth-in-room")
	g := goalForTest(t, "depth-in-room: {at most: 2 m, wish: 3}")
	if g.Wish != 3 || g.Text != "depth-in-room: {at most: 2 m, wish: 3}" {
		t.Errorf("read as %+v", g)
	}
	r := Unknown()
	r.Depth = unit.Point(2.5)
	v := Judge([]*Goal{g}, &r)[0]
	if v.Holds || !v.Refuted {
		t.Error("2.5 m is within at most 2 m")
	}
	if got, want := Sentence(g, v.Parts), "depth-in-room: depth 2.5 m (wanted at most 2 m, misses by 50 cm)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if found := FindKinds("shallow set"); len(found) != 1 || found[0].Name != "depth-in-room" {
		t.Errorf("found %v", found)
	}
	if !strings.Contains(Reference(), "### depth-in-room\n\nHow deep the set is.") {
		t.Error("not in the reference")
	}
}

type shallow struct {
	Plain  `yaml:"-"`
	AtMost unit.Length `yaml:"at most,required"`
}

func (s *shallow) Reads() Aspect { return OnDepth }
func (s *shallow) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "depth", Got: r.Depth, Want: atMost(float64(s.AtMost)), Unit: InMetres})
}
