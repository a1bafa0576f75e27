package spell

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	keys := []string{"level", "side", "hue", "within", "elevation", "radius"}
	for word, want := range map[string]string{
		"levl": "level", "leevl": "level", "Level": "level", "heu": "hue", "elev": "elevation", "raduis": "radius", "wihtin": "within",
		"": "", "zzz": "", "x": "", "completely": "", strings.Repeat("level", 1000): "",
	} {
		if got, ok := Nearest(word, keys); got != want || ok != (want != "") {
			t.Errorf("Nearest(%q) = %q, %v; want %q", word, got, ok, want)
		}
	}
	if got, _ := Nearest("mn", []string{"m", "cm", "mm", "in"}); got != "mm" {
		t.Errorf("mn is nearest to %q", got)
	}
}

// The oracle is the textbook recursion of the optimal string alignment distance.
func TestDistance(t *testing.T) {
	word := rapid.SliceOfN(rapid.RuneFrom([]rune("abc")), 0, 6)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if got, want := distance(a, b), slow(a, b); got != want {
			t.Fatalf("distance(%q, %q) = %d, want %d", string(a), string(b), got, want)
		}
	})
}

func slow(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	x, y := a[:len(a)-1], b[:len(b)-1]
	cost := 1
	if a[len(x)] == b[len(y)] {
		cost = 0
	}
	d := min(slow(x, b)+1, slow(a, y)+1, slow(x, y)+cost)
	if len(x) > 0 && len(y) > 0 && a[len(x)] == b[len(y)-1] && a[len(x)-1] == b[len(y)] {
		d = min(d, slow(x[:len(x)-1], y[:len(y)-1])+1)
	}
	return d
}
