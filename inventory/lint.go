package inventory

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// Severity says how much a finding matters.
type Severity int

const (
	Note    Severity = iota // worth knowing
	Warning                 // the kit is less than it seems
	Useless                 // the item can never be used in this studio
)

func (s Severity) String() string { return [...]string{"note", "warning", "useless"}[s] }

// Finding is something odd about a studio that is not wrong enough to refuse.
type Finding struct {
	Place    source.Place
	Item     ID // empty for the studio as a whole
	Severity Severity
	Text     string // a full sentence
}

func (f Finding) String() string {
	return fmt.Sprintf("%v: %v: %s", f.Place, f.Severity, f.Text)
}

// Framing of a head-and-shoulders portrait, the height of the frame at the sitter, and
// the least distance from a sitter to the backdrop. Common practice, no source.
const (
	tightShoulders unit.Length = 0.50
	wideShoulders  unit.Length = 0.75
	sitterToPaper  unit.Length = 0.30
)

// seatedEyes is the eye height of a seated adult: 79 cm over a 43 cm seat (means of
// ANSUR II, Gordon et al. 2014, rounded; seat from memory).
const seatedEyes unit.Length = 1.22

// Lint finds what a studio file says that its owner would want to know: items that can
// never be used, and why, and kit that is less than it seems. The order is that of the
// file.
func Lint(s *Studio) []Finding {
	l := linter{s: s, sh: s.Shelf()}
	l.studio()
	for t := range s.Things() {
		l.it = t.item()
		l.who = whoIs(t)
		l.names(t)
		l.thing(t)
	}
	slices.SortStableFunc(l.found, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Place.Line, b.Place.Line), cmp.Compare(a.Place.Col, b.Place.Col))
	})
	return l.found
}

type linter struct {
	s     *Studio
	sh    *Shelf
	it    *Item
	who   string
	named map[string]Thing
	found []Finding
}

// say records a finding about the item in hand; the sentence begins with its class and id.
func (l *linter) say(sev Severity, key, format string, args ...any) {
	l.found = append(l.found, Finding{l.it.PlaceOf(key), l.it.ID, sev, l.who + " " + fmt.Sprintf(format, args...) + "."})
}

func (l *linter) all(at source.Place, sev Severity, format string, args ...any) {
	l.found = append(l.found, Finding{at, "", sev, fmt.Sprintf(format, args...) + "."})
}

func (l *linter) studio() {
	flashes, fired := 0, 0
	for _, h := range l.sh.Heads {
		if h.Flash != nil {
			flashes += h.Count
		}
	}
	for _, t := range l.sh.Triggers {
		fired += t.Count * t.Fires
	}
	switch {
	case flashes > 0 && fired == 0:
		l.all(l.s.PlaceOf("heads"), Warning, "There are flash heads and no trigger, so nothing fires them")
	case fired < flashes:
		l.all(l.s.PlaceOf("triggers"), Note, "The triggers fire %d of %d flash heads; the others must see them", fired, flashes)
	}
	if l.s.HasRoom() && len(l.s.Room.Circuits) == 0 {
		l.all(l.s.PlaceOf("room"), Note, "The room names no circuits, so currents are not checked")
	}
}

// names reports two things that a set sheet could not tell apart.
func (l *linter) names(t Thing) {
	if l.named == nil {
		l.named = map[string]Thing{}
	}
	name := strings.ToLower(strings.Join(strings.Fields(t.Label()), " "))
	if prior, taken := l.named[name]; taken {
		l.say(Warning, "name", "has the name of %s %q (%v), \"%s\"; a set sheet cannot tell them apart",
			ClassOf(prior), prior.item().ID, prior.item().PlaceOf("name"), t.Label())
		return
	}
	l.named[name] = t
}

func (l *linter) thing(t Thing) {
	switch t := t.(type) {
	case *Camera:
		if !slices.ContainsFunc(l.sh.Lenses, func(x *Lens) bool { return t.Takes(x) }) {
			l.say(Useless, "mount", "has the mount %q, and no lens fits it%s", t.Mount, like(t.Mount, mounts(l.sh.Lenses, lensMount)))
		}
	case *Lens:
		l.lens(t)
	case *Head:
		l.head(t)
	case *Modifier:
		l.modifier(t)
	case *Grid:
		l.grid(t)
	case *Gel:
		l.gel(t)
	case *Stand:
		l.stand(t)
	case *Boom:
		l.boom(t)
	case *Backdrop:
		l.backdrop(t)
	case *Trigger:
		if !slices.ContainsFunc(l.sh.Heads, func(h *Head) bool { return h.Flash != nil }) {
			l.say(Useless, "id", "fires flash heads, and there is none")
		}
	}
}

// like offers a known word for a mistyped one.
func like(word string, known []string) string {
	if near, ok := source.Nearest(word, known); ok {
		return fmt.Sprintf(" (nearest: %s)", near)
	}
	return ""
}

func lensMount(l *Lens) string     { return l.Mount }
func cameraMount(c *Camera) string { return c.Mount }
func headMount(h *Head) string     { return h.Mount }

// mounts lists the different mounts of some things, sorted.
func mounts[T any](things []T, mount func(T) string) []string {
	var out []string
	for _, t := range things {
		out = append(out, mount(t))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (l *linter) lens(x *Lens) {
	var bodies []*Camera
	for _, c := range l.sh.Cameras {
		if c.Takes(x) {
			bodies = append(bodies, c)
		}
	}
	if len(bodies) == 0 {
		l.say(Useless, "mount", "has the mount %q, and no camera has it%s", x.Mount, like(x.Mount, mounts(l.sh.Cameras, cameraMount)))
		return
	}
	if l.s.HasRoom() {
		l.framing(x, bodies)
	}
}

// framing finds a lens that no body can bring to a head-and-shoulders frame: thin lens,
// u = f (1 + H/h) for an upright frame of long side h, from the lens to the sitter.
func (l *linter) framing(x *Lens, bodies []*Camera) {
	r := &l.s.Room
	space := r.Depth - r.Standoff - r.Behind - sitterToPaper
	least, far := unit.Length(0), true
	near := true
	for _, c := range bodies {
		u := x.Focal * (1 + tightShoulders/c.Sensor.W)
		if far && (least == 0 || u < least) {
			least = u
		}
		if u <= space {
			far = false
		}
		if widest := x.Focal * (1 + wideShoulders/c.Sensor.W); x.Nearest <= widest+x.Focal*(1+c.Sensor.W/wideShoulders) {
			near = false
		}
	}
	switch {
	case far:
		l.say(Warning, "focal", "needs %v for a %v frame, and the room leaves %v in front of the camera", roundOff(least), tightShoulders, roundOff(space))
	case near:
		l.say(Warning, "nearest", "does not focus nearer than %v, too far for a %v frame", x.Nearest, wideShoulders)
	}
}

// roundOff keeps centimetres, which is what a tape measure tells.
func roundOff(d unit.Length) unit.Length {
	return unit.Length(float64(int(float64(d)*100+0.5)) / 100)
}

func (l *linter) head(h *Head) {
	var fits []*Modifier // nil stands for bare
	if h.Bare {
		fits = append(fits, nil)
	}
	hot := 0
	for _, m := range l.sh.Modifiers {
		switch {
		case HeadTakes(h, m):
			fits = append(fits, m)
		case slices.Contains(m.Fits, h.Mount):
			hot++
		}
	}
	switch {
	case len(fits) == 0 && hot > 0:
		l.say(Useless, "lamp", "has a lamp of %v, above the limit of every modifier that fits it, and may not be used bare", h.Lamp.Watts)
		return
	case len(fits) == 0:
		l.say(Useless, "mount", "has the mount %q, which no modifier fits%s, and may not be used bare", h.Mount, like(h.Mount, modifierMounts(l.sh.Modifiers)))
		return
	}
	l.hanging(h, fits)
	if h.Flash == nil && !h.Lamp.Main {
		l.say(Warning, "lamp", "is a lamp that is not marked \"main: true\", so it lights no picture")
	}
	if h.Mass == 0 {
		l.say(Note, "mass", "has no mass, so loads are taken to be safe")
	}
	l.circuit(h)
}

func modifierMounts(ms []*Modifier) []string {
	var out []string
	for _, m := range ms {
		out = append(out, m.Fits...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// hanging asks whether any stand holds the head with the lightest of what fits it.
func (l *linter) hanging(h *Head, fits []*Modifier) {
	lightest := slices.MinFunc(fits, func(a, b *Modifier) int {
		return cmp.Compare(LightMass(h, a, nil), LightMass(h, b, nil))
	})
	mass := LightMass(h, lightest, nil)
	if len(l.sh.Stands) == 0 {
		return // said once, by the set-up: a hire list need not hold stands
	}
	strongest := slices.MaxFunc(l.sh.Stands, func(a, b *Stand) int { return cmp.Compare(a.Load, b.Load) })
	if mass <= strongest.Load {
		return
	}
	with := "bare"
	if lightest != nil {
		with = fmt.Sprintf("with its lightest modifier, %q,", lightest.ID)
	}
	l.say(Useless, "mass", "weighs %v %s and the strongest stand, %q, carries %v", mass, with, strongest.ID, strongest.Load)
}

func (l *linter) circuit(h *Head) {
	if len(l.s.Room.Circuits) == 0 || h.Cable == 0 {
		return
	}
	strongest := slices.MaxFunc(l.s.Room.Circuits, func(a, b Circuit) int { return cmp.Compare(a.Volts*a.Amps, b.Volts*b.Amps) })
	if need := h.Amps(strongest.Volts); need > strongest.Amps {
		l.say(Useless, "id", "draws %.1f A, and no circuit gives more than %g A", need, strongest.Amps)
	}
}

func (l *linter) modifier(m *Modifier) {
	var fits []*Head
	for _, h := range l.sh.Heads {
		if slices.Contains(m.Fits, h.Mount) {
			fits = append(fits, h)
		}
	}
	if len(fits) == 0 {
		l.say(Useless, "fits", "fits %s, and no head has that mount%s", strings.Join(m.Fits, ", "), l.nearestMount(m.Fits))
		return
	}
	if !slices.ContainsFunc(fits, func(h *Head) bool { return HeadTakes(h, m) }) {
		coolest := slices.MinFunc(fits, func(a, b *Head) int { return cmp.Compare(a.Lamp.Watts, b.Lamp.Watts) })
		l.say(Useless, "max_lamp", "takes lamps up to %v, and the weakest lamp that fits it, in %q, has %v", m.MaxLamp, coolest.ID, coolest.Lamp.Watts)
		return
	}
	l.ceiling(m)
}

// nearestMount offers a head's mount for a mistyped one.
func (l *linter) nearestMount(fits []string) string {
	known := mounts(l.sh.Heads, headMount)
	for _, f := range fits {
		if text := like(f, known); text != "" {
			return text
		}
	}
	return ""
}

func (l *linter) ceiling(m *Modifier) {
	if l.s.HasRoom() && m.Face.H > l.s.Room.Height && m.Face.W > l.s.Room.Height {
		l.say(Useless, "face", "is %v, and the room is %v high", m.Face, l.s.Room.Height)
	}
}

func (l *linter) grid(g *Grid) {
	for _, id := range g.Fits {
		m := l.s.Modifier(id)
		if m != nil && slices.ContainsFunc(l.sh.Heads, func(h *Head) bool { return HeadTakes(h, m) }) {
			return
		}
	}
	l.say(Useless, "fits", "sits on %s, and no head takes that", idList(g.Fits))
}

func idList(ids []ID) string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = string(id)
	}
	return strings.Join(out, ", ")
}

func (l *linter) gel(g *Gel) {
	for _, h := range l.sh.Heads {
		if h.Bare && HeadTakesGel(h, nil, g) {
			return
		}
		for _, m := range l.sh.Modifiers {
			if HeadTakes(h, m) && HeadTakesGel(h, m, g) {
				return
			}
		}
	}
	if len(g.Fits) > 0 {
		l.say(Useless, "fits", "fits %s, and no head with that mount takes a gel%s", strings.Join(g.Fits, ", "), l.nearestMount(g.Fits))
		return
	}
	l.say(Useless, "id", "fits nothing: no head takes a gel, bare or in a modifier")
}

func (l *linter) stand(st *Stand) {
	switch {
	case l.s.HasRoom() && st.Lowest > l.s.Room.Height:
		l.say(Useless, "lowest", "is at least %v high, and the room is %v", st.Lowest, l.s.Room.Height)
	case st.Height < seatedEyes:
		l.say(Note, "height", "goes up to %v, below the eyes of a seated sitter (%v), so it serves background and floor lights only", st.Height, seatedEyes)
	}
	lightest := unit.Mass(0)
	for i, h := range l.sh.Heads {
		if i == 0 || h.Mass < lightest {
			lightest = h.Mass
		}
	}
	if len(l.sh.Heads) > 0 && lightest > st.Load {
		l.say(Useless, "load", "carries %v, and the lightest head weighs %v", st.Load, lightest)
	}
}

func (l *linter) boom(b *Boom) {
	if len(l.sh.Stands) == 0 || len(l.sh.Heads) == 0 {
		return
	}
	lightest := slices.MinFunc(l.sh.Heads, func(a, b *Head) int { return cmp.Compare(a.Mass, b.Mass) })
	if b.Load < lightest.Mass {
		l.say(Useless, "load", "carries %v at its tip, and the lightest head weighs %v", b.Load, lightest.Mass)
		return
	}
	if !slices.ContainsFunc(l.sh.Stands, func(st *Stand) bool { return Carries(st, b, lightest.Mass) }) {
		whole := lightest.Mass + b.Mass + b.Counterweight(lightest.Mass)
		strongest := slices.MaxFunc(l.sh.Stands, func(a, b *Stand) int { return cmp.Compare(a.Load, b.Load) })
		l.say(Useless, "load", "with its counterweight and the lightest head, %q, weighs %v, and the strongest stand, %q, carries %v",
			lightest.ID, whole, strongest.ID, strongest.Load)
	}
}

func (l *linter) backdrop(b *Backdrop) {
	if r := &l.s.Room; l.s.HasRoom() && b.Width > r.Width {
		l.say(Useless, "width", "is %v wide, and the room is %v", b.Width, r.Width)
	} else if l.s.HasRoom() && b.Drop > r.Height {
		l.say(Note, "drop", "hangs %v, and the room is %v high; the rest lies on the floor", b.Drop, r.Height)
	}
}
