package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "rim",
	Doc: Doc{
		Group: "colour",
		Title: "a line of light on the edge of the hair",
		Text: `A light from behind on one side or on both (left and right are the camera's), or from above (top: a hair light,
aimed at the crown, 140..180 deg from the camera axis). Its level at the edge of the hair, this light alone (if not written -1..+0.5 stops); its angle from the camera axis (if not written
120..172 deg); its hue, a word or an angle in Oklab beside the white of the key; and, where a hue is asked for, by
how much it must exceed the other lights on that edge so that the colour stays clean (clean; if not
written 1 stop; not for top). difference: by how many stops the two sides may differ, or must. Trade sources disagree on the level, +1 or under the key, because the angle decides how bright
the edge is drawn.`,
		Example: "rim: {side: both, hue: amber, within: 20 deg, level: -1..+0.5 stops}",
		Words:   []string{"kicker", "edge light", "hair light", "separation", "back light", "backlight", "accent"},
		Values:  colour.HueNames(),
	},
	Read: readRim,
})

var (
	usualRimLevel = unit.Range[unit.Stops]{Lo: -1, Hi: 0.5}
	usualTopAngle = unit.Range[unit.Angle]{Lo: 140 * unit.Degree, Hi: 180 * unit.Degree}
	usualRimAngle = unit.Range[unit.Angle]{Lo: 120 * unit.Degree, Hi: 172 * unit.Degree}
)

const usualClean unit.Stops = 1

type rimGoal struct {
	Plain
	side   string // both, left or right
	hue    hueText
	within unit.Angle
	level  unit.Range[unit.Stops]
	angle  unit.Range[unit.Angle]
	clean  unit.Stops
	differ *unit.Range[unit.Stops] // between the two sides; nil: not asked
}

type rimForm struct {
	source.Places
	Side   string                 `yaml:"side,omitempty"`
	Hue    hueText                `yaml:"hue,omitempty"`
	Within unit.Angle             `yaml:"within,omitempty"`
	Level  unit.Range[unit.Stops] `yaml:"level,omitempty"`
	Angle  unit.Range[unit.Angle] `yaml:"angle,omitempty"`
	Clean  unit.Stops             `yaml:"clean,omitempty"`
	Differ unit.Range[unit.Stops] `yaml:"difference,omitempty"`
}

func readRim(n source.Node) (Requirement, error) {
	g := &rimGoal{side: "both", level: usualRimLevel, angle: usualRimAngle, clean: usualClean}
	if yes(n) {
		return g, nil
	}
	var f rimForm
	var err error
	if w, ok := word(n); ok {
		f.Side = w
	} else if err = n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Side != "" {
		if g.side, err = oneOf("side", f.Side, []string{"both", "left", "right", "top"}); err != nil {
			return nil, err
		}
	}
	if g.side == "top" {
		g.angle = usualTopAngle
	}
	if f.Wrote("difference") {
		g.differ = &f.Differ
	}
	g.hue, g.within = f.Hue, f.Within
	if f.Wrote("level") {
		g.level = f.Level
	}
	if f.Wrote("angle") {
		g.angle = f.Angle
	}
	if f.Wrote("clean") {
		g.clean = f.Clean
	}
	return g, nil
}

func (g *rimGoal) Validate(*Brief) error {
	if err := hueWithinOK(g.hue, g.within); err != nil {
		return err
	}
	if v := degrees(g.angle); v.Hi < 90 || v.Lo > 180 || v.Lo < 0 {
		return fmt.Errorf("angle: a rim stands behind the sitter, 90 deg to 180 deg from the camera axis")
	}
	if g.differ != nil {
		if g.side != "both" {
			return fmt.Errorf("difference is between two sides, and only the %s is asked for", g.side)
		}
		if err := inside("difference", *g.differ, 0, 8); err != nil {
			return err
		}
	}
	if err := valid("angle", g.angle.Interval()); err != nil {
		return err
	}
	return valid("level", g.level.Interval())
}

func (g *rimGoal) Written() string {
	keys := []string{"side: " + g.side}
	if g.hue != "" {
		keys = append(keys, "hue: "+string(g.hue))
	}
	if g.within > 0 {
		keys = append(keys, "within: "+exact(g.within))
	}
	keys = append(keys, "level: "+rangeText(g.level))
	if g.angle != g.usualAngle() {
		keys = append(keys, "angle: "+rangeText(g.angle))
	}
	if g.clean != usualClean {
		keys = append(keys, "clean: "+exact(g.clean))
	}
	if g.differ != nil {
		keys = append(keys, "difference: "+rangeText(*g.differ))
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

func (g *rimGoal) usualAngle() unit.Range[unit.Angle] {
	if g.side == "top" {
		return usualTopAngle
	}
	return usualRimAngle
}

func (g *rimGoal) roles() []inventory.Role {
	switch g.side {
	case "top":
		return []inventory.Role{inventory.Hair}
	case "left":
		return []inventory.Role{inventory.RimLeft}
	case "right":
		return []inventory.Role{inventory.RimRight}
	}
	return []inventory.Role{inventory.RimLeft, inventory.RimRight}
}

func (g *rimGoal) Roles() (need, may []inventory.Role) { return g.roles(), nil }

func (g *rimGoal) Reads() (a Aspect) {
	for _, r := range g.roles() {
		a |= Pose(r) | Level(r)
		if g.hue != "" {
			a |= Colour(r)
		}
	}
	if g.hue != "" {
		a |= Colour(inventory.Key) | Pose(inventory.Key) // its white, and its spill on the edge
	}
	return a
}

func sideOf(r inventory.Role) string {
	switch r {
	case inventory.RimLeft:
		return "left"
	case inventory.RimRight:
		return "right"
	}
	return "top"
}

// rimWords are the names of a side's parts.
var rimWords = map[inventory.Role][4]string{
	inventory.RimLeft:  {"left level", "left hue", "left angle", "left above other light"},
	inventory.RimRight: {"right level", "right hue", "right angle", "right above other light"},
	inventory.Hair:     {"top level", "top hue", "top angle", ""},
}

func (g *rimGoal) Judge(r *Reading, out []Part) []Part {
	for _, role := range g.roles() {
		l, say := &r.Lights[role], rimWords[role]
		parts := [4]Part{
			{What: say[0], Got: l.Level, Want: g.level.Interval(), Unit: InStops, Fine: 0.2},
			{What: say[2], Got: apart(l.Azimuth, 0), Want: degrees(g.angle), Unit: InDegrees, Fine: 3},
		}
		n := 2
		if g.hue != "" {
			parts[1], parts[2] = huePart(say[1], g.hue, g.within, l), parts[1]
			parts[3] = Part{What: say[3], Got: l.Purity, Want: atLeast(float64(g.clean)), Unit: InStops, Fine: 0.2}
			n = 4
		}
		if role == inventory.Hair { // nothing is known of the other lights on the crown
			n = min(n, 3)
		}
		out = lightParts(r, role, out, parts[:n]...)
	}
	if left, right := &r.Lights[inventory.RimLeft], &r.Lights[inventory.RimRight]; g.differ != nil {
		p := Part{What: differs, Got: unit.Interval{Lo: 0, Hi: math.Inf(1)}, Want: g.differ.Interval(), Unit: InStep, Fine: 0.1}
		if left.On.Lo >= 1 && right.On.Lo >= 1 {
			p.Got = less(left.Level, right.Level).Abs()
		}
		out = append(out, p)
	}
	return out
}

const differs = "the two sides differ by"

// Say groups the parts by side: "left +0.1 stops (wanted -1 to +0.5 stops), hue 4 deg from amber; right ...".
func (g *rimGoal) Say(parts []Part) string {
	var sides []string
	for _, side := range []string{"left", "right", "top"} {
		var said []string
		for _, p := range parts {
			what, ok := strings.CutPrefix(p.What, side+" ")
			if !ok {
				if p.What == "rim-"+side+" light" || side == "top" && p.What == "hair light" {
					said = append(said, "no light")
				}
				continue
			}
			switch short := p; what {
			case "level":
				short.What = ""
				said = append(said, sayPart(short))
			case "hue":
				said = append(said, sayHue(g.hue, p))
			default:
				short.What = what
				said = append(said, sayPart(short))
			}
		}
		if len(said) > 0 {
			sides = append(sides, side+" "+strings.Join(said, ", "))
		}
	}
	for _, p := range parts {
		if p.What == differs {
			sides = append(sides, sayPart(p))
		}
	}
	return strings.Join(sides, "; ")
}

func (g *rimGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	if p.What == differs {
		return short("the difference between the two rims", p)
	}
	side, what, _ := strings.Cut(p.What, " ")
	switch what {
	case "hue":
		return hueBecause("the "+side+" rim", g.hue, p)
	case "angle":
		return short("the angle of the "+side+" rim from the camera axis", p)
	case "above other light":
		return fmt.Sprintf("On the %s edge of the hair the rim exceeds all other light by %s at most, and at least %s is wanted to keep its colour.",
			side, ceil(p.Got.Hi, InStops, p.Want.Lo), Asked(p.Want.Lo, InStops))
	}
	return short("the "+side+" rim", p)
}

func (g *rimGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	with := func(minor float64, edit func(*rimGoal), format string, args ...any) {
		w := *g
		edit(&w)
		out = append(out, weaker(g, &w, minor, format, args...))
	}
	rim := g.spoken(b)
	if g.hue != "" {
		deg, _ := g.hue.angle()
		for i, to := range g.hue.looser(g.within) {
			with(1+float64(i), func(w *rimGoal) { w.within = unit.Angle(to) * unit.Degree },
				"let the %s be up to %s from %s", rim, Show(to, InDegrees), g.hue)
		}
		for i, d := range []unit.Stops{0.5, 1, 2} {
			to := unit.Stops(tidy(float64(g.clean - d)))
			with(1.5+float64(i), func(w *rimGoal) { w.clean = to }, "let the %s exceed other light by only %s", rim, to)
		}
		out = append(out, gelChanges(b, deg, g.hue.tolerance(g.within))...)
	}
	for i, d := range []unit.Stops{0.5, 1, 2} {
		to := unit.Range[unit.Stops]{Lo: unit.Stops(tidy(float64(g.level.Lo - d))), Hi: g.level.Hi}
		with(1.2+1.5*float64(i), func(w *rimGoal) { w.level = to }, "let the %s be %s", rim, inStops(to))
	}
	up := unit.Range[unit.Stops]{Lo: g.level.Lo, Hi: unit.Stops(tidy(float64(g.level.Hi + 0.5)))}
	with(2.5, func(w *rimGoal) { w.level = up }, "let the %s be %s", rim, inStops(up))
	if to := g.looseAngle(); to != g.angle {
		with(2.2, func(w *rimGoal) { w.angle = to }, "let the %s stand at %s", rim, ShowRange(degrees(to), InDegrees))
	}
	if g.side == "both" {
		with(5, func(w *rimGoal) { w.side, w.differ = "left", nil }, "keep only the left rim")
		with(5, func(w *rimGoal) { w.side, w.differ = "right", nil }, "keep only the right rim")
	}
	if g.differ != nil {
		with(1, func(w *rimGoal) { w.differ = wider(g.differ, 0.3) }, "let the two rims differ by %s", ShowRange(widen(*g.differ, 0.3).Interval(), InStep))
	}
	if g.side == "top" {
		out = append(out, fromBehind(b, g)...)
	}
	out = append(out, moreLights(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// fromBehind trades the light from above, which needs height, for one from behind.
func fromBehind(b *Bench, g *rimGoal) []Change {
	var out []Change
	for _, side := range []string{"left", "right"} {
		w := *g
		w.side, w.angle = side, usualRimAngle
		out = append(out, weaker(g, &w, 2, "light the hair from behind on the %s instead", side))
	}
	if b.Brief.Sitter.Seated {
		return out
	}
	return append(out, Change{Text: "seat the sitter", Cost: nothing, Minor: 1, Apply: func(b *Brief, _ *inventory.Studio) {
		b.Sitter.Seated, b.Sitter.EyeHeight = true, 0
	}})
}

// looseAngle widens the angle by 10 deg each way, within what is still a rim.
func (g *rimGoal) looseAngle() unit.Range[unit.Angle] {
	v := degrees(g.angle)
	lo, hi := max(min(v.Lo, 110), v.Lo-10), min(max(v.Hi, 176), v.Hi+10)
	if g.side == "top" {
		hi = 180
	}
	return angles(unit.Interval{Lo: lo, Hi: hi})
}

func (g *rimGoal) Wants(*Bench) []Want {
	var wants []Want
	for _, r := range g.roles() {
		text := fmt.Sprintf("a %s rim of ", sideOf(r))
		wants = append(wants, Want{"level of the " + r.String(), g.level.Interval(), text + inStops(g.level)},
			Want{"angle of the " + r.String(), degrees(g.angle), text + ShowRange(degrees(g.angle), InDegrees)})
	}
	return wants
}

func roundTo(x, step float64) float64 { return math.Round(x/step) * step }

// spoken names the rim, by its side where the brief asks for several.
func (g *rimGoal) spoken(b *Bench) string {
	rims := 0
	for _, goal := range b.Brief.Goals {
		if _, ok := goal.Req.(*rimGoal); ok {
			rims++
		}
	}
	if rims < 2 {
		return "rim"
	}
	return g.side + " rim"
}

// Amounts moves the hue's tolerance and the angle by degrees, the levels and what they differ
// by by tenths of a stop.
func (g *rimGoal) Amounts(b *Bench) []Amount {
	edited := func(edit func(*rimGoal)) Requirement {
		w := *g
		edit(&w)
		return &w
	}
	rim := g.spoken(b)
	out := hueAmount(g, rim, g.hue, g.within, func(a unit.Angle) Requirement { return edited(func(w *rimGoal) { w.within = a }) })
	out = append(out, ends(g, "the "+rim+"'s level", g.level.Interval(), -7, 3, 0.1, InStops,
		func(r unit.Interval) Requirement { return edited(func(w *rimGoal) { w.level = stopsOf(r) }) }, "let the "+rim+" be %s")...)
	if g.hue != "" {
		now := tidy(float64(g.clean))
		out = append(out, moved(g, "how clean the "+rim+"'s colour is", now, min(-3, now), 0.1, inUnit(InStops), worded("let the "+rim+" exceed other light by only %s", InStops), 1.5,
			func(x float64) Requirement { return edited(func(w *rimGoal) { w.clean = unit.Stops(x) }) })...)
	}
	if g.differ != nil {
		out = append(out, ends(g, "what the two rims differ by", g.differ.Interval(), 0, 6, 0.1, InStep, func(r unit.Interval) Requirement {
			to := stopsOf(r)
			return edited(func(w *rimGoal) { w.differ = &to })
		}, "let the two rims differ by %s")...)
	}
	return append(out, ends(g, "the "+rim+"'s angle", degrees(g.angle), 90, 180, 1, InDegrees,
		func(r unit.Interval) Requirement { return edited(func(w *rimGoal) { w.angle = angles(r) }) }, "let the "+rim+" stand at %s")...)
}
