package solver

import (
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

var mutate = flag.Bool("mutate", false, "break the encoder in several ways, in copies, and see that a test notices")

// mutation is one way to break the encoder: a text that occurs once in a file of this
// folder, and what takes its place.
type mutation struct{ name, file, from, to string }

var mutations = []mutation{
	{"a setting that does is forbidden with those that do not", "rules.go", "r.order.AtLeast(first).Not(), r.order.AtMost(i).Not())", "r.order.AtLeast(max(0, first-1)).Not(), r.order.AtMost(i).Not())"},
	{"a light that is needed is forbidden", "rules.go", "l.rule(why, l.roles[r].on)", "l.rule(why, l.roles[r].on.Not())"},
	{"the sync speed is two steps off", "lattice.go", "l.shutter.AtLeast(first))", "l.shutter.AtLeast(min(first+2, len(l.shutters)-1)))"},
	{"the room is half a metre short", "lattice.go", "if y+depth <= length+1e-9 {", "if y+depth <= length-0.5 {"},
	{"an item less than there are", "lattice.go", "l.atMost(item.Count, lits, why)", "l.atMost(item.Count-1, lits, why)"},
	{"steps of an integer imply each other the wrong way", "internal/sat/order.go", "p.Add(o.steps[i].Not(), o.steps[i-1])", "p.Add(o.steps[i], o.steps[i-1].Not())"},
	{"a lemma claims two stops more", "refute.go", "slices.BinarySearch(l.needs, at-by.slack)", "slices.BinarySearch(l.needs, at-by.slack-2)"},
	{"a light gone through place by place gives half a stop less than it can", "each.go", "x.Hi = e.Hi + by.slack + leastGap", "x.Hi = e.Hi + by.slack - 0.5"},
	{"a place that stays open is passed over", "each.go", "if !w.IsEmpty() {", "if w.Width() > 6 {"},
	{"a lemma forgets the modifier", "candidate.go", "out := []sat.Lit{v.mods[g.iMod], v.grids[g.iGrid]}", "out := []sat.Lit{v.grids[g.iGrid]}"},
	{"a lemma takes every wider frame for the same", "refute.go", "return not(l.bodies[c.iBody], l.lenses[c.iLens], ge, le)", "return not(l.bodies[c.iBody], l.lenses[c.iLens], ge, le)[:3]"},
	{"a lemma covers backdrop distances that nobody looked at", "refute.go", "last < len(l.depths)-1 && all(c.iPaper, last+1)", "last < len(l.depths)-1"},
	{"a conflict is not struck from the map", "internal/sat/conflicts.go", "clause = append(clause, s.in[s.place[m]].Not())", "clause = append(clause, s.in[s.place[m]], s.in[s.place[m]].Not())"},
}

// What is to be broken is there, once: otherwise a mutation tests nothing.
func TestMutationsFindTheirPlace(t *testing.T) {
	for _, m := range mutations {
		text, err := os.ReadFile(m.file)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), m.from); n != 1 {
			t.Errorf("%s: the text is there %d times", m.name, n)
		}
	}
}

// Each mutation makes a test fail that passes without it. It takes minutes:
//
//	go test ./solver -run Mutations -mutate -v -timeout 30m
func TestMutationsAreNoticed(t *testing.T) {
	if !*mutate {
		t.Skip("takes minutes; -mutate runs it")
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, withoutGit{os.DirFS("..")}); err != nil {
		t.Fatal(err)
	}
	if out, err := judged(dir); err != nil {
		t.Fatalf("the tests fail without a mutation: %v\n%s", err, out)
	}
	for _, m := range mutations {
		name := filepath.Join(dir, "solver", m.file)
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), m.from); n != 1 {
			t.Fatalf("%s: the text is there %d times", m.name, n)
		}
		if err := os.WriteFile(name, []byte(strings.Replace(string(text), m.from, m.to, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
		out, err := judged(dir)
		switch {
		case err == nil:
			t.Errorf("no test notices that %s", m.name)
		case strings.Contains(out, "[build failed]"):
			t.Errorf("%s: it does not build:\n%s", m.name, out)
		default:
			t.Logf("%s: noticed by %s", m.name, firstFailure(out))
		}
		if err := os.WriteFile(name, text, 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

// judged runs the referees that are quick, in a copy of the project.
func judged(dir string) (string, error) {
	for _, args := range [][]string{
		{"test", "./solver/internal/sat", "-failfast", "-timeout", "2m"},
		{"test", "./solver", "-run", "ExactSetups|Rules|EverySet|Brute|Tampered", "-briefs", "160", "-failfast", "-timeout", "4m"},
	} {
		c := exec.Command("go", args...)
		c.Dir = dir
		if out, err := c.CombinedOutput(); err != nil {
			return string(out), err
		}
	}
	return "", nil
}

func firstFailure(out string) string {
	_, after, _ := strings.Cut(out, "--- FAIL: ")
	name, _, _ := strings.Cut(after, " ")
	if name == "" {
		return "a fault: " + strings.TrimSpace(out[:min(200, len(out))])
	}
	return name
}

// withoutGit leaves hidden folders out.
type withoutGit struct{ fs.FS }

func (w withoutGit) ReadDir(name string) ([]fs.DirEntry, error) {
	all, err := fs.ReadDir(w.FS, name)
	var out []fs.DirEntry
	for _, e := range all {
		if !strings.HasPrefix(e.Name(), ".") {
			out = append(out, e)
		}
	}
	return out, err
}
