package solver

import (
	"fmt"
	"math"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/optics"
	"falloff/model/unit"
)

// Check measures a set-up with the full model and judges every goal of a brief against it.
// Errors are source.Errors with the place in the set-up's file.
func Check(s *inventory.Studio, b *constraints.Brief, set *inventory.Setup) (*Checked, error) {
	bench := &constraints.Bench{Studio: s, Brief: b, Bounces: constraints.Bounces{}}
	got, err := check(bench, b.Goals, set)
	if err != nil {
		return nil, err
	}
	if err := got.finish(bench); err != nil {
		return nil, err
	}
	return got, nil
}

// finish adds what only a set-up that is shown needs: the words of its limits, its doubts and its cautions.
func (c *Checked) finish(b *constraints.Bench) error {
	sc, err := b.SceneOf(c.Setup)
	if err != nil {
		return err
	}
	c.Limits = b.Limits(c.Setup, sc)
	c.doubt(b, sc)
	c.caution(b)
	return nil
}

func check(b *constraints.Bench, goals []*constraints.Goal, set *inventory.Setup) (*Checked, error) {
	c, sc, err := glimpse(b, goals, set)
	if err != nil {
		return nil, err
	}
	for i := range c.Goals {
		if g := &c.Goals[i]; g.Sentence == "" {
			g.Sentence = constraints.Sentence(g.Goal, g.Parts)
		}
	}
	c.reports(b, sc)
	return c, nil
}

// glimpse is check without words and reports. Only what a rule forbids has its sentence.
func glimpse(b *constraints.Bench, goals []*constraints.Goal, set *inventory.Setup) (*Checked, *constraints.Scene, error) {
	sc, err := b.SceneOf(set)
	if err != nil {
		return nil, nil, err
	}
	c := &Checked{Setup: set, Reading: constraints.Measure(sc), Limits: b.Breaks(set, sc)}
	c.Cost = Cost{Lights: len(set.Lights), Minutes: int(sc.Minutes.Lo), Tight: math.Inf(1)}
	picks := constraints.Picks(set)
	for _, g := range goals {
		parts := g.Req.Judge(&c.Reading, nil)
		r := GoalResult{Goal: g, Holds: true, Parts: parts}
		for _, p := range parts {
			r.Holds = r.Holds && p.Holds()
			if p.Fine > 0 && g.Wish == 0 {
				c.Cost.Tight = min(c.Cost.Tight, p.Room())
			}
		}
		for _, rule := range constraints.Broken(g, b, picks) {
			r.Holds = false
			r.Sentence = rule.Why
		}
		if !r.Holds && g.Wish > 0 {
			c.Cost.Missed += g.Wish
		}
		c.Goals = append(c.Goals, r)
	}
	return c, sc, nil
}

func (c *Checked) reports(b *constraints.Bench, sc *constraints.Scene) {
	r := &c.Reading
	s := r.Distance.Lo
	focal := sc.Lens.Focal
	near, far := optics.DepthOfField(focal, r.Aperture.Lo, unit.Length(r.Coc.Lo), unit.Length(s))
	// The model's distances lie along the camera's axis; a tape goes straight to the eyes.
	y, _ := b.Stand(sc.Body, sc.Lens, sc.Frame.Lo)
	straight := math.Hypot(y, b.CameraHeight()-b.Eye().Z)
	near, far = near*unit.Length(straight/s), far*unit.Length(straight/s)
	c.Camera = CameraReport{Distance: unit.Length(straight), Sensor: optics.FromSensor(focal, unit.Length(s)) + unit.Length(straight-s),
		Height: unit.Length(b.CameraHeight()), Pitch: unit.Angle(sc.Pitch().Lo), Focus: b.Focus(), Filter: b.Brief.Camera.Filter, Near: near, Far: far,
		NeededFlash: math.Exp2(b.Needed(sc.Aperture, sc.ISO).Lo)}
	if r.EyeGap.Lo < 0.002 {
		c.Camera.Focus = "the eyes"
	}
	// What a meter at the eyes, turned to the key, shows of all lights: with the room's bounce.
	all := math.Log2(math.Exp2(r.Exposure.Lo) + math.Exp2(r.Bounce.Lo))
	c.Camera.Together, c.Camera.TogetherMeter = unit.Stops(all), meterShows(b, sc, all)
	for i := range c.Setup.Lights {
		c.Lights = append(c.Lights, report(b, sc, &c.Setup.Lights[i]))
	}
	c.Camera.Veil = b.Veil(c.Setup, sc)
	c.Camera.CardFill = unit.Stops(b.CardFill(c.Setup, sc))
	for _, k := range c.Setup.Cards {
		at := constraints.At(b.CardBox(&k))
		c.Cards = append(c.Cards, CardReport{Set: k, At: at, FromBack: unit.Length(at.Y + sc.Depth.Lo)})
	}
}

func report(b *constraints.Bench, sc *constraints.Scene, set *inventory.LightSet) LightReport {
	role, _ := inventory.RoleByName(set.Role)
	x := &sc.Lights[role]
	st := b.Studio
	src, _ := b.SourceOf(st.Head(set.Head), st.Modifier(set.Modifier), st.Grid(set.Grid), st.Gel(set.Gel), set.Light == "lamp")
	at := constraints.At(x.Pose)
	level := x.Level.Lo
	out := LightReport{Set: *set, At: at, Aim: constraints.Aim(x.Pose, set.Feather), FromBack: unit.Length(at.Y + sc.Depth.Lo),
		Dialled: st.Head(set.Head).Dialled(set.Power), Level: unit.Stops(level),
		Meter: meterShows(b, sc, level), Doubt: src.Doubt, Minutes: unit.Minutes(b.LightMinutes(*set))}
	if set.Light == "lamp" { // E = C N^2 / (S t) for level 0
		out.Lux = unit.Illuminance(math.Exp2(level+b.Needed(sc.Aperture, sc.ISO).Lo) / sc.Shutter.Lo)
	}
	out.Words = constraints.LightWords(role, x, src)
	return out
}

// meterShows is the f-number that the studio's meter shows for a level, at the set ISO and
// for continuous light the set shutter.
func meterShows(b *constraints.Bench, sc *constraints.Scene, level float64) float64 {
	return sc.Aperture.Lo * math.Exp2((level-b.ShownBy()+float64(b.Brief.Camera.Filter))/2) // in front of the lens
}

// ambientLimit is how far under the camera's setting stray light should stay, in stops
// (common practice, no source).
const ambientLimit = -5

// roomShows is what the room may add to the lit side, in stops, before it is told: a third of a
// stop is a click of the camera (common practice, no source).
const roomShows = 0.3

// caution collects what to look out for with this set-up. The room's own light is not
// part of the model, so it is told here when it would show; so is a blur that no goal minds.
func (c *Checked) caution(b *constraints.Bench) {
	c.Cautions = append(b.Brief.Blurs(&c.Reading), b.Brief.Caricatures(&c.Reading)...)
	if adds := float64(c.Camera.Together) - c.Reading.Exposure.Lo; adds > roomShows {
		c.Cautions = append(c.Cautions, fmt.Sprintf("Walls, ceiling, floor and backdrop add %s to the lit side of the face, which the goal exposure leaves out. Meter with all lights on, and stop down or turn all lights down by as much, the backdrop with them; or ask for that much less exposure.", amount(adds)))
	}
	if lux := float64(b.Studio.Room.Ambient); lux > 0 {
		level := math.Log2(lux*c.Reading.Shutter.Lo) - math.Log2(c.Camera.NeededFlash)
		if level > ambientLimit {
			c.Cautions = append(c.Cautions, fmt.Sprintf("The room's own %.0f lx lie %.1f stops under the camera's setting and are not counted here: darken the room.", lux, -level))
		}
	}
	c.Cautions = append(c.Cautions, Cautions(b.Studio, b.Brief, c)...)
}
