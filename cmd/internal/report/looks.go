package report

import (
	"io"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Look is a ready look as one kit can build it.
type Look struct {
	Name   string
	Brief  *constraints.Brief
	Answer *solver.Answer
}

// Looks prints which of several looks a kit can build, and how well: one line each, and
// what stands in the way of the others.
func Looks(w io.Writer, s *inventory.Studio, looks []Look, st Style) error {
	p := newPage(st)
	p.names(s)
	can := 0
	rows := [][]string{{"look", "", "lights", "min", "spare", "key"}}
	for _, l := range looks {
		row := []string{l.Name, said(l.Answer.Outcome), "", "", "", ""}
		if l.Answer.Outcome == solver.Found {
			can++
			c := l.Answer.Setups[0]
			copy(row[2:], []string{itoa(c.Cost.Lights), itoa(c.Cost.Minutes), oneDecimal(c.Cost.Tight), ""})
			if key := lightOf(c, inventory.Key); key != nil {
				row[5] = shortKey(s, &key.Set)
			}
		}
		rows = append(rows, row)
	}
	p.para(0, 2, itoa(can)+" of "+plural(len(looks), "look")+" can be built in the studio "+quoted(s.Name)+".")
	p.blank()
	p.grid(rows)
	p.para(0, 0, `"spare" is the smallest margin of any goal; below 1.0 it is fragile.`)
	for _, l := range looks {
		switch l.Answer.Outcome {
		case solver.Cannot:
			p.blank()
			p.para(0, 2, l.Name+": "+stopped(inTheWay(l.Answer)))
		case solver.Undecided:
			p.blank()
			p.para(0, 2, l.Name+": "+stopped(p.units(l.Answer.Open)))
		}
	}
	p.blank()
	p.para(0, 0, `"falloff plan --look NAME" gives one of them in full.`)
	return p.flush(w)
}

func said(o solver.Outcome) string {
	switch o {
	case solver.Found:
		return "yes"
	case solver.Cannot:
		return "no"
	}
	return "not found"
}

// inTheWay names the goals that cannot all hold.
func inTheWay(a *solver.Answer) string {
	if a.Conflict == nil {
		return "cannot be built with this kit"
	}
	return a.Conflict.CannotHold()
}

type jsonLook struct {
	Look    string     `json:"look"`
	Outcome string     `json:"outcome"`
	Setup   *jsonSetup `json:"setup"` // the best; null where there is none
	Open    string     `json:"open"`
	Collide []string   `json:"collide"` // kinds of goals that cannot all hold
}

// LooksJSON is Looks for programs.
func LooksJSON(w io.Writer, s *inventory.Studio, looks []Look) error {
	out := struct {
		Studio string     `json:"studio"`
		Looks  []jsonLook `json:"looks"`
	}{s.Name, []jsonLook{}}
	for _, l := range looks {
		j := jsonLook{Look: l.Name, Outcome: string(l.Answer.Outcome), Open: l.Answer.Open, Collide: []string{}}
		if len(l.Answer.Setups) > 0 {
			best := setupJSON(s, l.Answer.Setups[0])
			j.Setup = &best
		}
		if c := l.Answer.Conflict; c != nil {
			for _, g := range c.Goals {
				j.Collide = append(j.Collide, g.Name())
			}
		}
		out.Looks = append(out.Looks, j)
	}
	return WriteJSON(w, out)
}
