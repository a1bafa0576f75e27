package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "aperture",
	Doc: Doc{
		Group: "camera",
		Title: "the f-number",
		Text: `A setting, a range of settings, or "wide open": no more than a third of a stop from the lens's
widest. Marks stand for powers of the root of two (f/5.6 is 5.657, f/11 is 11.31; ISO 517:2008), and true values
are compared, a sixth of a third of a stop either way; what is engraved as a lens's widest is a true value.`,
		Example: "aperture: f/5.6..f/8",
		Words:   []string{"f-number", "f number", "f-stop", "fstop", "wide open", "stop down", "iris"},
		Values:  []string{"wide open"},
	},
	Read: readAperture,
})

// nearMark is how far in stops a true f-number may lie from that of a mark and still count
// as set to it: a lens engraved f/1.8 is 0.03 from the third of a stop of that name, one
// engraved f/3.5 is 0.05; neighbours are 0.33 apart.
const nearMark = 0.06

const wideOpen = 1. / 3 // stops from the widest

// apertureGoal wants a range of marks, or stops from the lens's widest where within is above 0.
type apertureGoal struct {
	Plain
	want   unit.Range[unit.FNumber]
	within unit.Stops
}

type apertureForm struct {
	source.Places
	WideOpen bool         `yaml:"wide open,omitempty"`
	Within   unit.Stops   `yaml:"within,omitempty"`
	AtLeast  unit.FNumber `yaml:"at least,omitempty"`
	AtMost   unit.FNumber `yaml:"at most,omitempty"`
}

func readAperture(n source.Node) (Requirement, error) {
	if w, ok := word(n); ok {
		if normal(w) == "wide open" {
			return &apertureGoal{within: wideOpen}, nil
		}
		want, err := readRange[unit.FNumber](n)
		return &apertureGoal{want: want}, err
	}
	var f apertureForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	switch {
	case f.WideOpen && (f.AtLeast > 0 || f.AtMost > 0):
		return nil, fmt.Errorf("say wide open or a range, not both")
	case f.WideOpen:
		return &apertureGoal{within: cmpOr(f.Within, wideOpen)}, nil
	case f.Within != 0:
		return nil, fmt.Errorf("within belongs to wide open")
	}
	return &apertureGoal{want: limits[unit.FNumber]{f.Places, f.AtLeast, f.AtMost}.bounds()}, nil
}

func (g *apertureGoal) Validate(*Brief) error {
	if g.within < 0 {
		return fmt.Errorf("within is 0 stops or more")
	}
	if g.within > 0 {
		return nil
	}
	return valid("aperture", g.want.Interval())
}

func (g *apertureGoal) Written() string {
	switch {
	case g.within == wideOpen:
		return "wide open"
	case g.within > 0:
		return fmt.Sprintf("{wide open: true, within: %s}", exact(g.within))
	}
	return limitText(g.want)
}

func (g *apertureGoal) Reads() Aspect {
	if g.within > 0 {
		return OnAperture | OnLens
	}
	return OnAperture
}

// wanted is the range of true f-numbers.
func (g *apertureGoal) wanted() unit.Interval {
	v := g.want.Interval()
	slack := math.Exp2(nearMark / 2)
	if !math.IsInf(v.Lo, 0) {
		v.Lo = g.want.Lo.True() / slack
	}
	if !math.IsInf(v.Hi, 0) {
		v.Hi = g.want.Hi.True() * slack
	}
	return v
}

func (g *apertureGoal) Judge(r *Reading, out []Part) []Part {
	if g.within == 0 {
		return append(out, Part{Got: r.Aperture, Want: g.wanted(), Unit: InFNumber})
	}
	closed := stopsBetween(r.Aperture, r.Widest).Scale(2) // light goes with the square of N
	return append(out, Part{What: "stopped down by", Got: closed, Want: atMost(float64(g.within) + nearMark), Unit: InStops})
}

func (g *apertureGoal) Say(parts []Part) string {
	p := parts[0]
	if g.within == 0 || !p.Got.IsPoint() {
		return sayParts(parts)
	}
	if p.Got.Lo <= 0 {
		return "wide open"
	}
	text := size(p.Got.Lo, InStops) + " from wide open"
	if p.Fails() {
		text += fmt.Sprintf(" (wanted at most %s)", plural(fixed(float64(g.within), 1, math.Round), "stop"))
	}
	return text
}

func (g *apertureGoal) Because(r *Reading, p Part) string {
	if g.within > 0 {
		return fmt.Sprintf("The lens would have to be stopped down to %s or smaller, and it opens to %s.",
			Show(r.Aperture.Lo, InFNumber), Show(r.Widest.Hi, InFNumber))
	}
	return short("the aperture", p)
}

func (g *apertureGoal) Relax(*Bench) iter.Seq[Change] {
	out := g.stopDown()
	if g.within > 0 {
		return slices.Values(out)
	}
	for i, k := range moreThirds {
		if w := g.wider(k); w != nil && (i == 0 || w.want.Lo > 1) {
			out = append(out, weaker(g, w, float64(1+i), "open up to %s", w.want.Lo))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

// moreThirds are the steps that an end of the range is moved by, in thirds of a stop.
var moreThirds = []int{1, 3, 6, 9}

// stopDown lists the changes that allow a smaller aperture.
func (g *apertureGoal) stopDown() (out []Change) {
	if g.within > 0 {
		for i, s := range []unit.Stops{1, 2, 3} {
			w := &apertureGoal{within: g.within + s}
			out = append(out, weaker(g, w, float64(1+i), "stop down by up to %s", size(tidy(float64(w.within)), InStops)))
		}
		return out
	}
	for i, k := range moreThirds {
		if w := g.smaller(k); w != nil {
			out = append(out, weaker(g, w, float64(1+i), "stop down to %s", w.want.Hi))
		}
	}
	return out
}

// smaller allows k thirds more stopping down; nil where there is no end to move.
func (g *apertureGoal) smaller(k int) *apertureGoal {
	if math.IsInf(float64(g.want.Hi), 0) || g.want.Hi >= 64 {
		return nil
	}
	return &apertureGoal{want: unit.Range[unit.FNumber]{Lo: g.want.Lo, Hi: unit.FNumberAt(g.want.Hi.Thirds() + k)}}
}

func (g *apertureGoal) wider(k int) *apertureGoal {
	if math.IsInf(float64(g.want.Lo), 0) || g.want.Lo <= 1 {
		return nil
	}
	return &apertureGoal{want: unit.Range[unit.FNumber]{Lo: unit.FNumberAt(max(0, g.want.Lo.Thirds()-k)), Hi: g.want.Hi}}
}

func (g *apertureGoal) Wants(*Bench) []Want {
	if g.within > 0 {
		return nil
	}
	return []Want{{"aperture", g.wanted(), "the aperture at " + rangeText(g.want)}}
}

// Amounts moves either end of the range by thirds of a stop, to f/32 and to f/1.
func (g *apertureGoal) Amounts(*Bench) (out []Amount) {
	if g.within > 0 {
		now := tidy(float64(g.within))
		show := func(x float64) string { return size(x, InStops) }
		return []Amount{listed("stopping down from wide open", now, toward(now, 8, 1./3), show, func(x float64) Change {
			return weaker(g, &apertureGoal{within: unit.Stops(x)}, 1, "stop down by up to %s", show(x))
		})}
	}
	if hi := g.want.Hi; !math.IsInf(float64(hi), 0) && hi < 32 {
		at := func(k int) unit.FNumber { return unit.FNumberAt(hi.Thirds() + k) }
		out = append(out, thirds("aperture, stopped down", hi, unit.FNumber(32).Thirds()-hi.Thirds(), at, func(to unit.FNumber) Change {
			return weaker(g, &apertureGoal{want: unit.Range[unit.FNumber]{Lo: g.want.Lo, Hi: to}}, 1, "stop down to %s", to)
		}))
	}
	if lo := g.want.Lo; !math.IsInf(float64(lo), 0) && lo > 1 {
		at := func(k int) unit.FNumber { return unit.FNumberAt(lo.Thirds() - k) }
		out = append(out, thirds("aperture, opened up", lo, lo.Thirds(), at, func(to unit.FNumber) Change {
			return weaker(g, &apertureGoal{want: unit.Range[unit.FNumber]{Lo: to, Hi: g.want.Hi}}, 1, "open up to %s", to)
		}))
	}
	return out
}
