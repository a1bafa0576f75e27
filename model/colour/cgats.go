package colour

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"falloff/model/source"
)

// readCGATS reads the one set of a CGATS-style text.
func (m *measured) readCGATS(text string) error {
	var fields, values []word
	counts := map[string]word{}
	var ended, inFields, inValues source.Place // lines of END_DATA and of what is open
	n := 0
	for line := range strings.Lines(text) {
		n++
		words := tokens(line, source.Place{File: m.file, Line: n})
		if len(words) == 0 {
			continue
		}
		first := words[0]
		switch {
		case first.quoted:
		case first.text == "END_DATA_FORMAT" && inFields.Known():
			inFields = source.Place{}
			continue
		case first.text == "END_DATA" && inValues.Known():
			ended, inValues = first.at, source.Place{}
			continue
		case first.text != "BEGIN_DATA_FORMAT" && first.text != "BEGIN_DATA":
		case inFields.Known() || inValues.Known():
			return m.fault(first.at, "", "%s stands inside another block, whose END was expected first", first.text)
		case ended.Known():
			return m.fault(first.at, "keep one table in a file", "a second table begins here; one spectrum was expected")
		case first.text == "BEGIN_DATA_FORMAT":
			inFields, words = first.at, words[1:]
		case fields == nil:
			return m.fault(first.at, "", "BEGIN_DATA_FORMAT with the names of the fields was expected before BEGIN_DATA")
		default:
			inValues, words = first.at, words[1:]
		}
		switch {
		case inFields.Known():
			fields = append(fields, words...)
		case inValues.Known():
			values = append(values, words...)
		case len(words) == 2 && !first.quoted:
			counts[first.text] = words[1]
		}
	}
	if open := max(inFields.Line, inValues.Line); open > 0 {
		return m.fault(source.Place{Line: open, Col: 1}, "", "the block that begins here has no END line")
	}
	if !ended.Known() {
		return m.fault(source.Place{}, "", "there is no BEGIN_DATA block; one set of values was expected")
	}
	if err := m.checkCounts(counts, len(fields)); err != nil {
		return err
	}
	if len(values) != len(fields) {
		return m.fault(ended, "keep one spectrum in a file", "one set of %d values was expected, one for each field; found %d values", len(fields), len(values))
	}
	return m.pair(fields, values)
}

// pair joins the wavelengths in the names of the fields to the values.
func (m *measured) pair(fields, values []word) error {
	for i, field := range fields {
		nm, ok := wavelengthOf(field.text)
		if !ok {
			continue
		}
		p := point{nm: nm, nmAt: field.at, valueAt: values[i].at}
		var err error
		if p.value, err = m.number(values[i].text, p.valueAt, "a number"); err != nil {
			return err
		}
		if err := m.add(p); err != nil {
			return err
		}
	}
	if len(m.points) == 0 {
		return m.fault(fields[0].at, "", "no field names a wavelength; names as in SPEC_380 or SPECTRAL_NM_380 were expected")
	}
	return nil
}

// checkCounts holds the numbers that the head of the text gives against its tables.
func (m *measured) checkCounts(counts map[string]word, fields int) error {
	for _, c := range []struct {
		key  string
		want int
	}{{"NUMBER_OF_FIELDS", fields}, {"NUMBER_OF_SETS", 1}} {
		if w, ok := counts[c.key]; ok && w.text != strconv.Itoa(c.want) {
			return m.fault(w.at, "", "%s says %s where %d was expected", c.key, quoted(w.text), c.want)
		}
	}
	if w, ok := counts["SPECTRAL_NORM"]; ok {
		full, err := m.number(w.text, w.at, "a number")
		if err != nil {
			return err
		}
		if !(full > 0) {
			return m.fault(w.at, "", "SPECTRAL_NORM %g is not above 0", full)
		}
		m.full = full
	}
	return nil
}

// wavelengthOf reads the nm in the name of a field.
func wavelengthOf(field string) (float64, bool) {
	upper := strings.ToUpper(field)
	for _, prefix := range []string{"SPECTRAL_NM", "SPECTRAL", "SPEC", "NM"} {
		if digits, ok := strings.CutPrefix(upper, prefix); ok {
			digits = strings.TrimPrefix(digits, "_")
			nm, err := strconv.ParseFloat(digits, 64)
			if err == nil && digits[0] >= '0' && digits[0] <= '9' && !math.IsInf(nm, 0) && !strings.ContainsAny(digits, "XP_") {
				return nm, true
			}
		}
	}
	return 0, false
}

// tokens parts a line at spaces, keeps what stands in double quotes together, and ends
// at a # between tokens.
func tokens(line string, at source.Place) (all []word) {
	col := 1
	for {
		rest := strings.TrimLeftFunc(line, unicode.IsSpace)
		col += utf8.RuneCountInString(line[:len(line)-len(rest)])
		if rest == "" || rest[0] == '#' {
			return all
		}
		w := word{at: at}
		w.at.Col = col
		end := strings.IndexFunc(rest, unicode.IsSpace)
		if rest[0] == '"' {
			w.quoted = true
			end = strings.IndexByte(rest[1:], '"') + 2
			if end == 1 {
				end = -1
			}
		}
		if end < 0 {
			end = len(rest)
		}
		w.text = strings.Trim(rest[:end], `"`)
		all = append(all, w)
		col += utf8.RuneCountInString(rest[:end])
		line = rest[end:]
	}
}
