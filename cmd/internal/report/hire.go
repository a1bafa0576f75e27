package report

import (
	"io"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Hire prints what the own kit can do, what helps without money, and what to hire.
func Hire(w io.Writer, s, list *inventory.Studio, b *constraints.Brief, h *solver.Hiring, st Style) error {
	p := newPage(st)
	p.names(h.Joint)
	p.ownKit(s, b, h)
	if len(h.Free) > 0 {
		p.heading("Before money")
		for _, f := range h.Free {
			p.para(blockIndent, 2, "- "+p.units(f.Text)+"; costs "+f.Cost+"; then "+p.units(f.Leads))
		}
	}
	for i, o := range h.Offers {
		p.offer(i+1, list, h, o)
	}
	switch {
	case h.Outcome == solver.Undecided:
		p.blank()
		p.para(0, 2, "Undecided: a limit was reached before an addition from "+quoted(list.Name)+" was found, and nothing was proved. Open: "+stopped(p.units(h.Open)))
	case h.Outcome == solver.Cannot:
		p.blank()
		p.para(0, 2, "Proved: nothing on the list "+quoted(list.Name)+" makes it possible, whatever is spent.")
	}
	return p.flush(w)
}

// ownKit says how far one gets without the list.
func (p *page) ownKit(s *inventory.Studio, b *constraints.Brief, h *solver.Hiring) {
	name := quoted(b.Name)
	switch a := h.Own; {
	case a.Outcome == solver.Undecided:
		p.para(0, 2, "Whether "+name+" can be done with the kit of "+quoted(s.Name)+" alone is open: "+stopped(p.units(a.Open)))
	case a.Outcome == solver.Cannot:
		p.para(0, 2, name+" cannot be done with the kit of "+quoted(s.Name)+" alone: "+collide(a.Conflict)+"."+argued(h))
	case a.Setups[0].Cost.Missed == 0:
		p.para(0, 2, "Nothing needs to be hired: "+name+" can be done with the kit of "+quoted(s.Name)+", with every wish met.")
		p.para(blockIndent, 2, summary(s, a.Setups[0]))
	case len(h.Offers) == 0:
		p.para(0, 2, name+" can be done with the kit of "+quoted(s.Name)+", but for the wishes "+list(missedWishes(a.Setups[0]))+". Nothing on the list was found to help with those.")
	default:
		p.para(0, 2, name+" can be done with the kit of "+quoted(s.Name)+", but for the wishes "+list(missedWishes(a.Setups[0]))+".")
	}
}

// collide says which goals stand in each other's way: "rim and low-key cannot both hold".
func collide(c *solver.Conflict) string {
	if c.KitAlone {
		return "kit and room fail by themselves"
	}
	names := goalNames(c.Goals)
	switch len(names) {
	case 1:
		return names[0] + " cannot be met"
	case 2:
		return list(names) + " cannot both hold"
	}
	return list(names) + " cannot all hold"
}

// argued says where the argument is: kit that is not there needs none.
func argued(h *solver.Hiring) string {
	if h.Lacks {
		return ""
	}
	return ` "falloff why" gives the argument.`
}

// goalNames lists the names of goals, each once.
func goalNames(goals []*constraints.Goal) (names []string) {
	for _, g := range goals {
		if !slices.Contains(names, g.Name()) {
			names = append(names, g.Name())
		}
	}
	return names
}

func missedWishes(c *solver.Checked) (names []string) {
	for _, g := range c.Goals {
		if g.Goal.Wish > 0 && !g.Holds {
			names = append(names, g.Goal.Name())
		}
	}
	return names
}

func (p *page) offer(n int, from *inventory.Studio, h *solver.Hiring, o *solver.Offer) {
	p.blank()
	verb := "bring"
	if o.Price > 0 {
		verb = "hire"
	}
	p.para(0, 3, itoa(n)+". "+capital(verb)+" from "+quoted(from.Name)+totalPrice(o))
	for _, x := range o.Items {
		text := pieces(x.Pieces, label(h.Joint, x.ID)) + dayRate(x)
		if len(x.Unlocks) > 0 {
			text += "; without it " + collide(&solver.Conflict{Goals: x.Unlocks})
		}
		p.entry(verb, text)
	}
	p.entry("then", summary(h.Joint, o.Setup)+"; "+plural(o.Setup.Cost.Lights, "light")+", "+minutes(float64(o.Setup.Cost.Minutes)))
	if missed := missedWishes(o.Setup); len(missed) > 0 {
		p.entry("missed", "the wishes "+list(missed))
	}
	switch {
	case !o.Proved:
		p.entry("open", stopped(p.units(o.Open)))
	case o.Price > 0:
		p.entry("proved", "nothing on the list does this for less, nor for the same with fewer pieces")
	default:
		p.entry("proved", "nothing on the list does this with fewer pieces")
	}
}

func totalPrice(o *solver.Offer) string {
	if o.Price == 0 {
		return ", at no rate"
	}
	return ", " + o.Price.String() + " a day"
}

func dayRate(x solver.Hired) string {
	switch {
	case x.Rate == 0:
		return ""
	case x.Pieces > 1:
		return ", " + x.Rate.String() + " a day each"
	}
	return ", " + x.Rate.String() + " a day"
}

// pieces is "medium stand" or "2 x medium stand".
func pieces(n int, label string) string {
	if n == 1 {
		return label
	}
	return itoa(n) + nb + "x " + label
}

type jsonHiring struct {
	Outcome   string         `json:"outcome"`
	Brief     string         `json:"brief"`
	Studio    string         `json:"studio"`
	List      string         `json:"list"`
	Own       string         `json:"own_kit"` // found, cannot or undecided
	Conflicts []jsonConflict `json:"own_kit_conflicts"`
	Free      []jsonRelease  `json:"free_fixes"`
	Offers    []jsonOffer    `json:"offers"`
	Open      string         `json:"open"`
}

type jsonOffer struct {
	Price  *number     `json:"price_per_day"`
	Items  []jsonHired `json:"items"`
	Missed int         `json:"missed_wish_weight"`
	Proved bool        `json:"proved_cheapest"`
	Open   string      `json:"open"`
	Setup  jsonSetup   `json:"setup"`
}

type jsonHired struct {
	Item    inventory.ID `json:"item"`
	Pieces  int          `json:"pieces"`
	Rate    *number      `json:"rate_per_day"`
	Unlocks []jsonQuote  `json:"unlocks"`
}

// HireJSON writes the same for programs.
func HireJSON(w io.Writer, s, list *inventory.Studio, b *constraints.Brief, h *solver.Hiring) error {
	out := jsonHiring{Outcome: string(h.Outcome), Brief: b.Name, Studio: s.Name, List: list.Name, Own: string(h.Own.Outcome),
		Conflicts: []jsonConflict{}, Free: []jsonRelease{}, Offers: []jsonOffer{}, Open: h.Open}
	if c := h.Own.Conflict; c != nil {
		out.Conflicts = append(out.Conflicts, conflictJSON(c))
	}
	for _, f := range h.Free {
		out.Free = append(out.Free, jsonRelease{Change: f.Text, LeftOut: []jsonQuote{}, Moves: []jsonMove{}, Cost: f.Cost, Leads: f.Leads, Minutes: f.Minutes})
	}
	for _, o := range h.Offers {
		offer := jsonOffer{known(float64(o.Price)), []jsonHired{}, o.Missed, o.Proved, o.Open, setupJSON(h.Joint, o.Setup)}
		for _, x := range o.Items {
			offer.Items = append(offer.Items, jsonHired{x.ID, x.Pieces, known(float64(x.Rate)), quotesJSON(x.Unlocks)})
		}
		out.Offers = append(out.Offers, offer)
	}
	return WriteJSON(w, out)
}
