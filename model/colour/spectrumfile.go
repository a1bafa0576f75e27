package colour

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"falloff/model/source"
)

// Limits on a spectrum file, far above what instruments write.
const (
	maxSpectrumBytes = 1 << 20
	maxPoints        = 10_000
)

// noise is the share of the peak, or of full transmittance, by which a reading may stray
// below 0 or above 1 before it counts as a fault. Common practice, no source.
const noise = 0.01

// ReadSpectrum reads the measured power of a light and scales it to a peak of 1. The
// file is of one of two kinds.
//
// Columns: one line for each wavelength in nm, rising, and its value, with a comma, a
// semicolon, a tab or spaces between them. One line of headings may stand first; lines
// that begin with # and empty lines are skipped. A decimal comma is read where the comma
// does not part the columns.
//
// CGATS-style text (CGATS.17, ISO 28178): a BEGIN_DATA_FORMAT list with fields such as
// SPEC_380 or SPECTRAL_NM_380, and one set of values after BEGIN_DATA. Other fields are
// passed over.
//
// Steps may be uneven: straight lines join the points and the end values hold beyond the
// ends. The points must reach from 400 to 700 nm. Values down to 1 % of the peak below 0
// are noise and read as 0. Headings that speak of transmittance or reflectance are refused. The error is a source.Error; nothing is read from a file that
// has one.
func ReadSpectrum(f *source.File) (Spectrum, error) {
	m, err := readMeasured(f)
	if err != nil {
		return Spectrum{}, err
	}
	if err := m.speaksOf("a power", "transmi", "reflect", "density", "absorb"); err != nil {
		return Spectrum{}, err
	}
	peak := 0.0
	for _, p := range m.points {
		peak = max(peak, p.value)
	}
	nm, value, err := m.within(-noise*peak, math.Inf(1), "", "values of 0 or more, give or take noise of 1 % of the peak")
	if err != nil {
		return Spectrum{}, err
	}
	s, err := NewSpectrum(nm, value)
	if err != nil {
		return Spectrum{}, m.fault(source.Place{}, "", "%s", err)
	}
	peak = 0
	for _, v := range s {
		peak = max(peak, v)
	}
	for i := range s {
		s[i] /= peak
	}
	return s, nil
}

// ReadTransmittance reads the measured transmittance of a gel from a file as ReadSpectrum
// takes it. Values are 0 to 1, or per cent if the headings say % or per cent or the CGATS
// text says SPECTRAL_NORM 100; readings up to 0.01 outside are noise and are cut off.
// Headings that speak of density, absorbance or reflectance are refused.
func ReadTransmittance(f *source.File) (Gel, error) {
	m, err := readMeasured(f)
	if err != nil {
		return Gel{}, err
	}
	if err := m.speaksOf("transmittance", "density", "absorb", "reflect"); err != nil {
		return Gel{}, err
	}
	head := strings.ToLower(m.heading)
	full, hint := m.full, ""
	if strings.Contains(head, "%") || strings.Contains(head, "percent") || strings.Contains(head, "per cent") {
		full = 100
	}
	if full == 1 {
		hint = "if the values are per cent, say so with % in a line of headings"
		if m.cgats {
			hint = "if the values are per cent, say so with SPECTRAL_NORM 100"
		}
	}
	for i := range m.points {
		m.points[i].value /= full
	}
	nm, value, err := m.within(-noise, 1+noise, hint, "transmittances of 0 to 1")
	if err != nil {
		return Gel{}, err
	}
	for i := range value {
		value[i] = min(1, value[i])
	}
	g, err := NewGel(nm, value)
	if err != nil {
		return Gel{}, m.fault(source.Place{}, "", "%s", err)
	}
	return g, nil
}

// speaksOf faults a heading that names some other quantity.
func (m *measured) speaksOf(expected string, others ...string) error {
	head := strings.ToLower(m.heading)
	for _, other := range others {
		if strings.Contains(head, other) {
			return m.fault(m.headingAt, "", "the heading says %q where %s was expected", m.heading, expected)
		}
	}
	return nil
}

// measured is what a spectrum file holds.
type measured struct {
	file      *source.File
	points    []point
	heading   string
	headingAt source.Place
	cgats     bool
	full      float64 // the value that stands for 1
	marks     [2]bool // a decimal point, a decimal comma was seen
}

type point struct {
	nm, value     float64
	nmAt, valueAt source.Place
}

func (m *measured) fault(at source.Place, hint, format string, args ...any) source.Error {
	at.File = m.file
	return source.Error{At: at, Msg: fmt.Sprintf(format, args...), Hint: hint}
}

func readMeasured(f *source.File) (*measured, error) {
	m := &measured{file: f, full: 1}
	if len(f.Text) > maxSpectrumBytes {
		return nil, m.fault(source.Place{}, "", "the file is over the limit of 1 MB")
	}
	text := bytes.TrimPrefix(f.Text, []byte("\ufeff"))
	if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		return nil, m.fault(source.Place{}, "save the file as UTF-8", "this is not UTF-8 text")
	}
	read := m.readColumns
	for line := range strings.Lines(string(text)) {
		if w := strings.Fields(line); len(w) > 0 && (w[0] == "BEGIN_DATA_FORMAT" || w[0] == "BEGIN_DATA") {
			read, m.cgats = m.readCGATS, true
			break
		}
	}
	if err := read(string(text)); err != nil {
		return nil, err
	}
	if err := m.checkSpan(); err != nil {
		return nil, err
	}
	return m, nil
}

// checkSpan wants rising wavelengths from 400 to 700 nm.
func (m *measured) checkSpan() error {
	if len(m.points) < 2 {
		return m.fault(source.Place{}, "", "the file holds %d points; a spectrum was expected, wavelength in nm and value", len(m.points))
	}
	for i, p := range m.points {
		switch {
		case !(p.nm > 0):
			return m.fault(p.nmAt, "", "the wavelength %g is not above 0; nm was expected", p.nm)
		case i > 0 && !(p.nm > m.points[i-1].nm):
			e := m.fault(p.nmAt, "", "the wavelength %g nm does not rise above %g nm before it", p.nm, m.points[i-1].nm)
			e.Also = []source.Place{m.points[i-1].nmAt}
			return e
		}
	}
	const expected = "it was expected to reach from 400 to 700 nm"
	if p := m.points[0]; p.nm > 400 {
		return m.fault(p.nmAt, "", "the spectrum begins at %g nm; %s", p.nm, expected)
	}
	if p := m.points[len(m.points)-1]; p.nm < 700 {
		return m.fault(p.nmAt, "", "the spectrum ends at %g nm; %s", p.nm, expected)
	}
	return nil
}

// within returns the points, with 0 for noise below it. The hint is for a value that is
// too high.
func (m *measured) within(low, high float64, hint, expected string) (nm, value []float64, err error) {
	for _, p := range m.points {
		if !(p.value >= low && p.value <= high) {
			if p.value < low {
				hint = ""
			}
			return nil, nil, m.fault(p.valueAt, hint, "the value at %g nm is %.4g; %s were expected", p.nm, p.value, expected)
		}
		nm, value = append(nm, p.nm), append(value, max(0, p.value))
	}
	return nm, value, nil
}

func (m *measured) add(p point) error {
	if len(m.points) == maxPoints {
		return m.fault(p.nmAt, "", "the file holds more than %d points", maxPoints)
	}
	m.points = append(m.points, p)
	return nil
}

// number reads a plain number with a decimal point or comma; a file has one or the other.
func (m *measured) number(text string, at source.Place, what string) (float64, error) {
	plain := text
	if i := strings.IndexByte(text, ','); i >= 0 {
		m.marks[1] = true
		plain = text[:i] + "." + text[i+1:] // a second comma or a point is then no number
	} else if strings.IndexByte(text, '.') >= 0 {
		m.marks[0] = true
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil || strings.ContainsFunc(plain, func(r rune) bool { return !strings.ContainsRune("0123456789+-.eE", r) }) {
		return 0, m.fault(at, "", "%s was expected, found %s", what, quoted(text))
	}
	if m.marks[0] && m.marks[1] {
		return 0, m.fault(at, "write all numbers with the same decimal mark", "the file has both decimal points and decimal commas, up to %s", quoted(text))
	}
	return x, nil
}

func quoted(text string) string {
	const room = 40
	if r := []rune(text); len(r) > room {
		text = string(r[:room]) + "..."
	}
	return strconv.Quote(text)
}

// readColumns reads lines of wavelength and value.
func (m *measured) readColumns(text string) error {
	var separator rune
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimRight(line, "\r\n")
		bare := strings.TrimSpace(line)
		if bare == "" || bare[0] == '#' {
			continue
		}
		at := source.Place{File: m.file, Line: n, Col: 1}
		if m.heading == "" && len(m.points) == 0 && isHeading(bare) {
			m.heading, m.headingAt = bare, at
			continue
		}
		if separator == 0 {
			separator = separatorOf(bare)
		}
		if err := m.row(line, separator, at); err != nil {
			return err
		}
	}
	return nil
}

func isHeading(line string) bool {
	start := strings.TrimLeft(line, `" `)
	return start != "" && !strings.ContainsRune("0123456789+-.,;", rune(start[0]))
}

func (m *measured) row(line string, separator rune, at source.Place) error {
	cells, err := split(line, separator, at)
	if err != nil {
		return m.fault(at, "", "a wavelength and a value were expected, with %s between them; a quote is out of place", separatorName(separator))
	}
	if len(cells) != 2 {
		hint := ""
		if separator == ',' && len(cells) > 2 {
			hint = "if the comma is the decimal mark, put a semicolon between the columns"
		}
		return m.fault(at, hint, "2 columns were expected, wavelength in nm and value, with %s between them; found %d", separatorName(separator), len(cells))
	}
	p := point{nmAt: cells[0].at, valueAt: cells[1].at}
	if p.nm, err = m.number(cells[0].text, p.nmAt, "a wavelength in nm"); err != nil {
		return err
	}
	if p.value, err = m.number(cells[1].text, p.valueAt, "a number"); err != nil {
		return err
	}
	return m.add(p)
}

// separatorOf judges by the first line of numbers.
func separatorOf(line string) rune {
	for _, c := range "\t;" {
		if strings.ContainsRune(line, c) {
			return c
		}
	}
	if !strings.Contains(line, ",") && strings.Contains(line, " ") {
		return ' '
	}
	return ','
}

func separatorName(c rune) string {
	return map[rune]string{'\t': "a tab", ';': "a semicolon", ' ': "spaces", ',': "a comma"}[c]
}

// word is a cell or a token with its place.
type word struct {
	text   string
	quoted bool
	at     source.Place
}

// split parts a line and leaves out empty cells at its end.
func split(line string, separator rune, at source.Place) (cells []word, err error) {
	if separator == ' ' {
		return tokens(line, at), nil
	}
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.TrimLeadingSpace = separator, true
	fields, err := r.Read()
	if err != nil {
		return nil, err
	}
	for i, text := range fields {
		_, col := r.FieldPos(i)
		cell := word{text: strings.TrimSpace(text), at: at}
		cell.at.Col = utf8.RuneCountInString(line[:min(col-1, len(line))]) + 1
		cells = append(cells, cell)
	}
	for len(cells) > 0 && cells[len(cells)-1].text == "" {
		cells = cells[:len(cells)-1]
	}
	return cells, nil
}
