package inventory_test

import (
	"slices"
	"testing"

	"falloff/inventory"
)

// The figures by hand: 300 Ws x 35 lm s/Ws = 10500 lm s. A 60 x 90 cm front of 45 % at 2 m,
// by the closed form for a rectangle seen from its axis (configuration factor of a
// rectangle, Howell's catalogue C-11 summed over four corners), gives 358.6 lx s; at ISO 100
// and C = 250 that is f/11.98, 7.164 stops from f/1, so f/11 and two tenths.
func TestDescribe(t *testing.T) {
	s := load(t, smallStudio)
	for _, c := range []struct {
		id   inventory.ID
		want string
	}{
		{"body", "1 x body: 36 x 24 mm sensor, base ISO 100, up to ISO 6400, flash sync 1/160 s, ff mount"},
		{"lens-85", "1 x lens-85: f/1.4 to f/16, focuses from 80 cm, a 60 cm frame from 1.5 m"},
		{"mono", "1 x mono: 10500 lm s (rated, +-0.7 stops), 6 stops in tenths, 5600 K, f/11 .2 at 2 m, ISO 100, in the box, LED modelling lamp of 2000 lm at 5600 K"},
		{"box", "1 x box: 60 x 90 cm rectangle, passes 45 %, 38 deg large at 1.2 m, fits 1 of 1 head"},
		{"card", "1 x card: 60 x 90 cm, reflects 88 %"},
		{"post", "2 x post: 87 cm to 2.6 m, carries 8 kg"},
		{"arm", "1 x arm: reaches 1.2 m, carries 4 kg, balanced by 10 kg"},
		{"black", "1 x black: reflects 4 % (-2.2 stops from mid grey), 2.72 m wide"},
		{"radio", "1 x radio: fires 1 head"},
	} {
		thing, ok := s.Thing(c.id)
		if !ok {
			t.Fatal(c.id)
		}
		if got := inventory.Describe(s, thing); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// Every type is listed once, with its count, and nothing twice.
func TestRowsAreComplete(t *testing.T) {
	s := example(t, "northlight.yaml")
	var ids []string
	items := 0
	for _, g := range inventory.Rows(s) {
		for _, r := range g.Rows {
			ids = append(ids, r.ID)
			items += r.Count
			if len(r.Facts) == 0 || r.Title == "" {
				t.Errorf("%v says nothing", r)
			}
		}
	}
	slices.Sort(ids)
	if n := len(slices.Compact(ids)); n != s.Types() || items != s.Items() {
		t.Errorf("%d types and %d items listed of %d and %d", n, items, s.Types(), s.Items())
	}
}

func TestRowsAreSorted(t *testing.T) {
	s := example(t, "northlight.yaml")
	for _, g := range inventory.Rows(s) {
		var ids []string
		for _, r := range g.Rows {
			ids = append(ids, r.ID)
		}
		switch g.Title {
		case "Lenses":
			if want := []string{"lens-35", "lens-50", "lens-85", "lens-105", "lens-135"}; !slices.Equal(ids, want) {
				t.Errorf("lenses %v", ids)
			}
		case "Heads":
			if want := []string{"mono-400", "mono-200", "led-150", "led-60", "led-10"}; !slices.Equal(ids, want) {
				t.Errorf("heads %v", ids)
			}
		}
	}
}
