package constraints

import (
	"cmp"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// What is said of every set-up is said of these: the settings that can be dialled or taped,
// and the range in which each light may stand. A search finds among them, a refutation
// covers all of them, and whoever checks one takes them from here.

// Space is which set-ups are looked at for a list of goals. For a part of the goals of a brief it
// is that of all of them: a conflict of few goals is one whatever the others want lit.
type Space struct {
	Roles  []inventory.Role         // that may be lit
	Gelled [inventory.NumRoles]bool // that may take a gel
	Wide   bool                     // the key may stand to the side and behind
}

// SpaceOf says which set-ups are looked at for some goals.
func (b *Bench) SpaceOf(goals []*Goal) Space {
	s := Space{Roles: lit(goals), Wide: b.wideKey(goals)}
	for _, r := range s.Roles {
		s.Gelled[r] = b.gelled(r, goals)
	}
	return s
}

// StatedRange is where a role's light may stand: distance in metres, azimuth and elevation
// in degrees.
type StatedRange struct{ D, Az, El unit.Interval }

// Stated is the range of each role. Common practice, no source.
var Stated = [inventory.NumRoles]StatedRange{
	inventory.Key:        {within(0.5, 3), within(-75, 75), within(-5, 50)},
	inventory.Fill:       {within(0.6, 3), within(-60, 60), within(-30, 45)},
	inventory.RimLeft:    {within(0.6, 2.5), within(-172, -115), within(-10, 50)},
	inventory.RimRight:   {within(0.6, 2.5), within(115, 172), within(-10, 50)},
	inventory.Hair:       {within(0.5, 1.6), within(150, 210), within(35, 85)},
	inventory.Background: {within(0.4, 2), within(-75, 75), within(-75, 60)},
}

// wideRange is the key's azimuth when a goal asks for light from the side or behind.
var wideRange = within(-140, 140)

func within(lo, hi float64) unit.Interval { return unit.Interval{Lo: lo, Hi: hi} }

// wideKey reports whether some must among the goals fails all over the key's usual range.
func (b *Bench) wideKey(goals []*Goal) bool {
	sc := NewScene(b)
	key := &sc.Lights[inventory.Key]
	key.On, key.Posed, key.Pose = unit.Point(1), true, Stated[inventory.Key].box()
	r := Measure(&sc)
	return slices.ContainsFunc(goals, func(g *Goal) bool {
		return g.Wish == 0 && g.Req.Reads()&Pose(inventory.Key) != 0 && g.Fails(&r)
	})
}

// Ranges is where a role's light may stand, angles in radians and without a target; wide as
// a Space says.
func Ranges(r inventory.Role, wide bool) light.PoseBox {
	s := Stated[r]
	if r == inventory.Key && wide {
		s.Az = wideRange
	}
	return s.box()
}

func (s StatedRange) box() light.PoseBox {
	return light.PoseBox{D: s.D, Az: inRadians(s.Az), El: inRadians(s.El)}
}

func inRadians(a unit.Interval) unit.Interval {
	return unit.Interval{Lo: a.Lo * math.Pi / 180, Hi: a.Hi * math.Pi / 180}
}

// Frames are the heights of the frame at the sitter, metres.
var Frames = []float64{0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.75, 0.85, 0.90, 1.00, 1.10, 1.20, 1.35, 1.50, 1.90, 2.10, 2.30}

// Slowest is the slowest shutter that is considered for a person, s.
const Slowest = 1.0 / 8

// BackdropDistances are the distances from the sitter to the backdrop, metres.
func (b *Bench) BackdropDistances() (out []float64) {
	allowed := b.Depths()
	for d := 0.5; d <= 6.001; d += 0.25 {
		if d >= float64(allowed.Lo)-1e-9 && d <= float64(allowed.Hi)+1e-9 {
			out = append(out, d)
		}
	}
	if len(out) == 0 {
		out = []float64{float64(allowed.Lo)}
	}
	return out
}

// Stop is an f-number: as it is dialled and as it is.
type Stop struct {
	Mark unit.FNumber
	True float64
	Of   unit.FNumber // the lens maximum it stands for; 0 for a mark on every scale
}

// On reports whether a lens has the stop.
func (s Stop) On(l *inventory.Lens) bool {
	if s.Of != 0 {
		return s.Of == l.Widest
	}
	return s.Mark > l.Widest && s.Mark <= l.Narrowest
}

// Stops are the f-numbers of some lenses, by their true value.
func Stops(lenses []*inventory.Lens) (out []Stop) {
	add := func(s Stop) {
		if !slices.ContainsFunc(out, func(o Stop) bool { return o.True == s.True && o.Of == s.Of }) {
			out = append(out, s)
		}
	}
	for _, l := range lenses {
		add(Stop{l.Widest, float64(l.Widest), l.Widest})
		for _, n := range unit.FStops() {
			if n > l.Widest && n <= l.Narrowest {
				add(Stop{Mark: n, True: n.True()})
			}
		}
	}
	slices.SortFunc(out, func(a, b Stop) int {
		return cmp.Or(cmp.Compare(a.True, b.True), cmp.Compare(a.Of, b.Of))
	})
	return out
}

// Times are the shutter times of some bodies, the shortest first.
func Times(bodies []*inventory.Camera) (out []unit.Shutter) {
	for _, t := range unit.Shutters() {
		if t.True() <= Slowest*1.001 && slices.ContainsFunc(bodies, func(c *inventory.Camera) bool { return HasTime(c, t) }) {
			out = append(out, t)
		}
	}
	slices.SortFunc(out, func(a, b unit.Shutter) int { return cmp.Compare(a.True(), b.True()) })
	return out
}

// HasTime reports whether a body's shutter is as fast as that.
func HasTime(c *inventory.Camera, t unit.Shutter) bool { return t.True() >= c.Fastest.True()*0.999 }

// Synced reports whether all of a frame is open at a shutter time when a flash fires.
func Synced(c *inventory.Camera, t unit.Shutter) bool {
	return c.Sync <= 0 || t.True() >= c.Sync.True()*0.999
}

// ISOs are the settings of some bodies, in rising order.
func ISOs(bodies []*inventory.Camera) (out []unit.ISO) {
	top, base := 0.0, math.Inf(1)
	for _, c := range bodies {
		top, base = max(top, c.TopISO.True()), min(base, c.BaseISO.True())
	}
	for _, s := range unit.ISOs() {
		if s.True() >= base*0.999 && s.True() <= top*1.001 {
			out = append(out, s)
		}
	}
	return out
}

// HasISO reports whether a body has a setting.
func HasISO(c *inventory.Camera, s unit.ISO) bool {
	return s.True() >= c.BaseISO.True()*0.999 && s.True() <= c.TopISO.True()*1.001
}

// Fails reports whether a goal fails on every member of a box.
func (g *Goal) Fails(r *Reading) bool {
	parts := g.Req.Judge(r, nil)
	for i := range parts {
		if parts[i].Fails() {
			return true
		}
	}
	return false
}

// FrameFits says that a lens, at a framing and a backdrop distance, is no nearer than it
// focuses, has room behind it, and sees nothing beside the backdrop. A nil backdrop is one
// that is wide enough.
func (b *Bench) FrameFits(c *inventory.Camera, l *inventory.Lens, frame, depth float64, paper *inventory.Backdrop) bool {
	if float64(l.Focal)*(1+frame/float64(c.Sensor.Long())) < float64(l.Nearest) {
		return false
	}
	room := b.Studio.Room
	y, width := b.Stand(c, l, frame)
	if y+depth > float64(room.Depth-room.Standoff-room.Behind)+1e-9 {
		return false
	}
	return paper == nil || width*(y+depth) <= float64(paper.Width)+1e-9
}

// lit lists the roles that may be lit: the key, and what some goal needs or could use.
func lit(goals []*Goal) (out []inventory.Role) {
	var may [inventory.NumRoles]bool
	may[inventory.Key] = true
	for _, g := range goals {
		need, maybe := g.Req.Roles()
		for _, r := range slices.Concat(need, maybe) {
			may[r] = true
		}
	}
	for r := range inventory.NumRoles {
		if may[r] {
			out = append(out, r)
		}
	}
	return out
}

// gelled reports whether some goal asks for a colour of a role's light; where none does the
// light takes no gel. A goal that only compares with the key's colour asks nothing of the key.
func (b *Bench) gelled(r inventory.Role, goals []*Goal) bool {
	return slices.ContainsFunc(goals, func(g *Goal) bool {
		a := g.Req.Reads()
		if a&Colour(r) != 0 && a&(Gear(r)|Level(r)) != 0 {
			return true
		}
		for rule := range g.Req.Rules(b) { // or a gel is named
			for _, p := range rule.Need {
				if p.Slot == RoleSlot(r, "gel") && p.Item != None {
					return true
				}
			}
		}
		return false
	})
}
