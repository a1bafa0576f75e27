package photometry

import (
	"strconv"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// ReadEULUMDAT reads EULUMDAT as Stockmar published it (Licht '90, 1990, pp. 641-644): one
// value a line. Decimals may have a comma; text that is not UTF-8 is read as Latin-1.
//
// The file gives candela per 1000 lm of lamp flux; intensity here is that times the flux
// of the first lamp set and the conversion factor (0 or nothing is taken as 1). Further
// sets are other lamps for the same light. A negative number of lamps means absolute
// photometry. With Isym 3 the planes kept begin at C270 and go by C0 to C90: they are
// numbers 3Mc/4+1 to 3Mc/4+1+Mc/2 of the list. The error is a source.Error with the line;
// the file is refused as a whole.
func ReadEULUMDAT(f *source.File) (*Web, error) {
	r := &ldt{page: open(f), web: &Web{Edition: "EULUMDAT"}}
	r.read()
	if r.err != nil {
		return nil, r.err
	}
	return r.web, nil
}

type ldt struct {
	*page
	web *Web
}

// text is the next line, whatever stands in it.
func (r *ldt) text(what string) string {
	line, ok := r.next()
	if !ok {
		r.at.Line, r.at.Col = r.line, 1
		r.fail("", "the file ends where %s was expected", what)
	}
	return line
}

func (r *ldt) label(what string) {
	if t := r.text(what); t != "" {
		r.web.Labels = append(r.web.Labels, Label{what, t})
	}
}

func (r *ldt) skip(n int, what string) {
	for range n {
		if r.err != nil {
			return
		}
		r.text(what)
	}
}

func decimal(line string) string { return strings.Replace(line, ",", ".", 1) }

func (r *ldt) number(what string) float64 { return r.value(decimal(r.text(what)), what) }

// optional is a number that may be left empty.
func (r *ldt) optional(what string) float64 {
	t := r.text(what)
	if t == "" {
		return 0
	}
	return r.value(decimal(t), what)
}

func (r *ldt) whole(lo, hi int, what string) int { return r.integer(r.number(what), lo, hi, what) }

func (r *ldt) millimetres(what string) unit.Length {
	return unit.Length(r.within(r.optional(what), 0, 1e6, what+" in millimetres")) * unit.Millimetre
}

func (r *ldt) read() {
	w := r.web
	r.label("company")
	r.skip(1, "the type")
	isym := r.whole(0, 4, "the symmetry, Isym")
	planes := r.whole(1, maxValues, "the number of C planes, Mc")
	r.symmetric(isym, planes)
	r.skip(1, "the distance of C planes")
	angles := r.whole(2, maxValues, "the number of intensities in a plane, Ng")
	r.skip(1, "the distance of intensities")
	for _, what := range []string{"report", "luminaire", "number", "file", "date"} {
		r.label(what)
	}
	r.skip(3, "a size of the luminaire")
	r.opening()
	r.skip(1, "the downward flux fraction")
	w.Output = unit.Share(r.within(r.optional("the light output ratio"), 0, maxNumber, "the light output ratio") / 100)
	factor := r.within(r.optional("the conversion factor"), 0, maxNumber, "the conversion factor")
	if factor == 0 {
		factor = 1
	}
	r.skip(1, "the tilt")
	r.sets()
	r.skip(10, "a direct ratio")
	all, at := r.angles(planes, 0, 360, "C angle", r.number)
	w.Vertical, _ = r.angles(angles, 0, 180, "gamma angle", r.number)
	if r.err != nil {
		return
	}
	kept := r.kept(isym, all, at)
	r.grid(kept, angles)
	r.planes(w, kept, factor*float64(w.Flux)/1000, r.number)
	r.ended("Isym, Mc and Ng may disagree with the list", "the file goes on after its %d intensities", kept*angles)
	if w.Symmetry == Whole {
		r.close(w, at[planes-1])
	}
}

// symmetric faults a number of planes that does not divide as the symmetry needs it.
func (r *ldt) symmetric(isym, planes int) {
	if by := [...]int{1, 1, 2, 4, 4}[isym]; planes%by != 0 {
		r.fail("", "Isym %d needs a number of C planes, Mc, that %d divides; this is %d", isym, by, planes)
	}
}

func (r *ldt) opening() {
	o := Opening{Length: r.millimetres("the length of the luminous area"), Width: r.millimetres("the width of the luminous area")}
	if o.Width == 0 && o.Length > 0 { // a diameter
		o.Width, o.Round = o.Length, true
	}
	for _, c := range []string{"C0", "C90", "C180", "C270"} {
		o.Height = max(o.Height, r.millimetres("the height of the luminous area toward "+c))
	}
	r.web.Opening = o
}

// sets reads the lamp sets, each of six lines: number, type, flux, colour, rendering,
// watts. Some writers keep the numbers of all sets together, then all types, and so on;
// which it is shows in where the numbers stand.
func (r *ldt) sets() {
	n := r.whole(1, 1000, "the number of lamp sets")
	var lines []string
	var at []source.Place
	for range 6 * n {
		if r.err != nil {
			return
		}
		lines = append(lines, r.text("a line of a lamp set"))
		at = append(at, r.at)
	}
	if r.err != nil {
		return
	}
	end := r.at
	bySet := func(field, set int) int { return 6*set + field }
	byField := func(field, set int) int { return n*field + set }
	line := bySet
	if n > 1 && readable(lines, n, byField) {
		if readable(lines, n, bySet) && lines[bySet(2, 0)] != lines[byField(2, 0)] {
			r.at = at[0]
			r.fail("keep one lamp set and write its type as a word", "the lamp sets can be read in two ways")
			return
		}
		line = byField
	}
	const count, flux, watts = 0, 2, 5
	get := func(field int, what string) float64 {
		r.at = at[line(field, 0)]
		return r.value(decimal(lines[line(field, 0)]), what)
	}
	r.web.Absolute = r.integer(get(count, "the number of lamps"), -1_000_000, 1_000_000, "the number of lamps") < 0
	r.web.Flux = unit.Flux(r.positive(get(flux, "the lamp flux"), "the lamp flux in lumens"))
	if lines[line(watts, 0)] != "" {
		r.web.Watts = unit.Power(r.within(get(watts, "the watts"), 0, maxNumber, "the watts"))
	}
	if t := lines[line(1, 0)]; t != "" {
		r.web.Labels = append(r.web.Labels, Label{"lamp", t})
	}
	r.at = end
}

// readable reports whether numbers and fluxes are numbers in a way of reading the sets.
func readable(lines []string, n int, line func(field, set int) int) bool {
	for set := range n {
		for _, field := range []int{0, 2} {
			if _, err := strconv.ParseFloat(decimal(lines[line(field, set)]), 64); err != nil {
				return false
			}
		}
	}
	return true
}

// kept takes from all C angles those of the planes in the file, and returns their number.
func (r *ldt) kept(isym int, all []unit.Angle, at []source.Place) int {
	w, mc := r.web, len(all)
	must := func(k int, deg float64) {
		if !is(all[k], deg) {
			r.failAt(at[k], "", "C angle %d of %d is %v where %v deg was expected with Isym %d", k+1, mc, all[k].Degrees(), deg, isym)
		}
	}
	must(0, 0)
	span := func(to int, deg float64) {
		if to < mc {
			must(to, deg)
			w.Horizontal = all[:to+1]
		} else { // Mc is so small that the last plane is not in the list
			r.fail("", "Isym %d needs a C plane at %v deg", isym, deg)
		}
	}
	switch isym {
	case 0:
		w.Symmetry, w.Horizontal = Whole, all
	case 1:
		w.Symmetry, w.Horizontal = Axial, all[:1]
	case 2:
		w.Symmetry = Bilateral
		span(mc/2, 180)
	case 3:
		w.Symmetry = Crosswise
		must(3*mc/4, 270)
		must(mc/4, 90)
		for _, c := range all[3*mc/4:] {
			w.Horizontal = append(w.Horizontal, c-turn)
		}
		w.Horizontal = append(w.Horizontal, all[:mc/4+1]...)
	case 4:
		w.Symmetry = Quadrant
		span(mc/4, 90)
	}
	return len(w.Horizontal)
}
