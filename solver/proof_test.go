package solver

import (
	"bytes"
	"strings"
	"testing"

	"falloff/solver/verify"
)

// Proofs of random briefs are checked by the program that shares nothing with the search.
// A proof without one of its rules proves nothing: each rule is needed.
func TestProofsAreChecked(t *testing.T) {
	t.Parallel()
	proofs, rules := 0, 0
	for n := range max(1, *manyBriefs/8) {
		d := newDice(11, *firstBrief+n)
		k, f := gearBrief(d)
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil {
			continue
		}
		o := refereeWork
		o.Proof = true
		a := planned(t, s, b, o)
		if a.Outcome != Cannot {
			continue
		}
		for _, c := range append([]*Conflict{a.Conflict}, a.Others...) {
			p, err := verify.Read(bytes.NewReader(c.Proof))
			if err != nil {
				t.Fatalf("brief %d: %v", *firstBrief+n, err)
			}
			var goals []string
			for _, g := range c.Goals {
				goals = append(goals, g.Text)
			}
			if _, err := p.Check(goals); err != nil {
				t.Errorf("brief %d: %v\n%s---\n%s", *firstBrief+n, err, k.text(), f.text())
			}
			proofs++
			for i := range p.Rules {
				less := *p
				less.Clauses = nil
				for _, clause := range p.Clauses {
					if len(clause) != 1 || clause[0] != p.Rules[i].Lit {
						less.Clauses = append(less.Clauses, clause)
					}
				}
				less.Assumed--
				rules++
				if _, err := less.Check(goals); err == nil || !strings.Contains(err.Error(), "prove nothing") {
					t.Errorf("brief %d: the proof does without %q: %v", *firstBrief+n, p.Rules[i].Text, err)
				}
			}
		}
	}
	t.Logf("%d proofs of %d rules", proofs, rules)
	if *manyBriefs >= 400 && proofs < 20 {
		t.Errorf("only %d proofs", proofs)
	}
}
