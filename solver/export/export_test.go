package export

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"os"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// small draws a model of few variables, with steps, counts, wishes and long rows.
func small(t *rapid.T) *Model {
	m := &Model{Title: "Drawn", Notes: []string{"of small\nnumbers"}}
	namer := &Namer{}
	n := rapid.IntRange(3, 8).Draw(t, "variables")
	for i := range n {
		m.Names = append(m.Names, namer.Name(rapid.SampledFrom([]string{"key head Mono-400", "aperture f/2.8 or more", "e4", "--", "cost"}).Draw(t, "name")))
		if i < 2 {
			m.Used = append(m.Used, i+1)
		} else if i < 5 {
			m.Gear = append(m.Gear, i+1)
		}
	}
	lit := rapid.Custom(func(t *rapid.T) int {
		v := rapid.IntRange(1, n).Draw(t, "variable")
		if rapid.Bool().Draw(t, "not") {
			return -v
		}
		return v
	})
	for range rapid.IntRange(0, 8).Draw(t, "clauses") {
		c := rapid.SliceOfNDistinct(lit, 0, 4, func(x int) int { return max(x, -x) }).Draw(t, "clause")
		if len(c) > 0 || rapid.IntRange(0, 9).Draw(t, "empty") == 0 {
			m.Clauses = append(m.Clauses, c)
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "counts") {
		c := rapid.SliceOfN(lit, 1, 5).Draw(t, "counted")
		m.Counts = append(m.Counts, Count{rapid.IntRange(0, len(c)).Draw(t, "most"), c})
	}
	for _, name := range []string{"missed", "lights", "minutes"} {
		s := Sum{Name: name}
		for range rapid.IntRange(0, 5).Draw(t, "terms") {
			s.Terms = append(s.Terms, Term{lit.Draw(t, "term"), rapid.IntRange(1, 12).Draw(t, "weight")})
		}
		for range rapid.IntRange(0, 1).Draw(t, "steps") {
			s.Steps = append(s.Steps, Step{lit.Draw(t, "step"), rapid.IntRange(0, s.High()+1).Draw(t, "at")})
		}
		m.Sums = append(m.Sums, s)
	}
	for _, v := range rapid.SliceOfNDistinct(rapid.IntRange(1, n), 0, 3, rapid.ID).Draw(t, "goals") {
		m.Goals = append(m.Goals, Goal{Lit: v, Text: "soft: {key: 30 deg}", Wish: rapid.IntRange(0, 1).Draw(t, "wish")})
	}
	return m
}

// solutions goes through every assignment: how many hold, and the least cost.
func solutions(names []string, holds func(is map[string]bool) (bool, int)) (count, least int) {
	for bits := range 1 << len(names) {
		is := map[string]bool{}
		for i, name := range names {
			is[name] = bits>>i&1 == 1
		}
		if ok, cost := holds(is); ok {
			if count == 0 || cost < least {
				least = cost
			}
			count++
		}
	}
	return count, least
}

// of is what the model itself says.
func of(m *Model) func(map[string]bool) (bool, int) {
	return func(is map[string]bool) (bool, int) {
		values := make([]bool, len(m.Names))
		for i, name := range m.Names {
			values[i] = is[name]
		}
		holds, sums := m.Holds(values)
		cost := 0
		for i, w := range m.Weights()[:len(sums)] {
			cost += w * sums[i]
		}
		for _, v := range m.Musts() {
			holds = holds && values[v-1]
		}
		return holds, cost
	}
}

// Each text, read by an evaluator that shares nothing with its writer, has the solutions and
// the least cost of the model.
func TestTextsSayWhatTheModelSays(t *testing.T) {
	some, none := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m := small(t)
		count, least := solutions(m.Names, of(m))
		if count > 0 {
			some++
		} else {
			none++
		}
		for name, read := range map[string]func(string) func(map[string]bool) (bool, int){"MiniZinc": miniZinc, "SMT-LIB": smtLib, "LP": linear} {
			text := map[string]func() []byte{"MiniZinc": m.MiniZinc, "SMT-LIB": m.SMT, "LP": m.LP}[name]()
			gotCount, gotLeast := solutions(m.Names, read(string(text)))
			if gotCount != count || gotLeast != least {
				t.Fatalf("%s: %d solutions from %d, want %d from %d\n%s", name, gotCount, gotLeast, count, least, text)
			}
		}
	})
	if some < 20 || none < 5 {
		t.Errorf("%d models have solutions and %d have none: one of them is too rare", some, none)
	}
}

// What is written is read back, but for the words.
func TestReadSMT(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := small(t)
		got, err := ReadSMT(m.SMT())
		if err != nil {
			t.Fatal(err)
		}
		want := *m
		want.Title, want.Notes, want.Goals = "", nil, nil
		for _, v := range m.Musts() {
			want.Goals = append(want.Goals, Goal{Lit: v})
		}
		if d := cmp.Diff(&want, got, cmp.Transformer("empty", func(c []int) string { return fmt.Sprint(c) })); d != "" {
			t.Fatal(d)
		}
	})
	for text, want := range map[string]string{
		"(declare-const a Bool": "end came too early",
		"(declare-const a Int)": `"Int" where "Bool" was expected`,
		"(assert a)":            `"a" is not declared`,
		"(push)":                "no command",
		"(declare-const a Bool)(assert (and a a))":                      "a rule was expected",
		"(define-fun s () Int (+ 0 (ite a x 0)))":                       `"a" is not declared`,
		"(declare-const a Bool)(define-fun s () Int (+ 0 (ite a x 0)))": `"x" is not a number`,
		"(declare-const a Bool)(assert (=> (>= s 1) a))":                `"s" is no sum`,
		`(set-info :gear "a)`:                                           "without an end",
	} {
		if _, err := ReadSMT([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

// Settle leaves every choice of what is kept as it was.
func TestSettle(t *testing.T) {
	dropped := 0
	rapid.Check(t, func(t *rapid.T) {
		m := small(t)
		for i := range m.Sums { // steps that no clause uses would be taken out, and mean something here
			m.Sums[i].Steps = nil
		}
		kept := rapid.SliceOfNDistinct(rapid.IntRange(1, len(m.Names)), 0, 4, rapid.ID).Draw(t, "kept")
		var names []string
		keeps := func(v int) {
			if !slices.Contains(names, m.Names[v-1]) {
				names = append(names, m.Names[v-1])
			}
		}
		for _, v := range slices.Concat(kept, m.Gear, m.Used, m.Musts()) {
			keeps(v)
		}
		before := shadows(m, names)
		clauses := len(m.Clauses)
		m.Settle(kept)
		if len(m.Clauses) < clauses {
			dropped++
		}
		if d := cmp.Diff(before, shadows(m, names)); d != "" {
			t.Fatal(d)
		}
	})
	if dropped == 0 {
		t.Error("nothing was ever taken out")
	}
}

// shadows is what the named variables can be, each with the least cost.
func shadows(m *Model, names []string) map[string]int {
	out := map[string]int{}
	solutions(m.Names, func(is map[string]bool) (bool, int) {
		ok, cost := of(m)(is)
		if ok {
			key := ""
			for _, name := range names {
				key += fmt.Sprint(is[name], " ")
			}
			if old, seen := out[key]; !seen || cost < old {
				out[key] = cost
			}
		}
		return ok, cost
	})
	return out
}

// Other forbids the same gear and nothing else.
func TestOther(t *testing.T) {
	m := &Model{Names: []string{"key", "rim", "key_a", "key_b", "rim_a", "wall"}, Used: []int{1, 2}, Gear: []int{3, 4, 5}}
	now := []bool{true, false, true, false, false, true}
	allowed := func(v []bool) bool {
		return slices.ContainsFunc(m.Other(now), func(x int) bool { return x > 0 && v[x-1] || x < 0 && !v[-x-1] })
	}
	for name, c := range map[string]struct {
		to   []bool
		want bool
	}{
		"the same":      {now, false},
		"another wall":  {[]bool{true, false, true, false, false, false}, false},
		"another key":   {[]bool{true, false, false, true, false, true}, true},
		"a rim as well": {[]bool{true, true, true, false, true, true}, true},
	} {
		if got := allowed(c.to); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Where the programs are installed, they agree with going through every assignment.
func TestPrograms(t *testing.T) {
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	programs := map[string]func(m *Model) (args []string, write map[string][]byte){
		"z3": func(m *Model) ([]string, map[string][]byte) {
			return []string{file("m.smt2")}, map[string][]byte{"m.smt2": m.SMT()}
		},
		"minizinc": func(m *Model) ([]string, map[string][]byte) {
			return []string{"--solver", "gecode", file("m.mzn")}, map[string][]byte{"m.mzn": m.MiniZinc()}
		},
		"cbc": func(m *Model) ([]string, map[string][]byte) {
			return []string{file("m.lp"), "solve"}, map[string][]byte{"m.lp": m.LP()}
		},
	}
	none := map[string]string{"z3": "unsat", "minizinc": "UNSATISFIABLE", "cbc": "infeasible"}
	for name, prepare := range programs {
		t.Run(name, func(t *testing.T) {
			if _, err := exec.LookPath(name); err != nil {
				t.Skip("not installed")
			}
			for seed := range 12 {
				m := rapid.Custom(small).Example(seed)
				count, least := solutions(m.Names, of(m))
				args, files := prepare(m)
				for f, text := range files {
					if err := os.WriteFile(file(f), text, 0o600); err != nil {
						t.Fatal(err)
					}
				}
				out, err := exec.Command(name, args...).CombinedOutput()
				if err != nil {
					t.Fatalf("%v\n%s", err, out)
				}
				if count == 0 {
					if !strings.Contains(string(out), none[name]) {
						t.Errorf("model %d has no solution:\n%s", seed, out)
					}
					continue
				}
				if got, ok := said(name, string(out), m); !ok || got != least {
					t.Errorf("model %d: %d, want %d\n%s", seed, got, least, out)
				}
			}
		})
	}
}

// said is the least cost in what a program printed.
func said(program, out string, m *Model) (cost int, ok bool) {
	words := strings.Fields(strings.NewReplacer("(", " ( ", ")", " ) ").Replace(out))
	after := func(mark ...string) (int, bool) {
		for i := range len(words) - len(mark) {
			if slices.Equal(words[i:i+len(mark)], mark) {
				x, err := strconv.ParseFloat(words[i+len(mark)], 64)
				return int(x + 0.5), err == nil
			}
		}
		return 0, false
	}
	switch program {
	case "minizinc":
		return after("cost")
	case "cbc":
		return after("Objective", "value:")
	}
	// ( objectives ( EXPRESSION VALUE ) ... ): the value is the last word of each at depth 2.
	depth, sums := 0, []int{}
	for i, w := range words {
		switch w {
		case "(":
			depth++
		case ")":
			if depth == 2 {
				x, err := strconv.Atoi(words[i-1])
				if err != nil {
					return 0, false
				}
				sums = append(sums, x)
			}
			depth--
		}
	}
	if len(sums) != len(m.Sums) {
		return 0, false
	}
	for i, w := range m.Weights() {
		cost += w * sums[i]
	}
	return cost, true
}
