package solver

import (
	"cmp"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/unit"
)

// The exact layer: from a candidate's gear to positions and settings that the full model
// accepts. It works on levels relative to the camera's setting, so that power and
// exposure come last, and on positions that a tape can mark: 5 cm and 5 degrees, or whole
// centimetres where nothing else will do.
const (
	tape       = 0.05
	centimetre = 0.01
	swing      = 5 * math.Pi / 180
	mostPoses  = 16
	sturdy     = 1.3 // margin, in units of what is fragile, beyond which more is not sought
)

// pose is one place of a light with what it does from there.
type pose struct {
	box    light.PoseBox
	region *region
	target float64               // lux at the target per lumen, above 0
	reach  *constraints.Response // nil until asked for
	seen   constraints.Seen
	away   float64 // from where one would try first, 0 is there
	at     geom.Vec
}

// respond is what the light does from there, worked out once.
func (p *pose) respond() *constraints.Response {
	if p.reach == nil {
		s := &p.region.site
		p.reach = p.region.layout.Respond(s.role, s.emitter, p.box)
	}
	return p.reach
}

// usual is where a light is tried first; common practice, no source.
var usual = [inventory.NumRoles]struct{ d, az, el float64 }{
	inventory.Key:        {1.2, 40, 25},
	inventory.Fill:       {1.6, 15, 5},
	inventory.RimLeft:    {1.4, -148, 15},
	inventory.RimRight:   {1.4, 148, 15},
	inventory.Hair:       {1, 180, 60},
	inventory.Background: {0.8, 0, -50},
}

// exposure is a camera setting that satisfies all goals about the camera.
type exposure struct {
	aperture, shutter, iso int
	room                   float64 // smallest margin in units of what is fragile
	scope                  float64 // see scope
	need                   float64 // log2 lux-seconds for level 0
	time                   float64 // log2 of the true time
}

// find looks for an exact set-up with a candidate's gear; nil if the search comes up
// empty, which proves nothing.
func (l *lattice) find(c *candidate) *Checked {
	var nearest *trial
	for _, place := range l.tryPlaces(c) {
		d := *c
		d.frame, d.depth = place[0], place[1]
		got, t := l.findAt(&d)
		if got != nil {
			return got
		}
		if t != nil && t.score < desperate {
			return nil
		}
		if t != nil && (nearest == nil || t.score > nearest.score) {
			nearest = t
		}
	}
	if nearest == nil || nearest.score < nearly || !math.IsInf(l.content, 1) { // one of many questions, or one that is climbed with
		return nil
	}
	return l.goOn(nearest)
}

// goOn climbs from where a search came near, with powers free and the frame and the backdrop
// moving as well.
func (l *lattice) goOn(t *trial) *Checked {
	clear(l.spots)
	l.fromSpots = 0
	c, f := t.carried(t.c.frame, t.c.depth)
	if f == nil {
		return nil
	}
	f.free, f.spans = true, l.spans(l.settingsOf(c))
	if t = t.with(c, t.e, f); t == nil {
		return nil
	}
	return t.climb().built()
}

// Scores of a trial, which are by how much its goals are broken: from the first on it may pay to
// climb, below the second no setting of the camera mends it, and below the third no place of the
// backdrop either.
const (
	nearly      = -250
	nowhereNear = -600
	desperate   = -2000
)

// tryPlaces lists framings and backdrop distances to try: the sturdiest framing at the
// middle and the ends of the distances, and the candidate's own place.
func (l *lattice) tryPlaces(c *candidate) (out [][2]int) {
	add := func(f, d int) {
		if p := [2]int{f, d}; !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	f := l.sturdyFrame(c)
	add(f, len(l.depths)/2)
	add(f, len(l.depths)-1)
	add(c.frame, c.depth)
	add(f, 0)
	return out
}

// sturdyFrame is the framing that leaves the camera's goals the most room at some
// aperture, near the middle of what is allowed among equals.
func (l *lattice) sturdyFrame(c *candidate) int {
	key := frameKey{c.iBody, c.iLens, c.active}
	if f, ok := l.sturdy[key]; ok {
		return f
	}
	sc := constraints.NewScene(l.bench)
	sc.Body, sc.Lens = c.body, c.lens
	best, bestRoom := c.frame, -1.0
	var fit []int
	rooms := map[int]float64{}
	for f, h := range l.frames {
		sc.Frame = unit.Point(h)
		most := -1.0
		for _, stop := range l.apertures {
			if most < 1 && stop.On(c.lens) {
				sc.Aperture = unit.Point(stop.True)
				most = max(most, min(1, l.cameraRoom(&sc, c.active, nil)))
			}
		}
		if most >= 0 {
			fit = append(fit, f)
			rooms[f] = most
		}
	}
	for i, f := range fit {
		off := math.Abs(float64(i) - float64(len(fit)-1)/2)
		if r := rooms[f] - 0.001*off; r > bestRoom {
			best, bestRoom = f, r
		}
	}
	l.sturdy[key] = best
	return best
}

type frameKey struct {
	body, lens int
	active     mask
}

// cameraRoom is the smallest margin of the goals about the camera, in units of what is
// fragile: Inf where nothing is judged, negative where a goal fails.
func (l *lattice) cameraRoom(sc *constraints.Scene, active mask, buf []constraints.Part) float64 {
	rd := l.cameraReading(sc)
	worst := math.Inf(1)
	for i, g := range l.goals {
		if !active.has(i) || g.Req.Reads()&cameraAspects == 0 {
			continue
		}
		buf = g.Req.Judge(rd, buf[:0])
		for _, p := range buf {
			if m := p.Margin(); m.Hi < 0 {
				return -1
			} else if m.IsPoint() && p.Fine > 0 {
				worst = min(worst, m.Lo/p.Fine)
			}
		}
	}
	return worst
}

// findAt is find where the camera and the backdrop stand. Where it comes up empty it returns
// where it came nearest; nil where nothing was tried.
func (l *lattice) findAt(c *candidate) (*Checked, *trial) {
	f, ok := l.start(c)
	if !ok {
		return nil, nil
	}
	var nearest *trial
	for _, e := range l.likely(c, l.exposures(c, f)) {
		t := l.newTrial(c, e, f)
		if t == nil {
			continue
		}
		t.improve()
		if t.score >= nowhereNear {
			if t.polish(); t.whole() {
				if got := l.accept(c, t); got != nil {
					return got, nil
				}
			}
		}
		if nearest == nil || t.score > nearest.score {
			nearest = t
		}
		if t.score < nowhereNear {
			break
		}
	}
	return nil, nearest
}

// likely are the settings to try: the first two, and where some goal minds how far the heads
// are turned down, a few from the widest aperture to the smallest as well.
func (l *lattice) likely(c *candidate, all []exposure) []exposure {
	tries := all[:min(2, len(all))]
	for i, g := range l.goals {
		if !c.active.has(i) || g.Req.Reads()&constraints.OnPower == 0 || len(all) < 3 {
			continue
		}
		byStop := slices.Clone(all)
		slices.SortStableFunc(byStop, func(a, b exposure) int { return cmp.Compare(b.aperture, a.aperture) })
		tries = slices.Clone(tries)
		for k := range 4 {
			tries = append(tries, byStop[k*(len(byStop)-1)/3])
		}
		break
	}
	return tries
}

// remember keeps where the lights of a found set-up stand, and its mirror image: siblings
// are looked for there first.
func (l *lattice) remember(set *inventory.Setup) {
	mirror := map[inventory.Role]inventory.Role{inventory.RimLeft: inventory.RimRight, inventory.RimRight: inventory.RimLeft}
	for _, s := range set.Lights {
		r, _ := inventory.RoleByName(s.Role)
		at := [3]float64{float64(s.Distance), float64(s.Azimuth), float64(s.Elevation)}
		l.known[r] = append(l.known[r], at)
		if m, ok := mirror[r]; ok {
			r = m
		}
		at[1] = -at[1]
		l.known[r] = append(l.known[r], at)
	}
	for r := range l.known {
		l.known[r] = l.known[r][max(0, len(l.known[r])-4):]
	}
}

// recall lists remembered places that suit a candidate.
func (l *lattice) recall(c *candidate, g *rig) (out []*pose) {
	re := l.here(c, g)
	for _, at := range l.known[g.role] {
		if p := l.tryPose(c, g, re, at[0], at[1], at[2], constraints.HeightsOf(g.stand, g.boom)); p != nil {
			out = append(out, p)
		}
	}
	return out
}

// frameOf is what a search at one camera place starts from.
type frameOf struct {
	poses  [inventory.NumRoles][]*pose
	window [inventory.NumRoles]unit.Interval
	free   bool             // lights may have any power
	spans  [2]unit.Interval // of what the camera's settings need, where free
}

// start lists places and levels for every light; false if some light has none.
func (l *lattice) start(c *candidate) (*frameOf, bool) {
	if !l.fits(c) {
		return nil, false
	}
	f := &frameOf{}
	for r, g := range c.rigs {
		if g == nil {
			continue
		}
		if f.poses[r] = append(l.recall(c, g), l.poses(c, g)...); len(f.poses[r]) == 0 {
			return nil, false
		}
		f.window[r] = l.levelWindow(c, inventory.Role(r), c.active, ^mask(0))
	}
	return f, true
}

// light is the light that a rig gives per unit of need, from its places: log2 of
// lux-seconds (flash) or lux (lamp), at full and turned down.
func (f *frameOf) light(g *rig) unit.Interval {
	n, step := g.head.Powers(g.lamp)
	down := float64(n-1) * float64(step)
	a := unit.Empty
	for _, p := range f.poses[g.role] {
		x := g.source.Output + math.Log2(p.target)
		a = a.Hull(unit.Interval{Lo: x - down, Hi: x})
	}
	return a
}

// fits checks the camera's place before any light is tried.
func (l *lattice) fits(c *candidate) bool {
	room := l.bench.Studio.Room
	h, depth := l.frames[c.frame], l.depths[c.depth]
	y, width := l.bench.Stand(c.body, c.lens, h)
	u := float64(c.lens.Focal) * (1 + h/float64(c.body.Sensor.Long()))
	return u >= float64(c.lens.Nearest) && y+depth+float64(room.Standoff+room.Behind) <= float64(room.Depth)+1e-9 &&
		width*(y+depth) <= float64(c.paper.Width)+1e-9
}

// enoughExposures is how many settings are weighed against each other.
const enoughExposures = 24

// settings are the marks of the camera that each satisfy, alone, what is asked of the camera.
type settings struct {
	scene              constraints.Scene
	isos, times, stops []int
	rooms              map[[3]int]float64 // of an ISO, a time and a stop together, as far as they were looked at
}

// dialsKey is what they depend on.
type dialsKey struct {
	body, lens, paper, frame, depth int
	active, lit, flash              mask
}

// settingsOf lists a candidate's; low ISO first, and times of everyday length.
func (l *lattice) settingsOf(c *candidate) *settings {
	key := dialsKey{body: c.iBody, lens: c.iLens, paper: c.iPaper, frame: c.frame, depth: c.depth, active: c.active, lit: c.lit()}
	for r, g := range c.rigs {
		if g != nil && !g.lamp {
			key.flash |= 1 << r
		}
	}
	s, ok := l.dials[key]
	if ok {
		return s
	}
	s = &settings{scene: constraints.NewScene(l.bench), rooms: map[[3]int]float64{}}
	l.dials[key] = s
	sc := &s.scene
	sc.Body, sc.Lens, sc.Backdrop = c.body, c.lens, c.paper
	sc.Frame, sc.Depth = unit.Point(l.frames[c.frame]), unit.Point(l.depths[c.depth])
	for r, g := range c.rigs {
		x := &sc.Lights[r]
		if g == nil {
			x.Off()
			continue
		}
		x.On, x.Flash = unit.Point(1), unit.Point(1)
		if g.lamp {
			x.Flash = unit.Point(0)
		}
	}
	buf := make([]constraints.Part, 0, 8)
	room := func() float64 { return l.cameraRoom(sc, c.active, buf) }
	for t, time := range l.shutters {
		sc.Shutter = unit.Point(time)
		if time >= c.body.Fastest.True()*0.999 && !(key.flash != 0 && time < c.body.Sync.True()*0.999) && room() >= 0 {
			s.times = append(s.times, t)
		}
	}
	sc.Shutter = unit.Whole
	for a, stop := range l.apertures {
		sc.Aperture = unit.Point(stop.True)
		if stop.On(c.lens) && room() >= 0 {
			s.stops = append(s.stops, a)
		}
	}
	sc.Aperture = unit.Whole
	for i, iso := range l.isos {
		sc.ISO = unit.Point(iso)
		if iso >= c.body.BaseISO.True()*0.999 && iso <= c.body.TopISO.True()*1.001 && room() >= 0 {
			s.isos = append(s.isos, i)
		}
	}
	// Everyday shutter speeds are about 1/128 s.
	slices.SortStableFunc(s.times, func(a, b int) int {
		return cmp.Compare(math.Abs(math.Log2(l.shutters[a])+7), math.Abs(math.Log2(l.shutters[b])+7))
	})
	return s
}

// spans is the range of what the settings need of flash, and, less the time, of lamps.
func (l *lattice) spans(s *settings) (by [2]unit.Interval) {
	need, time := unit.Empty, unit.Empty
	for _, i := range s.isos {
		for _, a := range s.stops {
			need = need.Hull(l.bench.Needed(unit.Point(l.apertures[a].True), unit.Point(l.isos[i])))
		}
	}
	for _, t := range s.times {
		time = time.Hull(unit.Point(math.Log2(l.shutters[t])))
	}
	return [2]unit.Interval{need, need.Sub(time)}
}

// exposures lists camera settings that satisfy what is asked of the camera and, unless
// powers are free, that the lights can serve: low ISO first, then the sturdier, then a
// shutter of everyday length.
func (l *lattice) exposures(c *candidate, f *frameOf) (out []exposure) {
	needs := [2]unit.Interval{unit.Whole, unit.Whole} // by lamp: need, and need less the time
	for r, g := range c.rigs {
		if g == nil || f.free {
			continue
		}
		k, a, w := 0, f.light(g), f.window[r]
		if g.lamp {
			k = 1
		}
		needs[k] = needs[k].And(unit.Interval{Lo: a.Lo - w.Hi, Hi: a.Hi - w.Lo})
	}
	s := l.settingsOf(c)
	sc := &s.scene
	buf := make([]constraints.Part, 0, 8)
	for _, i := range s.isos {
		sc.ISO = unit.Point(l.isos[i])
		for _, t := range s.times {
			for _, a := range s.stops {
				e := exposure{aperture: a, shutter: t, iso: i, time: math.Log2(l.shutters[t])}
				e.need = l.bench.Needed(unit.Point(l.apertures[a].True), sc.ISO).Lo
				if !needs[0].Contains(e.need) || !needs[1].Contains(e.need-e.time) {
					continue
				}
				room, ok := s.rooms[[3]int{i, t, a}]
				if !ok {
					sc.Shutter, sc.Aperture = unit.Point(l.shutters[t]), unit.Point(l.apertures[a].True)
					room = l.cameraRoom(sc, c.active, buf)
					s.rooms[[3]int{i, t, a}] = room
				}
				if e.room = room; e.room >= 0 {
					out = append(out, e)
				}
			}
			if len(out) >= enoughExposures {
				break
			}
		}
		if len(out) > 0 {
			break // a higher ISO is never the better choice
		}
	}
	for i := range out {
		out[i].scope = l.scope(c, f, &out[i])
	}
	slices.SortStableFunc(out, func(a, b exposure) int {
		return cmp.Or(cmp.Compare(min(0.5, b.scope), min(0.5, a.scope)), cmp.Compare(min(1.5, b.room), min(1.5, a.room)))
	})
	return out
}

// scope is the smallest share of a light's places from which it reaches its level.
func (l *lattice) scope(c *candidate, f *frameOf, e *exposure) float64 {
	scope := 1.0
	for r, g := range c.rigs {
		if g == nil {
			continue
		}
		t := trial{l: l, c: c, e: *e}
		n := 0
		for _, p := range f.poses[r] {
			if lo, hi := t.levels(inventory.Role(r), p); hi >= f.window[r].Lo && lo <= f.window[r].Hi {
				n++
			}
		}
		scope = min(scope, float64(n)/float64(len(f.poses[r])))
	}
	return scope
}

// poses lists places for a light that the room, the frame, its stand and the goals about
// its pose accept. Lights that are seen alike can stand in the same places.
func (l *lattice) poses(c *candidate, g *rig) []*pose {
	re := l.here(c, g)
	span := constraints.HeightsOf(g.stand, g.boom)
	key := poseKey{re.site, c.active & l.posed[g.role], c.side, span}
	if got, ok := l.places[key]; ok {
		return got
	}
	alike := key
	alike.site.paper, alike.site.emitter = "", constraints.Shows(l.bench.Brief.Reads(), re.site.emitter)
	found, ok := l.stands[alike]
	if !ok {
		any := alike
		any.span = unit.Interval{}
		if none, ok := l.noneIn[any]; !ok || !none.Holds(span) {
			if found = l.standsOf(c, g, re, span); len(found) == 0 {
				l.noneIn[any] = span
			}
		}
		l.stands[alike] = found
	}
	var all []*pose
	for _, p := range found {
		if target := constraints.TargetAt(g.role, re.site.emitter, p.box); target > 0 {
			all = append(all, &pose{box: p.box, region: re, target: target, at: p.at, seen: p.seen, away: p.away})
		}
	}
	l.places[key] = all
	return all
}

// standsOf finds such places.
func (l *lattice) standsOf(c *candidate, g *rig, re *region, span unit.Interval) (all []*pose) {
	u := usual[g.role]
	switch g.role { // the key on its side, the fill across from it
	case inventory.Key:
		u.az *= c.side
	case inventory.Fill:
		u.az *= -c.side
	}
	away := func(b *light.PoseBox) float64 {
		return math.Abs(math.Log2(b.D.Mid()/u.d)) + math.Abs(b.Az.Mid()*degrees-u.az)/60 + math.Abs(b.El.Mid()*degrees-u.el)/60
	}
	boxes := l.sortedBoxes(c, re, away)
	every := boxes
	// The likely places, and a thin sample of the rest.
	try := func(b light.PoseBox) {
		if p := l.poseOf(c, g, re, b, span); p != nil {
			p.away = away(&p.box)
			all = append(all, p)
		}
	}
	for len(boxes) > 0 && len(all) < mostPoses/2 {
		try(boxes[0])
		boxes = boxes[1:]
	}
	for i := 0; i < len(boxes) && len(all) < mostPoses; i += 1 + len(boxes)/(4*mostPoses) {
		try(boxes[i])
	}
	for _, mark := range []float64{tape, centimetre} { // what is taped by the centimetre only where nothing else does
		if mark == tape && len(all) >= fewPoses || mark == centimetre && len(all) > 0 {
			break
		}
		l.everyPose(c, g, re, every, span, mark, func(p *pose) bool {
			p.away = away(&p.box)
			all = append(all, p)
			return len(all) < mostPoses/2
		})
	}
	return all
}

// sortedBoxes cuts a region into boxes on the candidate's side, by rising value.
func (l *lattice) sortedBoxes(c *candidate, re *region, value func(*light.PoseBox) float64) (out []light.PoseBox) {
	type valued struct {
		box   light.PoseBox
		value float64
	}
	var all []valued
	side := c.sideOf(re.site.role)
	l.eachBox(re, func(b light.PoseBox) {
		if !(side < 0 && b.Az.Lo >= 0) && !(side > 0 && b.Az.Hi <= 0) {
			all = append(all, valued{b, value(&b)})
		}
	})
	slices.SortStableFunc(all, func(a, b valued) int { return cmp.Compare(a.value, b.value) })
	for _, x := range all {
		out = append(out, x.box)
	}
	return out
}

// poseOf is a place in a box for a light whose stand reaches to some height; nil if there is none.
func (l *lattice) poseOf(c *candidate, g *rig, re *region, b light.PoseBox, span unit.Interval) *pose {
	x := l.newCell(re, b)
	if x == nil || x.refuted&c.active != 0 || !x.height.Meets(span) {
		return nil
	}
	return l.poseIn(c, g, re, x.box, span)
}

// Where goals leave a light little room it lies between the places that are looked at first.
const (
	fewPoses  = 6
	mostMarks = 6000 // of tape and angle that are looked at
)

// everyPose goes through all marks of the tape in the boxes that no goal rules out, as long as it is told to go on.
func (l *lattice) everyPose(c *candidate, g *rig, re *region, boxes []light.PoseBox, span unit.Interval, mark float64, more func(*pose) bool) {
	marks := func(i unit.Interval, step float64) (out []float64) {
		for x := math.Ceil(i.Lo/step-1e-9) * step; x <= i.Hi+1e-9; x += step {
			out = append(out, x)
		}
		return out
	}
	left := mostMarks
	for _, b := range boxes {
		x := l.newCell(re, b)
		if x == nil || x.refuted&c.active != 0 || !x.height.Meets(span) {
			continue
		}
		for _, d := range marks(b.D, mark) {
			for _, az := range marks(b.Az, swing) {
				for _, el := range marks(b.El, swing) {
					p := l.poseAt(c, g, re, math.Round(d*1000)/1000, turned(az), turned(el), span)
					if left--; p != nil && !more(p) || left < 0 {
						return
					}
				}
			}
		}
	}
}

// Limits on the places from which a light is strongest.
const (
	strongPoses = 4
	strongTries = 80
)

// strongest lists places from which a light puts as much on its target as it may.
func (l *lattice) strongest(c *candidate, g *rig) (out []*pose) {
	re, span := l.here(c, g), constraints.HeightsOf(g.stand, g.boom)
	boxes := l.sortedBoxes(c, re, func(b *light.PoseBox) float64 { // the inverse square is enough for an order
		weak := b.D.Mid() * b.D.Mid()
		if g.role == inventory.Background {
			weak /= max(1e-3, geom.Polar(b.Az.Mid(), b.El.Mid()).Y)
		}
		return weak
	})
	for _, b := range boxes[:min(strongTries, len(boxes))] {
		if p := l.poseOf(c, g, re, b, span); p != nil {
			if out = append(out, p); len(out) == strongPoses {
				break
			}
		}
	}
	return out
}

// here is a rig's region at the candidate's exact place, not cut into cells.
func (l *lattice) here(c *candidate, g *rig) *region {
	s := l.site(c, g, c.active, full)
	return &region{site: s, layout: l.layout(s)}
}

type poseKey struct {
	site   site
	active mask
	side   float64
	span   unit.Interval
}

// poseIn is a taped place inside a cell that passes all checks of one light alone, tried
// from the middle outward.
func (l *lattice) poseIn(c *candidate, g *rig, re *region, b light.PoseBox, span unit.Interval) *pose {
	for _, f := range [][3]float64{{.5, .5, .5}, {.1, .5, .5}, {.9, .5, .5}, {.5, .1, .5}, {.5, .9, .5}, {.5, .5, .1}, {.5, .5, .9}} {
		in := func(i unit.Interval, k, step float64) float64 {
			return clampTo(math.Round((i.Lo+k*i.Width())/step)*step, i, step)
		}
		if p := l.tryPose(c, g, re, in(b.D, f[0], tape), in(b.Az, f[1], swing), in(b.El, f[2], swing), span); p != nil {
			return p
		}
	}
	return nil
}

// clampTo keeps a lattice value inside an interval where the interval holds one.
func clampTo(x float64, i unit.Interval, step float64) float64 {
	if x < i.Lo-1e-9 && x+step <= i.Hi {
		return x + step
	}
	if x > i.Hi+1e-9 && x-step >= i.Lo {
		return x - step
	}
	return x
}

func (l *lattice) tryPose(c *candidate, g *rig, re *region, d, az, el float64, span unit.Interval) *pose {
	return l.poseAt(c, g, re, taped(d), turned(az), turned(el), span)
}

// poseAt is a light's place if all checks of one light alone pass it; nil otherwise.
func (l *lattice) poseAt(c *candidate, g *rig, re *region, d, az, el float64, span unit.Interval) *pose {
	if side := c.sideOf(g.role); side != 0 && side*az <= 0 {
		return nil
	}
	whole := l.ranges(g.role)
	if !loose(whole.D).Contains(d) || !loose(whole.Az).Contains(az) || !loose(whole.El).Contains(el) {
		return nil
	}
	box := light.PoseBox{Target: l.bench.Target(g.role, re.layout.Glow), D: unit.Point(d), Az: unit.Point(az), El: unit.Point(el)}
	if re.layout.InRoom(box, re.site.body, re.site.depth).Lo < 0 || !span.Contains(constraints.Height(box).Lo) {
		return nil
	}
	if re.layout.OffCamera(box, re.site.body, re.site.boom) < 0 {
		return nil
	}
	rd, seen := l.poseReading(re, box)
	for i, goal := range l.goals {
		if !c.active.has(i) || !l.posed[g.role].has(i) {
			continue
		}
		if l.refutes(goal, rd) {
			return nil
		}
	}
	target := constraints.TargetAt(g.role, re.site.emitter, box)
	if target <= 0 {
		return nil
	}
	return &pose{box: box, region: re, target: target, at: constraints.At(box), seen: seen}
}

// A value that is written to a file and read again must be the same number.
func taped(d float64) float64 { return float64(round(unit.Length(d))) }
func turned(a float64) float64 {
	return float64(unit.Angle(math.Round(a/swing)*5) * unit.Degree)
}
func loose(i unit.Interval) unit.Interval { return unit.Interval{Lo: i.Lo - 1e-9, Hi: i.Hi + 1e-9} }

// round takes a length to whole centimetres, as printed.
func round(x unit.Length) unit.Length { return unit.Length(math.Round(float64(x)*100) / 100) }

// trial is one exposure with a place and a power for every light, being improved.
type trial struct {
	l     *lattice
	c     *candidate
	e     exposure
	free  bool // of what the dials can do: the exposure is sought last
	spans [2]unit.Interval
	poses [inventory.NumRoles][]*pose
	at    [inventory.NumRoles]*pose
	power [inventory.NumRoles]float64
	level [inventory.NumRoles][]float64 // levels to aim for
	sc    constraints.Scene
	base  constraints.Reading // of the camera
	fixed balance             // of the goals about the camera alone
	moved []*constraints.Goal // the others
	rd    constraints.Reading
	score float64
	tight float64 // the smallest margin of what was rated last, in units of what is fragile
	spare float64 // that of the trial as it stands
	buf   []constraints.Part
	aim   func(*constraints.Reading) float64 // what to go for once the goals hold, from 0 to 1; nil for margins
}

// newTrial sets the camera and drops places from which a light cannot reach its level;
// nil if none is left for some light.
func (l *lattice) newTrial(c *candidate, e exposure, f *frameOf) *trial {
	t := &trial{l: l, c: c, e: e, free: f.free, spans: f.spans}
	for r, g := range c.rigs {
		if g == nil {
			continue
		}
		role, w := inventory.Role(r), f.window[r]
		for _, p := range f.poses[r] {
			if lo, hi := t.levels(role, p); hi >= w.Lo && lo <= w.Hi {
				t.poses[r] = append(t.poses[r], p)
			}
		}
		if len(t.poses[r]) == 0 {
			return nil
		}
		t.level[r] = aims(role, w)
	}
	sc := constraints.NewScene(l.bench)
	sc.Body, sc.Lens, sc.Backdrop = c.body, c.lens, c.paper
	sc.Frame, sc.Depth = unit.Point(l.frames[c.frame]), unit.Point(l.depths[c.depth])
	sc.Aperture, sc.Shutter, sc.ISO = unit.Point(l.apertures[e.aperture].True), unit.Point(l.shutters[e.shutter]), unit.Point(l.isos[e.iso])
	for r := range sc.Lights {
		sc.Lights[r].Off()
	}
	white := c.rigs[inventory.Key].source.XYZ
	minutes := l.bench.CameraMinutes()
	for r, g := range c.rigs {
		if g == nil {
			continue
		}
		x := &sc.Lights[r]
		x.On, x.Flash = unit.Point(1), unit.Point(1)
		if g.lamp {
			x.Flash = unit.Point(0)
		}
		x.Tint = constraints.TintOf(g.source.XYZ, white)
		x.Modelling = unit.Point(math.Inf(-1))
		x.Level = unit.Whole
		x.Kit = &constraints.LightKit{Head: g.head, Mod: g.mod, Grid: g.grid, Gel: g.gel, Stand: g.stand, Boom: g.boom}
		sc.Lay(l.here(c, g).layout)
		minutes += l.bench.LightMinutes(g.set())
	}
	sc.Minutes = unit.Point(float64(minutes))
	sc.Equip()
	t.sc = sc
	sc.MeasureCamera(&t.base)
	t.rd, t.fixed = t.base, balance{tight: 3}
	for i, g := range l.goals {
		switch {
		case !c.active.has(i):
		case g.Req.Reads()&^cameraAspects == 0:
			t.count(g, &t.fixed)
		default:
			t.moved = append(t.moved, g)
		}
	}
	return t
}

// atTheEdge, in stops, is how far into a window that lies off what is usual its levels go: an end
// of it may fail.
const atTheEdge = 0.1

// nearLevels counts the levels of aims that are not far ones.
const nearLevels = 4

// aims are levels to try inside a window, the likely first; an open window is closed about
// what is usual, and a few levels outside follow.
func aims(r inventory.Role, w unit.Interval) []float64 {
	usualLevel := [inventory.NumRoles]float64{inventory.Fill: -2, inventory.Background: -1}[r]
	edge := min(w.Width(), atTheEdge)
	lo, hi := max(w.Lo, min(usualLevel-1.5, w.Hi-edge)), min(w.Hi, max(usualLevel+1.5, w.Lo+edge))
	d := hi - lo
	out := []float64{lo + d/2, lo + d/4, lo + 3*d/4, lo + d/12}
	for _, far := range []float64{lo - 1.5, lo - 3.5, hi + 1.5} { // where the window is wide
		if w.Contains(far) {
			out = append(out, far)
		}
	}
	return out
}

// levels is the range of levels that a light can give from a place.
func (t *trial) levels(r inventory.Role, p *pose) (lo, hi float64) {
	if t.free {
		return math.Inf(-1), math.Inf(1)
	}
	g := t.c.rigs[r]
	hi = g.source.Output + math.Log2(p.target) - t.e.need
	if g.lamp {
		hi += t.e.time
	}
	n, step := g.head.Powers(g.lamp)
	return hi - float64(n-1)*float64(step), hi
}

// put places a light at a pose with the dial step nearest to a level.
func (t *trial) put(r inventory.Role, p *pose, level float64) {
	lo, hi := t.levels(r, p)
	if t.free {
		hi = level
	}
	power := math.Round((min(max(level, lo), hi)-hi)*1e9) / 1e9
	if n, step := t.c.rigs[r].head.Powers(t.c.rigs[r].lamp); step > 0 {
		k := math.Round(-power / float64(step))
		power = -min(max(k, 0), float64(n-1)) * float64(step)
	} else {
		power = 0
	}
	power = math.Round(power*1e6) / 1e6
	x := &t.sc.Lights[r]
	x.Posed, x.Pose, x.Reach, x.Seen = true, p.box, p.respond(), p.seen
	x.Level, x.Power = unit.Point(hi+power), unit.Point(power)
	t.at[r], t.power[r] = p, power
}

// balance is what goals say of a trial: how much is broken, the smallest margin, and the sum of
// the margins of n parts, each in units of what is fragile.
type balance struct {
	broken, tight, ease float64
	n                   int
}

// count adds a goal to a balance.
func (t *trial) count(g *constraints.Goal, sum *balance) {
	t.buf = g.Req.Judge(&t.rd, t.buf[:0])
	for i := range t.buf {
		p := &t.buf[i]
		m := p.Margin()
		fine := p.Fine
		if fine <= 0 {
			fine = 1
		}
		room := m.Lo / fine
		if !m.IsPoint() && m.Hi >= 0 {
			room = 0
		}
		if m.Lo < 0 {
			sum.broken += min(50, 1-room)
		}
		if p.Fine > 0 {
			sum.tight = min(sum.tight, room)
			sum.ease += min(2, max(0, room))
			sum.n++
		}
	}
}

// appraise scores the trial as it stands.
func (t *trial) appraise() {
	t.score = t.rate()
	t.spare = t.tight
}

// rate scores the trial: goals broken count most, then the smallest margin, then all
// margins, then how far the lights are from where one would look for them.
func (t *trial) rate() float64 {
	t.rd = t.base
	t.sc.MeasureLights(&t.rd)
	sum := t.fixed
	for _, g := range t.moved {
		t.count(g, &sum)
	}
	broken, tight, ease, n := sum.broken, sum.tight, sum.ease, sum.n
	t.tight = tight
	if short := t.short(); t.free && short > 0 {
		broken += min(50, 1+short/shortBy)
	}
	for r := range t.at {
		for q := range r {
			if t.at[r] != nil && t.at[q] != nil {
				if d := t.at[r].at.Sub(t.at[q].at).Len(); d < 0.4 {
					broken += 1 + 0.4 - d
				}
			}
		}
		if t.at[r] != nil {
			ease -= 0.3 * t.at[r].away * float64(max(n, 1))
		}
	}
	if n > 0 {
		ease /= float64(n)
	}
	if t.aim != nil {
		return -100*broken + 40*t.aim(&t.rd) + 0.01*(min(tight, sturdy)*2+ease)
	}
	return -100*broken + min(tight, sturdy)*2 + ease
}

// shortBy is how much light, in stops, a free trial may lack to count like a goal that is
// broken by one more fine step.
const shortBy = 0.3

// short is by how many stops no setting of the camera suits all lights at their levels.
func (t *trial) short() (short float64) {
	short, _ = t.shortOf()
	return short
}

// weakest is the light that gives too little for that; -1 where none does.
func (t *trial) weakest() inventory.Role {
	if short, r := t.shortOf(); short > 0 {
		return r
	}
	return -1
}

func (t *trial) shortOf() (short float64, weakest inventory.Role) {
	suits, last := t.spans, [2]inventory.Role{-1, -1}
	for r, p := range t.at {
		if p == nil {
			continue
		}
		g, k := t.c.rigs[r], 0
		if g.lamp {
			k = 1
		}
		full := g.source.Output + math.Log2(p.target) - t.sc.Lights[r].Level.Lo
		n, step := g.head.Powers(g.lamp)
		by := unit.Interval{Lo: full - float64(n-1)*float64(step), Hi: full}
		if by.Hi < suits[k].Hi {
			last[k] = inventory.Role(r)
		}
		suits[k] = unit.Interval{Lo: max(suits[k].Lo, by.Lo), Hi: min(suits[k].Hi, by.Hi)}
	}
	weakest = -1
	for k, s := range suits {
		if s.Lo-s.Hi > short {
			short, weakest = s.Lo-s.Hi, last[k]
		}
	}
	return short, weakest
}

// improve starts every light at its first place and moves one at a time to the best of
// its places and levels, until nothing gains.
func (t *trial) improve() {
	for r := range t.at {
		if len(t.poses[r]) > 0 {
			t.put(inventory.Role(r), t.poses[r][0], t.level[r][0])
		}
	}
	t.appraise()
	for round := range 4 {
		before := t.score
		for r := range t.at {
			if t.at[r] == nil {
				continue
			}
			if round == 0 && !t.free && t.score+oneGains*float64(t.lightsFrom(r)) < desperate {
				return
			}
			t.shift(inventory.Role(r), round)
		}
		hopeless := t.score < nowhereNear && (round > 0 || len(t.level[inventory.Key]) <= nearLevels)
		if hopeless || round > 0 && t.score <= before {
			break
		}
	}
}

// oneGains is more than the move of one light mostly gains, by measurement.
const oneGains = 1500

// lightsFrom counts the lights from a role on.
func (t *trial) lightsFrom(r int) (n int) {
	for _, p := range t.at[r:] {
		if p != nil {
			n++
		}
	}
	return n
}

// shift moves one light to the best of its places at its level, and there to the best level: much
// quicker than all pairs, and as good.
func (t *trial) shift(r inventory.Role, round int) {
	levels := t.level[r]
	if round == 0 {
		levels = levels[:2]
	}
	for _, p := range t.poses[r] {
		if t.enough() {
			return
		}
		t.attempt(r, p, t.sc.Lights[r].Level.Lo)
	}
	for _, level := range levels {
		t.attempt(r, t.at[r], level)
	}
}

// notFragile is a margin, in units of what is fragile, with which nothing is.
const notFragile = 1

// enough reports whether nothing better is sought.
func (t *trial) enough() bool { return t.aim == nil && t.whole() && t.spare >= t.l.content }

// whole reports whether no goal is broken.
func (t *trial) whole() bool { return t.score > -50 }

// attempt keeps a move if it gains.
func (t *trial) attempt(r inventory.Role, p *pose, level float64) {
	was, power, scene := t.at[r], t.power[r], t.sc.Lights[r]
	t.put(r, p, level)
	if t.at[r] == was && t.sc.Lights[r].Level == scene.Level {
		return
	}
	if s := t.rate(); s > t.score+1e-9 {
		t.score, t.spare = s, t.tight
		return
	}
	t.at[r], t.power[r], t.sc.Lights[r] = was, power, scene
}

// polish moves lights by single marks of the tape and steps of the dial.
func (t *trial) polish() {
	for range 3 {
		before := t.score
		for r, g := range t.c.rigs {
			if g == nil || t.enough() {
				continue
			}
			role := inventory.Role(r)
			re := t.l.here(t.c, g)
			span := constraints.HeightsOf(g.stand, g.boom)
			for _, m := range t.moves() {
				b := t.at[r].box
				d, az, el := b.D.Lo+m[0], b.Az.Lo+m[1], b.El.Lo+m[2]
				if t.free && t.l.fromSpots > insistSpots {
					return
				}
				if p := t.l.tryPose(t.c, g, re, d, az, el, span); p != nil {
					p.reach = t.l.fromSpot(re, p.box)
					p.away = t.at[r].away
					t.attempt(role, p, t.sc.Lights[r].Level.Lo)
				}
			}
			for _, step := range []float64{0.2, -0.2, 0.1, -0.1} {
				t.attempt(role, t.at[r], t.sc.Lights[r].Level.Lo+step)
			}
		}
		if t.score <= before {
			return
		}
	}
}

// moves are the ways in which polish moves a light: distance, azimuth and elevation one by
// one, and also together where the trial is insisted on.
func (t *trial) moves() [][3]float64 {
	if !t.free {
		return [][3]float64{{2 * tape, 0, 0}, {-2 * tape, 0, 0}, {0, swing, 0}, {0, -swing, 0}, {0, 0, swing}, {0, 0, -swing}}
	}
	return allWays
}

var allWays = func() (out [][3]float64) {
	for _, d := range []float64{0, 2 * tape, -2 * tape, tape, -tape} {
		for _, az := range []float64{0, swing, -swing} {
			for _, el := range []float64{0, swing, -swing} {
				out = append(out, [3]float64{d, az, el})
			}
		}
	}
	return out[1:]
}()

// set is the rig as a set-up names it, without place and power.
func (g *rig) set() inventory.LightSet {
	s := inventory.LightSet{Role: g.role.String(), Head: g.head.ID, Light: "flash", Stand: g.stand.ID}
	if g.lamp {
		s.Light = "lamp"
	}
	if g.mod != nil {
		s.Modifier = g.mod.ID
	}
	if g.grid != nil {
		s.Grid = g.grid.ID
	}
	if g.gel != nil {
		s.Gel = g.gel.ID
	}
	if g.boom != nil {
		s.Boom = g.boom.ID
	}
	return s
}

// accept writes the trial down and has the full model check it afresh.
func (l *lattice) accept(c *candidate, t *trial) *Checked {
	set := &inventory.Setup{Name: "set-up", Studio: l.bench.Studio.Name, Brief: l.bench.Brief.Name,
		Camera: inventory.CameraSet{Body: c.body.ID, Lens: c.lens.ID, Aperture: l.apertures[t.e.aperture].Mark,
			Shutter: l.shutterMarks[t.e.shutter], ISO: l.isoMarks[t.e.iso],
			Frame: unit.Length(l.frames[c.frame]), Height: unit.Length(l.bench.CameraHeight())},
		Backdrop: inventory.BackdropSet{Item: c.paper.ID, Distance: unit.Length(l.depths[c.depth])}}
	for r, g := range c.rigs {
		if g == nil {
			continue
		}
		s := g.set()
		b := t.at[r].box
		s.Distance, s.Azimuth, s.Elevation = unit.Length(b.D.Lo), unit.Angle(b.Az.Lo), unit.Angle(b.El.Lo)
		s.Power = unit.Stops(t.power[r])
		set.Lights = append(set.Lights, s)
	}
	got, err := check(l.bench, l.goals, set)
	if err != nil || !l.satisfies(got, c.active) {
		return nil
	}
	got.from = c
	return got
}

// satisfies reports whether a checked set-up respects all limits and meets a set of goals.
func (l *lattice) satisfies(k *Checked, active mask) bool {
	for _, x := range k.Limits {
		if !x.Holds {
			return false
		}
	}
	for i := range l.goals {
		if active.has(i) && !k.Goals[i].Holds {
			return false
		}
	}
	return true
}
