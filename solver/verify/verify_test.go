package verify

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// possible goes through every assignment.
func possible(vars int, clauses [][]int) bool {
	for bits := range 1 << vars {
		all := true
		for _, c := range clauses {
			some := false
			for _, x := range c {
				some = some || x > 0 && bits>>(x-1)&1 == 1 || x < 0 && bits>>(-x-1)&1 == 0
			}
			all = all && some
		}
		if all {
			return true
		}
	}
	return false
}

func TestRefuteAgreesWithEveryAssignment(t *testing.T) {
	d := rand.New(rand.NewPCG(1, 2))
	yes, no := 0, 0
	for range 6000 {
		vars := 1 + d.IntN(9)
		var clauses [][]int
		for range d.IntN(6 * vars) {
			c := []int{}
			for range 1 + d.IntN(3) {
				x := 1 + d.IntN(vars)
				if d.IntN(2) == 0 {
					x = -x
				}
				c = append(c, x)
			}
			clauses = append(clauses, c)
		}
		want := !possible(vars, clauses)
		if got, _ := refute(vars, clauses); got != want {
			t.Fatalf("refuted %v, want %v: %v", got, want, clauses)
		}
		if want {
			no++
		} else {
			yes++
		}
	}
	if yes < 1000 || no < 1000 {
		t.Errorf("%d can hold and %d cannot: one of them is too rare", yes, no)
	}
}

// Seven lights do not go on six stands.
func TestPigeons(t *testing.T) {
	const n = 6
	at := func(light, stand int) int { return light*n + stand + 1 }
	var clauses [][]int
	for l := range n + 1 {
		var c []int
		for s := range n {
			c = append(c, at(l, s))
			for k := range l {
				clauses = append(clauses, []int{-at(l, s), -at(k, s)})
			}
		}
		clauses = append(clauses, c)
	}
	if got, met := refute((n+1)*n, clauses); !got || met < 10 {
		t.Errorf("refuted %v after %d contradictions", got, met)
	}
}

const small = `c brief Two wishes
c goal 1 iso: base
c goal 2 aperture: f/8
c rule 3 The lamp is too weak.
c assumed 3
p cnf 4 6
-1 4 0
-2 4 0
-3 -4 -1 0
1 0
2 0
3 0
`

func TestCheck(t *testing.T) {
	for name, c := range map[string]struct{ from, to, want string }{
		"as it is":         {"", "", ""},
		"another brief":    {"iso: base", "iso: 100", "another brief"},
		"a rule is gone":   {"-3 -4 -1 0", "-3 -4 -1 2 0", "prove nothing"},
		"an unnamed guard": {"c rule 3 The lamp is too weak.\n", "", "does not name"},
		"too few clauses":  {"p cnf 4 6", "p cnf 4 7", "says it holds 7 clauses"},
		"too many":         {"p cnf 4 6", "p cnf 4 5", "line 12"},
		"no such variable": {"-2 4 0", "-2 9 0", "line 8"},
		"no end":           {"-2 4 0", "-2 4", "line 8"},
		"no header":        {"p cnf 4 6\n", "", "before the line"},
	} {
		err := func() error {
			p, err := Read(strings.NewReader(strings.Replace(small, c.from, c.to, 1)))
			if err != nil {
				return err
			}
			_, err = p.Check([]string{"iso: base", "aperture: f/8", "soft"})
			return err
		}()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}
