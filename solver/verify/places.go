package verify

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/unit"
)

// goalSet is a set of goals by index.
type goalSet uint64

func (g goalSet) has(i int) bool { return g&(1<<i) != 0 }

// cover is how the stated range of a role is cut: where along each axis, and how boxes of
// that grid are halved further. It covers the range because it is a way to cut, not a list
// of pieces.
type cover struct {
	grid   [3][]float64 // metres, radians, radians
	halves map[int]string
}

// readGrid reads where an axis is cut, which must be all of the stated range.
func readGrid(words []string, whole unit.Interval) ([]float64, error) {
	var cuts []float64
	for _, text := range words {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || len(cuts) > 0 && !(x > cuts[len(cuts)-1]) {
			return nil, fmt.Errorf("%q does not go on", text)
		}
		cuts = append(cuts, x)
	}
	if len(cuts) < 2 || cuts[0] != whole.Lo || cuts[len(cuts)-1] != whole.Hi {
		return nil, fmt.Errorf("it does not cover %v to %v", whole.Lo, whole.Hi)
	}
	return cuts, nil
}

// readGrids reads the grids of all roles that may be lit.
func (w *world) readGrids(p *Proof) (grids [inventory.NumRoles][3][]float64, err error) {
	for _, line := range p.Grids {
		words := strings.Fields(line)
		r, ok := inventory.RoleByName(words[0])
		if !ok || len(words) < 3 {
			return grids, fmt.Errorf("%q is no grid", line)
		}
		whole := constraints.Ranges(r, w.Wide)
		axis := slices.Index([]string{"distance", "azimuth", "elevation"}, words[1])
		if axis < 0 || grids[r][axis] != nil {
			return grids, fmt.Errorf("%q is no grid", line)
		}
		if grids[r][axis], err = readGrid(words[2:], [3]unit.Interval{whole.D, whole.Az, whole.El}[axis]); err != nil {
			return grids, fmt.Errorf("the grid %s %s: %w", words[0], words[1], err)
		}
	}
	for _, r := range w.Roles {
		for _, axis := range grids[r] {
			if axis == nil {
				return grids, fmt.Errorf("there is no grid for the %s", r)
			}
		}
	}
	return grids, nil
}

// readHalves reads which boxes of a grid are halved: "17:1001" is the 17th box, in whose
// halves, in the order of a walk, 1 is halved again and 0 is not.
func readHalves(text string) (map[int]string, error) {
	out := map[int]string{}
	for _, word := range strings.Fields(text) {
		at, walk, _ := strings.Cut(word, ":")
		n, err := strconv.Atoi(at)
		rest, ok := walkHalves(walk)
		if err != nil || n < 0 || !ok || rest != "" || out[n] != "" {
			return nil, fmt.Errorf("%q does not tell how a box is halved", word)
		}
		out[n] = walk
	}
	return out, nil
}

// walkHalves goes through the halves of one box and returns what is left of the walk.
func walkHalves(walk string) (rest string, ok bool) {
	switch {
	case walk == "":
		return "", false
	case walk[0] == '0':
		return walk[1:], true
	case walk[0] != '1':
		return "", false
	}
	if rest, ok = walkHalves(walk[1:]); !ok {
		return "", false
	}
	return walkHalves(rest)
}

// boxes lists the boxes that a range is cut into.
func (c *cover) boxes(do func(light.PoseBox)) (last int) {
	g := c.grid
	for i := range len(g[0]) - 1 {
		for j := range len(g[1]) - 1 {
			for k := range len(g[2]) - 1 {
				b := light.PoseBox{D: between(g[0], i), Az: between(g[1], j), El: between(g[2], k)}
				if walk := c.halves[last]; walk != "" {
					halve(b, walk, do)
				} else {
					do(b)
				}
				last++
			}
		}
	}
	return last
}

func between(cuts []float64, i int) unit.Interval { return unit.Interval{Lo: cuts[i], Hi: cuts[i+1]} }

// halve cuts a box along its longest side in metres, as its walk says.
func halve(b light.PoseBox, walk string, do func(light.PoseBox)) (rest string) {
	if walk[0] == '0' {
		do(b)
		return walk[1:]
	}
	d, az, el := b.D.Width(), b.Az.Width()*b.D.Hi, b.El.Width()*b.D.Hi
	near, far := b, b
	switch {
	case d >= az && d >= el:
		near.D.Hi, far.D.Lo = b.D.Mid(), b.D.Mid()
	case az >= el:
		near.Az.Hi, far.Az.Lo = b.Az.Mid(), b.Az.Mid()
	default:
		near.El.Hi, far.El.Lo = b.El.Mid(), b.El.Mid()
	}
	return halve(far, halve(near, walk[1:], do), do)
}

// gear is as much of a light as tells how it spreads: modifier and grid, or a bare head; and
// whether it hangs from a boom.
type gear struct{ head, modifier, grid, boom int }

// site is where and with what a light is looked at: the camera's place is known, or it has
// one of the framings that the goals leave, or nothing is known of it. Bounce is from a
// backdrop; without one it is left out.
type site struct {
	role       inventory.Role
	gear       gear
	body, lens int // unknown where the camera's place is not known
	frame      int
	framings   goalSet // goals that leave the framings, where they matter
	depth      int
	paper      int // unknown for no bounce
	cut        int // number of the way it is cut; 0 is the grid alone
}

// places looks at lights over boxes of poses.
type places struct {
	w       *world
	grids   [inventory.NumRoles][3][]float64
	cells   map[int]map[int]string
	posed   [inventory.NumRoles]goalSet // goals that look at where a light stands
	framing goalSet                     // goals that look at the framing alone

	layouts map[site]*constraints.Layout
	fails   map[cellKey]bool
	open    map[openKey]*looked
	hulls   map[hullKey]*constraints.Response
	account *Account // of the rule that is being derived
}

// looked is what became of the boxes of a site's range.
type looked struct {
	left  []light.PoseBox // where the light can stand
	fails []int           // boxes where a goal fails, by goal
	room  int             // boxes where the light does not fit the room
}

type cellKey struct {
	site site
	box  light.PoseBox
	goal int
}

type openKey struct {
	site  site
	goals goalSet
	side  int
}

type hullKey struct {
	openKey
	border bool
}

func newPlaces(w *world, p *Proof) (*places, error) {
	v := &places{w: w, cells: map[int]map[int]string{0: nil}, layouts: map[site]*constraints.Layout{}, fails: map[cellKey]bool{},
		open: map[openKey]*looked{}, hulls: map[hullKey]*constraints.Response{}}
	var err error
	if v.grids, err = w.readGrids(p); err != nil {
		return nil, err
	}
	for _, l := range p.Cells {
		if _, twice := v.cells[l.Lit]; twice {
			return nil, fmt.Errorf("two ways to cut have the number %d", l.Lit)
		}
		if v.cells[l.Lit], err = readHalves(l.Text); err != nil {
			return nil, err
		}
	}
	for i, g := range w.goals {
		reads := g.Req.Reads()
		if reads == constraints.OnFrame {
			v.framing |= 1 << i
		}
		for _, r := range w.Roles {
			if reads&constraints.Pose(r) != 0 {
				v.posed[r] |= 1 << i
			}
		}
	}
	return v, nil
}

func (v *places) emitter(g gear) light.Emitter {
	sh := v.w.shelf
	return constraints.EmitterOf(at(sh.Heads, g.head), optional(sh.Modifiers, g.modifier), optional(sh.Grids, g.grid))
}

func (v *places) bulk(g gear) constraints.Body {
	return constraints.BodyOf(at(v.w.shelf.Heads, g.head), optional(v.w.shelf.Modifiers, g.modifier))
}

// at is the item of a choice; nil where it is not known.
func at[T any](items []*T, i int) *T {
	if i == unknown {
		return nil
	}
	return items[i]
}

// layout is where things stand for a site.
func (v *places) layout(s site) *constraints.Layout {
	key := site{body: s.body, lens: s.lens, frame: s.frame, framings: s.framings, depth: s.depth, paper: s.paper}
	if got, ok := v.layouts[key]; ok {
		return got
	}
	b, sh := v.w.bench, v.w.shelf
	paper, depth := at(sh.Backdrops, s.paper), v.w.depths[s.depth]
	var got *constraints.Layout
	switch {
	case s.body != unknown:
		got = b.Lay(sh.Cameras[s.body], sh.Lenses[s.lens], constraints.Frames[s.frame], depth, paper, b.Bounces)
	case s.framings != 0:
		got = b.LayAny(b.Views(v.framesLeft(s.framings)), depth, paper, b.Bounces)
	default:
		got = b.LayAny(nil, depth, paper, b.Bounces)
	}
	v.layouts[key] = got
	return got
}

// framesLeft lists the framings that goals leave; the first bit of the set is no goal.
func (v *places) framesLeft(set goalSet) (out []float64) {
	rd := constraints.Unknown()
	for _, f := range constraints.Frames {
		rd.Frame = unit.Point(f)
		ok := true
		for i, g := range v.w.goals {
			ok = ok && !(set.has(i+1) && g.Fails(&rd))
		}
		if ok {
			out = append(out, f)
		}
	}
	return out
}

// failsOver reports whether a goal fails with the light anywhere in a box of poses.
func (v *places) failsOver(s site, box light.PoseBox, goal int) bool {
	s.cut = 0
	if s.body == unknown && s.role != inventory.Background { // distance and bounce do not change how it lies to face and frame
		s.depth, s.paper, s.gear.grid = 0, unknown, 0
	}
	key := cellKey{s, box, goal}
	if got, ok := v.fails[key]; ok {
		return got
	}
	rd := constraints.Unknown()
	v.layout(s).ReadPose(v.emitter(s.gear), box, s.gear.boom > 0, &rd.Lights[s.role])
	got := v.w.goals[goal].Fails(&rd)
	v.fails[key] = got
	return got
}

// openBoxes lists the boxes of a site where the light fits the room and no goal of a set
// fails: the only ones where it can stand. The key stands on one side.
func (v *places) openBoxes(s site, goals goalSet, keySide int) (*looked, error) {
	if s.role != inventory.Key {
		keySide = unknown
	}
	key := openKey{s, goals, keySide}
	if got, ok := v.open[key]; ok {
		return got, nil
	}
	halves, ok := v.cells[s.cut]
	if !ok {
		return nil, fmt.Errorf("there is no way to cut of the number %d", s.cut)
	}
	c := cover{v.grids[s.role], halves}
	lay := v.layout(s)
	target, bulk := v.w.bench.Target(s.role, lay.Glow), v.bulk(s.gear)
	out := &looked{fails: make([]int, len(v.w.goals))}
	n := c.boxes(func(b light.PoseBox) {
		b.Target = target
		if keySide == 0 && b.Az.Lo >= 0 || keySide == 1 && b.Az.Hi <= 0 {
			return
		}
		for i := range v.w.goals {
			if goals.has(i) && v.posed[s.role].has(i) && v.failsOver(s, b, i) {
				out.fails[i]++
				return
			}
		}
		if lay.InRoom(b, bulk, v.w.depths[s.depth]).Hi < 0 {
			out.room++
			return
		}
		out.left = append(out.left, b)
	})
	for i := range halves {
		if i >= n {
			return nil, fmt.Errorf("way to cut number %d halves a box that is not there", s.cut)
		}
	}
	v.open[key] = out
	return out, nil
}

// hull bounds what a light does elsewhere, wherever it stands among some boxes.
func (v *places) hull(s site, how sight, goals goalSet, keySide int, boxes []light.PoseBox) *constraints.Response {
	key := hullKey{openKey{s, goals, keySide}, how.border}
	if got, ok := v.hulls[key]; ok {
		return got
	}
	var h *constraints.Response
	lay, e := v.layout(s), v.emitter(s.gear)
	for _, b := range boxes {
		h = h.Hull(respond(lay, how, s.role, e, b))
	}
	v.hulls[key] = h
	return h
}

// respond bounds what a light does elsewhere from a box, to the border of the frame if the
// sight goes so far.
func respond(lay *constraints.Layout, how sight, r inventory.Role, e light.Emitter, b light.PoseBox) *constraints.Response {
	if how.border {
		return lay.RespondBorder(r, e, b)
	}
	return lay.RespondCoarse(r, e, b)
}

// around is the smallest box that holds others.
func around(boxes []light.PoseBox) light.PoseBox {
	b := boxes[0]
	for _, c := range boxes[1:] {
		b.D, b.Az, b.El = b.D.Hull(c.D), b.Az.Hull(c.Az), b.El.Hull(c.El)
	}
	return b
}

// target bounds the light at the target per lumen over some boxes.
func (v *places) target(s site, boxes []light.PoseBox) unit.Interval {
	lay, e := v.layout(s), v.emitter(s.gear)
	t := unit.Empty
	for _, b := range boxes {
		t = t.Hull(lay.TargetBound(s.role, e, b))
	}
	return t
}
