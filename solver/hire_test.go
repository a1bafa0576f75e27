package solver

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// lend moves some items of a kit to a list with day rates.
func lend(d dice, whole *kit) (own, list *kit) {
	own, list = whole.copy(), &kit{room: whole.room, of: map[string][]string{}}
	for _, class := range classes {
		spare := len(own.of[class])
		if !slices.Contains([]string{"grids", "gels", "booms", "modifiers"}, class) {
			spare-- // a studio has one of each of the rest
		}
		for range spare {
			if i := d.IntN(len(own.of[class])); d.chance(0.8) {
				item := own.of[class][i]
				own.of[class] = slices.Delete(own.of[class], i, i+1)
				list.of[class] = append(list.of[class], strings.TrimSuffix(item, "}")+fmt.Sprintf(", day_rate: %d}", d.count(0, 4)*5))
			}
		}
	}
	return own, list
}

// bill is one choice of pieces from a list.
type bill struct {
	pieces map[inventory.ID]int
	price  unit.Money
	n      int
}

// bills lists every choice.
func bills(loans []inventory.Loan) []bill {
	if len(loans) == 0 {
		return []bill{{pieces: map[inventory.ID]int{}}}
	}
	var out []bill
	first := loans[0]
	for _, rest := range bills(loans[1:]) {
		for n := range first.Count + 1 {
			b := bill{pieces: map[inventory.ID]int{first.ID: n}, price: rest.price + unit.Money(n)*first.Rate, n: rest.n + n}
			for id, k := range rest.pieces {
				b.pieces[id] = k
			}
			out = append(out, b)
		}
	}
	return out
}

// kitOf is the studio with just what a bill brings.
func kitOf(own, list *inventory.Studio, b bill) *inventory.Studio {
	joint, loans := own.With(list)
	for _, l := range loans {
		for range l.Count - b.pieces[l.ID] {
			joint.Remove(l.ID)
		}
	}
	return joint
}

// An offer is the cheapest of all choices from the list, tried one by one: nothing cheaper
// can be done, and what it costs and what it brings is enough.
func TestHireAgainstEveryChoice(t *testing.T) {
	t.Parallel()
	v := verdicts{}
	proved, tried := 0, 0
	for n := range max(1, *manyBriefs/6) {
		d := newDice(31, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, choose(d, 1., 2))
		ownKit, listKit := lend(d, p.kit)
		own, err := inventory.LoadFrom(&source.File{Name: "own.yaml", Text: []byte(ownKit.text())})
		if err != nil { // a grid that stayed sits on a modifier that went to the list
			continue
		}
		list, err := inventory.LoadListFrom(&source.File{Name: "list.yaml", Text: []byte(listKit.text())}, own)
		if err != nil {
			t.Fatal(err)
		}
		joint, loans := own.With(list)
		if err := b.Bind(joint); err != nil {
			continue
		}
		all := bills(loans)
		takes := slices.ContainsFunc(loans, func(l inventory.Loan) bool { return Used(p.setup)[l.ID] > l.Own })
		if !takes || len(all) > 60 {
			continue
		}
		got, err := Hire(context.Background(), own, list, b, refereeWork)
		if err != nil {
			t.Fatal(err)
		}
		v[got.Outcome]++
		name := fmt.Sprintf("brief %d\n%s---\n%s---\n%s", *firstBrief+n, ownKit.text(), listKit.text(), f.text())
		if got.Outcome == Cannot {
			t.Errorf("cannot, and the whole list gives the planted set-up: %s", name)
		}
		for _, offer := range got.Offers {
			enough := bill{pieces: map[inventory.ID]int{}}
			for _, x := range offer.Items {
				enough.pieces[x.ID] = x.Pieces
				enough.price += unit.Money(x.Pieces) * x.Rate
				enough.n += x.Pieces
			}
			if enough.price != offer.Price {
				t.Errorf("the items cost %v and the offer says %v: %s", enough.price, offer.Price, name)
			}
			k, err := Check(kitOf(own, list, enough), b, offer.Setup.Setup)
			if err != nil || !k.Holds() {
				t.Errorf("what is offered is not enough for its set-up: %v %s", err, name)
			}
			if !offer.Proved || offer != got.Offers[0] || got.Own.Outcome == Found {
				continue
			}
			proved++
			for _, less := range all {
				if less.price < offer.Price || less.price == offer.Price && less.n < enough.n {
					tried++
					rest := kitOf(own, list, less)
					if len(b.Lacking(rest)) > 0 {
						continue
					}
					if a := planned(t, rest, b, refereeWork); a.Outcome == Found {
						t.Errorf("%v for %v does it, and %v for %v is called the cheapest: %s", less.pieces, less.price, enough.pieces, offer.Price, name)
					}
				}
			}
		}
	}
	t.Logf("%s; %d offers proved cheapest, against %d cheaper choices", v, proved, tried)
	if *manyBriefs >= 400 && (v[Found] < 5 || proved < 2) {
		t.Errorf("the lists test nothing: %s, %d proved", v, proved)
	}
}

// With adds the list, gives other things with the same id ids of their own, and leaves the
// studio as it was.
func TestWith(t *testing.T) {
	own := (&kit{room: "{width: 4 m, depth: 5 m, height: 2.6 m, walls: 50 %, ceiling: 50 %, floor: 50 %}", of: map[string][]string{
		"cameras":   {"{id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100}"},
		"lenses":    {"{id: lens, mount: ff, focal: 85 mm, widest: f/2}"},
		"heads":     {"{id: head, mount: s, flash: {energy: 200 Ws, range: 5 stops, step: 0.1 stops}}"},
		"modifiers": {"{id: box, type: softbox, fits: [s], shape: rectangle, face: 60 x 60 cm, efficiency: 40 %}"},
		"stands":    {"{id: stand, height: 2 m, load: 5 kg}"},
		"backdrops": {"{id: paper, reflectance: 18 %, width: 2 m}"},
	}}).studio(t)
	list := (&kit{room: "{width: 9 m, depth: 9 m, height: 5 m, walls: 50 %, ceiling: 50 %, floor: 50 %}", of: map[string][]string{
		"cameras":   {"{id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100, day_rate: 40}"},
		"lenses":    {"{id: lens, mount: ff, focal: 135 mm, widest: f/2}"},
		"heads":     {"{id: strong, mount: s, flash: {metered: {guide: 40 m, with: box}, range: 5 stops, step: 0.1 stops}}"},
		"modifiers": {"{id: box, type: softbox, fits: [s], shape: rectangle, face: 90 x 90 cm, efficiency: 40 %}"},
		"grids":     {"{id: cloth, fits: [box], cell: square, ratio: 1}"},
		"stands":    {"{id: stand, height: 2 m, load: 5 kg, count: 2}"},
		"backdrops": {"{id: black, reflectance: 4 %, width: 2 m}"},
		"triggers":  {"{id: radio, fires: 2}"},
	}}).studio(t)
	joint, loans := own.With(list)
	if got, ok := joint.Thing("body"); !ok || inventory.ItemOf(got).Count != 2 {
		t.Errorf("the same body is there %d times, want 2", inventory.ItemOf(got).Count)
	}
	if joint.Lens("lens").Focal != 85*unit.Millimetre || joint.Lens("lens-2").Focal != 135*unit.Millimetre {
		t.Error("the other lens did not get an id of its own")
	}
	if g := joint.Grid("cloth"); !slices.Equal(g.Fits, []inventory.ID{"box-2"}) {
		t.Errorf("the grid of the list fits %v", g.Fits)
	}
	if joint.Head("strong").Flash.Metered.With != "box-2" {
		t.Error("the head of the list was metered with the list's own box")
	}
	if joint.Stand("stand").Count != 3 || joint.Backdrop("black").Drop != 2.6 || len(joint.Triggers) != 0 {
		t.Errorf("stands %d, drop %v, triggers %d", joint.Stand("stand").Count, joint.Backdrop("black").Drop, len(joint.Triggers))
	}
	if own.Stand("stand").Count != 1 || own.Lens("lens-2") != nil || list.Grid("cloth").Fits[0] != "box" {
		t.Error("the studio or the list was changed")
	}
	if len(loans) != 7 || loans[0] != (inventory.Loan{ID: "body", Own: 1, Count: 1, Rate: 40}) {
		t.Errorf("loans %v", loans)
	}
	joint.Remove("stand")
	joint.Remove("box-2")
	if joint.Stand("stand").Count != 2 || inventory.HeadTakes(joint.Head("strong"), joint.Modifier("box-2")) {
		t.Error("a piece that was removed is still there")
	}
	if _, _, ok := joint.Head("strong").Output(joint, false); !ok {
		t.Error("a head forgot what it was metered with")
	}
}
