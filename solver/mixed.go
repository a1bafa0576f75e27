package solver

import (
	"cmp"
	"context"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// family is moves of several things at once, and the looks that they are computed for.
type family struct {
	moves []move
	looks []change
	may   func(m *move, look int) bool // false: where the key stands rules the look out; nil where nothing is ruled out
}

// part changes one thing of a move; false where that cannot be done.
type part func(*move) bool

// mixed lists the moves that do one of each list of parts, at least two of them to any
// effect.
func (u *scout) mixed(from move, lists ...[]part) (out []move) {
	var choose func(m move, at, done int)
	choose = func(m move, at, done int) {
		if at == len(lists) {
			if done > 1 && u.enough(&m.to) {
				out = append(out, m)
			}
			return
		}
		choose(m, at+1, done)
		for _, p := range lists[at] {
			next := m
			next.to = m.to.clone()
			if p(&next) {
				choose(next, at+1, done+1)
			}
		}
	}
	choose(from, 0, 0)
	return out
}

// families lists the moves of several things at once: the key's modifier and distance with
// what is behind the sitter; the gels of both rims with the one behind; the whole set
// mirrored with another modifier of the key; and the key somewhere else, with another
// modifier, the face turned, other lights off, and another backdrop.
func (u *scout) families() (out []family) {
	if u.now.light(inventory.Key) == nil {
		return nil
	}
	still := move{to: u.now.clone()}
	goals := u.unmet()
	out = append(out, family{u.mixed(still, u.keyGear(nearAndFar), append(u.behind(), u.gelsOf(inventory.Background)...)), append(goals, tones()...), u.mayTone(len(goals))})
	rims := u.gelsOf(inventory.RimLeft, inventory.RimRight)
	out = append(out, family{u.mixed(still, rims, u.gelsOf(inventory.Background)), []change{
		{text: "other colours on the edges and behind", seen: func(a, b picture) bool {
			return otherColour(a, b, inventory.Background) && (otherColour(a, b, inventory.RimLeft) || otherColour(a, b, inventory.RimRight))
		}}}, nil})
	var over []move
	for _, p := range u.keyGear([]float64{1}) {
		if m := u.mirror(); p(&m) && u.enough(&m.to) {
			over = append(over, m)
		}
	}
	out = append(out, family{over, []change{
		{text: "mirrored, with harder light", seen: func(a, b picture) bool { return mirrored(a, b) && harderKey(a, b) }},
		{text: "mirrored, with softer light", seen: func(a, b picture) bool { return mirrored(a, b) && softerKey(a, b) }}}, nil})
	looks, briefs := u.readyLooks()
	return append(out, family{u.mixed(still, u.faces(), u.keyGear([]float64{1}), u.keyPlaces(), u.fewer(), u.papers()), append(goals, looks...), u.mayLook(len(goals), briefs)})
}

// keyOf reads what the key's place alone says of a move, with all else unknown.
func (u *scout) keyOf(m *move) *constraints.Reading {
	rd := constraints.Unknown()
	l, bench := m.to.light(inventory.Key), u.bench(&m.to)
	lay := bench.LayAny(nil, float64(m.to.Set.Backdrop.Distance), nil, nil)
	e := constraints.EmitterOf(u.s.Head(l.Head), u.s.Modifier(l.Modifier), u.s.Grid(l.Grid))
	lay.ReadPose(e, keyBox(bench, lay, l), l.Boom != "", &rd.Lights[inventory.Key])
	rd.Count = unit.Point(float64(len(m.to.Set.Lights)))
	return &rd
}

func keyBox(b *constraints.Bench, lay *constraints.Layout, l *inventory.LightSet) light.PoseBox {
	return light.PoseBox{Target: b.Target(inventory.Key, lay.Glow), D: unit.Point(float64(l.Distance)), Az: unit.Point(float64(l.Azimuth)), El: unit.Point(float64(l.Elevation))}
}

// mayTone rules out tones of which the key's size is not that of one; goals are first.
func (u *scout) mayTone(goals int) func(*move, int) bool {
	was := u.here.Reading.Lights[inventory.Key].Size.Lo
	return func(m *move, look int) bool {
		l := m.to.light(inventory.Key)
		e := constraints.EmitterOf(u.s.Head(l.Head), u.s.Modifier(l.Modifier), u.s.Grid(l.Grid))
		is := constraints.SizeOf(e, unit.Point(float64(l.Distance)))
		return look < goals || look < goals+2 && is.Lo < was || look >= goals+2 && is.Hi > was
	}
}

// mayLook rules out ready looks some goal of which fails by where the key stands; goals of the
// brief are first.
func (u *scout) mayLook(goals int, briefs []*constraints.Brief) func(*move, int) bool {
	var of *move
	var key *constraints.Reading
	return func(m *move, look int) bool {
		if look < goals {
			return true
		}
		if m != of {
			of, key = m, u.keyOf(m)
		}
		b := briefs[look-goals]
		return turnedLike(m.to.Turn, b) && !slices.ContainsFunc(b.Goals, func(g *constraints.Goal) bool { return g.Wish == 0 && g.Fails(key) })
	}
}

var (
	harderKey = times(keySize, 1/seenSize)
	softerKey = times(keySize, seenSize)
	darker    = stopsMore(brightOf, -seenStops)
	lighter   = stopsMore(dimOf, seenStops)
)

func tones() (out []change) {
	for _, light := range []struct {
		text string
		seen func(a, b picture) bool
	}{{"harder", harderKey}, {"softer", softerKey}} {
		for _, back := range []struct {
			text string
			seen func(a, b picture) bool
		}{{"darker", darker}, {"lighter", lighter}} {
			out = append(out, change{text: light.text + " light and a " + back.text + " background",
				seen: func(a, b picture) bool { return light.seen(a, b) && back.seen(a, b) },
				of:   []string{light.text + " light on the face", "a " + back.text + " background"}})
		}
	}
	return out
}

// unmet are the musts that do not hold, as changes to seek.
func (u *scout) unmet() (out []change) {
	for i, g := range u.here.Goals {
		if !g.Holds && g.Goal.Wish == 0 {
			out = append(out, change{text: g.Goal.Name() + " is met", seen: func(_, b picture) bool { return b.Goals[i].Holds }})
		}
	}
	return out
}

// turnedAlike is how far the face may be turned from where a ready look has it.
const turnedAlike = 15 * unit.Degree

// readyLooks are the looks that do not hold as the set stands, for this sitter.
func (u *scout) readyLooks() (out []change, briefs []*constraints.Brief) {
	for _, look := range u.ready {
		if u.lacksLight(look) {
			continue
		}
		holds := func(k picture) bool {
			if !turnedLike(k.turn, look) {
				return false
			}
			bench := u.bench(&Stance{Turn: k.turn})
			var parts []constraints.Part
			for _, g := range look.Goals {
				if g.Wish > 0 {
					continue
				}
				parts = g.Req.Judge(&k.Reading, parts[:0])
				if slices.ContainsFunc(parts, func(p constraints.Part) bool { return !p.Holds() }) {
					return false
				}
			}
			for _, g := range look.Goals {
				if g.Wish == 0 && len(constraints.Broken(g, bench, constraints.Picks(k.Setup))) > 0 {
					return false
				}
			}
			return true
		}
		out = append(out, change{text: `the ready look "` + look.Name + `"`, seen: func(a, b picture) bool { return !holds(a) && holds(b) }})
		briefs = append(briefs, look)
	}
	return out, briefs
}

// turnedLike reports a face turned about as far as a ready look has it, to either side.
func turnedLike(turn unit.Angle, look *constraints.Brief) bool {
	return math.Abs(math.Abs(float64(turn))-math.Abs(float64(look.Sitter.Turn))) <= float64(turnedAlike)
}

// lacksLight reports whether a look needs a light that is not there.
func (u *scout) lacksLight(look *constraints.Brief) bool {
	for _, g := range look.Goals {
		need, _ := g.Req.Roles()
		if g.Wish == 0 && slices.ContainsFunc(need, func(r inventory.Role) bool { return u.now.light(r) == nil }) {
			return true
		}
	}
	return false
}

// nearAndFar are factors of the key's distance: 1.5 times in size and a stop of light.
var nearAndFar = []float64{1, 0.7, 1.4}

// keyGear swaps the key's modifier, at its place or at another distance.
func (u *scout) keyGear(away []float64) (out []part) {
	key := u.now.light(inventory.Key)
	mods := []inventory.ID{key.Modifier}
	for i := range u.s.Modifiers {
		if m := &u.s.Modifiers[i]; m.ID != key.Modifier && inventory.HeadTakes(u.s.Head(key.Head), m) {
			mods = append(mods, m.ID)
		}
	}
	for _, id := range mods {
		for _, f := range away {
			if id == key.Modifier && f == 1 {
				continue
			}
			out = append(out, func(m *move) bool {
				l := m.to.light(inventory.Key)
				if id != l.Modifier {
					l.Modifier, l.Grid = id, ""
				}
				l.Distance = unit.Length(taped(float64(l.Distance) * f))
				return constraints.Stated[inventory.Key].D.Contains(float64(l.Distance))
			})
		}
	}
	return out
}

// papers lets another backdrop down.
func (u *scout) papers() (out []part) {
	for i := range u.s.Backdrops {
		if id := u.s.Backdrops[i].ID; id != u.now.Set.Backdrop.Item {
			out = append(out, func(m *move) bool { m.to.Set.Backdrop.Item = id; return true })
		}
	}
	return out
}

// behind changes the backdrop, or the light on it.
func (u *scout) behind() []part {
	out := u.papers()
	if u.now.light(inventory.Background) != nil {
		out = append(out, without("background"))
		for _, p := range either(mostPower, 2*powerStep) {
			out = append(out, func(m *move) bool { m.add[inventory.Background] = p; return true })
		}
	}
	return out
}

// without turns lights off.
func without(roles ...string) part {
	return func(m *move) bool {
		before := len(m.to.Set.Lights)
		m.to.Set.Lights = slices.DeleteFunc(m.to.Set.Lights, func(l inventory.LightSet) bool { return slices.Contains(roles, l.Role) })
		return len(m.to.Set.Lights) < before
	}
}

// gelsOf puts one gel, or none, on some lights at once.
func (u *scout) gelsOf(roles ...inventory.Role) (out []part) {
	ids := []inventory.ID{""}
	for i := range u.s.Gels {
		ids = append(ids, u.s.Gels[i].ID)
	}
	for _, id := range ids {
		out = append(out, func(m *move) bool {
			changed := false
			for _, r := range roles {
				l := m.to.light(r)
				if l == nil || l.Gel == id {
					continue
				}
				if id != "" && !inventory.HeadTakesGel(u.s.Head(l.Head), u.s.Modifier(l.Modifier), u.s.Gel(id)) {
					return false
				}
				l.Gel, changed = id, true
			}
			return changed
		})
	}
	return out
}

// Where a ready look's key is looked for, in degrees from the face and above the eyes:
// common practice, no source.
var (
	readyRound = []float64{0, 40, -40, 60, -60}
	readyUp    = []float64{20, 40}
)

// keyPlaces puts the key round the face and up and down, as far away as it is.
func (u *scout) keyPlaces() (out []part) {
	for _, az := range readyRound {
		for _, el := range readyUp {
			out = append(out, func(m *move) bool {
				l := m.to.light(inventory.Key)
				l.Azimuth, l.Elevation, l.Feather = m.to.Turn+unit.Angle(az)*unit.Degree, unit.Angle(el)*unit.Degree, 0
				l.Azimuth = unit.Angle(math.Round(l.Azimuth.Degrees()/degreeStep)*degreeStep) * unit.Degree
				return true
			})
		}
	}
	return out
}

// faces turns the face to the camera, or as far as a ready look has it turned.
func (u *scout) faces() (out []part) {
	turns := []unit.Angle{0}
	for _, look := range u.ready {
		for _, t := range []unit.Angle{look.Sitter.Turn, 0 - look.Sitter.Turn} {
			if math.Abs(float64(t)) > float64(turnedAlike) && !slices.Contains(turns, t) {
				turns = append(turns, t)
			}
		}
	}
	for _, t := range turns {
		if t != u.now.Turn {
			out = append(out, func(m *move) bool { m.to.Turn = t; return true })
		}
	}
	return out
}

// fewer turns lights off: the fill, the one behind, or all but the key.
func (u *scout) fewer() []part {
	return []part{without("fill"), without("background"), without("fill", "background", "rim-left", "rim-right", "hair")}
}

// quickestMixed finds the quickest way to each look of a family, single steps included; of
// equals the one that loses fewer goals. Moves are gone through from the quickest on, as long as
// one can still be quicker than what was found.
func (u *scout) quickestMixed(ctx context.Context, f family, steps []*Rung) []*Rung {
	here := u.seen[0]
	best := make([]*Rung, len(f.looks))
	for i, c := range f.looks {
		best[i], _ = u.quickest(c, steps)
	}
	least := make([]float64, len(f.moves)) // to keep the exposure takes no less
	order := make([]int, len(f.moves))
	for i := range f.moves {
		m := &f.moves[i]
		_, t := way(u.s, u.c, u.bench(&m.to), &u.now, &m.to)
		least[i], order[i] = t.of(u.s), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(least[a], least[b]) })
	for _, i := range order {
		late := func(r *Rung) bool { return r != nil && r.Minutes(u.s) < least[i] }
		if ctx.Err() != nil || !slices.ContainsFunc(best, func(r *Rung) bool { return !late(r) }) {
			break
		}
		hope := false
		for k := range f.looks {
			hope = hope || !late(best[k]) && (f.may == nil || f.may(&f.moves[i], k))
		}
		if !hope {
			continue
		}
		for _, r := range u.ways(&f.moves[i], true) {
			after := u.view(r.After, &r.To)
			for k, c := range f.looks {
				if have := best[k]; have != nil && cmp.Or(cmp.Compare(r.Minutes(u.s), have.Minutes(u.s)), cmp.Compare(len(r.Lost), len(have.Lost))) >= 0 {
					continue
				}
				if c.seen(here, after) && !u.known(after) {
					best[k] = r
				}
			}
		}
	}
	return best
}
