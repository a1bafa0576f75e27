package inventory

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// MostItems is how many items a studio may hold, counts included.
const MostItems = 20_000

// CrewAlone and CrewAssisted are the values of Studio.Crew.
const (
	CrewAlone    = "alone"
	CrewAssisted = "assisted"
)

// span is the allowed range of one value.
type span[T ~float64] struct{ lo, hi T }

// The ranges reject slips of the pen (a decimal point, a wrong unit), not unusual kit.
// Common practice, no source, save where a note names one.
var (
	roomSide     = span[unit.Length]{1, 50}
	anyShare     = span[unit.Share]{0, 1}
	someShare    = span[unit.Share]{0.001, 1}
	anyAmbient   = span[unit.Illuminance]{0, 100_000}
	anyMass      = span[unit.Mass]{0, 100}
	someMass     = span[unit.Mass]{0.01, 500}
	anyMoney     = span[unit.Money]{0, 1e6}
	mains        = span[float64]{1, 1000}   // volts
	current      = span[float64]{0.1, 1000} // amperes
	sensorSide   = span[unit.Length]{0.004, 0.12}
	anyISO       = span[unit.ISO]{1, 10_000_000}
	anyShutter   = span[unit.Shutter]{1.0 / 100_000, 3600}
	shake        = span[unit.Stops]{0, 10}
	pitch        = span[unit.Length]{0.2e-6, 50e-6}
	focal        = span[unit.Length]{0.002, 3}
	aperture     = span[unit.FNumber]{0.5, 128}
	closest      = span[unit.Length]{0.01, 20}
	pupilRatio   = span[float64]{0.05, 20}
	tube         = span[unit.Length]{0.001, 0.5}
	cable        = span[unit.Length]{0, 100}
	energy       = span[unit.Energy]{1, 20_000}
	efficacy     = span[unit.Efficacy]{15, 50} // lm s per Ws, Edgerton, Electronic Flash, Strobe, from memory; trade pages agree
	powerRange   = span[unit.Stops]{0, 15}
	powerStep    = span[unit.Stops]{0.01, 3}
	duration     = span[unit.Time]{1e-6, 0.1}
	recycle      = span[unit.Time]{0.01, 120}
	warmth       = span[unit.Kelvin]{1000, 25_000} // what colour.Source takes
	guideNumber  = span[unit.Length]{0.5, 500}
	meterAt      = span[unit.Length]{0.2, 20}
	lux          = span[unit.Illuminance]{0.1, 1e7}
	flux         = span[unit.Flux]{1, 5e6}
	lampEfficacy = span[unit.Efficacy]{1, 300}
	watts        = span[unit.Power]{0.1, 24_000}
	faceSide     = span[unit.Length]{0.01, 8}
	depth        = span[unit.Length]{0, 3}
	lawExponent  = span[float64]{0, 20} // what light.Emitter takes
	doubt        = span[unit.Stops]{0, 5}
	cutoff       = span[unit.Angle]{2 * unit.Degree, 178 * unit.Degree}
	cellRatio    = span[float64]{0.01, 60}
	cardSide     = span[unit.Length]{0.05, 10}
	standHeight  = span[unit.Length]{0.1, 15}
	footRadius   = span[unit.Length]{0, 3}
	boomReach    = span[unit.Length]{0.1, 10}
	paperWidth   = span[unit.Length]{0.2, 30}
	paperDrop    = span[unit.Length]{0, 30}
	standoff     = span[unit.Length]{0, 20}
	handlingTime = span[unit.Minutes]{0, 240}
	planeMeter   = span[float64]{240, 400} // ISO 2720:1974
	domeMeter    = span[float64]{320, 540} // ISO 2720:1974
)

// checker collects what is wrong with a file. who is the thing in hand: `head "mono-400"`.
type checker struct {
	errs source.Errors
	who  string
}

// say records a fault of the value of a key ("flash.step"), or of the whole when key is
// empty. The caller may add a hint and other places to the result.
func (c *checker) say(p *source.Places, key, format string, args ...any) *source.Error {
	at := p.Place()
	if key != "" {
		at = p.PlaceOf(lastKey(key))
	}
	path := c.who
	if c.who != "" && key != "" {
		path += ": "
	}
	c.errs = append(c.errs, source.Error{At: at, Path: path + key, Msg: fmt.Sprintf(format, args...)})
	return &c.errs[len(c.errs)-1]
}

// within checks a value that was written, or that has no default.
func within[T ~float64](c *checker, p *source.Places, key string, v T, s span[T]) bool {
	if x := float64(v); math.IsNaN(x) || v < s.lo || v > s.hi {
		c.say(p, key, "%s is outside %s to %s", unsigned(v), unsigned(s.lo), unsigned(s.hi))
		return false
	}
	return true
}

// ifWritten checks a value that may be left out.
func ifWritten[T ~float64](c *checker, p *source.Places, key string, v T, s span[T]) bool {
	if v == 0 && !p.Wrote(lastKey(key)) {
		return true
	}
	return within(c, p, key, v, s)
}

// lastKey is "step" of "flash.step".
func lastKey(key string) string { return key[strings.LastIndexByte(key, '.')+1:] }

// oneOf checks a word against a list.
func (c *checker) oneOf(p *source.Places, key, word string, words ...string) bool {
	if slices.Contains(words, word) {
		return true
	}
	c.say(p, key, "%q is not one of %s", word, strings.Join(words, ", ")).Hint = nearest(word, words)
	return false
}

// nearest is the hint for a mistyped word, empty where nothing is near.
func nearest(word string, words []string) string {
	if near, ok := source.Nearest(word, words); ok {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

// unsigned writes a value without the plus sign of a level in stops: a range or a step is
// an amount.
func unsigned[T ~float64](v T) string { return strings.TrimPrefix(fmt.Sprint(v), "+") }

// check validates a studio whose defaults have been filled in.
func (s *Studio) check() error {
	var c checker
	if s.Items() > MostItems {
		c.say(&s.Places, "", "more than 20,000 items; a studio file holds at most that many, counts included")
		return c.errs.Err()
	}
	c.meter(&s.Meter)
	c.crew(s)
	c.times(&s.Times)
	if s.HasRoom() {
		c.room(&s.Room)
	}
	c.ids(s)
	for t := range s.Things() {
		c.who = whoIs(t)
		c.item(t.item())
		c.like(t)
		c.thing(s, t)
	}
	return c.errs.Err()
}

func whoIs(t Thing) string { return fmt.Sprintf("%s %q", ClassOf(t), t.item().ID) }

// HasRoom reports whether the file describes a room. A hire list need not.
func (s *Studio) HasRoom() bool { return s.Wrote("room") || s.Room.Width > 0 }

func (c *checker) meter(m *Meter) {
	if !c.oneOf(&m.Places, "meter.kind", m.Kind, "plane", "dome") {
		return
	}
	if m.Kind == "dome" {
		within(c, &m.Places, "meter.constant", m.Constant, domeMeter)
		return
	}
	within(c, &m.Places, "meter.constant", m.Constant, planeMeter)
}

func (c *checker) crew(s *Studio) {
	c.oneOf(&s.Places, "crew", s.Crew, CrewAlone, CrewAssisted)
}

func (c *checker) times(t *Times) {
	for _, a := range t.all() {
		ifWritten(c, &t.Places, "times."+a.key, a.own, handlingTime)
	}
}

func (c *checker) room(r *Room) {
	p := &r.Places
	within(c, p, "room.width", r.Width, roomSide)
	within(c, p, "room.depth", r.Depth, roomSide)
	within(c, p, "room.height", r.Height, roomSide)
	within(c, p, "room.walls", r.Walls, anyShare)
	within(c, p, "room.ceiling", r.Ceiling, anyShare)
	within(c, p, "room.floor", r.Floor, anyShare)
	within(c, p, "room.ambient", r.Ambient, anyAmbient)
	inside := within(c, p, "room.standoff", r.Standoff, standoff)
	inside = within(c, p, "room.behind", r.Behind, standoff) && inside
	if inside && r.Standoff+r.Behind >= r.Depth {
		c.say(p, "room.depth", "standoff %v and behind %v leave nothing of a depth of %v", r.Standoff, r.Behind, r.Depth)
	}
	for i := range r.Circuits {
		k := &r.Circuits[i]
		within(c, &k.Places, "room.circuits.volts", k.Volts, mains)
		within(c, &k.Places, "room.circuits.amps", k.Amps, current)
	}
}

func article(word string) string {
	if strings.ContainsRune("aeiou", rune(word[0])) {
		return "an"
	}
	return "a"
}

// ids checks that ids are there and name one thing each.
func (c *checker) ids(s *Studio) {
	seen := make(map[ID]Thing, s.Types())
	for t := range s.Things() {
		it := t.item()
		c.who = whoIs(t)
		switch prior, taken := seen[it.ID]; {
		case it.ID == "":
			c.say(&it.Places, "id", "it is empty")
		case taken:
			e := c.say(&it.Places, "id", "it is the id of a %s too", ClassOf(prior))
			e.Hint = "identical items are one entry with a count"
			e.Also = []source.Place{prior.item().PlaceOf("id")}
		default:
			seen[it.ID] = t
		}
		if it.ID == "none" || it.ID == "on" {
			c.say(&it.Places, "id", "%q is reserved", it.ID)
		}
	}
}

func (c *checker) item(it *Item) {
	if it.Count < 1 || it.Count > MostItems {
		c.say(&it.Places, "count", "%d is outside 1 to %d", it.Count, MostItems)
	}
	within(c, &it.Places, "mass", it.Mass, anyMass)
	within(c, &it.Places, "day_rate", it.DayRate, anyMoney)
}

func (c *checker) thing(s *Studio, t Thing) {
	switch t := t.(type) {
	case *Camera:
		c.camera(t)
	case *Lens:
		c.lens(t)
	case *Head:
		c.head(s, t)
	case *Modifier:
		c.modifier(t)
	case *Grid:
		c.grid(s, t)
	case *Gel:
		c.gel(t)
	case *Card:
		if c.needs(&t.Places, "face", t.Face.W > 0) {
			c.face(&t.Places, t.Face, cardSide)
		}
		if c.needs(&t.Places, "reflectance", t.Reflectance > 0) {
			within(c, &t.Places, "reflectance", t.Reflectance, anyShare)
		}
		within(c, &t.Places, "mirror", t.Mirror, anyShare)
	case *Stand:
		c.stand(t)
	case *Boom:
		if c.needs(&t.Places, "reach", t.Reach > 0) {
			within(c, &t.Places, "reach", t.Reach, boomReach)
		}
		ifWritten(c, &t.Places, "tail", t.Tail, boomReach)
		if c.needs(&t.Places, "load", t.Load > 0) {
			within(c, &t.Places, "load", t.Load, someMass)
		}
	case *Backdrop:
		if c.needs(&t.Places, "reflectance", t.Reflectance > 0) {
			within(c, &t.Places, "reflectance", t.Reflectance, anyShare)
		}
		if c.needs(&t.Places, "width", t.Width > 0) {
			within(c, &t.Places, "width", t.Width, paperWidth)
		}
		within(c, &t.Places, "drop", t.Drop, paperDrop)
	case *Trigger:
		if t.Fires < 1 || t.Fires > 1000 {
			c.say(&t.Places, "fires", "%d is outside 1 to 1000", t.Fires)
		}
	}
}

func (c *checker) mount(p *source.Places, key, mount string) {
	if mount == "" {
		c.say(p, key, "the name of the mount is empty")
	}
}

func (c *checker) camera(b *Camera) {
	p := &b.Places
	c.mount(p, "mount", b.Mount)
	ok := within(c, p, "sensor", b.Sensor.W, sensorSide) && within(c, p, "sensor", b.Sensor.H, sensorSide)
	if ok && b.Sensor.W < b.Sensor.H {
		c.say(p, "sensor", "%v has its short side first; the long side comes first", b.Sensor)
	}
	ok = within(c, p, "base_iso", b.BaseISO, anyISO) && within(c, p, "top_iso", b.TopISO, anyISO)
	if ok && b.TopISO < b.BaseISO {
		c.say(p, "top_iso", "%v is below base_iso, %v", b.TopISO, b.BaseISO)
	}
	ok = within(c, p, "fastest", b.Fastest, anyShutter) && within(c, p, "sync", b.Sync, anyShutter)
	if ok && b.Sync < b.Fastest {
		c.say(p, "sync", "%v is faster than the fastest shutter, %v", b.Sync, b.Fastest)
	}
	if ok && (b.Travel < 0 || float64(b.Travel) > b.Sync.True()) {
		c.say(p, "travel", "%v is not between 0 s and the sync time, %v: the curtains have crossed by then", b.Travel, b.Sync)
	}
	within(c, p, "stabilised", b.Stabilised, shake)
	ifWritten(c, p, "pixel_pitch", b.PixelPitch, pitch)
}

func (c *checker) lens(l *Lens) {
	p := &l.Places
	c.mount(p, "mount", l.Mount)
	within(c, p, "focal", l.Focal, focal)
	ok := within(c, p, "widest", l.Widest, aperture) && within(c, p, "narrowest", l.Narrowest, aperture)
	if ok && l.Narrowest < l.Widest {
		c.say(p, "narrowest", "%v is wider than widest, %v", l.Narrowest, l.Widest)
	}
	ifWritten(c, p, "nearest", l.Nearest, closest)
	within(c, p, "pupil", l.Pupil, pupilRatio)
	within(c, p, "stabilised", l.Stabilised, shake)
}

func (c *checker) head(s *Studio, h *Head) {
	p := &h.Places
	c.mount(p, "mount", h.Mount)
	within(c, p, "tube", h.Tube, tube)
	within(c, p, "cable", h.Cable, cable)
	c.oneOf(p, "dial", h.Dial, DialFraction, DialPercent)
	if h.Flash == nil && h.Lamp == nil {
		c.say(p, "", "it has neither a flash nor a lamp, so it gives no light")
	}
	if h.Flash != nil {
		c.flash(s, h, h.Flash)
	}
	if h.Lamp != nil {
		c.lamp(s, h, h.Lamp)
	}
}

// weakLike tells of a generic head that it does not say how strong it is, where all of a
// flash or a lamp comes from it.
func (c *checker) weakLike(h *Head, p *source.Places, key, example string) bool {
	if h.Like == "" || h.Wrote(key) {
		return false
	}
	c.say(p, key, "%s does not say how strong it is: add that, as in %q, %s", h.Like, key+": "+example, map[string]string{
		"flash": "or a metered guide number with a named modifier", "lamp": "or its flux, or metered lux with a named modifier"}[key])
	return true
}

func (c *checker) flash(s *Studio, h *Head, f *Flash) {
	p := &f.Places
	switch {
	case f.Metered != nil:
		m := f.Metered
		within(c, &m.Places, "flash.metered.guide", m.Guide, guideNumber)
		within(c, &m.Places, "flash.metered.at", m.At, meterAt)
		c.meteredWith(s, h, &m.Places, "flash.metered.with", m.With)
		ifWritten(c, p, "flash.energy", f.Energy, energy)
	case !p.Wrote("energy") && f.Energy == 0:
		if !c.weakLike(h, p, "flash", "{energy: 300 Ws}") {
			c.say(p, "flash", "give its energy, or a metered guide number with a named modifier")
		}
	default:
		within(c, p, "flash.energy", f.Energy, energy)
	}
	within(c, p, "flash.efficacy", f.Efficacy, efficacy)
	c.dial(p, "flash", f.Range, f.Step)
	ok := ifWritten(c, p, "flash.t05", f.T05, duration) && ifWritten(c, p, "flash.t01", f.T01, duration)
	if ok && f.T05 > 0 && f.T01 > 0 && f.T01 < f.T05 {
		c.say(p, "flash.t01", "%v is shorter than t05, %v; t0.1 is the longer of the two", f.T01, f.T05)
	}
	ifWritten(c, p, "flash.recycle", f.Recycle, recycle)
	c.spectrum(p, "flash", f.Spectrum, f.Kelvin)
	ifWritten(c, p, "flash.amps", f.Amps, current)
}

func (c *checker) lamp(s *Studio, h *Head, l *Lamp) {
	p := &l.Places
	wrote := p.Wrote("flux") || l.Flux != 0
	switch {
	case l.Metered != nil && wrote:
		c.say(p, "lamp.flux", "give flux or a metered reading, not both")
	case l.Metered != nil:
		m := l.Metered
		within(c, &m.Places, "lamp.metered.lux", m.Lux, lux)
		within(c, &m.Places, "lamp.metered.at", m.At, meterAt)
		c.meteredWith(s, h, &m.Places, "lamp.metered.with", m.With)
	case !wrote && l.Watts > 0 && l.Efficacy > 0:
		within(c, p, "lamp.efficacy", l.Efficacy, lampEfficacy)
	case !wrote && c.weakLike(h, p, "lamp", "{watts: 50 W}"): // every generic lamp has an efficacy
	case !wrote:
		c.say(p, "lamp", "give its flux, metered lux with a named modifier, or watts with an efficacy as in 80 lm/W")
	default:
		within(c, p, "lamp.flux", l.Flux, flux)
	}
	ifWritten(c, p, "lamp.watts", l.Watts, watts)
	if l.Range != 0 || p.Wrote("range") {
		c.dial(p, "lamp", l.Range, l.Step)
	}
	c.spectrum(p, "lamp", l.Spectrum, l.Kelvin)
}

// dial checks a power range and its step together.
func (c *checker) dial(p *source.Places, what string, reach, step unit.Stops) {
	if !c.needs(p, what+".range", reach > 0) || !within(c, p, what+".range", reach, powerRange) || reach == 0 {
		return
	}
	if c.needs(p, what+".step", step > 0) && within(c, p, what+".step", step, powerStep) && step > reach {
		c.say(p, what+".step", "%s is more than the range, %s", unsigned(step), unsigned(reach))
	}
}

// modifierNear looks a modifier up in a list and then in the studio that it is for.
func (s *Studio) modifierNear(id ID) *Modifier {
	if m := s.Modifier(id); m != nil || s.beside == nil {
		return m
	}
	return s.beside.Modifier(id)
}

// meteredWith checks the modifier that a reading was taken with.
func (c *checker) meteredWith(s *Studio, h *Head, p *source.Places, key string, id ID) {
	m := s.modifierNear(id)
	switch {
	case m == nil:
		c.missing(p, key, "modifier", id, ids(s.Shelf().Modifiers))
	case !slices.Contains(m.Fits, h.Mount):
		c.say(p, key, "%q fits %s, and this head has %s", id, strings.Join(m.Fits, ", "), h.Mount)
	}
}

func (c *checker) modifier(m *Modifier) {
	p := &m.Places
	known := c.needs(p, "type", m.Type != "") && c.oneOf(p, "type", m.Type, modifierTypeNames...)
	shaped := c.needs(p, "shape", m.Shape != "") && c.oneOf(p, "shape", m.Shape, "rectangle", "octagon", "disc")
	if c.needs(p, "face", m.Face.W > 0) && c.face(p, m.Face, faceSide) && shaped && m.Shape != "rectangle" && m.Face.W != m.Face.H {
		c.say(p, "face", "%s %s of %v; its two sizes must be equal", article(m.Shape), m.Shape, m.Face)
	}
	if len(m.Fits) == 0 {
		c.say(p, "fits", "no mount is named")
	}
	for _, f := range m.Fits {
		c.mount(p, "fits", f)
	}
	within(c, p, "depth", m.Depth, depth)
	c.beam(m)
	within(c, p, "law", m.Law, lawExponent)
	within(c, p, "doubt", m.Doubt, doubt)
	ifWritten(c, p, "max_lamp", m.MaxLamp, watts)
	if known || p.Wrote("gel_at") { // its default comes from the type
		c.oneOf(p, "gel_at", m.GelAt, GelFront, GelTube, GelNowhere)
	}
}

func (c *checker) face(p *source.Places, face unit.Size, s span[unit.Length]) bool {
	return within(c, p, "face", face.W, s) && (face.W == face.H || within(c, p, "face", face.H, s))
}

func (c *checker) grid(s *Studio, g *Grid) {
	p := &g.Places
	if len(g.Fits) == 0 {
		c.say(p, "fits", "no modifier is named")
	}
	for _, id := range g.Fits {
		if s.modifierNear(id) == nil {
			c.missing(p, "fits", "modifier", id, ids(s.Shelf().Modifiers))
		}
	}
	if c.needs(p, "cell", g.Cell != "") {
		c.oneOf(p, "cell", g.Cell, "square", "hex", "tube")
	}
	switch byAngle, byRatio := g.Cutoff != 0 || p.Wrote("cutoff"), g.Ratio != 0 || p.Wrote("ratio"); {
	case byAngle && byRatio:
		c.say(p, "ratio", "give cutoff or ratio, not both")
	case byAngle:
		within(c, p, "cutoff", g.Cutoff, cutoff)
	case byRatio:
		within(c, p, "ratio", g.Ratio, cellRatio)
	default:
		c.say(p, "", "give its cutoff (a full angle) or its ratio (cell depth / width)")
	}
	within(c, p, "open", g.Open, someShare)
}

func (c *checker) gel(g *Gel) {
	p := &g.Places
	var given []string
	for key, there := range map[string]bool{"curve": g.Curve != "", "table": len(g.Table) > 0, "standard": g.Standard != ""} {
		if there {
			given = append(given, key)
		}
	}
	slices.Sort(given)
	switch len(given) {
	case 0:
		c.say(p, "", "a gel needs one of curve, table or standard; it has none")
	case 1:
		if _, err := g.measure(); err != nil {
			c.say(p, given[0], "%v", err)
		}
	default:
		c.say(p, given[1], "a gel needs one of curve, table or standard; it has %s", strings.Join(given, " and "))
	}
	for _, f := range g.Fits {
		c.mount(p, "fits", f)
	}
	within(c, p, "doubt", g.Doubt, doubt)
}

func (c *checker) stand(st *Stand) {
	p := &st.Places
	ok := c.needs(p, "height", st.Height > 0) && within(c, p, "height", st.Height, standHeight)
	ok = ifWritten(c, p, "lowest", st.Lowest, standHeight) && ok
	if ok && st.Lowest > st.Height {
		c.say(p, "lowest", "%v is above height, %v", st.Lowest, st.Height)
	}
	if c.needs(p, "load", st.Load > 0) {
		within(c, p, "load", st.Load, someMass)
	}
	within(c, p, "foot", st.Foot, footRadius)
}
