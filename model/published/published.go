// Package published holds the small shape in which tests state values that were published
// or computed elsewhere: what, by whom, how near, and what this program gives. Only tests
// import it. "go test -run Published -v ./..." prints all of them.
package published

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"
)

// Value is one check. Case is its id in testdata/reference_cases.json, empty for values
// from elsewhere; Tolerance is absolute; Source says where the wanted value is from.
type Value struct {
	Case, What           string
	Want, Tolerance, Got float64
	Source               string
}

func (v Value) holds() bool {
	return v.Got == v.Want || math.Abs(v.Got-v.Want) <= v.Tolerance // infinities are equal
}

// Between is a value with a usual range instead of one figure.
func Between(what string, low, high, got float64, source string) Value {
	return Value{What: what, Want: (low + high) / 2, Tolerance: (high - low) / 2, Got: got, Source: source}
}

// Case is one of testdata/reference_cases.json.
type Case struct {
	ID, Area, How       string
	Input               map[string]any
	Expected, Tolerance any
}

// Cases reads the cases whose ids begin with one of some prefixes.
func Cases(t testing.TB, prefixes ...string) (out []Case) {
	t.Helper()
	for _, c := range allCases(t) {
		for _, p := range prefixes {
			if strings.HasPrefix(c.ID, p) {
				out = append(out, c)
				break
			}
		}
	}
	if len(out) == 0 {
		t.Fatalf("no case begins with %s", strings.Join(prefixes, " or "))
	}
	return out
}

func allCases(t testing.TB) []Case {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root(t), "testdata", "reference_cases.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Cases []Case }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// root is the folder of go.mod, above the package under test.
func root(t testing.TB) string {
	t.Helper()
	for dir := "."; ; dir = filepath.Join(dir, "..") {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if len(dir) > 60 {
			t.Fatal("no go.mod above this package")
		}
	}
}

// Num is a number of the input; Has reports whether it is there.
func (c Case) Num(key string) float64 { return c.Input[key].(float64) }

func (c Case) Has(key string) bool { _, ok := c.Input[key]; return ok }

// Text is a text of the input, empty where there is none.
func (c Case) Text(key string) string { s, _ := c.Input[key].(string); return s }

// Want is an expected number by its name, or with an empty name the only one.
func (c Case) Want(key string) float64 {
	if key == "" {
		return c.Expected.(float64)
	}
	return c.Expected.(map[string]any)[key].(float64)
}

// Wants reports whether a number of that name is expected.
func (c Case) Wants(key string) bool {
	m, ok := c.Expected.(map[string]any)
	return ok && m[key] != nil
}

// Allowed is the tolerance of that name, or of "rel" times the wanted value or "abs" where
// the name is empty.
func (c Case) Allowed(name string, want float64) float64 {
	tol := c.Tolerance.(map[string]any)
	if name != "" {
		x := tol[name].(float64)
		if strings.HasSuffix(name, "_rel") {
			x *= math.Abs(want)
		}
		return x
	}
	if r, ok := tol["rel"]; ok {
		return r.(float64) * math.Abs(want)
	}
	return tol["abs"].(float64)
}

// Value checks an expected number of a case: its key, the name of its tolerance, and what
// this program gives.
func (c Case) Value(key, tolerance string, got float64) Value {
	want := c.Want(key)
	what := c.ID
	if key != "" {
		what += " " + key
	}
	return Value{c.ID, what, want, c.Allowed(tolerance, want), got, "reference case: " + c.How}
}

// owners says which package checks which cases, by the beginning of their ids.
var owners = []struct{ prefix, pkg string }{
	{"F-true", "model/unit"}, {"F-", "model/light"}, {"A-", "model/light"}, {"B-", "model/light"}, {"C-", "model/light"},
	{"D-", "model/colour"}, {"E-", "model/optics"}, {"G-", "model/light/photometry"},
}

func ownerOf(id string) string {
	for _, o := range owners {
		if strings.HasPrefix(id, o.prefix) {
			return o.pkg
		}
	}
	return ""
}

// Report prints the values as a table, fails for each that does not hold, and fails for each
// reference case of the package that no value is of.
func Report(t *testing.T, pkg string, values []Value) {
	t.Helper()
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "\npackage\twhat\tpublished\t+-\tours\tsource\n")
	covered := map[string]bool{}
	for _, v := range values {
		note := ""
		if !v.holds() {
			note = "  <-- DIFFERS"
			t.Errorf("%s: %.7g, published %.7g +- %.2g (%s)", v.What, v.Got, v.Want, v.Tolerance, v.Source)
		}
		if v.Source == "" {
			t.Errorf("%s names no source", v.What)
		}
		covered[v.Case] = true
		fmt.Fprintf(w, "%s\t%s\t%.7g\t%.2g\t%.7g%s\t%s\n", pkg, v.What, v.Want, v.Tolerance, v.Got, note, v.Source)
	}
	w.Flush()
	t.Log(b.String())
	known := map[string]bool{"": true}
	for _, c := range allCases(t) {
		known[c.ID] = true
		if ownerOf(c.ID) == pkg && !covered[c.ID] {
			t.Errorf("reference case %s is not checked", c.ID)
		}
	}
	for id := range covered {
		if !known[id] {
			t.Errorf("there is no reference case %s", id)
		}
	}
}
