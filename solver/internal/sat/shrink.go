package sat

import "slices"

// Shrink returns a minimal part of the core that still cannot hold: without any one of
// its members, the rest can. Members are tried for removal in the given order, so those
// that are better left out of a conflict go first; those that stay keep their order. The
// answer is empty if the clauses alone contradict each other. A core that can hold is
// our own bug and panics.
func (p *Problem) Shrink(core []Lit) []Lit {
	if p.Solve(core...) != No {
		panic("sat: what can hold is not a conflict")
	}
	least, _ := p.ShrinkWith(core, nil)
	return least
}

// ShrinkWith is Shrink where each Yes of the clauses is put to check, which knows more
// than they do: Yes confirms it, No refutes it, Unknown leaves it open. A member is
// dropped only on a No. A member that stays because of an Unknown makes minimal false:
// the answer is still a conflict, but perhaps a larger one than need be.
//
// The caller vouches for the core. The check may add clauses and ask questions. It gets
// its own copy of the members that are kept. Without a check each Yes counts.
func (p *Problem) ShrinkWith(core []Lit, check func(keep []Lit) Outcome) (least []Lit, minimal bool) {
	least = distinct(core)
	if p.Solve(least...) == No {
		least = p.named(least)
	}
	doubts := make(map[Lit]bool)
	for i := 0; i < len(least); {
		m := least[i]
		keep := slices.Delete(slices.Clone(least), i, i+1)
		outcome := p.Solve(keep...)
		switch {
		case outcome == No:
			kept := len(p.named(least[:i]))
			least, i = p.named(keep), kept
			continue
		case outcome == Yes && check != nil:
			outcome = check(slices.Clone(keep))
		}
		switch outcome {
		case No:
			least = keep
		case Yes:
			i++
		default:
			doubts[m] = true
			i++
		}
	}
	minimal = !slices.ContainsFunc(least, func(m Lit) bool { return doubts[m] })
	return least, minimal
}

// named is the part of the members that the last No named, in their order.
func (p *Problem) named(members []Lit) []Lit {
	part := make([]Lit, 0, len(p.why))
	for _, m := range members {
		if slices.Contains(p.why, m) {
			part = append(part, m)
		}
	}
	return part
}

// distinct is the members without repeats and without True.
func distinct(members []Lit) []Lit {
	once := make([]Lit, 0, len(members))
	for _, m := range members {
		if m != True && !slices.Contains(once, m) {
			once = append(once, m)
		}
	}
	return once
}
