// Package cmd_test runs the examples as a user does, through the command line.
package cmd_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"falloff/cmd/internal/cli"
	"falloff/examples"
)

// example is a brief of the examples with its verdict.
type example struct {
	brief, studio string
	exit          int

	capped  bool     // whether anything else collides stayed open
	collide []string // the kinds that collide
	reason  []string // what the argument must speak of, each in some step
	changes []change // how to apply by hand what is offered as help
}

// change understands one kind of help line and applies it to the files as a reader would,
// with an editor.
type change struct {
	help          string // a pattern for the whole line
	brief, studio []edit
	with          string // another studio of the examples
}

// edit is a text that occurs once and what takes its place, where $1 is what the pattern
// of the change caught.
type edit struct{ from, to string }

// everyExample repeats the dear examples too.
var everyExample = flag.Bool("examples", false, "repeat every example, the dear ones too")

var all = []example{
	{brief: "rim-and-glow", studio: "northlight", exit: 0},
	{brief: "classic", studio: "northlight", exit: 0},
	{
		// By hand: eyes 63 mm apart and turned by 20 deg differ by 63 sin 20 = 21.5 mm in depth.
		// A frame of 35 cm at f/1.4 has 8.4 mm: 2 c N (1 + m) / m^2, m = 36/350, c = 0.0288 mm.
		brief: "tight-and-open", studio: "northlight", exit: 3,
		collide: []string{"aperture", "both-eyes-sharp", "framing"},
		reason:  []string{`8(\.\d)? mm is sharp`, `2[012](\.\d)? mm apart`},
		changes: []change{
			{help: `stop down to (f/[\d.]+)`, brief: []edit{{"aperture: f/1.4", "aperture: f/1.4..$1"}}},
			{help: `let the frame be 25 to (\d+) cm high`, brief: []edit{{"{tight_head: true}", "{height: 25 cm..$1 cm}"}}},
		},
	},
	{
		brief: "one-green-gel", studio: "northlight", exit: 3,
		collide: []string{"glow", "rim"},
		reason:  []string{"one leaf green"},
		changes: []change{
			{help: `let the rim be up to (\d+) deg from green`, brief: []edit{{"rim: {side: left, hue: green, within: 25 deg", "rim: {side: left, hue: green, within: $1 deg"}}},
			{help: `let the glow be up to (\d+) deg from green`, brief: []edit{{"glow: {hue: green, within: 25 deg", "glow: {hue: green, within: $1 deg"}}},
			{help: `.*(add|bring|one more).*leaf green.*`, studio: []edit{{"{id: leaf-green,", "{id: leaf-green, count: 2,"}}},
			{help: `add a (.+) gel`, studio: []edit{{"\ngels:\n", "\ngels:\n  - {id: hired, count: 2, standard: $1}\n"}}},
		},
	},
	{
		brief: "violet-rim", studio: "northlight", exit: 3,
		collide: []string{"rim"},
		reason:  []string{`deg or more from violet`},
		changes: []change{
			{help: `let the rim be up to (\d+) deg from violet`, brief: []edit{{"within: 20 deg", "within: $1 deg"}}},
			{help: `add a (.+) gel`, studio: []edit{{"\ngels:\n", "\ngels:\n  - {id: hired, count: 2, standard: $1}\n"}}},
		},
	},
	{
		brief: "black-from-white", studio: "spare-room", exit: 3,
		collide: []string{"exposure", "low-key", "soft"},
		reason:  []string{`[Bb]ounce of the room`, `white paper`},
		changes: []change{
			{help: `hang black paper.*`, brief: []edit{{"  - use: {item: white-paper}\n", ""}}, with: "spare-room-black"},
			{help: `add fabric grids \((\d+) deg\).*`, studio: []edit{{"\nstands:\n",
				"\ngrids:\n  - {id: cloth, fits: [box-60x60], cell: square, cutoff: $1 deg}\n\nstands:\n"}}},
			{help: `let the key be at least (\d+) deg across`, brief: []edit{{"at least 25 deg", "at least $1 deg"}}},
			{help: `let the background be at most (-[\d.]+) stops`, brief: []edit{{"at most -3 stops", "at most $1 stops"}}},
			{help: `let the face be at (-[\d.]+) to \+0.3 stops`, brief: []edit{{"  - soft:", "  - exposure: {key: $1..+0.3 stops}\n  - soft:"}}},
		},
	},
	{
		brief: "three-lights", studio: "two-stands", exit: 3,
		collide: []string{"rim"},
		reason:  []string{`rim-left light and a rim-right light|3 lights|three lights`, `2 stands|two stands`},
		changes: []change{
			{help: `.*one more( stand)?: medium stand`, studio: []edit{{"count: 2, lowest", "count: 3, lowest"}}},
			{help: `.*one more light: 300 Ws monolight.*`, studio: []edit{{"count: 2, lowest", "count: 3, lowest"}, {"count: 3\n    mount", "count: 4\n    mount"}}},
			{help: `keep only the (left|right) rim`, brief: []edit{{"side: both", "side: $1"}}},
		},
	},
}

// Every brief of the examples has its verdict here.
func TestEveryBriefIsAnExample(t *testing.T) {
	files, err := fs.Glob(examples.FS, "briefs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no briefs: %v", err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".yaml")
		if !slices.ContainsFunc(all, func(x example) bool { return x.brief == name }) {
			t.Errorf("%s has no verdict in this test", f)
		}
	}
}

func TestExamples(t *testing.T) {
	for _, x := range all {
		t.Run(x.brief, func(t *testing.T) {
			t.Parallel()
			if x.exit != 3 {
				answered(t, x.exit, "plan", x.brief, "--studio", x.studio)
				return
			}
			proof := filepath.Join(t.TempDir(), "proof.cnf")
			got := answered(t, x.exit, "why", x.brief, "--studio", x.studio, "--proof", proof)
			verified(t, proof, x.brief, "--studio", x.studio)
			x.cannot(t, got)
			if !got.Complete {
				t.Error("there may be more conflicts or releases")
			}
			x.applyHelp(t, got)
		})
	}
}

// Three runs of every example give the same bytes, in text and for programs.
func TestExamplesAreTheSameEachTime(t *testing.T) {
	for _, x := range all {
		t.Run(x.brief, func(t *testing.T) {
			t.Parallel()
			if x.studio == "spare-room" && !*everyExample {
				t.Skip("a minute of work; see -examples in DEVELOPERS.md")
			}
			var first string
			for run := range 3 {
				var out, errs bytes.Buffer
				args := []string{"why", x.brief, "--studio", x.studio, "--verbose"}
				if run%2 == 1 { // the other form comes between, and must not matter
					cli.Run(context.Background(), []string{"plan", x.brief, "--studio", x.studio, "--count", "1"}, strings.NewReader(""), &out, &errs, func(string) string { return "" })
					out.Reset()
					errs.Reset()
				}
				cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, func(string) string { return "" })
				got := out.String() + errs.String()
				if run == 0 {
					first = got
				} else if got != first {
					t.Fatalf("run %d differs:\n%s\nand\n%s", run+1, got, first)
				}
			}
		})
	}
}

// verified sees a proof checked, every rule and every fact of it derived again. What the checker
// says of lights together must be what the search said of them.
func verified(t *testing.T, proof string, args ...string) {
	t.Helper()
	var out, errs bytes.Buffer
	args = append([]string{"why", "--verify", proof, "--width", "2000"}, args...)
	if exit := cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, func(string) string { return "" }); exit != 3 {
		t.Fatalf("exit %d: %s%s", exit, &out, &errs)
	}
	all := regexp.MustCompile(`Derived again from studio and brief: (\d+) of (\d+)[^,]*, and (\d+) of (\d+)`).FindStringSubmatch(strings.ReplaceAll(out.String(), "\u00a0", " "))
	if all == nil || all[1] != all[2] || all[3] != all[4] {
		t.Errorf("not all was derived again:\n%s", &out)
	}
	rule := ""
	for line := range strings.Lines(out.String()) {
		switch _, again, found := strings.Cut(line, " are left. "); {
		case found && strings.Contains(rule, "wherever each may stand") && !strings.Contains(rule, strings.TrimSpace(again)):
			t.Errorf("the search says %q, the checker %q", rule, again)
		case strings.HasPrefix(line, "  "):
			rule = line
		}
	}
}

// cannot looks at the conflict and its argument.
func (x example) cannot(t *testing.T, got answer) {
	if len(got.Conflicts) != 1 || !got.Complete && !x.capped {
		t.Fatalf("%d conflicts, and that is all: %v", len(got.Conflicts), got.Complete)
	}
	c := got.Conflicts[0]
	var kinds []string
	for _, g := range c.Goals {
		kinds = append(kinds, g.Kind)
	}
	slices.Sort(kinds)
	if !slices.Equal(kinds, x.collide) {
		t.Errorf("%v collide, want %v", kinds, x.collide)
	}
	steps, last := "", ""
	for _, b := range c.Argument {
		switch b.Kind {
		case "step":
			steps += b.Text + "\n"
		case "conclusion":
			last = b.Text
		}
	}
	for _, r := range x.reason {
		if !regexp.MustCompile(r).MatchString(steps) {
			t.Errorf("the argument does not speak of %q:\n%s", r, steps)
		}
	}
	if !strings.HasPrefix(last, "So ") {
		t.Errorf("the conclusion reads %q", last)
	}
}

// applyHelp applies each change that is offered to the files themselves, and plans again.
func (x example) applyHelp(t *testing.T, got answer) {
	if len(got.Releases) == 0 {
		t.Fatal("nothing is offered that helps")
	}
	for _, offer := range got.Releases {
		if len(offer.LeftOut) > 0 {
			t.Run(offer.Change, func(t *testing.T) { x.leaveOut(t, offer) })
			continue
		}
		known := false
		for _, c := range x.changes {
			m := regexp.MustCompile("^" + c.help + "$").FindStringSubmatch(offer.Change)
			if m == nil {
				continue
			}
			known = true
			t.Run(offer.Change, func(t *testing.T) {
				studio := text(t, "studios/"+x.studio+".yaml")
				if c.with != "" {
					studio = text(t, "studios/"+c.with+".yaml")
				}
				exit := func(code int, m []string) {
					answered(t, code, "plan", written(t, "brief.yaml", edited(t, text(t, "briefs/"+x.brief+".yaml"), c.brief, m)),
						"--studio", written(t, "studio.yaml", edited(t, studio, c.studio, m)), "--count", "1")
				}
				exit(0, m)
				if len(offer.Moves) == 1 && !offer.Moves[0].Open { // the step before is proved not to be enough
					short := offer.Moves[0].Short
					if !strings.HasPrefix(short, "f/") {
						short, _, _ = strings.Cut(short, " ")
					}
					exit(3, []string{m[0], short})
				}
			})
			break
		}
		if !known {
			t.Errorf("nobody here knows how to apply %q by hand", offer.Change)
		}
	}
}

// leaveOut deletes the lines of goals from the file, and plans again; not where falloff
// would assume another in their place.
func (x example) leaveOut(t *testing.T, offer release) {
	lines := strings.Split(text(t, "briefs/"+x.brief+".yaml"), "\n")
	for _, g := range offer.LeftOut {
		if g.Line == 0 || strings.Contains(offer.Change, "write a looser") {
			return
		}
		lines[g.Line-1] = ""
	}
	answered(t, 0, "plan", written(t, "brief.yaml", strings.Join(lines, "\n")), "--studio", x.studio, "--count", "1")
}

func edited(t *testing.T, text string, edits []edit, caught []string) string {
	t.Helper()
	for _, e := range edits {
		if n := strings.Count(text, e.from); n != 1 {
			t.Fatalf("%q is there %d times", e.from, n)
		}
		for i, c := range caught {
			e.to = strings.ReplaceAll(e.to, fmt.Sprintf("$%d", i), c)
		}
		text = strings.Replace(text, e.from, e.to, 1)
	}
	return text
}

func text(t *testing.T, name string) string {
	t.Helper()
	b, err := fs.ReadFile(examples.FS, name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func written(t *testing.T, name, text string) string {
	t.Helper()
	name = filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return name
}

// The built-in brief has at least three set-ups that differ in what is seen at once, the
// best of them proved; and check agrees with plan on every number of every one.
func TestCheckAgreesWithPlan(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	got := answered(t, 0, "plan", "--write", dir)
	if len(got.Setups) < 3 {
		t.Fatalf("%d set-ups, want 3 or more", len(got.Setups))
	}
	if !got.Proved {
		t.Errorf("the best is not proved: %s", got.Open)
	}
	seen := map[string]int{}
	for i, planned := range got.Setups {
		look := seenAtOnce(planned)
		if j := seen[look]; j > 0 {
			t.Errorf("set-ups %d and %d look alike: %s", j, i+1, look)
		}
		seen[look] = i + 1
		checked := answered(t, 0, "check", filepath.Join(dir, fmt.Sprintf("set-up-%d.yaml", i+1))).Setups[0]
		delete(planned, "differs") // from the others, which check does not know
		delete(checked, "differs")
		for key, want := range planned {
			if !reflect.DeepEqual(checked[key], want) {
				t.Errorf("set-up %d, %s: check says\n%v\nand plan said\n%v", i+1, key, checked[key], want)
			}
		}
	}
}

// seenAtOnce is the lens, the backdrop, the side of the key, and each light's role and
// modifier.
func seenAtOnce(s map[string]any) string {
	look := fmt.Sprint(s["camera"].(map[string]any)["lens"], " ", s["backdrop"].(map[string]any)["item"])
	for _, x := range s["lights"].([]any) {
		l := x.(map[string]any)
		look += fmt.Sprint(" ", l["role"], " ", l["modifier"])
		if l["role"] == "key" {
			look += fmt.Sprint(" ", l["azimuth_deg"].(float64) < 0)
		}
	}
	return look
}

// Black behind the sitter, in the spare room: with white paper it cannot be had, as the
// examples say; a roll of black paper beside the white one gives it.
func TestBlackPaperIsDarkWhereWhiteIsNot(t *testing.T) {
	t.Parallel()
	brief := written(t, "brief.yaml", edited(t, text(t, "briefs/black-from-white.yaml"), []edit{{"  - use: {item: white-paper}\n", ""}}, nil))
	got := answered(t, 0, "plan", brief, "--studio", "spare-room-black")
	if item := got.Setups[0]["backdrop"].(map[string]any)["item"]; item != "black-paper" {
		t.Errorf("on %v", item)
	}
}

// answer is what these tests read of the program's JSON.
type answer struct {
	Outcome   string
	Proved    bool `json:"proved_best"`
	Open      string
	Setups    []map[string]any
	Conflicts []struct {
		Goals    []struct{ Kind string }
		Argument []struct{ Kind, Text string }
	}
	Releases []release
	Complete bool
}

type release struct {
	Change  string
	LeftOut []struct{ Line int } `json:"left_out"`
	Moves   []struct {
		Short string `json:"proved_not_enough"`
		Open  bool   `json:"open_between"`
	}
}

// answered runs one command line in this process, wants its exit code and an outcome that
// goes with it, and reads the answer.
func answered(t *testing.T, exit int, args ...string) (got answer) {
	t.Helper()
	var out, errs bytes.Buffer
	code := cli.Run(context.Background(), append(args, "--json"), strings.NewReader(""), &out, &errs, func(string) string { return "" })
	if code != exit {
		t.Fatalf("falloff %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, exit, errs.String(), out.String())
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if want := map[int]string{0: "found", 3: "cannot", 4: "undecided"}[exit]; got.Outcome != want {
		t.Fatalf("outcome %q with exit code %d", got.Outcome, exit)
	}
	for i, s := range got.Setups {
		if s["holds"] != true {
			t.Errorf("set-up %d is shown and does not hold", i+1)
		}
	}
	return got
}
