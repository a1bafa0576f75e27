package picture

import (
	"math"

	"falloff/cmd/internal/report/draw"
	"falloff/constraints"
	"falloff/model/geom"
)

// CardLetter is what stands in a card's badge: lights have numbers, cards letters.
func CardLetter(i int) string { return string(rune('A' + i%26)) }

// corners are those of a card's face.
func corners(c *constraints.StageCard) []geom.Vec {
	u, v := geom.Axes(c.Normal)
	at := func(x, y float64) geom.Vec { return c.At.Add(u.Mul(x * c.W / 2)).Add(v.Mul(y * c.H / 2)) }
	return []geom.Vec{at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)}
}

func (s *Set) cardCorners() (out [][]geom.Vec) {
	for i := range s.Stage.Cards {
		out = append(out, corners(&s.Stage.Cards[i]))
	}
	return out
}

// cards draws cards and flags: white cards with a tick toward what they light, flags
// filled dark.
func (s *Set) cards(p *draw.Picture, k scale) {
	for i := range s.Stage.Cards {
		c := &s.Stage.Cards[i]
		outline := hull(k.all(corners(c)))
		class := "card"
		if c.Flag {
			class = "flag"
		}
		p.Open("cards", "data-card", CardLetter(i))
		p.Path(class, outline, true)
		at := k.at(c.At)
		p.Line("line", at, k.at(c.At.Add(c.Normal.Mul(0.08))))
		p.Circle("dot", at, 0.45, "data-part", "centre")
		p.Close()
		p.Take(bounds(outline))
		away := k.at(c.At.Sub(c.Normal))
		p.FitBadge(at, CardLetter(i), math.Atan2(away.Y-at.Y, away.X-at.X), 5, 6.5, 8.5, 11, 14)
	}
}
