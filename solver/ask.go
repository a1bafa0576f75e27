package solver

import (
	"context"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// nearTries is how many of the nearest alternatives are looked at before the question is
// settled in any order.
const nearTries = 8

// askTries caps the candidates that one question looks at, unless Options.Work does.
const askTries = 40

// least decides whether a set-up exists that keeps all musts and some more assumptions about
// gear, with the lowest of some sums that anything allows, the first sum before the
// second, and of that the cheapest to build. It goes upward and refutes before it looks for
// a set-up, so what it finds is the least unless something was left open on the way: then
// h.open names it.
func (h *inquiry) least(also []sat.Lit, sums ...*sat.Order) (*Checked, sat.Outcome) {
	l := h.l
	h.left, h.open = h.tries, nil
	aside := l.p.Var()
	assume := append(append(slices.Clone(h.keep), also...), aside)
	for h.left > 0 && h.ctx.Err() == nil {
		if !l.lowest(assume, sums) {
			if len(h.open) > 0 {
				return nil, sat.Unknown
			}
			return nil, sat.No
		}
		c := l.read()
		h.left--
		if l.hopeless(c) || l.refute(c, 1) {
			h.tell("ruled out: %s", l.describe(c))
			continue
		}
		if got := l.find(c); got != nil {
			return got, sat.Yes
		}
		if l.refute(c, h.efforts) {
			h.tell("ruled out: %s", l.describe(c))
			continue
		}
		h.tell("open: %s", l.describe(c))
		h.open = append(h.open, l.describe(c))
		l.p.Add(append(l.aside(c), aside.Not())...)
	}
	return nil, sat.Unknown
}

// clash names goals that cannot all hold under some assumptions about gear that nothing
// satisfies; whole where each was shown to be needed.
func (h *inquiry) clash(also []sat.Lit) (goals []*constraints.Goal, whole bool) {
	l := h.l
	order := slices.DeleteFunc(l.shrinkOrder(), func(x sat.Lit) bool { return !slices.Contains(h.keep, x) })
	core, _ := l.p.ShrinkWith(append(order, also...), nil)
	core = slices.DeleteFunc(core, func(x sat.Lit) bool { return slices.Contains(also, x) })
	rest, minimal := core, true
	for _, sel := range core { // the rules that were learned may need more goals than there must be
		less := slices.DeleteFunc(slices.Clone(rest), func(x sat.Lit) bool { return x == sel })
		_, outcome := h.can(append(less, also...), clashTries)
		minimal = minimal && outcome != sat.Unknown
		if outcome == sat.No {
			rest = less
		}
	}
	l.consider = ^mask(0)
	return l.goalsOf(l.maskOf(rest)), minimal
}

// clashTries is how many candidates are looked at to show that goals can hold without one.
const clashTries = 12

// nearest decides the same, trying first what differs least from a set-up that there is, by the sum.
func (h *inquiry) nearest(also []sat.Lit, differ *sat.Order) (*Checked, sat.Outcome) {
	if got, outcome := h.glance(also, differ); outcome != sat.Unknown {
		return got, outcome
	}
	return h.decide(append(slices.Clone(h.keep), also...))
}

// glance is nearest without any search for a refutation that is not at hand.
func (h *inquiry) glance(also []sat.Lit, differ *sat.Order) (*Checked, sat.Outcome) {
	l := h.l
	h.left, h.open = h.tries, nil
	clear(h.tried)
	aside := l.p.Var()
	assume := append(append(slices.Clone(h.keep), also...), aside)
	missed := 0
	for missed < h.near && h.ctx.Err() == nil {
		if !l.lowest(assume, []*sat.Order{differ}) {
			if missed > 0 {
				return nil, sat.Unknown
			}
			return nil, sat.No // nothing was set aside
		}
		c := l.read()
		if l.hopeless(c) {
			continue
		}
		h.tried[l.gearKey(c)] = true
		if got := h.seek(c); got != nil {
			return got, sat.Yes
		}
		missed++
		l.p.Add(append(h.alike(c), aside.Not())...)
	}
	return nil, sat.Unknown
}

// decide is settle with as much effort on each refutation as the inquiry allows.
func (h *inquiry) decide(assume []sat.Lit) (*Checked, sat.Outcome) {
	l := h.l
	aside := l.p.Var()
	assume = append(slices.Clone(assume), aside)
	for h.left > 0 && h.ctx.Err() == nil && len(h.open) <= h.patience {
		if l.overspent() {
			h.left = 0
			break
		}
		if l.p.Solve(assume...) != sat.Yes {
			if len(h.open) > 0 {
				return nil, sat.Unknown
			}
			return nil, sat.No
		}
		c := l.read()
		h.left--
		if l.hopeless(c) || l.refute(c, h.efforts) {
			continue
		}
		if key := l.gearKey(c); !h.tried[key] {
			h.tried[key] = true
			if got := h.seek(c); got != nil {
				return got, sat.Yes
			}
		}
		if h.patience > 0 {
			if got, _ := l.insist(c); got != nil {
				return got, sat.Yes
			}
		}
		h.open = append(h.open, l.describe(c))
		l.p.Add(append(l.aside(c), aside.Not())...)
	}
	return nil, sat.Unknown
}

// beginAt has set-ups looked for where the lights of one that was found stand, and only then
// elsewhere.
func (h *inquiry) beginAt(k *Checked) {
	h.seek = func(c *candidate) *Checked {
		if got := h.l.instead(k, c); got != nil {
			return got
		}
		if got := h.l.onFrom(k, c); got != nil {
			return got
		}
		return h.l.find(c)
	}
}

// onFrom climbs with a candidate's gear from where the lights of a set-up stand; nil where that
// does not lead to a set-up.
func (l *lattice) onFrom(k *Checked, c *candidate) *Checked {
	near := climber{l: l, keep: c.active}
	t := near.standing(k, c)
	if t == nil {
		return nil
	}
	t.stride()
	return t.built()
}

// insteadTries is how many settings of the camera are tried with other gear in the same places.
const insteadTries = 8

// instead puts other gear where the lights of a set-up stand, at the same levels, in its framing
// or that of the candidate; nil where that does not do.
func (l *lattice) instead(k *Checked, with *candidate) *Checked {
	if k.from == nil {
		return nil
	}
	frames := []int{k.from.frame}
	if with.frame != k.from.frame {
		frames = append(frames, with.frame)
	}
	for _, frame := range frames {
		c := *with
		c.frame, c.depth = frame, k.from.depth
		if got := l.insteadAt(k, &c); got != nil {
			return got
		}
	}
	return nil
}

func (l *lattice) insteadAt(k *Checked, c *candidate) *Checked {
	if !l.fits(c) {
		return nil
	}
	f := l.inPlace(k, c)
	if f == nil {
		return nil
	}
	for r, g := range c.rigs {
		if g != nil {
			f.window[r] = l.levelWindow(c, inventory.Role(r), c.active, ^mask(0))
		}
	}
	all := l.exposures(c, f)
	for _, e := range all[:min(insteadTries, len(all))] {
		t := l.newTrial(c, e, f)
		if t == nil {
			continue
		}
		for r := range t.poses {
			if len(t.poses[r]) > 0 {
				t.put(inventory.Role(r), t.poses[r][0], k.Reading.Lights[r].Level.Lo)
			}
		}
		if t.appraise(); t.whole() {
			if got := l.accept(c, t); got != nil {
				return got
			}
		}
	}
	return nil
}

// differences counts the picks in which a candidate differs from a set-up.
func (l *lattice) differences(k *inventory.Setup) *sat.Order {
	picked := map[sat.Lit]bool{}
	var terms []sat.Term
	for _, p := range constraints.Picks(k) {
		if lit := l.pick(p); lit != sat.False {
			picked[lit] = true
			terms = append(terms, sat.Term{Lit: lit.Not(), Weight: 1})
		}
	}
	for _, r := range l.allowed {
		if on := l.roles[r].on; !picked[on] {
			terms = append(terms, sat.Term{Lit: on, Weight: 1})
		}
	}
	return l.p.Sum(terms, len(terms))
}

// lowest solves for the least sums, one after the other, then for the least cost.
func (l *lattice) lowest(assume []sat.Lit, sums []*sat.Order) bool {
	assume = slices.Clone(assume)
	if l.p.Solve(assume...) != sat.Yes {
		return false
	}
	for _, sum := range sums {
		k := sum.Value()
		for k > sum.Low() && l.p.Solve(append(slices.Clone(assume), sum.UpTo(k-1))...) == sat.Yes {
			k = sum.Value()
		}
		assume = append(assume, sum.UpTo(k))
		l.p.Solve(assume...)
	}
	return l.cheapest(assume, &ranks{})
}

// uses lists the literals that put an item to use: one for each role that can have it, or
// one for a body, a lens or a backdrop. A trigger has none.
func (l *lattice) uses(id inventory.ID) (out []sat.Lit) {
	sh := l.shelf
	add := func(x sat.Lit) {
		if x != sat.False {
			out = append(out, x)
		}
	}
	add(find(l.bodies, sh.Cameras, 0, id))
	add(find(l.lenses, sh.Lenses, 0, id))
	add(find(l.papers, sh.Backdrops, 0, id))
	for _, r := range l.allowed {
		v := l.roles[r]
		add(find(v.heads, sh.Heads, 0, id))
		add(find(v.mods, sh.Modifiers, 1, id))
		add(find(v.grids, sh.Grids, 1, id))
		add(find(v.gels, sh.Gels, 1, id))
		add(find(v.stands, sh.Stands, 0, id))
		add(find(v.booms, sh.Booms, 1, id))
	}
	return out
}

// flashes lists the literals that a role's light is flash.
func (l *lattice) flashes() (out []sat.Lit) {
	for _, r := range l.allowed {
		out = append(out, l.roles[r].flash)
	}
	return out
}

// reaches returns a literal that holds wherever n of some literals do; True for n below 1
// and False where there are fewer.
func (l *lattice) reaches(n int, lits []sat.Lit) sat.Lit {
	if n < 1 {
		return sat.True
	}
	if n > len(lits) {
		return sat.False
	}
	is := l.p.Var()
	clause := make([]sat.Lit, 0, n+1)
	var choose func(rest []sat.Lit)
	choose = func(rest []sat.Lit) {
		if len(clause) == n {
			l.p.Add(append(clause[:n:n], is)...)
			return
		}
		for i := 0; i <= len(rest)-(n-len(clause)); i++ {
			clause = append(clause, rest[i].Not())
			choose(rest[i+1:])
			clause = clause[:len(clause)-1]
		}
	}
	choose(lits)
	return is
}

// complete adds what a set-up that is shown has beside its margins.
func (c *Checked) complete(b *constraints.Bench) {
	if err := c.finish(b); err != nil {
		panic("solver: a set-up that was checked has no scene: " + err.Error())
	}
}

// Used counts the pieces of kit of a set-up. Triggers are not counted: see flashHeads.
func Used(set *inventory.Setup) map[inventory.ID]int {
	n := map[inventory.ID]int{set.Camera.Body: 1, set.Camera.Lens: 1, set.Backdrop.Item: 1}
	for _, x := range set.Lights {
		for _, id := range []inventory.ID{x.Head, x.Modifier, x.Grid, x.Gel, x.Stand, x.Boom} {
			if id != "" {
				n[id]++
			}
		}
	}
	return n
}

// flashHeads counts the flashes that fire in a set-up.
func flashHeads(set *inventory.Setup) (n int) {
	for _, x := range set.Lights {
		if x.Light == "flash" {
			n++
		}
	}
	return n
}

// mostEffort is how often the cells of a refutation are cut, where it is worth long.
const mostEffort = 3

// inquiry is a hunt for asking several things of one brief on one studio.
type inquiry struct {
	*hunt
	keep    []sat.Lit // of the goals that must hold
	tries   int       // candidates that one question may look at
	efforts int       // of a refutation

	seek     func(*candidate) *Checked  // how a set-up is looked for
	alike    func(*candidate) []sat.Lit // leaves out what is not tried again at a glance, after gear that came to nothing
	near     int                        // of the nearest alternatives, that are looked at first
	patience int                        // candidates that may stay open before no more are looked at: the answer cannot be No then
}

func inquire(ctx context.Context, b *constraints.Bench, o Options) *inquiry {
	tries := o.Work
	if tries == 0 {
		tries = askTries
	}
	l := newLattice(b, b.Brief.Goals, false)
	return &inquiry{newHunt(ctx, l, tries, o.Progress), l.musts(), tries, mostEffort, l.find, l.aside, nearTries, tries}
}
