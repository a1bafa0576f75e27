package verify

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// A scene is one choice of all that a lemma rests on. Roles that are not on or off may be
// either, and nothing is known of them.
type scene struct {
	lit, dark         [inventory.NumRoles]bool
	gear              [inventory.NumRoles]gear // of lit roles
	side              int                      // unknown where the key does not matter
	depth, paper      int
	body, lens, frame int // unknown where the camera's place is not known
}

// sight is what a lemma looks at beside its clause.
type sight struct {
	bounce bool
	border bool // of the frame, where it is known
	cuts   map[cutAt]int
}

// cutAt is a light whose range is cut finer than its grid; frame is unknown where the camera's
// place is not known.
type cutAt struct {
	role                inventory.Role
	depth, paper, frame int
}

// readSight reads the line before a lemma's clause: "bounce; border; key 3 grey-paper 17 9",
// where the last is the framing, if any.
func (w *world) readSight(text string) (s sight, err error) {
	s.cuts = map[cutAt]int{}
	for _, part := range strings.Split(text, ";") {
		words := strings.Fields(part)
		switch len(words) {
		case 0:
			continue
		case 1:
			if words[0] == "bounce" {
				s.bounce = true
				continue
			}
			if words[0] == "border" {
				s.border = true
				continue
			}
		case 4, 5:
			frame, err3 := unknown, error(nil)
			if len(words) == 5 {
				frame, err3 = strconv.Atoi(words[4])
			}
			r, ok := inventory.RoleByName(words[0])
			depth, err1 := strconv.Atoi(words[1])
			paper, known := w.item(backdrop, words[2])
			cut, err2 := strconv.Atoi(words[3])
			if ok && known && err1 == nil && err2 == nil && err3 == nil {
				s.cuts[cutAt{r, depth, paper, frame}] = cut
				continue
			}
		}
		return s, fmt.Errorf("%q says nothing of what a rule looks at", strings.TrimSpace(part))
	}
	return s, nil
}

// lemma re-derives a rule about where lights stand and how strong they are: for every scene
// in the boxes against its clause, some goal of the set fails wherever the lights stand.
func (v *places) lemma(kind string, by string, boxes []box, goals goalSet) error {
	how, err := v.w.readSight(by)
	if err != nil {
		return err
	}
	what, name, _ := strings.Cut(kind, " ")
	if what == "load" {
		return v.load(boxes)
	}
	if what == "stand" { // "stand height ROLE"
		_, name, _ = strings.Cut(name, " ")
	}
	word, _, _ := strings.Cut(name, " ")
	role, ok := inventory.RoleByName(word)
	if what == "glow" {
		role = inventory.Background
	} else if !ok && what != "together" {
		return fmt.Errorf("%q names no light", kind)
	}
	levels := map[scene]unit.Interval{} // of the light that is named, where its level matters
	var order []scene
	for _, b := range boxes {
		for _, sc := range v.scenes(b) {
			level := unit.Whole
			if what == "weak" || what == "strong" || what == "each" {
				if !sc.lit[role] {
					return fmt.Errorf("it says nothing of the gear of the %s", role)
				}
				level = v.w.emits(b, role, sc.gear[role])
			}
			was, twice := levels[sc]
			if !twice {
				was = unit.Empty
				order = append(order, sc)
			}
			levels[sc] = was.Hull(level)
		}
	}
	v.account.Cases += len(order)
	for _, sc := range order {
		var fails bool
		switch what {
		case "nowhere":
			fails, err = v.nowhere(sc, how, role, goals)
		case "stand":
			fails, err = v.unheld(sc, how, role, goals, boxes)
		case "weak", "strong":
			fails, err = v.outOfReach(sc, how, role, goals, levels[sc])
		case "glow":
			fails, err = v.dull(sc, how, goals)
		case "each":
			fails, err = v.each(sc, how, role, goals, levels[sc])
		case "together":
			fails, err = v.together(sc, how, goals)
		default:
			return fmt.Errorf("there is no kind of rule %q", what)
		}
		if err != nil {
			return err
		}
		if !fails {
			return fmt.Errorf("it does not follow %s", v.tell(sc))
		}
	}
	return nil
}

// tell says where a lemma could not be derived again.
func (v *places) tell(sc scene) string {
	text := fmt.Sprintf("with the backdrop at %.2f m", v.w.depths[sc.depth])
	for _, r := range v.w.Roles {
		if sc.lit[r] {
			what := "bare"
			if m := optional(v.w.shelf.Modifiers, sc.gear[r].modifier); m != nil {
				what = string(m.ID)
			}
			text += fmt.Sprintf(", %s %s", r, what)
		}
	}
	return text
}

// scenes lists the choices in a box of all that a lemma about places rests on.
func (v *places) scenes(b box) []scene {
	w := v.w
	all := []scene{{side: unknown, body: unknown, lens: unknown, frame: unknown}}
	spread := func(n []int, set func(*scene, int)) {
		var out []scene
		for _, sc := range all {
			for _, i := range n {
				one := sc
				set(&one, i)
				out = append(out, one)
			}
		}
		all = out
	}
	for _, r := range w.Roles {
		switch w.usedIn(b, r) {
		case 0:
			for i := range all {
				all[i].dark[r] = true
			}
		case 1:
			if _, ok := b[of(r, modifier)]; !ok {
				continue
			}
			gears := w.gears(b, r)
			index := make([]int, len(gears))
			for i := range index {
				index[i] = i
			}
			spread(index, func(sc *scene, i int) { sc.lit[r], sc.gear[r] = true, gears[i] })
			if r == inventory.Key {
				spread(w.has(b, side), func(sc *scene, i int) { sc.side = i })
			}
		}
	}
	spread(w.has(b, distance), func(sc *scene, i int) { sc.depth = i })
	spread(w.has(b, backdrop), func(sc *scene, i int) { sc.paper = i })
	if _, ok := b[lens]; ok {
		spread(w.has(b, camera), func(sc *scene, i int) { sc.body = i })
		spread(w.has(b, lens), func(sc *scene, i int) { sc.lens = i })
		spread(w.has(b, frame), func(sc *scene, i int) { sc.frame = i })
	}
	return all
}

// usedIn tells whether a light is used all over a box: 1, 0 or unknown.
func (w *world) usedIn(b box, r inventory.Role) int {
	for part := on; part < parts; part++ {
		s := of(r, part)
		values := w.has(b, s)
		switch {
		case part == on && len(values) == 1:
			return values[0]
		case part == on || part == flash:
		case len(values) == 1 && values[0] == w.absent(s):
			return 0
		case len(values) > 0 && values[len(values)-1] != w.absent(s):
			return 1
		}
	}
	return unknown
}

// items lists the values of an item's slot where its light is used.
func (w *world) items(b box, s slot) (out []int) {
	for _, i := range w.has(b, s) {
		if i != w.absent(s) {
			out = append(out, i)
		}
	}
	return out
}

// gears lists how a light of a box may spread.
func (w *world) gears(b box, r inventory.Role) (out []gear) {
	arms := map[int]bool{}
	for _, i := range w.items(b, of(r, boom)) {
		arms[min(i, 1)] = true
	}
	for _, m := range w.items(b, of(r, modifier)) {
		for _, g := range w.items(b, of(r, grid)) {
			heads := []int{unknown}
			if m == 0 {
				heads = w.items(b, of(r, head))
			}
			for _, h := range heads {
				for arm := range 2 {
					if arms[arm] {
						out = append(out, gear{h, m, g, arm})
					}
				}
			}
		}
	}
	return out
}

// emits bounds, over a box, a light's level on its target less what pose and face make of
// each lumen: head at full and at least power, gel, f-number, ISO, and the shutter for a lamp.
func (w *world) emits(b box, r inventory.Role, g gear) unit.Interval {
	sh, out := w.shelf, unit.Empty
	mod, cells := optional(sh.Modifiers, g.modifier), optional(sh.Grids, g.grid)
	times := unit.Empty
	for _, i := range w.has(b, shutter) {
		times = times.Hull(unit.Point(math.Log2(w.times[i])))
	}
	for _, f := range w.has(b, of(r, flash)) {
		for _, i := range w.items(b, of(r, head)) {
			h := sh.Heads[i]
			n, step := h.Powers(f == 0)
			for _, k := range w.items(b, of(r, gel)) {
				src, ok := w.bench.SourceOf(h, mod, cells, optional(sh.Gels, k), f == 0)
				if !ok {
					continue
				}
				one := unit.Interval{Lo: src.Output - float64(n-1)*float64(step), Hi: src.Output}
				if f == 0 {
					one = one.Add(times)
				}
				out = out.Hull(one)
			}
		}
	}
	need := unit.Empty
	for _, a := range w.has(b, aperture) {
		for _, i := range w.has(b, iso) {
			need = need.Hull(w.bench.Needed(unit.Point(w.stops[a].True), unit.Point(w.isos[i])))
		}
	}
	return out.Sub(need)
}

// site is where a lit role of a scene is looked at.
func (v *places) site(sc scene, how sight, r inventory.Role, goals goalSet) site {
	s := site{role: r, gear: sc.gear[r], body: sc.body, lens: sc.lens, frame: sc.frame, depth: sc.depth, paper: unknown}
	if how.bounce {
		s.paper = sc.paper
	}
	if sc.body == unknown {
		for i, g := range v.w.goals {
			if goals.has(i) && v.posed[r].has(i) && g.Req.Reads()&constraints.OnFrame != 0 {
				s.framings = 1 | goals&v.framing<<1
			}
		}
	}
	for paper := range v.w.shelf.Backdrops { // without bounce any will do
		if cut, ok := how.cuts[cutAt{r, sc.depth, paper, sc.frame}]; ok && (paper == sc.paper || !how.bounce) {
			s.cut = cut
		}
	}
	return s
}

// stands lists the boxes where a lit role of a scene can stand.
func (v *places) stands(sc scene, how sight, r inventory.Role, goals goalSet) (site, []light.PoseBox, error) {
	// With the camera above or below the eyes the place behind the head moves with it.
	if sc.body == unknown && math.Abs(v.w.bench.CameraHeight()-v.w.bench.Eye().Z) > 1e-9 {
		return site{}, nil, fmt.Errorf("nothing can be said without the camera's place while it is not at the height of the eyes")
	}
	s := v.site(sc, how, r, goals)
	seen, err := v.openBoxes(s, goals, sc.side)
	if err != nil {
		return s, nil, err
	}
	v.account.add(seen)
	return s, seen.left, nil
}

// nowhere: the light can stand nowhere.
func (v *places) nowhere(sc scene, how sight, r inventory.Role, goals goalSet) (bool, error) {
	if !sc.lit[r] {
		return false, nil
	}
	_, boxes, err := v.stands(sc, how, r, goals)
	return len(boxes) == 0, err
}

// unheld: wherever the light can stand it hangs higher than its stands reach, or lower than they
// go down.
func (v *places) unheld(sc scene, how sight, r inventory.Role, goals goalSet, of []box) (bool, error) {
	if !sc.lit[r] {
		return false, nil
	}
	_, boxes, err := v.stands(sc, how, r, goals)
	for _, span := range v.w.spans(of, r) {
		for _, b := range boxes {
			if constraints.Height(b).Meets(span) {
				return false, err
			}
		}
	}
	return true, err
}

// spans lists the ranges of heights at which the stands and booms of some boxes hold a light.
func (w *world) spans(boxes []box, r inventory.Role) (out []unit.Interval) {
	for _, b := range boxes {
		for _, i := range w.items(b, of(r, stand)) {
			for _, k := range w.items(b, of(r, boom)) {
				out = append(out, constraints.HeightsOf(w.shelf.Stands[i], optional(w.shelf.Booms, k)))
			}
		}
	}
	return out
}

// load: no stand carries the light.
func (v *places) load(boxes []box) error {
	w := v.w
	for _, b := range boxes {
		if found, err := w.possible(b, w.carried); err != nil {
			return err
		} else if found {
			return fmt.Errorf("a stand carries the light")
		}
	}
	return nil
}

// carried reports whether the stands that are known carry what is known to hang from them.
func (w *world) carried(s *setup) bool {
	sh := w.shelf
	for _, r := range w.Roles {
		get := func(part slot) int { return s[of(r, part)] }
		if get(head) == unknown || get(modifier) == unknown || get(grid) == unknown || get(stand) == unknown || get(boom) == unknown || get(head) == w.absent(of(r, head)) {
			continue
		}
		mass := inventory.LightMass(sh.Heads[get(head)], optional(sh.Modifiers, get(modifier)), optional(sh.Grids, get(grid)))
		if !inventory.Carries(sh.Stands[get(stand)], optional(sh.Booms, get(boom)), mass) {
			return false
		}
	}
	return true
}

// bare is a scene of which nothing is known but backdrop, camera, and which lights are used.
func (v *places) bare(sc scene) constraints.Scene {
	w, sh := v.w, v.w.shelf
	out := constraints.NewScene(w.bench)
	out.Backdrop, out.Depth = sh.Backdrops[sc.paper], unit.Point(w.depths[sc.depth])
	if sc.body != unknown {
		out.Body, out.Lens, out.Frame = sh.Cameras[sc.body], sh.Lenses[sc.lens], unit.Point(constraints.Frames[sc.frame])
	}
	for r := range inventory.NumRoles {
		out.Lights[r].Off()
	}
	fresh := constraints.NewScene(w.bench)
	for _, r := range w.Roles {
		if !sc.dark[r] {
			out.Lights[r] = fresh.Lights[r]
		}
		if sc.lit[r] {
			out.Lights[r].On = unit.Point(1)
		}
	}
	return out
}

// whole is a scene with every lit role anywhere where it can stand; false if one can stand
// nowhere.
func (v *places) whole(sc scene, how sight, goals goalSet) (out constraints.Scene, ok bool, err error) {
	out = v.bare(sc)
	for _, r := range v.w.Roles {
		if !sc.lit[r] {
			continue
		}
		s, boxes, err := v.stands(sc, how, r, goals)
		if err != nil || len(boxes) == 0 {
			return out, false, err
		}
		x := &out.Lights[r]
		out.Lay(v.layout(s))
		x.Posed, x.Pose = true, around(boxes)
		x.Reach = v.hull(s, how, goals, sc.side, boxes)
		x.Size = constraints.SizeOf(v.emitter(s.gear), x.Pose.D)
	}
	return out, true, nil
}

// broken reports whether some goal of a set fails all over a scene, and keeps why.
func (v *places) broken(sc *constraints.Scene, goals goalSet) bool {
	rd := constraints.Measure(sc)
	return v.w.failing(&rd, goals, v.account)
}

// outOfReach: with a level that its head can give, and wherever the lights can stand, some
// goal fails.
func (v *places) outOfReach(sc scene, how sight, r inventory.Role, goals goalSet, emits unit.Interval) (bool, error) {
	s, boxes, err := v.stands(sc, how, r, goals)
	if err != nil || len(boxes) == 0 {
		return err == nil, err
	}
	level := emits.Add(v.target(s, boxes).Log2())
	level = unit.Interval{Lo: level.Lo - 1e-9, Hi: level.Hi + 1e-9} // sums of a few logarithms
	out, alone := v.bare(sc), true
	for _, q := range v.w.Roles {
		alone = alone && (q == r || !sc.lit[q] && !sc.dark[q])
	}
	if alone {
		out.Depth = unit.Whole
	} else {
		var ok bool
		if out, ok, err = v.whole(sc, how, goals); err != nil || !ok {
			return err == nil, err
		}
	}
	out.Lights[r].Level = level
	return v.broken(&out, goals), nil
}

// together: each light at no more than its goals need, and wherever it can stand, some goal
// fails.
func (v *places) together(sc scene, how sight, goals goalSet) (bool, error) {
	out, ok, err := v.whole(sc, how, goals)
	if err != nil || !ok {
		return err == nil, err
	}
	v.setLevels(&out, sc, goals)
	return v.broken(&out, goals), nil
}

// setLevels gives each lit role of a whole scene no more and no less than its goals need.
func (v *places) setLevels(out *constraints.Scene, sc scene, goals goalSet) {
	known := v.bare(sc)
	for _, r := range v.w.Roles {
		if sc.lit[r] {
			out.Lights[r].Level = known.Window(r, v.failing(&known, goals))
		}
	}
	if sc.lit[inventory.Fill] { // a ratio ties its level to the key's
		out.Lights[inventory.Fill].Level = out.Window(inventory.Fill, v.failing(out, goals))
	}
}

// failing tells whether some goal of a set fails all over a scene as it stands.
func (v *places) failing(sc *constraints.Scene, goals goalSet) func() bool {
	return func() bool {
		rd := constraints.Measure(sc)
		return v.w.failing(&rd, goals, nil)
	}
}

// each: from every box where one light can stand, at a level that its head can give there
// and with the others anywhere, some goal fails.
func (v *places) each(sc scene, how sight, r inventory.Role, goals goalSet, emits unit.Interval) (bool, error) {
	if !sc.lit[r] {
		return false, nil
	}
	out, ok, err := v.whole(sc, how, goals)
	if err != nil || !ok {
		return err == nil, err
	}
	s, boxes, err := v.stands(sc, how, r, goals)
	if err != nil {
		return false, err
	}
	v.setLevels(&out, sc, goals)
	fails := v.failing(&out, goals)
	couples := out.Couples(fails)
	x, lay, e := &out.Lights[r], v.layout(s), v.emitter(s.gear)
	window := x.Level
	for _, b := range boxes {
		x.Reach, x.Pose, x.Size = respond(lay, how, r, e, b), b, constraints.SizeOf(e, b.D)
		level := emits.Add(x.Reach.Target.Log2())
		level = unit.Interval{Lo: level.Lo - 1e-9, Hi: level.Hi + 1e-9} // sums of a few logarithms
		for _, two := range couples {
			x.Level = window
			out.Lights[inventory.Key].Level, out.Lights[inventory.Fill].Level = two.Key, two.Fill
			if x.Level = x.Level.And(level); x.Level.IsEmpty() || v.broken(&out, goals) {
				continue
			}
			if w := out.Window(r, fails).And(x.Level); !w.IsEmpty() {
				return false, nil
			}
		}
	}
	return true, nil
}

// dull: wherever the background light can stand some goal fails.
func (v *places) dull(sc scene, how sight, goals goalSet) (bool, error) {
	const r = inventory.Background
	if !sc.lit[r] {
		return false, nil
	}
	s, boxes, err := v.stands(sc, how, r, goals)
	if err != nil {
		return false, err
	}
	out, lay, e := v.bare(sc), v.layout(s), v.emitter(s.gear)
	out.Lay(lay)
	x := &out.Lights[r]
	x.Posed = true
	for _, b := range boxes {
		x.Reach, x.Pose = lay.RespondRings(r, e, b), b
		if !v.broken(&out, goals) {
			return false, nil
		}
	}
	return true, nil
}
