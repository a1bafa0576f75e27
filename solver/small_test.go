package solver

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// The oracle judges the search on many small kits: one to four heads and two to five
// modifiers. There are five sorts of brief.
//
//   - By gear and camera alone: the oracle goes through every choice of gear and every
//     setting, and knows the answer either way.
//   - Planted: a set-up is known that meets the brief with slack: up to half a stop or a stop,
//     8 or 16 degrees and so on, drawn for each number (see goalLines). "Cannot" is wrong.
//   - On the edge: the same with a fiftieth of that.
//   - Harder: one goal of a planted brief is changed, mostly by much. Nobody knows the answer.
//   - Scarce: an ordinary brief on a kit of common things.
//
// Every "found" is read back and checked. Every "cannot" of the last two is attacked: with
// one light by going through all gear, all settings that the goals of the camera leave, all
// steps of the dial and a grid of places (see grid), and always by climbing from random
// set-ups. Both use the full model and nothing of the search.
const (
	byGear = iota
	planted
	onEdge
	hardened
	ordinary
	sorts
)

var sortNames = [sorts]string{"gear and camera", "planted", "on the edge", "harder", "scarce"}

// sortOf mixes them: of fifty briefs 28, 15, one, four and two.
func sortOf(n int) int {
	switch k := n % 50; {
	case k < 28:
		return byGear
	case k < 43:
		return planted
	case k < 44:
		return onEdge
	case k < 48:
		return hardened
	}
	return ordinary
}

// smallWork is enough for small kits.
var smallWork = Options{Count: 1, NoHelp: true, Work: 30, verdict: true}

// smallKit is one body, one or two lenses, one to four heads, two to five modifiers, one
// backdrop.
func smallKit(d dice) *kit {
	k := randomKit(d)
	for _, class := range []string{"cameras", "backdrops", "stands"} {
		k.of[class] = k.of[class][:1]
	}
	for _, class := range []string{"heads", "modifiers", "grids", "gels"} {
		k.of[class] = nil
	}
	k.randomHeads(d, d.count(1, 4))
	mods := d.count(2, 5)
	k.randomModifiers(d, mods)
	if d.chance(0.4) {
		k.add("grids", "id: grid-0, fits: [mod-%d], cell: hex, cutoff: %d deg", d.IntN(mods), d.count(20, 60))
	}
	return k
}

// Of a brief for one light the oracle goes through all gear, every step of the dial, up to
// manyCameras of the camera's places and settings, evenly spread over those that the goals
// which read the camera alone leave, and gridD x gridAz x gridEl places of the light, evenly
// spread over the key's stated range, distance by ratios, its ends among them.
const (
	manyCameras           = 8
	gridD, gridAz, gridEl = 4, 7, 4
)

func evenly(i unit.Interval, n int) (xs []float64) {
	for k := range n {
		xs = append(xs, i.Lo+i.Width()*float64(k)/float64(n-1))
	}
	return xs
}

// everySetup goes through them; nil if none holds.
func (o *slow) everySetup() *inventory.Setup {
	var places []inventory.LightSet
	at := constraints.Stated[inventory.Key]
	for _, d := range evenly(unit.Interval{Lo: math.Log(at.D.Lo), Hi: math.Log(at.D.Hi)}, gridD) {
		for _, az := range evenly(at.Az, gridAz) {
			for _, el := range evenly(at.El, gridEl) {
				d := min(at.D.Hi, max(at.D.Lo, math.Exp(d)))
				places = append(places, inventory.LightSet{Distance: unit.Length(d), Azimuth: unit.Angle(az) * unit.Degree, Elevation: unit.Angle(el) * unit.Degree})
			}
		}
	}
	rigs := keyRigs(o.bench)
	for _, set := range o.cameras() {
		set.Lights = make([]inventory.LightSet, 1)
		for _, rig := range rigs {
			set.Lights[0] = rig
			if slices.ContainsFunc(o.bench.Brief.Goals, func(g *constraints.Goal) bool { return g.Wish == 0 && !obeys(o.bench, g, set) }) {
				continue
			}
			for _, at := range places {
				rig.Distance, rig.Azimuth, rig.Elevation = at.Distance, at.Azimuth, at.Elevation
				set.Lights[0] = rig
				if o.dial(set) {
					return set
				}
			}
		}
	}
	return nil
}

// dial turns the key through its steps until the set-up holds. What the level of the key has
// no part in is looked at once.
func (o *slow) dial(set *inventory.Setup) bool {
	sc, ok := o.scene(set)
	if !ok || slices.ContainsFunc(o.bench.Breaks(set, sc), func(l constraints.Limit) bool { return !l.Holds }) {
		return false
	}
	const tones = constraints.OnSpill | constraints.OnBounce | constraints.OnEdges | constraints.OnFall | constraints.OnWrap | constraints.OnTint | constraints.OnPower
	fails := func(deaf bool) bool {
		rd := constraints.Measure(sc)
		return slices.ContainsFunc(o.bench.Brief.Goals, func(g *constraints.Goal) bool {
			if g.Wish > 0 || deaf != (g.Req.Reads()&(tones|constraints.Level(inventory.Key)) == 0) {
				return false
			}
			return slices.ContainsFunc(g.Req.Judge(&rd, nil), func(p constraints.Part) bool { return !p.Holds() })
		})
	}
	if fails(true) {
		return false
	}
	l := &set.Lights[0]
	steps, step := o.bench.Studio.Head(l.Head).Powers(l.Light == "lamp")
	full := sc.Lights[inventory.Key].Level
	for k := range steps {
		l.Power = unit.Stops(-math.Round(float64(k)*float64(step)*1e6) / 1e6)
		sc.Lights[inventory.Key].Level = full.Add(unit.Point(float64(l.Power)))
		if !fails(false) && o.wrong(set) == 0 {
			return true
		}
	}
	return false
}

// cameras is set-ups without lights: places and settings of camera and backdrop that break
// no goal which reads nothing else.
func (o *slow) cameras() (out []*inventory.Setup) {
	b, sh := o.bench, o.bench.Studio.Shelf()
	breaks := func(set *inventory.Setup, reads constraints.Aspect) bool {
		sc := constraints.NewScene(b)
		sc.Body, sc.Lens, sc.Backdrop = b.Studio.Camera(set.Camera.Body), b.Studio.Lens(set.Camera.Lens), b.Studio.Backdrop(set.Backdrop.Item)
		sc.Aperture = unit.Point(constraints.TrueAperture(sc.Lens, set.Camera.Aperture))
		sc.Shutter, sc.ISO = unit.Point(set.Camera.Shutter.True()), unit.Point(set.Camera.ISO.True())
		sc.Frame, sc.Depth = unit.Point(float64(set.Camera.Frame)), unit.Point(float64(set.Backdrop.Distance))
		sc.Lay(o.lay(set))
		var rd constraints.Reading
		sc.MeasureCamera(&rd)
		return slices.ContainsFunc(b.Brief.Goals, func(g *constraints.Goal) bool {
			return g.Wish == 0 && g.Req.Reads() != 0 && g.Req.Reads()&^reads == 0 &&
				slices.ContainsFunc(g.Req.Judge(&rd, nil), func(p constraints.Part) bool { return !p.Holds() })
		})
	}
	allowed := b.Depths()
	for _, body := range sh.Cameras {
		for _, lens := range sh.Lenses {
			if !body.Takes(lens) {
				continue
			}
			stops, isos, times := dialled(body, lens, false)
			set := inventory.Setup{Name: "gone through", Studio: b.Studio.Name, Camera: inventory.CameraSet{Body: body.ID, Lens: lens.ID, Frame: unit.Length(constraints.Frames[0]),
				Aperture: stops[0], ISO: isos[0], Shutter: times[0], Height: unit.Length(b.CameraHeight())}, Backdrop: inventory.BackdropSet{Item: sh.Backdrops[0].ID, Distance: allowed.Lo}}
			isos = slices.DeleteFunc(isos, func(x unit.ISO) bool { c := set; c.Camera.ISO = x; return breaks(&c, constraints.OnISO) })
			times = slices.DeleteFunc(times, func(x unit.Shutter) bool {
				c := set
				c.Camera.Shutter = x
				return breaks(&c, constraints.OnShutter|constraints.OnLens)
			})
			for _, paper := range sh.Backdrops {
				for _, frame := range constraints.Frames {
					for depth := 0.5; depth <= 6; depth += 0.25 {
						c := set
						c.Camera.Frame, c.Backdrop.Item, c.Backdrop.Distance = unit.Length(frame), paper.ID, unit.Length(depth)
						if depth < float64(allowed.Lo) || depth > float64(allowed.Hi) || breaks(&c, constraints.OnFrame) {
							continue
						}
						for _, c.Camera.Aperture = range stops {
							if breaks(&c, cameraAspects&^constraints.OnISO&^constraints.OnShutter) {
								continue
							}
							for _, c.Camera.ISO = range isos {
								for _, c.Camera.Shutter = range times {
									own := c
									out = append(out, &own)
								}
							}
						}
					}
				}
			}
		}
	}
	thin := out[:0]
	for k := range min(manyCameras, len(out)) {
		thin = append(thin, out[k*len(out)/min(manyCameras, len(out))])
	}
	return thin
}

// tally counts what came of the briefs.
type tally struct {
	sync.Mutex
	of   [sorts]verdicts
	sum  verdicts
	open map[string]int // undecided, by sort and why
	// Briefs gone through by the oracle where the search says cannot; and where it says found,
	// of which the oracle found some too.
	gone, known, alike int
}

func TestSearchAgreesWithTheOracle(t *testing.T) {
	t.Parallel()
	sum := &tally{sum: verdicts{}, open: map[string]int{}}
	for i := range sum.of {
		sum.of[i] = verdicts{}
	}
	const parts = 4
	t.Run("briefs", func(t *testing.T) {
		for part := range parts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				for n := *firstBrief + part; n < *firstBrief+*manyBriefs; n += parts {
					sum.judge(t, n)
				}
			})
		}
	})
	for i, v := range sum.of {
		t.Logf("%s: %s", sortNames[i], v)
	}
	v := sum.sum
	all := v[Found] + v[Cannot] + v[Undecided]
	t.Logf("%d briefs: %s, which is %.1f %% undecided", all, v, 100*float64(v[Undecided])/float64(max(1, all)))
	t.Logf("gone through where the search says cannot: %d; where it says found: %d, and the oracle finds one in %d of them", sum.gone, sum.known, sum.alike)
	for _, why := range slices.Sorted(maps.Keys(sum.open)) {
		t.Logf("undecided: %d of %s", sum.open[why], why)
	}
	if *manyBriefs < 1000 {
		return
	}
	if v[Found] < all/3 || v[Cannot] < all/3 {
		t.Errorf("too few of one verdict to judge the search by: %s", v)
	}
	if sum.alike < sum.known/4 {
		t.Errorf("the oracle finds set-ups in %d of %d briefs that can be met: it judges nothing", sum.alike, sum.known)
	}
}

// judge asks the search and the oracle about one brief.
func (y *tally) judge(t *testing.T, n int) {
	sort := sortOf(n)
	k, f, bench, p := smallBrief(t, newDice(12, n), sort)
	if bench == nil {
		return
	}
	tell := func() string { return fmt.Sprintf("brief %d, %s", n, sortNames[sort]) }
	a := planned(t, bench.Studio, bench.Brief, smallWork)
	y.Lock()
	y.of[sort][a.Outcome]++
	y.sum[a.Outcome]++
	if a.Outcome == Undecided {
		why, _, _ := strings.Cut(a.Open, ":")
		y.open[sortNames[sort]+": "+why]++
		placesAreNamed(t, bench, a)
	}
	y.Unlock()
	for _, x := range a.Setups {
		rebuilt(t, bench.Studio, bench.Brief, x)
		for _, g := range bench.Brief.Goals {
			if !obeys(bench, g, x.Setup) {
				t.Errorf("%s: the set-up found breaks %s\n%s---\n%s", tell(), g.Text, k.text(), f.text())
			}
		}
	}
	var set *inventory.Setup
	switch {
	case a.Outcome == Undecided:
	case sort == byGear:
		if can := bruteGear(bench); can != (a.Outcome == Found) {
			t.Errorf("%s: %s, and brute force says that it can be met: %v\n%s---\n%s", tell(), a.Outcome, can, k.text(), f.text())
		}
	case sort == planted || sort == onEdge:
		if a.Outcome == Cannot {
			t.Errorf("%s: cannot, and a set-up exists\n%s", tell(), p.describe(f))
		}
	case a.Outcome == Cannot:
		o := newSlow(newDice(13, n), bench)
		if o.keyAlone() {
			set = o.everySetup()
			y.count(func() { y.gone++ })
		}
		if set == nil {
			set = o.look(p, p.setup, *oracleWork)
		}
	case sort == hardened: // how good the oracle is
		if o := newSlow(newDice(13, n), bench); o.keyAlone() {
			found := o.everySetup() != nil || o.look(p, p.setup, *oracleWork) != nil
			y.count(func() {
				y.known++
				if found {
					y.alike++
				}
			})
		}
	}
	if set == nil {
		return
	}
	if got, err := Check(bench.Studio, bench.Brief, set); err == nil && got.Holds() {
		text, _ := set.Text()
		t.Errorf("%s: cannot, and this holds:\n%s---\n%s---\n%s", tell(), text, k.text(), f.text())
	}
}

func (y *tally) count(do func()) {
	y.Lock()
	defer y.Unlock()
	do()
}

// keyAlone reports whether no goal needs another light than the key.
func (o *slow) keyAlone() bool {
	return !slices.ContainsFunc(o.bench.Brief.Goals, func(g *constraints.Goal) bool {
		need, _ := g.Req.Roles()
		return slices.ContainsFunc(need, func(r inventory.Role) bool { return r != inventory.Key })
	})
}

// smallBrief is one brief of a sort; without a bench where no set-up could be planted or the
// goals contradict each other as written. The plant is nil for a brief by gear.
func smallBrief(t *testing.T, d dice, sort int) (*kit, *draft, *constraints.Bench, *plant) {
	var k *kit
	var f *draft
	var p *plant
	switch sort {
	case byGear:
		k, f = gearBrief(d)
	case ordinary:
		k, f = scarceKit(d), ordinaryBrief(d)
		p = plantOn(t, d, k, 0.1, 0)
	default:
		k = smallKit(d)
		if p = plantOn(t, d, k, 0.06, 0); p == nil {
			return nil, nil, nil, nil
		}
		slack := choose(d, 1.0, 1, 2, 2)
		if sort == onEdge {
			slack = 0.02
		}
		f = &draft{p.sitter, p.goalLines(d, slack)}
		if sort == hardened {
			f = harder(d, p, f)
		}
	}
	if p == nil && sort != byGear {
		return nil, nil, nil, nil
	}
	s := k.studio(t)
	b, err := f.brief(s)
	if err != nil || len(constraints.Collisions(b)) > 0 { // the program refuses these before any search
		return nil, nil, nil, nil
	}
	return k, f, &constraints.Bench{Studio: s, Brief: b}, p
}
