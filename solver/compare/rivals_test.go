package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"falloff/solver/export"
	"falloff/solver/internal/layer"
)

// kit is a key and a rim with three heads for each, of which the first two are one item.
func kit(rules ...[]int) *export.Model {
	m := &export.Model{Title: "A small kit", Used: []int{1, 5}, Gear: []int{2, 3, 4, 6, 7, 8},
		Names: []string{"key_on", "key_a", "key_b", "key_c", "rim_on", "rim_a", "rim_b", "rim_c", "goal_1", "goal_2", "goal_3"}}
	for _, v := range m.Used {
		m.Clauses = append(m.Clauses, []int{-v, v + 1, v + 2, v + 3})
		minutes := []int{}
		for x := v + 1; x <= v+3; x++ {
			m.Clauses = append(m.Clauses, []int{-x, v})
			minutes = append(minutes, x)
		}
		m.Counts = append(m.Counts, export.Count{Most: 1, Lits: minutes})
	}
	m.Clauses = append(m.Clauses, []int{1}, []int{-2, -6})
	m.Clauses = append(m.Clauses, rules...)
	m.Goals = []export.Goal{{Lit: 9, Text: "one"}, {Lit: 10, Text: "two"}, {Lit: 11, Text: "three", Wish: 2}}
	m.Sums = []export.Sum{
		{Name: "missed", Terms: []export.Term{{Lit: -11, Weight: 2}}},
		{Name: "lights", Terms: []export.Term{{Lit: 1, Weight: 1}, {Lit: 5, Weight: 1}}},
		{Name: "minutes", Terms: []export.Term{{Lit: 2, Weight: 1}, {Lit: 3, Weight: 2}, {Lit: 4, Weight: 4}, {Lit: 6, Weight: 1}, {Lit: 7, Weight: 3}, {Lit: 8, Weight: 5}}},
	}
	return m
}

// Every solver that is installed answers as our layer does.
func TestRivalsAgree(t *testing.T) {
	models := map[string]*export.Model{
		"a wish costs a light":  kit([]int{-11, 5}, []int{-9, 4, 8}),
		"the wish cannot be":    kit([]int{-11}, []int{-10, 5}),
		"few":                   kit([]int{-9, 2}, []int{-10, 5}, []int{-10, 7}),
		"none":                  kit([]int{-9, 5}, []int{-10, -5}),
		"two conflicts":         kit([]int{-9, 5}, []int{-9, -5}, []int{-10, 2}, []int{-10, -2}),
		"the kit by itself":     kit([]int{-1}),
		"a sum decides a goal":  withStep(kit([]int{-9, -5})),
		"as many lights as can": kit([]int{5}),
	}
	for _, r := range []rival{gecode{}, cbc{}, z3Optimiser{}, z3Solver{}} {
		t.Run(r.name(), func(t *testing.T) {
			if missing := r.missing(); missing != "" {
				t.Skip(missing + " is not installed")
			}
			for name, m := range models {
				f := files(t, m)
				for _, q := range []string{best, ten, conflicts} {
					if q == conflicts && !r.conflicts() {
						continue
					}
					got := r.ask(f, q)
					if want := byLayer(m, q); got.wrong != nil || !slices.Equal(got.says, want) {
						t.Errorf("%s, %s: %q %v, want %q", name, q, got.says, got.wrong, want)
					}
				}
			}
		})
	}
}

// withStep lets the second goal ask for no more than three minutes.
func withStep(m *export.Model) *export.Model {
	m.Names = append(m.Names, "long")
	m.Sums[2].Steps = []export.Step{{Lit: 12, At: 4}}
	m.Clauses = append(m.Clauses, []int{-10, -12})
	return m
}

func byLayer(m *export.Model, question string) (says []string) {
	if question == conflicts {
		for _, names := range layer.Encode(m).Conflicts() {
			says = append(says, asSet(names))
		}
		slices.Sort(says)
		return says
	}
	for _, cost := range layer.Encode(m).Cheapest(countOf(question)) {
		says = append(says, fmt.Sprint(cost))
	}
	return says
}

func files(t *testing.T, m *export.Model) *model {
	dir := t.TempDir()
	write := func(name string, text []byte) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	return &model{model: m, smtText: string(m.SMT()), smt: write("m.smt2", m.SMT()), mzn: write("m.mzn", m.MiniZinc()), lp: write("m.lp", m.LP()), sat: write("sat.smt2", satText(m))}
}

// A table in which two disagree says so.
func TestDisagreement(t *testing.T) {
	c := &table{}
	m := &model{model: kit(), smtText: "; Minutes count from 3, which the camera takes.\n"}
	m.said.Outcome, m.said.Proved = "found", true
	m.said.Setups = append(m.said.Setups, struct {
		Cost struct {
			Missed  int `json:"missed_wish_weight"`
			Lights  int
			Minutes int
		}
	}{})
	m.said.Setups[0].Cost.Lights, m.said.Setups[0].Cost.Minutes = 1, 5
	w := m.model.Weights()
	c.checkPlan(m, best, answer{says: []string{fmt.Sprint(w[1] + 2*w[2])}})
	if c.disagreed != 0 {
		t.Error("the same cost is no disagreement")
	}
	c.checkPlan(m, best, answer{says: []string{fmt.Sprint(w[1] + 3*w[2])}})
	m.said.Outcome, m.said.Complete = "cannot", true
	c.checkPlan(m, conflicts, answer{says: []string{"goal_1"}})
	if c.disagreed != 2 {
		t.Errorf("%d disagreements, want 2", c.disagreed)
	}
}
