package report

import (
	"io"
	"maps"
	"slices"

	"falloff/constraints"
	"falloff/solver/verify"
)

// Verified prints a proof that was checked: what it rests on, in words, and what of that was
// derived again.
func Verified(w io.Writer, b *constraints.Brief, p *verify.Proof, res verify.Result, st Style) error {
	page := newPage(st)
	page.para(0, 2, "The proof holds for "+quoted(b.Name)+": these goals cannot all be met.")
	page.blank()
	for _, g := range p.Goals {
		page.para(2, 2, g.Text)
	}
	page.blank()
	page.para(0, 2, "It rests on "+plural(len(p.Rules), "rule")+" and on what fits what:")
	for _, r := range p.Rules {
		page.para(2, 2, page.units(r.Text))
	}
	page.blank()
	facts := itoa(res.Facts) + " of " + plural(res.Facts+res.Loose, "clause") + " of what fits what"
	page.para(0, 2, "Derived again from studio and brief: "+itoa(res.Derived)+" of "+plural(len(p.Rules), "rule")+takenText(res)+", and "+facts+". "+
		"For that "+itoa(res.Boxes)+" boxes of places were judged anew.")
	page.para(0, 2, "All "+plural(len(p.Clauses), "clause")+" together contradict each other. The sentences are there to be read; what was checked is the clauses behind them.")
	return page.flush(w)
}

// takenText names the rules that were taken as the file has them.
func takenText(res verify.Result) string {
	text := ""
	for _, kind := range slices.Sorted(maps.Keys(res.Taken)) {
		text += ", " + itoa(res.Taken[kind]) + " of the kind " + quoted(kind) + " taken as written"
	}
	return text
}
