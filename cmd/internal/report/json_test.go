package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"falloff/solver"
)

// The keys, their order and their units are a contract with programs that read them; the
// expected texts hold all of them.
func TestAnswerJSON(t *testing.T) {
	for name, a := range map[string]*solver.Answer{"found": found(), "cannot": cannot(), "undecided": undecided()} {
		for _, c := range a.Setups {
			c.Cautions = solver.Cautions(studio(), brief(), c)
		}
		var out bytes.Buffer
		if err := AnswerJSON(&out, studio(), brief(), a); err != nil {
			t.Fatal(err)
		}
		compare(t, name+".json", out.String())
		if !json.Valid(out.Bytes()) {
			t.Errorf("%s: not JSON", name)
		}
	}
}

// A program may look up any key without asking whether it is there.
func TestEveryKeyIsAlwaysThere(t *testing.T) {
	want := []string{"outcome", "brief", "studio", "proved_best", "open", "open_places", "setups", "conflicts", "releases", "complete", "work"}
	for _, a := range []*solver.Answer{found(), cannot(), undecided(), {Outcome: solver.Undecided}} {
		var out bytes.Buffer
		if err := AnswerJSON(&out, studio(), brief(), a); err != nil {
			t.Fatal(err)
		}
		if got := topKeys(t, out.Bytes()); strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: keys %v, want %v", a.Outcome, got, want)
		}
	}
	var out bytes.Buffer
	if err := CheckedJSON(&out, studio(), brief(), setup()); err != nil {
		t.Fatal(err)
	}
	if got := topKeys(t, out.Bytes()); strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("check: keys %v, want %v", got, want)
	}
}

// topKeys lists the keys of an object in the order in which they are written.
func topKeys(t *testing.T, text []byte) []string {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(text))
	var keys []string
	for depth, key := 0, false; ; {
		token, err := d.Token()
		if err != nil {
			return keys
		}
		switch token {
		case json.Delim('{'), json.Delim('['):
			depth++
			key = depth == 1
			continue
		case json.Delim('}'), json.Delim(']'):
			depth--
		default:
			if depth == 1 && key {
				keys = append(keys, token.(string))
				key = false
				continue
			}
		}
		key = depth == 1
	}
}

// An exact set-up that breaks a must is a proof.
func TestCheckedOutcome(t *testing.T) {
	c := setup()
	var out bytes.Buffer
	if err := CheckedJSON(&out, studio(), brief(), c); err != nil || !strings.Contains(out.String(), `"outcome": "found"`) {
		t.Errorf("%v %s", err, out.String()[:80])
	}
	c.Limits[0].Holds = false
	out.Reset()
	if err := CheckedJSON(&out, studio(), brief(), c); err != nil || !strings.Contains(out.String(), `"outcome": "cannot"`) {
		t.Errorf("%v %s", err, out.String()[:80])
	}
}

func TestCheckedText(t *testing.T) {
	c := setup()
	c.Goals[1].Holds, c.Goals[1].Sentence = false, "low-key: background -3.4 stops (wanted at most -4 stops, misses by 0.6 stops)"
	c.Goals[1].Parts[0].Got.Lo, c.Goals[1].Parts[0].Got.Hi = -3.4, -3.4
	c.Limits[0].Holds, c.Limits[0].Sentence = false, "The key hangs 2.73 m up; its stand reaches 2.60 m."
	var out bytes.Buffer
	if err := Checked(&out, studio(), brief(), c, Style{Width: 80}); err != nil {
		t.Fatal(err)
	}
	compare(t, "checked-80.txt", out.String())
}

func TestWhyText(t *testing.T) {
	var out bytes.Buffer
	if err := Why(&out, studio(), brief(), found(), Style{Width: 80}); err != nil {
		t.Fatal(err)
	}
	compare(t, "why-80.txt", out.String())
}
