package solver

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// goalRules encodes what a goal says of gear: the lights it needs and its own rules.
func (l *lattice) goalRules(i int, g *constraints.Goal) {
	need, _ := g.Req.Roles()
	for _, r := range need {
		why := l.group(fmt.Sprintf("need %d", i), 1<<i, func(a *argument) { a.needs(i, need) })
		l.rule(why, l.roles[r].on)
	}
	for rule := range g.Req.Rules(l.bench) {
		var clause []sat.Lit
		for _, pick := range rule.If {
			clause = append(clause, l.pick(pick).Not())
		}
		for _, pick := range rule.Need {
			clause = append(clause, l.pick(pick))
		}
		l.rule(l.group(fmt.Sprintf("gear %d %s", i, rule.Why), 1<<i, func(a *argument) { a.step("%s", rule.Why) }), clause...)
	}
}

// pick is the literal of a pick; False for what cannot be picked here.
func (l *lattice) pick(p constraints.Pick) sat.Lit {
	sh := l.shelf
	switch p.Slot {
	case constraints.CameraSlot:
		return find(l.bodies, sh.Cameras, 0, p.Item)
	case constraints.LensSlot:
		return find(l.lenses, sh.Lenses, 0, p.Item)
	case constraints.BackdropSlot:
		return find(l.papers, sh.Backdrops, 0, p.Item)
	}
	for _, r := range l.allowed {
		v := l.roles[r]
		switch p.Slot {
		case constraints.RoleSlot(r, ""):
			return v.on
		case constraints.RoleSlot(r, "light"):
			if p.Item == "flash" {
				return v.flash
			}
			if v.lamp == 0 {
				v.lamp = l.p.Var()
				l.p.Add(v.on.Not(), v.flash, v.lamp)
				l.p.Add(v.lamp.Not(), v.on)
				l.p.Add(v.lamp.Not(), v.flash.Not())
			}
			return v.lamp
		case constraints.RoleSlot(r, "head"):
			return find(v.heads, sh.Heads, 0, p.Item)
		case constraints.RoleSlot(r, "modifier"):
			return find(v.mods, sh.Modifiers, 1, p.Item)
		case constraints.RoleSlot(r, "grid"):
			return find(v.grids, sh.Grids, 1, p.Item)
		case constraints.RoleSlot(r, "gel"):
			return find(v.gels, sh.Gels, 1, p.Item)
		case constraints.RoleSlot(r, "stand"):
			return find(v.stands, sh.Stands, 0, p.Item)
		case constraints.RoleSlot(r, "boom"):
			return find(v.booms, sh.Booms, 1, p.Item)
		}
	}
	return sat.False
}

func find[T inventory.Thing](lits []sat.Lit, items []T, skip int, id inventory.ID) sat.Lit {
	if id == constraints.None && skip == 1 {
		return lits[0]
	}
	for i, t := range items {
		if inventory.ItemOf(t).ID == id {
			return lits[i+skip]
		}
	}
	return sat.False
}

const cameraAspects = constraints.OnISO | constraints.OnShutter | constraints.OnAperture | constraints.OnLens |
	constraints.OnFrame | constraints.OnDepth | constraints.OnBackdrop

// lightAspects are those on which a goal says nothing until lights are known.
var lightAspects = func() constraints.Aspect {
	a := constraints.OnSpill | constraints.OnBounce
	for r := range inventory.NumRoles {
		a |= constraints.Pose(r) | constraints.Level(r)
	}
	return a
}()

// cameraGoal deduces, for a goal that reads the camera, which settings refute it
// whatever the lights do: every choice that the goal reads is tried, all else unknown.
func (l *lattice) cameraGoal(i int, g *constraints.Goal) {
	reads, ok := cameraReads(g)
	if !ok {
		return
	}
	why := l.group(fmt.Sprintf("camera %d", i), 1<<i, func(a *argument) { a.camera(i) })
	for cam := range l.cameraCases(reads) {
		for _, c := range append(l.kindCases(cam, reads), cam) {
			for _, d := range l.settingCases(c, reads) {
				l.refuteRuns(why, g, reads, d)
			}
		}
	}
}

// cameraReads is what of the camera may refute a goal whatever the lights do; false for a
// goal that needs lights to say anything.
func cameraReads(g *constraints.Goal) (constraints.Aspect, bool) {
	if own, ok := g.Req.(constraints.CameraReader); ok {
		return own.CameraReads(), true
	}
	reads := g.Req.Reads()
	return reads, reads&cameraAspects != 0 && reads&lightAspects == 0
}

// cameraCase is a choice of the things that a goal reads, with literals that name it.
type cameraCase struct {
	scene constraints.Scene
	lits  []sat.Lit // negated: the clause so far
}

// cameraCases yields all choices of body, lens, backdrop, frame and depth that are read.
func (l *lattice) cameraCases(reads constraints.Aspect) func(func(cameraCase) bool) {
	return func(yield func(cameraCase) bool) {
		base := cameraCase{scene: constraints.NewScene(l.bench)}
		for _, withBody := range l.bodyCases(base, reads) {
			for _, withPaper := range l.paperCases(withBody, reads) {
				for _, withFrame := range spread(withPaper, reads&constraints.OnFrame != 0, l.frames, l.frame, func(s *constraints.Scene, x float64) { s.Frame = unit.Point(x) }) {
					for _, c := range spread(withFrame, reads&constraints.OnDepth != 0, l.depths, l.depth, func(s *constraints.Scene, x float64) { s.Depth = unit.Point(x) }) {
						if !yield(c) {
							return
						}
					}
				}
			}
		}
	}
}

// kindCases tells flash from continuous light, which matters to the shutter.
func (l *lattice) kindCases(c cameraCase, reads constraints.Aspect) (out []cameraCase) {
	if reads&constraints.OnShutter == 0 {
		return nil
	}
	for _, r := range l.allowed {
		if reads&constraints.Gear(r) == 0 {
			continue
		}
		for flash, is := range []sat.Lit{l.roles[r].flash.Not(), l.roles[r].flash} {
			d := c.with(l.roles[r].on.Not(), is.Not())
			d.scene.Lights[r].On, d.scene.Lights[r].Flash = unit.Point(1), unit.Point(float64(flash))
			out = append(out, d)
		}
	}
	return out
}

func (c cameraCase) with(lits ...sat.Lit) cameraCase {
	c.lits = append(slices.Clone(c.lits), lits...)
	return c
}

func (l *lattice) bodyCases(c cameraCase, reads constraints.Aspect) (out []cameraCase) {
	// ISO and the hand-held rule need the body; all that needs the lens needs both.
	lens := reads&(constraints.OnLens|constraints.OnFrame|constraints.OnAperture) != 0
	if !lens && reads&(constraints.OnISO|constraints.OnShutter) == 0 {
		return []cameraCase{c}
	}
	for _, body := range l.bodyKinds {
		d := c.with(body.lit.Not())
		d.scene.Body = body.of
		if reads&constraints.OnLens == 0 {
			out = append(out, d)
			continue
		}
		for _, glass := range l.lensKinds {
			if body.of.Takes(glass.of) {
				e := d.with(glass.lit.Not())
				e.scene.Lens = glass.of
				out = append(out, e)
			}
		}
	}
	return out
}

// kindOf stands for all items that no goal about the camera can tell apart.
type kindOf[T any] struct {
	of  T
	lit sat.Lit // one of them is chosen
}

// kindsOf groups items by a key. A group of more than one gets a literal that each implies.
func kindsOf[T any, K comparable](l *lattice, items []T, lits []sat.Lit, key func(T) K) (out []kindOf[T]) {
	by := map[K]int{}
	size := map[K]int{}
	for _, it := range items {
		size[key(it)]++
	}
	for i, it := range items {
		k := key(it)
		j, ok := by[k]
		if !ok {
			j = len(out)
			by[k] = j
			lit := lits[i]
			if size[k] > 1 {
				lit = l.p.Var()
			}
			out = append(out, kindOf[T]{it, lit})
		}
		if size[k] > 1 {
			l.p.Add(lits[i].Not(), out[j].lit)
		}
	}
	return out
}

// cameraKinds groups bodies and lenses by what goals and optics read of them.
func (l *lattice) cameraKinds() {
	type bodyKey struct {
		mount      string
		sensor     unit.Size
		base       unit.ISO
		sync       unit.Shutter
		stabilised unit.Stops
	}
	type lensKey struct {
		mount             string
		focal             unit.Length
		widest, narrowest unit.FNumber
		pupil             float64
		stabilised        unit.Stops
	}
	l.bodyKinds = kindsOf(l, l.shelf.Cameras, l.bodies, func(c *inventory.Camera) bodyKey {
		return bodyKey{c.Mount, c.Sensor, c.BaseISO, c.Sync, c.Stabilised}
	})
	l.lensKinds = kindsOf(l, l.shelf.Lenses, l.lenses, func(g *inventory.Lens) lensKey {
		return lensKey{g.Mount, g.Focal, g.Widest, g.Narrowest, g.Pupil, g.Stabilised}
	})
}

func (l *lattice) paperCases(c cameraCase, reads constraints.Aspect) (out []cameraCase) {
	if reads&constraints.OnBackdrop == 0 {
		return []cameraCase{c}
	}
	for i, paper := range l.shelf.Backdrops {
		d := c.with(l.papers[i].Not())
		d.scene.Backdrop = paper
		out = append(out, d)
	}
	return out
}

func spread(c cameraCase, read bool, values []float64, o *sat.Order, set func(*constraints.Scene, float64)) (out []cameraCase) {
	if !read {
		return []cameraCase{c}
	}
	for i, x := range values {
		ge, le := o.Is(i)
		d := c.with(ge.Not(), le.Not())
		set(&d.scene, x)
		out = append(out, d)
	}
	return out
}

// runsOver is the setting of those that are read whose values refuteRuns tries; the others
// are given.
func runsOver(reads constraints.Aspect) constraints.Aspect {
	for _, a := range []constraints.Aspect{constraints.OnAperture, constraints.OnShutter, constraints.OnISO} {
		if reads&a != 0 {
			return a
		}
	}
	return 0
}

// settingCases yields a case for each choice of the settings that are read beside the one
// that runs.
func (l *lattice) settingCases(c cameraCase, reads constraints.Aspect) []cameraCase {
	beside := reads &^ runsOver(reads)
	var out []cameraCase
	for _, d := range spread(c, beside&constraints.OnShutter != 0, l.shutters, l.shutter, func(s *constraints.Scene, x float64) { s.Shutter = unit.Point(x) }) {
		out = append(out, spread(d, beside&constraints.OnISO != 0, l.isos, l.iso, func(s *constraints.Scene, x float64) { s.ISO = unit.Point(x) })...)
	}
	return out
}

// run is the setting of those that a goal reads whose values refuteRuns tries; nothing of a
// single value where it reads none.
type run struct {
	order *sat.Order
	n     int
	value func(i int) float64
	of    func(*constraints.Scene) *unit.Interval
}

func (l *lattice) running(reads constraints.Aspect) run {
	switch runsOver(reads) {
	case constraints.OnAperture:
		return run{l.aperture, len(l.apertures), func(i int) float64 { return l.apertures[i].True }, func(sc *constraints.Scene) *unit.Interval { return &sc.Aperture }}
	case constraints.OnShutter:
		return run{l.shutter, len(l.shutters), func(i int) float64 { return l.shutters[i] }, func(sc *constraints.Scene) *unit.Interval { return &sc.Shutter }}
	case constraints.OnISO:
		return run{l.iso, len(l.isos), func(i int) float64 { return l.isos[i] }, func(sc *constraints.Scene) *unit.Interval { return &sc.ISO }}
	}
	return run{n: 1}
}

// set puts a stretch of values, which go up or down, into a scene.
func (r *run) set(sc *constraints.Scene, first, last int) {
	if r.order != nil {
		*r.of(sc) = unit.Of(r.value(first), r.value(last))
	}
}

// refuteRuns tries aperture, shutter or ISO, one of which a goal usually reads, and adds
// one clause for each run of values that refute it. Where a goal fails, or holds, on a whole
// stretch of values, they need not be tried one by one.
func (l *lattice) refuteRuns(why *lemma, g *constraints.Goal, reads constraints.Aspect, c cameraCase) {
	r := l.running(reads)
	fails := make([]bool, r.n)
	first, last := 0, r.n-1
	if r.order == l.aperture && c.scene.Lens != nil {
		for first < last && !l.apertures[first].On(c.scene.Lens) {
			first++
		}
		for last > first && !l.apertures[last].On(c.scene.Lens) {
			last--
		}
	}
	var judge func(first, last int)
	judge = func(first, last int) {
		r.set(&c.scene, first, last)
		rd := l.cameraReading(&c.scene)
		l.parts = g.Req.Judge(rd, l.parts[:0])
		holds := true
		for i := range l.parts {
			m := l.parts[i].Margin()
			if m.Hi < 0 {
				for k := first; k <= last; k++ {
					fails[k] = true
				}
				return
			}
			holds = holds && m.Lo >= 0
		}
		if first < last && !holds {
			middle := (first + last) / 2
			judge(first, middle)
			judge(middle+1, last)
		}
	}
	if r.n > 0 {
		judge(first, last)
	}
	if r.order == l.aperture && c.scene.Lens != nil {
		for i, stop := range l.apertures { // what is no stop of the lens belongs to any run
			fails[i] = fails[i] || !stop.On(c.scene.Lens)
		}
	}
	for i := 0; i < r.n; i++ {
		if !fails[i] {
			continue
		}
		first := i
		for i+1 < r.n && fails[i+1] {
			i++
		}
		clause := slices.Clone(c.lits)
		if r.order != nil {
			clause = append(clause, r.order.AtLeast(first).Not(), r.order.AtMost(i).Not())
		}
		l.rule(why, clause...)
	}
}

// cameraReading is what is known while only the camera and the kind of light are. It is good
// until the next reading.
func (l *lattice) cameraReading(sc *constraints.Scene) *constraints.Reading {
	rd := &l.scratch
	sc.MeasureCamera(rd)
	for i := range sc.Lights {
		rd.Lights[i].On, rd.Lights[i].Flash = sc.Lights[i].On, sc.Lights[i].Flash
	}
	return rd
}

// refutes reports whether a goal fails on every member of a box.
func (l *lattice) refutes(g *constraints.Goal, r *constraints.Reading) bool {
	l.parts = g.Req.Judge(r, l.parts[:0])
	for i := range l.parts {
		if l.parts[i].Fails() {
			return true
		}
	}
	return false
}

// lightGoal deduces what a goal forbids of one light, whatever the rest: faces that can
// never be large or small enough, colours that are not asked for; and counts.
func (l *lattice) lightGoal(i int, g *constraints.Goal) {
	reads := g.Req.Reads()
	for _, r := range l.allowed {
		if reads&constraints.Pose(r) != 0 {
			l.faces(i, g, r)
		}
		if reads&constraints.Colour(r) != 0 {
			l.colours(i, g, r)
		}
	}
	if reads&constraints.OnCount != 0 {
		why := l.group(fmt.Sprintf("count lights %d", i), 1<<i, func(a *argument) { a.goalText(i) })
		l.bound(why, g, l.lights, 0, func(rd *constraints.Reading, k float64) { rd.Count = unit.Point(k) })
	}
}

// minuteGoal bounds the set-up time.
func (l *lattice) minuteGoal(i int, g *constraints.Goal) {
	if g.Req.Reads()&constraints.OnMinutes != 0 {
		why := l.group(fmt.Sprintf("minutes %d", i), 1<<i, func(a *argument) { a.goalText(i) })
		l.bound(why, g, l.minutes, l.bench.CameraMinutes(), func(rd *constraints.Reading, k float64) { rd.Minutes = unit.Point(k) })
	}
}

// bound forbids sums from the first value that refutes a goal when all above do too.
func (l *lattice) bound(why *lemma, g *constraints.Goal, sum *sat.Order, base int, set func(*constraints.Reading, float64)) {
	r := constraints.Unknown()
	k := sum.High()
	for ; k >= sum.Low(); k-- {
		set(&r, float64(k+base))
		if !l.refutes(g, &r) {
			break
		}
	}
	if k < sum.High() {
		l.rule(why, sum.AtLeast(k+1).Not())
	}
}

// faces rules out modifiers that fail a goal wherever they stand.
func (l *lattice) faces(i int, g *constraints.Goal, r inventory.Role) {
	v := l.roles[r]
	why := l.group(fmt.Sprintf("face %d %s", i, r), 1<<i, func(a *argument) { a.faces(i, r) })
	for m := range v.mods {
		if rd, ok := l.faceReading(r, at(l.shelf.Modifiers, m)); ok && l.refutes(g, &rd) {
			l.rule(why, v.mods[m].Not())
		}
	}
}

// faceReading is what is known of a modifier in a role, wherever it stands. A bare head
// is not one face, so nothing is said of it.
func (l *lattice) faceReading(r inventory.Role, m *inventory.Modifier) (constraints.Reading, bool) {
	if m == nil {
		return constraints.Reading{}, false
	}
	rd := constraints.Unknown()
	place := l.ranges(r)
	light := &rd.Lights[r]
	light.On = unit.Point(1)
	light.Size = constraints.SizeOf(m.Emitter(nil), place.D)
	light.Distance = place.D
	return rd, true
}

const degrees = 180 / math.Pi

// colours rules out gels by the colour of their light beside the key's. The key's own
// colour is a choice too: heads are taken together by colour temperature.
func (l *lattice) colours(i int, g *constraints.Goal, r inventory.Role) {
	v := l.roles[r]
	why := l.group(fmt.Sprintf("colour %d %s", i, r), 1<<i, func(a *argument) { a.colours(i, r) })
	whites := l.whites(r)
	fails := make([]bool, len(whites))
	for _, own := range l.heats(r) {
		for k := range v.gels {
			tint := tintOf(own.spectrum, at(l.shelf.Gels, k))
			all := true
			for w, white := range whites {
				rd := constraints.Unknown()
				rd.Lights[r].On = unit.Point(1)
				t := constraints.TintOf(tint, white.xyz)
				rd.Lights[r].Hue, rd.Lights[r].Chroma, rd.Lights[r].Kelvin = t.Hue, t.Chroma, t.Kelvin
				fails[w] = l.refutes(g, &rd)
				all = all && fails[w]
			}
			if all {
				l.rule(why, own.lit.Not(), v.gels[k].Not())
				continue
			}
			for w, f := range fails {
				if f {
					l.rule(why, own.lit.Not(), v.gels[k].Not(), whites[w].heat.Not(), whites[w].gel.Not())
				}
			}
		}
	}
}

// white is a colour that the picture may be balanced for: the key's head with its gel.
type white struct {
	heat, gel sat.Lit
	xyz       colour.XYZ
}

// whites lists what the key's colour may be. The key's own colour goals do not compare
// it with itself, so any one white serves.
func (l *lattice) whites(r inventory.Role) (out []white) {
	key := l.roles[inventory.Key]
	for _, h := range l.heats(inventory.Key) {
		for k := range key.gels {
			if k > 0 && !l.space.Gelled[inventory.Key] {
				break
			}
			out = append(out, white{h.lit, key.gels[k], tintOf(h.spectrum, at(l.shelf.Gels, k))})
			if r == inventory.Key {
				return out[:1:1]
			}
		}
	}
	return out
}

// heat is a class of lights of one spectrum.
type heat struct {
	lit      sat.Lit // the role's light is of this class
	kelvin   unit.Kelvin
	spectrum colour.Spectrum
	xyz      colour.XYZ
}

// heats lists the classes of a role's light, made once.
func (l *lattice) heats(r inventory.Role) []*heat {
	if l.heat[r] != nil {
		return l.heat[r]
	}
	v := l.roles[r]
	by := map[colour.Spectrum]*heat{}
	for i, h := range l.shelf.Heads {
		for _, lamp := range []bool{false, true} {
			if h.Kelvin(lamp) == 0 || lamp && !h.Lamp.Main {
				continue // no such light, or a modelling lamp
			}
			s := h.Spectrum(lamp)
			c := by[s]
			if c == nil {
				c = &heat{lit: l.p.Var(), kelvin: h.Kelvin(lamp), spectrum: s, xyz: s.XYZ()}
				by[s] = c
				l.heat[r] = append(l.heat[r], c)
			}
			is := v.flash
			if lamp {
				is = is.Not()
			}
			l.p.Add(v.heads[i].Not(), is.Not(), c.lit)
		}
	}
	slices.SortStableFunc(l.heat[r], func(a, b *heat) int { return cmp.Compare(a.kelvin, b.kelvin) })
	return l.heat[r]
}

func tintOf(s colour.Spectrum, gel *inventory.Gel) colour.XYZ {
	if gel == nil {
		return s.XYZ()
	}
	f := gel.Filter()
	return colour.Tint(&s, &f)
}
