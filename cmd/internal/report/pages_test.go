package report

import (
	"bytes"
	"fmt"
	"html"
	"strings"
	"testing"

	"falloff/solver"
)

// words is a page or a report without its markup and its line breaks.
func words(text string) string {
	text = html.UnescapeString(tags.ReplaceAllString(text, " "))
	return strings.Join(strings.Fields(strings.ReplaceAll(text, nb, " ")), " ")
}

// The page of a conflict says every sentence that the terminal says, in the same order.
func TestConflictPageSaysWhatTheTerminalSays(t *testing.T) {
	a := cannot()
	var page bytes.Buffer
	if err := ConflictPage(&page, studio(), brief(), a, Style{Width: 40}); err != nil {
		t.Fatal(err)
	}
	elements(t, page.String()) // strict XML
	said, at := words(page.String()), 0
	for _, line := range strings.Split(text(t, a, Style{Width: 4000}), "\n") {
		for _, field := range strings.Split(strings.TrimSpace(line), "   ") { // columns
			field = words(field)
			for _, lead := range []string{"no plan: ", "weighed: ", "help: each of these gives a plan", "costs "} {
				field = strings.TrimPrefix(field, lead)
			}
			field, _, _ = strings.Cut(field, "; then ")
			if field == "" {
				continue
			}
			i := strings.Index(strings.ToLower(said[at:]), strings.ToLower(field))
			if i < 0 {
				t.Fatalf("the page does not say %q after %q", field, said[max(0, at-40):at])
			}
			at += i
		}
	}
}

// The index links every sheet and tells the set-ups apart.
func TestIndexPage(t *testing.T) {
	a := &solver.Answer{Outcome: solver.Found, Proved: true}
	var sheets []*Sheet
	var names []string
	for i := range 2 {
		s := drawn(t, Style{})
		again, err := NewSheet(s.studio, s.brief, s.set, Style{}, fmt.Sprintf("set-up-%d-", i+1))
		if err != nil {
			t.Fatal(err)
		}
		sheets, names = append(sheets, again), append(names, fmt.Sprintf("set-up-%d.html", i+1))
		a.Setups = append(a.Setups, s.set)
	}
	a.Setups[1].Differs = "the key on the other side"
	var page bytes.Buffer
	if err := IndexPage(&page, sheets[0].studio, sheets[0].brief, a, sheets, names, Style{}); err != nil {
		t.Fatal(err)
	}
	wellMade(t, page.String())
	for _, want := range []string{`href="set-up-1.html"`, `href="set-up-2.html"`, "Against the best: the key on the other side."} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the index has no %s", want)
		}
	}
}

// What is under "below 1.0 it is fragile" counts as that column does: a margin that is told
// as unsure is no less close.
func TestFragileCountsWhatTheSpareIsTakenFrom(t *testing.T) {
	c := setup()
	c.Fragile = nil // keepers 93 % against 90 % is told as unsure; a margin below 5 % is fragile
	if got := fragile(closeMargins(c)); got != "one margin is fragile." {
		t.Errorf("with keepers 3 %% over what is wanted: %s", got)
	}
	c.Goals = c.Goals[1:]
	if got := fragile(closeMargins(c)); got != "nothing is fragile." {
		t.Errorf("with every margin wide: %s", got)
	}
}
