package solver

import (
	"cmp"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// Limits on climbing to the end of a range.
const (
	climbRounds = 8 // moves of the camera and the backdrop
	climbSteps  = 6 // passes over all lights after each

	variantRounds = 3 // changes of a piece of gear
	mostVariants  = 3 // that are climbed with, of each
)

// Strides of a light in marks of the tape and steps of 5 degrees: wide ones first.
var strides = []float64{6, 2, 1}

// climber goes on from set-ups that were found to where a number of theirs is better.
type climber struct {
	l    *lattice
	q    *constraints.Quantity
	keep mask                               // goals
	aim  func(*constraints.Reading) float64 // from 0 to 1
}

// climb goes as far as small moves of lights, frame and backdrop lead from a set-up, and then
// on with one piece of its gear changed, as long as that gains; the set-up itself where nothing
// does. What the camera alone decides it leaves to the lattice.
func (u *climber) climb(k *Checked) *Checked {
	if k.from == nil || cameraOnly(u.q) {
		return k
	}
	clear(u.l.spots)
	u.l.fromSpots = 0
	k = u.better(k, u.standing(k, k.from))
	for range variantRounds {
		var starts []*trial
		for _, c := range u.variants(k) {
			if t := u.standing(k, c); t != nil {
				starts = append(starts, t)
			}
		}
		slices.SortStableFunc(starts, func(a, b *trial) int { return cmp.Compare(b.score, a.score) })
		before := k
		for _, t := range starts[:min(mostVariants, len(starts))] {
			k = u.better(k, t)
		}
		if k == before {
			break
		}
	}
	return k
}

// cameraOnly reports a quantity that no light minds: how far away the backdrop is they do.
func cameraOnly(q *constraints.Quantity) bool {
	return ofCamera(q) && q.Reads()&constraints.OnDepth == 0
}

// ofCamera reports a quantity of the camera and where the backdrop is.
func ofCamera(q *constraints.Quantity) bool { return q.Reads()&^cameraAspects == 0 }

// better climbs from a trial, nil for none: to a set-up that is better than one that there is,
// or else that one.
func (u *climber) better(k *Checked, best *trial) *Checked {
	if best == nil {
		return k
	}
	best.stride()
	for range climbRounds {
		before := best.score
		for _, t := range best.nextDoor() {
			if t.stride(); t.score > best.score {
				best = t
			}
		}
		if best.score <= before {
			break
		}
	}
	if u.aim(&best.rd) <= u.aim(&k.Reading) {
		return k
	}
	if got := best.built(); got != nil && u.aim(&got.Reading) > u.aim(&k.Reading) {
		u.l.remember(got.Setup)
		return got
	}
	return k
}

// variants lists the gear of a set-up with one piece changed that the quantity can depend
// on: a modifier, a grid, the backdrop or the lens.
func (u *climber) variants(k *Checked) (out []*candidate) {
	sh, reads := u.l.shelf, u.q.Reads()
	put := func(change func(c *candidate) bool) {
		if c := k.from.clone(); change(c) && u.l.pieces(c) {
			out = append(out, c)
		}
	}
	for r, g := range k.from.rigs {
		if g == nil || reads&(constraints.AllOf(inventory.Role(r))|constraints.OnSpill) == 0 {
			continue
		}
		heads := []int{g.iHead}
		if reads&constraints.AllOf(inventory.Role(r)) != 0 { // another modifier may want a stronger head
			for i := range sh.Heads {
				if i != g.iHead {
					heads = append(heads, i)
				}
			}
		}
		for i := range len(sh.Modifiers) + 1 {
			for j := range len(sh.Grids) + 1 {
				for _, h := range heads {
					put(func(c *candidate) bool { return u.l.rerig(c, c.rigs[r], h, i, j) })
				}
			}
		}
	}
	if reads&constraints.OnBackdrop != 0 {
		for i, paper := range sh.Backdrops {
			put(func(c *candidate) bool { c.iPaper, c.paper = i, paper; return i != k.from.iPaper })
		}
	}
	for i, lens := range sh.Lenses {
		put(func(c *candidate) bool { c.iLens, c.lens = i, lens; return i != k.from.iLens && c.body.Takes(lens) })
	}
	return out
}

// clone is a candidate whose rigs can be changed.
func (c *candidate) clone() *candidate {
	own := *c
	for r, g := range c.rigs {
		if g != nil {
			rig := *g
			own.rigs[r] = &rig
		}
	}
	return &own
}

// stronger lists the gear of a candidate with another head or modifier of one light, with its
// grid or without, and for the background light on other paper.
func (l *lattice) stronger(from *candidate, r inventory.Role) (out []*candidate) {
	if r == inventory.Background {
		for i, paper := range l.shelf.Backdrops {
			c := from.clone()
			c.iPaper, c.paper = i, paper
			out = append(out, c)
		}
	}
	own := from.rigs[r]
	for h := range l.shelf.Heads {
		for m := range len(l.shelf.Modifiers) + 1 {
			for _, grid := range slices.Compact([]int{own.iGrid, 0}) {
				if c := from.clone(); l.rerig(c, c.rigs[r], h, m, grid) && l.pieces(c) {
					out = append(out, c)
				}
			}
		}
	}
	return out
}

// pushRounds is how many lights get other gear on the way to one value.
const pushRounds = 3

// push climbs from a set-up to where some goals hold as well, in other framings, with another
// lens or with the backdrop elsewhere where they look at those, and with other gear for the light
// that is the first to give too little; nil where that does not lead to a set-up.
func (l *lattice) push(k *Checked, goals mask, reads constraints.Aspect) *Checked {
	if k.from == nil {
		return nil
	}
	clear(l.spots)
	l.fromSpots = 0
	u := &climber{l: l, keep: goals}
	var best *trial
	consider := func(c *candidate) {
		c.active = goals
		if s := l.settingsOf(c); len(s.isos) == 0 || len(s.times) == 0 || len(s.stops) == 0 {
			return
		}
		if t := u.standing(k, c); t != nil && (best == nil || t.score > best.score) {
			best = t
		}
	}
	consider(k.from.clone())
	if reads&(constraints.OnLens|constraints.OnFrame) != 0 {
		for i, lens := range l.shelf.Lenses {
			if !k.from.body.Takes(lens) {
				continue
			}
			for f := range l.frames {
				c := *k.from
				c.iLens, c.lens, c.frame = i, lens, f
				consider(&c)
			}
		}
	}
	if reads&constraints.OnDepth != 0 {
		for d := range l.depths {
			c := *k.from
			c.depth = d
			consider(&c)
		}
	}
	for round := range pushRounds {
		if best == nil {
			return nil
		}
		if best.stride(); best.whole() {
			return best.built()
		}
		r, before := best.weakest(), best
		if r < 0 || round == pushRounds-1 {
			break
		}
		for _, c := range l.stronger(best.c, r) {
			consider(c)
		}
		if best == before {
			break
		}
	}
	if best.score < nearly {
		return nil
	}
	return best.climb().built()
}

// rerig changes head, modifier and grid of a light, and its stand where that does not carry
// them; false where nothing changes or they do not go together.
func (l *lattice) rerig(c *candidate, g *rig, head, mod, grid int) bool {
	if head == g.iHead && mod == g.iMod && grid == g.iGrid {
		return false
	}
	g.iHead, g.iMod, g.iGrid = head, mod, grid
	g.head, g.mod, g.grid = l.shelf.Heads[head], at(l.shelf.Modifiers, mod), at(l.shelf.Grids, grid)
	if g.lamp && (g.head.Lamp == nil || !g.head.Lamp.Main) || !g.lamp && g.head.Flash == nil {
		return false
	}
	if !inventory.HeadTakes(g.head, g.mod) || !inventory.ModTakesGrid(g.mod, g.grid) || !inventory.HeadTakesGel(g.head, g.mod, g.gel) {
		return false
	}
	g.source = l.source(g)
	carries := func(s *inventory.Stand) bool {
		return inventory.Carries(s, g.boom, inventory.LightMass(g.head, g.mod, g.grid))
	}
	if carries(g.stand) {
		return true
	}
	for i, s := range l.shelf.Stands {
		g.iStand, g.stand = i, s
		if carries(s) && l.pieces(c) {
			return true
		}
	}
	return false
}

// pieces reports whether there are as many of each item as the lights of a candidate use.
func (l *lattice) pieces(c *candidate) bool {
	n := map[inventory.ID]int{}
	short := false
	for _, g := range c.rigs {
		if g == nil {
			continue
		}
		for _, it := range []*inventory.Item{itemOf(g.head), itemOf(g.mod), itemOf(g.grid), itemOf(g.stand), itemOf(g.boom)} {
			if it != nil {
				n[it.ID]++
				short = short || n[it.ID] > it.Count
			}
		}
	}
	return !short
}

// climber climbs towards the far end.
func (e *end) climber() *climber {
	n := float64(len(e.grid))
	return &climber{e.l, e.q, e.l.maskOf(e.keep), func(r *constraints.Reading) float64 {
		return 1 - place(e.grid, e.sign, e.end.At(r))/n
	}}
}

// toward climbs to where a quantity has a value.
func (r *reacher) toward(q *constraints.Quantity, x float64) *climber {
	grid := q.Grid(r.l.bench)
	n, at := float64(len(grid)), place(grid, 1, x)
	return &climber{r.l, q, r.l.maskOf(r.base), func(rd *constraints.Reading) float64 {
		return 1 - min(1, math.Abs(place(grid, 1, q.Low.At(rd))-at)/n)
	}}
}

// place is where a number lies on a grid, in steps from its first value, which is the least
// for sign 1 and the greatest for -1; past the last value it is the length of the grid.
func place(grid []float64, sign, v float64) float64 {
	if math.IsNaN(v) {
		return float64(len(grid))
	}
	i, _ := slices.BinarySearchFunc(grid, v, func(x, v float64) int { return cmpFloat(sign*x, sign*v) })
	if i == 0 || i == len(grid) || math.IsInf(v, 0) {
		return float64(i)
	}
	return float64(i) - (grid[i]-v)/(grid[i]-grid[i-1])
}

// standing is the places and levels of a set-up that was found, with its own gear or other,
// as a trial with free powers; nil where a light cannot be so.
func (u *climber) standing(k *Checked, with *candidate) *trial {
	l, c := u.l, *with
	c.active = u.keep
	if !l.fits(&c) {
		return nil
	}
	f := l.inPlace(k, &c)
	if f == nil {
		return nil
	}
	f.free, f.spans = true, l.spans(l.settingsOf(&c))
	list := l.exposures(&c, f)
	if len(list) == 0 {
		return nil
	}
	t := l.newTrial(&c, list[0], f)
	if t == nil {
		return nil
	}
	t.aim = u.aim
	t.putAll(f, func(r inventory.Role) float64 {
		level := k.Reading.Lights[r].Level.Lo
		if r == inventory.Background { // other paper is to be as bright
			level += math.Log2(k.Reading.Reflectance.Lo / float64(c.paper.Reflectance))
		}
		return level
	})
	return t
}

// aside are places to try where a light's own does not do for other gear: farther off and
// higher up, in marks of the tape and steps of 5 degrees.
var aside = [][3]float64{{}, {3, 0, 0}, {0, 0, 2}, {6, 0, 1}, {0, 2, 0}, {0, -2, 0}, {10, 0, 0}, {10, 0, 3}, {16, 0, 1}, {6, 3, 2}, {6, -3, 2}}

// inPlace is a candidate's gear in the places of the lights of a set-up, at any level; nil
// where a light cannot be so.
func (l *lattice) inPlace(k *Checked, c *candidate) *frameOf {
	f := &frameOf{}
	for i := range k.Setup.Lights {
		s := &k.Setup.Lights[i]
		r, _ := inventory.RoleByName(s.Role)
		g := c.rigs[r]
		if g == nil {
			return nil
		}
		p := l.about(c, g, s)
		if p == nil {
			return nil
		}
		f.poses[r], f.window[r] = []*pose{p}, unit.Whole
	}
	return f
}

// about is the first place near that of a light of a set-up where a rig can stand; nil where none is.
func (l *lattice) about(c *candidate, g *rig, s *inventory.LightSet) *pose {
	re, span := l.here(c, g), constraints.HeightsOf(g.stand, g.boom)
	for _, by := range aside {
		if p := l.tryPose(c, g, re, float64(s.Distance)+by[0]*tape, float64(s.Azimuth)+by[1]*swing, float64(s.Elevation)+by[2]*swing, span); p != nil {
			p.reach = l.fromSpot(re, p.box)
			return p
		}
	}
	return nil
}

// stride moves one light at a time, its level too, while that gains.
func (t *trial) stride() {
	for range climbSteps {
		before := t.score
		for r, g := range t.c.rigs {
			if g == nil || t.enough() {
				continue
			}
			role := inventory.Role(r)
			re := t.l.here(t.c, g)
			span := constraints.HeightsOf(g.stand, g.boom)
			for _, far := range strides {
				for _, way := range [][3]float64{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}} {
					b := t.at[r].box
					p := t.l.tryPose(t.c, g, re, b.D.Lo+far*way[0]*tape, b.Az.Lo+far*way[1]*swing, b.El.Lo+far*way[2]*swing, span)
					if p == nil {
						continue
					}
					p.reach, p.away = t.l.fromSpot(re, p.box), t.at[r].away
					t.attempt(role, p, t.sc.Lights[r].Level.Lo)
				}
				for _, step := range []float64{far / 10, -far / 10} {
					t.attempt(role, t.at[r], t.sc.Lights[r].Level.Lo+step)
				}
			}
		}
		if t.score <= before {
			return
		}
	}
}

// nextDoor lists trials with the next frame or backdrop distance, and with one farther on.
func (t *trial) nextDoor() (out []*trial) {
	for _, way := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {3, 0}, {-3, 0}, {0, 3}, {0, -3}} {
		frame, depth := t.c.frame+way[0], t.c.depth+way[1]
		if frame < 0 || frame >= len(t.l.frames) || depth < 0 || depth >= len(t.l.depths) {
			continue
		}
		c, f := t.carried(frame, depth)
		if f == nil {
			continue
		}
		f.free, f.spans = true, t.spans
		if moved := t.with(c, t.e, f); moved != nil {
			out = append(out, moved)
		}
	}
	return out
}
