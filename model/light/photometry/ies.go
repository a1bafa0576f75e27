package photometry

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// ReadIES reads ANSI/IES LM-63 of 1986 (no version line), 1991, 1995, 2002 (IESNA
// LM-63-2002) or 2019 (ANSI/IES LM-63-19). Values are delimited by commas, spaces and
// line ends; text that is not UTF-8 is read as Latin-1.
//
// Intensity is the value times the multiplier, the ballast factor and, before 2002, the
// ballast-lamp factor; later editions keep that field for other uses. The keywords that
// 2002 requires are not insisted on. Type C only. The error is a source.Error with the
// line; the file is refused as a whole.
func ReadIES(f *source.File) (*Web, error) {
	r := &ies{page: open(f), web: &Web{}}
	r.heading()
	r.lamps()
	if r.err != nil {
		return nil, r.err
	}
	return r.web, nil
}

type ies struct {
	*page
	web  *Web
	year int
}

var versionLine = regexp.MustCompile(`(?i)^(?:IESNA(\d\d)|(?:IESNA|IES):\s*LM-63-(\d{2}|\d{4}))$`)

// version reads the first line of 1991 and later. The year is 0 for an unknown edition.
func version(line string) (name string, year int, ok bool) {
	m := versionLine.FindStringSubmatch(line)
	if m == nil {
		return "", 0, false
	}
	year, _ = strconv.Atoi(m[1] + m[2])
	if year < 100 {
		year += 1900
	}
	if year < 1950 {
		year += 100
	}
	if !slices.Contains([]int{1986, 1991, 1995, 2002, 2019}, year) {
		year = 0
	}
	return strings.ToUpper(line), year, true
}

// tilt reads a line TILT=.
func tilt(line string) (what string, ok bool) {
	name, what, ok := strings.Cut(line, "=")
	return strings.TrimSpace(what), ok && strings.EqualFold(strings.TrimSpace(name), "TILT")
}

func (r *ies) number(what string) float64 { return r.value(r.word(what), what) }

func (r *ies) whole(lo, hi int, what string) int { return r.integer(r.number(what), lo, hi, what) }

// heading reads all up to TILT= and what belongs to that.
func (r *ies) heading() {
	r.web.Edition, r.year = "LM-63-1986", 1986
	for n := 1; ; n++ {
		line, ok := r.next()
		if !ok {
			r.fail("", "the file ends where a line TILT= was expected, so this is not LM-63")
			return
		}
		if what, ok := tilt(line); ok {
			r.tilting(what)
			return
		}
		if n > maxHeading {
			r.fail("", "more than %d lines stand before a line TILT=", maxHeading)
			return
		}
		if name, year, ok := version(line); ok && n == 1 {
			if year == 0 {
				r.fail("", "%s is no edition that is known here: 1986, 1991, 1995, 2002, 2019", quote(line))
			}
			r.web.Edition, r.year = name, year
			continue
		}
		r.label(line)
	}
}

// label keeps a line "[KEYWORD] text". [MORE] is more of the keyword before.
func (r *ies) label(line string) {
	name, text := "", line
	if strings.HasPrefix(line, "[") {
		if k, t, ok := strings.Cut(line[1:], "]"); ok {
			name, text = strings.ToUpper(strings.TrimSpace(k)), strings.TrimSpace(t)
		}
	}
	if last := len(r.web.Labels) - 1; name == "MORE" && last >= 0 {
		name = r.web.Labels[last].Name
	}
	if name != "" || text != "" {
		r.web.Labels = append(r.web.Labels, Label{name, text})
	}
}

func (r *ies) tilting(what string) {
	switch strings.ToUpper(what) {
	case "NONE":
	case "INCLUDE":
		t := &Tilt{Geometry: r.whole(1, 3, "the lamp to luminaire geometry")}
		n := r.whole(1, maxValues, "the number of tilt angles")
		t.Angles, _ = r.angles(n, -360, 360, "tilt angle", r.number)
		for k := range n {
			if r.err != nil {
				return
			}
			name := fmt.Sprintf("tilt factor %d of %d", k+1, n)
			t.Factors = append(t.Factors, r.within(r.number(name), 0, maxNumber, name))
		}
		r.web.Tilt = t
	default:
		r.fail("put the lines of that file here, after TILT=INCLUDE", "TILT=%s where NONE or INCLUDE was expected", printable(what))
	}
}

func printable(s string) string { q := quote(s); return strings.Trim(q, `"`) }

const maxHeading = 10_000 // lines of text; real files have a few dozen

const lists = "the counts of angles and the lists may disagree; a comma separates values, so decimals take a point"

func (r *ies) lamps() {
	w := r.web
	lamps := r.whole(1, 1_000_000, "the number of lamps")
	lumens := r.number("the lumens of one lamp")
	if w.Absolute = lumens == -1; !w.Absolute {
		w.Flux = unit.Flux(float64(lamps) * r.positive(lumens, "the lumens of one lamp (-1 for absolute photometry)"))
	}
	scale := r.positive(r.number("the multiplier"), "the multiplier")
	vertical := r.whole(2, maxValues, "the number of vertical angles")
	horizontal := r.whole(1, maxValues, "the number of horizontal angles")
	r.grid(horizontal, vertical)
	if kind := r.whole(1, 3, "the photometric type"); r.err == nil && kind != 1 {
		r.fail("export the file as type C, 1", "this is photometry of type %s; only type C is read", [...]string{2: "B", 3: "A"}[kind])
	}
	r.opening()
	scale *= r.positive(r.number("the ballast factor"), "the ballast factor")
	extra := r.number("the field between ballast factor and watts")
	if r.year < 2002 {
		scale *= r.positive(extra, "the ballast-lamp factor")
	}
	w.Watts = unit.Power(r.within(r.number("the watts"), 0, maxNumber, "the watts"))
	r.verticals(vertical)
	at := r.horizontals(horizontal)
	r.planes(w, horizontal, scale, r.number)
	r.ended(lists, "the file goes on after its %d intensities", horizontal*vertical)
	if r.err != nil {
		return
	}
	switch w.Symmetry {
	case Whole:
		r.close(w, at)
	case Crosswise:
		crossed(w)
	}
}

func (r *ies) opening() {
	size := unit.Metre
	if r.whole(1, 2, "the units, 1 for feet or 2 for metres") == 1 {
		size = unit.Foot
	}
	side := func(what string) (unit.Length, bool) {
		v := r.within(r.number(what), -1e6, 1e6, what)
		return unit.Length(math.Abs(v)) * size, v < 0
	}
	width, a := side("the width")
	length, b := side("the length")
	height, _ := side("the height")
	o := Opening{Width: width, Length: length, Height: height, Round: a || b}
	if o.Round {
		if o.Width == 0 {
			o.Width = o.Length
		} else if o.Length == 0 {
			o.Length = o.Width
		}
	}
	r.web.Opening = o
}

func (r *ies) verticals(n int) {
	list, at := r.angles(n, 0, 180, "vertical angle", r.number)
	if r.err != nil {
		return
	}
	const whole = "where there is no light, write 0 candela"
	first, last := list[0], list[n-1]
	switch {
	case !is(first, 0) && !is(first, 90):
		r.failAt(at[0], whole, "vertical angles begin at %v where 0 or 90 deg was expected", first.Degrees())
	case !is(last, 90) && !is(last, 180):
		r.failAt(at[n-1], whole, "vertical angles end at %v where 90 or 180 deg was expected", last.Degrees())
	}
	r.web.Vertical = list
}

// horizontals tells the symmetry by the first and the last angle, and returns the place
// of the last.
func (r *ies) horizontals(n int) source.Place {
	list, at := r.angles(n, 0, 360, "horizontal angle", r.number)
	if r.err != nil {
		return r.at
	}
	first, last := list[0], list[n-1]
	s := Whole
	switch {
	case is(first, 90) && is(last, 270):
		s = Crosswise
	case !is(first, 0):
		r.failAt(at[0], "", "horizontal angles begin at %v where 0 was expected (or 90, to 270 deg)", first.Degrees())
	case n == 1:
		s = Axial
	case is(last, 90):
		s = Quadrant
	case is(last, 180):
		s = Bilateral
	case last < turn/2:
		r.failAt(at[n-1], "", "horizontal angles end at %v where 0, 90, 180 or 360 deg was expected", last.Degrees())
	}
	r.web.Symmetry, r.web.Horizontal = s, list
	return at[n-1]
}

// crossed turns planes of 90 to 270 deg into their mirror images of -90 to 90 deg.
func crossed(w *Web) {
	slices.Reverse(w.Candela)
	slices.Reverse(w.Horizontal)
	for j, h := range w.Horizontal {
		w.Horizontal[j] = turn/2 - h
	}
}
