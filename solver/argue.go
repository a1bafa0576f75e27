package solver

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
	"falloff/solver/explain"
	"falloff/solver/internal/sat"
)

// leaf is one refuted case: the most favourable of its group is told.
type leaf struct {
	margin  float64
	goal    int
	reading constraints.Reading
	cand    *candidate
	roles   mask
	goals   mask
	rig     *rig // too weak or too strong
	alone   *rig // has no place
	each    *rig // whose places are gone through one by one, its level held by limits
	limits  limits
	weak    bool
	level   unit.Interval
	window  unit.Interval
}

// argument is a refutation being told, over a lattice that holds the colliding goals alone.
type argument struct {
	l       *lattice
	lemma   *lemma
	doc     *explain.Doc
	short   []inventory.ID // items whose number the refutation rests on
	weighed []string
}

func (a *argument) step(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	for _, b := range a.doc.Blocks {
		if b.Text == text {
			return
		}
	}
	a.doc.Add(explain.Block{Kind: explain.Step, Text: text})
}

// argue proves the colliding goals again in a fresh lattice in which every group of rules
// can be left out, keeps the groups that the proof needs, and tells them.
func (h *hunt) argue(c *Conflict, name string) explain.Doc {
	brief := *h.l.bench.Brief
	brief.Goals = c.Goals
	l := newLatticeIn(h.l.space, &constraints.Bench{Studio: h.l.bench.Studio, Brief: &brief, Flat: h.l.bench.Flat, Places: h.l.bench.Places}, c.Goals, true)
	if h.write {
		l.ledger = newLedger()
	}
	proof := newHunt(h.ctx, l, 4*defaultWork, nil)
	proved := proof.reprove()
	doc := explain.Doc{}
	doc.Add(explain.Block{Kind: explain.Headline, Text: headline(name, c)})
	for _, g := range c.Goals {
		doc.Add(explain.Block{Kind: explain.Quote, Text: g.Text, Place: g.Place})
	}
	a := &argument{l: l, doc: &doc}
	if proved {
		needed := l.neededGroups()
		slices.SortStableFunc(needed, func(x, y *lemma) int { return tellingRank(x) - tellingRank(y) })
		told := map[*lemma]string{}
		for _, m := range needed {
			a.lemma = m
			n := len(doc.Blocks)
			m.tell(a)
			told[m] = stepsSince(&doc, n)
		}
		if h.write {
			c.Proof = l.proofOf(needed, told)
		}
	}
	if c.KitAlone && !slices.ContainsFunc(doc.Blocks, func(b explain.Block) bool { return b.Kind == explain.Step }) {
		a.lacking()
	}
	doc.Add(explain.Block{Kind: explain.Conclusion, Text: conclusion(c)})
	if cases := l.lemmas; cases > 0 {
		a.weighed = append(a.weighed, fmt.Sprintf("%d arrangements of gear ruled out, over every position in the stated ranges", cases))
	}
	a.weighed = append(a.weighed, l.weigh()...)
	doc.Add(explain.Block{Kind: explain.Weighed, Text: strings.Join(a.weighed, "; ")})
	for _, id := range a.short {
		if !slices.Contains(h.short, id) {
			h.short = append(h.short, id)
		}
	}
	return doc
}

// headline says which goals collide; name is the brief's, or empty for a further conflict.
func headline(name string, c *Conflict) string {
	begin := ""
	if name != "" {
		begin = `"` + name + `": `
	}
	if c.KitAlone {
		return `"` + name + `" cannot be built: this kit in this room allows no portrait at all.`
	}
	return begin + c.CannotHold() + "."
}

// CannotHold says which kinds of goal collide, without a full stop.
func (c *Conflict) CannotHold() string {
	var names []string
	for _, g := range c.Goals {
		if n := g.Name(); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	held := "all hold"
	switch len(names) {
	case 1:
		held = "be met"
	case 2:
		held = "both hold"
	}
	return fmt.Sprintf("%s cannot %s with this kit in this room", list(names), held)
}

func conclusion(c *Conflict) string {
	switch {
	case c.KitAlone:
		return "So nothing can be photographed until the kit or the room changes."
	case len(c.Goals) == 1:
		return "So no position and no setting meets it."
	}
	return "So no position and no setting meets all of these."
}

func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// tellingRank puts causes first: what is needed and owned, then camera, gear, places,
// levels, and sums last.
func tellingRank(m *lemma) int {
	for i, prefix := range []string{"need", "count lights", "gear", "colour", "count", "sync", "room length", "camera", "minutes", "face", "load", "stand", "nowhere", "strong", "weak", "glow", "each", "together"} {
		if strings.HasPrefix(m.name, prefix) {
			return i
		}
	}
	return 99
}

// reprove runs the search without looking for set-ups; true when the rules close it.
func (h *hunt) reprove() bool {
	l := h.l
	l.thorough = true
	for h.left > 0 && h.ctx.Err() == nil {
		if l.p.Solve(l.assumptions()...) != sat.Yes {
			return true
		}
		c := l.read()
		if !h.hopeless(c) && !l.refute(c, h.effort()) {
			return false
		}
	}
	return false
}

func (l *lattice) assumptions() []sat.Lit {
	out := slices.Clone(l.sel)
	for _, m := range l.log {
		out = append(out, m.guard)
	}
	return out
}

// neededGroups drops groups of rules while the rest still refutes: the last learned and
// the most particular go first.
func (l *lattice) neededGroups() (out []*lemma) {
	core := l.p.Shrink(slices.Concat(reversed(l.log), l.sel))
	for _, m := range l.log {
		if slices.Contains(core, m.guard) {
			out = append(out, m)
		}
	}
	return out
}

func reversed(log []*lemma) (out []sat.Lit) {
	for _, m := range slices.Backward(log) {
		out = append(out, m.guard)
	}
	return out
}

// weigh counts the kit that was looked at.
func (l *lattice) weigh() []string {
	sh := l.shelf
	count := func(n int, one, more string) string {
		if n == 1 {
			return "1 " + one
		}
		return fmt.Sprintf("%d %s", n, more)
	}
	return []string{list([]string{count(len(sh.Lenses), "lens", "lenses"), count(len(sh.Heads), "head", "heads"),
		count(len(sh.Modifiers), "modifier", "modifiers"), count(len(sh.Grids), "grid", "grids"), count(len(sh.Gels), "gel", "gels")})}
}

// goalText repeats a goal as a sentence.
func (a *argument) goalText(i int) { a.step("You asked for %s.", a.l.goals[i].Text) }

func (a *argument) owned(item *inventory.Item, class string) {
	a.short = append(a.short, item.ID)
	if item.Count == 1 {
		a.step("There is one %s, and one light at a time can use it.", item.Label())
		return
	}
	a.step("There are %d of %s.", item.Count, item.Label())
}

func (a *argument) stands() {
	n := 0
	for _, s := range a.l.shelf.Stands {
		n += s.Count
		a.short = append(a.short, s.ID)
	}
	lights := map[inventory.Role]bool{inventory.Key: true}
	for _, g := range a.l.goals {
		need, _ := g.Req.Roles()
		for _, r := range need {
			lights[r] = true
		}
	}
	a.step("With the key that makes %d lights, and there are %d stands in all.", len(lights), n)
}

func (a *argument) needs(i int, roles []inventory.Role) {
	var names []string
	for _, r := range roles {
		if r != inventory.Key {
			names = append(names, lightOf[r])
		}
	}
	if len(names) > 0 {
		a.step("The %s needs %s.", a.l.goals[i].Name(), list(names))
	}
}

// lightOf and partOf are how roles are spoken of.
var (
	lightOf = [inventory.NumRoles]string{"a key", "a fill light", "a light behind the sitter on camera left",
		"a light behind the sitter on camera right", "a hair light", "a light on the backdrop"}
	partOf = [inventory.NumRoles]string{"key", "fill", "left rim", "right rim", "hair light", "background light"}
)

// camera tells why settings fail, over all that the other goals leave. A goal that only
// narrows the settings is told by its own line in the brief.
func (a *argument) camera(i int) {
	l, g := a.l, a.l.goals[i]
	reads, _ := cameraReads(g)
	r, flash := l.running(reads), l.flashOnly()
	all, best := constraints.Reading{}, constraints.Reading{}
	n, bestMargin := 0, math.Inf(-1)
	for c := range l.allCases(reads) {
		for k := range r.n {
			r.set(&c.scene, k, k)
			if c.scene.Lens != nil && reads&constraints.OnAperture != 0 && !l.apertures[k].On(c.scene.Lens) || !l.admitted(&c.scene, i) || flash && l.unsynced(&c.scene) {
				continue
			}
			rd := constraints.Measure(&c.scene)
			if !l.refutes(g, &rd) {
				if len(l.goals) > 1 {
					return
				}
				continue
			}
			if n++; n == 1 {
				all = rd
			} else {
				all = all.Hull(&rd)
			}
			if m := worst(g, &rd); m > bestMargin {
				best, bestMargin = rd, m
			}
		}
	}
	if l.refutes(g, &all) {
		best = all
	}
	a.because(i, &best)
}

// because tells why a goal fails on a reading.
func (a *argument) because(i int, rd *constraints.Reading) { a.step("%s", a.reason(i, rd)) }

// reason is a sentence about the first part of a goal that fails on a reading.
func (a *argument) reason(i int, rd *constraints.Reading) string {
	g := a.l.goals[i]
	for _, p := range g.Req.Judge(rd, nil) {
		if p.Fails() {
			return g.Req.Because(rd, p)
		}
	}
	return fmt.Sprintf("You asked for %s.", g.Text)
}

// admitted reports whether no other goal rules a camera setting out by itself.
func (l *lattice) admitted(sc *constraints.Scene, except int) bool {
	rd := constraints.Measure(sc)
	for i, g := range l.goals {
		if i != except && g.Req.Reads()&cameraAspects != 0 && l.refutes(g, &rd) {
			return false
		}
	}
	return true
}

// allCases yields all choices of what is read of the camera but for the setting that runs.
func (l *lattice) allCases(reads constraints.Aspect) func(func(cameraCase) bool) {
	return func(yield func(cameraCase) bool) {
		for c := range l.cameraCases(reads & cameraAspects) {
			for _, d := range l.settingCases(c, reads) {
				if !yield(d) {
					return
				}
			}
		}
	}
}

// faces tells why modifiers fail: the most favourable that does.
func (a *argument) faces(i int, r inventory.Role) {
	var best constraints.Reading
	name, margin := "", math.Inf(-1)
	var fit []string
	for _, m := range a.l.shelf.Modifiers {
		rd, ok := a.l.faceReading(r, m)
		if !ok {
			continue
		}
		if !a.l.refutes(a.l.goals[i], &rd) {
			fit = append(fit, "the "+m.Label())
			continue
		}
		if x := worst(a.l.goals[i], &rd); x > margin {
			best, name, margin = rd, m.Label(), x
		}
	}
	switch {
	case len(fit) > 3:
		a.step("Of your %d modifiers %d are right for the %s.", len(a.l.shelf.Modifiers), len(fit), partOf[r])
		return
	case len(fit) > 0:
		a.step("Of your modifiers only %s will do for the %s.", list(fit), partOf[r])
		return
	}
	if name == "" {
		return
	}
	a.step("The best of your modifiers as %s is the %s.", partOf[r], name)
	a.because(i, &best)
}

// colours tells which gels can give a colour.
func (a *argument) colours(i int, r inventory.Role) {
	l, g := a.l, a.l.goals[i]
	var fit []string
	var near constraints.Reading
	nearName, margin := "", math.Inf(-1)
	white := l.whites(r)[0]
	for _, h := range l.heats(r) {
		for k := range l.roles[r].gels {
			gel := at(l.shelf.Gels, k)
			rd := constraints.Unknown()
			rd.Lights[r].On = unit.Point(1)
			t := constraints.TintOf(tintOf(h.spectrum, gel), white.xyz)
			rd.Lights[r].Hue, rd.Lights[r].Chroma, rd.Lights[r].Kelvin = t.Hue, t.Chroma, t.Kelvin
			name := "no gel"
			if gel != nil {
				name = gel.Label()
			}
			if !l.refutes(g, &rd) {
				if !slices.Contains(fit, name) {
					fit = append(fit, name)
				}
			} else if x := worst(g, &rd); gel != nil && x > margin {
				near, nearName, margin = rd, name, x
			}
		}
	}
	switch {
	case len(fit) == 0 && nearName == "":
		a.step("There are no gels in the kit for the %s.", partOf[r])
	case len(fit) == 0:
		a.step("Of your gels %s comes nearest on the %s.", nearName, partOf[r])
		a.because(i, &near)
	default:
		a.step("For the colour of the %s only %s will do.", partOf[r], list(fit))
	}
}

// best tells the most favourable case of the lemma that is being told.
func (a *argument) best(goals mask) {
	x := a.lemma.best()
	if x == nil {
		a.goalTexts(goals)
		return
	}
	l := a.l
	many := ""
	if len(a.lemma.cases) > 1 {
		many = fmt.Sprintf(" (Of %d such cases this one comes nearest.)", len(a.lemma.cases))
	}
	if x.rig != nil {
		g := x.rig
		camera := a.dialledTo(x.cand, g)
		light := l.rigName(g)
		if g.mod != nil {
			light = g.head.Label() + " in the " + light
		}
		if x.weak {
			level, limit := toldApart(x.level.Hi, x.window.Lo)
			a.step("At %s the %s gives the %s at most %s stops, at full power and as near as it may stand; %s needs at least %s.%s",
				camera, light, partOf[g.role], level, list(l.names(x.goals)), limit, many)
		} else {
			level, limit := toldApart(x.level.Lo, x.window.Hi)
			a.step("At %s the %s gives the %s at least %s stops, turned right down and as far as it may stand; %s allows at most %s.%s",
				camera, light, partOf[g.role], level, list(l.names(x.goals)), limit, many)
		}
		return
	}
	if x.cand == nil {
		others := l.names(x.goals &^ (1 << x.goal))
		if x.goals == 1<<x.goal {
			a.step("The %s will not do for the %s. %s", l.rigName(x.alone), partOf[x.alone.role], a.reason(x.goal, &x.reading))
			return
		}
		a.step("Take the %s as %s where it suits %s. %s", l.rigName(x.alone), partOf[x.alone.role], list(others), a.reason(x.goal, &x.reading))
		return
	}
	var rigs []string
	for _, g := range x.cand.rigs {
		if g != nil && x.roles.has(int(g.role)) {
			rigs = append(rigs, fmt.Sprintf("the %s as %s", l.rigName(g), partOf[g.role]))
		}
	}
	if len(rigs) > 0 {
		a.step("Take %s, on %s, wherever each may stand.", list(rigs), x.cand.paper.Label())
	}
	if x.each != nil {
		a.eachPlace(x, many)
		return
	}
	a.step("%s%s", a.reason(x.goal, &x.reading), many)
}

// toldApart prints two levels that differ so finely that they read so, by thousandths at most.
func toldApart(x, y float64) (string, string) {
	d := 1
	for d < 3 && fmt.Sprintf("%+.*f", d, x) == fmt.Sprintf("%+.*f", d, y) {
		d++
	}
	return fmt.Sprintf("%+.*f", d, x), fmt.Sprintf("%+.*f", d, y)
}

// eachPlace tells of a light that was gone through place by place.
func (a *argument) eachPlace(x *leaf, many string) {
	l, what := a.l, partOf[x.each.role]
	limit := ""
	switch {
	case x.limits.weak && x.limits.strong:
		limit = fmt.Sprintf("%s goes no higher and no lower than its dial", x.each.head.Label())
	case x.limits.weak:
		limit = fmt.Sprintf("%s gives no more than full power", x.each.head.Label())
	case x.limits.strong:
		limit = fmt.Sprintf("%s cannot be turned down further", x.each.head.Label())
	}
	if limit != "" {
		a.step("At %s the %s, so that the %s must stand where it reaches its level.", a.dialledTo(x.cand, x.each), limit, what)
	}
	if x.goal < 0 {
		a.step("From no place does the %s have a level that suits %s.%s", what, list(l.names(x.goals)), many)
		return
	}
	a.step("From each place of the %s %s fails. Where it comes nearest: %s%s", what, oneOf(l.names(x.goals)), a.reason(x.goal, &x.reading), many)
}

// oneOf is "a", or "one of a, b and c".
func oneOf(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return "one of " + list(names)
}

// dialledTo is a candidate's setting as far as it tells how strong a light is.
func (a *argument) dialledTo(c *candidate, g *rig) string {
	text := fmt.Sprintf("%s, ISO %d", a.l.apertures[c.aperture].Mark, int(math.Round(float64(a.l.isoMarks[c.iso]))))
	if g.lamp {
		text += " and " + a.l.shutterMarks[c.shutter].String()
	}
	return text
}

func (a *argument) goalTexts(goals mask) {
	a.step("No place in the room suits %s.", list(a.l.names(goals)))
}

// lacking tells what a kit lacks that nobody can do without. Such a kit contradicts itself by
// its facts alone, which no lemma tells.
func (a *argument) lacking() {
	sh := a.l.shelf
	fits := slices.ContainsFunc(sh.Cameras, func(c *inventory.Camera) bool {
		return slices.ContainsFunc(sh.Lenses, c.Takes)
	})
	switch {
	case len(sh.Cameras) == 0:
		a.step("There is no camera.")
	case len(sh.Lenses) == 0:
		a.step("There is no lens.")
	case !fits && len(sh.Cameras) == 1:
		a.step("No lens fits the %s, whose mount is %q.", sh.Cameras[0].Label(), sh.Cameras[0].Mount)
	case !fits:
		a.step("No lens has the mount of any camera.")
	}
	if len(sh.Heads) == 0 {
		a.step("There is no head, and every portrait needs a key.")
	}
	if len(sh.Stands) == 0 {
		a.step("There is no stand, and every light needs one.")
	}
	if len(sh.Backdrops) == 0 {
		a.step("There is no backdrop.")
	}
}

// load tells which stands carry the lightest light of those that the lemma is about, at
// their top or at the end of its boom.
func (a *argument) load() {
	g := a.lemma.lightest
	what := a.l.rigName(g)
	if g.mod != nil {
		what += " on the " + g.head.Label()
	}
	mass := inventory.LightMass(g.head, g.mod, g.grid)
	where := ""
	if g.boom != nil {
		where = " at the end of the " + g.boom.Label()
	}
	var able []string
	for _, s := range a.l.shelf.Stands {
		if inventory.Carries(s, g.boom, mass) {
			able = append(able, s.Label())
		}
	}
	if len(able) > 0 {
		a.step("Of the stands only the %s would carry the %s (%s)%s.", list(able), what, mass, where)
		return
	}
	a.step("No stand that you have carries the %s (%s)%s.", what, mass, where)
}

// flashOnly reports whether some goal forbids the key to be a lamp.
func (l *lattice) flashOnly() bool {
	lamp := constraints.Pick{Slot: constraints.RoleSlot(inventory.Key, "light"), Item: "lamp"}
	return slices.ContainsFunc(l.goals, func(g *constraints.Goal) bool {
		for r := range g.Req.Rules(l.bench) {
			if len(r.Need) == 0 && len(r.If) == 1 && r.If[0] == lamp {
				return true
			}
		}
		return false
	})
}

// fastestSync is the shortest time at which some body syncs with flash, in seconds.
func (l *lattice) fastestSync() float64 {
	t := math.Inf(1)
	for _, c := range l.shelf.Cameras {
		t = min(t, c.Sync.True())
	}
	return t
}

// unsynced reports whether a shutter that is known is too fast for flash.
func (l *lattice) unsynced(sc *constraints.Scene) bool {
	return !math.IsInf(sc.Shutter.Lo, 0) && sc.Shutter.Hi < l.fastestSync()*0.999
}

func (a *argument) sync() {
	a.step("With flash the shutter is %s at the fastest.", constraints.Show(a.l.fastestSync(), constraints.InSeconds))
}

// room tells how long the room would have to be for the framings, lenses and distances that
// the goals leave: the shortest that would do.
func (a *argument) room() {
	l := a.l
	room := l.bench.Studio.Room
	best, text := math.Inf(1), ""
	for c := range l.cameraCases(constraints.OnLens | constraints.OnFrame | constraints.OnDepth) {
		sc := &c.scene
		if !l.admitted(sc, -1) {
			continue
		}
		y, _ := l.bench.Stand(sc.Body, sc.Lens, sc.Frame.Lo)
		if need := y + sc.Depth.Lo + float64(room.Standoff+room.Behind); need < best && need > float64(room.Depth) {
			best = need
			text = fmt.Sprintf("With the %s a frame %s high puts the lens %.1f m from the sitter; with %.1f m to the backdrop and %.1f m behind both that is %.1f m, and the room is %.1f m long.",
				sc.Lens.Label(), constraints.Show(sc.Frame.Lo, constraints.InMetres), y, sc.Depth.Lo, float64(room.Standoff+room.Behind), need, float64(room.Depth))
		}
	}
	if text != "" {
		a.step("%s", text)
	}
}

func (l *lattice) names(goals mask) (out []string) {
	for i, g := range l.goals {
		if goals.has(i) && !slices.Contains(out, g.Name()) {
			out = append(out, g.Name())
		}
	}
	if len(out) == 0 {
		out = append(out, "the picture")
	}
	return out
}

// poseLeaf is the most favourable look at a light that has no place: everywhere at once.
func (l *lattice) poseLeaf(re *region, goals mask, g *rig) *leaf {
	whole := l.ranges(g.role)
	whole.Target = l.bench.Target(g.role, re.layout.Glow)
	known, _ := l.poseReading(re, whole)
	rd := *known
	for i, goal := range l.goals {
		if goals.has(i) && l.refutes(goal, &rd) {
			return &leaf{margin: worst(goal, &rd), goal: i, reading: rd, alone: g, goals: goals}
		}
	}
	return l.besideLeaf(re, goals, g)
}

// noRoom tells why a light has no place in the room at all: it is too tall for the ceiling,
// or the room is too small about it.
func (a *argument) noRoom(g *rig) {
	l := a.l
	whole := l.ranges(g.role)
	body := constraints.BodyOf(g.head, g.mod)
	target := l.bench.Target(g.role, geom.Vec{Z: l.bench.Eye().Z})
	lowest := math.Inf(1)
	for _, el := range []float64{whole.El.Lo, whole.El.Hi} { // in between it is higher
		lowest = min(lowest, target.Z+whole.D.Lo*math.Sin(el)+constraints.HalfHeight(body.Face)*math.Cos(el))
	}
	if ceiling := float64(l.bench.Studio.Room.Height); lowest > ceiling-constraints.WallGap {
		a.step("The top of the %s as %s is %.2f m up at the least, and the ceiling is at %.2f m.", l.rigName(g), partOf[g.role], lowest, ceiling)
		return
	}
	a.step("The %s as %s fits nowhere between walls, floor and ceiling.", l.rigName(g), partOf[g.role])
}

// besideLeaf is the most favourable look at one goal of several that leave a light no place:
// everywhere that suits the others.
func (l *lattice) besideLeaf(re *region, goals mask, g *rig) *leaf {
	for i, goal := range l.goals {
		if !goals.has(i) {
			continue
		}
		cells := re.open(goals&^(1<<i), 0)
		if len(cells) == 0 {
			continue
		}
		all, _ := l.poseReading(re, cells[0].box)
		rd := *all
		for _, c := range cells[1:] {
			one, _ := l.poseReading(re, c.box)
			rd = rd.Hull(one)
		}
		if l.refutes(goal, &rd) {
			return &leaf{margin: worst(goal, &rd), goal: i, reading: rd, alone: g, goals: goals}
		}
	}
	return nil
}
