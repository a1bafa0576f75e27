package solver

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// The referee of the search: small random studios and briefs, of many of which a set-up is
// known beforehand because the brief was written around it. Run a long campaign with
//
//	go test ./solver -run 'Oracle|Planted|SlowSolver|Brute|Rules' -briefs 20000 -timeout 9h
//
// and another part of the same endless list of briefs with -from.
var (
	manyBriefs = flag.Int("briefs", 240, "random briefs that the search is judged on")
	firstBrief = flag.Int("from", 0, "number of the first random brief")
	oracleWork = flag.Int("oracle", 120, "set-ups that the slow oracle tries where the search says cannot")
)

// dice makes the random choices of one brief.
type dice struct{ *rand.Rand }

func newDice(kind, n int) dice { return dice{rand.New(rand.NewPCG(uint64(kind), uint64(n)))} }

func (d dice) between(lo, hi float64) float64 { return lo + (hi-lo)*d.Float64() }
func (d dice) chance(p float64) bool          { return d.Float64() < p }
func (d dice) count(lo, hi int) int           { return lo + d.IntN(hi-lo+1) }

func choose[T any](d dice, xs ...T) T { return xs[d.IntN(len(xs))] }

// kit is a studio as text, item by item, so that items can be added, split and permuted.
type kit struct {
	room string
	of   map[string][]string
}

var classes = []string{"cameras", "lenses", "heads", "modifiers", "grids", "gels", "stands", "booms", "backdrops", "triggers"}

func (k *kit) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "studio: random\nroom: %s\n", k.room)
	for _, c := range classes {
		if len(k.of[c]) == 0 {
			continue
		}
		fmt.Fprintf(&b, "%s:\n", c)
		for _, item := range k.of[c] {
			fmt.Fprintf(&b, "  - %s\n", item)
		}
	}
	return b.String()
}

func (k *kit) copy() *kit {
	c := &kit{room: k.room, of: map[string][]string{}}
	for class, items := range k.of {
		c.of[class] = slices.Clone(items)
	}
	return c
}

func (k *kit) studio(t testing.TB) *inventory.Studio {
	t.Helper()
	s, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(k.text())})
	if err != nil {
		t.Fatalf("the generator wrote a bad studio: %v\n%s", err, k.text())
	}
	return s
}

func (k *kit) add(class, format string, args ...any) {
	k.of[class] = append(k.of[class], "{"+fmt.Sprintf(format, args...)+"}")
}

// randomKit is one to three items a class, six at most.
func randomKit(d dice) *kit {
	k := &kit{of: map[string][]string{}}
	k.room = fmt.Sprintf("{width: %.2f m, depth: %.2f m, height: %.2f m, walls: %d %%, ceiling: %d %%, floor: %d %%, standoff: %.2f m, behind: %.2f m}",
		d.between(3, 6), d.between(4, 7.5), d.between(2.3, 3.2), d.count(5, 85), d.count(10, 85), d.count(10, 50), d.between(0, 0.3), d.between(0.2, 0.5))
	for i := range d.count(1, 2) {
		k.add("cameras", "id: body-%d, mount: ff, sensor: %s, base_iso: %s, top_iso: %s, fastest: 1/500 s, sync: %s, stabilised: %d stops",
			i, choose(d, "36 x 24 mm", "23.5 x 15.6 mm"), choose(d, "100", "200"), choose(d, "400", "800", "1600"), choose(d, "1/125 s", "1/200 s"), d.count(0, 4))
	}
	for i := range d.count(1, 2) {
		k.add("lenses", "id: lens-%d, mount: ff, focal: %s mm, widest: %s, narrowest: %s, nearest: %.2f m",
			i, choose(d, "35", "50", "85", "105"), choose(d, "f/1.4", "f/1.8", "f/2.8"), choose(d, "f/5.6", "f/8", "f/11"), d.between(0.3, 0.8))
	}
	k.randomHeads(d, d.count(1, 3))
	nMods := d.count(1, 3)
	k.randomModifiers(d, nMods)
	for i := range d.count(0, 2) {
		k.add("grids", "id: grid-%d, fits: [mod-%d], cell: %s, cutoff: %d deg", i, d.IntN(nMods), choose(d, "square", "hex"), d.count(20, 60))
	}
	for i := range d.count(0, 2) {
		k.add("gels", "id: gel-%d, count: %d, curve: %q", i, d.count(1, 2), choose(d, "0.02 + 0.88 rise(545, 14)", "0.02 + 0.8 rise(590, 12)", "0.03 + 0.7 fall(490, 15)", "0.05 + 0.85 rise(500, 30)"))
	}
	for i := range d.count(1, 2) {
		k.add("stands", "id: stand-%d, count: %d, height: %.2f m, load: %.1f kg, mass: 1 kg", i, d.count(1, 3), d.between(1.4, 2.6), d.between(2, 6))
	}
	if d.chance(0.3) {
		k.add("booms", "id: boom-0, reach: %.2f m, load: %.1f kg, mass: 2 kg", d.between(0.8, 2), d.between(2, 5))
	}
	for i := range d.count(1, 2) {
		k.add("backdrops", "id: paper-%d, reflectance: %d %%, width: %.2f m", i, choose(d, 4, 18, 40, 85), d.between(1.2, 3.5))
	}
	if d.chance(0.3) {
		k.add("triggers", "id: radio, fires: %d", d.count(1, 3))
	}
	return k
}

func (k *kit) randomHeads(d dice, n int) {
	for i := range n {
		what := fmt.Sprintf("id: head-%d, count: %d, mount: s, mass: %.1f kg, bare: %v", i, d.count(1, 2), d.between(1, 3), d.chance(0.7))
		flash, lamp := d.chance(0.7), d.chance(0.4)
		if flash || !lamp {
			what += fmt.Sprintf(", flash: {energy: %d Ws, range: %d stops, step: %s stops, kelvin: %d K}", d.count(1, 8)*50, d.count(3, 7), choose(d, "0.1", "0.5", "1"), d.count(50, 60)*100)
		}
		if lamp {
			what += fmt.Sprintf(", lamp: {flux: %d lm, watts: 60 W, main: %v, range: %d stops, kelvin: %s}", d.count(2, 20)*1000, d.chance(0.8), d.count(0, 5), choose(d, "3200 K", "5600 K"))
		}
		k.add("heads", "%s", what)
	}
}

func (k *kit) randomModifiers(d dice, n int) {
	for i := range n {
		switch d.IntN(3) {
		case 0:
			k.add("modifiers", "id: mod-%d, type: softbox, fits: [s], shape: rectangle, face: %d x %d cm, depth: %d cm, efficiency: %d %%, mass: %.1f kg",
				i, d.count(3, 9)*10, d.count(3, 12)*10, d.count(15, 40), d.count(30, 60), d.between(0.4, 2))
		case 1:
			k.add("modifiers", "id: mod-%d, type: reflector, fits: [s], shape: disc, face: %d cm, depth: 13 cm, efficiency: 75 %%, law: %d, mass: 0.4 kg", i, d.count(15, 40), d.count(0, 6))
		case 2:
			k.add("modifiers", "id: mod-%d, type: octabox, fits: [s], shape: octagon, face: %d cm, depth: %d cm, efficiency: 40 %%, mass: %.1f kg", i, d.count(6, 14)*10, d.count(20, 50), d.between(0.6, 2.5))
		}
	}
}

// draft is a brief as text: the sitter, and goals one a line.
type draft struct {
	sitter string
	goals  []string
}

func (f *draft) text() string {
	return "brief: random\n" + f.sitter + "goals:\n  - " + strings.Join(f.goals, "\n  - ") + "\n"
}

func (f *draft) brief(s *inventory.Studio) (*constraints.Brief, error) {
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(f.text())})
	if err == nil {
		err = b.Bind(s)
	}
	return b, err
}

func randomSitter(d dice) string {
	lo := choose(d, 0.75, 1, 1.25, 1.5)
	seated, turn := d.chance(0.6), d.count(-25, 25)
	eyes := 1.2
	if !seated {
		eyes = 1.6
	}
	out := fmt.Sprintf("sitter: {seated: %v, turn: %d deg, eye_height: %.2f m, backdrop_distance: %.2f m..%.2f m}\n", seated, turn, eyes+d.between(-0.1, 0.1), lo, lo+choose(d, 0, 0.25, 0.5))
	if d.chance(0.25) {
		out += fmt.Sprintf("camera: {height: %.2f m}\n", eyes+d.between(-0.4, 0.3))
	}
	return out
}

// plant is a studio with a set-up that stands in it, and what the full model reads there.
type plant struct {
	kit    *kit
	sitter string
	bench  *constraints.Bench
	setup  *inventory.Setup
	read   *Checked
	more   float64 // chance of each light beside the key
	edge   float64 // chance that a light stands at an end of its range, or its dial at one of its own
}

// colourful is well above the chroma from which a hue is clear.
const colourful = 0.13

// level at which a light is set up first, where its dial allows.
var plantedLevel = [inventory.NumRoles]float64{inventory.Fill: -2, inventory.Background: -1}

// newPlant builds a set-up light by light; nil if it does not fit. Framing, backdrop
// distance and camera settings are as they can be dialled or taped; positions are any
// real numbers inside the stated ranges.
func newPlant(t testing.TB, d dice) *plant {
	return plantOn(t, d, randomKit(d), 0.25, 0)
}

// plantOn is newPlant on a kit, with the chances of each light beside the key and of edges.
func plantOn(t testing.TB, d dice, k *kit, more, edge float64) *plant {
	sitter := randomSitter(d)
	s := k.studio(t)
	b, err := (&draft{sitter, []string{"few-lights: {at most: 6}"}}).brief(s)
	if err != nil {
		t.Fatalf("the generator wrote a bad brief: %v", err)
	}
	p := &plant{kit: k, sitter: sitter, bench: &constraints.Bench{Studio: s, Brief: b}, more: more, edge: edge}
	for range 6 {
		if p.build(d) {
			return p
		}
	}
	return nil
}

func (p *plant) build(d dice) bool {
	s := p.bench.Studio
	sh := s.Shelf()
	body, lens, paper := choose(d, sh.Cameras...), choose(d, sh.Lenses...), choose(d, sh.Backdrops...)
	if !body.Takes(lens) {
		return false
	}
	allowed := p.bench.Depths()
	var depths []float64
	for x := 0.5; x <= 6; x += 0.25 {
		if x >= float64(allowed.Lo) && x <= float64(allowed.Hi) {
			depths = append(depths, x)
		}
	}
	frame, depth := choose(d, constraints.Frames[1:17]...), choose(d, depths...)
	lay := p.bench.Lay(body, lens, frame, depth, nil, nil)
	_, hi := p.bench.Room(depth)
	if lay.Cam.Y+float64(s.Room.Behind) > hi.Y {
		return false
	}
	stops := []unit.FNumber{lens.Widest}
	for _, n := range unit.FStops() {
		if n > lens.Widest && n <= lens.Narrowest {
			stops = append(stops, n)
		}
	}
	set := &inventory.Setup{Name: "planted", Studio: s.Name, Camera: inventory.CameraSet{Body: body.ID, Lens: lens.ID, Aperture: choose(d, stops...),
		Frame: unit.Length(frame), Height: unit.Length(p.bench.CameraHeight())}, Backdrop: inventory.BackdropSet{Item: paper.ID, Distance: unit.Length(depth)}}
	var isos []unit.ISO
	for _, x := range unit.ISOs() {
		if x.True() >= body.BaseISO.True()*0.999 && x.True() <= body.TopISO.True()*1.001 {
			isos = append(isos, x)
		}
	}
	set.Camera.ISO = choose(d, isos...)
	roles := []inventory.Role{inventory.Key}
	for _, r := range []inventory.Role{inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Background} {
		if d.chance(p.more) {
			roles = append(roles, r)
		}
	}
	flash := false
	for _, r := range roles {
		l, ok := p.light(d, r, lay, set)
		if !ok {
			return false
		}
		flash = flash || l.Light == "flash"
		set.Lights = append(set.Lights, l)
	}
	fastest := 1.0 / 500
	if flash {
		fastest = body.Sync.True()
	}
	var times []unit.Shutter
	for _, x := range unit.Shutters() {
		if x.True() >= fastest*0.999 && x.True() <= constraints.Slowest*1.001 {
			times = append(times, x)
		}
	}
	set.Camera.Shutter = choose(d, times...)
	p.power(d, set, lay)
	read, err := check(p.bench, nil, set)
	if err != nil || !read.Holds() {
		return false
	}
	for _, l := range set.Lights { // a gel is only used where a goal asks for its hue
		r, _ := inventory.RoleByName(l.Role)
		if l.Gel != "" && (read.Reading.Lights[r].Chroma.Lo < colourful || r == inventory.Background && read.Reading.GlowOffset.Lo > 0.15) {
			return false
		}
	}
	p.setup, p.read = set, read
	return true
}

// light picks gear for one light and a place where it stands in the room, out of the frame.
func (p *plant) light(d dice, r inventory.Role, lay *constraints.Layout, set *inventory.Setup) (inventory.LightSet, bool) {
	s := p.bench.Studio
	sh := s.Shelf()
	for range 12 {
		h, m := choose(d, sh.Heads...), at(sh.Modifiers, d.IntN(len(sh.Modifiers)+1))
		g := at(sh.Grids, d.IntN(len(sh.Grids)+1))
		stand := choose(d, sh.Stands...)
		boom := at(sh.Booms, d.IntN(len(sh.Booms)+1))
		l := inventory.LightSet{Role: r.String(), Head: h.ID, Light: "flash", Stand: stand.ID}
		if h.Flash == nil || h.Lamp != nil && h.Lamp.Main && d.chance(0.5) {
			l.Light = "lamp"
			if !h.Lamp.Main {
				continue
			}
		}
		if !inventory.HeadTakes(h, m) || !inventory.ModTakesGrid(m, g) || !inventory.Carries(stand, boom, inventory.LightMass(h, m, g)) {
			continue
		}
		if m != nil {
			l.Modifier = m.ID
		}
		if g != nil {
			l.Grid = g.ID
		}
		if boom != nil {
			l.Boom = boom.ID
		}
		if len(sh.Gels) > 0 && r >= inventory.RimLeft && d.chance(0.5) {
			if gel := choose(d, sh.Gels...); inventory.HeadTakesGel(h, m, gel) {
				l.Gel = gel.ID
			}
		}
		if !p.spare(set, l) {
			continue
		}
		for range 12 {
			at := constraints.Stated[r]
			l.Distance = unit.Length(d.between(at.D.Lo, at.D.Hi))
			l.Azimuth = unit.Angle(d.between(at.Az.Lo, at.Az.Hi) * math.Pi / 180)
			l.Elevation = unit.Angle(d.between(at.El.Lo, at.El.Hi) * math.Pi / 180)
			if r == inventory.Background && d.chance(0.7) {
				l.Azimuth /= 3
			}
			if r == inventory.Fill && l.Azimuth*set.Lights[0].Azimuth > 0 { // across from the key: see ratio
				l.Azimuth = -l.Azimuth
			}
			if p.edge > 0 && d.chance(p.edge) {
				l.Distance = unit.Length(choose(d, at.D.Lo, at.D.Lo, at.D.Hi))
			}
			box := p.box(r, lay, &l)
			face := constraints.EmitterOf(h, m, g).Face
			if lay.InRoom(box, constraints.BodyOf(h, m), float64(set.Backdrop.Distance)).Lo >= 0 && constraints.HeightsOf(stand, boom).Contains(constraints.Height(box).Lo) &&
				lay.OffCamera(box, constraints.BodyOf(h, m), boom != nil) >= 0 && lay.Clear(box, face, boom != nil).Lo >= 0 {
				return l, true
			}
		}
	}
	return inventory.LightSet{}, false
}

func (p *plant) box(r inventory.Role, lay *constraints.Layout, l *inventory.LightSet) (b poseBox) {
	b.Target = p.bench.Target(r, lay.Glow)
	b.D, b.Az, b.El = unit.Point(float64(l.Distance)), unit.Point(float64(l.Azimuth)), unit.Point(float64(l.Elevation))
	return b
}

// spare reports whether there is enough kit for one more light.
func (p *plant) spare(set *inventory.Setup, l inventory.LightSet) bool {
	used := map[inventory.ID]int{}
	for _, x := range append(slices.Clone(set.Lights), l) {
		for _, id := range []inventory.ID{x.Head, x.Modifier, x.Grid, x.Gel, x.Stand, x.Boom} {
			used[id]++
		}
	}
	for id, n := range used {
		if _, item, ok := p.bench.Studio.Find(id); ok && n > item.Count {
			return false
		}
	}
	return true
}

// power dials every light near the level that its role usually has, give or take a stop or two.
func (p *plant) power(d dice, set *inventory.Setup, lay *constraints.Layout) {
	s := p.bench.Studio
	n := constraints.TrueAperture(s.Lens(set.Camera.Lens), set.Camera.Aperture)
	need := p.bench.Needed(unit.Point(n), unit.Point(set.Camera.ISO.True())).Lo
	for i := range set.Lights {
		l := &set.Lights[i]
		r, _ := inventory.RoleByName(l.Role)
		h, m, g := s.Head(l.Head), s.Modifier(l.Modifier), s.Grid(l.Grid)
		src, _ := p.bench.SourceOf(h, m, g, s.Gel(l.Gel), l.Light == "lamp")
		full := src.Output + math.Log2(constraints.EmitterOf(h, m, g).OnAxis(float64(l.Distance))) - need
		if l.Light == "lamp" {
			full += math.Log2(set.Camera.Shutter.True())
		}
		steps, step := h.Powers(l.Light == "lamp")
		k := 0.0
		if step > 0 {
			k = min(max(math.Round((full-plantedLevel[r]+d.between(-1.5, 1.5))/float64(step)), 0), float64(steps-1))
			if p.edge > 0 && d.chance(p.edge) {
				k = choose(d, 0, 0, float64(steps-1))
			}
		}
		l.Power = unit.Stops(-math.Round(k*float64(step)*1e6) / 1e6)
	}
}

// Numbers of a brief, rounded outward to nine decimals so that the planted value stays in.
func below(x float64) string { return strconv.FormatFloat(math.Floor(x*1e9)/1e9, 'f', -1, 64) }
func beyond(x float64) string {
	return strconv.FormatFloat(math.Ceil(x*1e9)/1e9, 'f', -1, 64)
}
func around(lo, hi float64, u string) string { return below(lo) + ".." + beyond(hi) + " " + u }

func (p *plant) gelled(r inventory.Role) bool {
	return slices.ContainsFunc(p.setup.Lights, func(l inventory.LightSet) bool { return l.Role == r.String() && l.Gel != "" })
}

// goalLines writes goals around a planted reading; slack, from 0 up, is in units of what
// is usual for each number. Every light that is planted is asked for by some goal.
func (p *plant) goalLines(d dice, slack float64) (lines []string) {
	r := &p.read.Reading
	s := p.bench.Studio
	set := p.setup
	say := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	near := func(x unit.Interval, unitSlack float64, u string) string {
		return around(x.Lo-slack*unitSlack*d.Float64(), x.Lo+slack*unitSlack*d.Float64(), u)
	}
	lit := func(role inventory.Role) bool { return r.Lights[role].On.Lo == 1 }

	// What is assumed where a brief is silent comes first, around the planted values.
	say("framing: {height: %s}", around(max(0.1, r.Frame.Lo-0.2*slack*d.Float64()), r.Frame.Lo+0.2*slack*d.Float64(), "m"))
	say("exposure: {key: %s}", near(r.Exposure, 0.5, "stops"))
	clear := math.Inf(1)
	for role := range inventory.NumRoles {
		if lit(role) {
			clear = min(clear, r.Lights[role].Clear.Lo)
		}
	}
	say("out-of-frame: {by: %s m}", strconv.FormatFloat(math.Floor(max(0, min(0.1, clear-0.05*slack))*1e9)/1e9, 'f', -1, 64))

	if lit(inventory.Fill) || d.chance(0.15) {
		if q := math.Exp2(r.Ratio.Lo); q < 900 && lit(inventory.Fill) {
			say("ratio: {at least: %s:1, at most: %s:1}", below(max(1, q*math.Exp2(-slack*0.4*d.Float64()))), beyond(q*math.Exp2(slack*0.4*d.Float64())))
		} else {
			say("ratio: {at least: %s:1}", below(max(1, min(900, q*math.Exp2(-slack*0.4*d.Float64())))))
		}
	}
	for _, role := range []inventory.Role{inventory.RimLeft, inventory.RimRight} {
		if !lit(role) {
			continue
		}
		l := &r.Lights[role]
		side := map[inventory.Role]string{inventory.RimLeft: "left", inventory.RimRight: "right"}[role]
		az := math.Abs(l.Azimuth.Lo)
		hue := ""
		if p.gelled(role) {
			at := math.Mod(l.Hue.Lo+d.between(-1, 1)*8*slack+360, 360)
			hue = fmt.Sprintf("hue: %.6f deg, within: %.6f deg, clean: %s stops, ", at, math.Abs(math.Remainder(l.Hue.Lo-at, 360))+0.001+5*slack*d.Float64(), below(min(9, l.Purity.Lo-slack*d.Float64())))
		}
		say("rim: {side: %s, %slevel: %s, angle: %s}", side, hue, near(l.Level, 0.6, "stops"), around(max(0, az-20*slack*d.Float64()-1e-6), min(180, az+20*slack*d.Float64()+1e-6), "deg"))
	}
	if lit(inventory.Background) {
		l := &r.Lights[inventory.Background]
		if p.gelled(inventory.Background) || d.chance(0.6) && r.GlowOffset.Lo <= 0.15 {
			hue := ""
			if p.gelled(inventory.Background) {
				hue = fmt.Sprintf("hue: %.6f deg, within: %.6f deg, ", l.Hue.Lo, 0.001+10*slack*d.Float64())
			}
			say("glow: {%sbehind: head, radius: %s, level: %s}", hue, around(max(0, r.GlowRadius.Lo-0.08*slack*d.Float64()), r.GlowRadius.Lo+0.08*slack*d.Float64(), "m"), near(r.GlowTone, 0.6, "stops"))
		} else {
			say("background-level: {tone: %s}", around(r.Dim.Lo-slack*d.Float64(), r.Bright.Lo+slack*d.Float64(), "stops"))
		}
	}
	extras := []func(){
		func() { say("iso: ISO %v", strconv.FormatFloat(float64(set.Camera.ISO), 'f', -1, 64)) },
		func() { say("aperture: %s", set.Camera.Aperture) },
		func() { say("shutter: %s", set.Camera.Shutter) },
		func() { say("shutter: {slowest: %s}", set.Camera.Shutter) },
		func() {
			if r.Keepers.Lo > 0.02 {
				say("both-eyes-sharp: {keepers: %s %%}", below(100*min(0.99, r.Keepers.Lo*(1-0.2*slack*d.Float64()))))
			}
		},
		func() {
			say("perspective: {nose: %s}", around(100*r.Perspective.Lo*(1-0.2*slack), 100*r.Perspective.Lo*(1+0.2*slack), "%"))
		},
		func() { say("background-blur: {at least: %s %%}", below(100*r.BackdropBlur.Lo*(1-0.3*slack))) },
		func() { say("soft: {key: %s}", near(r.Lights[0].Size, 8, "deg")) },
		func() {
			if r.Dark.Lo < -1 {
				say("low-key: {background: at most %s stops}", beyond(min(-0.01, r.Dark.Lo+slack*d.Float64())))
			}
		},
		func() {
			if !lit(inventory.Background) {
				say("background-level: {tone: %s}", around(r.Dim.Lo-slack*d.Float64(), r.Bright.Lo+slack*d.Float64(), "stops"))
			}
		},
		func() { say("few-lights: {at most: %d}", len(set.Lights)) },
		func() { say("set-up-time: {at most: %d min}", int(r.Minutes.Lo)) },
		func() {
			kind := set.Lights[0].Light
			if !slices.ContainsFunc(set.Lights, func(l inventory.LightSet) bool { return l.Light != kind }) {
				say("light-kind: %s", map[string]string{"flash": "flash", "lamp": "continuous"}[kind])
			}
		},
		func() {
			l := choose(d, set.Lights...)
			item := choose(d, l.Head, l.Stand, l.Modifier, l.Grid)
			if item != "" {
				say("use: {item: %s, as: %s}", item, l.Role)
			}
		},
		func() { say("use: {item: %s}", choose(d, set.Backdrop.Item, set.Camera.Lens, set.Camera.Body)) },
		func() {
			for _, m := range s.Modifiers {
				if !slices.ContainsFunc(set.Lights, func(l inventory.LightSet) bool { return l.Modifier == m.ID }) {
					say("avoid: {item: %s}", m.ID)
					return
				}
			}
		},
		func() {
			l := &r.Lights[0]
			for _, pt := range []struct {
				word           string
				lo, hi, el, eh float64
			}{{"flat", 0, 10, 0, 25}, {"butterfly", 0, 10, 25, 50}, {"loop", 20, 45, 20, 40}, {"rembrandt", 40, 60, 30, 50}, {"split", 80, 100, 0, 25}} {
				if a := math.Abs(l.FromFace.Lo); a >= pt.lo && a <= pt.hi && l.Elevation.Lo >= pt.el && l.Elevation.Lo <= pt.eh {
					say("pattern: %s", pt.word)
					return
				}
			}
		},
		func() {
			if k := r.Lights[0].Kelvin; !math.IsInf(k.Lo, 0) {
				say("key-colour: {kelvin: %.3f K, within: %.3f mired}", k.Lo, 0.01+20*slack*d.Float64())
			}
		},
	}
	for _, i := range d.Perm(len(extras))[:d.count(1, 4)] {
		extras[i]()
	}
	return lines
}

type poseBox = light.PoseBox

// verdicts counts what the search said.
type verdicts map[Outcome]int

func (v verdicts) String() string {
	return fmt.Sprintf("%d found, %d cannot, %d undecided", v[Found], v[Cannot], v[Undecided])
}

var refereeWork = Options{Count: 1, NoHelp: true, Work: 6}

// verdictWork is refereeWork where only the verdict is judged.
var verdictWork = Options{Count: 1, NoHelp: true, Work: 6, verdict: true}

func planned(t testing.TB, s *inventory.Studio, b *constraints.Brief, o Options) *Answer {
	t.Helper()
	a, err := Plan(context.Background(), s, b, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// plantedBrief is a brief that a planted set-up satisfies, checked by the full model.
func plantedBrief(t testing.TB, p *plant, d dice, slack float64) (*draft, *constraints.Brief) {
	f := &draft{p.sitter, p.goalLines(d, slack)}
	b, err := f.brief(p.bench.Studio)
	if err != nil {
		t.Fatalf("the generator wrote a bad brief: %v\n%s", err, f.text())
	}
	k, err := check(&constraints.Bench{Studio: p.bench.Studio, Brief: b}, b.Goals, p.setup)
	if err != nil {
		t.Fatal(err)
	}
	if !k.Holds() || slices.ContainsFunc(b.Goals, func(g *constraints.Goal) bool { return !obeys(p.bench, g, p.setup) }) {
		for _, g := range k.Goals {
			if !g.Holds || !obeys(p.bench, g.Goal, p.setup) {
				t.Fatalf("the generator's own set-up breaks %s: %s\n%s", g.Goal.Text, g.Sentence, f.text())
			}
		}
		t.Fatal("the planted set-up breaks a limit")
	}
	return f, b
}

func (p *plant) describe(f *draft) string {
	text, _ := p.setup.Text()
	return fmt.Sprintf("%s---\n%s---\n%s", p.kit.text(), f.text(), text)
}

func slackOf(d dice) float64 { return choose(d, 0.02, 0.3, 1, 1, 2, 2) }

func TestPlantedSetupsAreNeverDenied(t *testing.T) {
	t.Parallel()
	v := verdicts{}
	for n := range *manyBriefs / 2 {
		d := newDice(1, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			v["none"]++
			continue
		}
		f, b := plantedBrief(t, p, d, slackOf(d))
		a := planned(t, p.bench.Studio, b, refereeWork)
		v[a.Outcome]++
		if a.Outcome == Cannot {
			t.Errorf("brief %d: cannot, and a set-up exists:\n%s%s", *firstBrief+n, p.describe(f), conflictText(a))
		}
		for _, k := range a.Setups {
			rebuilt(t, p.bench.Studio, b, k)
		}
	}
	t.Logf("%s", v)
}

func conflictText(a *Answer) string {
	var b strings.Builder
	if a.Conflict != nil {
		for _, g := range a.Conflict.Goals {
			fmt.Fprintf(&b, "conflict: %s\n", g.Text)
		}
		for _, x := range a.Conflict.Argument.Blocks {
			fmt.Fprintf(&b, "%v %v\n", x.Kind, x.Text)
		}
		for _, h := range a.Conflict.Help {
			fmt.Fprintf(&b, "help: %s; %s; %v\n", h.Text, h.Leads, h.Moves)
		}
	}
	for _, c := range a.Others {
		fmt.Fprintf(&b, "also: %s\n", goalTexts(c.Goals))
	}
	for _, r := range a.Releases {
		fmt.Fprintf(&b, "leave out: %s; %s\n", goalTexts(r.Goals), r.Leads)
	}
	return b.String()
}

func goalTexts(goals []*constraints.Goal) string {
	var out []string
	for _, g := range goals {
		out = append(out, g.Text)
	}
	return strings.Join(out, " | ")
}

// rebuilt writes a set-up, reads it back and checks it afresh: the margins must be the same.
func rebuilt(t *testing.T, s *inventory.Studio, b *constraints.Brief, k *Checked) {
	t.Helper()
	text, err := k.Setup.Text()
	if err != nil {
		t.Fatal(err)
	}
	set, err := inventory.LoadSetupFrom(&source.File{Name: "setup.yaml", Text: text})
	if err != nil {
		t.Fatalf("a set-up does not read back: %v\n%s", err, text)
	}
	again, err := Check(s, b, set)
	if err != nil {
		t.Fatalf("a set-up does not check: %v\n%s", err, text)
	}
	if !again.Holds() {
		t.Errorf("a set-up that was found does not hold when it is read back:\n%s", text)
	}
	for i, g := range k.Goals {
		for j, part := range g.Parts {
			if got := again.Goals[i].Parts[j].Margin(); got != part.Margin() {
				t.Errorf("%s: margin %v when found, %v when read back\n%s", g.Goal.Text, part.Margin(), got, text)
			}
		}
	}
}

// slow is an obvious solver: it goes through the gear, walks from random places by random
// steps of any size, and judges every step by the full model. It uses nothing of the
// search, and can only prove that a set-up exists.
type slow struct {
	d      dice
	bench  *constraints.Bench
	bounce constraints.Bounces
	roles  []inventory.Role
	lays   map[layoutKey]*constraints.Layout
	reach  map[reachKey]*constraints.Response
}

// reachKey is what a light's reach depends on.
type reachKey struct {
	lay     *constraints.Layout
	role    inventory.Role
	emitter light.Emitter
	pose    poseBox
}

func newSlow(d dice, b *constraints.Bench) *slow {
	o := &slow{d: d, bench: b, bounce: constraints.Bounces{},
		lays: map[layoutKey]*constraints.Layout{}, reach: map[reachKey]*constraints.Response{}}
	for r := range inventory.NumRoles {
		named := r == inventory.Key
		for _, g := range b.Brief.Goals {
			need, may := g.Req.Roles()
			named = named || slices.Contains(need, r) || slices.Contains(may, r)
		}
		if named {
			o.roles = append(o.roles, r)
		}
	}
	return o
}

// lay is the layout of a set-up, made once.
func (o *slow) lay(set *inventory.Setup) *constraints.Layout {
	s, cam, back := o.bench.Studio, set.Camera, set.Backdrop
	key := layoutKey{camera: cam.Body, lens: cam.Lens, paper: back.Item, frame: float64(cam.Frame), depth: float64(back.Distance)}
	if o.lays[key] == nil {
		o.lays[key] = o.bench.Lay(s.Camera(cam.Body), s.Lens(cam.Lens), key.frame, key.depth, s.Backdrop(back.Item), o.bounce)
	}
	return o.lays[key]
}

// scene is the exact scene of a set-up, put together here with a store of room bounce.
func (o *slow) scene(set *inventory.Setup) (*constraints.Scene, bool) {
	b, s := o.bench, o.bench.Studio
	sc := constraints.NewScene(b)
	sc.Body, sc.Lens, sc.Backdrop = s.Camera(set.Camera.Body), s.Lens(set.Camera.Lens), s.Backdrop(set.Backdrop.Item)
	sc.Aperture = unit.Point(constraints.TrueAperture(sc.Lens, set.Camera.Aperture))
	sc.Shutter, sc.ISO = unit.Point(set.Camera.Shutter.True()), unit.Point(set.Camera.ISO.True())
	sc.Frame, sc.Depth = unit.Point(float64(set.Camera.Frame)), unit.Point(float64(set.Backdrop.Distance))
	lay := o.lay(set)
	sc.Lay(lay)
	for r := range sc.Lights {
		sc.Lights[r].Off()
	}
	white, minutes := b.White(set), b.CameraMinutes()
	for i := range set.Lights {
		l := &set.Lights[i]
		r, _ := inventory.RoleByName(l.Role)
		h, m, g := s.Head(l.Head), s.Modifier(l.Modifier), s.Grid(l.Grid)
		src, ok := b.SourceOf(h, m, g, s.Gel(l.Gel), l.Light == "lamp")
		if !ok {
			return nil, false
		}
		e := constraints.EmitterOf(h, m, g)
		x := &sc.Lights[r]
		*x = constraints.LightScene{On: unit.Point(1), Flash: unit.Point(1), Posed: true, Modelling: unit.Point(math.Inf(-1))}
		x.Pose.Target, x.Pose.D = b.Target(r, lay.Glow), unit.Point(float64(l.Distance))
		x.Pose.Az, x.Pose.El = unit.Point(float64(l.Azimuth)), unit.Point(float64(l.Elevation))
		key := reachKey{lay, r, e, x.Pose}
		if o.reach[key] == nil {
			o.reach[key] = lay.Respond(r, e, x.Pose)
		}
		x.Reach = o.reach[key]
		level := src.Output + float64(l.Power) + math.Log2(x.Reach.Target.Lo) - b.Needed(sc.Aperture, sc.ISO).Lo
		if l.Light == "lamp" {
			x.Flash = unit.Point(0)
			level += math.Log2(sc.Shutter.Lo)
		}
		x.Level, x.Tint = unit.Point(level), constraints.TintOf(src.XYZ, white)
		x.Size, x.Clear = unit.Point(e.AngularSize(float64(l.Distance))*180/math.Pi), lay.Clear(x.Pose, e.Face, l.Boom != "")
		minutes += b.LightMinutes(*l)
	}
	sc.Minutes = unit.Point(float64(minutes))
	return &sc, true
}

// wrong sums what is broken; 0 for a set-up that holds.
func (o *slow) wrong(set *inventory.Setup) float64 {
	sc, ok := o.scene(set)
	if !ok {
		return math.Inf(1)
	}
	rd := constraints.Measure(sc)
	sum := 0.0
	for _, g := range o.bench.Brief.Goals {
		if g.Wish > 0 {
			continue
		}
		for _, part := range g.Req.Judge(&rd, nil) {
			if m := part.Margin().Lo; m < 0 {
				sum += 1 + min(20, -m/max(part.Fine, 1e-3))
			}
		}
		if !obeys(o.bench, g, set) {
			sum += 10
		}
	}
	for _, l := range o.bench.Breaks(set, sc) {
		if !l.Holds {
			sum += 5 + min(20, -10*l.Margin)
		}
	}
	return sum
}

// obeys reports whether a set-up keeps what a goal says of gear alone.
func obeys(b *constraints.Bench, g *constraints.Goal, set *inventory.Setup) bool {
	made := map[constraints.Pick]bool{
		{Slot: constraints.CameraSlot, Item: set.Camera.Body}: true, {Slot: constraints.LensSlot, Item: set.Camera.Lens}: true,
		{Slot: constraints.BackdropSlot, Item: set.Backdrop.Item}: true}
	for _, l := range set.Lights {
		r, _ := inventory.RoleByName(l.Role)
		put := func(part string, id inventory.ID) {
			if id == "" {
				id = constraints.None
			}
			made[constraints.Pick{Slot: constraints.RoleSlot(r, part), Item: id}] = true
		}
		put("", constraints.On)
		put("light", inventory.ID(l.Light))
		put("head", l.Head)
		put("modifier", l.Modifier)
		put("grid", l.Grid)
		put("gel", l.Gel)
		put("stand", l.Stand)
		put("boom", l.Boom)
	}
	for rule := range g.Req.Rules(b) {
		applies := !slices.ContainsFunc(rule.If, func(p constraints.Pick) bool { return !made[p] })
		if applies && !slices.ContainsFunc(rule.Need, func(p constraints.Pick) bool { return made[p] }) {
			return false
		}
	}
	return true
}

// look tries a number of set-ups, from a first one if there is one; nil if none holds.
func (o *slow) look(p *plant, first *inventory.Setup, tries int) *inventory.Setup {
	best, least := first, math.Inf(1)
	if first != nil {
		least = o.wrong(first)
	}
	for i := range tries {
		if least == 0 {
			return best
		}
		if best == nil || i%(1+tries/3) == tries/3 {
			own := &plant{bench: o.bench, kit: p.kit}
			if !own.build(o.d) {
				continue
			}
			own.setup.Lights = slices.DeleteFunc(own.setup.Lights, func(l inventory.LightSet) bool {
				r, _ := inventory.RoleByName(l.Role)
				return !slices.Contains(o.roles, r)
			})
			best, least = own.setup, o.wrong(own.setup)
			continue
		}
		next := o.step(p, best)
		if w := o.wrong(next); w <= least {
			best, least = next, w
		}
	}
	if least == 0 {
		return best
	}
	return nil
}

// step changes one or two choices of a set-up.
func (o *slow) step(p *plant, set *inventory.Setup) *inventory.Setup {
	d, s := o.d, o.bench.Studio
	sh := s.Shelf()
	next := *set
	next.Lights = slices.Clone(set.Lights)
	cam := &next.Camera
	for range d.count(1, 2) {
		l := &next.Lights[d.IntN(len(next.Lights))]
		r, _ := inventory.RoleByName(l.Role)
		where := constraints.Stated[r]
		switch d.IntN(12) {
		case 0:
			cam.ISO = choose(d, unit.ISOs()...)
			body := s.Camera(cam.Body)
			cam.ISO = max(body.BaseISO, min(body.TopISO, cam.ISO))
		case 1:
			lens := s.Lens(cam.Lens)
			cam.Aperture = max(lens.Widest, min(lens.Narrowest, choose(d, unit.FStops()...)))
		case 2:
			cam.Shutter = min(1.0/8, max(1.0/500, choose(d, unit.Shutters()...)))
		case 3:
			cam.Frame = unit.Length(choose(d, constraints.Frames...))
		case 4:
			next.Backdrop.Item = choose(d, sh.Backdrops...).ID
		case 5:
			if a := o.bench.Depths(); d.chance(0.5) {
				next.Backdrop.Distance = a.Lo
			} else {
				next.Backdrop.Distance = a.Hi
			}
		case 6, 7:
			k := choose(d, 0.1, 0.5, 2)
			l.Distance = unit.Length(min(where.D.Hi, max(where.D.Lo, float64(l.Distance)+k*d.NormFloat64())))
			l.Azimuth = unit.Angle(min(where.Az.Hi, max(where.Az.Lo, l.Azimuth.Degrees()+40*k*d.NormFloat64()))) * unit.Degree
			l.Elevation = unit.Angle(min(where.El.Hi, max(where.El.Lo, l.Elevation.Degrees()+30*k*d.NormFloat64()))) * unit.Degree
		case 8, 9:
			n, step := s.Head(l.Head).Powers(l.Light == "lamp")
			k := float64(d.IntN(n))
			l.Power = unit.Stops(-math.Round(k*float64(step)*1e6) / 1e6)
		case 10:
			own := &plant{bench: o.bench, kit: p.kit}
			lay := o.bench.Lay(s.Camera(cam.Body), s.Lens(cam.Lens), float64(cam.Frame), float64(next.Backdrop.Distance), nil, nil)
			rest := next
			rest.Lights = slices.DeleteFunc(slices.Clone(next.Lights), func(x inventory.LightSet) bool { return x.Role == l.Role })
			if fresh, ok := own.light(d, r, lay, &rest); ok {
				*l = fresh
				only := next
				only.Lights = []inventory.LightSet{fresh}
				own.power(d, &only, lay)
				l.Power = only.Lights[0].Power
			}
		case 11:
			r := choose(d, o.roles...)
			i := slices.IndexFunc(next.Lights, func(x inventory.LightSet) bool { return x.Role == r.String() })
			switch {
			case i >= 0 && r != inventory.Key:
				next.Lights = slices.Delete(next.Lights, i, i+1)
			case i < 0:
				own := &plant{bench: o.bench, kit: p.kit}
				lay := o.bench.Lay(s.Camera(cam.Body), s.Lens(cam.Lens), float64(cam.Frame), float64(next.Backdrop.Distance), nil, nil)
				if fresh, ok := own.light(d, r, lay, &next); ok {
					only := next
					only.Lights = []inventory.LightSet{fresh}
					own.power(d, &only, lay)
					next.Lights = append(next.Lights, only.Lights[0])
				}
			}
		}
	}
	return &next
}

// harder changes one goal of a planted brief so that nobody knows the answer.
func harder(d dice, p *plant, f *draft) *draft {
	out := &draft{f.sitter, slices.Clone(f.goals)}
	r, set := &p.read.Reading, p.setup
	put := func(kind, format string, args ...any) {
		line := kind + ": " + fmt.Sprintf(format, args...)
		for i, g := range out.goals {
			if strings.HasPrefix(g, kind+":") {
				out.goals[i] = line
				return
			}
		}
		out.goals = append(out.goals, line)
	}
	switch d.IntN(9) {
	case 0:
		x := r.Exposure.Lo + choose(d, -1.0, 1)*d.between(2, 9)
		put("exposure", "{key: %s}", around(x, x+0.3, "stops"))
	case 1:
		put("low-key", "{background: at most %s stops}", beyond(min(-0.5, r.Dark.Lo-d.between(1, 5))))
	case 2:
		x := min(140, r.Lights[0].Size.Lo*d.between(2, 5))
		put("soft", "{key: %s}", around(x, x+4, "deg"))
	case 3:
		put("both-eyes-sharp", "{keepers: 95 %%}")
		put("aperture", "%s", p.bench.Studio.Lens(set.Camera.Lens).Widest)
	case 4:
		put("set-up-time", "{at most: %d min}", max(1, int(r.Minutes.Lo)-d.count(2, 8)))
	case 5:
		put("avoid", "{item: %s}", choose(d, set.Lights[0].Head, set.Lights[0].Stand, set.Backdrop.Item, set.Camera.Lens))
	case 6:
		put("perspective", "{nose: %s}", around(d.between(2, 20), 20.5, "%"))
	case 7:
		put("background-level", "{tone: %s}", around(r.Bright.Lo+d.between(1, 4), r.Bright.Lo+5, "stops"))
	case 8:
		put("rim", "{side: %s, hue: %d deg, within: 8 deg, level: -1..+1 stops}", choose(d, "left", "right"), d.IntN(360))
	}
	return out
}

func TestCannotIsNeverRefutedByTheSlowSolver(t *testing.T) {
	t.Parallel()
	v, tried := verdicts{}, 0
	for n := range *manyBriefs / 2 {
		d := newDice(4, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			v["none"]++
			continue
		}
		f := &draft{p.sitter, p.goalLines(d, slackOf(d))}
		f = harder(d, p, f)
		b, err := f.brief(p.bench.Studio)
		if err != nil {
			v["none"]++ // the goals contradict each other as written
			continue
		}
		a := planned(t, p.bench.Studio, b, verdictWork)
		v[a.Outcome]++
		for _, k := range a.Setups {
			rebuilt(t, p.bench.Studio, b, k)
			for _, g := range b.Goals {
				if !obeys(p.bench, g, k.Setup) {
					t.Errorf("brief %d: the set-up found breaks %s", *firstBrief+n, g.Text)
				}
			}
		}
		if a.Outcome != Cannot {
			continue
		}
		tried++
		bench := &constraints.Bench{Studio: p.bench.Studio, Brief: b}
		if set := newSlow(d, bench).look(p, p.setup, *oracleWork); set != nil {
			k, err := Check(bench.Studio, b, set)
			if err == nil && k.Holds() {
				text, _ := set.Text()
				t.Errorf("brief %d: cannot, and the slow solver found a set-up:\n%s---\n%s\n%s", *firstBrief+n, p.describe(f), text, conflictText(a))
			}
		}
	}
	t.Logf("%s; the slow solver tried %d", v, tried)
	if all := v[Found] + v[Cannot] + v[Undecided]; all > 50 && (v[Found] < all/5 || v[Cannot] < all/5) {
		t.Errorf("too few of one verdict to judge the search by: %s", v)
	}
}

// cameraGoals of a brief that asks nothing of any place: the room is large and dark and
// the lights are let do as they like, so that the answer hangs on camera and gear alone.
func gearBrief(d dice) (*kit, *draft) { return gearBriefOf(d, 2, 5) }

// gearBriefOf has three goals and some more.
func gearBriefOf(d dice, least, most int) (*kit, *draft) {
	k := randomKit(d)
	k.room = "{width: 9 m, depth: 12 m, height: 4 m, walls: 5 %, ceiling: 5 %, floor: 10 %, standoff: 0.2 m, behind: 0.3 m}"
	k.of["backdrops"] = []string{"{id: paper-0, reflectance: 18 %, width: 9 m}"}
	for i := range k.of["stands"] {
		k.of["stands"][i] = fmt.Sprintf("{id: stand-%d, count: 2, height: 2.8 m, load: %.1f kg, mass: 1 kg}", i, d.between(1.5, 6))
	}
	delete(k.of, "booms")
	delete(k.of, "triggers")
	f := &draft{sitter: fmt.Sprintf("sitter: {seated: false, turn: %d deg, eye_height: 1.55 m, backdrop_distance: %.2f m..%.2f m}\n", d.count(0, 30), 1.0, 1+0.25*float64(d.IntN(3)))}
	f.goals = []string{"exposure: {key: -12..9 stops}", "out-of-frame: {by: 0 m}"}
	say := func(format string, args ...any) { f.goals = append(f.goals, fmt.Sprintf(format, args...)) }
	lo := d.between(0.25, 0.9)
	say("framing: {height: %s}", around(lo, lo+choose(d, 0.06, 0.15, 0.4), "m"))
	all := []func(){
		func() { say("both-eyes-sharp: {keepers: %d %%}", d.count(60, 97)) },
		func() {
			say("aperture: %s", choose(d, "wide open", "f/1.4..f/2", "f/2.8", "f/4..f/8", "{at most: f/2.8}"))
		},
		func() { x := d.between(3, 16); say("perspective: {nose: %s}", around(x, x+d.between(0.3, 6), "%")) },
		func() { say("background-blur: {%s: %.2f %%}", choose(d, "at least", "at most"), d.between(0.3, 6)) },
		func() { say("shutter: handheld") },
		func() { say("shutter: %s", choose(d, "1/250 s", "1/125 s", "{fastest: 1/200 s}", "{slowest: 1/60 s}")) },
		func() { say("iso: %s", choose(d, "base", "ISO 100", "ISO 800..ISO 1600")) },
		func() { say("light-kind: %s", choose(d, "flash", "continuous")) },
		func() { say("set-up-time: {at most: %d min}", d.count(6, 16)) },
		func() {
			say("key-colour: {kelvin: %s, within: %d mired}", choose(d, "5600 K", "3200 K", "5000 K"), d.count(2, 30))
		},
		func() { say("avoid: {item: head-0}") },
		func() { say("avoid: {item: lens-0}") },
		func() { say("use: {item: mod-0, as: key}") },
		func() {
			if len(k.of["grids"]) > 0 {
				say("use: {item: grid-0, as: key}")
			}
		},
		func() { say("avoid: {item: stand-0}") },
		func() { lo := d.count(20, 120); say("lens: %d mm..%d mm", lo, lo+d.count(0, 30)) },
		func() {
			say("sharp: {points: [%s], by: %.1f}", choose(d, "nose", "near ear", "eyes"), d.between(0.3, 3))
		},
		func() {
			say("blurred: {points: [%s], by: %.1f}", choose(d, "ears", "far ear", "shoulders"), d.between(0.6, 9))
		},
		func() { say("diffraction: {at most: %.2f}", d.between(0.1, 1)) },
		func() {
			say("foreground-blur: {%s: %d %%, from lens: %d cm}", choose(d, "at least", "at most"), d.count(2, 40), d.count(10, 90))
		},
		func() { say("far-ear: %s", choose(d, "hidden", "seen")) },
	}
	for _, i := range d.Perm(len(all))[:d.count(least, most)] {
		all[i]()
	}
	return k, f
}

// bruteGear tries every choice of key gear and every camera setting. No goal reads two of
// ISO, shutter and gear together with the rest, so that each is gone through by itself,
// with the others at any value.
func bruteGear(b *constraints.Bench) bool {
	sh := b.Studio.Shelf()
	for _, body := range sh.Cameras {
		for _, lens := range sh.Lenses {
			if !body.Takes(lens) {
				continue
			}
			for _, kind := range []string{"flash", "lamp"} {
				if bruteWith(b, body, lens, kind) {
					return true
				}
			}
		}
	}
	return false
}

func bruteWith(b *constraints.Bench, body *inventory.Camera, lens *inventory.Lens, kind string) bool {
	const gear, iso, time, rest = 0, 1, 2, 3
	groupOf := func(g *constraints.Goal) int {
		switch a := g.Req.Reads(); {
		case a&constraints.OnISO != 0:
			return iso
		case a&constraints.OnShutter != 0:
			return time
		case a&cameraAspects != 0 && g.Name() != "out-of-frame":
			return rest
		}
		return gear
	}
	holds := func(group int, cam inventory.CameraSet, rig inventory.LightSet, depth float64) bool {
		set := &inventory.Setup{Camera: cam, Backdrop: inventory.BackdropSet{Item: b.Studio.Backdrops[0].ID, Distance: unit.Length(depth)}, Lights: []inventory.LightSet{rig}}
		rd := gearReading(b, set)
		for _, g := range b.Brief.Goals {
			if groupOf(g) != group {
				continue
			}
			if !obeys(b, g, set) || slices.ContainsFunc(g.Req.Judge(&rd, nil), func(p constraints.Part) bool { return !p.Holds() }) {
				return false
			}
		}
		return true
	}
	var rigs []inventory.LightSet
	for _, r := range keyRigs(b) {
		if r.Light == kind {
			rigs = append(rigs, r)
		}
	}
	if len(rigs) == 0 {
		return false
	}
	stops, isos, times := dialled(body, lens, kind == "flash")
	cam := inventory.CameraSet{Body: body.ID, Lens: lens.ID, Aperture: stops[0], ISO: isos[0], Shutter: times[0], Frame: 0.5}
	if !slices.ContainsFunc(rigs, func(r inventory.LightSet) bool { return holds(gear, cam, r, 1) }) ||
		!slices.ContainsFunc(isos, func(x unit.ISO) bool { c := cam; c.ISO = x; return holds(iso, c, rigs[0], 1) }) ||
		!slices.ContainsFunc(times, func(x unit.Shutter) bool { c := cam; c.Shutter = x; return holds(time, c, rigs[0], 1) }) {
		return false
	}
	for _, frame := range constraints.Frames {
		if float64(lens.Focal)*(1+frame/float64(body.Sensor.Long())) < float64(lens.Nearest) {
			continue
		}
		for depth := 0.5; depth <= 6; depth += 0.25 {
			if a := b.Depths(); depth < float64(a.Lo) || depth > float64(a.Hi) {
				continue
			}
			for _, n := range stops {
				c := cam
				c.Frame, c.Aperture = unit.Length(frame), n
				if holds(rest, c, rigs[0], depth) {
					return true
				}
			}
		}
	}
	return false
}

// gearReading is the reading of a set-up whose key stands wherever it likes.
func gearReading(b *constraints.Bench, set *inventory.Setup) constraints.Reading {
	s := b.Studio
	rig := set.Lights[0]
	sc := constraints.NewScene(b)
	sc.Body, sc.Lens, sc.Backdrop = s.Camera(set.Camera.Body), s.Lens(set.Camera.Lens), s.Backdrop(set.Backdrop.Item)
	sc.Frame, sc.Depth = unit.Point(float64(set.Camera.Frame)), unit.Point(float64(set.Backdrop.Distance))
	sc.Aperture = unit.Point(constraints.TrueAperture(sc.Lens, set.Camera.Aperture))
	sc.Shutter, sc.ISO = unit.Point(set.Camera.Shutter.True()), unit.Point(set.Camera.ISO.True())
	for r := range sc.Lights {
		sc.Lights[r].Off()
	}
	x := &sc.Lights[inventory.Key]
	*x = constraints.LightScene{On: unit.Point(1), Level: unit.Point(0), Flash: unit.Point(1), Seen: constraints.Seen{Size: unit.Whole, Clear: unit.Point(9)}}
	if rig.Light == "lamp" {
		x.Flash = unit.Point(0)
	}
	src, _ := b.SourceOf(s.Head(rig.Head), s.Modifier(rig.Modifier), s.Grid(rig.Grid), s.Gel(rig.Gel), rig.Light == "lamp")
	x.Tint = constraints.TintOf(src.XYZ, b.White(set))
	sc.Minutes = unit.Point(float64(b.CameraMinutes() + b.LightMinutes(rig)))
	return constraints.Measure(&sc)
}

// keyRigs is every way to rig a key, with every stand that carries it, and with every gel
// where a goal looks at its colour.
func keyRigs(b *constraints.Bench) (out []inventory.LightSet) {
	sh := b.Studio.Shelf()
	gels := 1
	if b.Brief.Reads()&constraints.Colour(inventory.Key) != 0 {
		gels += len(sh.Gels)
	}
	for _, h := range sh.Heads {
		for i := range len(sh.Modifiers) + 1 {
			for j := range len(sh.Grids) + 1 {
				m, g := at(sh.Modifiers, i), at(sh.Grids, j)
				if !inventory.HeadTakes(h, m) || !inventory.ModTakesGrid(m, g) {
					continue
				}
				for _, st := range sh.Stands {
					if !inventory.Carries(st, nil, inventory.LightMass(h, m, g)) {
						continue
					}
					for k := range gels {
						gel := at(sh.Gels, k)
						if !inventory.HeadTakesGel(h, m, gel) {
							continue
						}
						l := inventory.LightSet{Role: "key", Head: h.ID, Stand: st.ID}
						if m != nil {
							l.Modifier = m.ID
						}
						if g != nil {
							l.Grid = g.ID
						}
						if gel != nil {
							l.Gel = gel.ID
						}
						if h.Flash != nil {
							l.Light = "flash"
							out = append(out, l)
						}
						if h.Lamp != nil && h.Lamp.Main {
							l.Light = "lamp"
							out = append(out, l)
						}
					}
				}
			}
		}
	}
	return out
}

// dialled is every camera setting.
func dialled(body *inventory.Camera, lens *inventory.Lens, flash bool) (stops []unit.FNumber, isos []unit.ISO, times []unit.Shutter) {
	for _, n := range append([]unit.FNumber{lens.Widest}, unit.FStops()...) {
		if n == lens.Widest && len(stops) == 0 || n > lens.Widest && n <= lens.Narrowest {
			stops = append(stops, n)
		}
	}
	for _, x := range unit.ISOs() {
		if x.True() >= body.BaseISO.True()*0.999 && x.True() <= body.TopISO.True()*1.001 {
			isos = append(isos, x)
		}
	}
	for _, x := range unit.Shutters() {
		if x.True() <= constraints.Slowest*1.001 && x.True() >= body.Fastest.True()*0.999 && !(flash && x.True() < body.Sync.True()*0.999) {
			times = append(times, x)
		}
	}
	return stops, isos, times
}

func TestGearAndCameraAgreeWithBruteForce(t *testing.T) {
	t.Parallel()
	v := verdicts{}
	for n := range max(1, *manyBriefs/8) {
		d := newDice(5, *firstBrief+n)
		k, f := gearBrief(d)
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil {
			v["none"]++ // the goals contradict each other as written
			continue
		}
		a := planned(t, s, b, verdictWork)
		v[a.Outcome]++
		want := Cannot
		if bruteGear(&constraints.Bench{Studio: s, Brief: b}) {
			want = Found
		}
		if a.Outcome != want && a.Outcome != Undecided {
			t.Errorf("brief %d: %s, and brute force says %s (%s)\n%s---\n%s%s", *firstBrief+n, a.Outcome, want, a.Open, k.text(), f.text(), conflictText(a))
		}
	}
	t.Logf("%s", v)
	if all := v[Found] + v[Cannot] + v[Undecided]; all > 50 && v[Undecided] > all/20 {
		t.Errorf("too many undecided: %s", v)
	}
}
