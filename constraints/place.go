package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// Body is the bulk of a light about its face, metres.
type Body struct {
	Face light.Face
	Back float64 // from the face to the back of the head
}

// headLength stands for the length of a head behind its mount (common practice, no source).
const headLength = 0.30

// BodyOf is the bulk of a head with a modifier (nil: bare).
func BodyOf(h *inventory.Head, m *inventory.Modifier) Body {
	if m == nil {
		return Body{Face: h.BareEmitter().Face, Back: headLength}
	}
	return Body{Face: m.Emitter(nil).Face, Back: headLength + float64(m.Depth)}
}

const (
	WallGap    = 0.05 // m, between a light and wall, ceiling or floor
	lightGap   = 0.30 // m, between the faces of two lights
	behindPole = 0.15 // m, from a light's face centre to a wall: its stand needs that
)

// InRoom is how far a light stands inside the room and in front of the backdrop, metres,
// over a box of poses: below zero it does not fit.
func (l *Layout) InRoom(box light.PoseBox, body Body, depth float64) unit.Interval {
	dir := geom.Polar(box.Az.Mid(), box.El.Mid())
	at := box.Target.Add(dir.Mul(box.D.Mid()))
	back := at.Add(dir.Mul(body.Back))
	half := HalfHeight(body.Face) * math.Cos(box.El.Mid())
	lo, hi := l.Bench.Room(depth)
	lo.Y = -depth
	m := min(
		at.X-lo.X-behindPole, hi.X-at.X-behindPole, hi.Y-at.Y-behindPole,
		back.X-lo.X-WallGap, hi.X-back.X-WallGap, back.Y-lo.Y-WallGap, hi.Y-back.Y-WallGap,
		hi.Z-at.Z-half-WallGap, at.Z-half-WallGap, hi.Z-back.Z-WallGap, back.Z-WallGap)
	if box.D.IsPoint() && box.Az.IsPoint() && box.El.IsPoint() {
		return unit.Point(m)
	}
	r := boxRadius(light.PoseBox{D: box.D.Add(unit.Point(body.Back)), Az: box.Az, El: box.El}) + HalfHeight(body.Face)*box.El.Width()/2
	ball := unit.Interval{Lo: m - r, Hi: m + r}.Out()
	return ball.And(upright(box, body, lo.Z, hi.Z, ball))
}

// upright bounds InRoom by floor and ceiling alone, over a box of poses, from the ranges of
// height and tilt: closer than a ball about the middle. Walls can only take more away.
func upright(box light.PoseBox, body Body, floor, ceiling float64, walls unit.Interval) unit.Interval {
	if box.El.Lo < -math.Pi/2 || box.El.Hi > math.Pi/2 {
		return walls
	}
	half := cosOf(box.El.Abs()).Scale(HalfHeight(body.Face))
	face := Height(box)
	back := Height(light.PoseBox{Target: box.Target, D: box.D.Add(unit.Point(body.Back)), Az: box.Az, El: box.El})
	top, bottom := face.Add(half).Max(back), face.Sub(half).Min(back)
	most := min(ceiling-top.Lo, bottom.Hi-floor) - WallGap
	return unit.Interval{Lo: walls.Lo, Hi: math.Nextafter(most+1e-12, math.Inf(1))}
}

// Camera, tripod and whoever looks through it take a piece of floor from the lens backward: no
// light stands there, and only one on an arm hangs over it (common practice, no source).
const (
	cameraFront = 0.1  // m, before the lens
	cameraBack  = 0.8  // m, behind it
	cameraSide  = 0.35 // m, to either side
	headRoom    = 0.25 // m, above the lens
	bodyHalf    = 0.2  // m, from the middle of whoever shades a light
)

// OffCamera is how far a light and its stand keep off the camera and the photographer, metres, at
// an exact pose with the camera's place known: below zero they stand in one place, or the
// photographer stands between the light and its target.
func (l *Layout) OffCamera(pose light.PoseBox, body Body, boom bool) float64 {
	at := At(pose)
	if boom && at.Z-HalfHeight(body.Face) >= l.Cam.Z+headRoom {
		return math.Inf(1)
	}
	off := math.Inf(1)
	for _, p := range []geom.Vec{at, at.Add(geom.Polar(pose.Az.Lo, pose.El.Lo).Mul(body.Back))} {
		off = min(off, max(math.Abs(p.X-l.Cam.X)-cameraSide, l.Cam.Y-cameraFront-p.Y, p.Y-l.Cam.Y-cameraBack))
	}
	to := pose.Target.Sub(at)
	for _, t := range []float64{0, 0.25, 0.5, 0.75, 1} { // from the lens backward
		y := l.Cam.Y + t*cameraBack
		if y >= at.Y {
			break
		}
		p := at.Add(to.Mul((y - at.Y) / to.Y))
		off = min(off, max(math.Abs(p.X-l.Cam.X)-bodyHalf, p.Z-l.Cam.Z-headRoom))
	}
	return off
}

// Height is the height of the face centre over a box of poses.
func Height(box light.PoseBox) unit.Interval {
	lo, hi := math.Sin(box.El.Lo), math.Sin(box.El.Hi) // elevations stay within a quarter turn
	s := unit.Interval{Lo: min(lo, hi), Hi: max(lo, hi)}
	if !box.El.IsPoint() {
		s = s.Out()
	}
	return s.Mul(box.D).Add(unit.Point(box.Target.Z))
}

// boomRise is how far above or below its stand an arm can put a light, as a share of its reach.
const boomRise = 0.4

// HeightsOf is the range of heights at which a stand, with an arm or without, holds a light; an
// arm goes down as far as up.
func HeightsOf(stand *inventory.Stand, boom *inventory.Boom) unit.Interval {
	rise := 0.0
	if boom != nil {
		rise = boomRise * float64(boom.Reach)
	}
	return unit.Interval{Lo: float64(stand.Lowest) - rise, Hi: float64(stand.Height) + rise}
}

// Limit is a fact of the kit or the room that any set-up must respect.
type Limit struct {
	What     string // "ceiling", "stand of the key"
	Margin   float64
	Holds    bool
	Sentence string
}

// checks are the limits of a set-up. Words take most of the time: unless told, those that
// hold have none.
type checks struct {
	told bool
	all  []Limit
}

// tapeTells is what a tape can tell, metres: who sets up by hand is not failed for less. The
// search and its referees are, as proofs count every hair.
const tapeTells = 0.0005

func (l *checks) add(what string, margin float64, format string, args ...any) {
	x := Limit{What: what, Margin: margin, Holds: margin >= 0 || l.told && margin > -tapeTells}
	if l.told || !x.Holds {
		x.Sentence = fmt.Sprintf(format, args...)
	}
	l.all = append(l.all, x)
}

// Limits judges what no brief can wave away: the room, heights and loads, what fits what,
// focus and sync, and how many of each item there are.
func (b *Bench) Limits(set *inventory.Setup, sc *Scene) []Limit { return b.limits(set, sc, true) }

// Breaks is Limits without the sentences of those that hold.
func (b *Bench) Breaks(set *inventory.Setup, sc *Scene) []Limit { return b.limits(set, sc, false) }

func (b *Bench) limits(set *inventory.Setup, sc *Scene, told bool) []Limit {
	s := b.Studio
	_, hi := b.Room(sc.Depth.Lo)
	out := checks{told: told, all: make([]Limit, 0, 24)}
	behind := hi.Y - sc.layout.Cam.Y - float64(s.Room.Behind)
	out.add("camera in the room", behind, "The camera stands %.2f m from the sitter, %s; it needs %.2f m.",
		sc.layout.Cam.Y, backing(hi.Y-sc.layout.Cam.Y), float64(s.Room.Behind))
	nearest := sc.layout.focus - float64(sc.Lens.Nearest)
	out.add("nearest focus", nearest, "The lens focuses from %.2f m; the eyes are at %.2f m.", float64(sc.Lens.Nearest), sc.layout.focus)
	paper := float64(sc.Backdrop.Width)/2 - sc.layout.tanW*(sc.layout.Cam.Y+sc.Depth.Lo)
	out.add("backdrop width", paper, "The frame takes in %.2f m of the backdrop, which is %.2f m wide.",
		2*sc.layout.tanW*(sc.layout.Cam.Y+sc.Depth.Lo), float64(sc.Backdrop.Width))
	if !sc.Body.Takes(sc.Lens) {
		out.add("mount", -1, "The %s does not fit the %s.", sc.Lens.Label(), sc.Body.Label())
	}
	dials(&out, &set.Camera, sc)
	flash := 0
	for _, ls := range set.Lights {
		role, _ := inventory.RoleByName(ls.Role)
		b.lightLimits(&out, role, &ls, sc)
		if ls.Light == "flash" {
			flash++
		}
	}
	if flash > 0 && sc.Body.Sync > 0 {
		m := sc.Shutter.Lo/sc.Body.Sync.True() - 1
		out.add("flash sync", m+1e-9, "The body syncs with flash at %s or slower; the shutter is %s.", sc.Body.Sync, set.Camera.Shutter)
	}
	b.cardLimits(&out, set, sc)
	b.apart(&out, set, sc)
	b.counts(&out, set, flash)
	return out.all
}

// dials says which settings body and lens do not have. An end that the studio file leaves out
// is an assumption, and named as one.
func dials(out *checks, cam *inventory.CameraSet, sc *Scene) {
	body, lens := sc.Body, sc.Lens
	unless := func(p *source.Places, key string) string {
		if p.Wrote(key) {
			return ""
		}
		return ", as is assumed where " + key + " is not written"
	}
	switch n := cam.Aperture; {
	case n < lens.Widest:
		out.add("aperture", -1, "The %s opens to %s; %s is not on it.", lens.Label(), lens.Widest, n)
	case n > lens.Narrowest && lens.Narrowest > 0:
		out.add("aperture", -1, "The %s closes to %s%s; %s is not on it.", lens.Label(), lens.Narrowest, unless(&lens.Places, "narrowest"), n)
	}
	if t := cam.Shutter; !HasTime(body, t) {
		out.add("shutter", -1, "The shutter of the %s goes to %s%s; %s is not on it.", body.Label(), body.Fastest, unless(&body.Places, "fastest"), t)
	}
	switch s := cam.ISO; {
	case HasISO(body, s):
	case s < body.BaseISO:
		out.add("ISO", -1, "The %s begins at %s; %s is not on it.", body.Label(), body.BaseISO, s)
	default:
		out.add("ISO", -1, "The %s ends at %s%s; %s is not on it.", body.Label(), body.TopISO, unless(&body.Places, "top_iso"), s)
	}
}

func (b *Bench) lightLimits(out *checks, role inventory.Role, ls *inventory.LightSet, sc *Scene) {
	s := b.Studio
	h, m, g, gel := s.Head(ls.Head), s.Modifier(ls.Modifier), s.Grid(ls.Grid), s.Gel(ls.Gel)
	stand, boom := s.Stand(ls.Stand), s.Boom(ls.Boom)
	l := &sc.Lights[role]
	name := role.String()
	body := BodyOf(h, m)
	in := sc.layout.InRoom(l.Pose, body, sc.Depth.Lo).Lo
	out.add(name+" in the room", in, "The %s %s.", name, clearance(in))
	if off := sc.layout.OffCamera(l.Pose, body, boom != nil); off < 0 {
		out.add(name+" beside the camera", off, "The %s stands where the camera and the photographer do, or behind them.", name)
	}
	z := Height(l.Pose).Lo
	span := HeightsOf(stand, boom)
	if m := z - span.Lo; m < 0 {
		out.add(name+" stand height", m, "The %s hangs %.2f m up; its stand goes down to %.2f m.", name, z, span.Lo)
	} else {
		out.add(name+" stand height", span.Hi-z, "The %s hangs %.2f m up; its stand reaches %.2f m.", name, z, span.Hi)
	}
	mass := inventory.LightMass(h, m, g)
	load := 1.0
	if !inventory.Carries(stand, boom, mass) {
		load = -1
	}
	out.add(name+" stand load", load, "The %s weighs %s on the %s.", name, mass, stand.Label())
	if !inventory.HeadTakes(h, m) {
		out.add(name+" mount", -1, "The %s does not take that modifier.", h.Label())
	}
	if !inventory.ModTakesGrid(m, g) {
		out.add(name+" grid", -1, "The grid does not fit the modifier of the %s.", name)
	}
	if !inventory.HeadTakesGel(h, m, gel) {
		out.add(name+" gel", -1, "The gel cannot go on the %s.", name)
	}
	n, step := h.Powers(ls.Light == "lamp")
	down := -float64(ls.Power)
	on := math.Abs(down/float64(step)-math.Round(down/float64(step))) < 0.1001 // thirds are written as 0.3 and 0.7
	range_ := float64(n-1)*float64(step) - down
	if step == 0 {
		on, range_ = true, -down
	}
	if !on || down < -1e-9 {
		range_ = -1
	}
	out.add(name+" power", range_+1e-9, "The %s is set %s; its dial goes down %.1f stops in steps of %.2f.", name, ls.Power, float64(n-1)*float64(step), float64(step))
}

// apart keeps lights out of each other's place.
func (b *Bench) apart(out *checks, set *inventory.Setup, sc *Scene) {
	for i := range set.Lights {
		for j := range i {
			p, _ := inventory.RoleByName(set.Lights[i].Role)
			q, _ := inventory.RoleByName(set.Lights[j].Role)
			d := At(sc.Lights[p].Pose).Sub(At(sc.Lights[q].Pose)).Len() - lightGap
			if d < 0 {
				out.add("room between lights", d, "The %s and the %s stand in one place.", p, q)
			}
		}
	}
}

// At is the face centre of an exact pose.
func At(p light.PoseBox) geom.Vec {
	return p.Target.Add(geom.Polar(p.Az.Lo, p.El.Lo).Mul(p.D.Lo))
}

// Aim is the point at its target's distance that the face of an exact pose looks at, turned
// away by an angle.
func Aim(p light.PoseBox, feather unit.Angle) geom.Vec {
	if feather == 0 {
		return p.Target
	}
	return feathered(p, float64(feather)).Aim
}

func (b *Bench) counts(out *checks, set *inventory.Setup, flash int) {
	used := map[inventory.ID]int{}
	order := []inventory.ID{}
	use := func(id inventory.ID) {
		if id == "" {
			return
		}
		if used[id] == 0 {
			order = append(order, id)
		}
		used[id]++
	}
	for _, id := range set.Uses() {
		if id != set.Camera.Body && id != set.Camera.Lens && id != set.Backdrop.Item {
			use(id)
		}
	}
	for _, id := range order {
		_, item, ok := b.Studio.Find(id)
		if ok && used[id] > item.Count {
			out.add("count", float64(item.Count-used[id]), "The set-up uses %d of %s and there are %d.", used[id], item.Label(), item.Count)
		}
	}
	if fires, any := b.Fires(); any && flash > fires {
		out.add("triggers", float64(fires-flash), "%d flash heads fire and the triggers serve %d.", flash, fires)
	}
}

// Fires is how many flash heads the triggers serve; false where none are listed, and then
// nothing is said of them.
func (b *Bench) Fires() (n int, any bool) {
	for i := range b.Studio.Triggers {
		t := &b.Studio.Triggers[i]
		n += t.Count * t.Fires
		any = true
	}
	return n, any
}

// radius of the smallest ball about the centre that holds a face.
func radius(f light.Face) float64 {
	if f.Kind == light.Rect {
		return math.Hypot(f.W, f.H) / 2
	}
	return f.W / 2
}

// HalfHeight is half the height of a face as it stands, in metres.
func HalfHeight(f light.Face) float64 {
	if f.Kind == light.Rect {
		return f.H / 2
	}
	return f.W / 2
}
