// Package falloff_test holds the one test that looks at the whole project: who may import
// whom.
package falloff_test

import (
	"errors"
	"fmt"
	"go/build"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// diagram draws the project. "a < b" lets b import a, and all that a may import; what is
// not drawn is forbidden. A folder stands for all below it that has no line of its own.
// A name with a dot in it is a library, which only those right of it may import. The
// remark is the reason that is told to whoever imports against the arrow.
const diagram = `
model < inventory < constraints < solver < cmd

model       < inventory   # physics knows no gear
inventory   < constraints # gear knows no wishes
constraints < solver      # a wish knows no search
solver      < cmd, cmd/internal/report # a search knows no terminal

model/source < model/unit                                          # files are read without knowing what is in them
model/unit, model/geom < model/colour, model/light, model/optics, model/people # values carry no physics
model/colour, model/light, model/optics, model/people < model      # each computes alone, and is tested alone
model/published < tests                                            # what was published belongs to tests

solver/internal/sat < solver                # a literal knows no lamp
constraints         < solver/verify         # a proof is checked by the model that it speaks of
solver/export       < solver, cmd           # what other solvers are given knows no light
solver/verify       < cmd, cmd/internal/report # who checks a proof shares nothing with who found it
cmd/internal/report < cmd                   # a page words an answer and never seeks one
inventory < examples < cmd                  # examples are files, and not the search's business

gopkg.in/yaml.v3       < model/source        # one strict reader, so that every value has a place
gonum.org/v1/gonum     < model/light, tests  # only room bounce solves a system of equations
github.com/go-air/gini < solver/internal/sat # else every kind starts to think in literals
github.com/spf13/cobra < cmd                 # a command line is not the solver's business

github.com/google/go-cmp, github.com/rogpeppe/go-internal, github.com/lucasb-eyer/go-colorful, pgregory.net/rapid < tests # they check the program and are no part of it
`

const module = "falloff"

// pkg is a package, as far as it matters here.
type pkg struct {
	path           string // in the module; empty for the top folder
	source         bool   // it has more than tests
	imports, tests []string
}

func TestLayout(t *testing.T) {
	d, err := read(diagram)
	if err != nil {
		t.Fatal(err)
	}
	all := list(t)
	if len(all) < 15 { // there are about twenty
		t.Fatalf("only %d packages were listed", len(all))
	}
	for _, p := range all {
		for _, complaint := range d.judge(p) {
			t.Error(complaint)
		}
	}
	for _, idle := range d.unused(all) {
		t.Errorf("the diagram draws %s, and there is no such package or import", idle)
	}
}

// list reads the imports of all packages, files for other systems included. It reads them
// itself, not through the go command, so that a cached result knows which files it rests on.
func list(t *testing.T) (out []pkg) {
	t.Helper()
	all := build.Default
	all.UseAllFiles = true
	err := filepath.WalkDir(".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || !e.IsDir() {
			return err
		}
		if path != "." && (e.Name() == "testdata" || strings.ContainsAny(e.Name()[:1], "._")) {
			return fs.SkipDir
		}
		p, err := all.ImportDir(path, 0)
		if _, empty := errors.AsType[*build.NoGoError](err); empty {
			return nil
		} else if err != nil {
			return err
		}
		name := filepath.ToSlash(path)
		if name == "." {
			name = ""
		}
		out = append(out, pkg{name, len(p.GoFiles) > 0, p.Imports, slices.Concat(p.TestImports, p.XTestImports)})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// drawing is the diagram as read: who stands right of whom.
type drawing struct {
	right map[string][]string // by name: the names that may import it
	why   map[[2]string]string
}

func read(text string) (*drawing, error) {
	d := &drawing{right: map[string][]string{}, why: map[[2]string]string{}}
	for _, line := range strings.Split(text, "\n") {
		arrows, why, _ := strings.Cut(line, "#")
		if strings.TrimSpace(arrows) == "" {
			continue
		}
		steps := strings.Split(arrows, "<")
		if len(steps) < 2 {
			return nil, fmt.Errorf("%q has no arrow", line)
		}
		for i := range steps[1:] {
			for _, a := range names(steps[i]) {
				for _, b := range names(steps[i+1]) {
					if !slices.Contains(d.right[a], b) {
						d.right[a] = append(d.right[a], b)
					}
					if why = strings.TrimSpace(why); why != "" && d.why[[2]string{a, b}] == "" {
						d.why[[2]string{a, b}] = why
					}
				}
			}
		}
	}
	for a, right := range d.right {
		for _, b := range right {
			if d.why[[2]string{a, b}] == "" {
				return nil, fmt.Errorf("no reason is given why %s may not import %s", a, b)
			}
		}
		if d.reaches(a, a, false) {
			return nil, fmt.Errorf("%s stands right of itself", a)
		}
	}
	return d, nil
}

func names(list string) (out []string) {
	for _, n := range strings.Split(list, ",") {
		out = append(out, strings.TrimSpace(n))
	}
	return out
}

// reaches reports whether a way of arrows leads from a to b, or is empty where that is
// allowed.
func (d *drawing) reaches(a, b string, empty bool) bool {
	if empty && a == b {
		return true
	}
	return slices.ContainsFunc(d.right[a], func(next string) bool { return d.reaches(next, b, true) })
}

// reason is why a may not import b: of the first arrow on the way from a to b, or else of
// the first that leaves a. For a library it is that of the library's own arrow.
func (d *drawing) reason(a, b string) string {
	if b == "" || isLibrary(b) {
		a = b
	}
	for _, next := range d.right[a] {
		if d.reaches(next, b, true) {
			return d.why[[2]string{a, next}]
		}
	}
	if len(d.right[a]) > 0 {
		return d.why[[2]string{a, d.right[a][0]}]
	}
	return "it is not in the diagram"
}

// name is the longest drawn name that covers a path; empty if none does.
func (d *drawing) name(path string) (longest string) {
	consider := func(n string) {
		if (path == n || strings.HasPrefix(path, n+"/")) && len(n) > len(longest) {
			longest = n
		}
	}
	for a, right := range d.right {
		consider(a)
		for _, b := range right {
			consider(b)
		}
	}
	return longest
}

func isLibrary(path string) bool {
	first, _, _ := strings.Cut(path, "/")
	return strings.Contains(first, ".")
}

// ours cuts the module's name off a path; false for the standard library and for libraries.
func ours(path string) (string, bool) { return strings.CutPrefix(path, module+"/") }

// judge says what is wrong with a package.
func (d *drawing) judge(p pkg) (complaints []string) {
	at := d.name(p.path)
	switch {
	case p.path == "" && p.source:
		complaints = append(complaints, "the top folder holds source; it is for documents and this test")
	case p.path != "" && at == "":
		complaints = append(complaints, fmt.Sprintf("%s is not in the diagram; source lives in the folders that are", p.path))
	}
	complain := func(who, q string) {
		complaints = append(complaints, fmt.Sprintf("%s may not import %s: %s", who, q, d.reason(at, d.name(q))))
	}
	for _, q := range p.imports {
		if inside, ok := ours(q); ok {
			if to := d.name(inside); at != to && !d.reaches(to, at, false) {
				complain(p.path, inside)
			}
		} else if isLibrary(q) && !slices.Contains(d.right[d.name(q)], at) {
			complain(p.path, q)
		}
	}
	for _, q := range p.tests { // a test may look anywhere in the project
		right := d.right[d.name(q)]
		if isLibrary(q) && !slices.Contains(right, at) && !slices.Contains(right, "tests") {
			complain("a test of "+p.path, q)
		}
	}
	return complaints
}

// unused lists drawn names that nothing has, so that the diagram stays true.
func (d *drawing) unused(all []pkg) (idle []string) {
	seen := map[string]bool{"tests": true, "model": true} // model is the sum of what is drawn below it
	for _, p := range all {
		seen[d.name(p.path)] = true
		for _, q := range slices.Concat(p.imports, p.tests) {
			seen[d.name(q)] = true
		}
	}
	drawn := slices.Collect(maps.Keys(d.right))
	for _, right := range d.right {
		drawn = append(drawn, right...)
	}
	slices.Sort(drawn)
	for _, n := range slices.Compact(drawn) {
		if !seen[n] {
			idle = append(idle, n)
		}
	}
	return idle
}

// The test above says nothing if its judge is blind, so the judge sees made-up packages,
// each with the one complaint that it deserves.
func TestLayoutIsJudged(t *testing.T) {
	d, err := read(diagram)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path, imports, tests string
		want                 string // "" if all is well
	}{
		{path: "solver", imports: "falloff/constraints falloff/model/light falloff/solver/internal/sat fmt math"},
		{path: "solver/explain", imports: "falloff/model/source"},
		{path: "model/light", imports: "falloff/model/geom falloff/model/unit gonum.org/v1/gonum/mat"},
		{path: "cmd/internal/cli", imports: "falloff/cmd/internal/report falloff/solver falloff/examples github.com/spf13/cobra"},
		{path: "solver", tests: "falloff/examples pgregory.net/rapid"},
		{path: "inventory/hirehouse", imports: "falloff/inventory falloff/model/source"},

		{path: "model/light", imports: "falloff/inventory", want: "model/light may not import inventory: each computes alone, and is tested alone"},
		{path: "model/optics", imports: "falloff/model/light", want: "model/optics may not import model/light: each computes alone, and is tested alone"},
		{path: "model/source", imports: "falloff/model/unit", want: "model/source may not import model/unit: files are read without knowing what is in them"},
		{path: "model/source", imports: "falloff/model/geom", want: "model/source may not import model/geom: files are read without knowing what is in them"},
		{path: "inventory", imports: "falloff/constraints", want: "inventory may not import constraints: gear knows no wishes"},
		{path: "constraints", imports: "falloff/solver/explain", want: "constraints may not import solver/explain: a wish knows no search"},
		{path: "solver", imports: "falloff/cmd/internal/report", want: "solver may not import cmd/internal/report: a search knows no terminal"},
		{path: "solver/verify", imports: "falloff/solver/internal/sat", want: "solver/verify may not import solver/internal/sat: who checks a proof shares nothing with who found it"},
		{path: "solver", imports: "falloff/examples", want: "solver may not import examples: a search knows no terminal"},
		{path: "cmd/internal/report", imports: "falloff/cmd/internal/cli", want: "cmd/internal/report may not import cmd/internal/cli: a page words an answer and never seeks one"},
		{path: "solver/internal/sat", imports: "falloff/constraints", want: "solver/internal/sat may not import constraints: a literal knows no lamp"},
		{path: "solver", imports: "github.com/go-air/gini", want: "solver may not import github.com/go-air/gini: else every kind starts to think in literals"},
		{path: "solver", tests: "github.com/go-air/gini/z", want: "a test of solver may not import github.com/go-air/gini/z: else every kind starts to think in literals"},
		{path: "inventory", imports: "gopkg.in/yaml.v3", want: "inventory may not import gopkg.in/yaml.v3: one strict reader, so that every value has a place"},
		{path: "constraints", imports: "pgregory.net/rapid", want: "constraints may not import pgregory.net/rapid: they check the program and are no part of it"},
		{path: "inventory", imports: "example.org/other", want: "inventory may not import example.org/other: it is not in the diagram"},
		{path: "util", want: "util is not in the diagram; source lives in the folders that are"},
		{path: "", want: "the top folder holds source; it is for documents and this test"},
	} {
		got := d.judge(pkg{c.path, true, strings.Fields(c.imports), strings.Fields(c.tests)})
		if all := strings.Join(got, "\n"); all != c.want {
			t.Errorf("%s importing %s%s:\n got %q\nwant %q", c.path, c.imports, c.tests, all, c.want)
		}
	}
	if got := d.judge(pkg{path: "", source: false}); len(got) > 0 {
		t.Errorf("a top folder without source: %v", got)
	}
	if got := d.unused(nil); !slices.Contains(got, "solver") || !slices.Contains(got, "github.com/go-air/gini") {
		t.Errorf("a diagram of nothing has idle names only, not %v", got)
	}
	for text, want := range map[string]string{
		"a b # why":                  `"a b # why" has no arrow`,
		"a < b":                      "no reason is given why a may not import b",
		"a < b # why\nb < a # oh no": "stands right of itself",
	} {
		if _, err := read(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("diagram %q: %v, want %q", text, err, want)
		}
	}
}
