package report

import (
	"io"
	"strings"

	"falloff/solver/verify"
)

// Verified prints a proof that was checked: what it rests on, in words, and what of that was
// derived again.
func Verified(w io.Writer, p *verify.Proof, res verify.Result, st Style) error {
	page := newPage(st)
	page.para(0, 2, "The proof"+numbered(p)+" holds for "+quoted(p.Brief)+": these goals cannot all be met.")
	page.blank()
	for _, g := range p.Goals {
		page.para(2, 2, g.Text)
	}
	page.blank()
	page.para(0, 2, "It rests on "+plural(len(p.Rules), "rule")+" and on what fits what. Each was derived again:")
	for _, a := range res.Rules {
		page.para(2, 2, page.units(a.Text))
		page.para(4, 2, page.units(accountText(p, a)))
	}
	page.blank()
	page.para(0, 2, "Derived again from studio and brief: "+itoa(res.Derived())+" of "+plural(len(p.Rules), "rule")+takenText(p, res)+
		", and "+itoa(res.Facts)+" of "+plural(res.Facts+res.Loose, "clause")+" of what fits what. All "+
		plural(len(p.Clauses), "clause")+" together contradict each other.")
	return page.flush(w)
}

// numbered says which of several conflicts a proof is of.
func numbered(p *verify.Proof) string {
	if p.All == 1 {
		return ""
	}
	return " of conflict " + itoa(p.Number) + " of " + itoa(p.All)
}

// accountText says what was looked at to derive a rule again.
func accountText(p *verify.Proof, a *verify.Account) string {
	text := "Again: " + plural(a.Cases, "choice") + " of gear and settings."
	switch {
	case a.Taken:
		return "Taken as it is written: it comes to too many cases."
	case a.Cases == 0:
		text = "Again: " + plural(a.Clauses, "clause") + " of kit and room."
	case a.Boxes > 0:
		text += " The whole range of the lights was looked at in " + itoa(a.Boxes) + " steps: " + list(boxesText(p, a)) + "."
	}
	return strings.TrimSpace(text + " " + a.Because)
}

// boxesText says what became of the steps in which the range of lights was looked at.
func boxesText(p *verify.Proof, a *verify.Account) (out []string) {
	put := func(n int, what string) {
		if n > 0 {
			out = append(out, itoa(n)+nb+what)
		}
	}
	put(a.Outside, "do not fit the room")
	left := a.Boxes - a.Outside
	for i, n := range a.Fails {
		put(n, "fail "+quoted(p.Goals[i].Text))
		left -= n
	}
	if left == 0 {
		return append(out, "none is left")
	}
	put(left, "are left")
	return out
}

// takenText names the rules that were taken as the file has them.
func takenText(p *verify.Proof, res verify.Result) string {
	var kinds []string
	for _, a := range res.Rules {
		if a.Taken {
			kinds = append(kinds, p.KindOf(a.Line))
		}
	}
	if len(kinds) == 0 {
		return ""
	}
	return " (taken as written: " + strings.Join(kinds, ", ") + ")"
}
