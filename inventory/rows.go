package inventory

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"falloff/model/colour"
	"falloff/model/unit"
)

// Row is one type of item as a photographer wants to read it.
type Row struct {
	Count int
	ID    string
	Title string
	Facts []string
}

// Group is the rows of one class.
type Group struct {
	Title string
	Rows  []Row
}

// Rows lists the kit: classes in the order of a studio file; lenses by focal length, heads
// by output, flash first, stands by height and everything else by id.
func Rows(s *Studio) []Group {
	sh := s.Shelf()
	var out []Group
	add := func(title string, rows []Row) {
		if len(rows) > 0 {
			out = append(out, Group{title, rows})
		}
	}
	add("Cameras", rowsOf(s, sh.Cameras))
	add("Lenses", rowsOf(s, by(sh.Lenses, func(l *Lens) float64 { return float64(l.Focal) })))
	add("Heads", rowsOf(s, by(sh.Heads, func(h *Head) float64 { return brightness(s, h) })))
	add("Modifiers", rowsOf(s, by(sh.Modifiers, func(m *Modifier) float64 { return float64(slices.Index(modifierTypeNames, m.Type)) })))
	add("Grids", rowsOf(s, sh.Grids))
	add("Gels", rowsOf(s, sh.Gels))
	add("Cards and flags", rowsOf(s, sh.Cards))
	add("Stands", rowsOf(s, by(sh.Stands, func(st *Stand) float64 { return float64(st.Height) })))
	add("Booms", rowsOf(s, sh.Booms))
	add("Backdrops", rowsOf(s, by(sh.Backdrops, func(b *Backdrop) float64 { return float64(b.Reflectance) })))
	add("Triggers", rowsOf(s, sh.Triggers))
	return out
}

// by sorts by a number, and by id where it is equal.
func by[P Thing](things []P, key func(P) float64) []P {
	things = slices.Clone(things)
	slices.SortStableFunc(things, func(a, b P) int { return cmp.Compare(key(a), key(b)) })
	return things
}

// brightness orders heads: the brightest flash first, the dimmest lamp last.
func brightness(s *Studio, h *Head) float64 {
	if q, _, ok := h.Output(s, false); ok {
		return -1e12 - q
	}
	q, _, _ := h.Output(s, true)
	return -q
}

func rowsOf[P Thing](s *Studio, things []P) []Row {
	rows := make([]Row, len(things))
	for i, t := range things {
		rows[i] = RowOf(s, t)
	}
	return rows
}

// RowOf describes one type of item.
func RowOf(s *Studio, t Thing) Row {
	it := t.item()
	r := Row{Count: it.Count, ID: string(it.ID), Title: it.Label(), Facts: facts(s, t)}
	if it.DayRate > 0 {
		r.Facts = append(r.Facts, fmt.Sprintf("%v a day", it.DayRate))
	}
	return r
}

// Describe is RowOf on one line: "2 x 400 Ws monolight: 14000 lm s (rated, +-0.7 stops), ...".
func Describe(s *Studio, t Thing) string {
	r := RowOf(s, t)
	return fmt.Sprintf("%d x %s: %s", r.Count, r.Title, strings.Join(r.Facts, ", "))
}

func facts(s *Studio, t Thing) []string {
	switch t := t.(type) {
	case *Camera:
		return cameraFacts(t)
	case *Lens:
		return lensFacts(s, t)
	case *Head:
		return headFacts(s, t)
	case *Modifier:
		return modifierFacts(s, t)
	case *Grid:
		return gridFacts(s, t)
	case *Gel:
		return gelFacts(t)
	case *Card:
		out := []string{t.Face.String(), fmt.Sprintf("reflects %v", t.Reflectance)}
		if t.Mirror > 0 {
			out = append(out, fmt.Sprintf("%v of it as a mirror does", t.Mirror))
		}
		return out
	case *Stand:
		return []string{fmt.Sprintf("%v to %v", t.Lowest, t.Height), fmt.Sprintf("carries %v", t.Load)}
	case *Boom:
		return []string{fmt.Sprintf("reaches %v", t.Reach),
			fmt.Sprintf("carries %v, balanced by %.0f kg", t.Load, math.Ceil(float64(t.Counterweight(t.Load))))}
	case *Backdrop:
		return []string{fmt.Sprintf("reflects %v (%+.1f stops from mid grey)", t.Reflectance, math.Log2(float64(t.Reflectance)/0.18)),
			fmt.Sprintf("%v wide", t.Width)}
	case *Trigger:
		return []string{"fires " + plural(t.Fires, "head")}
	}
	return nil
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// plain writes an amount of stops without its plus sign.
func plain(s unit.Stops) string { return strings.TrimPrefix(s.String(), "+") }

func cameraFacts(c *Camera) []string {
	f := []string{
		fmt.Sprintf("%v sensor", c.Sensor),
		fmt.Sprintf("base %v, up to %v", c.BaseISO, c.TopISO),
		fmt.Sprintf("flash sync %v", c.Sync),
	}
	if c.Stabilised > 0 {
		f = append(f, "stabilised by "+plain(c.Stabilised))
	}
	return append(f, c.Mount+" mount")
}

// shoulders is the height of a usual head-and-shoulders frame (common practice, no source).
const shoulders unit.Length = 0.60

// byTape is a length in the units of a tape measure, which a report can turn into inches;
// millimetres it leaves alone, as those of a focal length.
func byTape(l unit.Length) string {
	if l >= 1 {
		return l.String()
	}
	return strconv.FormatFloat(math.Round(float64(l)*1000)/10, 'f', -1, 64) + " cm"
}

func lensFacts(s *Studio, l *Lens) []string {
	f := []string{fmt.Sprintf("%v to %v", l.Widest, l.Narrowest)}
	if l.Nearest > 0 {
		f = append(f, "focuses from "+byTape(l.Nearest))
	}
	for _, c := range s.Shelf().Cameras {
		if c.Takes(l) {
			return append(f, fmt.Sprintf("a %v frame from %v", shoulders, roundOff(l.Focal*(1+shoulders/c.Sensor.W))))
		}
	}
	return append(f, "no camera has its mount, "+l.Mount)
}

// Where the listing meters a head, and for how long a lamp is exposed.
const (
	listedAt                = 2 * unit.Metre
	listedTime unit.Shutter = 1.0 / 125
)

func headFacts(s *Studio, h *Head) []string {
	var f []string
	if q, d, ok := h.Output(s, false); ok {
		f = append(f, output(q, "lm s", d, h.Flash.Metered != nil), h.dialFact(false))
		if h.Flash.T01 > 0 {
			f = append(f, fmt.Sprintf("t0.1 %v at full", unit.Shutter(h.Flash.T01)))
		}
		f = append(f, h.colourFact(false))
		if m, name := s.largest(h); name != "" {
			f = append(f, fmt.Sprintf("%s at %v, ISO 100, %s", s.fNumber(h.At(s, false, m, nil, listedAt)), listedAt, name))
		}
	}
	if q, d, ok := h.Output(s, true); ok {
		f = append(f, lampFacts(s, h, q, d)...)
	}
	return f
}

func lampFacts(s *Studio, h *Head, q float64, d unit.Stops) []string {
	if !h.Lamp.Main {
		what := "LED"
		if h.Lamp.Hot {
			what = "halogen"
		}
		return []string{fmt.Sprintf("%s modelling lamp of %v at %v", what, unit.Flux(q), h.colourFact(true))}
	}
	f := []string{output(q, "lm", d, h.Lamp.Metered != nil), h.dialFact(true), h.colourFact(true)}
	if m, name := s.largest(h); name != "" {
		e := h.At(s, true, m, nil, listedAt)
		f = append(f, fmt.Sprintf("%v at %v %s, %s at ISO 100, %v",
			unit.Illuminance(math.Round(e)), listedAt, name, s.fNumber(e*listedTime.True()), listedTime))
	}
	return f
}

// colourFact is the colour of a light: what it was rated at, or what its spectrum gives.
func (h *Head) colourFact(useLamp bool) string {
	k := h.Kelvin(useLamp)
	if !h.SpectrumKnown(useLamp) {
		return k.String()
	}
	s := h.Spectrum(useLamp)
	return fmt.Sprintf("%.0f K by its spectrum (%s)", math.Round(float64(k)), colour.Quality(&s))
}

// percent writes a share in whole per cent, or in tenths below ten.
func percent(s unit.Share) string {
	if s < 0.1 {
		return fmt.Sprintf("%.2g %%", 100*float64(s))
	}
	return fmt.Sprintf("%.0f %%", 100*float64(s))
}

func output(q float64, per string, doubt unit.Stops, metered bool) string {
	how := "rated"
	if metered {
		how = "metered"
	}
	return fmt.Sprintf("%.0f %s (%s, +-%s)", q, per, how, plain(doubt))
}

// fNumber is the f-number for an exposure in lx s at ISO 100, as a meter shows it.
func (s *Studio) fNumber(h float64) string {
	return unit.MeterShort(math.Sqrt(100 * h / s.planeConstant()))
}

// dialFact says how far a light dims, and by what.
func (h *Head) dialFact(useLamp bool) string {
	reach, step, _ := h.dial(useLamp)
	if reach <= 0 || step <= 0 {
		return "one power"
	}
	return fmt.Sprintf("%s in %s", plain(reach), stepName(step))
}

func stepName(step unit.Stops) string {
	names := map[int]string{1: "whole stops", 2: "halves", 3: "thirds", 4: "quarters", 5: "fifths", 10: "tenths"}
	n := int(math.Round(float64(1 / step)))
	if name, ok := names[n]; ok && math.Abs(float64(step)*float64(n)-1) < 1e-3 {
		return name
	}
	return "steps of " + plain(step)
}

// largest is the largest soft face that takes a head, else the largest face of any kind,
// else the bare head; name is how to say it, empty where the head cannot be used.
func (s *Studio) largest(h *Head) (m *Modifier, name string) {
	for _, x := range s.Shelf().Modifiers {
		if HeadTakes(h, x) && (m == nil || larger(x, m)) {
			m = x
		}
	}
	switch {
	case m != nil:
		return m, "in the " + m.Label()
	case h.Bare:
		return nil, "bare"
	}
	return nil, ""
}

func larger(a, b *Modifier) bool {
	if soft := modifierTypes[a.Type].soft; soft != modifierTypes[b.Type].soft {
		return soft
	}
	return a.Emitter(nil).Face.Area() > b.Emitter(nil).Face.Area()
}

// keyAt is a usual distance of a key from the face (common practice, no source).
const keyAt = 1.2 * unit.Metre

func modifierFacts(s *Studio, m *Modifier) []string {
	size := unit.Angle(m.Emitter(nil).AngularSize(float64(keyAt)))
	f := []string{
		fmt.Sprintf("%v %s", m.Face, m.Shape),
		"passes " + percent(m.Efficiency),
		fmt.Sprintf("%.0f deg large at %v", size.Degrees(), keyAt),
	}
	heads := 0
	for _, h := range s.Shelf().Heads {
		if HeadTakes(h, m) {
			heads++
		}
	}
	f = append(f, fmt.Sprintf("fits %d of %s", heads, plural(len(s.Heads), "head")))
	if m.bare != nil {
		f = append(f, fmt.Sprintf("measured beam, half as bright %.0f deg off its axis", m.bare.Half().Degrees()))
	}
	if m.MaxLamp > 0 {
		f = append(f, fmt.Sprintf("lamps up to %v", m.MaxLamp))
	}
	return f
}

func gridFacts(s *Studio, g *Grid) []string {
	cut := g.Cutoff
	if g.Ratio > 0 {
		cut = unit.Angle(2 * math.Atan(1/g.Ratio))
	}
	f := []string{"on " + idList(g.Fits), fmt.Sprintf("dark beyond %.0f deg from edge to edge", cut.Degrees())}
	if m := s.Modifier(g.Fits[0]); m != nil {
		open := Throughput(m, g) * m.Emitter(g).OnAxis(float64(listedAt))
		loss := unit.StopsOf(open / (Throughput(m, nil) * m.Emitter(nil).OnAxis(float64(listedAt))))
		f = append(f, fmt.Sprintf("%+.1f stops on axis at %v", float64(loss), listedAt))
	}
	return f
}

// gelLight is the light that gels are listed over.
const gelLight unit.Kelvin = 5600

// visibleClip is how early a channel must clip to be worth saying. Common practice, no source.
const visibleClip unit.Stops = 0.3

func gelFacts(g *Gel) []string {
	over, err := colour.Source(gelLight)
	if err != nil {
		return nil
	}
	filter := g.Filter()
	tint := colour.Tint(&over, &filter)
	if tint.Y <= 0 {
		return []string{"opaque"}
	}
	look := colour.Look(tint.AtY(1), over.XYZ().AtY(1))
	f := []string{colour.NameOf(look.H, look.C), fmt.Sprintf("%+.1f stops over %v", float64(unit.StopsOf(tint.Y)), gelLight)}
	if channel, ahead := colour.Brightest(tint, over.XYZ()); ahead > visibleClip {
		f = append(f, fmt.Sprintf("%s clips %.1f stops before a white of the same reading", channel, float64(ahead)))
	}
	if t, _, ok := colour.CCT(tint); ok {
		if shift := colour.MiredShift(gelLight, t); math.Abs(float64(shift)) < 250 {
			f = append(f, fmt.Sprintf("%+.0f mired", float64(shift)))
		}
	}
	return f
}
