package solver

import (
	"fmt"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
)

// Stance is how a set stands: a set-up, and where the sitter's face is turned.
type Stance struct {
	Set  inventory.Setup
	Turn unit.Angle
}

func (s Stance) clone() Stance {
	s.Set.Lights = slices.Clone(s.Set.Lights)
	s.Set.Cards = slices.Clone(s.Set.Cards)
	return s
}

// light is the light of a role; nil where it is off or not there.
func (s *Stance) light(r inventory.Role) *inventory.LightSet {
	for i := range s.Set.Lights {
		if s.Set.Lights[i].Role == r.String() {
			return &s.Set.Lights[i]
		}
	}
	return nil
}

// Act is one thing to do.
type Act struct {
	Do   inventory.Action
	Text string // "take the 60 x 90 cm soft box off the key and put the 18 cm reflector on"
	Dial bool   // a dial that keeps the exposure, not the change itself
}

// crew is the time of some acts, with the studio's own handling times.
type crew struct{ alone, assisted *inventory.Studio }

func newCrew(s *inventory.Studio) crew {
	c := crew{s.Copy(), s.Copy()}
	c.alone.Crew, c.assisted.Crew = inventory.CrewAlone, inventory.CrewAssisted
	return c
}

// Time is how long something takes one person, and two.
type Time struct{ Alone, Assisted unit.Minutes }

func (t Time) plus(u Time) Time { return Time{t.Alone + u.Alone, t.Assisted + u.Assisted} }

// of is what counts for a studio's own crew.
func (t Time) of(s *inventory.Studio) float64 {
	if s.Assisted() {
		return float64(t.Assisted)
	}
	return float64(t.Alone)
}

func (c crew) time(a inventory.Action) Time { return Time{c.alone.Minutes(a), c.assisted.Minutes(a)} }

// work is what it takes to get from one stance to another.
type work struct {
	s    *inventory.Studio
	c    crew
	acts []Act
	took Time
}

func (w *work) do(a inventory.Action, format string, args ...any) {
	w.add(a, w.c.time(a), format, args...)
}

func (w *work) add(a inventory.Action, t Time, format string, args ...any) {
	w.acts = append(w.acts, Act{Do: a, Text: fmt.Sprintf(format, args...)})
	w.took = w.took.plus(t)
}

// way lists the acts from one stance to another in the order to do them, and the time
// they take: backdrop, lights in the order in which they are built, camera, sitter, and
// what has to be metered again. Where a light stands is told by its place in the set-up.
func way(s *inventory.Studio, c crew, b *constraints.Bench, from, to *Stance) ([]Act, Time) {
	w := &work{s: s, c: c}
	w.backdrop(from, to)
	var meter []string
	for _, r := range []inventory.Role{inventory.Background, inventory.Key, inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair} {
		was, is := carried(from, to, r)
		if w.light(b, r, was, is) {
			meter = append(meter, roleWords[r])
		}
	}
	w.cards(from, to)
	w.camera(from, to)
	if from.Turn != to.Turn {
		w.do(inventory.TurnFace, "turn the face to look %s", faceWords(to.Turn))
	}
	switch {
	case len(meter) >= 4:
		w.do(inventory.MeterSet, "meter the %s again", list(meter))
	case len(meter) > 0:
		t := Time{}
		for range meter {
			t = t.plus(c.time(inventory.MeterLight))
		}
		w.add(inventory.MeterLight, t, "meter the %s again", list(meter))
	}
	return w.acts, w.took
}

// carried is a light before and after. A rim that changes sides is one light that is
// carried across, not one that goes and one that comes.
func carried(from, to *Stance, r inventory.Role) (was, is *inventory.LightSet) {
	was, is = from.light(r), to.light(r)
	if r != inventory.RimLeft && r != inventory.RimRight {
		return was, is
	}
	other := inventory.RimLeft + inventory.RimRight - r
	lone := func(st *Stance, r, other inventory.Role) *inventory.LightSet {
		if st.light(r) == nil {
			return st.light(other)
		}
		return nil
	}
	if old, now := lone(from, r, other), lone(to, other, r); is != nil && old != nil && now != nil && old.Head == is.Head {
		return old, is
	}
	if gone, come := lone(from, other, r), lone(to, r, other); was != nil && gone != nil && come != nil && come.Head == was.Head {
		return nil, nil // told where it goes
	}
	return was, is
}

var roleWords = [inventory.NumRoles]string{"key", "fill", "left rim", "right rim", "hair light", "background light"}

func faceWords(turn unit.Angle) string {
	switch d := math.Round(turn.Degrees()); {
	case d < 0:
		return fmt.Sprintf("%.0f deg to camera left", -d)
	case d > 0:
		return fmt.Sprintf("%.0f deg to camera right", d)
	}
	return "into the camera"
}

func (w *work) backdrop(from, to *Stance) {
	was, is := from.Set.Backdrop, to.Set.Backdrop
	if was.Item != is.Item {
		w.do(inventory.PaperChange, "let the %s down in the place of the %s", w.label(is.Item), w.label(was.Item))
	}
	if was.Distance != is.Distance {
		w.do(inventory.MoveBackground, "move the backdrop to %s behind the eyes", tapeText(is.Distance))
	}
}

func tapeText(d unit.Length) string { return constraints.Show(float64(d), constraints.InMetres) }

func (w *work) label(id inventory.ID) string {
	if t, ok := w.s.Thing(id); ok {
		return t.Label()
	}
	return string(id)
}

// light tells what to do to one light, and reports whether it has to be metered again.
func (w *work) light(b *constraints.Bench, r inventory.Role, was, is *inventory.LightSet) (meter bool) {
	name := "the " + roleWords[r]
	switch {
	case was == nil && is == nil:
		return false
	case is == nil:
		w.do(w.dial(was), "turn %s off", name)
		return false
	case was == nil:
		w.fresh(b, r, is)
		return true
	}
	if was.Head != is.Head || was.Light != is.Light || was.Stand != is.Stand || was.Boom != is.Boom {
		w.fresh(b, r, is)
		return true
	}
	if was.Grid != is.Grid && was.Grid != "" && (is.Grid == "" || was.Modifier != is.Modifier) {
		w.do(inventory.AddGrid, "take the %s off %s", w.label(was.Grid), name)
		meter = true
	}
	if was.Modifier != is.Modifier {
		h, m, n := w.s.Head(is.Head), w.s.Modifier(was.Modifier), w.s.Modifier(is.Modifier)
		t := Time{w.c.alone.SwapMinutes(h, m, n), w.c.assisted.SwapMinutes(h, m, n)}
		w.add(inventory.SwapBox, t, "swap the modifier of %s: %s off, %s on", name, w.mod(was.Modifier), w.mod(is.Modifier))
		meter = true
	}
	if is.Grid != "" && (was.Grid != is.Grid || was.Modifier != is.Modifier) {
		w.do(inventory.AddGrid, "put the %s on %s", w.label(is.Grid), name)
		meter = true
	}
	if was.Gel != is.Gel {
		w.gel(name, was, is)
		meter = true
	}
	meter = w.place(b, r, was, is) || meter
	if was.Power != is.Power {
		w.do(w.dial(is), "set %s to %s", name, w.s.Head(is.Head).Dialled(is.Power))
		w.acts[len(w.acts)-1].Dial = true
	}
	return meter
}

func (w *work) mod(id inventory.ID) string {
	if id == "" {
		return "no modifier"
	}
	return w.label(id)
}

func (w *work) gel(name string, was, is *inventory.LightSet) {
	m := w.s.Modifier(is.Modifier)
	t := Time{w.c.alone.GelMinutes(m), w.c.assisted.GelMinutes(m)}
	switch {
	case is.Gel == "":
		w.add(inventory.GelAtFront, t, "take the %s gel off %s", w.label(was.Gel), name)
	case was.Gel == "":
		w.add(inventory.GelAtFront, t, "put the %s gel on %s", w.label(is.Gel), name)
	default:
		w.add(inventory.GelAtFront, t, "change the gel of %s from %s to %s", name, w.label(was.Gel), w.label(is.Gel))
	}
}

// dial is how a power is set: by remote where the studio has triggers for its flashes.
func (w *work) dial(l *inventory.LightSet) inventory.Action {
	if l.Light == "flash" && len(w.s.Triggers) > 0 {
		return inventory.PowerByRemote
	}
	return inventory.PowerAtHead
}

// nudge is how far a light may go without its stand being carried across the set.
const nudge = 0.3 // m

// place tells where a light goes. Its face is always seen from what it is aimed at.
func (w *work) place(b *constraints.Bench, r inventory.Role, was, is *inventory.LightSet) bool {
	moved := was.Distance != is.Distance || was.Azimuth != is.Azimuth || was.Elevation != is.Elevation
	if !moved {
		if was.Feather == is.Feather {
			return false
		}
		w.do(inventory.NudgeLight, "feather the %s: turn its face %s", roleWords[r], featherWords(is.Feather))
		return true
	}
	a, z := standsAt(b, r, was), standsAt(b, r, is)
	flat := z.Sub(a)
	flat.Z = 0
	name := "the " + roleWords[r]
	if was.Role != is.Role {
		name = "the rim"
	}
	switch up := z.Z - a.Z; {
	case flat.Len() < 0.02:
		w.do(inventory.NudgeLight, "%s %s by %s, to %s, and tip it to %s", map[bool]string{true: "raise", false: "lower"}[up > 0], name,
			tapeText(unit.Length(math.Abs(up))), tapeText(unit.Length(z.Z)), aimWords[r])
	case z.Sub(a).Len() < nudge:
		w.do(inventory.NudgeLight, "shift %s to %s", name, whereText(r, is, z))
	default:
		w.do(inventory.MoveStand, "move %s to %s", name, whereText(r, is, z))
	}
	return true
}

// standsAt is the face centre of a light.
func standsAt(b *constraints.Bench, r inventory.Role, l *inventory.LightSet) geom.Vec {
	return b.Target(r, b.Eye()).Add(geom.Polar(float64(l.Azimuth), float64(l.Elevation)).Mul(float64(l.Distance)))
}

func featherWords(a unit.Angle) string {
	switch d := math.Round(a.Degrees()); {
	case d < 0:
		return fmt.Sprintf("%.0f deg to its own left", -d)
	case d > 0:
		return fmt.Sprintf("%.0f deg to its own right", d)
	}
	return "straight to the eyes"
}

// aimWords name what a light is aimed at and taped from.
var aimWords = [inventory.NumRoles]string{"the eyes", "the eyes", "the left edge of the hair", "the right edge of the hair", "the crown", "the spot behind the head"}

// whereText is a light's place as one tapes it.
func whereText(r inventory.Role, l *inventory.LightSet, at geom.Vec) string {
	az := math.Round(l.Azimuth.Degrees())
	side := "right"
	if az < 0 {
		side, az = "left", -az
	}
	text := tapeText(l.Distance) + " from " + aimWords[r] + ", "
	switch {
	case az == 0:
		text += "in line with the camera"
	case az == 180:
		text += "straight behind"
	case az > 90:
		text += fmt.Sprintf("on camera %s, %.0f deg off straight behind", side, 180-az)
	default:
		text += fmt.Sprintf("%.0f deg to camera %s", az, side)
	}
	if r == inventory.Background { // its height goes with the spot
		return text
	}
	return text + ", face centre " + tapeText(unit.Length(at.Z)) + " up"
}

// fresh tells of a light that is rigged anew.
func (w *work) fresh(b *constraints.Bench, r inventory.Role, l *inventory.LightSet) {
	alone, assisted := w.c.alone.LightMinutes(*l)-w.c.alone.Minutes(inventory.MeterLight), w.c.assisted.LightMinutes(*l)-w.c.assisted.Minutes(inventory.MeterLight)
	what := w.label(l.Head) + ", " + w.mod(l.Modifier)
	if l.Grid != "" {
		what += ", " + w.label(l.Grid)
	}
	if l.Gel != "" {
		what += ", " + w.label(l.Gel) + " gel"
	}
	w.add(inventory.NewLight, Time{alone, assisted}, "set up a %s: %s, %s, at %s", roleWords[r], what, whereText(r, l, standsAt(b, r, l)), w.s.Head(l.Head).Dialled(l.Power))
}

func (w *work) cards(from, to *Stance) {
	for _, k := range from.Set.Cards {
		if !slices.ContainsFunc(to.Set.Cards, func(o inventory.CardSet) bool { return sameCard(k, o) }) {
			w.do(inventory.PlaceCard, "take the %s away", w.label(k.Item))
		}
	}
	for _, k := range to.Set.Cards {
		if !slices.ContainsFunc(from.Set.Cards, func(o inventory.CardSet) bool { return sameCard(k, o) }) {
			side := "right"
			if k.Azimuth < 0 {
				side = "left"
			}
			w.do(inventory.PlaceCard, "put the %s on camera %s, %s from the face", w.label(k.Item), side, tapeText(k.Distance))
		}
	}
}

func sameCard(a, b inventory.CardSet) bool {
	a.Places, b.Places = inventory.CardSet{}.Places, inventory.CardSet{}.Places
	return fmt.Sprint(a) == fmt.Sprint(b)
}

func (w *work) camera(from, to *Stance) {
	was, is := from.Set.Camera, to.Set.Camera
	switch {
	case was.Lens != is.Lens:
		w.do(inventory.LensChange, "change to the %s and frame %s high at the sitter", w.label(is.Lens), tapeText(is.Frame))
	case was.Frame != is.Frame:
		step := "step in"
		if is.Frame > was.Frame {
			step = "step back"
		}
		w.do(inventory.MoveCamera, "%s to a frame %s high at the sitter, and focus again", step, tapeText(is.Frame))
	}
	if was.Height != is.Height {
		w.do(inventory.MoveCamera, "put the lens at %s", tapeText(is.Height))
	}
	var dials []string
	if was.Aperture != is.Aperture {
		dials = append(dials, is.Aperture.String())
	}
	if was.Shutter != is.Shutter {
		dials = append(dials, is.Shutter.String())
	}
	if was.ISO != is.ISO {
		dials = append(dials, is.ISO.String())
	}
	if len(dials) > 0 {
		w.do(inventory.SetCamera, "dial %s on the camera", list(dials))
		w.acts[len(w.acts)-1].Dial = true
	}
}
