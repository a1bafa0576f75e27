package constraints

import (
	"fmt"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/unit"
)

// A Want is one quantity that a goal confines, whatever the kit. Two goals that confine
// one quantity to ranges that do not meet collide as written.
type Want struct {
	Quantity string
	Range    unit.Interval
	Text     string // what is wanted, as in "a frame 50..75 cm high"
}

// A Wanter is a requirement that can say what it wants as quantities. The bench may lack
// a studio.
type Wanter interface {
	Wants(b *Bench) []Want
}

// Collision is two or more goals that cannot all hold, as can be seen without a search.
type Collision struct {
	Goals    []*Goal // in the brief's order; their places and texts are what to quote
	Sentence string
}

// Collisions finds goals that collide as written. Wishes are left out: a wish may be
// missed. It is sound and quick, and leaves what needs kit or geometry to the search.
func Collisions(b *Brief) []Collision {
	bench := &Bench{Studio: b.bound, Brief: b}
	musts := make([]*Goal, 0, len(b.Goals))
	wants := make([][]Want, 0, len(b.Goals))
	for _, g := range b.Goals {
		if g.Wish > 0 {
			continue
		}
		musts = append(musts, g)
		var w []Want
		if wanter, ok := g.Req.(Wanter); ok {
			w = wanter.Wants(bench)
		}
		wants = append(wants, w)
	}
	var out []Collision
	for i := range musts {
		for j := range i {
			if x, y, ok := clash(wants[j], wants[i]); ok {
				out = append(out, Collision{[]*Goal{musts[j], musts[i]},
					fmt.Sprintf("One goal wants %s and the other %s; no picture has both.", x.Text, y.Text)})
			}
		}
	}
	return append(out, crowded(bench, musts, wants)...)
}

// clash finds a quantity that two goals confine to ranges that do not meet.
func clash(a, b []Want) (x, y Want, ok bool) {
	for _, x := range a {
		for _, y := range b {
			if x.Quantity == y.Quantity && !x.Range.Meets(y.Range) {
				return x, y, true
			}
		}
	}
	return Want{}, Want{}, false
}

// crowded finds limits on the number of lights that the goals' own lights exceed.
func crowded(b *Bench, musts []*Goal, wants [][]Want) []Collision {
	needed := map[inventory.Role]*Goal{} // the first goal that needs the light
	for _, g := range musts {
		if c, ok := g.Req.(Carded); ok && c.ByCard() && b.Studio != nil && len(b.Studio.Cards) > 0 {
			continue // a card may do
		}
		need, _ := g.Req.Roles()
		for _, r := range need {
			if needed[r] == nil {
				needed[r] = g
			}
		}
	}
	var names []string
	for r := range allRoles() {
		if needed[r] != nil {
			names = append(names, r.String())
		}
	}
	var out []Collision
	for i, g := range musts {
		for _, w := range wants[i] {
			if w.Quantity != lightsUsed || w.Range.Hi >= float64(len(names)) {
				continue
			}
			goals := []*Goal{g}
			for r := range allRoles() {
				if n := needed[r]; n != nil && !slices.Contains(goals, n) {
					goals = append(goals, n)
				}
			}
			order := func(a, b *Goal) int { return slices.Index(musts, a) - slices.Index(musts, b) }
			slices.SortFunc(goals, order)
			out = append(out, Collision{goals, fmt.Sprintf("The goals need %d lights, %s, and at most %s may be used.",
				len(names), strings.Join(names, ", "), Show(w.Range.Hi, InCount))})
		}
	}
	return out
}

// Verdict is how a reading meets one goal.
type Verdict struct {
	Goal    *Goal
	Parts   []Part
	Holds   bool // every part holds
	Refuted bool // some part fails whatever member of the box is chosen
}

// Worst is the part with the least margin, in the parts' own units of what is called
// fragile; a failing part comes before all others. nil if there are no parts.
func (v *Verdict) Worst() *Part {
	var worst *Part
	for i := range v.Parts {
		p := &v.Parts[i]
		switch {
		case worst == nil || p.Fails() && !worst.Fails():
			worst = p
		case p.Fails() == worst.Fails() && p.Room() < worst.Room():
			worst = p
		}
	}
	return worst
}

// Judge reads every goal against a reading of a set-up or a box. Goals about gear alone
// have no parts, and hold here; see Broken.
func Judge(goals []*Goal, r *Reading) []Verdict {
	out := make([]Verdict, len(goals))
	for i, g := range goals {
		v := Verdict{Goal: g, Parts: g.Req.Judge(r, nil), Holds: true}
		for _, p := range v.Parts {
			v.Holds = v.Holds && p.Holds()
			v.Refuted = v.Refuted || p.Fails()
		}
		out[i] = v
	}
	return out
}

// Picks lists what a set-up fills its slots with.
func Picks(s *inventory.Setup) []Pick {
	picks := []Pick{{CameraSlot, s.Camera.Body}, {LensSlot, s.Camera.Lens}, {BackdropSlot, s.Backdrop.Item}}
	for _, l := range s.Lights {
		role, ok := inventory.RoleByName(l.Role)
		if !ok {
			continue
		}
		picks = append(picks, Pick{RoleSlot(role, ""), On}, Pick{RoleSlot(role, "light"), inventory.ID(l.Light)})
		for part, item := range map[string]inventory.ID{"head": l.Head, "modifier": l.Modifier, "grid": l.Grid,
			"gel": l.Gel, "stand": l.Stand, "boom": l.Boom} {
			if item != "" {
				picks = append(picks, Pick{RoleSlot(role, part), item})
			}
		}
	}
	slices.SortFunc(picks, func(a, b Pick) int { return strings.Compare(string(a.Slot), string(b.Slot)) })
	return picks
}

// Broken lists the goal's rules that the picks break, for a set-up that is complete.
func Broken(g *Goal, b *Bench, picks []Pick) []Rule {
	var out []Rule
	has := func(p Pick) bool { return slices.Contains(picks, p) }
	for rule := range g.Req.Rules(b) {
		if !slices.ContainsFunc(rule.If, func(p Pick) bool { return !has(p) }) && !slices.ContainsFunc(rule.Need, has) {
			out = append(out, rule)
		}
	}
	return out
}
