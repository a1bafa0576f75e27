package datasheet

import (
	"fmt"
	"math"
	"path"
	"strconv"
	"strings"

	"falloff/model/light"
	"falloff/model/light/photometry"
	"falloff/model/source"
	"falloff/model/unit"
)

// measuredDoubt is that of a beam and a flux that were measured, used with another head of
// the same mount. Common practice, no source.
const measuredDoubt unit.Stops = 0.2

func readModifier(f *source.File, o Options) (*Sheet, error) {
	w, err := readWeb(f)
	if err != nil {
		return nil, err
	}
	fault := func(hint, format string, args ...any) error {
		return source.Error{At: source.Place{File: f}, Msg: fmt.Sprintf(format, args...), Hint: hint}
	}
	m := measured{web: w, o: o}
	var backward bool
	m.from, m.candela, backward = w.Round()
	if m.beam, m.forward, err = light.NewBeam(m.from, m.candela); err != nil {
		return nil, fault("", "this light cannot be planned with: %v", err)
	}
	m.lamp = float64(w.Flux)
	if w.Absolute || m.lamp == 0 {
		m.lamp = m.forward
	}
	if m.forward > m.lamp*1.0001 {
		return nil, fault("look at the lumens, the multiplier and the ballast factor",
			"its candela add up to %.0f lm forward, more than the %.0f lm of its lamps", m.forward, m.lamp)
	}
	if m.shape, m.face, err = face(w, o); err != nil {
		return nil, fault("measure the front and say, for example, --face 18 cm or --face 60 x 90 cm", "%v", err)
	}
	m.thin()
	s := &Sheet{Kind: Modifier}
	m.about(s, f, backward)
	s.YAML = m.yaml()
	return s, nil
}

// readWeb reads in the format that the name ends with, so that a fault is told in its terms.
func readWeb(f *source.File) (*photometry.Web, error) {
	switch strings.ToLower(path.Ext(f.Name)) {
	case ".ies":
		return photometry.ReadIES(f)
	case ".ldt", ".eul":
		return photometry.ReadEULUMDAT(f)
	}
	return photometry.Read(f)
}

// measured is a photometric file on its way to a modifier.
type measured struct {
	o             Options
	web           *photometry.Web
	from          []unit.Angle // from the end that it shines to
	candela       []float64    // averaged around the axis
	beam          *light.Beam
	forward, lamp float64 // lm
	shape         string
	face          unit.Size
}

// The sides that a face may have; a studio file takes the same.
const (
	leastSide = unit.Length(0.01)
	mostSide  = 8 * unit.Metre
)

// face is the luminous face: as asked for, or the opening that the file names.
func face(w *photometry.Web, o Options) (shape string, size unit.Size, err error) {
	if o.Face.W > 0 {
		if o.Face.One {
			return "disc", o.Face, nil
		}
		return "rectangle", o.Face, nil
	}
	mm := func(l unit.Length) unit.Length { return unit.Length(math.Round(float64(l)*1000) / 1000) }
	a, b := mm(w.Opening.Width), mm(w.Opening.Length)
	switch {
	case a <= 0 || b <= 0:
		return "", size, fmt.Errorf("the file gives no size of the luminous face")
	case min(a, b) < leastSide || max(a, b) > mostSide:
		return "", size, fmt.Errorf("a luminous face of %v by %v is outside %v to %v", a, b, leastSide, mostSide)
	case w.Opening.Round:
		d := mm(unit.Length(math.Sqrt(float64(a * b)))) // an ellipse becomes the disc of its area
		return "disc", unit.Size{W: d, H: d, One: true}, nil
	}
	return "rectangle", unit.Size{W: a, H: b}, nil
}

// thinness is how far a straight line may stray from the values that it replaces, as a
// share of the greatest.
const thinness = 1e-3

// thin leaves out angles behind and those that a straight line stands for.
func (m *measured) thin() {
	top := 0.0
	n := 0
	for k, a := range m.from {
		if a <= 90*unit.Degree+1e-9 {
			n = k + 1
			top = max(top, m.candela[k])
		}
	}
	from, cd := m.from[:n], m.candela[:n]
	keep := []int{0}
	for at := 0; at < n-1; {
		next := at + 1
		for far := at + 2; far < n && straight(from, cd, at, far, thinness*top); far++ {
			next = far
		}
		keep = append(keep, next)
		at = next
	}
	m.from, m.candela = nil, nil
	for _, k := range keep {
		m.from, m.candela = append(m.from, from[k]), append(m.candela, cd[k])
	}
}

func straight(from []unit.Angle, cd []float64, a, b int, room float64) bool {
	for k := a + 1; k < b; k++ {
		t := float64((from[k] - from[a]) / (from[b] - from[a]))
		if math.Abs(cd[a]+t*(cd[b]-cd[a])-cd[k]) > room {
			return false
		}
	}
	return true
}

func (m *measured) about(s *Sheet, f *source.File, backward bool) {
	w := m.web
	kind := fmt.Sprintf("for lamps of %.0f lm", m.lamp)
	if w.Absolute {
		kind = "measured as a whole (absolute)"
	}
	s.say("From %s: %s, %s.", comment(f.Name), w.Edition, kind)
	for i, l := range w.Labels {
		if i == 12 {
			s.say("(%d more lines)", len(w.Labels)-i)
			break
		}
		if l.Text != "" {
			s.say("%s", comment(strings.TrimSpace(l.Name+" "+l.Text)))
		}
	}
	all := w.Lumens()
	s.say("%.0f lm forward of %.0f lm in all, %.0f cd on its axis; beam %.0f deg (half), field %.0f deg (a tenth).",
		m.forward, all, m.candela[0], w.Beam().Degrees(), w.Field().Degrees())
	if back := 1 - m.forward/all; back > 0.01 {
		s.say("%.0f %% of the light goes backward. A plan leaves that out: in a small bright room expect more fill.", 100*back)
	}
	if backward {
		s.say("The file shines to 180 deg; here that is the front.")
	}
	typical, most := w.Unevenness()
	if most > 0.005 {
		s.say("The beam is the mean around the axis. The planes of the file differ from it by %.2f stops as a rule (root mean square over the field) and by %.1f at most; the doubt below counts that.",
			float64(typical), float64(most))
	}
	if w.Tilt != nil {
		s.say("The file says that a tilted lamp gives %s. That is not counted.", factors(w.Tilt))
	}
	s.say("Intensity is linear between angles. Every part of the face is taken to shine alike.")
	s.figure("forward_lm", m.forward)
	s.figure("all_lm", all)
	s.figure("axis_cd", m.candela[0])
	s.figure("beam_deg", w.Beam().Degrees())
	s.figure("field_deg", w.Field().Degrees())
	s.figure("planes_differ_stops", float64(typical))
	s.figure("planes_differ_at_most_stops", float64(most))
}

func factors(t *photometry.Tilt) string {
	least, most := math.Inf(1), 0.0
	for _, x := range t.Factors {
		least, most = min(least, x), max(most, x)
	}
	return fmt.Sprintf("%.2f to %.2f times its light", least, most)
}

// doubt is that of a measurement and of what the mean around the axis leaves out, in
// twentieths of a stop, rounded up.
func (m *measured) doubt() unit.Stops {
	typical, _ := m.web.Unevenness()
	d := math.Hypot(float64(measuredDoubt), float64(typical))
	return unit.Stops(math.Ceil(d*20-1e-6) / 20)
}

func (m *measured) yaml() string {
	var b strings.Builder
	id, mount := m.o.ID, m.o.Mount
	lamp := strconv.FormatFloat(m.lampFlux(), 'f', -1, 64)
	if m.web.Absolute {
		mount = id
		fmt.Fprintf(&b, "heads:\n  - id: %s\n    name: %s\n    mount: %s\n    lamp: {flux: %s lm, main: true", quoted(id+"-lamp"), quoted(m.o.Name), quoted(mount), lamp)
		if m.web.Watts > 0 {
			fmt.Fprintf(&b, ", watts: %s W", number(float64(m.web.Watts)))
		}
		b.WriteString("}\n")
	}
	fmt.Fprintf(&b, "modifiers:\n  - id: %s\n    name: %s\n    type: %s\n", quoted(id), quoted(m.o.Name+m.front()), m.kind())
	fmt.Fprintf(&b, "    fits: [%s]\n    shape: %s\n    face: %s\n    beam:\n", quoted(mount), m.shape, m.face)
	degrees := make([]string, len(m.from))
	for i, a := range m.from {
		degrees[i] = number(a.Degrees()) + " deg"
	}
	b.WriteString(list("angles", "      ", degrees))
	b.WriteString(list("candela", "      ", numbers(m.candela)))
	fmt.Fprintf(&b, "      lamp: %s lm\n    doubt: %s stops\n", lamp, number(float64(m.doubt())))
	return b.String()
}

// lampFlux is that of the lamp in tenths of a lumen, or a little more where all of it leaves
// forward: what the table as printed adds up to is then up to a thousandth above it.
func (m *measured) lampFlux() float64 {
	flux := m.lamp
	if _, adds, err := light.NewBeam(m.from, values(numbers(m.candela))); err == nil {
		flux = max(flux, adds)
	}
	return math.Ceil(flux*10-1e-6) / 10
}

// front tells the two entries of an absolute file apart.
func (m *measured) front() string {
	if m.web.Absolute {
		return " front"
	}
	return ""
}

// kind is the type of modifier: by how narrow the beam is, a reflector or something soft.
func (m *measured) kind() string {
	switch soft := m.beam.Half() > 45*unit.Degree; {
	case !soft:
		return "reflector"
	case m.shape == "disc":
		return "dish"
	}
	return "softbox"
}
