package solver_test

import (
	"context"
	"io/fs"
	"testing"

	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
	"falloff/solver"
)

// nearKey is a kind of goal that nobody but this test knows: the key stands near.
type nearKey struct {
	constraints.Plain `yaml:"-"`
	AtMost            unit.Length `yaml:"at most,required"`
}

func (g *nearKey) Roles() (need, may []inventory.Role) { return []inventory.Role{inventory.Key}, nil }
func (g *nearKey) Reads() constraints.Aspect           { return constraints.Pose(inventory.Key) }
func (g *nearKey) Written() string                     { return "{at most: " + g.AtMost.String() + "}" }

func (g *nearKey) Judge(r *constraints.Reading, out []constraints.Part) []constraints.Part {
	return append(out, constraints.Part{What: "key", Got: r.Lights[inventory.Key].Distance,
		Want: unit.Interval{Lo: 0, Hi: float64(g.AtMost)}, Unit: constraints.InMetres, Fine: 0.02})
}

func (g *nearKey) Because(*constraints.Reading, constraints.Part) string {
	return "The key would have to stand farther away."
}

// A kind is added without touching solver, commands or report: it is registered here, and
// found, proved impossible and argued about like any other.
func TestOneMoreKindIsPlanned(t *testing.T) {
	constraints.Register(constraints.Kind{Name: "near-key", Doc: constraints.Doc{Group: "shape", Title: "the key stands near",
		Text: "Metres from the eyes.", Example: "near-key: {at most: 1 m}"}, Read: constraints.Into[nearKey]})
	text, err := fs.ReadFile(examples.FS, "studios/two-stands.yaml")
	if err != nil {
		t.Fatal(err)
	}
	studio, err := inventory.LoadFrom(&source.File{Name: "two-stands.yaml", Text: text})
	if err != nil {
		t.Fatal(err)
	}
	plan := func(goals string) *solver.Answer {
		b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte("brief: near\nsitter: {seated: true}\ngoals:\n" + goals)})
		if err != nil {
			t.Fatal(err)
		}
		a, err := solver.Plan(context.Background(), studio, b, solver.Options{Count: 1})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	found := plan("  - near-key: {at most: 0.8 m}\n")
	if found.Outcome != solver.Found {
		t.Fatalf("outcome %s", found.Outcome)
	}
	for _, l := range found.Setups[0].Setup.Lights {
		if l.Role == inventory.Key.String() && l.Distance > 0.8 {
			t.Errorf("the key stands %s away", l.Distance)
		}
	}
	// 30 cm of movement within half a stop wants the key at 1.59 m and more: 2 log2(1 + 0.3/d).
	cannot := plan("  - near-key: {at most: 0.8 m}\n  - lean: {by: 30 cm, within: 0.5 stops}\n")
	if cannot.Outcome != solver.Cannot || len(cannot.Conflict.Goals) != 2 {
		t.Errorf("outcome %s with %+v", cannot.Outcome, cannot.Conflict)
	}
}
