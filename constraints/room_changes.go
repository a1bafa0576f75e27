package constraints

import (
	"fmt"
	"slices"

	"falloff/inventory"
	"falloff/model/unit"
)

// Changes to backdrop, walls and grids that several kinds offer.

// blackPaper hangs black paper, 4 % (3 to 6 %, from memory), and releases the backdrop
// that the brief asked for, if it did.
func blackPaper(b *Bench) []Change {
	width, hang, darkest := unit.Length(2.72), unit.Length(0), unit.Share(1)
	for _, p := range b.Studio.Backdrops {
		width, hang, darkest = max(width, p.Width), max(hang, p.Drop), min(darkest, p.Reflectance)
	}
	asked := askedBackdrop(b.Brief.Goals, b.Studio)
	const black unit.Share = 0.04
	var out []Change
	if asked != nil {
		label := string(asked.Req.(*useGoal).item)
		if p := b.Studio.Backdrop(inventory.ID(label)); p != nil {
			label = p.Label()
		}
		req := asked.Req
		out = append(out, Change{Text: fmt.Sprintf("let another backdrop hang than the %s", label), Cost: nothing, Minor: 2, Apply: drop(req)})
	}
	if darkest <= black && asked == nil {
		return out
	}
	text := "hang black paper (4 %)"
	return append(out, Change{Text: text, Cost: "a roll to buy or hire, 8 min", Minor: 3, Apply: func(b *Brief, s *inventory.Studio) {
		if g := askedBackdrop(b.Goals, s); g != nil {
			drop(g.Req)(b, s)
		}
		s.Backdrops = append(s.Backdrops, inventory.Backdrop{
			Item:        inventory.Item{ID: freshID(s, "black paper added"), Name: "black paper", Count: 1},
			Reflectance: black, Width: width, Drop: hang,
		})
		s.Complete()
	}})
}

// askedBackdrop is the goal that asks for one backdrop.
func askedBackdrop(goals []*Goal, s *inventory.Studio) *Goal {
	for _, g := range goals {
		if u, ok := g.Req.(*useGoal); ok && s.Backdrop(u.item) != nil {
			return g
		}
	}
	return nil
}

// darkRoom hangs black cloth or flats on the walls, then under the ceiling as well.
func darkRoom(b *Bench) []Change {
	const black unit.Share = 0.05
	var out []Change
	room := b.Studio.Room
	if room.Walls > black {
		out = append(out, Change{Text: "stand black flats along the walls (5 %)", Cost: "10 min", Minor: 4,
			Apply: func(_ *Brief, s *inventory.Studio) { s.Room.Walls = black }})
	}
	if room.Ceiling > black {
		out = append(out, Change{Text: "hang black cloth on the walls and the ceiling (5 %)", Cost: "30 min", Minor: 6,
			Apply: func(_ *Brief, s *inventory.Studio) {
				s.Room.Walls, s.Room.Ceiling = min(s.Room.Walls, black), black
			}})
	}
	return out
}

// fabricGrid adds a cloth grid for the soft boxes that have none: 40 degrees is common
// (30 to 50, from memory).
func fabricGrid(b *Bench) []Change {
	var fits []inventory.ID
	for i := range b.Studio.Modifiers {
		m := &b.Studio.Modifiers[i]
		soft := m.Type == "softbox" || m.Type == "strip" || m.Type == "octabox"
		gridded := slices.ContainsFunc(b.Studio.Grids, func(g inventory.Grid) bool { return inventory.ModTakesGrid(m, &g) })
		if soft && !gridded {
			fits = append(fits, m.ID)
		}
	}
	if len(fits) == 0 {
		return nil
	}
	return []Change{{Text: "add fabric grids (40 deg) for the soft boxes", Cost: "grids to buy or hire", Minor: 3.5,
		Apply: func(_ *Brief, s *inventory.Studio) {
			s.Grids = append(s.Grids, inventory.Grid{
				Item: inventory.Item{ID: freshID(s, "fabric grid"), Name: "fabric grid 40 deg", Count: 2},
				Fits: fits, Cell: "square", Cutoff: 40 * unit.Degree,
			})
			s.Complete()
		}}}
}

// narrowPaper masks a wide white backdrop with black flats to a little more than most frames
// take in, so that a smaller patch is lit.
func narrowPaper(b *Bench) []Change {
	const to unit.Length = 1.35
	wide := false
	for _, p := range b.Studio.Backdrops {
		wide = wide || p.Width > to+0.1 && p.Reflectance > 0.5
	}
	if !wide {
		return nil
	}
	return []Change{{Text: "mask the white backdrop with black flats to 1.35 m", Cost: "2 min", Minor: 2.2, Apply: func(_ *Brief, s *inventory.Studio) {
		for i := range s.Backdrops {
			if p := &s.Backdrops[i]; p.Reflectance > 0.5 {
				p.Width = min(p.Width, to)
			}
		}
		s.Complete()
	}}}
}

// greyPaper releases the backdrop that the brief asked for, or hangs a mid grey one (18 %)
// where there is none between 10 and 30 %.
func greyPaper(b *Bench) []Change {
	out := blackPaper(b)
	const grey unit.Share = 0.18
	var width unit.Length = 2.72
	for _, p := range b.Studio.Backdrops {
		if p.Reflectance > 0.1 && p.Reflectance < 0.3 {
			return out
		}
		width = max(width, p.Width)
	}
	return append(out, Change{Text: "hang mid grey paper (18 %)", Cost: "a roll to buy or hire, 8 min", Minor: 3, Apply: func(b *Brief, s *inventory.Studio) {
		if g := askedBackdrop(b.Goals, s); g != nil {
			drop(g.Req)(b, s)
		}
		s.Backdrops = append(s.Backdrops, inventory.Backdrop{
			Item:        inventory.Item{ID: freshID(s, "grey paper added"), Name: "mid grey paper", Count: 1},
			Reflectance: grey, Width: width,
		})
		s.Complete()
	}})
}
