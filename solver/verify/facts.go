package verify

import (
	"maps"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
)

// A setup is a value for each slot, or unknown.
type setup [slots]int

const unknown = -1

// mostTries bounds the set-ups that are tried for one clause.
const mostTries = 2_000_000

// possible looks for a set-up in a box that kit and room allow and that a test lets pass.
// It tries every value of the slots that the box speaks of, and knows nothing of others.
func (w *world) possible(b box, passes func(*setup) bool) (bool, error) {
	named := slices.Sorted(maps.Keys(b))
	var s setup
	for i := range s {
		s[i] = unknown
		if slot(i) < lights && w.sizes[i] == 1 {
			s[i] = 0 // there is no choice
		}
	}
	tries := 0
	var try func(k int) bool
	try = func(k int) bool {
		if k == len(named) {
			return passes(&s)
		}
		defer func(was int) { s[named[k]] = was }(s[named[k]])
		for _, v := range w.has(b, named[k]) {
			s[named[k]] = v
			if tries++; tries > mostTries || w.allows(&s, named[k]) && try(k+1) {
				return true
			}
		}
		return false
	}
	found := try(0)
	if tries > mostTries {
		return false, tooMany{}
	}
	return found, nil
}

// allows reports whether what is known of a set-up, of which one slot is new, is within what
// kit and room allow.
func (w *world) allows(s *setup, fresh slot) bool {
	if fresh >= lights {
		r, part := fresh.split()
		if !w.lightFits(s, r) || part != on && part != flash && !w.enough(s, part) {
			return false
		}
		if part != flash {
			return true
		}
	}
	return w.cameraFits(s)
}

// cameraFits judges body, lens, settings, framing and backdrop, and the flashes.
func (w *world) cameraFits(s *setup) bool {
	flashes := 0
	for _, r := range w.Roles {
		if s[of(r, flash)] == 1 {
			flashes++
		}
	}
	if w.fires >= 0 && flashes > w.fires {
		return false
	}
	if s[lens] != unknown && s[aperture] != unknown && !w.stops[s[aperture]].On(w.shelf.Lenses[s[lens]]) {
		return false
	}
	if s[camera] == unknown {
		return true
	}
	body := w.shelf.Cameras[s[camera]]
	if s[shutter] != unknown {
		t := w.timeMarks[s[shutter]]
		if !constraints.HasTime(body, t) || flashes > 0 && !constraints.Synced(body, t) {
			return false
		}
	}
	if s[iso] != unknown && !constraints.HasISO(body, w.isoMarks[s[iso]]) {
		return false
	}
	if s[lens] == unknown {
		return true
	}
	glass := w.shelf.Lenses[s[lens]]
	if !body.Takes(glass) {
		return false
	}
	if s[frame] == unknown {
		return true
	}
	depth := w.depths[0] // a backdrop farther off takes more room
	if s[distance] != unknown {
		depth = w.depths[s[distance]]
	}
	var paper *inventory.Backdrop
	if s[backdrop] != unknown {
		paper = w.shelf.Backdrops[s[backdrop]]
	}
	return w.bench.FrameFits(body, glass, constraints.Frames[s[frame]], depth, paper)
}

// lightFits judges what is known of one light: all of it is there or nothing, and fits.
func (w *world) lightFits(s *setup, r inventory.Role) bool {
	get := func(part slot) int { return s[of(r, part)] }
	used, agree := w.used(s, r)
	if !agree {
		return false
	}
	if used != 1 {
		return true
	}
	sh, h := w.shelf, (*inventory.Head)(nil)
	if get(head) != unknown {
		h = sh.Heads[get(head)]
	}
	if h != nil && (get(flash) == 1 && h.Flash == nil || get(flash) == 0 && (h.Lamp == nil || !h.Lamp.Main)) {
		return false
	}
	if get(modifier) != unknown {
		m := optional(sh.Modifiers, get(modifier))
		switch {
		case h != nil && !inventory.HeadTakes(h, m),
			get(grid) != unknown && !inventory.ModTakesGrid(m, optional(sh.Grids, get(grid))),
			get(gel) > 0 && m != nil && m.GelAt == inventory.GelNowhere:
			return false
		}
	}
	return get(gel) <= 0 || w.Gelled[r] && (h == nil || inventory.HeadTakesGel(h, nil, optional(sh.Gels, get(gel))))
}

// used tells whether a light is used: 1, 0 or unknown; false where what is known of it does
// not agree.
func (w *world) used(s *setup, r inventory.Role) (used int, agree bool) {
	used = s[of(r, on)]
	say := func(is int) bool {
		ok := used == unknown || used == is
		used = is
		return ok
	}
	agree = r != inventory.Key || say(1)
	for part := head; part < parts; part++ {
		switch s[of(r, part)] {
		case unknown:
		case w.absent(of(r, part)):
			agree = agree && say(0)
		default:
			agree = agree && say(1)
		}
	}
	return used, agree && (s[of(r, flash)] != 1 || say(1))
}

// enough reports whether no more of an item is used than there is.
func (w *world) enough(s *setup, part slot) bool {
	used := map[int]int{}
	for _, r := range w.Roles {
		v := s[of(r, part)]
		if v == unknown || v == w.absent(of(r, part)) {
			continue
		}
		if used[v]++; used[v] > w.count(part, v) {
			return false
		}
	}
	return true
}

// count is how many there are of an item; none at all is there as often as it is needed.
func (w *world) count(part slot, v int) int {
	sh := w.shelf
	many := func(i inventory.Thing, ok bool) int {
		if !ok {
			return len(w.Roles)
		}
		return inventory.ItemOf(i).Count
	}
	switch part {
	case head:
		return sh.Heads[v].Count
	case stand:
		return sh.Stands[v].Count
	case modifier:
		return many(optional(sh.Modifiers, v), v > 0)
	case grid:
		return many(optional(sh.Grids, v), v > 0)
	case gel:
		return many(optional(sh.Gels, v), v > 0)
	}
	return many(optional(sh.Booms, v), v > 0)
}

// breaks reports whether a set-up, as far as it is known, breaks some goal of a set whatever
// the rest.
func (w *world) breaks(s *setup, goals goalSet, a *Account) bool {
	for i, g := range w.goals {
		if !goals.has(i) {
			continue
		}
		need, _ := g.Req.Roles()
		if slices.ContainsFunc(need, func(r inventory.Role) bool { used, _ := w.used(s, r); return used == 0 }) ||
			slices.ContainsFunc(w.rules[i], func(rule constraints.Rule) bool { return w.breaksRule(s, rule) }) {
			return true
		}
	}
	if goals == 0 {
		return false
	}
	rd := w.reading(s)
	return w.failing(&rd, goals, a)
}

// failing reports whether some goal of a set fails on all of a reading, and enters into an
// account how near it comes.
func (w *world) failing(rd *constraints.Reading, goals goalSet, a *Account) bool {
	for i, g := range w.goals {
		if !goals.has(i) {
			continue
		}
		for _, p := range g.Req.Judge(rd, nil) {
			if p.Fails() {
				a.near(g, rd, p)
				return true
			}
		}
	}
	return false
}

// breaksRule reports whether all picks of a rule's If are made and none of its Need can be.
func (w *world) breaksRule(s *setup, rule constraints.Rule) bool {
	for _, p := range rule.If {
		if yes, _ := w.picked(s, p); !yes {
			return false
		}
	}
	for _, p := range rule.Need {
		if _, no := w.picked(s, p); !no {
			return false
		}
	}
	return true
}

// picked tells whether a pick is surely made, and whether it surely is not.
func (w *world) picked(s *setup, p constraints.Pick) (yes, no bool) {
	at, value, lamp, ok := w.pickBox(p)
	if !ok {
		return false, true
	}
	v := s[at]
	if at < lights {
		return v == value, v != unknown && v != value
	}
	r, part := at.split()
	used, _ := w.used(s, r)
	switch {
	case lamp:
		return used == 1 && v == 0, used == 0 || v == 1
	case part == on:
		v = used
	}
	return v == value, v != unknown && v != value
}

// reading is what is known of a set-up's gear and camera before any light has a place: all
// else is unknown.
func (w *world) reading(s *setup) constraints.Reading {
	sc := constraints.NewScene(w.bench)
	if s[camera] != unknown {
		sc.Body = w.shelf.Cameras[s[camera]]
	}
	if s[lens] != unknown {
		sc.Lens = w.shelf.Lenses[s[lens]]
	}
	if s[backdrop] != unknown {
		sc.Backdrop = w.shelf.Backdrops[s[backdrop]]
	}
	set := func(to *unit.Interval, values []float64, at int) {
		if at != unknown {
			*to = unit.Point(values[at])
		}
	}
	set(&sc.Shutter, w.times, s[shutter])
	set(&sc.ISO, w.isos, s[iso])
	set(&sc.Frame, constraints.Frames, s[frame])
	set(&sc.Depth, w.depths, s[distance])
	if s[aperture] != unknown {
		sc.Aperture = unit.Point(w.stops[s[aperture]].True)
	}
	var rd constraints.Reading
	sc.MeasureCamera(&rd)
	least, most := 0, 0
	for _, r := range w.Roles {
		out := &rd.Lights[r]
		switch used, _ := w.used(s, r); used {
		case 0:
			out.On = unit.Point(0)
			continue
		case 1:
			out.On = unit.Point(1)
			least++
		}
		most++
		if s[of(r, flash)] != unknown && out.On.Lo == 1 {
			out.Flash = unit.Point(float64(s[of(r, flash)]))
		}
		w.readFace(s, r, out)
		w.readColour(s, r, out)
	}
	rd.Count = unit.Interval{Lo: float64(least), Hi: float64(most)}
	return rd
}

// readFace reads how large a modifier's face looks, wherever it stands.
func (w *world) readFace(s *setup, r inventory.Role, out *constraints.LightReading) {
	at := s[of(r, modifier)]
	if at <= 0 || at == w.absent(of(r, modifier)) {
		return
	}
	place := constraints.Ranges(r, w.Wide)
	out.Size, out.Distance = constraints.SizeOf(w.shelf.Modifiers[at-1].Emitter(nil), place.D), place.D
}

// readColour reads the colour of a light beside the key's, where both are known.
func (w *world) readColour(s *setup, r inventory.Role, out *constraints.LightReading) {
	own, ok := w.tint(s, r)
	white, known := w.tint(s, inventory.Key)
	if !ok || !known {
		return
	}
	t := constraints.TintOf(own, white)
	out.Hue, out.Chroma, out.Kelvin = t.Hue, t.Chroma, t.Kelvin
}

// tint is the colour of a light of which head, gel and kind are known.
func (w *world) tint(s *setup, r inventory.Role) (colour.XYZ, bool) {
	h, g, f := s[of(r, head)], s[of(r, gel)], s[of(r, flash)]
	if h == unknown || g == unknown || f == unknown || h == w.absent(of(r, head)) {
		return colour.XYZ{}, false
	}
	key := [3]int{h, g, f}
	if got, ok := w.tints[key]; ok {
		return got, true
	}
	src, ok := w.bench.SourceOf(w.shelf.Heads[h], nil, nil, optional(w.shelf.Gels, g), f == 0)
	if ok {
		w.tints[key] = src.XYZ
	}
	return src.XYZ, ok
}
