package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "freeze",
	Doc: Doc{
		Group: "practical",
		Title: "movement is stopped: hair, cloth, a jump",
		Text: `What moves across the picture at a speed (if not written 1.5 m/s, swinging hair; words: breath 0.1, walk
1.4, hair 1.5, jump 4 m/s, from memory) leaves a trail of speed x time x magnification on the sensor: at most one circle
of confusion (by: another number). The time is t0.1 of each flash at its power, and the shutter for continuous light. t01
asks for the time itself. A flash that is turned down by its voltage lasts up to twice as long, one that is cut off
gets shorter with every stop (from memory); a head that gives only t0.5 is taken at 3.3 times that (exponential decay,
computed), one that gives neither at 1/300 s.`,
		Example: "freeze: {speed: 1.5 m/s}",
		Words:   []string{"motion", "t0.1", "flash duration", "stop action", "jump", "hair toss", "dance", "movement", "motion blur"},
		Values:  []string{"breath", "walk", "hair", "jump"},
	},
	Read: readFreeze,
})

var speeds = map[string]speed{"breath": 0.1, "walk": 1.4, "hair": 1.5, "jump": 4}

type freezeGoal struct {
	Plain
	speed speed
	by    float64
	time  unit.Time // 0: the speed decides
}

type freezeForm struct {
	source.Places
	Speed speed     `yaml:"speed,omitempty"`
	By    float64   `yaml:"by,omitempty"`
	T01   unit.Time `yaml:"t01,omitempty"`
}

func readFreeze(n source.Node) (Requirement, error) {
	g := &freezeGoal{speed: speeds["hair"], by: 1}
	if yes(n) {
		return g, nil
	}
	if w, ok := word(n); ok {
		known, err := oneOf("movement", w, []string{"breath", "walk", "hair", "jump"})
		g.speed = speeds[known]
		return g, err
	}
	var f freezeForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("speed") {
		g.speed = f.Speed
	}
	if f.Wrote("by") {
		g.by = f.By
	}
	if f.Wrote("t01") {
		if f.Wrote("speed") || f.Wrote("by") {
			return nil, fmt.Errorf("say speed or t01, not both")
		}
		g.time = f.T01
	}
	return g, nil
}

func (g *freezeGoal) Validate(*Brief) error {
	if !(g.by >= 0.2 && g.by <= 50) {
		return fmt.Errorf("by lies between 0.2 and 50 circles of confusion")
	}
	return nil
}

func (g *freezeGoal) Written() string {
	if g.time > 0 {
		return "{t01: " + exact(g.time) + "}"
	}
	return fmt.Sprintf("{speed: %s, by: %v}", g.speed, g.by)
}

func (g *freezeGoal) Reads() Aspect {
	return OnShutter | OnLens | OnFrame | OnPower | everyLight(Gear)
}

func (g *freezeGoal) Judge(r *Reading, out []Part) []Part {
	trail := unit.Point(float64(g.speed)).Mul(r.Focal.Div(r.Distance.Sub(r.Focal))).Div(r.Coc) // circles of confusion a second
	if r.Distance == unit.Whole || r.Focal == unit.Whole || r.Coc == unit.Whole || trail.Lo < 0 {
		trail = unit.Interval{Lo: 0, Hi: math.Inf(1)}
	}
	return usedLights(r, out, func(l *LightReading) Part {
		t := lasts(r, l)
		if g.time > 0 {
			return Part{Got: t, Want: atMost(float64(g.time)), Unit: InSeconds, Fine: 0}
		}
		if t == unit.Whole {
			return Part{Got: t, Want: atMost(g.by), Unit: InDiscs, Fine: 0.2}
		}
		return Part{Got: t.Mul(trail), Want: atMost(g.by), Unit: InDiscs, Fine: 0.2}
	})
}

// lasts is how long a light lights the picture: a flash as long as it burns, a lamp as long
// as the shutter is open.
func lasts(r *Reading, l *LightReading) unit.Interval {
	switch {
	case l.Flash.Lo >= 1:
		return l.Duration
	case l.Flash.Hi <= 0:
		return r.Shutter
	case l.Duration == unit.Whole || r.Shutter == unit.Whole:
		return unit.Whole
	}
	return l.Duration.Hull(r.Shutter)
}

func (g *freezeGoal) Say(parts []Part) string {
	if len(parts) == 0 {
		return ""
	}
	p := slices.MinFunc(parts, func(a, b Part) int { return cmpMargin(a, b) })
	if g.time > 0 {
		return fmt.Sprintf("the light of the %s lasts %s (%s)", spoken(p.What), p.GotText(), p.aside())
	}
	return fmt.Sprintf("%s leaves a trail of %s the sharpness limit in the light of the %s (%s)", g.moving(), p.GotText(), spoken(p.What), p.aside())
}

func (g *freezeGoal) moving() string { return "movement of " + g.speed.String() }

// widestFrame is the largest frame that is planned, in metres: there a movement is drawn
// smallest.
const widestFrame = 2.3

// Rules: flashes that are too slow at any power, whatever the frame.
func (g *freezeGoal) Rules(b *Bench) iter.Seq[Rule] {
	return func(yield func(Rule) bool) {
		for _, h := range b.Studio.Shelf().Heads {
			if h.Flash == nil {
				continue
			}
			best := h.Flash.Shortest()
			if float64(best) <= g.longest(b) {
				continue
			}
			for r := range allRoles() {
				if !yield(Rule{If: []Pick{{RoleSlot(r, "head"), h.ID}, {RoleSlot(r, "light"), flashLight}},
					Why: fmt.Sprintf("The flash of the %s lasts %s at its shortest, and %s needs %s.", h.Label(), unit.Shutter(best), g.needs(), unit.Shutter(g.longest(b)))}) {
					return
				}
			}
		}
	}
}

func (g *freezeGoal) needs() string {
	if g.time > 0 {
		return "the brief"
	}
	return g.moving()
}

// longest is the longest time that can do in any frame, in seconds.
func (g *freezeGoal) longest(b *Bench) float64 {
	if g.time > 0 {
		return float64(g.time)
	}
	most := 0.0
	for _, c := range b.Studio.Cameras {
		coc := float64(c.Sensor.Diagonal()) / 1500
		most = max(most, g.by*coc/float64(g.speed)*widestFrame/float64(c.Sensor.Long()))
	}
	if most == 0 {
		return math.Inf(1)
	}
	return most
}

func (g *freezeGoal) Because(r *Reading, p Part) string {
	if g.time > 0 {
		return short("the time that the "+spoken(p.What)+" lights the picture", p)
	}
	return fmt.Sprintf("In the light of the %s %s leaves a trail of at least %s the sharpness limit, and at most %s is wanted.",
		spoken(p.What), g.moving(), floor(p.Got.Lo, InDiscs, p.Want.Hi), Asked(p.Want.Hi, InDiscs))
}

func (g *freezeGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if g.time > 0 {
		for i, f := range []unit.Time{1.5, 2, 4} {
			w := &freezeGoal{speed: g.speed, by: g.by, time: unit.Time(figures(float64(g.time * f)))}
			out = append(out, weaker(g, w, 1+1.5*float64(i), "let it last %s", unit.Shutter(w.time)))
		}
	} else {
		for i, f := range []float64{1.5, 2, 4} {
			w := &freezeGoal{speed: g.speed, by: g.by * f}
			if w.by <= 50 {
				out = append(out, weaker(g, w, 1+1.5*float64(i), "let movement be drawn %v times the sharpness limit long", w.by))
			}
		}
	}
	out = append(out, widerFrameAsked(b)...)
	out = append(out, Change{Text: "hire a head whose flash is cut off (t0.1 1/5000 s turned down)", Cost: "a head to hire", Minor: 4, Apply: hireQuick})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// hireQuick adds a pair of heads of the strongest flash's mount that are cut off.
func hireQuick(_ *Brief, s *inventory.Studio) {
	mount := ""
	for _, h := range s.Heads {
		if h.Flash != nil {
			mount = h.Mount
		}
	}
	s.Heads = append(s.Heads, inventory.Head{Item: inventory.Item{ID: freshID(s, "quick head"), Name: "400 Ws head that is cut off", Count: 2, Mass: 2.6}, Mount: mount,
		Flash: &inventory.Flash{Energy: 400, Efficacy: 35, Range: 8, Step: 0.1, T01: 1.0 / 400, Cutoff: true, Recycle: 1, Kelvin: 5600}})
	for i := range s.Triggers {
		s.Triggers[i].Count += 2
		break
	}
	s.Complete()
}

// Amounts lets the light last longer by thirds of a stop, or asks for slower movement and
// allows a longer trail, by tenths.
func (g *freezeGoal) Amounts(*Bench) []Amount {
	if g.time > 0 {
		now := unit.Shutter(g.time)
		times := make([]float64, 18)
		for k := range times {
			times[k] = 1 / figures(1/float64(unit.ShutterAt(now.Thirds()-k-1)))
		}
		return []Amount{listed("time that a light lasts", float64(now), times, inUnit(InSeconds), func(x float64) Change {
			return weaker(g, &freezeGoal{speed: g.speed, by: g.by, time: unit.Time(x)}, 1, "let it last %s", Show(x, InSeconds))
		})}
	}
	speedText := func(x float64) string { return speed(x).String() }
	out := moved(g, "speed of the movement", tidy(float64(g.speed)), min(0.1, float64(g.speed)), 0.1, speedText,
		func(x float64) string { return "ask for slower movement, " + speedText(x) + " at most" }, 1,
		func(x float64) Requirement { return &freezeGoal{speed: speed(x), by: g.by} })
	return append(out, moved(g, "trail of the movement", g.by, 50, 0.1, times, func(x float64) string {
		return fmt.Sprintf("let movement be drawn %v times the sharpness limit long", x)
	}, 1.5, func(x float64) Requirement { return &freezeGoal{speed: g.speed, by: x} })...)
}
