package solver

import (
	"fmt"
	"math"
	"math/bits"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// Limits on going through the places of one light, cell by cell. With three lights and more
// what the others do from wherever they may stand leaves it too much room.
const (
	eachLights = 2
	eachMost   = 400_000 // cells that are looked at for one answer
	eachFresh  = 4       // more that a cell counts for when it is looked at first
	eachWindow = 8       // more where a window of the level is sought
	eachCells  = 4000    // halved for one look
	eachSpare  = 100     // halved more than twice as often as for a refutation, to see whether more is refuted as well
	eachTimes  = 4       // times what a refutation took goes into widening its rule,
	eachWiden  = 20_000  // but at least so much
	eachLeast  = 0.04    // m, below which a cell that stays open ends it
)

// emits is the level of a rig less the light at its target per lumen, log2, at the candidate's
// setting of the camera: at full power and turned down.
func (l *lattice) emits(c *candidate, g *rig) unit.Interval {
	x := unit.Point(g.source.Output).Sub(l.bench.Needed(unit.Point(l.apertures[c.aperture].True), unit.Point(l.isos[c.iso])))
	if g.lamp {
		x = x.Add(unit.Point(math.Log2(l.shutters[c.shutter])))
	}
	n, step := g.head.Powers(g.lamp)
	x.Lo -= float64(n-1) * float64(step)
	return x
}

// held is emits as far as limits hold it, and room for rounding.
func (l *lattice) held(c *candidate, g *rig, by limits) unit.Interval {
	x, e := unit.Whole, l.emits(c, g)
	if by.weak {
		x.Hi = e.Hi + by.slack + leastGap
	}
	if by.strong {
		x.Lo = e.Lo - by.slack - leastGap
	}
	return x
}

// eachOf tries each light of a candidate, with the border of the frame where it is known.
func (l *lattice) eachOf(c *candidate, how sight) bool {
	if bits.OnesCount64(uint64(c.lit())) > eachLights {
		return false
	}
	looks := []sight{how}
	if how.framed {
		looks = append(looks, sight{how.framed, how.bounce, true})
	}
	for _, how := range looks {
		for _, g := range c.rigs {
			if g != nil && l.each(c, g, how) {
				return true
			}
		}
	}
	return false
}

// firstBroken is the first goal of a set that a reading breaks; -1 if there is none.
func (l *lattice) firstBroken(goals mask, rd *constraints.Reading) int {
	for i, g := range l.goals {
		if goals.has(i) && l.refutes(g, rd) {
			return i
		}
	}
	return -1
}

// each goes through the cells of one light after another: where on every one of them some
// goal fails, at the levels that goals and head allow from there and with the other lights
// wherever they may stand, the gear is refuted. What a light does to two places is tied by
// its own place, which a look at all of its places at once loses.
func (l *lattice) each(c *candidate, g *rig, how sight) bool {
	goals, roles := c.active, ^mask(0)
	by := limits{weak: true, strong: true}
	test := func(d *candidate, m, r mask, by limits) bool {
		_, dead := l.eachDead(d, d.rigs[g.role], m, r, how, by)
		return dead
	}
	before := l.eachLeft
	l.eachUsed, l.eachHalves = 0, eachCells
	defer func() { l.eachHalves = eachCells }()
	if !test(c, goals, roles, by) {
		return false
	}
	l.eachHalves = 2*l.eachCut + eachSpare
	saved := max(0, l.eachLeft-max(eachWiden, eachTimes*(before-l.eachLeft)))
	l.eachLeft -= saved
	for _, less := range []limits{{}, {strong: true}, {weak: true}} {
		if test(c, goals, roles, less) {
			by = less
			break
		}
	}
	if by.weak || by.strong {
		for _, slack := range []float64{3, 1.7, 0.7, 0.35} {
			if more := (limits{by.weak, by.strong, slack}); test(c, goals, roles, more) {
				by = more
				break
			}
		}
	}
	for _, r := range l.allowed {
		if less := roles &^ (1 << r); r != g.role && test(c, goals, less, by) {
			roles = less
		}
	}
	about := goals & l.framing // most goals have no part in it
	for r, g := range c.rigs {
		if g != nil && roles.has(r) {
			about |= goals & (l.posed[r] | l.leveled[r])
		}
	}
	if about |= l.eachUsed; test(c, about, roles, by) {
		goals = about
	}
	goals = l.shrinkMask(goals, func(m mask) bool { return test(c, m, roles, by) })
	holds := func(d *candidate) bool { return test(d, goals, roles, by) }
	clause := l.setting(c, roles, sight{bounce: how.bounce}, holds)
	if how.framed {
		clause = append(clause, l.framingsFrom(c, holds)...)
	}
	l.eachLeft += saved
	x, _ := l.eachDead(c, g, goals, roles, how, by)
	for d := range l.reached(c) {
		if y, _ := l.eachDead(d, d.rigs[g.role], goals, roles, how, by); x == nil || y != nil && y.margin > x.margin {
			x = y
		}
	}
	l.derive(c, goals, roles, how)
	why := l.group(fmt.Sprintf("each %s %x", g.role, goals), goals, func(a *argument) { a.best(goals) })
	l.limitNeed(why, x, c, g, by, clause)
	return true
}

// eachDead tells whether some goal fails on every cell of a light, which is halved where it
// is open; and the case that comes closest to holding.
func (l *lattice) eachDead(c *candidate, g *rig, goals, roles mask, how sight, by limits) (near *leaf, dead bool) {
	sc, ok := l.scene(c, goals, roles, how, allCells)
	if !ok {
		return nil, true
	}
	l.setLevels(&sc, c, goals, roles)
	fails := l.failing(&sc, goals)
	couples := sc.Couples(fails)
	re := l.region(l.site(c, g, goals, how))
	sc.Lay(re.layout)
	x, side := &sc.Lights[g.role], c.sideOf(g.role)
	window, held := x.Level, l.held(c, g, by)
	key, fill := &sc.Lights[inventory.Key].Level, &sc.Lights[inventory.Fill].Level
	ruledOut := func(cell *cell) bool {
		if l.eachLeft--; l.eachLeft < 0 || l.overspent() {
			return false
		}
		if !cell.bounded(how.border) {
			l.eachLeft -= eachFresh
			l.effort += respondEffort
		}
		r := re.response(cell, how.border)
		x.Reach, x.Pose, x.Size = r, cell.box, constraints.SizeOf(re.site.emitter, cell.box.D)
		given := held.Add(r.Target.Log2())
		for _, two := range couples {
			*key, *fill = two.Key, two.Fill
			if g.role != inventory.Key && g.role != inventory.Fill {
				x.Level = window
			}
			if x.Level = x.Level.And(given); x.Level.IsEmpty() {
				continue
			}
			sc.MeasureInto(&l.scratch)
			i := l.firstBroken(goals, &l.scratch)
			if i < 0 { // one goal may ask for more than another allows
				l.eachLeft -= eachWindow
				w := sc.Window(g.role, fails).And(x.Level)
				if !w.IsEmpty() {
					return false
				}
				x.Level = unit.Point((w.Lo + w.Hi) / 2)
				sc.MeasureInto(&l.scratch)
				if i = l.firstBroken(goals, &l.scratch); i < 0 {
					continue
				}
			}
			l.eachUsed |= 1 << i
			if w := worst(l.goals[i], &l.scratch); near == nil || w > near.margin {
				near = &leaf{margin: w, goal: i, reading: l.scratch, cand: c, roles: roles, goals: goals, each: g, limits: by}
			}
		}
		return true
	}
	dead = l.cutUntil(re, goals, side, l.eachHalves, eachLeast, ruledOut)
	if near == nil { // the levels alone leave nothing
		near = &leaf{margin: math.Inf(-1), goal: -1, cand: c, roles: roles, goals: goals, each: g, limits: by}
	}
	return near, dead
}

// cutUntil halves the open cells of a region until all of them are ruled out; false where a
// small one stays or after too many, and the region then is as it was before.
func (l *lattice) cutUntil(re *region, goals mask, side float64, most int, least float64, ruledOut func(*cell) bool) bool {
	var parts, halved []*cell // parts are in the place of the open cells
	var ends func(c *cell) bool
	ends = func(c *cell) bool {
		if !c.isOpen(goals, side) || ruledOut(c) {
			parts = append(parts, c)
			return true
		}
		b := c.box
		if most--; most < 0 || l.eachLeft < 0 || max(b.D.Width(), b.Az.Width()*b.D.Hi, b.El.Width()*b.D.Hi) < least {
			return false
		}
		halved = append(halved, c)
		for _, half := range l.split(re, c) {
			if !ends(half) {
				return false
			}
		}
		return true
	}
	for _, c := range re.cells {
		if !ends(c) {
			for _, h := range halved {
				delete(re.halved, h.box)
			}
			return false
		}
	}
	l.eachCut = len(halved)
	re.cells = parts
	clear(re.hulls)
	return true
}
