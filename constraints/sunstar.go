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
	Name: "sunstar",
	Doc: Doc{
		Group: "focus",
		Title: "a light in the picture that the aperture draws as a star",
		Text: `A light from behind (light: rim-left, rim-right or hair; rim-left if not written) is in the picture, its face is
at most 0.5 deg across as the lens sees it, and the aperture is f/11 or smaller (aperture). Straight blades are needed: an
even number gives as many rays, an odd one twice as many. Half hidden behind the sitter it is cleaner: build it, then
shift the camera by a hand's breadth. Its veil is not computed. Numbers from memory. That light is left out of
"out-of-frame" where a brief says nothing of that.`,
		Example: "sunstar: {light: rim-left, aperture: at least f/11}",
		Words:   []string{"star", "starburst", "sun star", "controlled flare", "rays", "practical in frame"},
	},
	Read: readSunstar,
})

const smallStar = 0.5 // deg

type sunstarGoal struct {
	Plain
	light    inventory.Role
	aperture unit.Range[unit.FNumber]
}

type sunstarForm struct {
	source.Places
	Light    string                   `yaml:"light,omitempty"`
	Aperture unit.Range[unit.FNumber] `yaml:"aperture,omitempty"`
}

func readSunstar(n source.Node) (Requirement, error) {
	g := &sunstarGoal{light: inventory.RimLeft, aperture: unit.AtLeast[unit.FNumber](11)}
	if yes(n) {
		return g, nil
	}
	var f sunstarForm
	if w, ok := word(n); ok {
		f.Light = w
	} else if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("aperture") {
		g.aperture = f.Aperture
	}
	if f.Light == "" {
		return g, nil
	}
	var names []string
	for _, r := range rims {
		names = append(names, r.String())
	}
	known, err := oneOf("light", f.Light, names)
	if err == nil {
		g.light, _ = inventory.RoleByName(known)
	}
	return g, err
}

func (g *sunstarGoal) Validate(*Brief) error { return valid("aperture", g.aperture.Interval()) }

func (g *sunstarGoal) Written() string {
	return keyed(pair{"light", g.light.String()}, pair{"aperture", rangeText(g.aperture)})
}

func (g *sunstarGoal) Roles() (need, may []inventory.Role) { return []inventory.Role{g.light}, nil }

func (g *sunstarGoal) Reads() Aspect {
	return OnAperture | OnLens | OnFrame | OnDepth | OnStray | Pose(g.light) | Gear(g.light)
}

func (g *sunstarGoal) Judge(r *Reading, out []Part) []Part {
	l := &r.Lights[g.light]
	return lightParts(r, g.light, out,
		Part{What: "aperture", Got: r.Aperture, Want: marked(g.aperture, unit.FNumber.True), Unit: InFNumber},
		Part{What: "star", Got: l.LensSize, Want: atMost(smallStar), Unit: InDegrees, Fine: 0.05},
		Part{What: "inside the frame by", Got: l.Clear.Neg(), Want: atLeast(0), Unit: InMetres, Fine: 0.02},
		Part{What: "seen past the head by", Got: l.Stray.Neg(), Want: atLeast(0), Unit: InDegrees, Fine: 0.3})
}

func (g *sunstarGoal) Say(parts []Part) string {
	if len(parts) < 4 {
		return sayParts(parts)
	}
	said := []string{parts[0].GotText(), "a star " + parts[1].GotText() + " across"}
	for i, p := range parts {
		if p.Fails() && i < 2 {
			said[i] += " (" + p.aside() + ")"
		}
	}
	if parts[2].Fails() {
		said = append(said, "not in the picture")
	}
	if parts[3].Fails() {
		said = append(said, "the lens does not see its face")
	}
	if len(said) == 2 {
		said = append(said, "in the picture")
	}
	return strings.Join(said, ", ")
}

func (g *sunstarGoal) Because(_ *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	switch p.What {
	case "aperture":
		return short("the aperture", p)
	case "star":
		return short("the face of the "+spoken(g.light.String())+" as the lens sees it", p)
	case "inside the frame by":
		return fmt.Sprintf("Wherever it may stand, the %s is not in the picture.", spoken(g.light.String()))
	}
	return fmt.Sprintf("Wherever it may stand, the lens does not see the face of the %s.", spoken(g.light.String()))
}

func (g *sunstarGoal) Relax(b *Bench) iter.Seq[Change] {
	out := stopDownAsked(b)
	for i, n := range []unit.FNumber{8, 5.6} {
		if n < g.aperture.Lo {
			w := &sunstarGoal{light: g.light, aperture: unit.Range[unit.FNumber]{Lo: n, Hi: g.aperture.Hi}}
			out = append(out, weaker(g, w, 2+float64(i), "be content with a smaller star at %s", n))
		}
	}
	out = append(out, widerFrameAsked(b)...)
	out = append(out, Change{Text: "do without the star", Cost: nothing, Minor: 6, Apply: drop(g)})
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *sunstarGoal) Wants(*Bench) []Want {
	return []Want{{"aperture", marked(g.aperture, unit.FNumber.True), "a star at " + rangeText(g.aperture)}}
}

// Amounts moves the aperture of the star by thirds of a stop: opened to f/1, stopped down to
// f/32.
func (g *sunstarGoal) Amounts(*Bench) (out []Amount) {
	with := func(lo, hi unit.FNumber) Requirement {
		return &sunstarGoal{light: g.light, aperture: unit.Range[unit.FNumber]{Lo: lo, Hi: hi}}
	}
	if lo := g.aperture.Lo; !math.IsInf(float64(lo), 0) && lo > 1 {
		at := func(k int) unit.FNumber { return unit.FNumberAt(lo.Thirds() - k) }
		out = append(out, thirds("aperture of the star, opened up", lo, lo.Thirds(), at, func(to unit.FNumber) Change {
			return weaker(g, with(to, g.aperture.Hi), 2, "be content with a smaller star at %s", to)
		}))
	}
	if hi := g.aperture.Hi; !math.IsInf(float64(hi), 0) && hi < 32 {
		at := func(k int) unit.FNumber { return unit.FNumberAt(hi.Thirds() + k) }
		out = append(out, thirds("aperture of the star, stopped down", hi, unit.FNumber(32).Thirds()-hi.Thirds(), at, func(to unit.FNumber) Change {
			return weaker(g, with(g.aperture.Lo, to), 2, "let the star be made at %s", to)
		}))
	}
	return out
}
