package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
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

// Height is the height of the face centre over a box of poses.
func Height(box light.PoseBox) unit.Interval {
	lo, hi := math.Sin(box.El.Lo), math.Sin(box.El.Hi) // elevations stay within a quarter turn
	s := unit.Interval{Lo: min(lo, hi), Hi: max(lo, hi)}
	if !box.El.IsPoint() {
		s = s.Out()
	}
	return s.Mul(box.D).Add(unit.Point(box.Target.Z))
}

// boomRise is how far above its stand an arm can put a light, as a share of its reach.
const boomRise = 0.4

// TopOf is the greatest height at which a stand, with an arm or without, holds a light.
func TopOf(stand *inventory.Stand, boom *inventory.Boom) float64 {
	if boom == nil {
		return float64(stand.Height)
	}
	return float64(stand.Height) + boomRise*float64(boom.Reach)
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

func (l *checks) add(what string, margin float64, format string, args ...any) {
	x := Limit{What: what, Margin: margin, Holds: margin >= 0}
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

func (b *Bench) lightLimits(out *checks, role inventory.Role, ls *inventory.LightSet, sc *Scene) {
	s := b.Studio
	h, m, g, gel := s.Head(ls.Head), s.Modifier(ls.Modifier), s.Grid(ls.Grid), s.Gel(ls.Gel)
	stand, boom := s.Stand(ls.Stand), s.Boom(ls.Boom)
	l := &sc.Lights[role]
	name := role.String()
	body := BodyOf(h, m)
	in := sc.layout.InRoom(l.Pose, body, sc.Depth.Lo).Lo
	out.add(name+" in the room", in, "The %s %s.", name, clearance(in))
	z := Height(l.Pose).Lo
	top := TopOf(stand, boom) - z
	out.add(name+" stand height", top, "The %s hangs %.2f m up; its stand reaches %.2f m.", name, z, TopOf(stand, boom))
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
	on := math.Abs(down/float64(step)-math.Round(down/float64(step))) < 1e-6
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
