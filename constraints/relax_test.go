package constraints

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// moves are changes that put another wish in the place of the first; all others loosen it.
func moves(text string) bool {
	for _, p := range []string{"frame ", "light a ", "light it all by", "make the background", "put the key on the other side",
		"put the light end at", "put the key at the usual height", "light the hair from behind", "set the lens at the height"} {
		if strings.HasPrefix(text, p) {
			return true
		}
	}
	return false
}

func encoded(t testing.TB, s *inventory.Studio) string {
	text, err := source.Encode(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func texts(b *Brief) string {
	var out []string
	for _, g := range b.Goals {
		out = append(out, g.Text)
	}
	return strings.Join(out, "\n") + b.Camera.Filter.String() + b.Camera.Height.String() + b.Sitter.Turn.String() + b.Sitter.Backdrop.String()
}

// Every goal can be loosened; each change is a change, is worded, is applied to copies
// only, leaves a studio that would load and a brief that reads back.
func TestRelax(t *testing.T) {
	for name, g := range everyGoal(t) {
		bench := benchForTest()
		bench.Brief.Goals = append([]*Goal{g}, bench.Brief.Goals...)
		before, kit := texts(bench.Brief), encoded(t, bench.Studio)
		seen, last := map[string]bool{}, 0
		for c := range g.Req.Relax(bench) {
			last++
			if c.Text == "" || strings.HasSuffix(c.Text, ".") || c.Cost == "" || seen[c.Text] {
				t.Errorf("%s: bad or double wording %q, cost %q", name, c.Text, c.Cost)
			}
			if c.Minor < 0 || c.Minor > 10 {
				t.Errorf("%s: %q has Minor %v", name, c.Text, c.Minor)
			}
			seen[c.Text] = true
			b, s := bench.Brief.Clone(), CloneStudio(bench.Studio)
			c.Apply(b, s)
			if texts(bench.Brief) != before || encoded(t, bench.Studio) != kit {
				t.Fatalf("%s: %q changed the original", name, c.Text)
			}
			if texts(b) == before && encoded(t, s) == kit {
				t.Errorf("%s: %q changes nothing", name, c.Text)
			}
			if _, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(encoded(t, s))}); err != nil {
				t.Errorf("%s: %q leaves a bad studio: %v", name, c.Text, err)
			}
			for _, goal := range b.Goals {
				if err := goal.Req.Validate(b); err != nil {
					t.Errorf("%s: %q leaves %s: %v", name, c.Text, goal.Text, err)
				}
				if !strings.HasPrefix(goal.Text, goal.Name()) {
					t.Errorf("%s: %q leaves the text %q", name, c.Text, goal.Text)
				}
				again := goalForTest(t, goal.Text)
				if w := written(goal.Name(), goal.Req); written(again.Name(), again.Req) != w {
					t.Errorf("%s: %q reads back as %q", name, w, written(again.Name(), again.Req))
				}
			}
		}
		if last == 0 {
			t.Errorf("%s cannot be loosened", name)
		}
	}
}

// What is written reads back as the same goal.
func TestWritten(t *testing.T) {
	for name, g := range everyGoal(t) {
		text := written(g.Name(), g.Req)
		if again := goalForTest(t, text); written(again.Name(), again.Req) != text {
			t.Errorf("%s is written %q and reads back as %q", name, text, written(again.Name(), again.Req))
		}
	}
}

// Loosening never turns a goal that holds into one that fails.
func TestLoosening(t *testing.T) {
	goals := everyGoal(t)
	bench := benchForTest()
	type pair struct {
		name          string
		strict, loose *Goal
	}
	var pairs []pair
	for _, name := range sortedKeys(goals) {
		g := goals[name]
		for c := range g.Req.Relax(bench) {
			b := &Brief{Goals: []*Goal{g}}
			b = b.Clone()
			c.Apply(b, CloneStudio(bench.Studio))
			if len(b.Goals) == 1 && b.Goals[0].Req != g.Req && !moves(c.Text) {
				pairs = append(pairs, pair{name + " -> " + b.Goals[0].Text, g, b.Goals[0]})
			}
		}
	}
	if len(pairs) < 50 {
		t.Fatalf("only %d loosened goals", len(pairs))
	}
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		_, r := drawBox(t)
		r.BaseISO = unit.Point(float64(baseISO(bench))) // "base" is loosened with the studio's cameras in mind
		r.RoomLux = luxOf(bench)                        // and "switch the lamps off" with its room
		for _, p := range pairs {
			if !Judge([]*Goal{p.strict}, &r)[0].Holds {
				continue
			}
			held++
			if v := Judge([]*Goal{p.loose}, &r)[0]; !v.Holds {
				t.Fatalf("%s: the loosened goal fails: %+v", p.name, v.Parts)
			}
		}
	})
	if held < 100 {
		t.Errorf("only %d cases held at all", held)
	}
}

// Gels that are offered have the hue that was asked for, by the spectra themselves.
func TestGelsNear(t *testing.T) {
	bench := benchForTest()
	for hue, want := range map[float64]string{75: "amber", 268: "deep blue", 27: "primary red"} {
		if got := gelsNear(bench, hue, 15, 2); len(got) == 0 || got[0] != want {
			t.Errorf("hue %v: %v, want %s first", hue, got, want)
		}
	}
}
