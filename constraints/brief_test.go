package constraints

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/source"
)

func load(text string) (*Brief, error) {
	return LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(text)})
}

// The invented shoot of the built-in example, with every way of writing a goal.
const poster = `brief: Season poster, cellist
sitter: {seated: true, turn: 12 deg, hair: Dark}
framing: {head_and_shoulders: true}
backdrop: black-paper
goals:
  - both-eyes-sharp: {keepers: 90 %}
  - low-key
  - rim: {side: both, hue: amber,
      within: 20 deg}
  - iso: base
    wish: 5
  - few-lights: {at most: 4, wish: 2}
  - soft: {key: at least 30 deg, must: true}
`

func TestLoadBrief(t *testing.T) {
	b, err := load(poster)
	if err != nil {
		t.Fatal(err)
	}
	if b.Name != "Season poster, cellist" || !b.Sitter.Seated || b.Sitter.Hair != "dark" {
		t.Errorf("read as %+v", b)
	}
	want := []struct {
		text    string
		line    int
		wish    int
		assumed bool
	}{
		{"framing: {head_and_shoulders: true}", 3, 0, false},
		{"use: {item: black-paper}", 4, 0, false},
		{"both-eyes-sharp: {keepers: 90 %}", 6, 0, false},
		{"low-key", 7, 0, false},
		{"rim: {side: both, hue: amber, within: 20 deg}", 8, 0, false},
		{"{iso: base, wish: 5}", 10, 5, false},
		{"few-lights: {at most: 4, wish: 2}", 12, 2, false},
		{"soft: {key: at least 30 deg, must: true}", 13, 0, false},
		{"exposure: {key: -0.3..+0.3 stops}", 0, 0, true},
		{"out-of-frame: {by: 30 mm}", 0, 0, true},
	}
	if len(b.Goals) != len(want) {
		t.Fatalf("%d goals, want %d", len(b.Goals), len(want))
	}
	for i, w := range want {
		g := b.Goals[i]
		if g.Text != w.text || g.Place.Line != w.line || g.Wish != w.wish || g.Assumed != w.assumed {
			t.Errorf("goal %d is %q on line %d, wish %d, assumed %v; want %+v", i+1, g.Text, g.Place.Line, g.Wish, g.Assumed, w)
		}
	}
}

// Each error has its whole message.
func TestLoadBriefErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"unknown goal", "brief: x\ngoals:\n  - glwo: {hue: red}\n",
			`brief.yaml:3:5: unknown goal "glwo"; did you mean "glow"?`},
		{"other word", "brief: x\ngoals:\n  - bokeh: {at least: 2 %}\n",
			`brief.yaml:3:5: unknown goal "bokeh"; did you mean "background-blur"?`},
		{"unknown parameter", "brief: x\ngoals:\n  - rim: {levl: 0 stops}\n",
			`brief.yaml:3:11: goals[0].rim.levl: unknown key; did you mean "level"?`},
		{"missing unit", "brief: x\ngoals:\n  - soft: {key: at least 30}\n",
			`brief.yaml:3:17: goals[0].soft.key: "30": an angle needs a unit, as in 35 deg`},
		{"unknown hue", "brief: x\ngoals:\n  - rim: {hue: ambr}\n",
			`brief.yaml:3:16: goals[0].rim.hue: unknown hue "ambr"; did you mean "amber"? There are rose, red, orange, amber, yellow, lime, green, teal, cyan, sky, azure, blue, deep blue, violet, purple, magenta, pink, or an angle as in 264 deg`},
		{"unknown pattern", "brief: x\ngoals:\n  - pattern: rembrant\n",
			`brief.yaml:3:14: pattern: unknown pattern "rembrant"; did you mean "rembrandt"? There are flat, butterfly, loop, rembrandt, split, profile, short, broad, clamshell`},
		{"weight", "brief: x\ngoals:\n  - iso: base\n    wish: 12\n",
			`brief.yaml:4:11: goals[0].wish: the weight of a wish lies between 1 and 9`},
		{"must and wish", "brief: x\ngoals:\n  - low-key: {must: true, wish: 2}\n",
			`brief.yaml:3:21: goals[0].low-key.must: a goal is a must or a wish, not both`},
		{"two kinds", "brief: x\ngoals:\n  - iso: base\n    low-key: true\n",
			`brief.yaml:4:5: goals[0].low-key: two kinds in one goal, "iso" and "low-key"; begin a new line with a dash`},
		{"no kind", "brief: x\ngoals:\n  - wish: 2\n",
			`brief.yaml:3:5: goals[0]: the goal has no kind`},
		{"light tone", "brief: x\ngoals:\n  - low-key: {background: at most +1 stop}\n",
			`brief.yaml:3:5: low-key: a background of +1 stop is lighter than middle grey`},
		{"turn", "brief: x\nsitter: {turn: 120 deg}\ngoals: []\n",
			`brief.yaml:2:16: sitter.turn: the head turns at most 90 deg either way; this is 120 deg`},
		{"hair", "brief: x\nsitter: {hair: drk}\ngoals: []\n",
			`brief.yaml:2:16: sitter.hair: unknown hair "drk"; did you mean "dark"? There are dark, brown, fair, grey, none`},
		{"no lights", "brief: x\ngoals:\n  - few-lights: 0\n",
			`brief.yaml:3:5: few-lights: a picture needs one light at least`},
		{"unknown key", "brief: x\ngoal: []\n",
			"brief.yaml:1:1: the key \"goals\" is missing\nbrief.yaml:2:1: goal: unknown key; did you mean \"goals\"?"},
	} {
		_, err := load(c.text)
		if err == nil {
			t.Errorf("%s: no error", c.name)
		} else if got := err.Error(); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

func TestBind(t *testing.T) {
	s := benchForTest().Studio
	for _, c := range []struct{ goal, want string }{
		{"use: box-60x90", ""},
		{"avoid: white-card", ""},
		{"use: box-60x9", `brief.yaml:3:5: use: the studio has no "box-60x9"; did you mean "box-60x90"?`},
		{"avoid: snoot-of-nowhere", `brief.yaml:3:5: avoid: the studio has no "snoot-of-nowhere"`},
		{"use: white-card", `brief.yaml:3:5: use: "white-card" is a card; falloff does not place those, so it cannot be asked for`},
		{"use: {item: body, as: key}", `brief.yaml:3:5: use: "body" is a camera, which is no part of a light`},
	} {
		b, err := load("brief: x\ngoals:\n  - " + c.goal + "\n")
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if err := b.Bind(s); err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.goal, got, c.want)
		}
	}
}

func TestCollisions(t *testing.T) {
	s := benchForTest().Studio
	for _, c := range []struct{ goals, want string }{
		{"aperture: f/8|aperture: f/2", "One goal wants the aperture at f/8 and the other the aperture at f/2; no picture has both."},
		{"aperture: f/5.6..f/8|aperture: f/8", ""},
		{"low-key: {background: at most -4 stops}|background-level: white",
			"One goal wants a background of at most -4 stops and the other a white background (+1.8 to +2.5 stops); no picture has both."},
		{"low-key|background-level: black", ""},
		{"light-kind: flash|light-kind: continuous", "One goal wants flash only and the other continuous light only; no picture has both."},
		{"use: strip-30x120|avoid: strip-30x120", "One goal wants strip-30x120 used and the other strip-30x120 left out; no picture has both."},
		{"use: {item: strip-30x120, as: rim-left}|avoid: {item: strip-30x120, as: key}", ""},
		{"framing: head|framing: half", "One goal wants a head (a frame 35 to 45 cm high) and the other a half length (a frame 85 cm to 1.1 m high); no picture has both."},
		{"iso: base|iso: {at least: ISO 800}", "One goal wants the base, ISO 100 at most and the other at least ISO 800; no picture has both."},
		{"iso: base|iso: {at most: ISO 800}", ""},
		{"few-lights: 2|rim: both|glow|soft: hard",
			"The goals need 4 lights, key, rim-left, rim-right, background, and at most 2 may be used."},
		{"few-lights: 4|rim: both|glow|soft: hard", ""},
		{"aperture: f/8|aperture: {at most: f/2, wish: 3}", ""},
		{"pattern: split|pattern: butterfly", "One goal wants a split key and the other a butterfly key; no picture has both."},
		{"pattern: {is: loop, side: left}|pattern: {is: loop, side: right}",
			"One goal wants a loop key from the left and the other a loop key from the right; no picture has both."},
		{"glow: {level: 0..1 stops}|background-level: dark",
			"One goal wants a glow of 0 to +1 stops and the other a dark background (-2.6 to -1.2 stops); no picture has both."},
		// Fair skin of 36 % lies a stop over middle grey, display white 2.47 stops.
		{"exposure: {key: 0.5..1 stops}|no-clipping: {on: [face], under: 1 stop}",
			"One goal wants the face at +0.5 to +1 stops and the other a face of at most +0.4 stops, so as not to burn out; no picture has both."},
		{"rim: {side: left, level: 1.5..2 stops}|no-clipping",
			"One goal wants a left rim of +1.5 to +2 stops and the other rims of at most +1.4 stops, so as not to burn out; no picture has both."},
		{"rim: {side: left, level: 1..2 stops}|exposure: {key: 0..1 stops}|no-clipping", ""},
	} {
		text := "brief: x\ngoals:\n"
		for _, g := range strings.Split(c.goals, "|") {
			text += "  - " + g + "\n"
		}
		b, err := load(text)
		if err != nil {
			t.Fatal(c.goals, err)
		}
		if err := b.Bind(s); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, x := range Collisions(b) {
			got = append(got, x.Sentence)
			for _, g := range x.Goals {
				if !g.Assumed && !g.Place.Known() {
					t.Errorf("%s: %s has no place", c.goals, g.Text)
				}
			}
		}
		if strings.Join(got, "\n") != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.goals, strings.Join(got, "\n"), c.want)
		}
	}
}

// Picks of a set-up fill the slots that rules speak of.
func TestPicks(t *testing.T) {
	set := &inventory.Setup{
		Camera: inventory.CameraSet{Body: "body", Lens: "lens-85"}, Backdrop: inventory.BackdropSet{Item: "white-paper"},
		Lights: []inventory.LightSet{{Role: "key", Head: "mono-400", Light: "flash", Modifier: "box-60x90", Stand: "stand"}},
	}
	picks := Picks(set)
	bench := benchForTest()
	for goal, broken := range map[string]int{
		"use: box-60x90": 0, "use: {item: box-60x90, as: fill}": 1, "avoid: box-60x90": 1, "avoid: strip-30x120": 0,
		"light-kind: flash": 0, "light-kind: continuous": 1, "use: white-paper": 0, "avoid: lens-85": 1,
	} {
		if got := Broken(goalForTest(t, goal), bench, picks); len(got) != broken {
			t.Errorf("%s breaks %v, want %d", goal, got, broken)
		}
	}
}

// Whatever is in a file, reading it ends with a brief that can be judged, loosened and
// written, or with an error; and what was read can be read again.
func FuzzLoadBrief(f *testing.F) {
	f.Add(poster)
	f.Add("brief: x\ngoals: [{iso: &a base}, *a, {rim: *a}]\n")
	f.Add("brief: x\ngoals:\n  - ratio: {is: 3:1, within: 0.2 stops}\n  - aperture: f/5.6..f/8\n")
	files, err := filepath.Glob(filepath.Join("..", "testdata", "kinds", "*.txtar"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		for _, line := range strings.Split(string(text), "\n") {
			if goal, ok := strings.CutPrefix(line, "goal: "); ok {
				f.Add("brief: x\ngoals:\n  - " + goal + "\n")
			}
		}
	}
	bench := benchForTest()
	f.Fuzz(func(t *testing.T, text string) {
		b, err := load(text)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		_ = b.Bind(bench.Studio)
		Collisions(b)
		r := Unknown()
		for _, v := range Judge(b.Goals, &r) {
			Sentence(v.Goal, v.Parts)
			n := 0
			for c := range v.Goal.Req.Relax(&Bench{Studio: bench.Studio, Brief: b}) {
				if n++; n <= 2 {
					c.Apply(b.Clone(), CloneStudio(bench.Studio))
				}
			}
		}
	})
}
