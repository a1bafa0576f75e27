package verify

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// A Result is what a check found.
type Result struct {
	Rules []*Account
	Facts int // clauses of what fits what that were derived again
	Loose int // and that were taken as they are written
}

// Derived is how many rules were derived again.
func (r Result) Derived() (n int) {
	for _, a := range r.Rules {
		if !a.Taken {
			n++
		}
	}
	return n
}

// Of reports an error unless a proof quotes the files that a studio and a brief were read from.
func (p *Proof) Of(s *inventory.Studio, b *constraints.Brief) error {
	if !quotes(p.Wishes, b.Place()) {
		return fmt.Errorf("the proof is of another brief, %q", p.Brief)
	}
	if !quotes(p.Studio, s.Place()) {
		return fmt.Errorf("the proof is of another studio")
	}
	return nil
}

func quotes(text string, at source.Place) bool {
	lines := func(s string) []string {
		return strings.Split(strings.TrimRight(strings.ReplaceAll(s, "\r\n", "\n"), "\n"), "\n")
	}
	return at.File != nil && slices.Equal(lines(text), lines(string(at.File.Text)))
}

// Check derives the rules of a proof again and refutes its clauses.
func (p *Proof) Check() (Result, error) {
	var res Result
	w, err := newWorld(p)
	if err != nil {
		return res, err
	}
	d, err := newDictionary(w, p)
	if err != nil {
		return res, err
	}
	v, err := newPlaces(w, p)
	if err != nil {
		return res, err
	}
	if p.Assumed > len(p.Clauses) {
		return res, fmt.Errorf("the proof assumes more than it holds")
	}
	rules := p.Clauses[:len(p.Clauses)-p.Assumed]
	for _, c := range p.Clauses[len(rules):] {
		if len(c.Lits) != 1 || !d.inForce[c.Lits[0]] {
			return res, fmt.Errorf("the proof puts something in force, %v, that it does not name", c.Lits)
		}
	}
	accounts := map[int]*Account{} // by literal
	for _, l := range p.Rules {
		accounts[l.Lit] = newAccount(l, len(p.Goals))
		res.Rules = append(res.Rules, accounts[l.Lit])
	}
	facts := newAccount(Line{}, len(p.Goals))
	for _, c := range rules {
		if d.defines(c.Lits) > 0 {
			continue // it says what a variable means
		}
		rule := p.ruleOf(c)
		v.account = cmp.Or(accounts[rule.Lit], facts)
		v.account.Clauses++
		err := p.derive(c, p.KindOf(rule), d, v)
		if _, many := errors.AsType[tooMany](err); many {
			v.account.Taken, err = true, nil
			if v.account == facts {
				res.Loose++
			}
		}
		switch {
		case err != nil && v.account == facts:
			return res, fmt.Errorf("the clause %v does not follow from the studio: %w", c.Lits, err)
		case err != nil:
			return res, fmt.Errorf("the rule %q does not follow from studio and brief: %w", rule.Text, err)
		}
	}
	for _, a := range res.Rules {
		a.close()
	}
	res.Facts = facts.Clauses - res.Loose
	if !p.Contradicts() {
		return res, fmt.Errorf("the rules do not contradict each other, so they prove nothing")
	}
	return res, nil
}

// Contradicts reports whether the clauses of a proof contradict each other, as they are written.
func (p *Proof) Contradicts() bool {
	refuted, _ := refute(p.Vars, p.literals())
	return refuted
}

func (p *Proof) literals() (out [][]int) {
	for _, c := range p.Clauses {
		out = append(out, c.Lits)
	}
	return out
}

// ruleOf is the rule that a clause belongs to; the zero Line for a fact of the kit.
func (p *Proof) ruleOf(c Clause) Line {
	for _, l := range p.Rules {
		if slices.Contains(c.Lits, -l.Lit) {
			return l
		}
	}
	return Line{}
}

// KindOf names the kind of a rule.
func (p *Proof) KindOf(rule Line) string {
	for _, k := range p.Kinds {
		if k.Lit == rule.Lit {
			return k.Text
		}
	}
	return ""
}

// derive shows that no set-up that meets the goals of a clause makes all its literals false.
func (p *Proof) derive(c Clause, kind string, d *dictionary, v *places) error {
	w := d.w
	boxes, err := d.against(c.Lits, 0)
	if err != nil {
		return err
	}
	var goals goalSet
	for i, l := range p.Goals {
		if slices.Contains(c.Lits, -l.Lit) {
			goals |= 1 << i
		}
	}
	switch what, _, _ := strings.Cut(kind, " "); what {
	case "load", "nowhere", "stand", "weak", "strong", "glow", "each", "together":
		return v.lemma(kind, c.By, boxes, goals)
	case "minutes":
		return w.tooLong(boxes, goals)
	case "colour":
		boxes = w.withKey(boxes)
	}
	holds := func(s *setup) bool {
		v.account.Cases++
		return !w.breaks(s, goals, v.account)
	}
	for _, b := range boxes {
		if err := w.empty(b, goals, holds); err != nil {
			return err
		}
	}
	return nil
}

// tooLong shows that all set-ups of some boxes take more minutes than a goal of a set allows.
func (w *world) tooLong(boxes []box, goals goalSet) error {
	for _, b := range boxes {
		minutes := w.bench.CameraMinutes()
		for _, r := range w.Roles {
			if r == inventory.Key || w.usedIn(b, r) == 1 {
				minutes += w.leastMinutes(b, r)
			}
		}
		rd := constraints.Unknown()
		rd.Minutes = unit.Interval{Lo: float64(minutes), Hi: math.Inf(1)}
		if !w.failing(&rd, goals, nil) {
			return fmt.Errorf("a set-up of %d minutes gets round it", minutes)
		}
	}
	return nil
}

// leastMinutes is the time that a light of a box takes at the least.
func (w *world) leastMinutes(b box, r inventory.Role) int {
	sh, least := w.shelf, math.MaxInt
	for _, m := range w.items(b, of(r, modifier)) {
		for _, g := range ends(w.items(b, of(r, grid))) {
			for _, f := range ends(w.items(b, of(r, gel))) {
				for _, k := range ends(w.items(b, of(r, boom))) {
					least = min(least, w.bench.LightMinutes(inventory.LightSet{Modifier: id(sh.Modifiers, m), Grid: id(sh.Grids, g),
						Gel: id(sh.Gels, f), Boom: id(sh.Booms, k)}))
				}
			}
		}
	}
	return least
}

// ends is the first and the last of a list: none, if it is there, and an item.
func ends(list []int) []int { return slices.Compact([]int{list[0], list[len(list)-1]}) }

// id names the item of an optional choice; 0 is none.
func id[T inventory.Thing](items []T, i int) inventory.ID {
	if i == 0 {
		return ""
	}
	return inventory.ItemOf(items[i-1]).ID
}

// empty shows that no set-up of a box is allowed and passes a test.
func (w *world) empty(b box, goals goalSet, passes func(*setup) bool) error {
	for _, more := range w.companies(b, goals) {
		wider, _ := w.any(more).and(b)
		if found, err := w.possible(wider, passes); err != nil || !found {
			return err
		}
	}
	return fmt.Errorf("a set-up gets round it")
}

// companies are lists of slots that may matter to a box beside those that it names: what must
// fit its items, and the settings that goals read. A clause says nothing of a setting of which
// any value will do.
func (w *world) companies(b box, goals goalSet) [][]slot {
	var gear, read []slot
	for s := range b {
		if s >= lights {
			r, _ := s.split()
			gear = append(gear, of(r, head), of(r, modifier))
		}
	}
	for i, g := range w.goals {
		reads := g.Req.Reads()
		if goals.has(i) && reads&constraints.OnAperture != 0 {
			read = append(read, aperture)
		}
		if goals.has(i) && reads&constraints.OnShutter != 0 {
			read = append(read, shutter)
		}
		if goals.has(i) && reads&constraints.OnISO != 0 {
			read = append(read, iso)
		}
	}
	return [][]slot{nil, gear, {camera, lens, frame}, {camera, shutter}, {camera, iso}, {lens, aperture}, read}
}

// any is the box that names slots and leaves them all their values.
func (w *world) any(named []slot) box {
	out := box{}
	for _, s := range named {
		out[s] = make(set, w.sizes[s])
		for i := range out[s] {
			out[s][i] = true
		}
	}
	return out
}

// withKey names the key's head, gel and kind of light in boxes too, for a colour is seen
// beside the key's.
func (w *world) withKey(boxes []box) (out []box) {
	key := []slot{of(inventory.Key, head), of(inventory.Key, gel), of(inventory.Key, flash)}
	for _, b := range boxes {
		joined, _ := w.any(key).and(b)
		out = append(out, joined)
	}
	return out
}
