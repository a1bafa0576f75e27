package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver"
)

// Answer prints what a search gave: ranked set-ups, an argument that there is none, or
// what stayed open.
func Answer(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer, st Style) error {
	return answer(w, s, b, a, st, false)
}

func answer(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer, st Style, full bool) error {
	p := newPage(st)
	p.names(s)
	switch a.Outcome {
	case solver.Found:
		p.found(s, b, a)
	case solver.Cannot:
		p.conflict(a, full)
	default:
		p.undecided(s, b, a)
	}
	if st.Verbose {
		p.work(a.Stats)
	}
	return p.flush(w)
}

func quoted(s string) string { return `"` + s + `"` }

func (p *page) found(s *inventory.Studio, b *constraints.Brief, a *solver.Answer) {
	text := plural(len(a.Setups), "set-up") + " for " + quoted(b.Name) + " in the studio " + quoted(s.Name) + ", best first."
	if a.Proved {
		text += " Proved: among the settings that can be dialled and the places that can be taped nothing ranks above the first."
	} else {
		text += " Not proved to be the best: " + stopped(p.units(a.Open))
	}
	p.para(0, 2, text)
	p.setups(s, b, a)
}

func (p *page) undecided(s *inventory.Studio, b *constraints.Brief, a *solver.Answer) {
	p.para(0, 2, "Undecided: a limit was reached for "+quoted(b.Name)+" before a set-up was found, and nothing was proved.")
	if a.Open != "" {
		p.para(0, 2, "Open: "+stopped(p.units(a.Open)))
	}
	for _, o := range a.OpenAt {
		p.openPlace(&o)
	}
	if len(a.Setups) > 0 {
		p.blank()
		p.para(0, 2, "The nearest so far does not meet every must:")
		p.setups(s, b, a)
	}
}

// openPlace tells what stayed open: the gear, the goals that it was to meet, and where its
// lights may still stand.
func (p *page) openPlace(o *solver.OpenPlace) {
	p.blank()
	p.para(0, 2, "Not settled: "+o.Gear)
	goals := make([]string, len(o.Goals))
	for i, g := range o.Goals {
		goals[i] = g.Text
	}
	p.para(2, 4, "goals: "+strings.Join(goals, "; "))
	for _, l := range o.Lights {
		p.para(2, 4, fmt.Sprintf("%s: %s; somewhere at %s, %s deg and %s deg up", l.Role, l.Gear, p.units(lengths(l.Distance)), span(l.Azimuth), span(l.Elevation)))
	}
	p.para(2, 4, "backdrop: "+p.units(lengths(o.Depth))+" behind the sitter")
}

func lengths(i unit.Interval) string {
	lo, hi := unit.Length(i.Lo).String(), unit.Length(i.Hi).String()
	if lo == hi {
		return lo
	}
	return lo + " to " + hi
}

func span(i unit.Interval) string { return fmt.Sprintf("%.0f to %.0f", i.Lo, i.Hi) }

func (p *page) setups(s *inventory.Studio, b *constraints.Brief, a *solver.Answer) {
	if len(a.Setups) > 1 {
		p.blank()
		p.table(s, a.Setups)
	}
	for _, c := range a.Setups {
		p.blank()
		p.setup(s, b, c)
	}
}

// table compares set-ups in one line each. The key's column is left out where the page is
// too narrow for it.
func (p *page) table(s *inventory.Studio, setups []*solver.Checked) {
	rows := comparison(s, setups)
	p.grid(rows)
	text := `"spare" is the smallest margin of any goal; below 1.0 it is fragile.`
	if slices.Contains(rows[0], "missed") {
		text += ` "missed" adds the weights of the wishes that are missed.`
	}
	p.para(0, 0, text)
}

// comparison is a head and a row for each set-up; the column of missed wishes is left out
// where none is missed.
func comparison(s *inventory.Studio, setups []*solver.Checked) [][]string {
	missed := slices.ContainsFunc(setups, func(c *solver.Checked) bool { return c.Cost.Missed > 0 })
	rows := [][]string{{"", "lens", "aperture", "shutter", "ISO", "lights", "min", "missed", "spare", "key"}}
	for i, c := range setups {
		cam := c.Setup.Camera
		lens, key := "", ""
		if l := s.Lens(cam.Lens); l != nil {
			lens = l.Focal.Focal()
		}
		if l := lightOf(c, inventory.Key); l != nil {
			key = shortKey(s, &l.Set)
		}
		rows = append(rows, []string{itoa(i + 1), lens, cam.Aperture.String(), cam.Shutter.String(),
			strings.TrimPrefix(cam.ISO.String(), "ISO "), itoa(c.Cost.Lights), itoa(c.Cost.Minutes),
			itoa(c.Cost.Missed), oneDecimal(c.Cost.Tight), key})
	}
	if !missed {
		for i, r := range rows {
			rows[i] = slices.Delete(r, 7, 8)
		}
	}
	return rows
}

// shortKey names the key's face and side: "60 x 90 cm soft box, left".
func shortKey(s *inventory.Studio, l *inventory.LightSet) string {
	face := "bare " + label(s, l.Head)
	if m := s.Modifier(l.Modifier); m != nil {
		face = m.Label()
	}
	switch d := math.Round(l.Azimuth.Degrees()); {
	case d < 0:
		return face + ", left"
	case d > 0:
		return face + ", right"
	}
	return face + ", in front"
}

// grid prints rows in columns, the last of them only if all fit.
func (p *page) grid(rows [][]string) {
	var widths []int
	total := 0
	for c := range rows[0] {
		w := 0
		for _, r := range rows {
			w = max(w, utf8.RuneCountInString(r[c]))
		}
		widths = append(widths, w)
		total += w + 2
	}
	if total-2 > p.Width {
		widths = widths[:len(widths)-1]
	}
	for _, r := range rows {
		var line strings.Builder
		for c, w := range widths {
			line.WriteString(pad(r[c], w+2))
		}
		p.line(line.String())
	}
}

func (p *page) work(st solver.Stats) {
	p.blank()
	p.para(0, 2, "Looked at "+itoa(st.Candidates)+" candidates of gear, learned "+itoa(st.Lemmas)+" facts from "+
		itoa(st.Boxes)+" boxes of settings, used "+itoa(st.Rules)+" rules.")
}

// Why prints the argument in full: why there is no plan or, where there is one, what
// leaves the least to spare.
func Why(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer, st Style) error {
	if a.Outcome != solver.Found || len(a.Setups) == 0 {
		return answer(w, s, b, a, st, true)
	}
	p := newPage(st)
	p.names(s)
	best := a.Setups[0]
	p.para(0, 2, "It can be done: "+quoted(b.Name)+" in the studio "+quoted(s.Name)+", with "+summary(s, best)+".")
	p.blank()
	p.line("Tightest first")
	for _, g := range tightest(best) {
		p.goal(g)
	}
	p.sentences("Fragile", best.Fragile)
	p.blank()
	p.para(0, 0, `"falloff plan" prints the set-ups.`)
	return p.flush(w)
}

// tightest lists the goals by their smallest margin in units of what is called fragile:
// those that fail first, those without a number last.
func tightest(c *solver.Checked) []*solver.GoalResult {
	out := make([]*solver.GoalResult, len(c.Goals))
	for i := range c.Goals {
		out[i] = &c.Goals[i]
	}
	room := func(g *solver.GoalResult) float64 {
		least := math.Inf(1)
		if !g.Holds {
			return math.Inf(-1)
		}
		for _, part := range g.Parts {
			least = min(least, part.Room())
		}
		return least
	}
	slices.SortStableFunc(out, func(a, b *solver.GoalResult) int { return cmp.Compare(room(a), room(b)) })
	return out
}
