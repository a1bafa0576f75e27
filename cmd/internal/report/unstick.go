package report

import (
	"io"
	"math"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Unstick prints the ladder: what to try next, the quickest first.
func Unstick(w io.Writer, s *inventory.Studio, b *constraints.Brief, l *solver.Ladder, st Style) error {
	p := newPage(st)
	p.names(s)
	p.para(0, 2, "From "+quoted(title(l.Now))+": "+summary(s, l.Now)+".")
	p.para(0, 2, standsNow(l.Now)+missingText(l))
	if len(l.Rungs) > 0 {
		p.blank()
		p.para(0, 0, "Keep the sitter busy: show a good frame, change the pose, then try these, the quickest first.")
	}
	for i, r := range l.Rungs {
		p.rung(itoa(i+1)+". ", s, capital(list(r.Changes)), r)
	}
	if r := l.Fallback; r != nil && len(r.Acts) == 0 {
		p.blank()
		p.para(0, 2, "Fall back: stay as you are. This is the safe look: one soft light and both eyes sharp.")
	} else if r != nil {
		p.rung("Fall back: ", s, "one soft light and both eyes sharp", r)
	} else {
		p.blank()
		p.para(0, 2, "Fall back: none was found. No soft modifier on the key's head gives one soft light with both eyes sharp from here.")
	}
	p.blank()
	p.para(0, 2, ladderFooting(l))
	p.cautions(l.Now.Cautions)
	return p.flush(w)
}

// Walk prints rungs as a sequence, each look from the one before.
func Walk(w io.Writer, s *inventory.Studio, l *solver.Ladder, legs []solver.Leg, st Style) error {
	p := newPage(st)
	p.names(s)
	p.para(0, 2, "From "+quoted(title(l.Now))+": "+summary(s, l.Now)+".")
	if len(legs) == 0 {
		p.para(0, 2, "No look is near enough.")
	} else {
		total := solver.Time{}
		for _, leg := range legs {
			total.Alone, total.Assisted = total.Alone+leg.Time.Alone, total.Assisted+leg.Time.Assisted
		}
		p.para(0, 2, plural(len(legs), "look")+" in a row, each from the one before; "+takes(total)+" of changes in all.")
	}
	for i, leg := range legs {
		r := *leg.Rung
		r.Acts, r.Time = leg.Acts, leg.Time
		p.rung(itoa(i+1)+". ", s, capital(list(r.Changes)), &r)
	}
	p.blank()
	p.para(0, 2, `No order of these looks takes less time. "seen" and "goals" compare with the set as it stood at first.`)
	return p.flush(w)
}

func standsNow(c *solver.Checked) string {
	if c.Holds() {
		return "It holds: every must of the brief and every limit of room and kit is met."
	}
	return "As it stands: " + lowerFirst(failures(c))
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// missingText names what does not hold and that no rung brings.
func missingText(l *solver.Ladder) string {
	if len(l.Missing) == 0 {
		return ""
	}
	return " Nothing below meets " + list(goalNames(l.Missing)) + `: "falloff why" says whether this kit can.`
}

func ladderFooting(l *solver.Ladder) string {
	text := "Every line is the quickest way to its change, or at most 15" + nb + "s slower where that loses fewer goals, of all that was computed: every single move from here, each exposed again where it needs that"
	if l.Mixed > 0 {
		text += ", and " + plural(l.Mixed, "move") + " of several things at once, gone through from the quickest on (the key's modifier and distance with the backdrop and its light, the gels together, the set mirrored with another modifier, the key somewhere else with the face turned, lights off and another backdrop)"
	}
	text += "; " + plural(l.Looked, "set-up") + " in all."
	if l.Over > 0 {
		text += " " + plural(l.Over, "change") + " would take longer than was asked for."
	}
	if l.Repeats > 0 {
		text += " " + plural(l.Repeats, "change") + " led only to looks that were tried."
	}
	return text
}

// rung prints one thing to try: what it does, how long it takes, and each act in order.
func (p *page) rung(mark string, s *inventory.Studio, what string, r *solver.Rung) {
	p.blank()
	p.para(0, len(mark), mark+p.units(what)+"; "+takes(r.Time))
	var does, dials []string
	for _, a := range r.Acts {
		if a.Dial {
			dials = append(dials, a.Text)
		} else {
			does = append(does, a.Text)
		}
	}
	if len(does) == 0 {
		does, dials = dials, nil
	}
	p.entry("do", p.units(stopped(capital(strings.Join(does, "; ")))))
	p.entry("then", p.units(stopped(capital(strings.Join(dials, "; ")))))
	p.entry("seen", p.units(shiftText(r.Shifts)))
	p.entry("goals", goalChanges(r))
}

// takes is a time as people say it: in half minutes below ten.
func takes(t solver.Time) string {
	alone, two := shortTime(float64(t.Alone)), shortTime(float64(t.Assisted))
	if alone == two {
		return alone
	}
	return alone + " alone, " + two + " with an assistant"
}

func shortTime(m float64) string {
	switch {
	case m < 0.75:
		return itoa(int(math.Ceil(m*12-1e-9))*5) + nb + "s"
	case m < 10:
		return strings.TrimSuffix(oneDecimal(math.Ceil(m*2-1e-9)/2), ".0") + nb + "min"
	}
	return minutes(m)
}

// shiftText says what changes in the picture, in numbers.
func shiftText(all []solver.Shift) string {
	var out []string
	for _, x := range all {
		if math.IsNaN(x.From) {
			was := x.Was
			if was == "" {
				was = "none by name"
			}
			out = append(out, x.What+" "+x.Is+" (was "+was+")")
			continue
		}
		out = append(out, x.What+" "+shown(x.From, x.Unit)+" to "+shown(x.To, x.Unit))
	}
	if len(out) == 0 {
		return ""
	}
	return stopped(capital(strings.Join(out, ", ")))
}

// shown is a number of the picture. Ratios beyond which no more is seen have no figure.
func shown(x float64, u constraints.Unit) string {
	if u == constraints.InRatio && x >= math.Exp2(solver.BlackSide) {
		return "16:1 or more"
	}
	return constraints.Show(x, u)
}

func goalChanges(r *solver.Rung) string {
	var out []string
	if len(r.Lost) > 0 {
		out = append(out, "lost: "+list(goalNames(r.Lost)))
	}
	if len(r.Gained) > 0 {
		out = append(out, "gained: "+list(goalNames(r.Gained)))
	}
	switch {
	case len(out) > 0:
		return strings.Join(out, "; ") + "; the other " + itoa(r.Kept) + " kept"
	case r.Kept > 0:
		return "all " + itoa(r.Kept) + " kept"
	}
	return ""
}

type jsonLadder struct {
	Outcome  string      `json:"outcome"`
	Brief    string      `json:"brief"`
	Studio   string      `json:"studio"`
	Now      jsonSetup   `json:"now"`
	Rungs    []jsonRung  `json:"rungs"`
	Fallback *jsonRung   `json:"fallback"`
	Walk     []jsonRung  `json:"walk"`
	Looked   int         `json:"setups_computed"`
	Mixed    int         `json:"moves_of_several_things"`
	Missing  []jsonQuote `json:"goals_that_nothing_here_meets"`
	Over     int         `json:"changes_that_take_longer"`
	Repeats  int         `json:"changes_that_were_tried"`
}

type jsonRung struct {
	Changes  []string    `json:"changes"`
	Alone    *number     `json:"minutes_alone"`
	Assisted *number     `json:"minutes_assisted"`
	Acts     []jsonAct   `json:"acts"`
	Shifts   []jsonShift `json:"shifts"`
	Kept     int         `json:"goals_kept"`
	Gained   []jsonQuote `json:"goals_gained"`
	Lost     []jsonQuote `json:"goals_lost"`
	Turn     *number     `json:"face_turned_deg"`
	Setup    jsonSetup   `json:"setup"`
}

type jsonAct struct {
	Text string `json:"text"`
	Dial bool   `json:"keeps_exposure"`
}

type jsonShift struct {
	What string  `json:"what"`
	Unit string  `json:"unit"`
	From *number `json:"from"`
	To   *number `json:"to"`
	Was  string  `json:"was"`
	Is   string  `json:"is"`
}

// UnstickJSON writes a ladder, and a walk where one was asked for, for programs.
func UnstickJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, l *solver.Ladder, legs []solver.Leg) error {
	out := jsonLadder{Outcome: string(solver.Found), Brief: b.Name, Studio: s.Name, Now: setupJSON(s, l.Now),
		Rungs: []jsonRung{}, Walk: []jsonRung{}, Looked: l.Looked, Mixed: l.Mixed, Missing: quotesJSON(l.Missing), Over: l.Over, Repeats: l.Repeats}
	for _, r := range l.Rungs {
		out.Rungs = append(out.Rungs, rungJSON(s, r))
	}
	if l.Fallback != nil {
		f := rungJSON(s, l.Fallback)
		out.Fallback = &f
	}
	for _, leg := range legs {
		r := *leg.Rung
		r.Acts, r.Time = leg.Acts, leg.Time
		out.Walk = append(out.Walk, rungJSON(s, &r))
	}
	return WriteJSON(w, out)
}

func rungJSON(s *inventory.Studio, r *solver.Rung) jsonRung {
	out := jsonRung{Changes: some(r.Changes), Alone: known(float64(r.Time.Alone)), Assisted: known(float64(r.Time.Assisted)),
		Acts: []jsonAct{}, Shifts: []jsonShift{}, Kept: r.Kept, Gained: quotesJSON(r.Gained), Lost: quotesJSON(r.Lost),
		Turn: known(r.To.Turn.Degrees()), Setup: setupJSON(s, r.After)}
	for _, a := range r.Acts {
		out.Acts = append(out.Acts, jsonAct{a.Text, a.Dial})
	}
	for _, x := range r.Shifts {
		out.Shifts = append(out.Shifts, jsonShift{x.What, string(x.Unit), known(x.From), known(x.To), x.Was, x.Is})
	}
	return out
}
