package inventory_test

import (
	"math"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/unit"
)

// lazyStudio is written by someone who knows next to nothing of the kit.
const lazyStudio = `studio: Lazy
room: {width: 4 m, depth: 6 m, height: 2.7 m, walls: 50 %, ceiling: 80 %, floor: 30 %}
cameras: [{id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100}]
lenses: [{id: lens, mount: ff, focal: 85 mm, widest: f/1.8}]
heads:
  - {id: head, like: monolight, flash: {energy: 300 Ws}}
  - {id: panel, like: led-panel, lamp: {watts: 50 W}}
  - {id: shoe, like: hot-shoe}
modifiers:
  - {id: box, like: soft-box, face: 60 x 90 cm}
  - {id: pan, like: reflector}
  - {id: front, like: panel-front}
  - {id: nose, like: snoot}
grids: [{id: comb, like: honeycomb-20}, {id: cloth, like: cloth-grid}]
cards: [{id: card, like: white-card}]
stands: [{id: stand, like: medium-stand, count: 3}]
booms: [{id: arm, like: boom}]
backdrops: [{id: paper, like: grey-paper}]
`

func TestLike(t *testing.T) {
	s := load(t, lazyStudio)
	head, box := s.Head("head"), s.Modifier("box")
	q, doubt, ok := head.Output(s, false)
	if !ok || q != 300*35 || doubt != 0.7 {
		t.Errorf("%v lm s, +-%v", q, doubt)
	}
	if q, doubt, ok := s.Head("panel").Output(s, true); !ok || q != 4000 || doubt != 0.5 {
		t.Errorf("50 W of LED give %v lm, +-%v", q, doubt)
	}
	if q, _, ok := s.Head("shoe").Output(s, false); !ok || q != 60*35 {
		t.Errorf("a hot-shoe flash gives %v lm s", q)
	}
	if s.Head("shoe").Lamp != nil || head.Lamp != nil {
		t.Error("a lamp from nowhere")
	}
	for _, c := range []struct {
		what string
		ok   bool
	}{
		{"a box fits a head that names no mount", inventory.HeadTakes(head, box)},
		{"a panel's front fits the panel", inventory.HeadTakes(s.Head("panel"), s.Modifier("front"))},
		{"a panel's front fits no head", !inventory.HeadTakes(head, s.Modifier("front"))},
		{"a honeycomb fits the reflector", inventory.ModTakesGrid(s.Modifier("pan"), s.Grid("comb"))},
		{"a honeycomb does not fit the box", !inventory.ModTakesGrid(box, s.Grid("comb"))},
		{"a cloth grid fits the box", inventory.ModTakesGrid(box, s.Grid("cloth"))},
		{"wide doubt", math.Abs(float64(head.Doubt(s, false, box, nil))-math.Hypot(0.7, 0.5)) < 1e-12},
		{"a snoot has a measured beam", s.Modifier("nose").Emitter(nil).Beam != nil},
		{"a count of its own", s.Stand("stand").Count == 3 && s.Stand("stand").Height == 2.8},
	} {
		if !c.ok {
			t.Error("not so: " + c.what)
		}
	}
	for _, f := range inventory.Lint(s) {
		if f.Severity == inventory.Useless {
			t.Error(f)
		}
	}
}

// What an item writes itself stands, zero included.
func TestOwnFiguresStand(t *testing.T) {
	text := with(t, lazyStudio, "like: soft-box, face: 60 x 90 cm", "like: soft-box, face: 60 x 90 cm, law: 0, efficiency: 50 %, fits: [usual]")
	text = with(t, text, "energy: 300 Ws}", "energy: 300 Ws, t05: 1/200 s, range: 4 stops}")
	text = with(t, text, "like: honeycomb-20", "like: honeycomb-20, ratio: 3")
	text = with(t, text, "like: snoot", "like: snoot, law: 20")
	s := load(t, text)
	box, f, g := s.Modifier("box"), s.Head("head").Flash, s.Grid("comb")
	if box.Law != 0 || box.Efficiency != 0.5 || f.Range != 4 || f.T01 != 0 || f.Step == 0 || g.Cutoff != 0 || g.Ratio != 3 {
		t.Errorf("%+v %+v %+v", box, f, g)
	}
	if n := s.Modifier("nose"); n.Law != 20 || n.Emitter(nil).Beam != nil {
		t.Errorf("%+v", n)
	}
}

func TestLikeRefused(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"like: soft-box, face: 60 x 90 cm", "like: softbox, face: 60 x 90 cm", `like: "softbox" is not one of reflector`},
		{"like: soft-box, face: 60 x 90 cm", "like: soft-box", `modifier "box": the key "face" is missing`},
		{"like: monolight, flash: {energy: 300 Ws}", "like: monolight", `studio.yaml:6:22: head "head": flash: monolight does not say how strong it is: add that, as in "flash: {energy: 300 Ws}", or`},
		{"like: monolight, flash: {energy: 300 Ws}", "like: led-panel", `studio.yaml:6:22: head "head": lamp: led-panel does not say how strong it is: add that, as in "lamp: {watts: 50 W}", or`},
		{"like: monolight, flash: {energy: 300 Ws}", "like: monolight, flash: {recycle: 1 s}", `flash: give its energy`},
		{"like: monolight, flash: {energy: 300 Ws}", "flash: {energy: 300 Ws}", `the key "flash.range" is missing`},
		{"like: grey-paper", "width: 2 m", `backdrop "paper": the key "reflectance" is missing`},
		{"base_iso: 100}", "base_iso: 100, like: body}", "there is no generic camera"},
	} {
		_, err := inventory.LoadFrom(file(with(t, lazyStudio, c.old, c.new)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.new, err, c.want)
		}
	}
}

// Every figure of the generic kit says where it is from.
func TestEveryDefaultHasASource(t *testing.T) {
	all := inventory.KitDefaults("")
	if len(all) < 60 { // heads, modifiers, grids, 26 gels, papers and the rest
		t.Fatalf("only %d kinds", len(all))
	}
	for _, k := range all {
		for _, d := range k.Defaults {
			if d.Source == "" || d.Value == "" {
				t.Errorf("%s %s: %s = %q has the source %q", k.Class, k.Like, d.Key, d.Value, d.Source)
			}
		}
	}
	for word, want := range map[string]string{"umbrella": "silver-umbrella", "PAPER": "grey-paper", "grids": "cloth-grid", "amber": "amber"} {
		found := false
		for _, k := range inventory.KitDefaults(word) {
			found = found || k.Like == want
		}
		if !found {
			t.Errorf("%q does not find %s", word, want)
		}
	}
	if got := inventory.KitDefaults("trombone"); got != nil {
		t.Errorf("%v", got)
	}
}

// What the data say of every item is what an item that writes nothing has.
func TestDefaultsOfEveryItem(t *testing.T) {
	s := load(t, smallStudio)
	h, lamp := s.Head("mono"), *s.Head("mono").Lamp
	if got := load(t, lazyStudio).Head("head").Mount; got != "usual" {
		t.Errorf("mount %q", got)
	}
	have := map[string]string{
		"head mount": "usual", "head tube": h.Tube.String(), "head flash.efficacy": h.Flash.Efficacy.String(), "head flash.kelvin": h.Flash.Kelvin.String(),
		"head lamp.kelvin": lamp.Kelvin.String(), "modifier doubt": s.Modifier("box").Doubt.String(), "grid open": s.Grid("comb").Open.String(),
		"gel doubt": s.Gel("amber").Doubt.String(),
	}
	n := 0
	for _, k := range inventory.KitDefaults("") {
		if k.Like != "" {
			continue
		}
		for _, d := range k.Defaults {
			n++
			got := have[k.Class+" "+d.Key]
			var a, b unit.Length
			same := strings.TrimPrefix(got, "+") == d.Value || a.UnmarshalText([]byte(got)) == nil && b.UnmarshalText([]byte(d.Value)) == nil && a == b
			if !same && !(d.Key == "flash.efficacy" && h.Flash.Efficacy == 35) {
				t.Errorf("every %s: %s is %q in the data, and %q", k.Class, d.Key, d.Value, got)
			}
		}
	}
	if n != len(have) {
		t.Errorf("%d defaults in the data, %d checked", n, len(have))
	}
}
