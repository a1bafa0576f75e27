package sat

import (
	"iter"
	"slices"
)

// A Kind says what a Set of selectors is.
type Kind int

const (
	// Conflict: the members cannot all hold.
	Conflict Kind = iota + 1
	// Release: without the members, all other selectors hold together. The release
	// without members says that all selectors hold together.
	Release
	// Doubt: whether the members can all hold was left open.
	Doubt
	// Stopped: the limit was reached. The set is empty, and there may be more to find.
	Stopped
)

// A Set is a part of the selectors, in their order.
type Set struct {
	Members []Lit
	Minimal bool // proved: no proper part of a Conflict or Release is one too
}

// Conflicts enumerates the minimal conflicts and the minimal releases of the selectors,
// each once, as they are found. They are duals: each conflict shares a member with each
// release. It is MARCO (Liffiton, Previti, Malik and Marques-Silva, "Fast, flexible MUS
// enumeration", Constraints 21, 2016): a second problem keeps the map of what is still
// unexplored, and each round takes a largest set from it, earlier selectors first.
//
// Each Yes of the clauses is put to check as in ShrinkWith; a nil check agrees. A limit
// above 0 bounds the rounds. The enumeration is complete if it ends without Doubt and
// Stopped and each set was Minimal. Clauses that are added on the way must follow from
// what the problem stands for; they must not change it.
func (p *Problem) Conflicts(sel []Lit, limit int, check func(keep []Lit) Outcome) iter.Seq2[Set, Kind] {
	return func(yield func(Set, Kind) bool) {
		s := newSurvey(p, sel, check)
		for round := 0; ; round++ {
			seed, found := s.largest()
			if !found {
				return
			}
			if limit > 0 && round == limit {
				yield(Set{}, Stopped)
				return
			}
			if !yield(s.explore(seed)) {
				return
			}
		}
	}
}

// A survey is one enumeration under way.
type survey struct {
	p        *Problem
	sel      []Lit
	check    func(keep []Lit) Outcome
	chart    *Problem    // its models are the unexplored sets
	in       []Lit       // by selector: the literal of the chart that it is in the set
	place    map[Lit]int // by selector
	held     [][]bool    // sets that were confirmed to hold
	doubtful [][]bool    // sets that were left open
}

func newSurvey(p *Problem, sel []Lit, check func([]Lit) Outcome) *survey {
	s := &survey{p: p, sel: distinct(sel), check: check, place: make(map[Lit]int)}
	s.chart = New(len(s.sel))
	for i, m := range s.sel {
		s.in = append(s.in, s.chart.Var())
		s.place[m] = i
	}
	return s
}

// largest is an unexplored set to which no selector can be added: the first one in the
// order that ranks sets by their earliest selectors.
func (s *survey) largest() (seed []Lit, found bool) {
	if s.chart.Solve() != Yes {
		return nil, false
	}
	var taken []Lit
	for i, m := range s.in {
		if s.chart.Solve(append(taken, m)...) == Yes {
			taken = append(taken, m)
			seed = append(seed, s.sel[i])
		}
	}
	return seed, true
}

// explore decides a largest unexplored set, and strikes from the chart all that follows.
func (s *survey) explore(seed []Lit) (Set, Kind) {
	outcome := s.p.Solve(seed...)
	if outcome == Yes {
		outcome = s.confirm(seed)
	}
	switch outcome {
	case No:
		least, minimal := s.p.ShrinkWith(seed, s.confirm)
		s.strikeSupersets(least)
		return Set{least, minimal}, Conflict
	case Yes:
		rest := s.others(seed)
		s.strikeSubsets(rest)
		return Set{rest, !s.doubtAbove(seed)}, Release
	}
	s.strikeOnly(seed)
	return Set{slices.Clone(seed), false}, Doubt
}

// confirm puts a set to the check, unless the answer follows from an earlier one.
func (s *survey) confirm(keep []Lit) Outcome {
	set := s.mask(keep)
	for _, held := range s.held {
		if within(set, held) {
			return Yes
		}
	}
	for _, open := range s.doubtful {
		if slices.Equal(set, open) {
			return Unknown
		}
	}
	outcome := Yes
	if s.check != nil {
		outcome = s.check(slices.Clone(keep))
	}
	switch outcome {
	case Yes:
		s.held = append(s.held, set)
	case Unknown:
		s.doubtful = append(s.doubtful, set)
	}
	return outcome
}

// doubtAbove reports whether a set larger than seed was left open, so that a smaller
// release may exist.
func (s *survey) doubtAbove(seed []Lit) bool {
	set := s.mask(seed)
	return slices.ContainsFunc(s.doubtful, func(open []bool) bool {
		return within(set, open) && !slices.Equal(set, open)
	})
}

func (s *survey) strikeSupersets(conflict []Lit) {
	clause := make([]Lit, 0, len(conflict))
	for _, m := range conflict {
		clause = append(clause, s.in[s.place[m]].Not())
	}
	s.chart.Add(clause...)
}

func (s *survey) strikeSubsets(release []Lit) {
	clause := make([]Lit, 0, len(release))
	for _, m := range release {
		clause = append(clause, s.in[s.place[m]])
	}
	s.chart.Add(clause...)
}

func (s *survey) strikeOnly(seed []Lit) {
	clause := make([]Lit, 0, len(s.in))
	for i, inside := range s.mask(seed) {
		if inside {
			clause = append(clause, s.in[i].Not())
		} else {
			clause = append(clause, s.in[i])
		}
	}
	s.chart.Add(clause...)
}

// others are the selectors outside the set.
func (s *survey) others(set []Lit) []Lit {
	var rest []Lit
	for i, inside := range s.mask(set) {
		if !inside {
			rest = append(rest, s.sel[i])
		}
	}
	return rest
}

func (s *survey) mask(set []Lit) []bool {
	mask := make([]bool, len(s.sel))
	for _, m := range set {
		mask[s.place[m]] = true
	}
	return mask
}

// within reports whether each member of a is in b.
func within(a, b []bool) bool {
	for i, inside := range a {
		if inside && !b[i] {
			return false
		}
	}
	return true
}
