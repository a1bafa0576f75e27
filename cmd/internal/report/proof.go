package report

import (
	"io"

	"falloff/constraints"
	"falloff/solver/verify"
)

// Verified prints a proof that was checked: what it rests on, in words.
func Verified(w io.Writer, b *constraints.Brief, p *verify.Proof, met int, st Style) error {
	page := newPage(st)
	page.para(0, 2, "The proof holds for "+quoted(b.Name)+": these goals cannot all be met, if the rules below are true.")
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
	page.para(0, 2, "Checked by itself, from "+plural(len(p.Clauses), "clause")+", over "+plural(met, "contradiction")+
		". The rules are taken as the file has them: the search derived them from bounds, and that was not done again here.")
	return page.flush(w)
}
