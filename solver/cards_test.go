package solver_test

import (
	"context"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

const oneLight = `
brief: One light
sitter: {seated: true, turn: -10 deg}
framing: {head_and_shoulders: true}
goals:
  - few-lights: {at most: 1}
  - light-kind: flash
  - iso: base
  - soft: {key: at least 25 deg}
  - ratio: {at most: 5:1}
`

// One light and a card do what one light cannot; without cards in the kit the same brief
// collides as written.
func TestACardFills(t *testing.T) {
	s := studio(t, "northlight")
	b := loaded(t, s, oneLight)
	got, err := solver.Plan(context.Background(), s, b, solver.Options{Count: 2})
	if err != nil {
		t.Fatal(err)
	}
	if got.Outcome != solver.Found || got.Proved || len(got.Setups) == 0 {
		t.Fatalf("%s, proved %v, %d set-ups", got.Outcome, got.Proved, len(got.Setups))
	}
	for _, k := range got.Setups {
		if len(k.Setup.Cards) != 1 || len(k.Setup.Lights) != 1 {
			t.Errorf("%d cards and %d lights", len(k.Setup.Cards), len(k.Setup.Lights))
		}
		if again, err := solver.Check(s, b, k.Setup); err != nil || !again.Holds() {
			t.Errorf("checked again: %v, holds %v", err, again.Holds())
		}
		bare := *k.Setup
		bare.Cards = nil
		if again, err := solver.Check(s, b, &bare); err != nil || again.Holds() {
			t.Errorf("without its card: %v, holds %v", err, again.Holds())
		}
	}
	none := *s
	none.Cards = nil
	none.Complete()
	if b := loaded(t, &none, oneLight); len(constraints.Collisions(b)) == 0 {
		t.Error("with no card to be had, two lights are needed and one is allowed")
	}
}

func loaded(t *testing.T, s *inventory.Studio, text string) *constraints.Brief {
	t.Helper()
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief.yaml", Text: []byte(text)})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Bind(s); err != nil {
		t.Fatal(err)
	}
	return b
}
