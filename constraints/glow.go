package constraints

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "glow",
	Doc: Doc{
		Group: "tone",
		Title: "a soft patch of light on the backdrop behind the head",
		Text: `Made by the background light. Its tone at the brightest place (level, stops from middle grey; if not
written -2.5..-1), the mean radius at which it has fallen by a stop, as large as it looks at the sitter (radius;
if not written 0.14 m..0.28 m), and its brightest place at most 0.15 m from the centre of the head. A hue is a
word or an angle in Oklab beside the white of the key. Colours are richest one to two and a half stops under
the key (from memory, as are the other defaults).`,
		Example: "glow: {hue: deep blue, within: 25 deg, behind: head, radius: 0.14 m..0.28 m, level: -2.5..-1 stops}",
		Words:   []string{"halo", "background light", "gel", "coloured background", "colored background", "spot", "vignette"},
		Values:  colour.HueNames(),
	},
	Read: readGlow,
})

var (
	usualGlowLevel  = unit.Range[unit.Stops]{Lo: -2.5, Hi: -1}
	usualGlowRadius = unit.Range[unit.Length]{Lo: 0.14, Hi: 0.28}
)

const glowOffset = 0.15 // m, of the brightest place from the centre of the head

type glowGoal struct {
	Plain
	hue    hueText
	within unit.Angle
	radius unit.Range[unit.Length]
	level  unit.Range[unit.Stops]
}

type glowForm struct {
	source.Places
	Hue    hueText                 `yaml:"hue,omitempty"`
	Within unit.Angle              `yaml:"within,omitempty"`
	Behind string                  `yaml:"behind,omitempty"`
	Radius unit.Range[unit.Length] `yaml:"radius,omitempty"`
	Level  unit.Range[unit.Stops]  `yaml:"level,omitempty"`
}

func readGlow(n source.Node) (Requirement, error) {
	g := &glowGoal{radius: usualGlowRadius, level: usualGlowLevel}
	if yes(n) {
		return g, nil
	}
	var f glowForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Behind != "" {
		if _, err := oneOf("place of a glow", f.Behind, []string{"head"}); err != nil {
			return nil, err
		}
	}
	g.hue, g.within = f.Hue, f.Within
	if f.Wrote("radius") {
		g.radius = f.Radius
	}
	if f.Wrote("level") {
		g.level = f.Level
	}
	return g, nil
}

func (g *glowGoal) Validate(*Brief) error {
	if err := hueWithinOK(g.hue, g.within); err != nil {
		return err
	}
	if err := valid("radius", g.radius.Interval()); err != nil {
		return err
	}
	return valid("level", g.level.Interval())
}

func (g *glowGoal) Written() string {
	var keys []string
	if g.hue != "" {
		keys = append(keys, "hue: "+string(g.hue))
	}
	if g.within > 0 {
		keys = append(keys, "within: "+exact(g.within))
	}
	keys = append(keys, "behind: head", "radius: "+rangeText(g.radius), "level: "+rangeText(g.level))
	return "{" + strings.Join(keys, ", ") + "}"
}

func (g *glowGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Background}, nil
}

func (g *glowGoal) Reads() Aspect {
	a := Pose(inventory.Background) | Level(inventory.Background) | OnBackdrop | OnDepth | OnLens | OnFrame
	if g.hue != "" {
		a |= Colour(inventory.Background) | Colour(inventory.Key)
	}
	return a
}

func (g *glowGoal) Judge(r *Reading, out []Part) []Part {
	parts := [4]Part{
		{What: "level", Got: r.GlowTone, Want: g.level.Interval(), Unit: InStops, Fine: 0.2},
		{What: "radius", Got: r.GlowRadius, Want: g.radius.Interval(), Unit: InMetres, Fine: 0.02},
		{What: "distance from the head's centre", Got: r.GlowOffset, Want: atMost(glowOffset), Unit: InMetres, Fine: 0.03},
	}
	n := 3
	if g.hue != "" {
		copy(parts[1:], parts[:3])
		parts[0] = huePart("hue", g.hue, g.within, &r.Lights[inventory.Background])
		n = 4
	}
	return lightParts(r, inventory.Background, out, parts[:n]...)
}

func (g *glowGoal) Say(parts []Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = sayPart(p)
		if p.What == "hue" {
			said[i] = sayHue(g.hue, p)
		}
	}
	return strings.Join(said, ", ")
}

func (g *glowGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "hue":
		return hueBecause("the background light", g.hue, p)
	case "level":
		return short("the glow at its brightest", p)
	case "radius":
		return short("the radius of the glow", p)
	}
	return short("the distance of the glow from the centre of the head", p)
}

func (g *glowGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	with := func(minor float64, edit func(*glowGoal), format string, args ...any) {
		w := *g
		edit(&w)
		out = append(out, weaker(g, &w, minor, format, args...))
	}
	if g.hue != "" {
		deg, _ := g.hue.angle()
		for i, to := range g.hue.looser(g.within) {
			with(1+float64(i), func(w *glowGoal) { w.within = unit.Angle(to) * unit.Degree },
				"let the glow be up to %s from %s", Show(to, InDegrees), g.hue)
		}
		out = append(out, gelChanges(b, deg, g.hue.tolerance(g.within))...)
	}
	for i, d := range []unit.Stops{0.5, 1, 2} {
		to := widen(g.level, d)
		with(1.5+1.5*float64(i), func(w *glowGoal) { w.level = to }, "let the glow be %s", inStops(to))
	}
	for i, f := range []unit.Length{1.4, 2} {
		to := unit.Range[unit.Length]{Lo: unit.Length(tidy(roundTo(float64(g.radius.Lo/f), 0.01))), Hi: unit.Length(tidy(roundTo(float64(g.radius.Hi*f), 0.01)))}
		with(2+1.5*float64(i), func(w *glowGoal) { w.radius = to }, "let the radius of the glow be %s", tape(to))
	}
	out = append(append(out, moreLights(b)...), deeper(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *glowGoal) Wants(*Bench) []Want {
	text := "a glow of " + inStops(g.level)
	return []Want{
		{"level of the glow", g.level.Interval(), text},
		{"radius of the glow", g.radius.Interval(), fmt.Sprintf("a glow %s in radius", tape(g.radius))},
		{brightestTone, atLeast(float64(g.level.Lo)), text},
	}
}

// Amounts moves the hue's tolerance by degrees, the level by tenths of a stop, the radius
// by centimetres.
func (g *glowGoal) Amounts(b *Bench) []Amount {
	with := func(edit func(*glowGoal, unit.Interval)) func(unit.Interval) Requirement {
		return func(r unit.Interval) Requirement {
			w := *g
			edit(&w, r)
			return &w
		}
	}
	out := hueAmount(g, "glow", g.hue, g.within, func(a unit.Angle) Requirement {
		w := *g
		w.within = a
		return &w
	})
	out = append(out, ends(g, "the glow's level", g.level.Interval(), -7, 3, 0.1, InStops,
		with(func(w *glowGoal, r unit.Interval) { w.level = stopsOf(r) }), "let the glow be %s")...)
	out = append(out, ends(g, "the glow's radius", g.radius.Interval(), 0.02, 1, 0.01, InMetres,
		with(func(w *glowGoal, r unit.Interval) {
			w.radius = unit.Range[unit.Length]{Lo: unit.Length(r.Lo), Hi: unit.Length(r.Hi)}
		}), "let the radius of the glow be %s")...)
	return append(out, depthAmount(b)...)
}
