package report

import (
	"io"
	"strings"

	"falloff/inventory"
	"falloff/solver"
)

// Survey prints which looks a kit can do, how well, and what to have a spare of.
func Survey(w io.Writer, s *inventory.Studio, v *solver.Survey, st Style) error {
	p := newPage(st)
	p.names(s)
	can := 0
	for _, x := range v.Looks {
		if x.Outcome == solver.Found {
			can++
		}
	}
	p.para(0, 2, quoted(s.Name)+" can do "+itoa(can)+" of "+plural(len(v.Looks), "look")+".")
	if can > 0 {
		p.blank()
		p.done(v)
	}
	for _, o := range []struct {
		title string
		of    solver.Outcome
	}{{"Proved impossible", solver.Cannot}, {"Open", solver.Undecided}} {
		p.notDone(v, o.title, o.of)
	}
	if can > 0 {
		p.spares(v)
	}
	return p.flush(w)
}

// done lists the looks that can be had.
func (p *page) done(v *solver.Survey) {
	rows := [][]string{{"look", "lights", "min", "missed", "spare"}}
	for _, x := range v.Looks {
		if x.Outcome == solver.Found {
			c := x.Setup.Cost
			rows = append(rows, []string{x.Brief.Name, itoa(c.Lights), itoa(c.Minutes), itoa(c.Missed), oneDecimal(c.Tight)})
		}
	}
	p.grid(rows)
	p.para(0, 0, `"spare" is the smallest margin of any goal; below 1.0 it is fragile, and more than that is not sought here. "missed" adds the weights of the wishes that are missed. The set-ups are not proved to be the best: "falloff plan" does that.`)
}

func (p *page) notDone(v *solver.Survey, title string, of solver.Outcome) {
	begun := false
	for _, x := range v.Looks {
		if x.Outcome != of {
			continue
		}
		if !begun {
			p.heading(title)
			begun = true
		}
		p.para(blockIndent, 2, "- "+x.Brief.Name+": "+p.units(whyNot(x)))
	}
}

func whyNot(x *solver.Surveyed) string {
	switch {
	case x.Lacks != "":
		first, _, _ := strings.Cut(x.Lacks, "\n")
		return first
	case x.Outcome == solver.Undecided:
		return stopped(x.Open)
	}
	return collide(&solver.Conflict{Goals: x.Goals, KitAlone: len(x.Goals) == 0}) + "."
}

// spares says what would break most if one piece of it failed on the day.
func (p *page) spares(v *solver.Survey) {
	p.heading("If one piece failed on the day")
	for _, x := range v.Spares {
		var names []string
		for _, l := range x.Breaks {
			names = append(names, quoted(l.Brief.Name))
		}
		text := x.Item.Label()
		if n := inventory.ItemOf(x.Item).Count; n > 1 {
			text = "one of " + itoa(n) + " x " + text
		}
		p.para(blockIndent, 2, "- "+text+" breaks "+itoa(len(names))+": "+list(names))
	}
	switch {
	case len(v.Spares) == 0:
		p.para(blockIndent, 2, "No look is proved to break: something else takes the place of each piece, or it stays open.")
	default:
		worst := v.Spares[0]
		text := "Bring a spare of the " + worst.Item.Label()
		for _, x := range v.Spares[1:] {
			if len(x.Breaks) == len(worst.Breaks) {
				text += " and of the " + x.Item.Label()
			}
		}
		p.para(blockIndent, 0, stopped(text))
	}
	p.para(blockIndent, 0, `"breaks" is proved: nothing else in the studio makes that look then.`+unsure(v))
}

func unsure(v *solver.Survey) string {
	var out []string
	for _, x := range v.Looks {
		for _, t := range x.Unsure {
			out = append(out, t.Label()+" for "+quoted(x.Brief.Name))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " Open: " + strings.Join(out, ", ") + "."
}

type jsonSurvey struct {
	Outcome string         `json:"outcome"`
	Studio  string         `json:"studio"`
	Looks   []jsonSurveyed `json:"looks"`
	Spares  []jsonSpare    `json:"spares"`
}

type jsonSurveyed struct {
	Brief    string         `json:"brief"`
	Outcome  string         `json:"outcome"`
	Lacks    string         `json:"lacks"`
	Cost     *jsonCost      `json:"cost"`
	InTheWay []jsonQuote    `json:"in_the_way"`
	Open     string         `json:"open"`
	Fails    []inventory.ID `json:"fails_with_one_less_of"`
	Unsure   []inventory.ID `json:"open_with_one_less_of"`
}

type jsonSpare struct {
	Item   inventory.ID `json:"item"`
	Breaks []string     `json:"breaks"`
}

// SurveyJSON writes the same for programs.
func SurveyJSON(w io.Writer, s *inventory.Studio, v *solver.Survey) error {
	out := jsonSurvey{Outcome: string(solver.Found), Studio: s.Name, Looks: []jsonSurveyed{}, Spares: []jsonSpare{}}
	ids := func(things []inventory.Thing) []inventory.ID {
		out := []inventory.ID{}
		for _, t := range things {
			out = append(out, inventory.ItemOf(t).ID)
		}
		return out
	}
	for _, x := range v.Looks {
		l := jsonSurveyed{Brief: x.Brief.Name, Outcome: string(x.Outcome), Lacks: x.Lacks, InTheWay: quotesJSON(x.Goals),
			Open: x.Open, Fails: ids(x.Fails), Unsure: ids(x.Unsure)}
		if x.Setup != nil {
			c := x.Setup.Cost
			l.Cost = &jsonCost{c.Missed, c.Lights, c.Minutes, known(c.Tight)}
		}
		out.Looks = append(out.Looks, l)
	}
	for _, x := range v.Spares {
		sp := jsonSpare{inventory.ItemOf(x.Item).ID, []string{}}
		for _, l := range x.Breaks {
			sp.Breaks = append(sp.Breaks, l.Brief.Name)
		}
		out.Spares = append(out.Spares, sp)
	}
	return WriteJSON(w, out)
}
