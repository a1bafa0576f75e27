package report

import (
	"strings"

	"falloff/constraints"
	"falloff/solver"
)

// cautions are those of this set-up, before anything is built.
func (s *Sheet) cautions(m *markup) {
	items := s.set.Cautions
	if n := len(items); n > 0 && items[n-1] == solver.LastWord {
		items = items[:n-1]
	}
	if len(items) == 0 {
		return
	}
	m.in("div", func() {
		m.one("h2", "Cautions")
		said := make([]string, len(items))
		for i, c := range items {
			said[i] = stopped(s.words.units(c))
		}
		m.list(said)
		m.in("p", func() {
			m.one("strong", "For each of these: follow local codes, the maker's manual and licensed practice.")
		})
		m.one("p", "The list informs and is no promise of safety. Falloff does not know your room.", "class", "soft")
	}, "class", "cautions", "id", "cautions")
}

// argument is why this set-up: the goals with what they leave to spare, and what is fragile.
func (s *Sheet) argument(m *markup) {
	c := s.set
	m.in("section", func() {
		m.one("h2", "Why this set-up")
		if c.Differs != "" {
			m.one("p", "Against the best: "+stopped(s.words.units(c.Differs)))
		}
		seen := map[string]bool{}
		var rows [][]string
		for _, g := range tightest(c) {
			word := status(g)
			seen[word] = true
			spare := ""
			if g.Holds {
				spare = s.words.margins(g)
			}
			if g.Standing == constraints.IfMeter {
				spare += "; holds if " + metered(g) + " metered within " + within(g.Within)
			}
			rows = append(rows, []string{goalName(g), word, s.words.units(strings.TrimPrefix(g.Sentence, g.Goal.Name()+": ")), spare})
		}
		if len(rows) > 0 {
			m.one("h3", "Goals, the tightest first")
			m.table("stack goals", []string{"Goal", "Stands", "As computed", "To spare"}, rows)
		}
		if seen["meter"] {
			m.one("p", `"meter": holds if its lights are metered as closely as said.`)
		}
		if seen["unsure"] {
			m.one("p", `"unsure": holds as computed, by less than its doubt; see it in a test frame.`)
		}
		if len(c.Fragile) > 0 {
			m.one("h3", "Fragile: measure these twice")
			var said []string
			for _, f := range c.Fragile {
				said = append(said, capital(stopped(s.words.units(f))))
			}
			m.list(said)
		}
		m.one("h3", "Limits of room and kit")
		s.limits(m)
	}, "id", "why")
}

// limits lists what fails, and counts what holds.
func (s *Sheet) limits(m *markup) {
	var failed []string
	kept := 0
	for _, l := range s.set.Limits {
		if l.Holds {
			kept++
			continue
		}
		failed = append(failed, "Fails: "+stopped(s.words.units(l.Sentence)))
	}
	if len(failed) > 0 {
		m.list(failed)
	}
	if kept > 0 {
		m.one("p", plural(kept, "limit")+" kept: places in the room, heights and loads of stands, what fits what, dials, focus and sync, and how many of each item there are.")
	}
}

// pack is the packing list, the hired things apart, and the circuits.
func (s *Sheet) pack(m *markup) {
	all := packing(s.bench, s.set)
	own, hire := apart(all)
	m.in("section", func() {
		m.one("h2", "Packing list")
		m.in("div", func() {
			for _, box := range byCase(own) {
				m.in("div", func() { s.packedCase(m, box) }, "class", "case")
			}
		}, "class", "cases")
		if len(hire) > 0 {
			m.one("h3", "To hire")
			var rows [][]string
			for _, p := range hire {
				rows = append(rows, []string{p.What, itoa(p.Count), decimal(float64(p.Rate), 2), decimal(float64(p.Rate)*float64(p.Count), 2)})
			}
			m.table("", []string{"What", "Pieces", "A day each", "A day"}, rows)
			m.one("p", "Together "+decimal(float64(hireCost(hire)), 2)+" a day, in the money of the studio file.")
		}
		s.weight(m, all)
		s.power(m)
	}, "id", "pack", "class", "page")
}

func (s *Sheet) weight(m *markup, all []packed) {
	kg, known := mass(all)
	if kg == 0 {
		return
	}
	text := "What is listed weighs about " + s.words.Units.Mass(kg) + " with spares; sandbags, small things and paper are not in it."
	if !known {
		text = "Where the studio file gives a mass it comes to about " + s.words.Units.Mass(kg) + " with spares; sandbags, small things and paper are not in it."
	}
	m.one("p", text)
}

func (s *Sheet) packedCase(m *markup, box []packed) {
	m.one("h3", box[0].Case)
	var items []string
	for _, p := range box {
		text := itoa(p.Count) + nb + "\u00d7" + nb + p.What
		if p.Each > 0 && p.ID == "" {
			text += " of " + s.words.Units.Mass(p.Each)
		}
		if p.Spare > 0 {
			text += ", and " + itoa(p.Spare) + " spare"
		}
		if p.Note != "" {
			text += " (" + p.Note + ")"
		}
		items = append(items, text)
	}
	m.list(items, "class", "tick")
}
