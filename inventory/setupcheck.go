package inventory

import (
	"fmt"
	"math"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// The two kinds of light of a head, as set-ups write them.
const (
	LightFlash = "flash"
	LightLamp  = "lamp"
)

// UsesLamp reports whether the light is the head's lamp.
func (l *LightSet) UsesLamp() bool { return l.Light == LightLamp }

// LoadSetup reads a set-up file: see LoadSetupFrom.
func LoadSetup(name string) (*Setup, error) {
	f, err := source.Read(name)
	if err != nil {
		return nil, err
	}
	return LoadSetupFrom(f)
}

// LoadSetupFrom reads a set-up strictly and checks what can be checked without a studio.
// Fits checks the rest.
func LoadSetupFrom(f *source.File) (*Setup, error) {
	u := new(Setup)
	if err := source.Decode(f, u); err != nil {
		return nil, err
	}
	var c checker
	c.setup(u)
	if err := c.errs.Err(); err != nil {
		return nil, err
	}
	return u, nil
}

var (
	frameHeight   = span[unit.Length]{0.05, 5}
	lensHeight    = span[unit.Length]{0, 10}
	toBackdrop    = span[unit.Length]{0.1, 30}
	lightDistance = span[unit.Length]{0.1, 20}
	halfTurn      = span[unit.Angle]{-180 * unit.Degree, 180 * unit.Degree}
	pastBehind    = span[unit.Angle]{-210 * unit.Degree, 210 * unit.Degree} // a hair light stands on either side of straight behind
	quarterTurn   = span[unit.Angle]{-90 * unit.Degree, 90 * unit.Degree}
	feathered     = span[unit.Angle]{-80 * unit.Degree, 80 * unit.Degree}
	belowFull     = span[unit.Stops]{-20, 0}
)

func (c *checker) setup(u *Setup) {
	cam := &u.Camera
	within(c, &cam.Places, "camera.aperture", cam.Aperture, aperture)
	within(c, &cam.Places, "camera.shutter", cam.Shutter, anyShutter)
	within(c, &cam.Places, "camera.iso", cam.ISO, anyISO)
	within(c, &cam.Places, "camera.frame", cam.Frame, frameHeight)
	within(c, &cam.Places, "camera.height", cam.Height, lensHeight)
	within(c, &u.Backdrop.Places, "backdrop.distance", u.Backdrop.Distance, toBackdrop)
	if len(u.Lights) == 0 {
		c.say(&u.Places, "lights", "there is none")
	}
	seen := map[Role]*LightSet{}
	for i := range u.Lights {
		c.light(&u.Lights[i], seen)
	}
	for i := range u.Cards {
		k := &u.Cards[i]
		within(c, &k.Places, "distance", k.Distance, lightDistance)
		within(c, &k.Places, "azimuth", k.Azimuth, halfTurn)
		within(c, &k.Places, "elevation", k.Elevation, quarterTurn)
		if k.Throws != "" && k.Shades != "" {
			c.say(&k.Places, "shades", "a card is turned to throw light or to shade, not both").Also = []source.Place{k.PlaceOf("throws")}
		}
		c.turned(k, "throws", k.Throws, seen)
		c.turned(k, "shades", k.Shades, seen)
	}
}

func (c *checker) turned(k *CardSet, key, name string, seen map[Role]*LightSet) {
	if role, ok := RoleByName(name); name != "" && (!ok || seen[role] == nil) {
		c.say(&k.Places, key, "the set-up has no light %q", name)
	}
}

func (c *checker) light(l *LightSet, seen map[Role]*LightSet) {
	p := &l.Places
	role, ok := RoleByName(l.Role)
	if !ok {
		c.oneOf(p, "role", l.Role, roleNames[:]...)
	} else if prior := seen[role]; prior != nil {
		c.say(p, "role", "the %s is set twice", l.Role).Also = []source.Place{prior.PlaceOf("role")}
	} else {
		seen[role] = l
	}
	c.oneOf(p, "light", l.Light, LightFlash, LightLamp)
	if l.Grid != "" && l.Modifier == "" {
		c.say(p, "grid", "%q needs a modifier to sit on", l.Grid)
	}
	within(c, p, "distance", l.Distance, lightDistance)
	within(c, p, "azimuth", l.Azimuth, pastBehind)
	within(c, p, "elevation", l.Elevation, quarterTurn)
	within(c, p, "feather", l.Feather, feathered)
	within(c, p, "power", l.Power, belowFull)
}

// Fits checks that a studio has what a set-up uses, that the parts go together, that
// settings are on the dials, and that nothing is used more often than it is there. It is
// about kit only: where the lights stand is the model's business.
func (u *Setup) Fits(s *Studio) error {
	c := checker{}
	c.bodyAndLens(u, s)
	if s.Backdrop(u.Backdrop.Item) == nil {
		c.missing(&u.Backdrop.Places, "item", "backdrop", u.Backdrop.Item, ids(s.Shelf().Backdrops))
	}
	for i := range u.Lights {
		c.who = "the " + u.Lights[i].Role
		c.lightFits(&u.Lights[i], s)
	}
	c.who = ""
	for i := range u.Cards {
		k := &u.Cards[i]
		if s.Card(k.Item) == nil {
			c.missing(&k.Places, "item", "card", k.Item, ids(s.Shelf().Cards))
		}
		if k.Stand != "" && s.Stand(k.Stand) == nil {
			c.missing(&k.Places, "stand", "stand", k.Stand, ids(s.Shelf().Stands))
		}
	}
	c.counts(u, s)
	return c.errs.Err()
}

// Uses is what a set-up takes from the shelf, in the order camera, lens, backdrop, lights;
// an item comes once for every use.
func (u *Setup) Uses() []ID {
	out := []ID{u.Camera.Body, u.Camera.Lens, u.Backdrop.Item}
	for _, l := range u.Lights {
		for _, id := range []ID{l.Head, l.Modifier, l.Grid, l.Gel, l.Stand, l.Boom} {
			if id != "" {
				out = append(out, id)
			}
		}
	}
	for _, k := range u.Cards {
		out = append(out, k.Item)
		if k.Stand != "" {
			out = append(out, k.Stand)
		}
	}
	return out
}

func (c *checker) counts(u *Setup, s *Studio) {
	used, said := map[ID]int{}, map[ID]bool{}
	for _, id := range u.Uses() {
		used[id]++
	}
	for _, id := range u.Uses() {
		class, it, ok := s.Find(id)
		if ok && used[id] > it.Count && !said[id] {
			c.say(&u.Places, "", "%s %q is used %d times, and the studio has %d", class, id, used[id], it.Count).Also = []source.Place{it.PlaceOf("count")}
			said[id] = true
		}
	}
}

// missing says that no item of a class has an id.
func (c *checker) missing(p *source.Places, key, class string, id ID, known []string) {
	c.say(p, key, "no %s has the id %q", class, id).Hint = nearest(string(id), known)
}

func ids[P Thing](things []P) []string {
	out := make([]string, len(things))
	for i, t := range things {
		out[i] = string(t.item().ID)
	}
	return out
}

func (c *checker) bodyAndLens(u *Setup, s *Studio) {
	set := &u.Camera
	body, lens := s.Camera(set.Body), s.Lens(set.Lens)
	if body == nil {
		c.missing(&set.Places, "body", "camera", set.Body, ids(s.Shelf().Cameras))
	}
	if lens == nil {
		c.missing(&set.Places, "lens", "lens", set.Lens, ids(s.Shelf().Lenses))
	}
	if body != nil && lens != nil && !body.Takes(lens) {
		c.say(&set.Places, "lens", "lens %q has the mount %q, and camera %q has %q", lens.ID, lens.Mount, body.ID, body.Mount)
	}
	if lens != nil {
		within(c, &set.Places, "aperture", set.Aperture, span[unit.FNumber]{lens.Widest, lens.Narrowest})
	}
	if body != nil {
		within(c, &set.Places, "iso", set.ISO, span[unit.ISO]{body.BaseISO, body.TopISO})
		within(c, &set.Places, "shutter", set.Shutter, span[unit.Shutter]{body.Fastest, anyShutter.hi})
		c.sync(u, body)
	}
}

func (c *checker) sync(u *Setup, body *Camera) {
	for i := range u.Lights {
		if u.Lights[i].Light == LightFlash && u.Camera.Shutter < body.Sync {
			c.say(&u.Camera.Places, "shutter", "%v is faster than the flash sync of %q, %v", u.Camera.Shutter, body.ID, body.Sync)
			return
		}
	}
}

func (c *checker) lightFits(l *LightSet, s *Studio) {
	p, sh := &l.Places, s.Shelf()
	h, m, g, gel := s.Head(l.Head), s.Modifier(l.Modifier), s.Grid(l.Grid), s.Gel(l.Gel)
	st, boom := s.Stand(l.Stand), s.Boom(l.Boom)
	absent := func(key, class string, id ID, there bool, known []string) {
		if id != "" && !there {
			c.missing(p, key, class, id, known)
		}
	}
	absent("head", "head", l.Head, h != nil, ids(sh.Heads))
	absent("modifier", "modifier", l.Modifier, m != nil, ids(sh.Modifiers))
	absent("grid", "grid", l.Grid, g != nil, ids(sh.Grids))
	absent("gel", "gel", l.Gel, gel != nil, ids(sh.Gels))
	absent("stand", "stand", l.Stand, st != nil, ids(sh.Stands))
	absent("boom", "boom", l.Boom, boom != nil, ids(sh.Booms))
	if h == nil || m == nil && l.Modifier != "" {
		return
	}
	c.joins(l, h, m, g, gel)
	c.power(l, h)
	if mass := LightMass(h, m, g); st != nil && (boom != nil || l.Boom == "") && !Carries(st, boom, mass) {
		on := fmt.Sprintf("stand %q carries %v", st.ID, st.Load)
		if boom != nil {
			on = fmt.Sprintf("%s, and boom %q %v at its tip", on, boom.ID, boom.Load)
		}
		c.say(p, "stand", "the light weighs %v; %s", mass, on)
	}
}

func (c *checker) joins(l *LightSet, h *Head, m *Modifier, g *Grid, gel *Gel) {
	p := &l.Places
	switch {
	case HeadTakes(h, m):
	case m == nil:
		c.say(p, "head", "head %q may not be used bare", h.ID)
	case tooHot(h, m):
		c.say(p, "modifier", "modifier %q takes lamps up to %v, and head %q has %v", m.ID, m.MaxLamp, h.ID, h.Lamp.Watts)
	default:
		c.say(p, "modifier", "modifier %q fits %s, and head %q has the mount %q", m.ID, strings.Join(m.Fits, ", "), h.ID, h.Mount)
	}
	if m != nil && !ModTakesGrid(m, g) {
		c.say(p, "grid", "grid %q sits on %s, not on %q", g.ID, idList(g.Fits), m.ID)
	}
	if !HeadTakesGel(h, m, gel) {
		c.say(p, "gel", "gel %q does not go on head %q in that modifier", gel.ID, h.ID)
	}
}

func (c *checker) power(l *LightSet, h *Head) {
	p := &l.Places
	n, step := h.Powers(l.UsesLamp())
	if n == 0 {
		c.say(p, "light", "head %q has no %s", h.ID, l.Light)
		return
	}
	lowest := h.Setting(l.UsesLamp(), n-1)
	if float64(l.Power) < float64(lowest)-1e-9 {
		c.say(p, "power", "%v is below the least of head %q, %v", l.Power, h.ID, lowest)
		return
	}
	if step > 0 {
		steps := float64(-l.Power / step)
		// A thousandth of a step is rounding in the file, not another setting.
		if math.Abs(steps-math.Round(steps)) > 1e-3 {
			c.say(p, "power", "%v is not a setting of head %q, which goes by %s", l.Power, h.ID, strings.TrimPrefix(step.String(), "+"))
		}
	}
}

// Text writes a set-up as a file that LoadSetupFrom reads back to the same values, to the
// last bit.
func (u *Setup) Text() ([]byte, error) { return source.Encode(u) }

// Write puts a set-up into a file; an existing file is replaced whole or not at all.
func (u *Setup) Write(name string) error {
	text, err := u.Text()
	if err != nil {
		return err
	}
	return source.WriteFile(name, text)
}
