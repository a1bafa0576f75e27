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
	Name: "key-colour",
	Doc: Doc{
		Group: "colour",
		Title: "the colour temperature of the key",
		Text: `The correlated colour temperature of the key with its gel, compared in mired (10^6 / K) because equal
steps of mired look equal: 5600 K is 179 mired. If within is not written, 20 mired is taken, about an eighth of an
orange conversion; lights that should match want 10 or less (from memory).`,
		Example: "key-colour: {kelvin: 5600 K, within: 20 mired}",
		Words:   []string{"kelvin", "white balance", "colour temperature", "color temperature", "cct", "mired", "warm", "cool"},
	},
	Read: readKeyColour,
})

const usualMired unit.Mired = 20

type keyColourGoal struct {
	Plain
	kelvin unit.Kelvin
	within unit.Mired
}

type keyColourForm struct {
	source.Places
	Kelvin unit.Kelvin `yaml:"kelvin,required"`
	Within unit.Mired  `yaml:"within,omitempty"`
}

func readKeyColour(n source.Node) (Requirement, error) {
	if _, ok := word(n); ok {
		g := &keyColourGoal{within: usualMired}
		err := n.Decode(&g.kelvin)
		return g, err
	}
	var f keyColourForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if !f.Wrote("within") {
		f.Within = usualMired
	}
	return &keyColourGoal{kelvin: f.Kelvin, within: f.Within}, nil
}

func (g *keyColourGoal) Validate(*Brief) error {
	if g.within < 0 {
		return fmt.Errorf("within is 0 mired or more")
	}
	return nil
}

func (g *keyColourGoal) Written() string {
	return fmt.Sprintf("{kelvin: %s, within: %s}", exact(g.kelvin), unsigned(g.within))
}

// unsigned writes a tolerance, which has no sign.
func unsigned[T ~float64](x T) string {
	s := exact(x)
	if s != "" && s[0] == '+' {
		return s[1:]
	}
	return s
}

func (g *keyColourGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}
func (g *keyColourGoal) Reads() Aspect { return Colour(inventory.Key) | Gear(inventory.Key) }

func (g *keyColourGoal) Judge(r *Reading, out []Part) []Part {
	off := unit.Point(1e6).Div(r.Lights[inventory.Key].Kelvin).Sub(unit.Point(float64(g.kelvin.Mired()))).Abs()
	return lightParts(r, inventory.Key, out, Part{What: "off by", Got: off, Want: atMost(float64(g.within)), Unit: InMired, Fine: 5})
}

func (g *keyColourGoal) Because(r *Reading, p Part) string {
	if s, ok := noLight(p); ok {
		return s
	}
	k := r.Lights[inventory.Key].Kelvin
	is := fmt.Sprintf("between %s and %s", Show(k.Lo, InKelvin), Show(k.Hi, InKelvin))
	if k.IsPoint() {
		is = Show(k.Lo, InKelvin)
	}
	return fmt.Sprintf("The key is %s, %s or more from %s, and at most %s is wanted.", is,
		floor(p.Got.Lo, InMired, p.Want.Hi), g.kelvin, Asked(p.Want.Hi, InMired))
}

func (g *keyColourGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Mired{10, 20, 40} {
		w := &keyColourGoal{kelvin: g.kelvin, within: g.within + d}
		out = append(out, weaker(g, w, float64(1+2*i), "let the key be off by %s", unsigned(w.within)))
	}
	for _, name := range []string{"quarter orange conversion", "half orange conversion", "full orange conversion",
		"quarter blue conversion", "half blue conversion", "full blue conversion"} {
		if g.helps(b, name) {
			out = append(out, addGel(b, name, 3))
		}
	}
	return slices.Values(out)
}

// helps reports whether a conversion brings some head of the studio within the goal.
func (g *keyColourGoal) helps(b *Bench, name string) bool {
	for _, k := range whites(b) {
		now := math.Abs(float64(k.Mired() - g.kelvin.Mired()))
		then, ok := gelled(k, name)
		if ok && now > float64(g.within) && math.Abs(float64(then.Mired()-g.kelvin.Mired())) <= float64(g.within) {
			return true
		}
	}
	return false
}

func (g *keyColourGoal) Wants(*Bench) []Want {
	return []Want{{"mired of the key", about(float64(g.kelvin.Mired()), float64(g.within)), "a key of " + g.kelvin.String()}}
}

// Amounts widens the tolerance by whole mireds.
func (g *keyColourGoal) Amounts(*Bench) []Amount {
	now := tidy(float64(g.within))
	return []Amount{listed("tolerance of the key's colour", now, toward(now, 200, 1), inUnit(InMired), func(x float64) Change {
		w := &keyColourGoal{kelvin: g.kelvin, within: unit.Mired(x)}
		return weaker(g, w, 1, "let the key be off by %s", unsigned(w.within))
	})}
}
