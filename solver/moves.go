package solver

import (
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// A move is one change of a set as it stands. What it changes in the lights' levels on
// purpose is added; all else is dialled back to where it was.
type move struct {
	to  Stance
	add [inventory.NumRoles]float64
}

// How far single moves go, and in which steps: those of the tape and of most dials.
const (
	farthestRound = 60  // deg, of the key round the sitter
	farthestUp    = 25  // deg, of the key up and down
	widestFeather = 40  // deg
	widestFace    = 45  // deg
	mostPower     = 3.0 // stops, of a light that is not the key
	powerStep     = 0.5
	mostOpening   = 9 // thirds of a stop, of the aperture
	degreeStep    = 5
)

// newLevels are where new lights are set: common practice, no source.
var newLevels = [inventory.NumRoles]float64{inventory.Fill: -2, inventory.RimLeft: -0.5, inventory.RimRight: -0.5, inventory.Hair: -0.7}

// either yields steps to both sides of nothing, the small ones first.
func either(most, step float64) (out []float64) {
	for x := step; x <= most+1e-9; x += step {
		out = append(out, x, -x)
	}
	return out
}

// moves lists every single move from the set as it stands, in one fixed order.
func (u *scout) moves() (out []move) {
	put := func(change func(*Stance) bool) {
		st := u.now.clone()
		if change(&st) {
			out = append(out, move{to: st})
		}
	}
	u.switches(put, &out)
	u.keyMoves(put)
	out = append(out, u.mirror())
	u.sitterMoves(put)
	u.cameraMoves(put)
	u.gearMoves(put)
	u.newLights(&out)
	return out
}

// switches turns lights off and changes their power, the key's excepted.
func (u *scout) switches(put func(func(*Stance) bool), out *[]move) {
	for i := range u.now.Set.Lights {
		role := u.now.Set.Lights[i].Role
		r, _ := inventory.RoleByName(role)
		if r == inventory.Key {
			continue
		}
		put(func(st *Stance) bool {
			st.Set.Lights = slices.DeleteFunc(st.Set.Lights, func(l inventory.LightSet) bool { return l.Role == role })
			return true
		})
		for _, p := range either(mostPower, powerStep) {
			m := move{to: u.now.clone()}
			m.add[r] = p
			*out = append(*out, m)
		}
	}
	both := func(l inventory.LightSet) bool { return l.Role == "rim-left" || l.Role == "rim-right" }
	if u.now.light(inventory.RimLeft) != nil && u.now.light(inventory.RimRight) != nil {
		put(func(st *Stance) bool { st.Set.Lights = slices.DeleteFunc(st.Set.Lights, both); return true })
	}
}

// keyMoves carries, raises and feathers the key, on the tape's marks.
func (u *scout) keyMoves(put func(func(*Stance) bool)) {
	if u.now.light(inventory.Key) == nil {
		return
	}
	change := func(f func(*inventory.LightSet) bool) {
		put(func(st *Stance) bool { return f(st.light(inventory.Key)) })
	}
	in := constraints.Stated[inventory.Key]
	for d := in.D.Lo; d <= in.D.Hi+1e-9; d += tape {
		change(func(l *inventory.LightSet) bool {
			was := l.Distance
			l.Distance = unit.Length(taped(d))
			return l.Distance != was
		})
	}
	for _, a := range either(farthestRound, degreeStep) {
		change(func(l *inventory.LightSet) bool {
			l.Azimuth += unit.Angle(a) * unit.Degree
			return math.Abs(l.Azimuth.Degrees()) <= 140
		})
	}
	for _, e := range either(farthestUp, degreeStep) {
		change(func(l *inventory.LightSet) bool { return raise(l, e) })
	}
	for _, f := range either(widestFeather, degreeStep) {
		change(func(l *inventory.LightSet) bool {
			l.Feather = unit.Angle(f) * unit.Degree
			return true
		})
	}
}

// raise tips the key up or down round the eyes while its stand stays where it is.
func raise(l *inventory.LightSet, by float64) bool {
	flat := float64(l.Distance) * math.Cos(float64(l.Elevation))
	el := l.Elevation + unit.Angle(by)*unit.Degree
	if d := el.Degrees(); d < -5 || d > 60 {
		return false
	}
	l.Elevation = el
	l.Distance = unit.Length(math.Round(flat/math.Cos(float64(el))*100) / 100)
	return true
}

// mirror puts every light and card on the other side, the face too. Two rims change
// places, each with its own gear, and take over each other's level.
func (u *scout) mirror() move {
	m := move{to: u.now.clone()}
	st := &m.to
	other := map[string]string{"rim-left": "rim-right", "rim-right": "rim-left"}
	left, right := u.now.light(inventory.RimLeft), u.now.light(inventory.RimRight)
	for i := range st.Set.Lights {
		l := &st.Set.Lights[i]
		switch {
		case other[l.Role] == "" || left == nil || right == nil:
			l.Azimuth, l.Feather = 0-l.Azimuth, 0-l.Feather
			if o := other[l.Role]; o != "" {
				l.Role = o
			}
		case l.Role == "rim-left":
			l.Distance, l.Azimuth, l.Elevation, l.Feather = right.Distance, 0-right.Azimuth, right.Elevation, 0-right.Feather
		default:
			l.Distance, l.Azimuth, l.Elevation, l.Feather = left.Distance, 0-left.Azimuth, left.Elevation, 0-left.Feather
		}
	}
	if left != nil && right != nil {
		d := u.here.Reading.Lights[inventory.RimRight].Level.Lo - u.here.Reading.Lights[inventory.RimLeft].Level.Lo
		m.add[inventory.RimLeft], m.add[inventory.RimRight] = d, -d
	}
	for _, r := range []inventory.Role{inventory.RimLeft, inventory.RimRight} { // one rim alone keeps its level
		if l := st.light(r); l != nil && u.now.light(r) == nil {
			m.add[r] = u.here.Reading.Lights[inventory.RimLeft+inventory.RimRight-r].Level.Lo
		}
	}
	for i := range st.Set.Cards {
		k := &st.Set.Cards[i]
		k.Azimuth = 0 - k.Azimuth
		if o := other[k.Throws]; o != "" {
			k.Throws = o
		}
		if o := other[k.Shades]; o != "" {
			k.Shades = o
		}
	}
	st.Turn = 0 - st.Turn
	return m
}

// sitterMoves turns the face and moves the backdrop.
func (u *scout) sitterMoves(put func(func(*Stance) bool)) {
	for _, f := range append([]float64{0}, either(widestFace, degreeStep)...) {
		put(func(st *Stance) bool {
			st.Turn = unit.Angle(f) * unit.Degree
			return true
		})
	}
	for i := range u.s.Backdrops {
		item := u.s.Backdrops[i].ID
		put(func(st *Stance) bool {
			was := st.Set.Backdrop.Item
			st.Set.Backdrop.Item = item
			return was != item
		})
	}
}

// cameraMoves opens and closes the lens, changes it, and steps in and out.
func (u *scout) cameraMoves(put func(func(*Stance) bool)) {
	lens := u.s.Lens(u.now.Set.Camera.Lens)
	for _, by := range either(mostOpening, 1) {
		put(func(st *Stance) bool {
			n := &st.Set.Camera.Aperture
			to := unit.FNumberAt(n.Thirds() + int(by))
			if to < lens.Widest {
				to = lens.Widest
			}
			ok := to <= lens.Narrowest && to != *n
			*n = to
			return ok
		})
	}
	for _, f := range constraints.Frames {
		put(func(st *Stance) bool {
			was := st.Set.Camera.Frame
			st.Set.Camera.Frame = unit.Length(f)
			return was != unit.Length(f)
		})
	}
	for i := range u.s.Lenses {
		other := &u.s.Lenses[i]
		put(func(st *Stance) bool {
			cam := &st.Set.Camera
			ok := other.ID != cam.Lens && u.s.Camera(cam.Body).Takes(other) && cam.Aperture >= other.Widest && cam.Aperture <= other.Narrowest
			cam.Lens = other.ID
			return ok
		})
	}
}

// gearMoves swaps modifiers, grids and gels, and puts a card across from the key.
func (u *scout) gearMoves(put func(func(*Stance) bool)) {
	for i := range u.now.Set.Lights {
		l := &u.now.Set.Lights[i]
		h, m := u.s.Head(l.Head), u.s.Modifier(l.Modifier)
		for j := range u.s.Modifiers {
			other := &u.s.Modifiers[j]
			if l.Role == "key" && other.ID != l.Modifier && inventory.HeadTakes(h, other) {
				put(func(st *Stance) bool { x := &st.Set.Lights[i]; x.Modifier, x.Grid = other.ID, ""; return u.enough(st) })
			}
		}
		for j := range u.s.Grids {
			g := &u.s.Grids[j]
			if g.ID != l.Grid && inventory.ModTakesGrid(m, g) {
				put(func(st *Stance) bool { st.Set.Lights[i].Grid = g.ID; return u.enough(st) })
			}
		}
		if l.Grid != "" {
			put(func(st *Stance) bool { st.Set.Lights[i].Grid = ""; return true })
		}
	}
	for _, roles := range [][]inventory.Role{{inventory.RimLeft}, {inventory.RimRight}, {inventory.RimLeft, inventory.RimRight}, {inventory.Hair}, {inventory.Background}} {
		for _, p := range u.gelsOf(roles...) {
			put(func(st *Stance) bool {
				m := move{to: *st}
				ok := p(&m) && u.enough(&m.to)
				*st = m.to
				return ok
			})
		}
	}
	if len(u.now.Set.Cards) > 0 {
		put(func(st *Stance) bool { st.Set.Cards = nil; return true })
		return
	}
	key := u.now.light(inventory.Key)
	for i := range u.s.Cards {
		if u.now.light(inventory.Fill) != nil {
			break // beside a fill light a card does little
		}
		card := &u.s.Cards[i]
		put(func(st *Stance) bool {
			if key == nil {
				return false
			}
			k := inventory.CardSet{Item: card.ID, Distance: 0.6, Azimuth: 60 * unit.Degree, Elevation: -10 * unit.Degree}
			if key.Azimuth > 0 {
				k.Azimuth = -k.Azimuth
			}
			st.Set.Cards = []inventory.CardSet{k}
			return true
		})
	}
}

// enough reports whether there are as many pieces as a stance uses.
func (u *scout) enough(st *Stance) bool {
	for id, n := range Used(&st.Set) {
		if _, it, ok := u.s.Find(id); !ok || n > it.Count {
			return false
		}
	}
	return true
}

// newLights rigs a fill or a rim across from the key from what is free: the weakest head
// of the kind of light that the key has, in a reflector or bare, on the lightest stand.
func (u *scout) newLights(out *[]move) {
	key := u.now.light(inventory.Key)
	if key == nil {
		return
	}
	for _, r := range []inventory.Role{inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair} {
		if u.now.light(r) != nil {
			continue
		}
		l := inventory.LightSet{Role: r.String(), Light: key.Light}
		place := usual[r]
		l.Distance, l.Azimuth, l.Elevation = unit.Length(place.d), unit.Angle(place.az)*unit.Degree, unit.Angle(place.el)*unit.Degree
		if r == inventory.Fill && key.Azimuth > 0 {
			l.Azimuth = -l.Azimuth
		}
		if st, ok := u.rigged(l); ok {
			m := move{to: st}
			m.add[r] = newLevels[r]
			*out = append(*out, m)
		}
	}
}

// rigged adds a light with free kit that can carry it there.
func (u *scout) rigged(l inventory.LightSet) (Stance, bool) {
	sh := u.s.Shelf()
	heads := slices.Clone(sh.Heads)
	slices.SortStableFunc(heads, func(a, b *inventory.Head) int { return cmpFloat(u.output(a, l.Light), u.output(b, l.Light)) })
	for _, h := range heads {
		if l.Light == "flash" && h.Flash == nil || l.Light == "lamp" && (h.Lamp == nil || !h.Lamp.Main) {
			continue
		}
		for i := len(sh.Modifiers); i >= 0; i-- {
			m := at(sh.Modifiers, i)
			if m != nil && m.Type != "reflector" || !inventory.HeadTakes(h, m) {
				continue
			}
			for _, stand := range sh.Stands {
				st := u.now.clone()
				l.Head, l.Stand, l.Modifier = h.ID, stand.ID, ""
				if m != nil {
					l.Modifier = m.ID
				}
				high := standsAt(u.bench(&st), roleOf(l), &l).Z
				if stand.Holds(unit.Length(high)) && inventory.Carries(stand, nil, inventory.LightMass(h, m, nil)) {
					st.Set.Lights = append(st.Set.Lights, l)
					if u.enough(&st) {
						return st, true
					}
				}
			}
		}
	}
	return Stance{}, false
}

func roleOf(l inventory.LightSet) inventory.Role {
	r, _ := inventory.RoleByName(l.Role)
	return r
}

func (u *scout) output(h *inventory.Head, kind string) float64 {
	full, _, _ := h.Output(u.s, kind == "lamp")
	return full
}
