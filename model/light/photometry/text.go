package photometry

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"falloff/model/source"
	"falloff/model/unit"
)

const (
	maxBytes  = 10 << 20
	maxValues = 1_000_000 // intensities in one file; a web of one degree has 65,000
	// No light is brighter, and with it no sum of the values overflows.
	maxNumber = 1e12
)

// page reads a file by lines and by words. After the first fault it keeps it and reads
// nothing more, so that a reader may look at the end only.
type page struct {
	file      *source.File
	text      []byte
	pos       int
	line      int
	lineStart int
	at        source.Place // of what was read last
	err       error
}

func open(f *source.File) *page {
	p := &page{file: f, line: 1}
	p.at = source.Place{File: f, Line: 1, Col: 1}
	if len(f.Text) > maxBytes {
		p.fail("", "the file is over the limit of 10 MB")
		return p
	}
	text := bytes.TrimRight(f.Text, "\x1a\x00 \t\r\n") // DOS ended its files with 1A
	if i := bytes.IndexByte(text, 0); i >= 0 {
		p.line += bytes.Count(text[:i], []byte("\n"))
		p.at.Line = p.line
		p.fail("save it as plain text", "this is not plain text: it holds a zero byte")
		return p
	}
	p.text = text
	if bytes.HasPrefix(text, []byte("\xef\xbb\xbf")) {
		p.pos = 3
	}
	if len(text) == p.pos {
		p.fail("", "the file is empty")
	}
	return p
}

func (p *page) fail(hint, format string, args ...any) { p.failAt(p.at, hint, format, args...) }

func (p *page) failAt(at source.Place, hint, format string, args ...any) {
	if p.err == nil {
		p.err = source.Error{At: at, Msg: fmt.Sprintf(format, args...), Hint: hint}
	}
}

func (p *page) here() source.Place {
	return source.Place{File: p.file, Line: p.line, Col: p.pos - p.lineStart + 1}
}

// step passes one byte, and counts the line when it ends one: LF, CR LF or CR alone.
func (p *page) step() {
	c := p.text[p.pos]
	p.pos++
	if c == '\n' || c == '\r' && (p.pos == len(p.text) || p.text[p.pos] != '\n') {
		p.line, p.lineStart = p.line+1, p.pos
	}
}

// next is the next line, trimmed, as UTF-8.
func (p *page) next() (string, bool) {
	if p.err != nil || p.pos >= len(p.text) {
		return "", false
	}
	p.at = p.here()
	start, line := p.pos, p.line
	for p.pos < len(p.text) && p.line == line {
		p.step()
	}
	return latin(bytes.TrimSpace(p.text[start:p.pos])), true
}

// latin reads bytes that are not UTF-8 as ISO 8859-1, which most such files are in.
func latin(b []byte) string {
	if utf8.Valid(b) {
		return string(b)
	}
	r := make([]rune, len(b))
	for i, c := range b {
		r[i] = rune(c)
	}
	return string(r)
}

func delimiter(c byte) bool {
	return c == ',' || c == ' ' || c == '\t' || c == '\r' || c == '\n'
}

// word is the next word between the delimiters of LM-63: commas, spaces, line ends.
func (p *page) word(what string) string {
	if p.err != nil {
		return ""
	}
	for p.pos < len(p.text) && delimiter(p.text[p.pos]) {
		p.step()
	}
	p.at = p.here()
	if p.pos == len(p.text) {
		p.fail("", "the file ends where %s was expected", what)
		return ""
	}
	start := p.pos
	for p.pos < len(p.text) && !delimiter(p.text[p.pos]) {
		p.pos++
	}
	return string(p.text[start:p.pos])
}

// ended faults what is left of the file.
func (p *page) ended(hint, format string, args ...any) {
	if p.err != nil {
		return
	}
	for p.pos < len(p.text) && delimiter(p.text[p.pos]) {
		p.step()
	}
	if p.pos < len(p.text) {
		p.at = p.here()
		p.fail(hint, format, args...)
	}
}

// value reads a plain number.
func (p *page) value(text, what string) float64 {
	if p.err != nil {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if strings.Trim(text, "0123456789+-.eE") != "" || err != nil && !(math.Abs(v) > 1) {
		p.fail("", "%s where %s was expected", quote(text), what)
		return 0
	}
	if !(math.Abs(v) <= maxNumber) {
		p.fail("", "%s is too large for %s", quote(text), what)
		return 0
	}
	return v
}

func quote(text string) string {
	if text == "" {
		return "there is nothing"
	}
	const room = 40
	if r := []rune(latin([]byte(text))); len(r) > room {
		return strconv.Quote(string(r[:room]) + "...")
	}
	return strconv.Quote(latin([]byte(text)))
}

// within faults a value that is out of bounds.
func (p *page) within(v, lo, hi float64, what string) float64 {
	if p.err == nil && !(v >= lo && v <= hi) {
		p.fail("", "%v is out of range for %s, which is %v to %v", v, what, lo, hi)
	}
	return v
}

func (p *page) positive(v float64, what string) float64 {
	if p.err == nil && !(v > 0) {
		p.fail("", "%v is out of range for %s, which is above 0", v, what)
	}
	return v
}

func (p *page) integer(v float64, lo, hi int, what string) int {
	if p.err == nil && v != math.Trunc(v) {
		p.fail("", "%v where %s was expected, a whole number", v, what)
	}
	p.within(v, float64(lo), float64(hi), what)
	if p.err != nil {
		return lo
	}
	return int(v)
}

// grid faults a file that declares more values than it may hold.
func (p *page) grid(planes, angles int) {
	if p.err == nil && planes*angles > maxValues {
		p.fail("", "%d planes of %d values each are over the limit of %d values", planes, angles, maxValues)
	}
}

// angles reads n increasing angles in degrees, and where each stands.
func (p *page) angles(n int, lo, hi float64, what string, read func(what string) float64) (list []unit.Angle, at []source.Place) {
	before := math.Inf(-1)
	for k := range n {
		if p.err != nil {
			return nil, nil
		}
		name := fmt.Sprintf("%s %d of %d", what, k+1, n)
		v := p.within(read(name), lo, hi, name+" in degrees")
		// Closer than this no instrument measures, and slopes lose their digits.
		if p.err == nil && !(v-before > 1e-6) {
			p.fail("", "%s is %v after %v; angles increase", name, v, before)
		}
		before = v
		list, at = append(list, degrees(v)), append(at, p.at)
	}
	return list, at
}

func degrees(v float64) unit.Angle { return unit.Angle(v) * unit.Degree }

// is tells whether an angle is the one that a file must name, such as 90: exactly.
func is(a unit.Angle, deg float64) bool { return a == degrees(deg) }

// planes reads the intensities, one plane after the other, times a scale.
func (p *page) planes(w *Web, n int, scale float64, read func(what string) float64) {
	for j := range n {
		row := make([]float64, 0, len(w.Vertical))
		for k := range w.Vertical {
			if p.err != nil {
				return
			}
			what := fmt.Sprintf("intensity %d of plane %d", k+1, j+1)
			v := p.within(read(what), 0, maxNumber, what)
			if !(v*scale <= maxNumber) {
				p.fail("", "%v times %v is too large for %s", v, scale, what)
			}
			row = append(row, v*scale)
		}
		w.Candela = append(w.Candela, row)
	}
}

// close repeats the first plane at 360 deg, so that a whole turn is covered. What is left
// open may not be wider than what lies between the planes.
func (p *page) close(w *Web, at source.Place) {
	last := len(w.Horizontal) - 1
	if p.err != nil || is(w.Horizontal[last], 360) {
		return
	}
	widest := unit.Angle(0)
	for j := range last {
		widest = max(widest, w.Horizontal[j+1]-w.Horizontal[j])
	}
	if turn-w.Horizontal[last] > widest+slack {
		p.failAt(at, "", "the planes end at %v deg and leave open the rest of the turn", w.Horizontal[last].Degrees())
		return
	}
	w.Horizontal = append(w.Horizontal, turn)
	w.Candela = append(w.Candela, w.Candela[0])
}

// Read reads either format: a file with a line TILT= or a version line of LM-63 is LM-63,
// one whose second and third lines are the small numbers of EULUMDAT is that. The error is
// a source.Error with the line; the file is refused as a whole.
func Read(f *source.File) (*Web, error) {
	p := open(f)
	numbers := 0
	for n := 1; ; n++ {
		line, ok := p.next()
		if !ok {
			break
		}
		if _, is := tilt(line); is {
			return ReadIES(f)
		}
		if _, _, is := version(line); is && n == 1 {
			return ReadIES(f)
		}
		if v, err := strconv.ParseFloat(strings.Replace(line, ",", ".", 1), 64); err == nil && (n == 2 || n == 3) && v >= 0 && v <= 4 {
			numbers++
		}
	}
	switch {
	case p.err != nil:
		return nil, p.err
	case numbers == 2:
		return ReadEULUMDAT(f)
	}
	return nil, source.Error{At: source.Place{File: f, Line: 1, Col: 1},
		Msg:  "this is neither LM-63 nor EULUMDAT",
		Hint: "LM-63 has a line TILT=; EULUMDAT has its type and symmetry, small numbers, on lines 2 and 3"}
}
