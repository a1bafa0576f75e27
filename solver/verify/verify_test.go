package verify

import (
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"falloff/model/light"
	"falloff/model/unit"
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

func TestRead(t *testing.T) {
	for name, c := range map[string]struct{ from, to, want string }{
		"as it is":         {"", "", ""},
		"a rule is gone":   {"-3 -4 -1 0", "-3 -4 -1 2 0", "no contradiction"},
		"too few clauses":  {"p cnf 4 6", "p cnf 4 7", "says it holds 7 clauses"},
		"too many":         {"p cnf 4 6", "p cnf 4 5", "line 12"},
		"no such variable": {"-2 4 0", "-2 9 0", "line 8"},
		"no end":           {"-2 4 0", "-2 4", "line 8"},
		"no header":        {"p cnf 4 6\n", "", "before the line"},
		"no literal":       {"c goal 1 iso", "c goal one iso", "line 2"},
	} {
		err := func() error {
			p, err := Read(strings.NewReader(strings.Replace(small, c.from, c.to, 1)))
			if err == nil && !p.Contradicts() {
				err = errors.New("no contradiction")
			}
			return err
		}()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// Whatever the walk, the halves fill their box: no pose of it is in none of them.
func TestCoverIsWhole(t *testing.T) {
	d := rand.New(rand.NewPCG(3, 4))
	var walk func(depth int) string
	walk = func(depth int) string {
		if depth == 0 || d.IntN(3) == 0 {
			return "0"
		}
		return "1" + walk(depth-1) + walk(depth-1)
	}
	for range 300 {
		axis := func(lo, hi float64) []float64 {
			cuts := []float64{lo, hi}
			for range d.IntN(4) {
				cuts = append(cuts, lo+(hi-lo)*d.Float64())
			}
			slices.Sort(cuts)
			return slices.Compact(cuts)
		}
		c := cover{[3][]float64{axis(0.5, 3), axis(-1.3, 1.3), axis(-0.1, 0.9)}, map[int]string{0: walk(5)}}
		var boxes []light.PoseBox
		c.boxes(func(b light.PoseBox) { boxes = append(boxes, b) })
		for range 100 {
			at := [3]float64{0.5 + 2.5*d.Float64(), -1.3 + 2.6*d.Float64(), -0.1 + d.Float64()}
			if !slices.ContainsFunc(boxes, func(b light.PoseBox) bool {
				return b.D.Holds(unit.Point(at[0])) && b.Az.Holds(unit.Point(at[1])) && b.El.Holds(unit.Point(at[2]))
			}) {
				t.Fatalf("%v is in no box of %v", at, c)
			}
		}
	}
}

func TestHalvesAreRead(t *testing.T) {
	for text, good := range map[string]bool{"": true, "3:100": true, "3:100 5:11000": true, "3:10": false, "3:1000": false,
		"3:102": false, "x:100": false, "3:100 3:100": false, "-1:100": false, "3": false} {
		if _, err := readHalves(text); (err == nil) != good {
			t.Errorf("%q: %v", text, err)
		}
	}
}
