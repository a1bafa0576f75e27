package solver

import (
	"container/heap"
	"fmt"
	"maps"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// hopeless is a quick look for a reason why no setting of a candidate's gear can do. Each
// reason is learned as a rule over as much gear as it covers.
func (l *lattice) hopeless(c *candidate) bool {
	found, first := false, l.looksAt()[0]
	for _, g := range c.rigs {
		if g != nil && (l.tooHeavy(g) || l.nowhere(c, g, first) || l.outOfReach(c, g, 1<<g.role, first)) {
			found = true
		}
	}
	return found || l.dullGlow(c, first) || l.together(c, first)
}

// refute looks harder, after a search has failed; its cells are cut finer as often as the
// efforts say.
func (l *lattice) refute(c *candidate, efforts int) bool {
	for effort := range efforts {
		if effort > 0 {
			if l.cramped(c) {
				return true
			}
			l.refine(c)
		}
		for _, how := range l.looksAt() {
			for _, g := range c.rigs {
				if g != nil && (l.nowhere(c, g, how) || l.outOfReach(c, g, 1<<g.role, how)) {
					return true
				}
			}
			if l.dullGlow(c, how) || l.together(c, how) {
				return true
			}
			for _, g := range c.rigs {
				if g != nil && c.rigs[inventory.Fill] != nil && l.outOfReach(c, g, ^mask(0), how) {
					return true // a fill lifts the key's side, so their levels are tied
				}
			}
		}
		// Cells that were cut once are fine enough to begin with, and not yet too many.
		if effort == 1 && l.thorough && slices.ContainsFunc(l.looksAt(), func(how sight) bool { return how.bounce && l.eachOf(c, how) }) {
			return true
		}
	}
	return false
}

// cramped: a light for which no place turned up has none, to the last corner.
func (l *lattice) cramped(c *candidate) bool {
	for _, g := range c.rigs {
		if g == nil || len(l.poses(c, g)) > 0 {
			continue
		}
		for _, how := range l.looksAt() {
			if !(how.bounce && !how.framed) && l.noPlace(c, g, how, true) {
				return true
			}
		}
	}
	return false
}

// refine cuts the cells whose bounds are weakest: those that hold down the spill on the
// backdrop, the bounce and the edges.
func (l *lattice) refine(c *candidate) {
	for _, g := range c.rigs {
		if g == nil {
			continue
		}
		for _, how := range l.looksAt()[1:] {
			l.refineRegion(l.region(l.site(c, g, c.active, how)), c.active, c.sideOf(g.role))
		}
	}
}

const refineSteps = 60

// weakest are what a refinement looks at: the cell with the least of each is cut.
var weakest = [...]func(*constraints.Response) float64{
	func(r *constraints.Response) float64 {
		if len(r.Backdrop) == 0 {
			return 0
		}
		return r.Backdrop[0].Lo + r.PaperBounce.Lo
	},
	func(r *constraints.Response) float64 { return r.Face.Lo },
	func(r *constraints.Response) float64 { return -r.Face.Hi },
	func(r *constraints.Response) float64 { return r.EdgeLeft.Lo + r.EdgeRight.Lo },
	func(r *constraints.Response) float64 { return r.Target.Lo },
	func(r *constraints.Response) float64 { return -r.Target.Hi },
}

func (l *lattice) refineRegion(re *region, goals mask, side float64) {
	var queues [len(weakest)]cellQueue
	for k, f := range weakest {
		queues[k].of = f
	}
	add := func(c *cell) {
		r := re.respond(c)
		for k := range queues {
			queues[k].add(c, r)
		}
	}
	for _, c := range re.open(goals, side) {
		add(c)
	}
	gone := map[*cell]bool{}
	for range refineSteps {
		for k := range queues {
			low := queues[k].next(gone)
			if low == nil {
				break
			}
			gone[low] = true
			halves := l.split(re, low)
			re.cells = append(re.cells, halves...)
			for _, c := range halves {
				if c.isOpen(goals, side) {
					add(c)
				}
			}
		}
	}
	re.cells = slices.DeleteFunc(re.cells, func(c *cell) bool { return gone[c] })
	clear(re.hulls)
}

// cellQueue yields cells by rising value of one part of their response.
type cellQueue struct {
	of    func(*constraints.Response) float64
	items []ranked
}

type ranked struct {
	value float64
	c     *cell
}

func (q *cellQueue) Len() int           { return len(q.items) }
func (q *cellQueue) Less(i, j int) bool { return q.items[i].value < q.items[j].value }
func (q *cellQueue) Swap(i, j int)      { q.items[i], q.items[j] = q.items[j], q.items[i] }
func (q *cellQueue) Push(x any)         { q.items = append(q.items, x.(ranked)) }
func (q *cellQueue) Pop() any {
	last := q.items[len(q.items)-1]
	q.items = q.items[:len(q.items)-1]
	return last
}

func (q *cellQueue) add(c *cell, r *constraints.Response) { heap.Push(q, ranked{q.of(r), c}) }

// next takes the least cell that is not gone; nil if there is none.
func (q *cellQueue) next(gone map[*cell]bool) *cell {
	for len(q.items) > 0 {
		if low := heap.Pop(q).(ranked).c; !gone[low] {
			return low
		}
	}
	return nil
}

// dullGlow: over every cell of the background light some goal that reads its spot fails.
func (l *lattice) dullGlow(c *candidate, how sight) bool {
	g := c.rigs[inventory.Background]
	if g == nil {
		return false
	}
	var goals mask
	for i, goal := range l.goals {
		if c.active.has(i) && goal.Req.Reads()&(constraints.AllOf(inventory.Background)|constraints.OnSpill) != 0 {
			goals |= 1 << i
		}
	}
	if goals == 0 {
		return false
	}
	goals |= c.active & l.framing
	var x *leaf
	test := func(d *candidate, m mask) bool {
		x = nil
		re := l.region(l.site(d, g, m, how))
		for _, cell := range re.open(m, 0) {
			sc, ok := l.scene(d, m, 0, how, noCells)
			if !ok {
				return false
			}
			sc.Lay(re.layout)
			b := &sc.Lights[inventory.Background]
			b.On, b.Reach, b.Posed, b.Pose = unit.Point(1), re.glow(cell), true, cell.box
			rd := constraints.Measure(&sc)
			dead := false
			for i, goal := range l.goals {
				if m.has(i) && l.refutes(goal, &rd) {
					dead = true
					if w := worst(goal, &rd); x == nil || w > x.margin {
						x = &leaf{margin: w, goal: i, reading: rd, cand: c, roles: 1 << inventory.Background, goals: m}
					}
					break
				}
			}
			if !dead {
				return false
			}
		}
		return true
	}
	if !test(c, goals) {
		return false
	}
	goals = l.shrinkMask(goals, func(m mask) bool { return test(c, m) })
	test(c, goals)
	found := x
	clause := l.setting(c, 1<<inventory.Background, how, l.sameDepth(c, func(d *candidate) bool { return test(d, goals) }))
	l.derive(c, goals, 1<<inventory.Background, how)
	for d := range l.reached(c) {
		if x = nil; test(d, goals) && x != nil && x.margin > found.margin {
			found = x
		}
	}
	x = found
	why := l.group(fmt.Sprintf("glow %x", goals), goals, func(a *argument) { a.best(goals) })
	l.learn(why, x, clause...)
	return true
}

// attr is a threshold on a property of a role's gear, as a literal made when first used.
type attr struct {
	role inventory.Role
	of   string
	at   float64
}

// atLeast is implied by every choice whose value is at or above x.
func (l *lattice) atLeast(r inventory.Role, of string, lits []sat.Lit, value func(i int) float64, x float64) sat.Lit {
	key := attr{r, of, x}
	if lit, ok := l.attrs[key]; ok {
		return lit
	}
	lit := l.p.Var()
	for i, choice := range lits {
		if value(i) >= x {
			l.p.Add(choice.Not(), lit)
		}
	}
	l.attrs[key] = lit
	return lit
}

// tooHeavy: no stand this weak carries a light this heavy.
func (l *lattice) tooHeavy(g *rig) bool {
	mass := inventory.LightMass(g.head, g.mod, g.grid)
	if inventory.Carries(g.stand, g.boom, mass) {
		return false
	}
	v, sh := l.roles[g.role], l.shelf
	massOf := func(id *inventory.Item) float64 {
		if id == nil {
			return 0
		}
		return float64(id.Mass)
	}
	heads := l.atLeast(g.role, "head mass", v.heads, func(i int) float64 { return float64(sh.Heads[i].Mass) }, float64(g.head.Mass))
	mods := l.atLeast(g.role, "modifier mass", v.mods, func(i int) float64 { return massOf(itemOf(at(sh.Modifiers, i))) }, massOf(itemOf(g.mod)))
	grids := l.atLeast(g.role, "grid mass", v.grids, func(i int) float64 { return massOf(itemOf(at(sh.Grids, i))) }, massOf(itemOf(g.grid)))
	stands := l.atLeast(g.role, "stand load", v.stands, func(i int) float64 { return -float64(sh.Stands[i].Load) }, -float64(g.stand.Load))
	why := l.group(fmt.Sprintf("load %d", g.iBoom), 0, (*argument).load)
	if why.lightest == nil || mass < inventory.LightMass(why.lightest.head, why.lightest.mod, why.lightest.grid) {
		why.lightest = g
	}
	l.rule(why, heads.Not(), mods.Not(), grids.Not(), stands.Not(), v.booms[g.iBoom].Not())
	return true
}

func itemOf[T any, P interface {
	*T
	inventory.Thing
}](p P) *inventory.Item {
	if p == nil {
		return nil
	}
	return inventory.ItemOf(p)
}

// nowhere: the light has no place that suits the room, the frame and the goals that look
// at its pose, or none that its stand reaches.
func (l *lattice) nowhere(c *candidate, g *rig, how sight) bool { return l.noPlace(c, g, how, false) }

// noPlace is nowhere; where the cells are told to be sifted they are halved until none is left.
func (l *lattice) noPlace(c *candidate, g *rig, how sight, sifted bool) bool {
	goals := c.active & (l.posed[g.role] | l.framing)
	empty := func(d *candidate, m mask) bool {
		re := l.region(l.site(d, d.rigs[g.role], m, how))
		return len(re.open(m, d.sideOf(g.role))) == 0 || sifted && l.sift(re, m, d.sideOf(g.role))
	}
	if !how.framed && g.role != inventory.Background { // perhaps without looking at the room
		free := func(d *candidate, m mask) bool {
			re := &region{cells: l.cut(l.site(d, g, m, how))}
			return len(re.open(m, d.sideOf(g.role))) == 0
		}
		if free(c, goals) {
			empty = free
		}
	}
	if empty(c, goals) {
		needed := l.shrinkMask(goals, func(m mask) bool { return empty(c, m) })
		clause := l.setting(c, 1<<g.role, how, func(d *candidate) bool { return empty(d, needed) })
		l.derive(c, needed, 1<<g.role, how)
		why := l.group(fmt.Sprintf("nowhere %s %x", g.role, needed), needed, func(a *argument) { a.best(needed) })
		if needed == 0 {
			why.tell = func(a *argument) { a.noRoom(g) }
		}
		x := l.poseLeaf(l.region(l.site(c, g, needed, how)), needed, g)
		for d := range l.reached(c) {
			if y := l.poseLeaf(l.region(l.site(d, g, needed, how)), needed, g); x == nil || y != nil && y.margin > x.margin {
				x = y
			}
		}
		l.learn(why, x, clause...)
		return true
	}
	heights := func(d *candidate, m mask) unit.Interval {
		z := unit.Empty
		for _, x := range l.region(l.site(d, g, m, how)).open(m, d.sideOf(g.role)) {
			z = z.Hull(x.height)
		}
		return z
	}
	span, hangs := constraints.HeightsOf(g.stand, g.boom), heights(c, goals)
	tooLow := hangs.Hi < span.Lo
	if !tooLow && hangs.Lo <= span.Hi {
		return false
	}
	misses := func(d *candidate, m mask) bool {
		if tooLow {
			return heights(d, m).Hi < span.Lo
		}
		return heights(d, m).Lo > span.Hi
	}
	needed := l.shrinkMask(goals, func(m mask) bool { return misses(c, m) })
	wrong := l.atLeast(g.role, "stand top", l.roles[g.role].stands, func(i int) float64 { return -float64(l.shelf.Stands[i].Height) }, -float64(g.stand.Height))
	if tooLow {
		wrong = l.atLeast(g.role, "stand bottom", l.roles[g.role].stands, func(i int) float64 { return float64(l.shelf.Stands[i].Lowest) }, float64(g.stand.Lowest))
	}
	clause := append(l.setting(c, 1<<g.role, how, func(d *candidate) bool { return misses(d, needed) }), wrong.Not(), l.roles[g.role].booms[g.iBoom].Not())
	l.derive(c, needed, 1<<g.role, how)
	for d := range l.reached(c) {
		hangs = hangs.Hull(heights(d, needed))
	}
	why := l.group(fmt.Sprintf("stand height %s %x %v", g.role, needed, tooLow), needed, func(a *argument) {
		if tooLow {
			a.step("The %s would hang %.2f m up at the most, and no stand that is left goes down to that.", partOf[g.role], hangs.Hi)
			return
		}
		a.step("The %s would have to hang %.2f m up, and no stand that is left reaches it.", partOf[g.role], hangs.Lo)
	})
	l.learn(why, nil, clause...)
	return true
}

// Limits on sifting a region: cells that are looked at, and the length in metres below which a
// cell that no goal rules out ends it.
const (
	siftCells = 6000
	siftLeast = 0.02
)

// sift halves the open cells of a region until goals rule all of them out; false where a small
// one stays, and the region then is as it was before.
func (l *lattice) sift(re *region, goals mask, side float64) bool {
	left, halved := siftCells, maps.Clone(re.halved)
	var parts []*cell // in the place of the open cells
	var ruledOut func(c *cell) bool
	ruledOut = func(c *cell) bool {
		if !c.isOpen(goals, side) {
			parts = append(parts, c)
			return true
		}
		b := c.box
		longest := max(b.D.Width(), b.Az.Width()*b.D.Hi, b.El.Width()*b.D.Hi)
		if left--; left < 0 || longest < siftLeast {
			return false
		}
		for _, half := range l.split(re, c) {
			if !ruledOut(half) {
				return false
			}
		}
		return true
	}
	for _, c := range re.cells {
		if !ruledOut(c) {
			re.halved = halved
			return false
		}
	}
	re.cells = parts
	clear(re.hulls)
	return true
}

// shrinkMask drops goals while the test still holds.
func (l *lattice) shrinkMask(m mask, holds func(mask) bool) mask {
	for i := range l.goals {
		if m.has(i) && holds(m&^(1<<i)) {
			m &^= 1 << i
		}
	}
	return m
}

// sameDepth is a test that answers only for the candidate's own backdrop distance.
func (l *lattice) sameDepth(c *candidate, holds func(*candidate) bool) func(*candidate) bool {
	return func(d *candidate) bool { return d.depth == c.depth && holds(d) }
}

// sideIs names the key's side.
func (l *lattice) sideIs(c *candidate) []sat.Lit {
	if c.side < 0 {
		return not(l.left)
	}
	return []sat.Lit{l.left}
}

// cameraIs names body, lens and frame.
func (l *lattice) cameraIs(c *candidate) []sat.Lit {
	ge, le := l.frame.Is(c.frame)
	return not(l.bodies[c.iBody], l.lenses[c.iLens], ge, le)
}

// framingsFrom names body and lens, and the framings about the candidate's for which a test
// holds with all else that the lemma was widened over.
func (l *lattice) framingsFrom(c *candidate, holds func(*candidate) bool) []sat.Lit {
	set := l.framings(c.active)
	all := func(frame int) bool {
		if set&(1<<frame) == 0 {
			return false
		}
		for d := range l.covered(c) {
			if d.frame = frame; !holds(d) {
				return false
			}
		}
		return true
	}
	first, last := c.frame, c.frame
	for first > 0 && all(first-1) {
		first--
	}
	for last < len(l.frames)-1 && all(last+1) {
		last++
	}
	l.reach.tightest, l.reach.loosest = first, last
	return not(l.bodies[c.iBody], l.lenses[c.iLens], l.frame.AtLeast(first), l.frame.AtMost(last))
}

// learn adds a lemma's rule and keeps the case that came closest. A rule that says more than
// one before it takes its place in what is told.
func (l *lattice) learn(why *lemma, x *leaf, clause ...sat.Lit) {
	l.lemmas++
	why.cases = append(slices.DeleteFunc(why.cases, func(c refuted) bool { return within(clause, c.clause) }), refuted{clause, x})
	l.noted(func() { l.rule(why, clause...) })
}

// refuted is a rule that was learned, and the case of it that came closest to holding.
type refuted struct {
	clause []sat.Lit
	best   *leaf
}

// within reports whether all literals of a clause that can hold are in another.
func within(a, b []sat.Lit) bool {
	return !slices.ContainsFunc(a, func(x sat.Lit) bool { return x != sat.False && !slices.Contains(b, x) })
}

// best is the case that came closest to holding; nil if none was kept.
func (m *lemma) best() (best *leaf) {
	for _, c := range m.cases {
		if c.best != nil && (best == nil || c.best.margin > best.margin) {
			best = c.best
		}
	}
	return best
}

// scene is what is known of a candidate as intervals: each light's region. Roles outside
// the set are unknown, roles that this brief never lights are off. A lite scene leaves
// responses out, which is cheap and still sound.
func (l *lattice) scene(c *candidate, goals, roles mask, how sight, most int) (constraints.Scene, bool) {
	sc := constraints.NewScene(l.bench)
	sc.Backdrop = c.paper
	sc.Depth = unit.Point(l.depths[c.depth])
	if how.framed {
		sc.Body, sc.Lens, sc.Frame = c.body, c.lens, unit.Point(l.frames[c.frame])
	}
	// Heads and gels stay out, so that a rule that rests on a scene need not name them.
	for r := range inventory.NumRoles {
		x, g := &sc.Lights[r], c.rigs[r]
		switch {
		case l.roles[r] == nil || g == nil && roles.has(int(r)):
			x.Off()
			continue
		case !roles.has(int(r)):
			continue
		}
		re := l.region(l.site(c, g, goals, how))
		cells := re.open(goals, c.sideOf(r))
		if len(cells) == 0 {
			return sc, false
		}
		sc.Lay(re.layout)
		x.On, x.Posed, x.Pose = unit.Point(1), true, boxOf(cells)
		if most > 0 {
			x.Reach = l.hull(re, goals, c.sideOf(r), most, how.border)
		}
		x.Size = constraints.SizeOf(re.site.emitter, x.Pose.D)
	}
	return sc, true
}

// window is the range of a light's level outside which some goal of the set fails,
// whatever the other levels are.
func (l *lattice) window(sc *constraints.Scene, r inventory.Role, goals mask) unit.Interval {
	return sc.Window(r, l.failing(sc, goals&l.leveled[r]))
}

// failing tells whether some goal of a set fails all over a scene as it stands.
func (l *lattice) failing(sc *constraints.Scene, goals mask) func() bool {
	return func() bool {
		sc.MeasureInto(&l.scratch)
		for i, g := range l.goals {
			if goals.has(i) && l.refutes(g, &l.scratch) {
				return true
			}
		}
		return false
	}
}

// windowKey is what a window depends on while no other level is known.
type windowKey struct {
	role      inventory.Role
	goals     mask
	known, on mask
	paper     inventory.ID
}

// levelWindow is window with nothing known of the other lights but whether they are on.
func (l *lattice) levelWindow(c *candidate, r inventory.Role, goals, roles mask) unit.Interval {
	key := windowKey{role: r, goals: goals & l.leveled[r], known: roles, paper: c.paper.ID}
	for q, g := range c.rigs {
		if g != nil {
			key.on |= 1 << q
		}
	}
	if got, ok := l.windows[key]; ok {
		return got
	}
	sc := constraints.NewScene(l.bench)
	sc.Backdrop = c.paper
	for q := range inventory.NumRoles {
		switch {
		case l.roles[q] == nil || c.rigs[q] == nil && roles.has(int(q)):
			sc.Lights[q].Off()
		case roles.has(int(q)):
			sc.Lights[q].On = unit.Point(1)
		}
	}
	w := l.window(&sc, r, goals)
	l.windows[key] = w
	return w
}

// gap is how far a light's level must stay from what the goals want at the candidate's
// camera setting: positive when it is too weak at full power and as near as it may stand,
// or, second, too strong turned down and far away.
func (l *lattice) gap(c *candidate, g *rig, goals, roles mask, how sight) (weak, strong float64, level, w unit.Interval) {
	return l.gapOver(c, g, goals, roles, how, allCells)
}

// gapOver looks at some of the cells of the other lights, and finds no smaller gap than there is.
func (l *lattice) gapOver(c *candidate, g *rig, goals, roles mask, how sight, most int) (weak, strong float64, level, w unit.Interval) {
	r := g.role
	target := l.targetOf(c, g, goals, how)
	if target.IsEmpty() {
		return math.Inf(-1), math.Inf(-1), unit.Whole, unit.Whole // nowhere says it better
	}
	level = l.emits(c, g).Add(target.Log2())
	level = unit.Interval{Lo: level.Lo - 1e-9, Hi: level.Hi + 1e-9}
	if roles == 1<<r {
		w = l.levelWindow(c, r, goals, roles)
	} else {
		sc, ok := l.scene(c, goals, roles, how, most)
		if !ok {
			return math.Inf(-1), math.Inf(-1), unit.Whole, unit.Whole
		}
		w = l.window(&sc, r, goals)
	}
	return w.Lo - level.Hi, level.Lo - w.Hi, level, w
}

// targetOf bounds the light at a rig's target per lumen. While the camera is not known the
// room is left out of it for lights about the sitter, so that it is the same at every
// backdrop distance; for the background light at first both are, and the goals.
func (l *lattice) targetOf(c *candidate, g *rig, goals mask, how sight) unit.Interval {
	s := l.site(c, g, goals, how)
	if !how.framed && g.role != inventory.Background {
		re := &region{site: s, layout: l.layout(s), cells: l.cut(s)}
		t := unit.Empty
		for _, x := range re.open(goals, c.sideOf(g.role)) {
			t = t.Hull(x.box.D)
		}
		if t.IsEmpty() {
			return t
		}
		return s.emitter.OnAxisBound(t)
	}
	if how == (sight{}) {
		return l.targetAnywhere(s)
	}
	re := l.region(s)
	return re.target(re.open(goals, c.sideOf(g.role)))
}

// targetAnywhere bounds the light at the target per lumen over the whole stated range. As a
// light draws back along its axis all that the target sees of its face moves inward in what
// it saw before, so the most comes from the nearest boxes and the least from the farthest;
// and it is the same on either side.
func (l *lattice) targetAnywhere(s site) unit.Interval {
	if got, ok := l.anywhere[s.emitter]; ok {
		return got
	}
	t, re, whole := unit.Empty, &region{site: s, layout: l.layout(s)}, l.ranges(s.role)
	even := whole.Az.Lo == -whole.Az.Hi
	l.eachBox(re, func(b light.PoseBox) {
		ends := b.D.Lo == whole.D.Lo || b.D.Hi == whole.D.Hi
		if ends && !(even && b.Az.Hi <= 0) {
			t = t.Hull(re.layout.TargetBound(s.role, s.emitter, b))
		}
	})
	l.anywhere[s.emitter] = t
	return t
}

// leastGap keeps refutations clear of rounding: needs are told apart to a billionth.
const leastGap = 1e-6

// outOfReach looks for such a gap, alone or beside the other lights.
func (l *lattice) outOfReach(c *candidate, g *rig, roles mask, how sight) bool {
	var weak, strong float64
	for _, most := range []int{someCells, moreCells, allCells} {
		if weak, strong, _, _ = l.gapOver(c, g, c.active, roles, how, most); max(weak, strong) < leastGap {
			return false
		}
		if roles == 1<<g.role {
			break // no other light was looked at
		}
	}
	tooWeak := weak >= leastGap
	gap := func(c *candidate, goals, roles mask) float64 {
		w, s, _, _ := l.gap(c, c.rigs[g.role], goals, roles, how)
		if tooWeak {
			return w
		}
		return s
	}
	goals := c.active
	// Nine tenths of the gap is given to the camera's setting: the rule covers all that ask
	// for nearly as much. The rest pays for whatever is left out.
	slack := 0.9 * gap(c, goals, roles)
	for _, r := range l.allowed {
		if less := roles &^ (1 << r); r != g.role && roles.has(int(r)) && gap(c, goals, less) > slack {
			roles = less
		}
	}
	goals = l.shrinkMask(goals, func(m mask) bool { return gap(c, m, roles) > slack })
	_, _, level, w := l.gap(c, g, goals, roles, how)

	holds := func(d *candidate) bool { return gap(d, goals, roles) > slack }
	if g.role == inventory.Background && how != (sight{}) {
		holds = l.sameDepth(c, holds) // other distances are dear to look at, and are met in time
	}
	clause := l.setting(c, roles, how, holds)
	l.derive(c, goals, roles, how)
	nearest := gap(c, goals, roles)
	for d := range l.reached(c) {
		if n := gap(d, goals, roles); n < nearest {
			nearest = n
			_, _, level, w = l.gap(d, g, goals, roles, how)
		}
	}
	name := "weak"
	if !tooWeak {
		name = "strong"
	}
	why := l.group(fmt.Sprintf("%s %s %x", name, g.role, goals), goals, func(a *argument) { a.best(goals) })
	x := &leaf{margin: -slack, rig: g, weak: tooWeak, level: level, window: w, cand: c, goals: goals, roles: roles}
	l.limitNeed(why, x, c, g, limits{tooWeak, !tooWeak, slack}, clause)
	return true
}

// setting is the clause part that names what a refutation rests on: the gear of the
// roles, which are on, the key's side, the distance and paper of the backdrop, and the
// camera where it was known. Each that the test does not depend on is left out.
func (l *lattice) setting(c *candidate, roles mask, how sight, holds func(*candidate) bool) (clause []sat.Lit) {
	for _, r := range l.allowed {
		if !roles.has(int(r)) {
			continue
		}
		g, v := c.rigs[r], l.roles[r]
		if g == nil {
			clause = append(clause, v.on)
			continue
		}
		clause = append(clause, not(l.gear(g)...)...)
		if g.boom == nil {
			clause = append(clause, v.booms[0].Not())
		} else {
			clause = append(clause, v.booms[0])
		}
	}
	clause = append(clause, l.reachOf(c, roles, holds)...)
	if how.framed {
		clause = append(clause, l.cameraIs(c)...)
	}
	return clause
}

// overspent reports that no more effort is to go into refutations.
func (l *lattice) overspent() bool { return l.most > 0 && l.effort > l.most }

// reachOf widens a refutation over the key's side, the backdrop's distance and the
// backdrops as far as the test holds for all of them together, and names what is left.
func (l *lattice) reachOf(c *candidate, roles mask, holds func(*candidate) bool) (clause []sat.Lit) {
	sides := []float64{c.side}
	if roles.has(int(inventory.Key)) {
		d := *c
		if d.side = -c.side; holds(&d) {
			sides = append(sides, d.side)
		} else {
			clause = append(clause, l.sideIs(c)...)
		}
	}
	all := func(paper, depth int) bool {
		if l.overspent() {
			return false
		}
		for _, side := range sides {
			d := *c
			d.side, d.depth, d.iPaper, d.paper = side, depth, paper, l.shelf.Backdrops[paper]
			if !holds(&d) {
				return false
			}
		}
		return true
	}
	first, last := c.depth, c.depth
	for first > 0 && all(c.iPaper, first-1) {
		first--
	}
	for last < len(l.depths)-1 && all(c.iPaper, last+1) {
		last++
	}
	l.reach = reach{sides: sides, first: first, last: last, tightest: c.frame, loosest: c.frame}
	clause = append(clause, l.depth.AtLeast(first).Not(), l.depth.AtMost(last).Not())
	for p := range l.papers {
		ok := p == c.iPaper
		for d := first; d <= last && !ok; d++ {
			if !all(p, d) {
				break
			}
			ok = d == last
		}
		if ok {
			l.reach.papers = append(l.reach.papers, p)
		} else {
			clause = append(clause, l.papers[p])
		}
	}
	return clause
}

// limits is how far the level of a light is held by its head and the camera's setting: on
// neither side, on one or on both.
type limits struct {
	weak, strong bool
	slack        float64 // stops by which the camera may ask for less (weak) or more (strong)
}

// limitNeed adds the rule for every head no stronger (or no weaker) and every camera setting
// that asks for as much light or more (for a weak light), or as little or less (for a strong one).
func (l *lattice) limitNeed(why *lemma, x *leaf, c *candidate, g *rig, by limits, clause []sat.Lit) {
	if !by.weak && !by.strong {
		l.learn(why, x, clause...)
		return
	}
	if by.weak {
		clause = append(clause, l.strength(g, true).Not())
	}
	if by.strong {
		clause = append(clause, l.strength(g, false).Not())
	}
	at := quiet(2*math.Log2(l.apertures[c.aperture].True) - math.Log2(l.isos[c.iso]))
	// outside adds that the setting is outside the refuted side; needs are those of flash.
	outside := func(clause []sat.Lit, at float64) []sat.Lit {
		if by.weak {
			i, _ := slices.BinarySearch(l.needs, at-by.slack)
			clause = append(clause, l.need.AtLeast(i).Not())
		}
		if by.strong {
			i, found := slices.BinarySearch(l.needs, at+by.slack)
			if !found {
				i--
			}
			clause = append(clause, l.need.AtMost(i).Not())
		}
		return clause
	}
	if !g.lamp {
		l.learn(why, x, outside(slices.Clone(clause), at)...)
		return
	}
	for k, t := range l.shutters {
		clause := slices.Clone(clause)
		if by.weak { // shutters up to t with needs from here on are no easier
			clause = append(clause, l.shutter.AtMost(k).Not())
		}
		if by.strong {
			clause = append(clause, l.shutter.AtLeast(k).Not())
		}
		l.learn(why, x, outside(clause, at-math.Log2(l.shutters[c.shutter])+math.Log2(t))...)
	}
	l.lemmas -= len(l.shutters) - 1 // one lemma, many clauses
}

// strength is implied by every head and gel that is no stronger (or no weaker) than the
// rig's, of the same kind of light.
func (l *lattice) strength(g *rig, weak bool) sat.Lit {
	v := l.roles[g.role]
	value := func(h *inventory.Head, gel *inventory.Gel) (float64, bool) {
		base, ok := l.bench.SourceOf(h, nil, nil, gel, g.lamp)
		if !ok {
			return 0, false
		}
		if weak {
			return base.Output, true
		}
		n, step := h.Powers(g.lamp)
		return base.Output - float64(n-1)*float64(step), true
	}
	x, _ := value(g.head, g.gel)
	key := attr{g.role, fmt.Sprint("strength ", weak, g.lamp), x}
	if lit, ok := l.attrs[key]; ok {
		return lit
	}
	lit := l.p.Var()
	l.attrs[key] = lit
	kind := v.flash
	if g.lamp {
		kind = v.flash.Not()
	}
	for i, h := range l.shelf.Heads {
		for j := range v.gels {
			if y, ok := value(h, at(l.shelf.Gels, j)); ok && (weak && y <= x || !weak && y >= x) {
				l.p.Add(v.heads[i].Not(), v.gels[j].Not(), kind.Not(), lit)
			}
		}
	}
	return lit
}

// broken finds the first goal of the set that the candidate breaks with the roles known:
// each light at no more than its goals need, wherever it may stand.
func (l *lattice) broken(c *candidate, goals, roles mask, how sight) (int, constraints.Reading, bool) {
	for _, most := range []int{someCells, moreCells} {
		if _, _, bad := l.brokenOver(c, goals, roles, how, most); !bad {
			return -1, constraints.Reading{}, false // then it is not over all of them either
		}
	}
	return l.brokenOver(c, goals, roles, how, allCells)
}

func (l *lattice) brokenOver(c *candidate, goals, roles mask, how sight, most int) (int, constraints.Reading, bool) {
	sc, ok := l.scene(c, goals, roles, how, most)
	if !ok {
		return -1, constraints.Reading{}, false
	}
	l.setLevels(&sc, c, goals, roles)
	rd := constraints.Measure(&sc)
	for i, g := range l.goals {
		if goals.has(i) && l.refutes(g, &rd) {
			return i, rd, true
		}
	}
	return -1, rd, false
}

// setLevels gives each light no more and no less than its goals need.
func (l *lattice) setLevels(sc *constraints.Scene, c *candidate, goals, roles mask) {
	for r := range inventory.NumRoles {
		if roles.has(int(r)) && c.rigs[r] != nil {
			sc.Lights[r].Level = l.levelWindow(c, r, goals, roles)
		}
	}
	if roles.has(int(inventory.Fill)) && c.rigs[inventory.Fill] != nil { // a ratio ties its level to the key's
		sc.Lights[inventory.Fill].Level = l.window(sc, inventory.Fill, goals)
	}
}

// together: the lights, each at no more than its goals need and wherever it may stand,
// still break a goal.
func (l *lattice) together(c *candidate, how sight) bool {
	goals, roles := c.active, ^mask(0)
	if _, _, bad := l.broken(c, goals, roles, how); !bad {
		return false
	}
	still := func(g, r mask) bool { _, _, bad := l.broken(c, g, r, how); return bad }
	for r := range inventory.NumRoles {
		if less := roles &^ (1 << r); still(goals, less) {
			roles = less
		}
	}
	goals = l.shrinkMask(goals, func(m mask) bool { return still(m, roles) })
	i, rd, _ := l.broken(c, goals, roles, how)
	clause := l.setting(c, roles, how, func(d *candidate) bool { _, _, bad := l.broken(d, goals, roles, how); return bad })
	l.derive(c, goals, roles, how)
	why := l.group(fmt.Sprintf("together %x %x", goals, roles&l.allowedMask()), goals, func(a *argument) { a.best(goals) })
	x := &leaf{margin: worst(l.goals[i], &rd), goal: i, reading: rd, cand: c, roles: roles, goals: goals}
	for d := range l.reached(c) {
		if i, rd, bad := l.broken(d, goals, roles, how); bad && worst(l.goals[i], &rd) > x.margin {
			x.margin, x.goal, x.reading, x.cand = worst(l.goals[i], &rd), i, rd, d
		}
	}
	l.learn(why, x, clause...)
	return true
}

func (l *lattice) allowedMask() (m mask) {
	for _, r := range l.allowed {
		m |= 1 << r
	}
	return m
}

// worst is the smallest upper margin of a goal's parts, in units of what is fragile.
func worst(g *constraints.Goal, r *constraints.Reading) float64 {
	m := math.Inf(1)
	for _, p := range g.Req.Judge(r, nil) {
		m = min(m, p.Margin().Hi)
	}
	return m
}
