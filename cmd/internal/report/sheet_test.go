package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"falloff/cmd/internal/report/draw"
	"falloff/cmd/internal/report/picture"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
)

// node is an element of a drawing as a reader of SVG sees it.
type node struct {
	name string
	attr map[string]string
	path []map[string]string // attributes of the elements round it
}

func (n node) num(t *testing.T, key string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(n.attr[key], 64)
	if err != nil {
		t.Fatalf("%s: %v", key, err)
	}
	return x
}

// within is the value of an attribute of any element round this one.
func (n node) within(key string) string {
	for _, p := range n.path {
		if v := p[key]; v != "" {
			return v
		}
	}
	return ""
}

// elements reads markup as strict XML.
func elements(t *testing.T, text string) (out []node) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	var path []map[string]string
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		} else if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			n := node{e.Name.Local, map[string]string{}, append([]map[string]string{}, path...)}
			for _, a := range e.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			out = append(out, n)
			path = append(path, n.attr)
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
}

// measured reads places off a drawing as one does with a ruler: in metres by the drawing's
// own scale bar, from its own mark.
type measured struct {
	t      *testing.T
	nodes  []node
	perM   float64
	zero   draw.Point
	zeroAt geom.Vec // where the mark or the eyes are in the room
}

func measure(t *testing.T, p *draw.Picture, zeroPart string, zeroAt geom.Vec) measured {
	t.Helper()
	m := measured{t: t, nodes: elements(t, p.SVG()), zeroAt: zeroAt}
	for _, n := range m.nodes {
		switch n.attr["data-part"] {
		case "scale":
			m.perM = math.Abs(n.num(t, "x2")-n.num(t, "x1")) / n.num(t, "data-metres")
		case zeroPart:
			m.zero = draw.Point{X: n.num(t, "cx"), Y: n.num(t, "cy")}
		}
	}
	if m.perM == 0 || m.zero == (draw.Point{}) {
		t.Fatalf("%s has no scale bar or no %s", p.Name, zeroPart)
	}
	return m
}

// part is a dot's place right and down of the zero, metres.
func (m measured) part(role, part string) (right, down float64) {
	m.t.Helper()
	for _, n := range m.nodes {
		if n.attr["data-part"] == part && n.within("data-role") == role {
			return (n.num(m.t, "cx") - m.zero.X) / m.perM, (n.num(m.t, "cy") - m.zero.Y) / m.perM
		}
	}
	m.t.Fatalf("no %s of %q", part, role)
	return 0, 0
}

// card is the middle of a card right and down of the zero, metres.
func (m measured) card(letter string) (right, down float64) {
	m.t.Helper()
	for _, n := range m.nodes {
		if n.attr["data-part"] == "centre" && n.within("data-card") == letter {
			return (n.num(m.t, "cx") - m.zero.X) / m.perM, (n.num(m.t, "cy") - m.zero.Y) / m.perM
		}
	}
	m.t.Fatalf("no card %s", letter)
	return 0, 0
}

// placed works out by hand where a light's face is: the target and, from it, distance,
// azimuth and elevation as the set-up's file gives them.
func placed(s *Sheet, l inventory.LightSet) geom.Vec {
	for _, r := range s.set.Lights {
		if r.Set.Role == l.Role {
			az, el := l.Azimuth.Radians(), l.Elevation.Radians()
			d := float64(l.Distance)
			return s.pics.Stage.Light(l.Role).Target.Add(geom.Vec{X: d * math.Sin(az) * math.Cos(el), Y: d * math.Cos(az) * math.Cos(el), Z: d * math.Sin(el)})
		}
	}
	return geom.Vec{}
}

// Places read off the drawings are those of the set-up, to what a tape shows: 5 mm. A
// thousandth of a unit, to which drawings are written, is under 0.1 mm.
func TestPlacesReadBackFromDrawings(t *testing.T) {
	for _, system := range []unit.System{unit.Metric, unit.Imperial} {
		s := drawn(t, Style{Units: system})
		plan, near := measure(t, s.plan, "mark", geom.Vec{}), measure(t, s.near, "mark", geom.Vec{})
		eye := s.pics.Stage.Eye
		beside := measure(t, s.nearSide, "eyes", eye)
		for _, l := range s.set.Setup.Lights {
			want := placed(s, l)
			for _, m := range []measured{plan, near} {
				x, y := m.part(l.Role, "centre")
				if math.Hypot(x-want.X, y-want.Y) > 0.005 {
					t.Errorf("%v, %s: drawn at %.3f, %.3f, want %.3f, %.3f", system, l.Role, x, y, want.X, want.Y)
				}
			}
			y, down := beside.part(l.Role, "centre")
			if math.Abs(y-want.Y) > 0.005 || math.Abs(eye.Z-down-want.Z) > 0.005 {
				t.Errorf("%v, %s from the side: %.3f along and %.3f up, want %.3f and %.3f", system, l.Role, y, eye.Z-down, want.Y, want.Z)
			}
		}
		_, y := plan.part("", "lens")
		r := s.set.Camera
		if d := math.Hypot(y, float64(r.Height)-eye.Z); math.Abs(d-float64(r.Distance)) > 0.005 {
			t.Errorf("the lens is drawn %.3f m from the eyes, want %.3f", d, float64(r.Distance))
		}
	}
}

// Cards are drawn where they are taped, packed, and given a step each.
func TestCardsOnASheet(t *testing.T) {
	s := sheetOf(t, carded, Style{})
	plan := measure(t, s.plan, "mark", geom.Vec{})
	for i, k := range s.set.Cards {
		az, el, d := k.Set.Azimuth.Radians(), k.Set.Elevation.Radians(), float64(k.Set.Distance)
		x, y := plan.card(picture.CardLetter(i))
		if math.Hypot(x-d*math.Sin(az)*math.Cos(el), y-d*math.Cos(az)*math.Cos(el)) > 0.005 {
			t.Errorf("%s: drawn at %.3f, %.3f", k.Set.Item, x, y)
		}
	}
	var page, list bytes.Buffer
	if err := s.HTML(&page); err != nil {
		t.Fatal(err)
	}
	wellMade(t, page.String())
	if err := s.PackingCSV(&list); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Cards and flags,white-card,white card,1,0,", ",spring clamp,2,1,", ",sandbag,2,0,"} {
		if !strings.Contains(list.String(), want) {
			t.Errorf("the list has no %q:\n%s", want, list.String())
		}
	}
	if n := strings.Count(page.String(), "Card: "); n != 2 {
		t.Errorf("%d steps for two cards", n)
	}
}

// By hand: the frame is 90 cm high at the sitter and its centre lies 15 cm under the eyes
// (90/2 - 30), so the eyes are at 60/90 of the height; the small pitch moves that by less
// than a hundredth.
func TestEyesInTheFrame(t *testing.T) {
	s := drawn(t, Style{})
	_, y, depth := s.pics.Stage.See(s.pics.Stage.Eye)
	if up := (1 + y) / 2; math.Abs(up-60.0/90) > 0.01 {
		t.Errorf("the eyes are %.3f up the frame", up)
	}
	if d := float64(s.set.Camera.Distance); math.Abs(depth-d) > 0.02 {
		t.Errorf("the eyes are %.3f m deep, taped %.3f", depth, d)
	}
	// Up is up: the crown is above the eyes, a light over the head above the crown.
	_, crown, _ := s.pics.Stage.See(s.pics.Stage.Crown)
	_, hair, _ := s.pics.Stage.See(s.pics.Stage.Light("hair").Pose.At)
	if !(y < crown && crown < hair) {
		t.Errorf("eyes %.2f, crown %.2f, hair light %.2f", y, crown, hair)
	}
}

// spoiled is a number that no photographer reads.
var spoiled = regexp.MustCompile(`NaN|Inf\b|%!|\de-\d\d|(^|[ >(])-0($|[ <,)°])`)

var tags = regexp.MustCompile(`<[^>]*>`)

// Every page and drawing is well-formed, has its text alternatives, unique ids, nothing
// from outside, and comes out the same each time.
func TestSheetIsWellFormed(t *testing.T) {
	for _, st := range []Style{{}, {Units: unit.Imperial}} {
		s := drawn(t, st)
		var page, again bytes.Buffer
		if err := s.HTML(&page); err != nil {
			t.Fatal(err)
		}
		if err := drawn(t, st).HTML(&again); err != nil {
			t.Fatal(err)
		}
		if page.String() != again.String() {
			t.Error("the page differs from run to run")
		}
		wellMade(t, page.String())
		for _, d := range s.Drawings() {
			wellMade(t, d.File())
			if d.Title == "" || d.Says == "" {
				t.Errorf("%s has no text alternative", d.Name)
			}
			if m := spoiled.FindString(d.Says); m != "" {
				t.Errorf("%s says %q: %s", d.Name, m, d.Says)
			}
		}
	}
}

func wellMade(t *testing.T, text string) {
	t.Helper()
	ids := map[string]bool{}
	var refers []string
	drawings := 0
	for _, n := range elements(t, text) {
		if id := n.attr["id"]; id != "" {
			if ids[id] {
				t.Errorf("the id %s is there twice", id)
			}
			ids[id] = true
		}
		refers = append(refers, strings.Fields(n.attr["aria-labelledby"])...)
		if n.name == "svg" {
			drawings++
			if n.attr["role"] != "img" || n.attr["aria-labelledby"] == "" {
				t.Error("a drawing has no text alternative")
			}
		}
		for key, v := range n.attr {
			if key == "href" && strings.HasPrefix(v, "data:image/png;base64,") {
				continue
			}
			if key != "xmlns" && (strings.Contains(v, "//") || strings.HasPrefix(key, "on")) {
				t.Errorf("<%s %s=%q> leads outside", n.name, key, v)
			}
			if m := spoiled.FindString(v); m != "" {
				t.Errorf("<%s %s=%q>", n.name, key, v)
			}
		}
		if n.name == "script" || n.name == "link" {
			t.Errorf("there is a %s", n.name)
		}
	}
	for _, r := range refers {
		if !ids[r] {
			t.Errorf("nothing has the id %s", r)
		}
	}
	if drawings == 0 {
		t.Error("there is no drawing")
	}
	if m := spoiled.FindString(tags.ReplaceAllString(text, "\n")); m != "" {
		t.Errorf("the page says %q", m)
	}
}

// By hand, from the studio file: the minutes of the steps are those of the whole set-up.
func TestStepsAddUp(t *testing.T) {
	s := drawn(t, Style{})
	sum := float64(s.bench.CameraMinutes())
	for _, l := range s.pics.Lights {
		sum += float64(l.Report.Minutes)
	}
	if sum != float64(s.set.Cost.Minutes) {
		t.Errorf("the steps take %v min, the set-up %d", sum, s.set.Cost.Minutes)
	}
}

// The packing list counts every piece of the set-up, by hand.
func TestPacking(t *testing.T) {
	s := drawn(t, Style{})
	want := map[string][2]int{ // count and spare
		"body": {1, 1}, "lens-85": {1, 0}, "mono-400": {2, 0}, "mono-200": {1, 0}, "led-150": {1, 1}, "led-60": {1, 1},
		"octa-120": {1, 0}, "box-60x90": {1, 0}, "strip-30x120": {2, 0}, "reflector-18": {1, 0}, "cloth-strip": {2, 0}, "honey-40": {1, 1},
		"straw": {1, 1}, "amber": {1, 1}, "leaf-green": {1, 0}, "stand-heavy": {1, 0}, "stand-medium": {3, 1}, "stand-light": {1, 1},
		"boom": {1, 0}, "grey-paper": {1, 0}, "radio": {1, 0},
	}
	small := map[string]int{"counterweight": 1, "safety cord": 1, "sandbag": 5, "extension lead": 5, "gel clip": 6, "sync cord": 3, "spare modelling lamp": 2}
	var text bytes.Buffer
	if err := s.PackingCSV(&text); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		count, spare := atoi(t, r[3]), atoi(t, r[4])
		if id := r[1]; id != "" {
			if w, ok := want[id]; !ok || w != [2]int{count, spare} {
				t.Errorf("%s: %d and %d spare, want %v", id, count, spare, w)
			}
			delete(want, id)
			continue
		}
		if n, ok := small[r[2]]; ok && n != count {
			t.Errorf("%d x %s, want %d", count, r[2], n)
		}
		delete(small, r[2])
	}
	if len(want)+len(small) > 0 {
		t.Errorf("left out: %v %v", want, small)
	}
}

func atoi(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Hired things stand apart with their price.
func TestHiredThingsStandApart(t *testing.T) {
	s := drawn(t, Style{})
	inventory.ItemOf(s.studio.Modifier("strip-30x120")).DayRate = 12
	_, hire := apart(packing(s.bench, s.set))
	if len(hire) != 1 || hire[0].Count != 2 || hireCost(hire) != 24 {
		t.Errorf("%+v", hire)
	}
}

// By hand: the two 400 Ws heads draw 6 A and 150 W of lamp at 230 V (6.65 A), the 200 Ws
// head 4 A and 20 W (4.09 A), the LEDs 150 W and 60 W (0.65 A and 0.26 A). The hungriest
// first, each to the emptier circuit: 6.65 | 6.65, 10.74 | 6.65, 10.74 | 7.30, 10.74 | 7.57.
func TestLoads(t *testing.T) {
	s := drawn(t, Style{})
	got := s.loads()
	if len(got) != 2 || math.Abs(got[0].Amps-10.74) > 0.01 || math.Abs(got[1].Amps-7.57) > 0.01 {
		t.Errorf("%+v", got)
	}
}

// A name that a spreadsheet takes for a formula is made harmless.
func TestCSVIsInert(t *testing.T) {
	s := drawn(t, Style{})
	inventory.ItemOf(s.studio.Head("led-60")).Name = `=cmd|"1"`
	var text bytes.Buffer
	if err := s.PackingCSV(&text); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(text.String(), `"'=cmd|""1"""`) {
		t.Error(text.String())
	}
}

// The JSON holds an answer's keys and the sheet's.
func TestSheetJSON(t *testing.T) {
	s := drawn(t, Style{})
	var text bytes.Buffer
	if err := s.JSON(&text); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Outcome string
		Setups  []map[string]any
		Sheet   struct {
			Steps    []struct{ Role string }
			Drawings []struct{ Name, Text string }
		}
	}
	if err := json.Unmarshal(text.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, s := range got.Sheet.Steps {
		order = append(order, s.Role)
	}
	if strings.Join(order, " ") != " background key fill rim-right hair" || len(got.Setups) != 1 || len(got.Sheet.Drawings) != len(s.Drawings()) {
		t.Errorf("%+v", got)
	}
}
