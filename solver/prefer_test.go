package solver

import (
	"testing"

	"falloff/inventory"
)

// A preference is kept: among the set-ups that are shown none is better by it than the
// first, and what is proved best by one order is no worse by its own sum than by the other.
func TestPreferences(t *testing.T) {
	t.Parallel()
	tested := 0
	for n := range max(1, *manyBriefs/10) {
		k, f := gearBrief(newDice(12, *firstBrief+n))
		s := k.studio(t)
		b, err := f.brief(s)
		if err != nil {
			continue
		}
		var like *inventory.Setup
		best := map[Preference]*Answer{}
		for _, want := range Preferences {
			o := Options{Count: 3, NoHelp: true, Work: 40, verdict: true, Prefer: want}
			if want == Nearer {
				o.Near = like
			}
			a := planned(t, s, b, o)
			if a.Outcome != Found {
				break
			}
			best[want] = a
			like = a.Setups[len(a.Setups)-1].Setup
			for _, x := range a.Setups[1:] {
				first := a.Setups[0]
				if first.Cost.Missed == x.Cost.Missed && (want == Sturdier && x.Cost.Tight > first.Cost.Tight ||
					want == Nearer && changed(o.Near, x.Setup) < changed(o.Near, first.Setup)) {
					t.Errorf("brief %d: %s, and a later set-up is better\n%s---\n%s", *firstBrief+n, want, k.text(), f.text())
				}
			}
		}
		few, fast := best[FewerLights], best[Faster]
		if few == nil || fast == nil || !few.Proved || !fast.Proved {
			continue
		}
		tested++
		x, y := few.Setups[0].Cost, fast.Setups[0].Cost
		if x.Missed != y.Missed || x.Lights > y.Lights || y.Minutes > x.Minutes {
			t.Errorf("brief %d: %+v has the fewest lights and %+v is built fastest\n%s", *firstBrief+n, x, y, k.text())
		}
	}
	t.Logf("%d briefs with both proved", tested)
	if *manyBriefs >= 400 && tested < 3 {
		t.Errorf("too few to judge by")
	}
}

func TestChanged(t *testing.T) {
	one := &inventory.Setup{Camera: inventory.CameraSet{Lens: "85"}, Lights: []inventory.LightSet{{Role: "key", Head: "a", Modifier: "box", Stand: "s"}}}
	same := *one
	lens := *one
	lens.Camera.Lens = "50"
	more := *one
	more.Lights = append([]inventory.LightSet{{Role: "fill", Head: "a", Stand: "s"}}, one.Lights...)
	for _, c := range []struct {
		to   *inventory.Setup
		want int
	}{{&same, 0}, {&lens, 1}, {&more, 5}} {
		if got := changed(one, c.to); got != c.want {
			t.Errorf("%d changes, want %d", got, c.want)
		}
		if changed(one, c.to) != changed(c.to, one) {
			t.Errorf("the way back is longer")
		}
	}
}
