package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "shutter",
	Doc: Doc{
		Group: "camera",
		Title: "the shutter speed",
		Text: `"handheld" keeps the time at or under the longest that the hand allows with this lens, the better
stabilisation of body and lens counted. If the key is continuous light the sitter's movement shows too:
1/60 s at the longest for a seated adult (from memory), unless motion or slowest says otherwise; 1/125 s suits a
standing adult, 1/250 s a child. Otherwise a speed, or slowest and fastest, whatever the light. The fastest
speed with flash is a limit of the camera and is always kept.`,
		Example: "shutter: {handheld: true, motion: 1/60 s}",
		Words:   []string{"hand-held", "hand held", "speed", "motion", "shake", "tripod", "exposure time"},
	},
	Read: readShutter,
})

// seatedSlowest is the longest time that keeps a seated adult sharp by continuous light.
// From memory.
const seatedSlowest unit.Shutter = 1. / 60

// shutterGoal wants a range of speeds, the hand-held rule, or both. A zero end is not written.
type shutterGoal struct {
	Plain
	handheld         bool
	motion           unit.Shutter // by continuous light
	slowest, fastest unit.Shutter
}

type shutterForm struct {
	source.Places
	Handheld bool         `yaml:"handheld,omitempty"`
	Motion   unit.Shutter `yaml:"motion,omitempty"`
	Slowest  unit.Shutter `yaml:"slowest,omitempty"`
	Fastest  unit.Shutter `yaml:"fastest,omitempty"`
}

func readShutter(n source.Node) (Requirement, error) {
	w, ok := word(n)
	if !ok {
		var f shutterForm
		if err := n.Decode(&f); err != nil {
			return nil, err
		}
		return &shutterGoal{handheld: f.Handheld, motion: f.Motion, slowest: f.Slowest, fastest: f.Fastest}, nil
	}
	if s := strings.ReplaceAll(normal(w), " ", ""); s == "handheld" {
		return &shutterGoal{handheld: true}, nil
	}
	r, err := readRange[unit.Shutter](n)
	if err != nil {
		return nil, err
	}
	g := &shutterGoal{}
	if !math.IsInf(float64(r.Lo), 0) {
		g.fastest = r.Lo
	}
	if !math.IsInf(float64(r.Hi), 0) {
		g.slowest = r.Hi
	}
	return g, nil
}

func (g *shutterGoal) Validate(*Brief) error {
	switch {
	case !g.handheld && g.motion == 0 && g.slowest == 0 && g.fastest == 0:
		return fmt.Errorf("say handheld, motion, slowest or fastest")
	case g.slowest > 0 && g.fastest > g.slowest:
		return fmt.Errorf("fastest %s is slower than slowest %s", g.fastest, g.slowest)
	}
	return nil
}

func (g *shutterGoal) Written() string {
	var keys []string
	if g.handheld {
		keys = append(keys, "handheld: true")
	}
	if g.motion > 0 {
		keys = append(keys, "motion: "+exact(g.motion))
	}
	if g.slowest > 0 {
		keys = append(keys, "slowest: "+exact(g.slowest))
	}
	if g.fastest > 0 {
		keys = append(keys, "fastest: "+exact(g.fastest))
	}
	switch {
	case g.handheld && len(keys) == 1:
		return "handheld"
	case !g.handheld && g.motion == 0 && g.slowest == g.fastest && g.slowest > 0:
		return exact(g.slowest)
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

func (g *shutterGoal) Reads() Aspect {
	a := OnShutter
	if g.handheld {
		a |= OnLens
	}
	if g.still() > 0 {
		a |= Gear(inventory.Key)
	}
	return a
}

func (g *shutterGoal) want() unit.Interval {
	v := unit.Whole
	if g.fastest > 0 {
		v.Lo = marked(unit.AtLeast(g.fastest), unit.Shutter.True).Lo
	}
	if g.slowest > 0 {
		v.Hi = marked(unit.AtMost(g.slowest), unit.Shutter.True).Hi
	}
	return v
}

func (g *shutterGoal) Judge(r *Reading, out []Part) []Part {
	if g.handheld {
		out = append(out, Part{What: "hand-held", Got: stopsBetween(r.Shutter, r.Handheld), Want: atMost(0), Unit: InStops})
	}
	if g.slowest > 0 || g.fastest > 0 {
		out = append(out, Part{What: "speed", Got: r.Shutter, Want: g.want(), Unit: InSeconds})
	}
	if g.still() > 0 {
		out = g.judgeMotion(r, out)
	}
	return out
}

// still is the longest time by continuous light; 0 for no such limit.
func (g *shutterGoal) still() unit.Shutter {
	if g.motion == 0 && g.handheld && g.slowest == 0 {
		return seatedSlowest
	}
	return g.motion
}

// judgeMotion is the sitter's own movement, which only continuous light shows.
func (g *shutterGoal) judgeMotion(r *Reading, out []Part) []Part {
	got := r.Shutter
	switch flash := r.Lights[inventory.Key].Flash; {
	case flash.Lo >= 1:
		return out
	case flash.Hi > 0: // it may be flash
		got.Lo = math.Inf(-1)
	}
	return append(out, Part{What: "sitter's movement", Got: got, Want: marked(unit.AtMost(g.still()), unit.Shutter.True), Unit: InSeconds})
}

func (g *shutterGoal) Say(parts []Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = sayPart(p)
		if p.What != "hand-held" || !p.Got.IsPoint() {
			continue
		}
		switch x := p.Got.Lo; {
		case x > 0:
			said[i] = size(x, InStops) + " longer than the hand allows"
		case x == 0:
			said[i] = "as long as the hand allows"
		default:
			said[i] = size(-x, InStops) + " shorter than the hand needs"
		}
	}
	return strings.Join(said, ", ")
}

// Blurs tells what continuous light would blur in a picture whose brief asks nothing of the
// shutter; flash freezes both hand and sitter.
func (b *Brief) Blurs(r *Reading) (out []string) {
	asked := slices.ContainsFunc(b.Goals, func(g *Goal) bool { return g.Name() == "shutter" })
	if asked || r.Lights[inventory.Key].Flash.Hi > 0 {
		return nil
	}
	for _, p := range (&shutterGoal{handheld: true}).Judge(r, nil) {
		if !p.Fails() {
			continue
		}
		if p.What == "hand-held" {
			out = append(out, fmt.Sprintf("By hand this lens allows at most %s: put the camera on a tripod, or ask for shutter: handheld.", Show(r.Handheld.Hi, InSeconds)))
			continue
		}
		out = append(out, fmt.Sprintf("At %s the sitter's own movement shows: have them hold still, or ask for shutter: {motion: %s}.", Show(r.Shutter.Lo, InSeconds), seatedSlowest))
	}
	return out
}

func (g *shutterGoal) Because(r *Reading, p Part) string {
	if p.What == "hand-held" {
		return fmt.Sprintf("The shutter would have to stay open for %s or longer, and by hand this lens allows at most %s.",
			Show(r.Shutter.Lo, InSeconds), Show(r.Handheld.Hi, InSeconds))
	}
	if p.What == "sitter's movement" {
		return fmt.Sprintf("By continuous light the exposure time %s, and the sitter holds still for %s at most.",
			isAtLeast(p), Asked(p.Want.Hi, InSeconds))
	}
	return short("the exposure time", p)
}

func (g *shutterGoal) Relax(*Bench) iter.Seq[Change] {
	var out []Change
	offer := func(minor float64, edit func(*shutterGoal), format string, args ...any) *Change {
		w := *g
		edit(&w)
		out = append(out, weaker(g, &w, minor, format, args...))
		return &out[len(out)-1]
	}
	for i, k := range []int{1, 3, 6} { // thirds
		if g.still() > 0 {
			to := unit.ShutterAt(g.still().Thirds() - k)
			offer(2+float64(i), func(w *shutterGoal) { w.motion = to }, "ask the sitter to hold still for %s", to)
		}
		if g.slowest > 0 {
			to := unit.ShutterAt(g.slowest.Thirds() - k)
			offer(1+float64(i), func(w *shutterGoal) { w.slowest = to }, "allow %s", to)
		}
		if g.fastest > 0 {
			to := unit.ShutterAt(g.fastest.Thirds() + k)
			offer(1+float64(i), func(w *shutterGoal) { w.fastest = to }, "allow %s", to)
		}
	}
	if g.handheld {
		tripod := func(to unit.Shutter) func(*shutterGoal) {
			return func(w *shutterGoal) {
				w.handheld, w.motion = false, to
			}
		}
		still := g.still()
		offer(1, tripod(still), "put the camera on a tripod").Cost = "2 min"
		if still > 0 {
			slow := unit.ShutterAt(still.Thirds() - 3)
			offer(5, tripod(slow), "put the camera on a tripod and hold still for %s", slow).Cost = "2 min"
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func cmpOr[T ~float64](x, usual T) T {
	if x == 0 {
		return usual
	}
	return x
}

func (g *shutterGoal) Wants(*Bench) []Want {
	if g.slowest == 0 && g.fastest == 0 {
		return nil
	}
	return []Want{{"shutter", g.want(), "the shutter at " + ShowRange(g.want(), InSeconds)}}
}

// Amounts moves the times by thirds of a stop.
func (g *shutterGoal) Amounts(*Bench) (out []Amount) {
	move := func(name string, now unit.Shutter, n, sign int, minor float64, format string, set func(*shutterGoal, unit.Shutter)) {
		if now <= 0 {
			return
		}
		at := func(k int) unit.Shutter { return unit.ShutterAt(now.Thirds() + sign*k) }
		out = append(out, thirds(name, now, n, at, func(to unit.Shutter) Change {
			w := *g
			set(&w, to)
			return weaker(g, &w, minor, format, to)
		}))
	}
	move("slowest shutter", g.slowest, 18, -1, 1, "allow %s", func(w *shutterGoal, to unit.Shutter) { w.slowest = to })
	move("fastest shutter", g.fastest, 12, 1, 1, "allow %s", func(w *shutterGoal, to unit.Shutter) { w.fastest = to })
	move("time to hold still", g.still(), 12, -1, 2, "ask the sitter to hold still for %s", func(w *shutterGoal, to unit.Shutter) { w.motion = to })
	return out
}
