package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source/spell"
	"falloff/model/unit"
)

// Pieces that several kinds are made of.

func atLeast(x float64) unit.Interval { return unit.Interval{Lo: x, Hi: math.Inf(1)} }
func atMost(x float64) unit.Interval  { return unit.Interval{Lo: math.Inf(-1), Hi: x} }

// about is x give or take d.
func about(x, d float64) unit.Interval { return unit.Interval{Lo: x - d, Hi: x + d} }

// stopsBetween is log2(a/b), for two positive quantities of which either may be unknown.
func stopsBetween(a, b unit.Interval) unit.Interval { return a.Log2().Sub(b.Log2()) }

// apart is the angle between a hue and a wanted one, 0..180 deg, whichever way round.
func apart(hue unit.Interval, wanted float64) unit.Interval {
	if hue.IsEmpty() || !(hue.Width() < 360) {
		return unit.Interval{Lo: 0, Hi: 180}
	}
	away := func(x float64) float64 { return math.Abs(math.Remainder(x-wanted, 360)) }
	out := unit.Of(away(hue.Lo), away(hue.Hi))
	if hue.IsPoint() {
		return out
	}
	if passes(hue, wanted) {
		out.Lo = 0
	}
	if passes(hue, wanted+180) {
		out.Hi = 180
	}
	// The remainder is exact, the difference before it is rounded once.
	return out.Hull(unit.Interval{Lo: max(0, out.Lo-1e-12), Hi: min(180, out.Hi+1e-12)})
}

// passes reports whether an angle, or one a whole number of turns off, lies in v.
func passes(v unit.Interval, angle float64) bool {
	turns := math.Ceil((v.Lo - angle) / 360)
	return angle+360*turns <= v.Hi
}

// allRoles goes through the roles in order.
func allRoles() iter.Seq[inventory.Role] {
	return func(yield func(inventory.Role) bool) {
		for r := range inventory.NumRoles {
			if !yield(r) {
				return
			}
		}
	}
}

// everyLight joins one aspect of all lights.
func everyLight(of func(inventory.Role) Aspect) (a Aspect) {
	for r := range allRoles() {
		a |= of(r)
	}
	return a
}

// lightParts are the parts of a goal about one light that it needs. A light that is not
// there fails the goal; while it is not known whether it is there, nothing is said.
func lightParts(r *Reading, role inventory.Role, out []Part, parts ...Part) []Part {
	on := r.Lights[role].On
	switch {
	case on.Hi < 1:
		return append(out, Part{What: role.String() + " light", Got: on, Want: atLeast(1), Unit: InCount})
	case on.Lo < 1:
		for i := range parts {
			parts[i].Got = unit.Whole
		}
	}
	return append(out, parts...)
}

// noLight words the failure of a needed light.
func noLight(p Part) (string, bool) {
	if p.Unit == InCount && strings.HasSuffix(p.What, " light") {
		return fmt.Sprintf("There is no %s.", p.What), true
	}
	return "", false
}

// spoken is how a light is spoken of, from the name of its role.
func spoken(role string) string {
	switch role {
	case "rim-left":
		return "left rim"
	case "rim-right":
		return "right rim"
	case "hair", "background":
		return role + " light"
	}
	return role
}

// swap replaces a requirement by another in a copy of the brief.
func swap(old, new Requirement) func(*Brief, *inventory.Studio) {
	return func(b *Brief, _ *inventory.Studio) {
		for _, g := range b.Goals {
			if g.Req == old {
				g.Req, g.Assumed = new, false
				g.Text = written(g.Kind.Name, new)
			}
		}
	}
}

// drop removes a goal from a copy of the brief.
func drop(old Requirement) func(*Brief, *inventory.Studio) {
	return func(b *Brief, _ *inventory.Studio) {
		b.Goals = slices.DeleteFunc(b.Goals, func(g *Goal) bool { return g.Req == old })
	}
}

// A Writer is a requirement that can be written down as the YAML value of its goal. Every
// kind of ours is one, so that a loosened goal can be quoted and saved.
type Writer interface{ Written() string }

func written(name string, r Requirement) string {
	if w, ok := r.(Writer); ok && w.Written() != "" {
		return name + ": " + w.Written()
	}
	return name
}

const nothing = "nothing" // the cost of a change that takes neither time nor money

// weaker is the change of a goal into a weaker form of itself.
func weaker(old, new Requirement, minor float64, format string, args ...any) Change {
	return Change{Text: fmt.Sprintf(format, args...), Cost: nothing, Minor: minor, Apply: swap(old, new), Old: old, New: new}
}

// normal is a word without regard to case, hyphens, underscores and spacing.
func normal(word string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(word), func(c rune) bool {
		return c == ' ' || c == '_' || c == '-' || c == '\t'
	}), " ")
}

// oneOf finds a word in a list; the error names the nearest one and all there are.
func oneOf(what, word string, known []string) (string, error) {
	for _, k := range known {
		if normal(k) == normal(word) {
			return k, nil
		}
	}
	all := strings.Join(known, ", ")
	if near, ok := spell.Nearest(normal(word), known); ok {
		return "", fmt.Errorf("unknown %s %q; did you mean %q? There are %s", what, cut(word), near, all)
	}
	return "", fmt.Errorf("unknown %s %q; there are %s", what, cut(word), all)
}

// cut shortens a word that came from a file before it is quoted.
func cut(word string) string {
	if r := []rune(word); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return word
}

// degrees turns a range of angles into the degrees of a reading.
func degrees(r unit.Range[unit.Angle]) unit.Interval {
	return unit.Interval{Lo: tidy(r.Lo.Degrees()), Hi: tidy(r.Hi.Degrees())}
}

// angles is the inverse of degrees.
func angles(v unit.Interval) unit.Range[unit.Angle] {
	return unit.Range[unit.Angle]{Lo: unit.Angle(v.Lo) * unit.Degree, Hi: unit.Angle(v.Hi) * unit.Degree}
}

// tidy takes the rounding out of a number that somebody wrote with up to nine decimals.
func tidy(x float64) float64 {
	if near := math.Round(x*1e9) / 1e9; math.Abs(near-x) < 1e-12*max(1, math.Abs(x)) {
		return near
	}
	return x
}

// valid refuses a range that holds nothing.
func valid(what string, v unit.Interval) error {
	if v.IsEmpty() {
		return fmt.Errorf("%s: the range is empty; the smaller end comes first", what)
	}
	return nil
}
