package solver

import (
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// lattice is one brief on one studio as a yes-or-no problem: gear by choice, camera
// settings and distances by order. It grows by lemmas.
type lattice struct {
	bench *constraints.Bench
	shelf *inventory.Shelf
	goals []*constraints.Goal
	p     *sat.Problem
	sel   []sat.Lit // one selector a goal

	bodies, lenses, papers []sat.Lit
	bodyKinds              []kindOf[*inventory.Camera]
	lensKinds              []kindOf[*inventory.Lens]
	apertures              []constraints.Stop // by true f-number, rising
	shutters               []float64
	shutterMarks           []unit.Shutter
	isos                   []float64
	isoMarks               []unit.ISO
	frames, depths         []float64
	aperture, shutter, iso *sat.Order
	frame, depth           *sat.Order
	need                   *sat.Order // log2(N^2/S) in steps of needs
	needs                  []float64
	roles                  [inventory.NumRoles]*roleVars
	space                  constraints.Space
	allowed                []inventory.Role // roles that may be lit, in order: those of the space
	left                   sat.Lit          // the key stands to camera left

	lights, minutes *sat.Order
	missed          *sat.Order
	prefer          Preference
	near            *inventory.Setup // of Nearer
	groups          map[string]*lemma
	log             []*lemma // in the order they were made
	keep            bool     // guard every group, so that a refutation can be told
	rules           int
	reach           reach // of the last lemma
	ledger          *ledger

	heat    [inventory.NumRoles][]*heat
	attrs   map[attr]sat.Lit
	regions map[site]*region
	cuts    map[site][]*cell
	layouts map[layoutKey]*constraints.Layout
	bounces constraints.Bounces
	places  map[poseKey][]*pose
	stands  map[poseKey][]*pose // by what is seen of a light, whatever it gives

	noneIn  map[poseKey]unit.Interval // heights of stands at which no place was found
	viewsOf map[uint64][]constraints.View
	windows map[windowKey]unit.Interval

	anywhere map[light.Emitter]unit.Interval // of background lights: see targetAnywhere

	framing             mask // goals that look at the framing alone
	thorough            bool // a refutation is worth going through places one by one
	eachLeft            int  // cells that may still be looked at so
	eachUsed            mask // goals that fail on some cell of the last look
	eachHalves, eachCut int  // cells that one look may halve, and that the last one that refuted did
	frameSets           map[mask]uint64
	sources             map[sourceKey]constraints.Source
	sturdy              map[frameKey]int
	dials               map[dialsKey]*settings

	consider      mask                             // goals that candidates are to meet when their selectors hold
	posed         [inventory.NumRoles]mask         // goals that look at where a light stands
	leveled       [inventory.NumRoles]mask         // goals that look at its level
	known         [inventory.NumRoles][][3]float64 // places of lights in found set-ups
	boxes, lemmas int
	effort, most  int // of bounding, in boxes that are judged, and after how much of it no more is refuted; 0 for no limit
	spots         map[spot]*constraints.Response
	fromSpots     int     // places that were worked out since they were last cleared
	content       float64 // with a set-up whose smallest margin is so much, in units of what is fragile: none better is sought

	parts   []constraints.Part  // scratch of refutes
	scratch constraints.Reading // scratch of what is read most
}

// roleVars are the choices of one light. Index 0 of mods, grids, gels and booms is none.
type roleVars struct {
	role          inventory.Role
	on, flash     sat.Lit
	heads, stands []sat.Lit
	mods, grids   []sat.Lit
	gels, booms   []sat.Lit
	lamp          sat.Lit // on, and not flash; made when first asked for
}

// lemma is a group of rules, deduced or learned, that one sentence tells.
type lemma struct {
	name  string
	goals mask // the goals it carries
	guard sat.Lit
	cases []refuted // rules that were learned
	tell  func(*argument)

	lightest *rig // of those too heavy for a stand
}

// mask is a set of goals by index.
type mask uint64

func (m mask) has(i int) bool { return m&(1<<i) != 0 }

// group finds or makes a lemma.
func (l *lattice) group(name string, goals mask, tell func(*argument)) *lemma {
	if m, ok := l.groups[name]; ok {
		return m
	}
	m := &lemma{name: name, goals: goals, tell: tell, guard: sat.True}
	if l.keep {
		m.guard = l.p.Var()
	}
	l.groups[name] = m
	l.log = append(l.log, m)
	return m
}

// rule adds a clause that stands while the lemma's goals do.
func (l *lattice) rule(m *lemma, clause ...sat.Lit) {
	l.rules++
	full := make([]sat.Lit, 0, len(clause)+4)
	full = append(full, m.guard.Not())
	for i := range l.goals {
		if m.goals.has(i) {
			full = append(full, l.sel[i].Not())
		}
	}
	l.p.Add(append(full, clause...)...)
}

// newLattice encodes the studio and the goals' rules. With keep, refutations can be told.
func newLattice(b *constraints.Bench, goals []*constraints.Goal, keep bool) *lattice {
	return newLatticeIn(b.SpaceOf(goals), b, goals, keep)
}

// newLatticeIn is newLattice where goals beside these say which set-ups are looked at.
func newLatticeIn(space constraints.Space, b *constraints.Bench, goals []*constraints.Goal, keep bool) *lattice {
	if b.Bounces == nil {
		b.Bounces = constraints.Bounces{}
	}
	if b.Flat == nil {
		b.Flat = constraints.Flat{}
	}
	if b.Places == nil {
		b.Places = constraints.Places{}
	}
	l := &lattice{bench: b, shelf: b.Studio.Shelf(), goals: goals, space: space, allowed: space.Roles, p: sat.New(4000), keep: keep, attrs: map[attr]sat.Lit{}, groups: map[string]*lemma{},
		regions: map[site]*region{}, cuts: map[site][]*cell{}, layouts: map[layoutKey]*constraints.Layout{}, bounces: b.Bounces,
		places: map[poseKey][]*pose{}, stands: map[poseKey][]*pose{}, noneIn: map[poseKey]unit.Interval{}, spots: map[spot]*constraints.Response{}, viewsOf: map[uint64][]constraints.View{}, eachLeft: eachMost, windows: map[windowKey]unit.Interval{}, anywhere: map[light.Emitter]unit.Interval{}, content: math.Inf(1), frameSets: map[mask]uint64{}, sources: map[sourceKey]constraints.Source{}, sturdy: map[frameKey]int{}, dials: map[dialsKey]*settings{}}
	for i := range goals {
		l.index(i)
		l.sel = append(l.sel, l.p.Var())
	}
	l.settings()
	l.chooseCamera()
	for _, r := range l.allowed {
		l.roles[r] = l.chooseLight(r)
	}
	l.left = l.p.Var()
	l.countItems()
	l.fitFrame()
	l.fitSync()
	for i, g := range goals {
		l.goalRules(i, g)
	}
	for i, g := range goals {
		l.cameraGoal(i, g)
	}
	l.costs()
	for i, g := range goals {
		l.lightGoal(i, g)
	}
	for i, g := range goals {
		l.minuteGoal(i, g)
	}
	return l
}

// index notes what a goal looks at.
func (l *lattice) index(i int) {
	reads := l.goals[i].Req.Reads()
	if reads == constraints.OnFrame {
		l.framing |= 1 << i
	}
	for r := range inventory.NumRoles {
		if reads&constraints.Pose(r) != 0 {
			l.posed[r] |= 1 << i
		}
		if reads&constraints.Level(r) != 0 {
			l.leveled[r] |= 1 << i
		}
	}
}

// addGoal adds a goal to a lattice that is in use, and returns its selector. It must need
// no light that the lattice does not have.
func (l *lattice) addGoal(g *constraints.Goal) sat.Lit {
	i := len(l.goals)
	l.goals = append(slices.Clone(l.goals), g)
	l.sel = append(l.sel, l.p.Var())
	l.index(i)
	blind := mask(0) // roles of which a place alone tells this goal nothing
	for _, re := range l.regions {
		if l.posed[re.site.role].has(i) && len(re.cells) > 0 && !blind.has(int(re.site.role)) && l.tellsNothing(re, g) {
			blind |= 1 << re.site.role
		}
	}
	for _, re := range l.regions {
		if blind.has(int(re.site.role)) {
			continue
		}
		for _, c := range re.cells {
			l.rejudge(re, c, i)
		}
	}
	for s, cells := range l.cuts {
		re := &region{site: s, layout: l.layout(s)}
		for _, c := range cells {
			l.rejudge(re, c, i)
		}
	}
	l.goalRules(i, g)
	l.cameraGoal(i, g)
	l.lightGoal(i, g)
	l.minuteGoal(i, g)
	return l.sel[i]
}

// tellsNothing reports a goal that knows nothing of a place alone.
func (l *lattice) tellsNothing(re *region, g *constraints.Goal) bool {
	rd := l.cellReading(re, re.cells[0])
	for _, p := range g.Req.Judge(rd, nil) {
		if p.Got != unit.Whole {
			return false
		}
	}
	return true
}

// settings lists the values that can be dialled or taped.
func (l *lattice) settings() {
	l.apertures = constraints.Stops(l.shelf.Lenses)
	l.shutterMarks = constraints.Times(l.shelf.Cameras)
	for _, t := range l.shutterMarks {
		l.shutters = append(l.shutters, t.True())
	}
	l.isoMarks = constraints.ISOs(l.shelf.Cameras)
	for _, s := range l.isoMarks {
		l.isos = append(l.isos, s.True())
	}
	l.frames, l.depths = constraints.Frames, l.bench.BackdropDistances()
	order := func(n int) *sat.Order { return l.p.Order(0, max(0, n-1)) }
	l.aperture, l.shutter, l.iso = order(len(l.apertures)), order(len(l.shutters)), order(len(l.isos))
	l.frame, l.depth = order(len(l.frames)), order(len(l.depths))
}

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func (l *lattice) vars(n int) []sat.Lit {
	out := make([]sat.Lit, n)
	for i := range out {
		out[i] = l.p.Var()
	}
	return out
}

// hard adds a fact of kit or room.
func (l *lattice) hard(clause ...sat.Lit) { l.rules++; l.p.Add(clause...) }

// chooseCamera: one body, one lens that fits it, settings that both have, one backdrop.
func (l *lattice) chooseCamera() {
	sh := l.shelf
	l.bodies, l.lenses, l.papers = l.vars(len(sh.Cameras)), l.vars(len(sh.Lenses)), l.vars(len(sh.Backdrops))
	l.p.ExactlyOne(l.bodies...)
	l.p.ExactlyOne(l.lenses...)
	l.p.ExactlyOne(l.papers...)
	for i, c := range sh.Cameras {
		fit := []sat.Lit{l.bodies[i].Not()}
		for j, lens := range sh.Lenses {
			if c.Takes(lens) {
				fit = append(fit, l.lenses[j])
			}
		}
		l.hard(fit...)
		within := func(o *sat.Order, values []float64, lo, hi float64) {
			first := slices.IndexFunc(values, func(x float64) bool { return x >= lo*0.999 })
			last := len(values) - 1
			for last >= 0 && values[last] > hi*1.001 {
				last--
			}
			l.hard(l.bodies[i].Not(), o.AtLeast(max(first, 0)))
			l.hard(l.bodies[i].Not(), o.AtMost(last))
		}
		within(l.shutter, l.shutters, c.Fastest.True(), math.Inf(1))
		within(l.iso, l.isos, c.BaseISO.True(), c.TopISO.True())
	}
	for j, lens := range sh.Lenses {
		for i, s := range l.apertures {
			if !s.On(lens) {
				ge, le := l.aperture.Is(i)
				l.hard(l.lenses[j].Not(), ge.Not(), le.Not())
			}
		}
	}
	l.cameraKinds()
	// need = log2(N^2 / S) by its distinct values.
	for _, n := range l.apertures {
		for _, s := range l.isos {
			l.needs = append(l.needs, quiet(2*math.Log2(n.True)-math.Log2(s)))
		}
	}
	slices.Sort(l.needs)
	l.needs = slices.Compact(l.needs)
	l.need = l.p.Order(0, max(0, len(l.needs)-1))
	for i, n := range l.apertures {
		for j, s := range l.isos {
			at, _ := slices.BinarySearch(l.needs, quiet(2*math.Log2(n.True)-math.Log2(s)))
			l.hard(l.aperture.AtLeast(i).Not(), l.iso.AtMost(j).Not(), l.need.AtLeast(at))
			l.hard(l.aperture.AtMost(i).Not(), l.iso.AtLeast(j).Not(), l.need.AtMost(at))
		}
	}
}

// quiet rounds away the last bits, so that equal sums of thirds of a stop are one value.
func quiet(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// chooseLight: head, modifier, grid, gel, stand and boom of one role, as they fit.
func (l *lattice) chooseLight(r inventory.Role) *roleVars {
	sh, p := l.shelf, l.p
	v := &roleVars{role: r, on: p.Var(), flash: p.Var(), heads: l.vars(len(sh.Heads)), stands: l.vars(len(sh.Stands)),
		mods: l.vars(len(sh.Modifiers) + 1), grids: l.vars(len(sh.Grids) + 1), gels: l.vars(len(sh.Gels) + 1), booms: l.vars(len(sh.Booms) + 1)}
	if r == inventory.Key {
		l.hard(v.on)
	}
	for _, choice := range [][]sat.Lit{v.heads, v.stands, v.mods, v.grids, v.gels, v.booms} {
		p.AtMost(1, choice...)
		l.hard(append([]sat.Lit{v.on.Not()}, choice...)...)
		for _, x := range choice {
			l.hard(x.Not(), v.on)
		}
	}
	l.hard(v.flash.Not(), v.on)
	for i, h := range sh.Heads {
		if h.Flash == nil {
			l.hard(v.heads[i].Not(), v.flash.Not())
		}
		if h.Lamp == nil || !h.Lamp.Main {
			l.hard(v.heads[i].Not(), v.flash)
		}
	}
	needs := func(x sat.Lit, n int, fits func(int) bool, of []sat.Lit) {
		clause := []sat.Lit{x.Not()}
		for i := range n {
			if fits(i) {
				clause = append(clause, of[i])
			}
		}
		if len(clause) < n+1 {
			l.hard(clause...)
		}
	}
	for i := range v.mods {
		m := at(sh.Modifiers, i)
		needs(v.mods[i], len(v.heads), func(h int) bool { return inventory.HeadTakes(sh.Heads[h], m) }, v.heads)
		if m != nil && m.GelAt == inventory.GelNowhere {
			l.hard(v.mods[i].Not(), v.gels[0])
		}
	}
	for i := range v.grids {
		g := at(sh.Grids, i)
		needs(v.grids[i], len(v.mods), func(m int) bool { return inventory.ModTakesGrid(at(sh.Modifiers, m), g) }, v.mods)
	}
	for i := 1; i < len(v.gels); i++ {
		needs(v.gels[i], len(v.heads), func(h int) bool { return inventory.HeadTakesGel(sh.Heads[h], nil, at(sh.Gels, i)) }, v.heads)
	}
	if !l.space.Gelled[r] { // no goal asks for its colour, so it needs no gel
		l.hard(v.on.Not(), v.gels[0])
	}
	return v
}

// at is the item of an optional choice: index 0 is none.
func at[T any](items []*T, i int) *T {
	if i == 0 {
		return nil
	}
	return items[i-1]
}

// countItems: no more of an item than there are, and no more flashes than the triggers fire.
func (l *lattice) countItems() {
	sh := l.shelf
	limit := func(item *inventory.Item, class string, i int, of func(*roleVars) []sat.Lit) {
		if item.Count >= len(l.allowed) {
			return
		}
		why := l.group("count "+string(item.ID), 0, func(a *argument) { a.owned(item, class) })
		if class == "stand" { // any stand will do for most lights, so they are counted together
			why = l.group("count stands", 0, func(a *argument) { a.stands() })
		}
		var lits []sat.Lit
		for _, r := range l.allowed {
			lits = append(lits, of(l.roles[r])[i])
		}
		l.atMost(item.Count, lits, why)
	}
	for i, h := range sh.Heads {
		limit(&h.Item, "head", i, func(v *roleVars) []sat.Lit { return v.heads })
	}
	for i, s := range sh.Stands {
		limit(&s.Item, "stand", i, func(v *roleVars) []sat.Lit { return v.stands })
	}
	for i, m := range sh.Modifiers {
		limit(&m.Item, "modifier", i+1, func(v *roleVars) []sat.Lit { return v.mods })
	}
	for i, g := range sh.Grids {
		limit(&g.Item, "grid", i+1, func(v *roleVars) []sat.Lit { return v.grids })
	}
	for i, g := range sh.Gels {
		limit(&g.Item, "gel", i+1, func(v *roleVars) []sat.Lit { return v.gels })
	}
	for i, b := range sh.Booms {
		limit(&b.Item, "boom", i+1, func(v *roleVars) []sat.Lit { return v.booms })
	}
	if fires, any := l.bench.Fires(); any && fires < len(l.allowed) {
		var lits []sat.Lit
		for _, r := range l.allowed {
			lits = append(lits, l.roles[r].flash)
		}
		l.atMost(fires, lits, l.group("count triggers", 0, func(a *argument) {
			a.step("Your triggers fire %d flash heads at most.", fires)
		}))
	}
}

// atMost forbids every set of n+1 of the choices; they are few, one a role.
func (l *lattice) atMost(n int, lits []sat.Lit, why *lemma) {
	clause := make([]sat.Lit, 0, n+1)
	var choose func(rest []sat.Lit)
	choose = func(rest []sat.Lit) {
		if len(clause) == n+1 {
			l.rule(why, clause...)
			return
		}
		for i := range len(rest) - (n - len(clause)) {
			clause = append(clause, rest[i].Not())
			choose(rest[i+1:])
			clause = clause[:len(clause)-1]
		}
	}
	choose(lits)
}

// fitFrame: lens, framing and backdrop distance must fit the room, the lens's nearest
// focus and the width of the backdrop.
func (l *lattice) fitFrame() {
	room := l.bench.Studio.Room
	length := float64(room.Depth - room.Standoff - room.Behind)
	tooShort := l.group("room length", 0, func(a *argument) { a.room() })
	for i, c := range l.shelf.Cameras {
		long := float64(c.Sensor.Long())
		for j, lens := range l.shelf.Lenses {
			if !c.Takes(lens) {
				l.hard(l.bodies[i].Not(), l.lenses[j].Not())
				continue
			}
			pair := []sat.Lit{l.bodies[i].Not(), l.lenses[j].Not()}
			for f, h := range l.frames {
				if float64(lens.Focal)*(1+h/long) < float64(lens.Nearest) {
					l.hard(append(pair, l.frame.AtLeast(f+1))...)
				}
				y, width := l.bench.Stand(c, lens, h)
				last := -1
				for d, depth := range l.depths {
					if y+depth <= length+1e-9 {
						last = d
					}
				}
				l.rule(tooShort, append(pair, l.frame.AtMost(f-1), l.depth.AtMost(last))...)
				for w, paper := range l.shelf.Backdrops {
					last := -1
					for d, depth := range l.depths {
						if width*(y+depth) <= float64(paper.Width)+1e-9 {
							last = d
						}
					}
					if last < len(l.depths)-1 {
						l.hard(append(pair, l.papers[w].Not(), l.frame.AtMost(f-1), l.depth.AtMost(last))...)
					}
				}
			}
		}
	}
}

// fitSync: with any flash the shutter is no faster than the body's sync.
func (l *lattice) fitSync() {
	why := l.group("sync", 0, func(a *argument) { a.sync() })
	for i, c := range l.shelf.Cameras {
		if c.Sync <= 0 {
			continue
		}
		first := 0
		for first < len(l.shutters) && l.shutters[first] < c.Sync.True()*0.999 {
			first++
		}
		for _, r := range l.allowed {
			l.rule(why, l.bodies[i].Not(), l.roles[r].flash.Not(), l.shutter.AtLeast(first))
		}
	}
}

// costs: wishes missed, lights, minutes.
func (l *lattice) costs() {
	var wishes, lights, minutes []sat.Term
	total := 0
	for i, g := range l.goals {
		if g.Wish > 0 {
			wishes = append(wishes, sat.Term{Lit: l.sel[i].Not(), Weight: g.Wish})
			total += g.Wish
		}
	}
	l.missed = l.p.Sum(wishes, total)
	for _, r := range l.allowed {
		lights = append(lights, sat.Term{Lit: l.roles[r].on, Weight: 1})
	}
	l.lights = l.p.Sum(lights, len(lights))
	for _, r := range l.allowed {
		minutes = append(minutes, l.minutesOf(l.roles[r])...)
	}
	l.minutes = l.p.Sum(minutes, 240)
}

// minutesOf counts whole minutes, each action rounded up: the sum is what a set-up costs,
// and the same count is made of a finished set-up.
func (l *lattice) minutesOf(v *roleVars) (terms []sat.Term) {
	s := l.bench.Studio
	terms = append(terms, sat.Term{Lit: v.on, Weight: up(s.Minutes(inventory.NewLight) + s.Minutes(inventory.MeterLight))})
	by := map[int][]sat.Lit{} // choices of equal cost share a term
	flush := func() {
		for _, w := range sortedKeys(by) {
			any := by[w][0]
			if len(by[w]) > 1 {
				any = l.p.Var()
				for _, x := range by[w] {
					l.p.Add(x.Not(), any)
				}
			}
			terms = append(terms, sat.Term{Lit: any, Weight: w})
		}
		clear(by)
	}
	put := func(w int, x sat.Lit) {
		if w > 0 {
			by[w] = append(by[w], x)
		}
	}
	for i := range v.mods {
		put(up(s.MountMinutes(at(l.shelf.Modifiers, i))), v.mods[i])
	}
	flush()
	for i := range l.shelf.Grids {
		put(up(s.Minutes(inventory.AddGrid)), v.grids[i+1])
	}
	flush()
	front, inBox := up(s.Minutes(inventory.GelAtFront)), up(s.Minutes(inventory.GelInBox))
	if len(v.gels) > 1 {
		gelled := v.gels[0].Not() // with the light on
		some := l.p.Var()
		l.p.Add(v.on.Not(), gelled.Not(), some)
		terms = append(terms, sat.Term{Lit: some, Weight: front})
		extra := l.p.Var()
		for i, m := range l.shelf.Modifiers {
			if m.GelAt == inventory.GelTube {
				l.p.Add(some.Not(), v.mods[i+1].Not(), extra)
			}
		}
		if inBox > front {
			terms = append(terms, sat.Term{Lit: extra, Weight: inBox - front})
		}
	}
	for i := range l.shelf.Booms {
		put(up(s.Minutes(inventory.RigBoom)), v.booms[i+1])
	}
	flush()
	return terms
}

func up(m unit.Minutes) int { return int(math.Ceil(float64(m) - 1e-9)) }

func sortedKeys(m map[int][]sat.Lit) []int {
	keys := make([]int, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
