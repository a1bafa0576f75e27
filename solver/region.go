package solver

import (
	"math"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// ranges is where a role's light may stand; angles in radians. Its Target is set by the
// layout.
func (l *lattice) ranges(r inventory.Role) light.PoseBox {
	return constraints.Ranges(r, l.space.Wide)
}

// site is what a region depends on apart from the goals about poses: one role's face and
// bulk, how it hangs, the backdrop's distance, and what is known of the camera: its place,
// or the framings that it may have, or nothing. Without a paper room bounce is left out.
type site struct {
	role    inventory.Role
	emitter light.Emitter
	body    constraints.Body
	boom    bool
	camera  inventory.ID
	lens    inventory.ID
	paper   inventory.ID
	frame   float64
	frames  uint64 // set of framings, where the camera's place is not known
	depth   float64
}

// sight is how much a refutation looks at.
// What lies at the border of the frame is dear, and looked at only if told to.
type sight struct{ framed, bounce, border bool }

var sights = []sight{{}, {bounce: true}, full}

// full is all of it, as a search for a set-up sees it.
var full = sight{framed: true, bounce: true}

// looksAt lists the sights that tell the truth here: with the camera above or below the eyes
// the place behind the head moves with its distance, so nothing is said without it.
func (l *lattice) looksAt() []sight {
	if math.Abs(l.bench.CameraHeight()-l.bench.Eye().Z) > 1e-9 {
		return []sight{{framed: true}, full}
	}
	return sights
}

// cell is a box of poses. A goal in refuted fails all over it.
type cell struct {
	box     light.PoseBox
	refuted mask
	seen    constraints.Seen
	height  unit.Interval
	reach   *constraints.Response // nil until asked for
	rings   *constraints.Response // the same with the rings of the glow
	border  *constraints.Response // the same with the border of the frame
	target  unit.Interval         // light at the target per lumen; empty until asked for
}

// region is the stated range of one light cut into cells; those that do not fit the room
// are gone.
type region struct {
	site   site
	layout *constraints.Layout
	cells  []*cell
	hulls  map[hullKey]*constraints.Response
	halved map[light.PoseBox]bool // boxes that were split, where a proof is to tell of it
}

type hullKey struct {
	goals  mask
	side   float64
	most   int // cells
	border bool
}

// Cells are cut so that a bound over one is useful; finer cutting is done where a proof
// needs it.
const (
	cutD  = 1.18 // ratio of a cell's far end to its near end
	cutAz = 15 * math.Pi / 180
	cutEl = 13.01 * math.Pi / 180
)

// region finds or makes a region.
func (l *lattice) region(s site) *region {
	if got, ok := l.regions[s]; ok {
		return got
	}
	re := &region{site: s, layout: l.layout(s), hulls: map[hullKey]*constraints.Response{}, halved: map[light.PoseBox]bool{}}
	if s.lens == "" {
		for _, c := range l.cut(s) {
			if re.layout.InRoom(c.box, s.body, s.depth).Hi >= 0 {
				d := *c
				re.cells = append(re.cells, &d)
			}
		}
	} else {
		l.eachBox(re, func(box light.PoseBox) {
			if c := l.newCell(re, box); c != nil {
				re.cells = append(re.cells, c)
			}
		})
	}
	l.regions[s] = re
	return re
}

// cut is a region's cells before the room is looked at, shared by all lights that are seen
// alike and, where they do not stand about the backdrop, by all its distances.
func (l *lattice) cut(s site) []*cell {
	s.paper, s.body, s.emitter = "", constraints.Body{}, constraints.Shows(l.bench.Brief.Reads(), s.emitter)
	if s.role != inventory.Background {
		s.depth = 0
	}
	if got, ok := l.cuts[s]; ok {
		return got
	}
	re := &region{site: s, layout: l.layout(s)}
	cells := []*cell{}
	l.eachBox(re, func(box light.PoseBox) { cells = append(cells, l.judgeCell(re, box)) })
	l.cuts[s] = cells
	return cells
}

func (l *lattice) eachBox(re *region, do func(light.PoseBox)) {
	target := l.bench.Target(re.site.role, re.layout.Glow)
	ds, azs, els := l.grid(re.site.role)
	for _, d := range ds {
		for _, az := range azs {
			for _, el := range els {
				do(light.PoseBox{Target: target, D: d, Az: az, El: el})
			}
		}
	}
}

// grid is how a role's range is cut at first.
func (l *lattice) grid(r inventory.Role) (d, az, el []unit.Interval) {
	whole := l.ranges(r)
	return cut(whole.D, func(lo float64) float64 { return lo * (cutD - 1) }),
		cut(whole.Az, func(float64) float64 { return cutAz }), cut(whole.El, func(float64) float64 { return cutEl })
}

// cut divides an interval into steps of about the given size, growing from the low end.
func cut(r unit.Interval, step func(lo float64) float64) (out []unit.Interval) {
	if r.IsPoint() {
		return []unit.Interval{r}
	}
	for lo := r.Lo; lo < r.Hi; {
		hi := lo + step(lo)
		if hi > r.Hi-step(hi)/3 {
			hi = r.Hi
		}
		out = append(out, unit.Interval{Lo: lo, Hi: hi})
		lo = hi
	}
	return out
}

// newCell judges a box; nil if no pose of it fits the room.
func (l *lattice) newCell(re *region, box light.PoseBox) *cell {
	if re.layout.InRoom(box, re.site.body, re.site.depth).Hi < 0 {
		return nil
	}
	return l.judgeCell(re, box)
}

// judgeCell tells which goals about poses fail all over a box.
func (l *lattice) judgeCell(re *region, box light.PoseBox) *cell {
	l.boxes++
	l.effort++
	s := &re.site
	rd, seen := l.poseReading(re, box)
	c := &cell{box: box, seen: seen, height: constraints.Height(box), target: unit.Empty}
	for i, g := range l.goals {
		if l.posed[s.role].has(i) && l.refutes(g, rd) {
			c.refuted |= 1 << i
		}
	}
	return c
}

// rejudge tells whether one more goal fails all over a cell.
func (l *lattice) rejudge(re *region, c *cell, i int) {
	if !l.posed[re.site.role].has(i) {
		return
	}
	if l.refutes(l.goals[i], l.cellReading(re, c)) {
		c.refuted |= 1 << i
	}
}

// poseReading is what a pose alone says. It is good until the next call, or that of cellReading.
func (l *lattice) poseReading(re *region, box light.PoseBox) (*constraints.Reading, constraints.Seen) {
	s := &re.site
	rd := &l.scratch
	*rd = unknown
	seen := re.layout.ReadPose(s.emitter, box, s.boom, &rd.Lights[s.role])
	return rd, seen
}

// cellReading is the same for a cell that was judged before.
func (l *lattice) cellReading(re *region, c *cell) *constraints.Reading {
	rd := &l.scratch
	*rd = unknown
	re.layout.ReadSeen(c.seen, c.box, &rd.Lights[re.site.role])
	return rd
}

var unknown = constraints.Unknown()

// layout finds or makes a layout.
func (l *lattice) layout(s site) *constraints.Layout {
	key := layoutKey{s.camera, s.lens, s.paper, s.frame, s.frames, s.depth}
	if got, ok := l.layouts[key]; ok {
		return got
	}
	b := l.bench
	paper := b.Studio.Backdrop(s.paper)
	var got *constraints.Layout
	if s.lens != "" {
		got = b.Lay(b.Studio.Camera(s.camera), b.Studio.Lens(s.lens), s.frame, s.depth, paper, l.bounces)
	} else {
		got = b.LayAny(l.views(s.frames), s.depth, paper, l.bounces)
	}
	l.layouts[key] = got
	return got
}

type layoutKey struct {
	camera, lens, paper inventory.ID
	frame               float64
	frames              uint64
	depth               float64
}

// views lists the camera's places for a set of framings, once.
func (l *lattice) views(frames uint64) []constraints.View {
	if frames == 0 {
		return nil
	}
	if got, ok := l.viewsOf[frames]; ok {
		return got
	}
	var list []float64
	for i, f := range l.frames {
		if frames&(1<<i) != 0 {
			list = append(list, f)
		}
	}
	got := l.bench.Views(list)
	l.viewsOf[frames] = got
	return got
}

// framings is the set of framings that the goals of a set leave; a rule that rests on it
// carries the goals that it was narrowed by.
func (l *lattice) framings(goals mask) (set uint64) {
	goals &= l.framing
	if got, ok := l.frameSets[goals]; ok {
		return got
	}
	rd := constraints.Unknown()
	for k, f := range l.frames {
		rd.Frame = unit.Point(f)
		ok := true
		for i, g := range l.goals {
			ok = ok && !(goals.has(i) && l.refutes(g, &rd))
		}
		if ok {
			set |= 1 << k
		}
	}
	l.frameSets[goals] = set
	return set
}

// open yields the cells that no goal of the set refutes, on the key's chosen side.
func (re *region) open(goals mask, side float64) (out []*cell) {
	for _, c := range re.cells {
		if c.isOpen(goals, side) {
			out = append(out, c)
		}
	}
	return out
}

func (c *cell) isOpen(goals mask, side float64) bool {
	return c.refuted&goals == 0 && !(side < 0 && c.box.Az.Lo >= 0) && !(side > 0 && c.box.Az.Hi <= 0)
}

// respond bounds the response over a cell, once.
func (re *region) respond(c *cell) *constraints.Response {
	if c.reach == nil {
		c.reach = re.layout.RespondCoarse(re.site.role, re.site.emitter, c.box)
	}
	return c.reach
}

// glow bounds the response with the rings of the glow, once.
func (re *region) glow(c *cell) *constraints.Response {
	if c.rings == nil {
		c.rings = re.layout.RespondRings(re.site.role, re.site.emitter, c.box)
	}
	return c.rings
}

// respondEffort is what bounding a response takes, in boxes that are judged: about 20 times as
// long, by measurement.
const respondEffort = 20

// Over how many of a region's open cells a response is wanted.
const (
	noCells   = 0
	someCells = 4
	moreCells = 16
	allCells  = math.MaxInt
)

// bordered bounds the response with the border of the frame, once.
func (re *region) bordered(c *cell) *constraints.Response {
	if c.border == nil {
		c.border = re.layout.RespondBorder(re.site.role, re.site.emitter, c.box)
	}
	return c.border
}

// response is the one or the other.
func (re *region) response(c *cell, border bool) *constraints.Response {
	if border {
		return re.bordered(c)
	}
	return re.respond(c)
}

// bounded reports whether a response was worked out before.
func (c *cell) bounded(border bool) bool {
	if border {
		return c.border != nil
	}
	return c.reach != nil
}

// hull bounds the response over some of the open cells, spread over them; nil if there are none.
// The hull of some lies in the hull of all: what it does not refute nothing does.
func (l *lattice) hull(re *region, goals mask, side float64, most int, border bool) *constraints.Response {
	key := hullKey{goals, side, most, border}
	if got, ok := re.hulls[key]; ok {
		return got
	}
	open := re.open(goals, side)
	n := min(most, len(open))
	var h *constraints.Response
	for k := range n {
		c := open[(2*k+1)*len(open)/(2*n)]
		if !c.bounded(border) {
			l.effort += respondEffort
		}
		h = h.Hull(re.response(c, border))
	}
	re.hulls[key] = h
	return h
}

// box is the smallest pose box that holds all cells.
func boxOf(cells []*cell) light.PoseBox {
	b := cells[0].box
	for _, c := range cells[1:] {
		b.D, b.Az, b.El = b.D.Hull(c.box.D), b.Az.Hull(c.box.Az), b.El.Hull(c.box.El)
	}
	return b
}

// split halves a cell.
func (l *lattice) split(re *region, c *cell) (out []*cell) {
	if l.ledger != nil {
		re.halved[c.box] = true
	}
	for _, h := range halves(c.box) {
		if n := l.newCell(re, h); n != nil {
			out = append(out, n)
		}
	}
	return out
}

// halves cuts a box in two along its longest side in metres.
func halves(b light.PoseBox) [2]light.PoseBox {
	out := [2]light.PoseBox{b, b}
	cut := func(of func(*light.PoseBox) *unit.Interval) {
		m := of(&b).Mid()
		of(&out[0]).Hi, of(&out[1]).Lo = m, m
	}
	switch d, az, el := b.D.Width(), b.Az.Width()*b.D.Hi, b.El.Width()*b.D.Hi; {
	case d >= az && d >= el:
		cut(func(b *light.PoseBox) *unit.Interval { return &b.D })
	case az >= el:
		cut(func(b *light.PoseBox) *unit.Interval { return &b.Az })
	default:
		cut(func(b *light.PoseBox) *unit.Interval { return &b.El })
	}
	return out
}

// target bounds the light at the target per lumen over several cells.
func (re *region) target(cells []*cell) unit.Interval {
	h := unit.Empty
	for _, c := range cells {
		if c.target.IsEmpty() {
			c.target = re.layout.TargetBound(re.site.role, re.site.emitter, c.box)
		}
		h = h.Hull(c.target)
	}
	return h
}
