package solver

import (
	"bytes"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/verify"
)

// Every rule of a proof is derived again by the program that shares nothing with the search,
// and each is needed: without any one of them a proof proves nothing. The briefs are random:
// some are about gear and camera, some about lights.
func TestProofsAreChecked(t *testing.T) {
	t.Parallel()
	proofs, rules, taken := 0, 0, map[string]int{}
	kinds := map[string]int{}
	for n := range max(1, *manyBriefs/4) {
		d := newDice(11, *firstBrief+n)
		var s *inventory.Studio
		var b *constraints.Brief
		var text string
		var err error
		if n%6 > 0 { // those about lights are dear
			k, f := gearBrief(d)
			s, text = k.studio(t), f.text()
			b, err = f.brief(s)
		} else {
			p := newPlant(t, d)
			if p == nil {
				continue
			}
			f := harder(d, p, &draft{p.sitter, p.goalLines(d, slackOf(d))})
			for d.chance(0.5) {
				f = harder(d, p, f)
			}
			s, text = p.bench.Studio, f.text()
			b, err = f.brief(s)
		}
		if err != nil {
			continue // the goals contradict each other as written
		}
		o := refereeWork
		o.Proof = true
		a := planned(t, s, b, o)
		if a.Outcome != Cannot {
			continue
		}
		for _, c := range append([]*Conflict{a.Conflict}, a.Others...) {
			if c.Proof == nil {
				continue // a limit was reached, or there are too many conflicts
			}
			p, err := verify.Read(bytes.NewReader(c.Proof))
			if err != nil {
				t.Fatalf("brief %d: %v", *firstBrief+n, err)
			}
			if err := p.Of(s, b); err != nil {
				t.Errorf("brief %d: %v", *firstBrief+n, err)
			}
			res, err := p.Check()
			if err != nil {
				t.Errorf("brief %d: %v\n%s---\n%s", *firstBrief+n, err, s.Place().File.Text, text)
			}
			for _, a := range res.Rules {
				what, _, _ := strings.Cut(p.KindOf(a.Line), " ")
				kinds[what]++
				if a.Taken {
					taken[what]++
				}
			}
			proofs++
			for _, rule := range p.Rules {
				less := *p
				less.Clauses = nil
				for _, clause := range p.Clauses {
					if len(clause.Lits) != 1 || clause.Lits[0] != rule.Lit {
						less.Clauses = append(less.Clauses, clause)
					}
				}
				less.Assumed--
				rules++
				if less.Contradicts() {
					t.Errorf("brief %d: the proof does without %q", *firstBrief+n, rule.Text)
				}
			}
		}
	}
	t.Logf("%d proofs of %d rules, %v; taken as written: %v", proofs, rules, kinds, taken)
	if *manyBriefs >= 400 && proofs < 20 {
		t.Errorf("only %d proofs", proofs)
	}
}

// What was refuted place by place is derived again too.
func TestPlacesOneByOneAreDerivedAgain(t *testing.T) {
	t.Parallel()
	const n = 1497 // one that needs it
	_, _, bench, _ := smallBrief(t, newDice(12, n), sortOf(n))
	o := smallWork
	o.Proof, o.verdict = true, false
	a := planned(t, bench.Studio, bench.Brief, o)
	if a.Outcome != Cannot || a.Conflict.Proof == nil {
		t.Fatalf("%s: %s", a.Outcome, a.Open)
	}
	p, err := verify.Read(bytes.NewReader(a.Conflict.Proof))
	if err != nil {
		t.Fatal(err)
	}
	res, err := p.Check()
	if err != nil {
		t.Fatal(err)
	}
	each := 0
	for _, a := range res.Rules {
		if strings.HasPrefix(p.KindOf(a.Line), "each ") && !a.Taken {
			each++
		}
	}
	if each == 0 {
		t.Error("no rule of the proof goes through places one by one")
	}
}
