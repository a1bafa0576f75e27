package solver

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// doubt carries the uncertainty of kit, room and sitter to every number of every goal, and
// says what to do about it.
func (c *Checked) doubt(b *constraints.Bench, sc *constraints.Scene) {
	goals := make([]*constraints.Goal, len(c.Goals))
	for i := range c.Goals {
		goals[i] = c.Goals[i].Goal
	}
	c.MeterFirst, c.Unsure = nil, nil
	c.Doubts = b.DoubtsOf(c.Setup, sc, goals)
	for i := range c.Goals {
		g := &c.Goals[i]
		for j := range g.Parts {
			g.Parts[j].Doubt = c.Doubts.Goals[i][j].Total
		}
		c.stand(g, c.Doubts.Goals[i])
	}
	c.meterFirst()
	c.unsure()
}

// stand finds how sure it is that a goal holds: as sure as the least sure of its parts.
func (c *Checked) stand(g *GoalResult, doubts []constraints.PartDoubt) {
	g.Standing, g.Meter, g.Within = constraints.Fails, nil, 0
	if !g.Holds {
		return
	}
	g.Standing = constraints.Holds
	for j, p := range g.Parts {
		s, within := c.Doubts.Standing(p, doubts[j])
		if s == constraints.IfMeter {
			within = unit.Stops(math.Floor(float64(within)*10+1e-9) / 10) // what a meter shows
			if g.Within == 0 || within < g.Within {
				g.Within = within
			}
			for _, r := range c.Doubts.Lights(doubts[j]) {
				if !slices.Contains(g.Meter, r) {
					g.Meter = append(g.Meter, r)
				}
			}
		}
		g.Standing = min(g.Standing, s)
	}
	if g.Standing == constraints.Unsure { // however its lights are metered: it must not read as if that were enough
		g.Meter, g.Within = nil, 0
	}
	slices.Sort(g.Meter)
}

// meterFirst says which lights to meter, the one that needs it most first.
func (c *Checked) meterFirst() {
	type need struct {
		light  *LightReport
		role   inventory.Role
		within unit.Stops
		goals  []string
	}
	var needs []need
	for i := range c.Lights {
		l := &c.Lights[i]
		role, _ := inventory.RoleByName(l.Set.Role)
		n := need{light: l, role: role, within: unit.Stops(math.Inf(1))}
		for _, g := range c.Goals {
			if slices.Contains(g.Meter, role) {
				n.goals = append(n.goals, g.Goal.Name())
				n.within = min(n.within, g.Within)
			}
		}
		if len(n.goals) > 0 {
			needs = append(needs, n)
		}
	}
	slices.SortStableFunc(needs, func(a, b need) int { return cmp.Compare(a.within, b.within) })
	for _, n := range needs {
		verb := " holds"
		if len(n.goals) > 1 {
			verb = " hold"
		}
		text := fmt.Sprintf("Meter the %s and set it within %.1f stop: %s%s only then. Until then it is +-%.1f stop", n.role, float64(n.within),
			list(n.goals), verb, float64(n.light.Doubt))
		if cause := c.Doubts.Largest(n.role); cause != nil {
			text += fmt.Sprintf(", mostly the %s (%s)", cause.What, cause.Basis)
		}
		c.MeterFirst = append(c.MeterFirst, text+".")
	}
}

// unsure names the parts that no light meter makes sure. What it tells, and what a meter
// makes sure, need not be told as fragile too.
func (c *Checked) unsure() {
	c.Fragile = nil
	for i, g := range c.Goals {
		if !g.Holds {
			continue
		}
		for j, p := range g.Parts {
			d := c.Doubts.Goals[i][j]
			s, _ := c.Doubts.Standing(p, d)
			if s == constraints.Holds && p.Room() < 1 {
				c.Fragile = append(c.Fragile, constraints.Closeness(g.Goal, p))
			}
			if s != constraints.Unsure {
				continue
			}
			text := constraints.InDoubt(g.Goal, p, d.Metered)
			if cause, ok := c.Doubts.WorstMetered(d); ok {
				text += fmt.Sprintf(", mostly the %s (%s, %s)", cause.What, cause.Basis, cause.By)
			}
			c.Unsure = append(c.Unsure, text+".")
		}
	}
}
