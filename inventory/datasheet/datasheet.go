// Package datasheet turns a measured file, photometric or spectral, into entries of a
// studio file: YAML to paste, with comments that say where it comes from and what it means.
package datasheet

import (
	"fmt"
	"math"
	"path"
	"strconv"
	"strings"
	"unicode"

	"falloff/model/source"
	"falloff/model/unit"
)

// The kinds of file, by what they become.
const (
	Modifier = "modifier" // IES LM-63 or EULUMDAT
	Head     = "head"     // the spectrum of a light
	Gel      = "gel"      // the transmittance of a filter
)

// Kinds lists them.
var Kinds = []string{Modifier, Head, Gel}

// Options are what a file does not say. All may be zero.
type Options struct {
	As     string // one of Kinds; empty: by the file
	ID     string // by the name of the file if empty
	Name   string // likewise
	Mount  string // of the heads; "usual" if empty
	Face   unit.Size
	Flux   unit.Flux   // of the lamp that a spectrum belongs to
	Energy unit.Energy // or of the flash
}

// Sheet is what a file became.
type Sheet struct {
	Kind    string
	About   []string // comments: where it is from, what it says, what to mind
	YAML    string
	Figures []Figure
}

// Figure is a number with the unit in its key, for programs.
type Figure struct {
	Key   string
	Value float64
}

func (s *Sheet) say(format string, args ...any) {
	s.About = append(s.About, fmt.Sprintf(format, args...))
}

func (s *Sheet) figure(key string, value float64) {
	s.Figures = append(s.Figures, Figure{key, value})
}

// Text is the sheet as it is pasted: comments, wrapped, above the entries.
func (s *Sheet) Text() string {
	var b strings.Builder
	for _, line := range s.About {
		wrapped(&b, "# ", "#   ", strings.Fields(line))
	}
	return b.String() + s.YAML
}

// width of what is printed, in characters.
const width = 100

// wrapped writes words in lines.
func wrapped(b *strings.Builder, first, next string, words []string) {
	line := first
	empty := true
	for _, w := range words {
		if !empty && len([]rune(line))+1+len([]rune(w)) > width {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = next, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+w, false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// list writes a YAML list over several lines.
func list(key, indent string, values []string) string {
	var b strings.Builder
	words := make([]string, len(values))
	for i, v := range values {
		words[i] = v + ","
	}
	if n := len(words); n > 0 {
		words[n-1] = values[n-1] + "]"
	}
	wrapped(&b, indent+key+": [", indent+"  ", words)
	return b.String()
}

// Read turns a file into a sheet. The error is a source.Error with the line in the file, or
// says what is missing; nothing is made of a file that has one.
func Read(f *source.File, o Options) (*Sheet, error) {
	as := o.As
	if as == "" {
		var err error
		if as, err = kindOf(f); err != nil {
			return nil, err
		}
	}
	o.ID = idOf(f, o.ID)
	if o.Name == "" {
		o.Name = strings.ReplaceAll(o.ID, "-", " ")
	}
	if o.Mount == "" {
		o.Mount = "usual"
	}
	switch as {
	case Modifier:
		return readModifier(f, o)
	case Head:
		return readHead(f, o)
	case Gel:
		return readGel(f, o)
	}
	return nil, fmt.Errorf("%q is not one of %s", as, strings.Join(Kinds, ", "))
}

// kindOf judges by the ending of the name, by a line TILT=, and by what the headings speak of.
func kindOf(f *source.File) (string, error) {
	switch strings.ToLower(path.Ext(f.Name)) {
	case ".ies", ".ldt", ".eul":
		return Modifier, nil
	}
	const most = 1 << 20
	text := strings.ToUpper(string(f.Text[:min(len(f.Text), most)]))
	for line := range strings.Lines(text) {
		if strings.HasPrefix(strings.ReplaceAll(line, " ", ""), "TILT=") {
			return Modifier, nil
		}
	}
	filter, light := speaks(text, "TRANSMI", "%T", "FILTER"), speaks(text, "POWER", "IRRADIANCE", "RADIANCE", "EMISSION", "SPD")
	switch {
	case filter && !light:
		return Gel, nil
	case light && !filter:
		return Head, nil
	}
	return "", source.Error{At: source.Place{File: f}, Msg: "the file does not say whether it is the spectrum of a light or the transmittance of a gel",
		Hint: "say --as head, or --as gel; or --as modifier for a photometric file"}
}

func speaks(text string, words ...string) bool {
	for _, w := range words {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}

// idOf makes an id of small letters, digits and hyphens.
func idOf(f *source.File, id string) string {
	if id != "" {
		return id
	}
	base := path.Base(strings.ReplaceAll(f.Name, `\`, "/"))
	base = strings.TrimSuffix(base, path.Ext(base))
	var b strings.Builder
	for _, r := range strings.ToLower(base) {
		switch {
		case r < 128 && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if id = strings.Trim(b.String(), "-"); id == "" || id == "none" || id == "on" {
		return "measured"
	}
	return id
}

// quoted is a YAML string: plain where that is safe, else in double quotes.
func quoted(text string) string {
	for i, r := range text {
		letter := r < 128 && unicode.IsLetter(r)
		if !letter && (i == 0 || !unicode.IsDigit(r) && !strings.ContainsRune(" -", r)) {
			return strconv.Quote(text)
		}
	}
	switch strings.ToLower(text) {
	case "", "true", "false", "yes", "no", "on", "off", "null", "y", "n":
		return strconv.Quote(text)
	}
	if strings.HasSuffix(text, " ") {
		return strconv.Quote(text)
	}
	return text
}

// comment is text from a file, in one line of printable characters.
func comment(text string) string {
	const most = 90
	clean := strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text)
	r := []rune(strings.Join(strings.Fields(clean), " "))
	if len(r) > most {
		r = append(r[:most-3], []rune("...")...)
	}
	return string(r)
}

// number writes a value to four digits.
func number(v float64) string {
	if v == 0 || math.Abs(v) < 1e-9 {
		return "0"
	}
	p := 4 - int(math.Ceil(math.Log10(math.Abs(v))))
	if p < 0 {
		k := math.Pow(10, float64(-p))
		return strconv.FormatFloat(math.Round(v/k)*k, 'f', -1, 64)
	}
	text := strconv.FormatFloat(v, 'f', p, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// values reads what numbers wrote.
func values(texts []string) []float64 {
	out := make([]float64, len(texts))
	for i, s := range texts {
		out[i], _ = strconv.ParseFloat(s, 64) // our own digits
	}
	return out
}

func numbers(values []float64) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = number(v)
	}
	return out
}
