package constraints

import (
	"testing"

	"pgregory.net/rapid"

	"falloff/inventory"
	"falloff/model/unit"
)

// A set-up breaks a rule of the hire only if it costs too much, and always if it does and few
// of its items are hired.
func TestHireRulesAreSums(t *testing.T) {
	seen := map[int]int{} // sets of picks that are too dear, by how many are hired
	rim := goalForTest(t, "rim: {side: left}")
	rapid.Check(t, func(t *rapid.T) {
		bench := benchForTest()
		for x := range bench.Studio.Things() {
			inventory.ItemOf(x).DayRate = rapid.SampledFrom([]unit.Money{0, 0, 0.1, 0.2, 14.5, 22}).Draw(t, "day rate")
		}
		bench.Brief.Goals = append(bench.Brief.Goals, rim)
		g := &Goal{Req: &hireBudgetGoal{most: rapid.SampledFrom([]unit.Money{0, 0.3, 20, 36.5, 60}).Draw(t, "sum")}}
		light := func(role string) inventory.LightSet {
			return inventory.LightSet{Role: role, Light: "flash", Head: rapid.SampledFrom([]inventory.ID{"mono-400", "lamp-60"}).Draw(t, "head"),
				Modifier: rapid.SampledFrom([]inventory.ID{"box-60x90", "reflector"}).Draw(t, "modifier"),
				Stand:    rapid.SampledFrom([]inventory.ID{"stand", "tall"}).Draw(t, "stand")}
		}
		set := &inventory.Setup{Camera: inventory.CameraSet{Body: "body", Lens: "lens-85"}, Backdrop: inventory.BackdropSet{Item: "white-paper"},
			Lights: []inventory.LightSet{light("key"), light("rim-left")}}
		var used []inventory.Thing
		hired := 0
		use := func(id inventory.ID) {
			x, _ := bench.Studio.Thing(id)
			used = append(used, x)
			if inventory.ItemOf(x).DayRate > 0 {
				hired++
			}
		}
		for _, id := range []inventory.ID{"body", "lens-85", "white-paper"} {
			use(id)
		}
		for _, l := range set.Lights {
			use(l.Head)
			use(l.Modifier)
			use(l.Stand)
		}
		r := Unknown()
		r.Hire = unit.Point(HireOf(used))
		holds := Judge([]*Goal{g}, &r)[0].Holds
		broken := Broken(g, bench, Picks(set))
		if holds && len(broken) > 0 {
			t.Fatalf("%v is not too much, and yet: %s", r.Hire.Lo, broken[0].Why)
		}
		if !holds && r.Hire.Lo > float64(g.Req.(*hireBudgetGoal).most)+0.01 {
			seen[hired]++
			if hired <= mostTogether && len(broken) == 0 {
				t.Fatalf("%v is too much, and no rule says so", r.Hire.Lo)
			}
		}
	})
	if seen[1]+seen[2]+seen[3] == 0 {
		t.Errorf("too dear, by what is hired: %v", seen)
	}
}
