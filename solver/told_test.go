package solver_test

import (
	"strings"
	"testing"
)

// A room that is white all round lifts the reading with all lights on; a black one does not.
func TestTheRoomIsNotInTheExposure(t *testing.T) {
	const want = " to the lit side of the face, which the goal exposure leaves out."
	if got := cautionsFor(t, "88 %", "lens-85", ""); !strings.Contains(got, want) {
		t.Error("white: ", got)
	}
	if got := cautionsFor(t, "5 %", "lens-85", ""); strings.Contains(got, want) {
		t.Error("black: ", got)
	}
}
