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
	Name: "ambient",
	Doc: Doc{
		Group: "tone",
		Title: "light that is always on does not show in the picture",
		Text: `How far the room's own light lies under the camera's setting: at most -5 stops if not written, -6 is
strict (from memory). Its illuminance at the face is the studio's ambient, or lux: what a meter shows at the face with
all that stays on during the frame, modelling lamps and windows too. A flash does not care how long the shutter is
open, this light does: a faster shutter, a lower ISO or a smaller aperture push it down.`,
		Example: "ambient: {at most: -5 stops, lux: 20 lux}",
		Words:   []string{"no ambient", "room light", "modelling lamp", "window light", "kill ambient", "colour cast", "stray light", "black frame"},
	},
	Read: readAmbient,
})

const usualAmbient unit.Stops = -5

type ambientGoal struct {
	Plain
	most unit.Stops
	lux  unit.Illuminance // 0: the studio's
}

type ambientForm struct {
	source.Places
	AtMost unit.Stops       `yaml:"at most,omitempty"`
	Lux    unit.Illuminance `yaml:"lux,omitempty"`
}

func readAmbient(n source.Node) (Requirement, error) {
	g := &ambientGoal{most: usualAmbient}
	if yes(n) {
		return g, nil
	}
	if n.Kind() == source.Scalar {
		want, err := readRange[unit.Stops](n)
		g.most = want.Hi
		return g, err
	}
	var f ambientForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("at most") {
		g.most = f.AtMost
	}
	g.lux = f.Lux
	return g, nil
}

func (g *ambientGoal) Validate(*Brief) error {
	if g.most > 2 || g.most < -15 {
		return fmt.Errorf("at most lies between -15 stops and 2 stops")
	}
	return nil
}

func (g *ambientGoal) Written() string {
	lux := ""
	if g.lux > 0 {
		lux = exact(g.lux)
	}
	return keyed(pair{"at most", exact(g.most)}, pair{"lux", lux})
}

func (g *ambientGoal) Reads() Aspect { return OnAperture | OnShutter | OnISO }

func (g *ambientGoal) Judge(r *Reading, out []Part) []Part {
	got := r.RoomLux
	if g.lux > 0 {
		got = unit.Point(float64(g.lux))
	}
	level := got.Log2()
	if got.Hi > 0 { // no light stays no light at any setting
		level = level.Add(r.Ambient)
	}
	return append(out, Part{Got: level, Want: atMost(float64(g.most)), Unit: InStops, Fine: 0.3})
}

func (g *ambientGoal) Because(r *Reading, p Part) string {
	lux := g.lux
	if lux == 0 {
		lux = unit.Illuminance(r.RoomLux.Hi)
	}
	at := "At every setting that is left"
	if r.Aperture.IsPoint() && r.ISO.IsPoint() && r.Shutter.IsPoint() {
		at = fmt.Sprintf("At %s, %s and %s", Show(r.Aperture.Lo, InFNumber), Show(r.ISO.Lo, InISO), Show(r.Shutter.Lo, InSeconds))
	}
	return fmt.Sprintf("%s the %s that stay on come out at %s%s, and at most %s is wanted.", at, lux,
		floor(p.Got.Lo, InStops, p.Want.Hi), unlessPoint(p.Got, " or more"), Asked(p.Want.Hi, InStops))
}

func (g *ambientGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if own := b.Studio.Room.Ambient; g.lux > own {
		w := &ambientGoal{most: g.most}
		out = append(out, Change{Text: "switch the modelling lamps off for the frame", Cost: nothing, Minor: 1, Apply: swap(g, w)})
		for i, k := range []unit.Illuminance{0.5, 0.25, 0.125} {
			to := unit.Illuminance(figures(float64(g.lux * k)))
			if to > own {
				out = append(out, weaker(g, &ambientGoal{most: g.most, lux: to}, 1.2+0.1*float64(i), "dim what stays on to %s", to))
			}
		}
	} else {
		for i, k := range []unit.Illuminance{0.5, 0.1, 0.01} {
			if own == 0 {
				break
			}
			to := unit.Illuminance(figures(float64(own * k)))
			out = append(out, Change{Text: fmt.Sprintf("darken the room to %s", to), Cost: "5 min", Minor: 1.5 + float64(i),
				Apply: func(_ *Brief, s *inventory.Studio) { s.Room.Ambient = to }})
		}
	}
	out = append(out, stopDownAsked(b)...)
	for i, d := range []unit.Stops{1, 2, 3} {
		w := &ambientGoal{most: unit.Stops(tidy(float64(g.most + d))), lux: g.lux}
		if w.most <= 2 {
			out = append(out, weaker(g, w, 3+float64(i), "let the room's light come up to %s", Show(float64(w.most), InStops)))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// luxOf is the room's own light as an interval of a reading.
func luxOf(b *Bench) unit.Interval {
	if b.Studio == nil {
		return unit.Interval{Lo: 0, Hi: math.Inf(1)}
	}
	return unit.Point(float64(b.Studio.Room.Ambient))
}

// Amounts lets the room's light come up by tenths of a stop, or dims what stays on by as
// much: what the brief says of it, or else the room.
func (g *ambientGoal) Amounts(b *Bench) []Amount {
	out := moved(g, "level of the room's light", tidy(float64(g.most)), 2, 0.1, inUnit(InStops), worded("let the room's light come up to %s", InStops), 3,
		func(x float64) Requirement { return &ambientGoal{most: unit.Stops(x), lux: g.lux} })
	own := b.Studio.Room.Ambient
	if g.lux > own {
		if v := dimmer(float64(g.lux), float64(own)); len(v) > 0 {
			out = append(out, listed("light that stays on", float64(g.lux), v, inLux, func(x float64) Change {
				return weaker(g, &ambientGoal{most: g.most, lux: unit.Illuminance(x)}, 1.2, "dim what stays on to %s", inLux(x))
			}))
		}
	} else if v := dimmer(float64(own), 0); len(v) > 0 {
		out = append(out, listed("light of the room", float64(own), v, inLux, func(x float64) Change {
			return Change{Text: "darken the room to " + inLux(x), Cost: "5 min", Minor: 1.5,
				Apply: func(_ *Brief, s *inventory.Studio) { s.Room.Ambient = unit.Illuminance(x) }}
		}))
	}
	return out
}

func inLux(x float64) string { return unit.Illuminance(x).String() }

// dimmer lists illuminances under one by tenths of a stop, down to a thousandth of it and
// no less than least.
func dimmer(lux, least float64) (out []float64) {
	for k := 1; k <= 100; k++ {
		if to := figures(lux * math.Exp2(-float64(k)/10)); to > least {
			out = append(out, to)
		}
	}
	return out
}
