package solver

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// defaultWork caps the candidates that a search looks at.
const defaultWork = 240

// alwaysFind is how many set-ups are ranked even when fewer are shown, for the sturdiest
// of equals comes first.
const alwaysFind = 5

// maxGoals keeps sets of goals in one word.
const maxGoals = 60

// Plan answers a brief with ranked set-ups, or with a proof that there are none, or, when
// a limit was reached, with what stayed open. An error means bad input.
func Plan(ctx context.Context, s *inventory.Studio, b *constraints.Brief, o Options) (*Answer, error) {
	_, a, err := pursue(ctx, s, b, o)
	return a, err
}

// pursue is Plan with the search behind the answer.
func pursue(ctx context.Context, s *inventory.Studio, b *constraints.Brief, o Options) (*hunt, *Answer, error) {
	if len(b.Goals) > maxGoals {
		return nil, nil, fmt.Errorf("a brief may hold at most %d goals, and this one has %d", maxGoals, len(b.Goals))
	}
	if o.Count == 0 {
		o.Count = 5
	}
	if o.Work == 0 {
		o.Work = defaultWork
	}
	l := newLattice(&constraints.Bench{Studio: s, Brief: b}, b.Goals, false)
	h := newHunt(ctx, l, o.Work, o.Progress)
	h.write = o.Proof
	l.prefer, l.near = o.Prefer, o.Near
	if l.prefer == Nearer && l.near == nil {
		return nil, nil, fmt.Errorf("what the set-ups are to be near to is missing")
	}
	o.prove = true
	show := o.Count
	o.Count = max(o.Count, alwaysFind)
	if !l.prefer.counted() {
		o.Count = max(o.Count, 2*alwaysFind) // there must be something to choose from
	}
	a := h.plan(o)
	if a.Outcome != Found {
		h.cardsBest(a, o)
	}
	a.Setups = a.Setups[:min(show, len(a.Setups))]
	if a.Outcome == Cannot && !o.verdict {
		h.collide(a, o)
	}
	a.Stats = Stats{Candidates: h.looked, Lemmas: l.lemmas, Rules: l.rules, Boxes: l.boxes}
	return h, a, nil
}

// hunt is a search in progress. It goes quickly first: a candidate for which no set-up
// turns up is set aside. What was set aside is refuted later, and only where it matters:
// all of it when nothing was found, and what would be cheaper when something was.
type hunt struct {
	ctx context.Context
	l   *lattice
	say func(string)

	left, looked int // candidates that may still be looked at, and that were
	glances      int // of those that are ruled out at a glance, how many more count for nothing

	quick sat.Lit // while assumed, candidates that were set aside stay aside
	found bool    // a set-up was found
	tried map[gearKey]bool
	open  []string   // what could be neither built nor refuted
	stuck []openCase // the first of them
	near  string     // where the first of them came nearest to holding

	proving bool // a set-up is there, and the question is whether anything is cheaper
	brisk   bool // one of many questions, none of them worth long
	write   bool // proofs are written down
	glance  bool // not even worth refuting what does not come off at once

	short   []inventory.ID    // items whose number a refutation rests on
	changed *inventory.Studio // the studio of the last change that helped
}

// glancesEach is how many candidates that a glance rules out are worth the work of one.
const glancesEach = 8

func newHunt(ctx context.Context, l *lattice, work int, say func(string)) *hunt {
	l.consider = ^mask(0)
	return &hunt{ctx: ctx, l: l, left: work, glances: glancesEach * work, say: say, quick: l.p.Var(), tried: map[gearKey]bool{}}
}

// hopeless counts a candidate, and rules it out if a glance is enough.
func (h *hunt) hopeless(c *candidate) bool {
	h.left, h.looked = h.left-1, h.looked+1
	if !h.l.hopeless(c) {
		return false
	}
	if h.glances--; h.glances > 0 {
		h.left++
	}
	return true
}

func (h *hunt) tell(format string, args ...any) {
	if h.say != nil {
		h.say(fmt.Sprintf(format, args...))
	}
}

// musts are the selectors of the goals that must hold.
func (l *lattice) musts() (out []sat.Lit) {
	for i, g := range l.goals {
		if g.Wish == 0 {
			out = append(out, l.sel[i])
		}
	}
	return out
}

func (h *hunt) plan(o Options) *Answer {
	a := &Answer{}
	l := h.l
	musts := l.musts()
	assume := append(slices.Clone(musts), h.quick)
	floor := &ranks{}
	later := h.left / 2 // for what a quick look leaves
	h.left -= later
	for len(a.Setups) < o.Count {
		found, outcome := h.next(assume, floor, a.Setups)
		if outcome != sat.Yes {
			break
		}
		h.tell("set-up %d: %s", len(a.Setups)+1, found.summary(l.bench.Studio))
		a.Setups = append(a.Setups, found)
		if !math.IsInf(l.content, 1) && (found.Cost.Tight >= l.content || l.ranksOf(found.Cost) != l.ranksOf(a.Setups[0].Cost)) {
			break
		}
		l.p.Add(append(l.unlike(found), h.quick.Not())...)
	}
	h.left += later
	if len(a.Setups) == 0 && o.quick {
		a.Outcome, a.Open = Undecided, "only a quick look was taken"
		return a
	}
	if len(a.Setups) == 0 {
		found, outcome := h.settle(musts)
		switch outcome {
		case sat.Yes:
			a.Setups = append(a.Setups, found)
		case sat.No:
			a.Outcome = Cannot
			return a
		default:
			a.Outcome, a.Open, a.OpenAt = Undecided, h.whatIsOpen(), h.places()
			return a
		}
	}
	l.rank(a)
	a.Outcome = Found
	switch {
	case !l.prefer.counted():
		a.Open = "only those that turned up were compared"
	case o.prove:
		h.prove(a, musts)
		l.rank(a)
	}
	return a
}

// proveWork caps the candidates looked at to show that nothing is cheaper.
const proveWork = 15

// prove shows that nothing cheaper than the best set-up exists, or finds it.
func (h *hunt) prove(a *Answer, musts []sat.Lit) {
	l := h.l
	defer func(left int) { h.left = left }(h.left)
	h.left, h.proving = min(h.left, proveWork), true
	sums := l.sums()
	for {
		c := l.ranksOf(a.Setups[0].Cost)
		var cheaper *Checked
		for k, sum := range sums {
			if c[k] == 0 {
				continue
			}
			assume := append(slices.Clone(musts), sum.UpTo(c[k]-1))
			for j := range k {
				assume = append(assume, sums[j].UpTo(c[j]))
			}
			found, outcome := h.settle(assume)
			if outcome == sat.Unknown {
				a.Open = l.provedSoFar(k, c) + "; " + h.whatIsOpen()
				return
			}
			if cheaper = found; found != nil {
				break
			}
		}
		if cheaper == nil {
			a.Proved = true
			return
		}
		a.Setups = slices.Insert(a.Setups, 0, cheaper)
	}
}

func (h *hunt) whatIsOpen() string {
	switch {
	case h.ctx.Err() != nil:
		return "the search was stopped"
	case h.left <= 0:
		return "the search stopped after as many arrangements of gear as it may look at"
	}
	var gear []string // siblings read the same
	for _, what := range h.open {
		if !slices.Contains(gear, what) {
			gear = append(gear, what)
		}
	}
	text := "these could be neither built nor ruled out: " + strings.Join(gear[:min(3, len(gear))], "; ")
	if h.near != "" {
		text += ". " + h.near
	}
	return text
}

// leave notes what stays open, and of the first of them where it came nearest.
func (h *hunt) leave(c *candidate, nearest *trial) {
	h.open = append(h.open, h.l.describe(c))
	if len(h.stuck) < 3*manyPlaces { // siblings read the same
		h.stuck = append(h.stuck, openCase{c, nearest})
	}
	if h.near == "" && nearest != nil {
		h.near = nearest.place()
	}
}

// Limits on the search for one more set-up once there is one.
const (
	strangerTries = 3
	siblingTries  = 5
)

// next finds the cheapest set-up that is unlike those there are. After the first it does
// not look for long before it is content with a sibling: the same gear, seen at once to
// be different by lens, backdrop or side.
func (h *hunt) next(assume []sat.Lit, floor *ranks, have []*Checked) (*Checked, sat.Outcome) {
	if len(have) == 0 {
		return h.best(assume, floor)
	}
	defer func(left int) { h.left = max(0, left-strangerTries) }(h.left)
	h.left = min(h.left, strangerTries)
	if got, outcome := h.best(assume, floor); outcome == sat.Yes {
		return got, outcome
	}
	for _, k := range slices.Compact([]*Checked{have[len(have)-1], have[0]}) {
		h.left = siblingTries
		if got, outcome := h.best(append(slices.Clone(assume), h.l.sameGear(k)...), &ranks{}); outcome == sat.Yes {
			return got, outcome
		}
	}
	return nil, sat.No
}

// sameGear asks for a set-up's heads, modifiers, grids and gels.
func (l *lattice) sameGear(k *Checked) (out []sat.Lit) {
	pick := func(r inventory.Role, part string, id inventory.ID) {
		if id == "" {
			id = constraints.None
		}
		out = append(out, l.pick(constraints.Pick{Slot: constraints.RoleSlot(r, part), Item: id}))
	}
	for _, s := range k.Setup.Lights {
		r, _ := inventory.RoleByName(s.Role)
		pick(r, "head", s.Head)
		pick(r, "modifier", s.Modifier)
		pick(r, "grid", s.Grid)
		pick(r, "gel", s.Gel)
	}
	return out
}

// best finds the cheapest candidate for which a set-up turns up.
func (h *hunt) best(assume []sat.Lit, floor *ranks) (*Checked, sat.Outcome) {
	for h.left > 0 && h.ctx.Err() == nil {
		if !h.l.cheapest(assume, floor) {
			return nil, sat.No
		}
		if got := h.build(h.l.read()); got != nil {
			return got, sat.Yes
		}
	}
	return nil, sat.Unknown
}

// build looks for a set-up with a candidate's gear; where none turns up the gear is set
// aside for now.
func (h *hunt) build(c *candidate) *Checked {
	l := h.l
	if h.hopeless(c) {
		return nil
	}
	h.tried[l.gearKey(c)] = true
	got := l.find(c)
	switch {
	case got != nil:
		h.found = true
		l.remember(got.Setup)
	case h.found: // leave its siblings: they are what is sought now
		l.p.Add(append(l.aside(c), h.quick.Not())...)
	default:
		out := l.looks(c)
		if g := l.crowded(c); g != nil { // it may well have a place where the camera stands elsewhere
			out = l.crowds(c, g)
		}
		l.p.Add(append(out, h.quick.Not())...)
	}
	return got
}

// crowded is a light for which no place turned up with a candidate's lens, nil if there is none.
func (l *lattice) crowded(c *candidate) *rig {
	for _, g := range c.rigs {
		if g == nil {
			continue
		}
		if !slices.ContainsFunc(l.tryPlaces(c), func(place [2]int) bool {
			d := *c
			d.frame, d.depth = place[0], place[1]
			return len(l.poses(&d, g)) > 0
		}) {
			return g
		}
	}
	return nil
}

// crowds leaves such a light out with its lens, whatever the rest.
func (l *lattice) crowds(c *candidate, g *rig) []sat.Lit {
	v := l.roles[g.role]
	out := not(l.lenses[c.iLens], v.mods[g.iMod], v.grids[g.iGrid])
	if g.mod == nil {
		out = append(out, v.heads[g.iHead].Not())
	}
	if g.boom == nil {
		return append(out, v.booms[0].Not())
	}
	return append(out, v.booms[0])
}

// effort is how often the cells of a refutation may be cut finer.
func (h *hunt) effort() int {
	if h.brisk {
		return 2
	}
	return 3
}

// briskTries is how many more candidates are looked at once one stays open.
const briskTries = 4

// lateTries is how many hopeless candidates are passed over once no more may be looked at.
const lateTries = 20

// settle decides whether anything can satisfy the assumptions: Yes with a set-up, No when
// that is proved, Unknown when a limit was reached or something stayed open.
func (h *hunt) settle(assume []sat.Lit) (*Checked, sat.Outcome) {
	l := h.l
	stuck, late, alike := len(h.open), 0, map[mask]int{}
	aside := l.p.Var()
	assume = append(slices.Clone(assume), aside)
	for {
		if l.p.Solve(assume...) != sat.Yes {
			if len(h.open) > stuck {
				return nil, sat.Unknown
			}
			return nil, sat.No
		}
		c := l.read()
		if h.left <= 0 || h.ctx.Err() != nil {
			if late < lateTries && h.ctx.Err() == nil && l.hopeless(c) {
				late++ // what is named as open should not be easy to rule out
				continue
			}
			h.leave(c, nil)
			return nil, sat.Unknown
		}
		if h.hopeless(c) {
			continue
		}
		if key := l.gearKey(c); !h.tried[key] {
			h.tried[key] = true
			if got := l.find(c); got != nil {
				return got, sat.Yes
			}
		}
		// Once something stays open the answer cannot be No any more. Where that is all that
		// matters, the search then only looks on for a set-up, and not for long.
		l.thorough = len(h.open) == stuck && !h.brisk && !h.proving
		if !((h.proving || h.brisk) && len(h.open) > stuck) && l.refute(c, h.effort()) {
			continue
		}
		got, nearest := l.insist(c)
		if got != nil {
			return got, sat.Yes
		}
		h.leave(c, nearest)
		if h.brisk {
			h.left = min(h.left, briskTries)
		}
		out := l.aside(c)
		if alike[c.lit()]++; alike[c.lit()] == enoughAlike {
			out = l.lightsAside(c)
		}
		l.p.Add(append(out, aside.Not())...)
	}
}

// enoughAlike is how many choices of gear with the same roles lit may stay open before others
// are looked at: there is no proof any more, and what is found may well be lit otherwise.
const enoughAlike = 12

// lit is the set of roles that a candidate lights.
func (c *candidate) lit() (m mask) {
	for r, g := range c.rigs {
		if g != nil {
			m |= 1 << r
		}
	}
	return m
}

// lightsAside leaves out every choice of gear that lights the same roles.
func (l *lattice) lightsAside(c *candidate) (clause []sat.Lit) {
	for _, r := range l.allowed {
		if on := l.roles[r].on; c.rigs[r] == nil {
			clause = append(clause, on)
		} else {
			clause = append(clause, on.Not())
		}
	}
	return clause
}

// any is best without regard to cost.
func (h *hunt) any(assume []sat.Lit) (*Checked, sat.Outcome) {
	quick := append(slices.Clone(assume), h.quick)
	for h.left > 0 && h.l.p.Solve(quick...) == sat.Yes {
		if got := h.build(h.l.read()); got != nil {
			return got, sat.Yes
		}
	}
	return h.settle(assume)
}

// cheapest solves for the least cost, wishes before the others.
func (l *lattice) cheapest(assume []sat.Lit, floor *ranks) bool {
	sums := l.sums()
	return l.p.Least(assume, sums[:], floor[:])
}

// unlike asks for a set-up that differs from a found one in something that is seen at
// once: lens, backdrop, the key's modifier or side, how many lights, or a rim's modifier.
func (l *lattice) unlike(k *Checked) (clause []sat.Lit) {
	clause = append(clause, l.pick(constraints.Pick{Slot: constraints.LensSlot, Item: k.Setup.Camera.Lens}).Not(),
		l.pick(constraints.Pick{Slot: constraints.BackdropSlot, Item: k.Setup.Backdrop.Item}).Not())
	used := map[inventory.Role]bool{}
	for _, s := range k.Setup.Lights {
		r, _ := inventory.RoleByName(s.Role)
		used[r] = true
		id := s.Modifier
		if id == "" {
			id = constraints.None
		}
		if r != inventory.Background {
			clause = append(clause, l.pick(constraints.Pick{Slot: constraints.RoleSlot(r, "modifier"), Item: id}).Not())
		}
		if r == inventory.Key {
			if s.Azimuth < 0 {
				clause = append(clause, l.left.Not())
			} else {
				clause = append(clause, l.left)
			}
		}
	}
	for _, r := range l.allowed {
		if !used[r] {
			clause = append(clause, l.roles[r].on)
		}
	}
	return clause
}

// aside leaves one choice of gear out, with the goals that it was to meet.
func (l *lattice) aside(c *candidate) (clause []sat.Lit) {
	clause = not(l.bodies[c.iBody], l.lenses[c.iLens], l.papers[c.iPaper])
	clause = append(clause, l.sideIs(c)...)
	for i := range l.goals {
		if c.active.has(i) {
			clause = append(clause, l.sel[i].Not())
		}
	}
	for _, r := range l.allowed {
		g, v := c.rigs[r], l.roles[r]
		if g == nil {
			clause = append(clause, v.on)
			continue
		}
		clause = append(clause, not(v.heads[g.iHead], v.mods[g.iMod], v.grids[g.iGrid], v.gels[g.iGel])...)
	}
	return clause
}

// looks leaves out a backdrop with these heads, modifiers and grids, and the hair light on a
// boom or not, whatever the lens and the side: where one such set-up did not come off, its siblings seldom do. Only the
// quick search skips them.
func (l *lattice) looks(c *candidate) (clause []sat.Lit) {
	clause = not(l.papers[c.iPaper])
	for _, r := range l.allowed {
		g, v := c.rigs[r], l.roles[r]
		if g == nil {
			clause = append(clause, v.on)
			continue
		}
		clause = append(clause, not(v.heads[g.iHead], v.mods[g.iMod], v.grids[g.iGrid])...)
		switch { // over the frame a light needs a boom, so the one is no word about the other
		case r != inventory.Hair:
		case g.boom == nil:
			clause = append(clause, v.booms[0].Not())
		default:
			clause = append(clause, v.booms[0])
		}
	}
	return clause
}

func (l *lattice) describe(c *candidate) string {
	var parts []string
	for _, g := range c.rigs {
		if g != nil {
			parts = append(parts, fmt.Sprintf("%s %s", g.role, l.rigName(g)))
		}
	}
	return fmt.Sprintf("%s on %s with %s", c.lens.Label(), c.paper.Label(), strings.Join(parts, ", "))
}

// rigName is a light in a few words: "60 x 90 box, gridded".
func (l *lattice) rigName(g *rig) string {
	name := "bare " + g.head.Label()
	if g.mod != nil {
		name = g.mod.Label()
	}
	if g.grid != nil {
		name += " with " + g.grid.Label()
	}
	return name
}

// rank gives set-ups a shutter that catches their flash, orders them by cost, sturdier first
// among equals, and says how each differs from the best.
func (l *lattice) rank(a *Answer) {
	if l.prefer != Nearer { // that is near to a set-up with the shutter it has
		for _, k := range a.Setups {
			l.openLonger(k)
		}
	}
	slices.SortStableFunc(a.Setups, l.compare)
	for i, k := range a.Setups {
		k.Setup.Name = fmt.Sprintf("%s, set-up %d", l.bench.Brief.Name, i+1)
		k.show(l.bench)
		if i > 0 {
			k.Differs = l.differs(a.Setups[0], k)
		}
	}
}

// show finishes a set-up that was checked.
func (c *Checked) show(b *constraints.Bench) {
	if err := c.finish(b); err != nil {
		panic("solver: a set-up that was checked has no scene: " + err.Error())
	}
}

// differs says in what a set-up differs from the best, and what it costs or gains.
func (l *lattice) differs(best, k *Checked) string {
	var out []string
	s := l.bench.Studio
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if best.Setup.Camera.Lens != k.Setup.Camera.Lens {
		say("the %s", s.Lens(k.Setup.Camera.Lens).Label())
	}
	if best.Setup.Backdrop.Item != k.Setup.Backdrop.Item {
		say("%s", s.Backdrop(k.Setup.Backdrop.Item).Label())
	}
	was := map[string]inventory.LightSet{}
	for _, x := range best.Setup.Lights {
		was[x.Role] = x
	}
	for _, x := range k.Setup.Lights {
		w, ok := was[x.Role]
		delete(was, x.Role)
		switch {
		case !ok:
			say("a %s light", x.Role)
		case w.Light != x.Light:
			say("%s by %s", x.Role, lightWord(x.Light))
		case w.Modifier != x.Modifier && x.Modifier == "":
			say("%s from the %s", x.Role, modName(s, x))
		case w.Modifier != x.Modifier:
			say("%s in the %s", x.Role, modName(s, x))
		case w.Grid != x.Grid && x.Grid != "":
			say("%s with a grid", x.Role)
		case w.Grid != x.Grid:
			say("%s with no grid", x.Role)
		}
		if x.Role == inventory.Key.String() && ok && (w.Azimuth < 0) != (x.Azimuth < 0) {
			say("key from camera %s", sideWord(x.Azimuth))
		}
	}
	for _, r := range []inventory.Role{inventory.Fill, inventory.Hair, inventory.RimLeft, inventory.RimRight, inventory.Background} {
		if _, gone := was[r.String()]; gone {
			say("no %s", r)
		}
	}
	text := strings.Join(out, ", ")
	var give []string
	if d := k.Cost.Missed - best.Cost.Missed; d > 0 {
		give = append(give, "meets fewer wishes")
	}
	if d := k.Cost.Minutes - best.Cost.Minutes; d > 0 {
		give = append(give, fmt.Sprintf("takes %d min longer", d))
	}
	if best.Cost.Tight-k.Cost.Tight > 0.3 {
		give = append(give, "has less room for error")
	} else if k.Cost.Tight-best.Cost.Tight > 0.3 {
		give = append(give, "has more room for error")
	}
	if len(give) > 0 {
		text += "; " + strings.Join(give, ", ")
	}
	return text
}

func lightWord(kind string) string {
	if kind == "lamp" {
		return "continuous light"
	}
	return "flash"
}

func sideWord(a unit.Angle) string {
	if a < 0 {
		return "left"
	}
	return "right"
}

func modName(s *inventory.Studio, x inventory.LightSet) string {
	if m := s.Modifier(x.Modifier); m != nil {
		return m.Label()
	}
	return "bare " + s.Head(x.Head).Label()
}

// summary is a set-up in a line: "85 mm, f/2, 1/100 s, ISO 100; key 60 x 90 box; 4 lights, 31 min".
func (c *Checked) summary(s *inventory.Studio) string {
	set := c.Setup
	key := ""
	for _, x := range set.Lights {
		if x.Role == inventory.Key.String() {
			key = modName(s, x)
		}
	}
	n := "1 light"
	if len(set.Lights) != 1 {
		n = fmt.Sprintf("%d lights", len(set.Lights))
	}
	return fmt.Sprintf("%s, %s, %s, ISO %d; key %s; %s, %d min", s.Lens(set.Camera.Lens).Label(), set.Camera.Aperture, set.Camera.Shutter,
		int(math.Round(float64(set.Camera.ISO))), key, n, c.Cost.Minutes)
}
