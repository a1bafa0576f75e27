package constraints

import (
	"iter"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "background-hue",
	Doc: Doc{
		Group: "colour",
		Title: "a coloured background",
		Text: `The background light has a hue, a word or an angle in Oklab beside the white of the key (within: the
tolerance, the word's own if not written), and lights the spot behind the head to a level: a tone in stops from middle
grey, -4..-0.5 if not written. A meter and an eye that see green best call a deep blue dark
while its blue channel is full: deep blue is rich at -4..-2.5, red at -3..-1.5, amber and yellow at -1.5..0 (computed from the
generic gels). "saturation" asks that the key does not wash it out, "even-background" that the wall is of one
tone, "glow" asks for a patch.`,
		Example: "background-hue: {hue: deep blue, level: -4..-2 stops}",
		Words:   []string{"coloured background", "colored background", "coloured wall", "gel wall", "gelled background", "background colour", "backdrop colour"},
		Values:  colour.HueNames(),
	},
	Read: readBackgroundHue,
})

var usualWallLevel = unit.Range[unit.Stops]{Lo: -4, Hi: -0.5}

type backgroundHueGoal struct {
	Plain
	hue    hueText
	within unit.Angle
	level  unit.Range[unit.Stops]
}

type backgroundHueForm struct {
	source.Places
	Hue    hueText                `yaml:"hue,required"`
	Within unit.Angle             `yaml:"within,omitempty"`
	Level  unit.Range[unit.Stops] `yaml:"level,omitempty"`
}

func readBackgroundHue(n source.Node) (Requirement, error) {
	g := &backgroundHueGoal{level: usualWallLevel}
	if n.Kind() == source.Scalar {
		err := n.Decode(&g.hue)
		return g, err
	}
	var f backgroundHueForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	g.hue, g.within = f.Hue, f.Within
	if f.Wrote("level") {
		g.level = f.Level
	}
	return g, nil
}

func (g *backgroundHueGoal) Validate(*Brief) error {
	if err := hueWithinOK(g.hue, g.within); err != nil {
		return err
	}
	return valid("level", g.level.Interval())
}

func (g *backgroundHueGoal) Written() string {
	within := ""
	if g.within > 0 {
		within = exact(g.within)
	}
	return keyed(pair{"hue", string(g.hue)}, pair{"within", within}, pair{"level", rangeText(g.level)})
}

func (g *backgroundHueGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Background}, nil
}

func (g *backgroundHueGoal) Reads() Aspect {
	return Level(inventory.Background) | OnBackdrop | Colour(inventory.Background) | Colour(inventory.Key)
}

func (g *backgroundHueGoal) Judge(r *Reading, out []Part) []Part {
	return lightParts(r, inventory.Background, out,
		huePart("hue", g.hue, g.within, &r.Lights[inventory.Background]),
		Part{What: "level behind the head", Got: r.GlowTone, Want: g.level.Interval(), Unit: InStops, Fine: 0.2})
}

func (g *backgroundHueGoal) Say(parts []Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = sayPart(p)
		if p.What == "hue" {
			said[i] = sayHue(g.hue, p)
		}
	}
	return strings.Join(said, ", ")
}

func (g *backgroundHueGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	if p.What == "hue" {
		return hueBecause("the background light", g.hue, p)
	}
	return short("the coloured light behind the head", p)
}

func (g *backgroundHueGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	with := func(minor float64, edit func(*backgroundHueGoal), format string, args ...any) {
		w := *g
		edit(&w)
		out = append(out, weaker(g, &w, minor, format, args...))
	}
	deg, _ := g.hue.angle()
	for i, to := range g.hue.looser(g.within) {
		with(1+float64(i), func(w *backgroundHueGoal) { w.within = unit.Angle(to) * unit.Degree }, "let the background be up to %s from %s", Show(to, InDegrees), g.hue)
	}
	out = append(out, gelChanges(b, deg, g.hue.tolerance(g.within))...)
	for i, d := range []unit.Stops{0.5, 1, 2} {
		to := widen(g.level, d)
		with(1.5+1.5*float64(i), func(w *backgroundHueGoal) { w.level = to }, "let the coloured background be %s", inStops(to))
	}
	out = append(append(append(out, openUpAsked(b)...), otherHeads(b)...), moreLights(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *backgroundHueGoal) Wants(*Bench) []Want {
	text := "a coloured background of " + inStops(g.level)
	deg, _ := g.hue.angle()
	return append([]Want{{"level of the glow", g.level.Interval(), text}, {brightestTone, atLeast(float64(g.level.Lo)), text}},
		hueWants("hue of the background light", deg, g.hue.tolerance(g.within), "a "+string(g.hue)+" background")...)
}

// hueWants confines a hue in degrees, unless it goes round past 0, where a range says nothing.
func hueWants(what string, deg, within float64, text string) []Want {
	if deg-within < 0 || deg+within >= 360 {
		return nil
	}
	return []Want{{what, about(deg, within), text}}
}

// Amounts moves the hue's tolerance by degrees, the level by tenths of a stop.
func (g *backgroundHueGoal) Amounts(*Bench) []Amount {
	edited := func(edit func(*backgroundHueGoal)) Requirement {
		w := *g
		edit(&w)
		return &w
	}
	out := hueAmount(g, "background", g.hue, g.within, func(a unit.Angle) Requirement {
		return edited(func(w *backgroundHueGoal) { w.within = a })
	})
	return append(out, ends(g, "the coloured background", g.level.Interval(), -7, 3, 0.1, InStops,
		func(r unit.Interval) Requirement { return edited(func(w *backgroundHueGoal) { w.level = stopsOf(r) }) }, "let the coloured background be %s")...)
}
