// Package report says answers in plain trade words: text for terminals of any width, and
// JSON. It decides how things are worded and laid out, never what is true.
package report

import (
	"cmp"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"falloff/inventory"
	"falloff/model/unit"
)

// Style is how a report is laid out. Width is in columns; below 40 it is taken as 40.
type Style struct {
	Width   int
	Units   unit.System
	Verbose bool // limits that hold, and what was counted
}

// A page collects wrapped text. Spaces that must not break a line are written as a
// no-break space (U+00A0) and come out as plain spaces.
type page struct {
	Style
	text strings.Builder
	kit  []string // labels that hold a length
}

func newPage(st Style) *page {
	st.Width = max(st.Width, 40)
	return &page{Style: st}
}

func (p *page) flush(w io.Writer) error {
	_, err := io.WriteString(w, p.text.String())
	return err
}

// line writes one line as it stands.
func (p *page) line(s string) {
	p.text.WriteString(strings.TrimRight(strings.ReplaceAll(s, nb, " "), " "))
	p.text.WriteByte('\n')
}

func (p *page) blank() { p.text.WriteByte('\n') }

// para writes wrapped text; lines after the first are set in by hang more than indent.
func (p *page) para(indent, hang int, text string) {
	first := strings.Repeat(" ", indent)
	rest := strings.Repeat(" ", indent+hang)
	for i, l := range wrap(text, p.Width-indent, p.Width-indent-hang) {
		if i == 0 {
			p.line(first + l)
		} else {
			p.line(rest + l)
		}
	}
}

// field writes a label and text beside it, hanging under itself.
func (p *page) field(indent, column int, label, text string) {
	if text == "" {
		return
	}
	p.beside(indent, column, label, text)
}

func (p *page) beside(indent, column int, label, text string) {
	at := indent + column
	lines := wrap(text, p.Width-at, p.Width-at)
	if len(lines) == 0 {
		lines = []string{""}
	}
	if utf8.RuneCountInString(label) >= column { // a long label has its own line
		p.line(strings.Repeat(" ", indent) + label)
	} else {
		p.line(strings.Repeat(" ", indent) + pad(label, column) + lines[0])
		lines = lines[1:]
	}
	for _, l := range lines {
		p.line(strings.Repeat(" ", at) + l)
	}
}

func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

const nb = "\u00a0"

// A number stays with its unit, and a sign with its number.
var numberUnit = regexp.MustCompile(`(\d) (mm|cm|m|s|min|lx|deg|stops?|kg|W|Ws|K|mired|ft|in|A|V|x)\b`)

var isoNumber = regexp.MustCompile(`ISO (\d)`)

// names keeps the labels of the kit as they are: "60 x 90 cm soft box" is a name.
func (p *page) names(s *inventory.Studio) {
	for t := range s.Things() {
		if l := t.Label(); metricWords.MatchString(l) {
			p.kit = append(p.kit, l)
		}
	}
	// A longer name is looked for first: it may begin with a shorter one.
	slices.SortStableFunc(p.kit, func(a, b string) int { return cmp.Compare(len(b), len(a)) })
}

// units turns the metres, centimetres and kilograms of a sentence into the page's units.
// Millimetres stay: lenses and depths of field are given in them everywhere.
func (p *page) units(text string) string {
	if p.Units == unit.Metric {
		return text
	}
	for i, name := range p.kit { // U+F8FF stands for a name; no text of ours holds it
		text = strings.ReplaceAll(text, name, "\uf8ff"+string(rune(0xf0000+i)))
	}
	text = metricWords.ReplaceAllStringFunc(text, func(s string) string {
		m := metricWords.FindStringSubmatch(s)
		first, word, second := m[1], m[2], m[3]
		if second == "" {
			return p.convert(first, m[4])
		}
		return p.convert(first, m[4]) + word + p.convert(second, m[4])
	})
	for i, name := range p.kit {
		text = strings.ReplaceAll(text, "\uf8ff"+string(rune(0xf0000+i)), name)
	}
	return text
}

// A number with its unit, or two that share it: "1.2 m", "0.2 to 0.35 m", "60 x 90 cm".
var metricWords = regexp.MustCompile(`(-?\d+(?:\.\d+)?)(?:( to |\.\.| and | x )(-?\d+(?:\.\d+)?))?[ \x{a0}](m|cm|kg|m2)\b`)

func (st Style) convert(number, from string) string {
	x, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil:
		return number + " " + from
	case from == "kg":
		return st.Units.Mass(unit.Mass(x))
	case from == "m2":
		return strconv.FormatFloat(math.Round(x/(0.3048*0.3048)*10)/10, 'f', -1, 64) + " sq ft"
	case from == "cm":
		x /= 100
	}
	return st.Units.Length(unit.Length(x))
}

// wrap breaks text at spaces. The first line may hold first columns, the others rest.
func wrap(text string, first, rest int) []string {
	text = numberUnit.ReplaceAllString(text, "$1"+nb+"$2")
	text = strings.ReplaceAll(text, " %", nb+"%")
	text = isoNumber.ReplaceAllString(text, "ISO"+nb+"$1")
	var lines []string
	var line string
	room := first
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		switch n := utf8.RuneCountInString(line); {
		case line == "":
			line = word
		case n+1+utf8.RuneCountInString(word) <= room:
			line += " " + word
		default:
			lines = append(lines, line)
			line, room = word, rest
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// plural is "1 light", "2 lights".
func plural(n int, one string) string {
	if n == 1 {
		return "1" + nb + one
	}
	return itoa(n) + nb + one + "s"
}
