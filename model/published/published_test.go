package published

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every reference case belongs to a package, and that package reports it: Report itself
// fails for a case that is left out.
func TestEveryCaseHasAReporter(t *testing.T) {
	cases := allCases(t)
	if len(cases) != 129 { // as the file says of itself
		t.Errorf("%d reference cases, want 129", len(cases))
	}
	reports := map[string]bool{}
	for _, o := range owners {
		files, err := filepath.Glob(filepath.Join(root(t), filepath.FromSlash(o.pkg), "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			text, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			if s := string(text); strings.Contains(s, "func TestPublished(") && strings.Contains(s, `published.Report(t, "`+o.pkg+`"`) {
				if !strings.HasPrefix(s, "package "+filepath.Base(o.pkg)+"_test\n") {
					t.Errorf("%s does not look at its package from outside", f)
				}
				reports[o.pkg] = true
			}
		}
	}
	for _, c := range cases {
		if pkg := ownerOf(c.ID); pkg == "" || !reports[pkg] {
			t.Errorf("no package reports reference case %s (owner %q)", c.ID, pkg)
		}
	}
}

func TestHolds(t *testing.T) {
	for _, c := range []struct {
		v    Value
		want bool
	}{
		{Value{Want: 1, Tolerance: 0.1, Got: 1.09}, true}, {Value{Want: 1, Tolerance: 0.1, Got: 1.2}, false},
		{Between("", 2, 4, 2, ""), true}, {Between("", 2, 4, 4.01, ""), false},
		{Value{Want: 1, Tolerance: 0.1, Got: nan()}, false},
	} {
		if c.v.holds() != c.want {
			t.Errorf("%+v holds: %v", c.v, c.v.holds())
		}
	}
}

func nan() float64 { z := 0.0; return z / z }
