package report

import (
	"io"
	"math"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Reach prints the range of a quantity, each end with the set-up that shows it and what is
// proved beyond it.
func Reach(w io.Writer, s *inventory.Studio, b *constraints.Brief, r *solver.Range, st Style) error {
	if r.Answer.Outcome != solver.Found {
		return Answer(w, s, b, r.Answer, st)
	}
	p := newPage(st)
	p.names(s)
	q := r.Quantity
	p.para(0, 2, capital(q.Title)+", under "+quoted(b.Name)+" in the studio "+quoted(s.Name)+":")
	p.end(s, q, q.Low.Name, "less", r.Low)
	p.end(s, q, q.High.Name, "more", r.High)
	return p.flush(w)
}

func (p *page) end(s *inventory.Studio, q *constraints.Quantity, name, more string, e *solver.EndOf) {
	if e == nil {
		return
	}
	p.blank()
	p.para(0, 2, capital(name)+": "+p.units(reached(e, q)))
	p.entry("shown by", p.shownBy(s, q, e.Setup))
	p.entry("only with", onlyKit(e))
	beyond := ""
	switch {
	case !math.IsNaN(e.Limit):
		beyond = "not " + more + " than " + p.units(q.Show(e.Limit)) + ", the brief's own limit"
	case !math.IsNaN(e.Beyond):
		beyond = "proved: not " + p.units(q.Show(e.Beyond)) + " or " + more
	}
	if beyond != "" {
		if names := goalNames(e.InTheWay); len(names) > 0 {
			beyond += "; in the way: " + list(names)
		} else {
			beyond += "; no goal is in the way: the kit, the room or the stated ranges end there"
		}
	}
	switch {
	case e.Most:
		p.entry("beyond", "no farther value is told apart")
	case e.Proved:
		p.entry("beyond", beyond)
	default:
		p.entry("beyond", beyond)
		what := "what lies between"
		if beyond == "" {
			what = "how much farther it goes, for nothing was proved out of reach"
		}
		p.entry("open", stopped(what+"; "+p.units(e.Open)))
	}
}

// reached is an end as it is told: the step that is reached, where rounding would make the
// value itself read like the one that is out of reach.
func reached(e *solver.EndOf, q *constraints.Quantity) string {
	text := q.Show(e.Value)
	if !math.IsNaN(e.Mark) && text == q.Show(e.Beyond) {
		return q.Show(e.Mark)
	}
	return text
}

// shownBy is a set-up in a line, with the frame where the quantity depends on it.
func (p *page) shownBy(s *inventory.Studio, q *constraints.Quantity, k *solver.Checked) string {
	text := summary(s, k)
	if q.Reads()&constraints.OnFrame != 0 {
		text += "; frame " + p.tape(k.Setup.Camera.Frame) + " high"
	}
	if q.Reads()&constraints.OnDepth != 0 {
		text += "; " + label(s, k.Setup.Backdrop.Item) + " " + p.tape(k.Setup.Backdrop.Distance) + " behind"
	}
	return text
}

// onlyKit names the kit without which an end cannot be reached.
func onlyKit(e *solver.EndOf) string {
	var only []string
	for _, t := range e.Only {
		only = append(only, "the "+t.Label())
	}
	return list(only)
}

type jsonRange struct {
	Outcome  string         `json:"outcome"`
	Brief    string         `json:"brief"`
	Studio   string         `json:"studio"`
	Quantity string         `json:"quantity"`
	Unit     string         `json:"unit"`
	Low      *jsonEnd       `json:"low"`
	High     *jsonEnd       `json:"high"`
	By       string         `json:"by"`
	ByUnit   string         `json:"by_unit"`
	Points   []jsonAt       `json:"points"`
	Conflict []jsonConflict `json:"conflicts"`
	Open     string         `json:"open"`
}

type jsonEnd struct {
	Name     string         `json:"name"`
	Value    *number        `json:"value"`
	Beyond   *number        `json:"proved_out_of_reach"`
	Limit    *number        `json:"limit_of_the_brief"`
	Proved   bool           `json:"proved_to_the_next_step"`
	InTheWay []jsonQuote    `json:"in_the_way"`
	Only     []inventory.ID `json:"only_with"`
	Open     string         `json:"open"`
	Setup    jsonSetup      `json:"setup"`
}

type jsonAt struct {
	At      *number  `json:"at"`
	Outcome string   `json:"outcome"`
	Low     *jsonEnd `json:"low"`
	High    *jsonEnd `json:"high"`
}

// ReachJSON writes a range for programs.
func ReachJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, r *solver.Range) error {
	return WriteJSON(w, rangeJSON(s, b, r))
}

// CurveJSON writes a trade-off for programs.
func CurveJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, c *solver.Curve) error {
	out := rangeJSON(s, b, &c.Range)
	out.By, out.ByUnit = c.By.Name, string(c.By.Unit)
	for _, x := range c.Points {
		out.Points = append(out.Points, jsonAt{known(x.At), string(x.Outcome), endJSON(s, c.Quantity.Low.Name, x.Low), endJSON(s, c.Quantity.High.Name, x.High)})
	}
	return WriteJSON(w, out)
}

func rangeJSON(s *inventory.Studio, b *constraints.Brief, r *solver.Range) jsonRange {
	q := r.Quantity
	out := jsonRange{Outcome: string(r.Answer.Outcome), Brief: b.Name, Studio: s.Name, Quantity: q.Name, Unit: string(q.Unit),
		Low: endJSON(s, q.Low.Name, r.Low), High: endJSON(s, q.High.Name, r.High), Points: []jsonAt{}, Conflict: []jsonConflict{}}
	if r.Answer.Outcome == solver.Undecided {
		out.Open = r.Answer.Open
	}
	if c := r.Answer.Conflict; c != nil {
		out.Conflict = append(out.Conflict, conflictJSON(c))
	}
	return out
}

func endJSON(s *inventory.Studio, name string, e *solver.EndOf) *jsonEnd {
	if e == nil {
		return nil
	}
	out := &jsonEnd{Name: name, Value: known(e.Value), Beyond: known(e.Beyond), Limit: known(e.Limit), Proved: e.Proved, InTheWay: quotesJSON(e.InTheWay),
		Only: []inventory.ID{}, Open: e.Open, Setup: setupJSON(s, e.Setup)}
	for _, t := range e.Only {
		out.Only = append(out.Only, inventory.ItemOf(t).ID)
	}
	return out
}
