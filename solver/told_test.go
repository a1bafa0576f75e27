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

// 35 mm on 36 x 24 mm frames 60 cm from 35 (1 + 600/36) = 618 mm, where the nose is drawn
// (618 + 100) / (618 - 30) = 1.22 times as large as the ear.
func TestNearCamera(t *testing.T) {
	const want = "the nose is drawn 22 % larger than the ear"
	for _, c := range []struct {
		lens, goal string
		said       bool
	}{
		{"lens-35", "", true},
		{"lens-35", "  - perspective: {nose: at most 40 %}\n", false}, // asked for
		{"lens-85", "", false},
	} {
		if got := cautionsFor(t, "5 %", c.lens, c.goal); strings.Contains(got, want) != c.said {
			t.Errorf("%s %q: %s", c.lens, c.goal, got)
		}
	}
}
