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
	Name: "iso",
	Doc: Doc{
		Group: "camera",
		Title: "the ISO setting",
		Text: `"base" keeps the camera at its base ISO or below. Otherwise a setting or a range of settings, as
dialled. Grain grows by about a third of a step with each full stop above base (from memory).`,
		Example: "iso: base",
		Words:   []string{"sensitivity", "noise", "grain", "film speed", "asa"},
		Values:  []string{"base"},
	},
	Read: readISO,
})

// isoGoal wants the camera's base or a range of marks.
type isoGoal struct {
	Plain
	base bool
	want unit.Range[unit.ISO]
}

func readISO(n source.Node) (Requirement, error) {
	if w, ok := word(n); ok && normal(w) == "base" {
		return &isoGoal{base: true}, nil
	}
	want, err := readRange[unit.ISO](n)
	return &isoGoal{want: want}, err
}

func (g *isoGoal) Validate(*Brief) error {
	if g.base {
		return nil
	}
	return valid("iso", g.want.Interval())
}

func (g *isoGoal) Written() string {
	if g.base {
		return "base"
	}
	return limitText(g.want)
}

func (g *isoGoal) Reads() Aspect {
	if g.base {
		return OnISO | OnLens
	}
	return OnISO
}

func (g *isoGoal) Judge(r *Reading, out []Part) []Part {
	if g.base {
		return append(out, Part{What: "above base", Got: stopsBetween(r.ISO, r.BaseISO), Want: atMost(0), Unit: InStops})
	}
	return append(out, Part{Got: r.ISO, Want: marked(g.want, unit.ISO.True), Unit: InISO})
}

// marked is a range of marks as a range of true values. A mark and its true value both
// lie inside: marks differ from what they stand for by at most 0.1 stop, neighbours by a
// third.
func marked[T ~float64](r unit.Range[T], true_ func(T) float64) unit.Interval {
	v := r.Interval()
	if !math.IsInf(v.Lo, 0) {
		v.Lo = min(v.Lo, true_(r.Lo)) * (1 - 1e-9)
	}
	if !math.IsInf(v.Hi, 0) {
		v.Hi = max(v.Hi, true_(r.Hi)) * (1 + 1e-9)
	}
	return v
}

func (g *isoGoal) Say(parts []Part) string {
	if !g.base {
		return sayParts(parts)
	}
	switch got := parts[0].Got; {
	case got == unit.Point(0):
		return "at the camera's base"
	case got.IsPoint() && got.Lo > 0:
		return fmt.Sprintf("%s above the camera's base", size(got.Lo, InStops))
	case got.IsPoint():
		return fmt.Sprintf("%s below the camera's base", size(-got.Lo, InStops))
	}
	return sayParts(parts)
}

func (g *isoGoal) Because(r *Reading, p Part) string {
	if g.base {
		return fmt.Sprintf("The camera would have to work at ISO %s or more, and its base is ISO %s.",
			isoMark(r.ISO.Lo, fixed(r.ISO.Lo, 0, math.Floor)), isoMark(r.BaseISO.Hi, fixed(r.BaseISO.Hi, 0, math.Ceil)))
	}
	return short("the ISO setting", p)
}

func (g *isoGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	allow := func(w *isoGoal, minor float64, mark unit.ISO) {
		c := weaker(g, w, minor, "allow %s", mark)
		c.Cost = "a little more noise"
		out = append(out, c)
	}
	top := g.want.Hi
	if g.base {
		top = baseISO(b)
	}
	if !math.IsInf(float64(top), 0) {
		for i, k := range []int{3, 6, 9, 12} { // full stops
			mark := unit.ISOAt(top.Thirds() + k)
			allow(&isoGoal{want: unit.Range[unit.ISO]{Lo: g.lowest(), Hi: mark}}, float64(1+i), mark)
		}
	}
	if lo := g.lowest(); !math.IsInf(float64(lo), 0) {
		for i, k := range []int{3, 6} {
			mark := unit.ISOAt(lo.Thirds() - k)
			allow(&isoGoal{want: unit.Range[unit.ISO]{Lo: mark, Hi: g.want.Hi}}, float64(1+i), mark)
			out[len(out)-1].Cost = nothing
		}
	}
	return slices.Values(out)
}

func (g *isoGoal) lowest() unit.ISO {
	if g.base {
		return unit.ISO(math.Inf(-1))
	}
	return g.want.Lo
}

// baseISO is the highest base of the studio's cameras, 100 where it has none.
func baseISO(b *Bench) unit.ISO {
	best := unit.ISO(0)
	for _, c := range b.Studio.Cameras {
		best = max(best, c.BaseISO)
	}
	return cmpOr(best, 100)
}

func (g *isoGoal) Wants(b *Bench) []Want {
	if !g.base {
		return []Want{{"ISO", marked(g.want, unit.ISO.True), rangeText(g.want)}}
	}
	if b.Studio == nil {
		return nil
	}
	top := baseISO(b)
	return []Want{{"ISO", marked(unit.AtMost(top), unit.ISO.True), fmt.Sprintf("the base, %s at most", top)}}
}

// Amounts moves either end by thirds of a stop: up to seven stops, down to three.
func (g *isoGoal) Amounts(b *Bench) (out []Amount) {
	top := g.want.Hi
	if g.base {
		top = baseISO(b)
	}
	if !math.IsInf(float64(top), 0) {
		at := func(k int) unit.ISO { return unit.ISOAt(top.Thirds() + k) }
		out = append(out, thirds("ISO, raised", top, 21, at, func(to unit.ISO) Change {
			c := weaker(g, &isoGoal{want: unit.Range[unit.ISO]{Lo: g.lowest(), Hi: to}}, 1, "allow %s", to)
			c.Cost = "a little more noise"
			return c
		}))
	}
	if lo := g.lowest(); !math.IsInf(float64(lo), 0) {
		at := func(k int) unit.ISO { return unit.ISOAt(lo.Thirds() - k) }
		out = append(out, thirds("ISO, lowered", lo, 9, at, func(to unit.ISO) Change {
			return weaker(g, &isoGoal{want: unit.Range[unit.ISO]{Lo: to, Hi: g.want.Hi}}, 1, "allow %s", to)
		}))
	}
	return out
}
