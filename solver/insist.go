package solver

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// Limits on how long gear is insisted on.
const (
	insistRounds = 8   // moves of the camera and the backdrop
	insistPolish = 2   // times that lights are moved after each
	insistPlaces = 6   // places that are gone on from
	insistSpots  = 600 // places of lights that are computed
)

// insist looks for a set-up with gear that find did not succeed with. It goes on from
// where find came nearest, and moves the frame and the backdrop as well as the lights: what
// is just possible mostly lies at the ends of the ranges, where nobody would try first.
// Powers are free until a place is found, for the camera's setting can follow.
// Where it comes up empty it returns where it came nearest; nil where no light could stand.
func (l *lattice) insist(c *candidate) (*Checked, *trial) {
	clear(l.spots)
	l.fromSpots = 0
	var nearest *trial
	for _, t := range l.starts(c) {
		if t = t.climb(); t.whole() {
			if d := t.dialled(); d != nil {
				if got := l.accept(d.c, d); got != nil {
					return got, nil
				}
			}
		}
		if nearest == nil || t.score > nearest.score {
			nearest = t
		}
	}
	if nearest != nil {
		return nearest.measured(), nearest
	}
	return nil, nil
}

// place tells where a trial came to, and what it breaks there.
func (t *trial) place() string {
	t.appraise()
	var broken []string
	for _, r := range t.broken() {
		broken = append(broken, r.Sentence)
	}
	var lights []string
	for r, p := range t.at {
		if p != nil {
			lights = append(lights, fmt.Sprintf("%s %s away at %.0f deg and %.0f deg up", inventory.Role(r), unit.Length(p.box.D.Lo), p.box.Az.Lo*degrees, p.box.El.Lo*degrees))
		}
	}
	text := fmt.Sprintf("It came nearest with the backdrop at %s and the %s", unit.Length(t.l.depths[t.c.depth]), list(lights))
	if len(broken) == 0 {
		return text + ", where no dial gives what all goals want."
	}
	return text + ", and there " + strings.Join(broken, "; ") + "."
}

// broken lists the goals that a trial breaks.
func (t *trial) broken() (out []GoalResult) {
	for i, g := range t.l.goals {
		if !t.c.active.has(i) {
			continue
		}
		if parts := g.Req.Judge(&t.rd, nil); slices.ContainsFunc(parts, func(p constraints.Part) bool { return p.Margin().Lo < 0 }) {
			out = append(out, GoalResult{Goal: g, Parts: parts, Sentence: constraints.Sentence(g, parts)})
		}
	}
	return out
}

// Limits on measuring a key's distance out.
const (
	narrowLevel = 0.3 // stops, a window of its level that the marks of the tape step over
	mostMarked  = 40  // whole centimetres and settings that are tried
)

// measured goes over whole centimetres of the key's distance, and all settings of the camera,
// where the level that is wanted is so narrow that the tape's marks and the head's steps miss
// it; nil where none does.
func (t *trial) measured() *Checked {
	l, c := t.l, t.c
	g, at := c.rigs[inventory.Key], t.at[inventory.Key]
	w := l.levelWindow(c, inventory.Key, c.active, ^mask(0))
	if g == nil || at == nil || !(w.Width() < narrowLevel) {
		return nil
	}
	_, f := t.carried(c.frame, c.depth)
	if f == nil {
		return nil
	}
	re, span := l.here(c, g), constraints.HeightsOf(g.stand, g.boom)
	n, step := g.head.Powers(g.lamp)
	whole := l.ranges(inventory.Key).D
	type mark struct {
		e    exposure
		d    float64
		away float64 // from where the search came nearest
	}
	var marks []mark
	settings := l.settingsOf(c)
	for e := range l.everyExposure(c, settings) {
		for cm := math.Ceil(whole.Lo * 100); cm <= whole.Hi*100; cm++ {
			d := taped(cm / 100)
			full := g.source.Output + math.Log2(re.site.emitter.OnAxis(d)) - e.need
			if g.lamp {
				full += e.time
			}
			k := 0.0
			if step > 0 {
				k = min(max(0, math.Round((full-w.Mid())/float64(step))), float64(n-1))
			}
			if w.Contains(full - k*float64(step)) {
				marks = append(marks, mark{e, d, math.Abs(math.Log2(d / at.box.D.Lo))})
			}
		}
	}
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.away, b.away) })
	tried := 0
	for _, m := range marks {
		p := l.poseAt(c, g, re, m.d, at.box.Az.Lo, at.box.El.Lo, span)
		if p == nil {
			continue
		}
		if tried++; tried > mostMarked {
			break
		}
		p.reach, p.away = l.fromSpot(re, p.box), at.away
		own := *f
		own.free = false
		own.poses[inventory.Key] = []*pose{p}
		d := t.with(c, m.e, &own)
		if d == nil {
			continue
		}
		d.put(inventory.Key, p, w.Mid())
		if d.score = d.rate(); d.whole() {
			if got := l.accept(c, d); got != nil {
				return got
			}
		}
	}
	return nil
}

// everyExposure yields the settings of the camera that satisfy what is asked of it.
func (l *lattice) everyExposure(c *candidate, s *settings) iter.Seq[exposure] {
	return func(yield func(exposure) bool) {
		sc := &s.scene
		buf := make([]constraints.Part, 0, 8)
		for _, i := range s.isos {
			sc.ISO = unit.Point(l.isos[i])
			for _, t := range s.times {
				for _, a := range s.stops {
					e := exposure{aperture: a, shutter: t, iso: i, time: math.Log2(l.shutters[t])}
					e.need = l.bench.Needed(unit.Point(l.apertures[a].True), sc.ISO).Lo
					sc.Shutter, sc.Aperture = unit.Point(l.shutters[t]), unit.Point(l.apertures[a].True)
					if e.room = l.cameraRoom(sc, c.active, buf); e.room >= 0 && !yield(e) {
						return
					}
				}
			}
		}
	}
}

// spot is an exact place of a light.
type spot struct {
	site site
	box  light.PoseBox
}

// fromSpot is what a light does from an exact place, worked out once: climbing comes by
// the same places again and again.
func (l *lattice) fromSpot(re *region, box light.PoseBox) *constraints.Response {
	key := spot{re.site, box}
	if got, ok := l.spots[key]; ok {
		return got
	}
	got := re.layout.Respond(re.site.role, re.site.emitter, box)
	l.spots[key] = got
	l.fromSpots++
	return got
}

// starts are free trials at the places that are tried first, the nearest to whole first,
// even if they break goals.
func (l *lattice) starts(c *candidate) (out []*trial) {
	for _, place := range append(l.tryPlaces(c), l.farPlaces(c)...) {
		d := *c
		d.frame, d.depth = place[0], place[1]
		f, ok := l.start(&d)
		if !ok {
			continue
		}
		list := l.exposures(&d, f)
		f.free, f.spans = true, l.spans(l.settingsOf(&d))
		for r, g := range d.rigs {
			if g != nil {
				f.poses[r] = slices.Concat(f.poses[r], l.strongest(&d, g))
			}
		}
		if len(list) == 0 { // too weak, it may be, from where one would try first
			list = l.exposures(&d, f)
		}
		if len(list) == 0 {
			continue
		}
		if t := l.newTrial(&d, list[0], f); t != nil {
			t.improve()
			t.polish()
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, func(a, b *trial) int { return cmp.Compare(b.score, a.score) })
	return out
}

// farPlaces lists the largest distance of the backdrop at which the camera still fits, with
// the tightest frame that suits and with the widest.
func (l *lattice) farPlaces(c *candidate) (out [][2]int) {
	set := l.framings(c.active)
	for _, up := range []bool{true, false} {
		for k := range l.frames {
			f := k
			if !up {
				f = len(l.frames) - 1 - k
			}
			d := *c
			d.frame, d.depth = f, len(l.depths)-1
			for d.depth > 0 && !l.fits(&d) {
				d.depth--
			}
			if set&(1<<f) != 0 && l.fits(&d) {
				out = append(out, [2]int{f, d.depth})
				break
			}
		}
	}
	return out
}

// climb moves camera, backdrop and lights while that gains.
func (t *trial) climb() *trial {
	best := t
	for range insistRounds {
		if best.whole() {
			break
		}
		before := best.score
		for _, t := range append(best.elsewhere(), best) {
			for range insistPolish {
				t.polish()
			}
			if t.score > best.score {
				best = t
			}
		}
		if best.score <= before {
			break
		}
	}
	return best
}

// elsewhere lists the most promising trials with another frame or backdrop distance and
// the lights about the sitter as they stand.
func (t *trial) elsewhere() (out []*trial) {
	for frame := range t.l.frames {
		for depth := range t.l.depths {
			if frame == t.c.frame && depth == t.c.depth {
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
	}
	slices.SortStableFunc(out, func(a, b *trial) int { return cmp.Compare(b.score, a.score) })
	return out[:min(insistPlaces, len(out))]
}

// carried is the lights as they stand about the sitter, at another place of camera and
// backdrop; nil where the camera or a light cannot be there.
func (t *trial) carried(frame, depth int) (*candidate, *frameOf) {
	l, d := t.l, *t.c
	d.frame, d.depth = frame, depth
	if !l.fits(&d) {
		return nil, nil
	}
	f := &frameOf{}
	for r, g := range d.rigs {
		if g == nil {
			continue
		}
		re := l.here(&d, g)
		b := t.at[r].box
		p := l.tryPose(&d, g, re, b.D.Lo, b.Az.Lo, b.El.Lo, constraints.HeightsOf(g.stand, g.boom))
		if p == nil {
			return nil, nil
		}
		p.reach = l.fromSpot(re, p.box)
		p.away = t.at[r].away
		f.poses[r] = []*pose{p}
		f.window[r] = l.levelWindow(&d, inventory.Role(r), d.active, ^mask(0))
	}
	return &d, f
}

// with is the trial at another exposure, or in places that were carried.
func (t *trial) with(c *candidate, e exposure, f *frameOf) *trial {
	moved := t.l.newTrial(c, e, f)
	if moved == nil || t.l.cameraRoom(&moved.sc, c.active, nil) < 0 {
		return nil
	}
	moved.aim = t.aim
	moved.putAll(f, func(r inventory.Role) float64 { return t.sc.Lights[r].Level.Lo })
	return moved
}

// putAll places every light at its first pose and at a level.
func (t *trial) putAll(f *frameOf, level func(inventory.Role) float64) {
	for r, poses := range f.poses {
		if poses != nil {
			t.put(inventory.Role(r), poses[0], level(inventory.Role(r)))
		}
	}
	t.appraise()
}

// built is a free trial as a set-up; nil where a goal is broken or no dial gives it.
func (t *trial) built() *Checked {
	if !t.whole() {
		return nil
	}
	if d := t.dialled(); d != nil {
		return t.l.accept(d.c, d)
	}
	return nil
}

// dialled is the best of a free trial's exposures in which every light can be dialled, on
// its steps; nil where there is none.
func (t *trial) dialled() (best *trial) {
	c, f := t.carried(t.c.frame, t.c.depth)
	if f == nil {
		return nil
	}
	for _, e := range t.l.exposures(c, f) {
		d := t.with(c, e, f)
		if d == nil {
			continue
		}
		if d.polish(); d.whole() && (best == nil || d.score > best.score) {
			best = d
		}
	}
	return best
}
