package solver

import (
	"context"
	"slices"
	"testing"

	"falloff/constraints"
	"falloff/model/unit"
)

// placesAreNamed judges what an undecided answer says of what stayed open.
func placesAreNamed(t *testing.T, b *constraints.Bench, a *Answer) {
	t.Helper()
	if len(a.OpenAt) == 0 || len(a.OpenAt) > manyPlaces {
		t.Errorf("undecided (%s), and %d places are named", a.Open, len(a.OpenAt))
	}
	space := b.SpaceOf(b.Brief.Goals)
	for _, o := range a.OpenAt {
		if o.Gear == "" || len(o.Goals) == 0 || len(o.Lights) == 0 {
			t.Errorf("an open place says too little: %+v", o)
		}
		for _, g := range o.Goals {
			if !slices.Contains(b.Brief.Goals, g) {
				t.Errorf("%s is none of the brief's goals", g.Text)
			}
		}
		for _, l := range o.Lights {
			within := constraints.Ranges(l.Role, space.Wide)
			inside := func(x, of unit.Interval, scale float64) bool {
				return x.Lo <= x.Hi && x.Lo >= of.Lo*scale-1e-9 && x.Hi <= of.Hi*scale+1e-9
			}
			if !slices.Contains(space.Roles, l.Role) || l.Gear == "" ||
				!inside(l.Distance, within.D, 1) || !inside(l.Azimuth, within.Az, degrees) || !inside(l.Elevation, within.El, degrees) {
				t.Errorf("the %s is said to stand at %+v", l.Role, l)
			}
		}
	}
}

// Whatever limit stops a search, the answer says which gear was open, for which goals and
// where.
func TestUndecidedNamesGoalsAndPlaces(t *testing.T) {
	t.Parallel()
	byLimit, byStop := 0, 0
	for n := range 60 {
		d := newDice(16, n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		_, b := plantedBrief(t, p, d, 0.02)
		bench := &constraints.Bench{Studio: p.bench.Studio, Brief: b}
		a := planned(t, bench.Studio, b, Options{Count: 1, NoHelp: true, Work: 1, verdict: true})
		if a.Outcome == Undecided {
			byLimit++
			placesAreNamed(t, bench, a)
		}
		stopped, cancel := context.WithCancel(context.Background())
		cancel()
		a, err := Plan(stopped, bench.Studio, b, Options{Count: 1, verdict: true})
		if err != nil {
			t.Fatal(err)
		}
		if a.Outcome == Undecided {
			byStop++
			placesAreNamed(t, bench, a)
		}
	}
	for n := range 40 { // several lights, of which some have no place
		_, _, bench, _ := smallBrief(t, newDice(17, n), ordinary)
		if bench == nil {
			continue
		}
		a := planned(t, bench.Studio, bench.Brief, Options{Count: 1, NoHelp: true, Work: 3, verdict: true})
		if a.Outcome == Undecided {
			byLimit++
			placesAreNamed(t, bench, a)
		}
	}
	t.Logf("undecided by a limit %d, stopped %d", byLimit, byStop)
	if byLimit < 5 || byStop < 5 {
		t.Errorf("too few are undecided to judge by")
	}
}
