package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
)

// Depths is the range of distances between sitter and backdrop that may be used; 0.75 to
// 3 m where the brief does not say (common practice, no source).
func (b *Bench) Depths() unit.Range[unit.Length] {
	if r := b.Brief.Sitter.Backdrop; r.Hi > 0 {
		return r
	}
	return unit.Range[unit.Length]{Lo: 0.75, Hi: 3}
}

// LightWords says how a light looks, in a few words: its size for a key, its colour and
// what the gel takes for a gelled light.
func LightWords(role inventory.Role, l *LightScene, src Source) string {
	words := ""
	if l.Size.IsPoint() && !math.IsInf(l.Size.Lo, 0) {
		words = fmt.Sprintf("%s (%.0f deg across)", softness(l.Size.Lo), l.Size.Lo)
	}
	if src.Gel > 0.05 && l.Tint != nil {
		name := colour.NameOf(l.Tint.Hue.Lo, l.Tint.Chroma.Lo)
		words += fmt.Sprintf("; %s, the gel takes %s", name, size(float64(src.Gel), InStops))
	}
	return words
}

// softness names a light by the angle that its face fills: D/d of 0.15, 0.45 and 0.8 are
// about 8, 25 and 40 degrees (thresholds from memory).
func softness(deg float64) string {
	switch {
	case deg <= 8:
		return "hard"
	case deg < 25:
		return "medium"
	case deg < 40:
		return "soft"
	}
	return "very soft"
}

// Closeness says that a goal holds by little.
func Closeness(g *Goal, p Part) string {
	what := g.Name()
	if p.What != "" {
		what += ", " + p.What
	}
	if amount(p.Margin().Lo, p.Unit) == amount(0, p.Unit) {
		return what + " is at its limit"
	}
	return fmt.Sprintf("%s holds by %s only", what, amount(p.Margin().Lo, p.Unit))
}

// InDoubt says that a goal holds by less than the doubt that is left once every light is
// metered.
func InDoubt(g *Goal, p Part, doubt float64) string {
	what := g.Name()
	if p.What != "" {
		what += ", " + p.What
	}
	if amount(p.Margin().Lo, p.Unit) == amount(0, p.Unit) {
		return fmt.Sprintf("%s: just met, and still +-%s with every light metered", what, amount(doubt, p.Unit))
	}
	return fmt.Sprintf("%s: %s to spare, and still +-%s with every light metered", what, amount(p.Margin().Lo, p.Unit), amount(doubt, p.Unit))
}

func amount(x float64, u Unit) string {
	switch u {
	case InStops:
		return fmt.Sprintf("%.2f stops", x)
	case InShare:
		return fmt.Sprintf("%.1f %%", x*100)
	case InMetres:
		return fmt.Sprintf("%.0f cm", x*100)
	case InMM:
		return fmt.Sprintf("%.1f mm", x)
	case InCount:
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f %s", x, u)
}

// clearance is how far a light clears the room, or how much it lacks; worded only when asked.
type clearance float64

func (m clearance) String() string {
	if m > -tapeTells {
		return fmt.Sprintf("clears walls, ceiling, floor and backdrop by %.2f m", max(0, float64(m)))
	}
	return "needs " + atLeastACentimetre(-float64(m)) + " more to walls, ceiling, floor or backdrop"
}

// aside is how far something clears the frame, or is in it.
type aside float64

func (m aside) String() string {
	if m > -tapeTells {
		return fmt.Sprintf("clears the frame by %.2f m", max(0, float64(m)))
	}
	return "is in the frame by " + atLeastACentimetre(-float64(m))
}

// backing is the room behind the camera, in metres.
type backing float64

func (m backing) String() string {
	if m >= 0 {
		return fmt.Sprintf("with %.2f m behind it", float64(m))
	}
	return atLeastACentimetre(-float64(m)) + " beyond the wall behind it"
}

func atLeastACentimetre(m float64) string {
	if m < 0.005 {
		return "under 1 cm"
	}
	return Show(m, InMetres)
}
