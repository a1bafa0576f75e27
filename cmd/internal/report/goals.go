package report

import (
	"io"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
)

// groups is the order in which people decide about a picture.
var groups = []string{"camera", "focus", "tone", "colour", "shape", "practical"}

// byGroup sorts kinds into groups; a group that is not known comes last.
func byGroup(kinds []*constraints.Kind) (order []string, of map[string][]*constraints.Kind) {
	of = map[string][]*constraints.Kind{}
	order = slices.Clone(groups)
	for _, k := range kinds {
		g := k.Doc.Group
		if !slices.Contains(order, g) {
			order = append(order, g)
		}
		of[g] = append(of[g], k)
	}
	return order, of
}

// GoalList prints the kinds of goals, one line each.
func GoalList(w io.Writer, kinds []*constraints.Kind, st Style) error {
	p := newPage(st)
	column := 0
	for _, k := range kinds {
		column = max(column, len(k.Name)+2)
	}
	order, of := byGroup(kinds)
	for _, g := range order {
		if len(of[g]) == 0 {
			continue
		}
		p.line(capital(g))
		for _, k := range of[g] {
			p.field(2, column, k.Name, k.Doc.Title)
		}
		p.blank()
	}
	p.para(0, 0, `"falloff goals WORD" explains the goals that have to do with a word, with an example of each.`)
	return p.flush(w)
}

// GoalPages prints kinds in full.
func GoalPages(w io.Writer, kinds []*constraints.Kind, st Style) error {
	p := newPage(st)
	for i, k := range kinds {
		if i > 0 {
			p.blank()
		}
		p.para(0, 2, k.Name+" ("+k.Doc.Group+"): "+k.Doc.Title)
		p.blank()
		p.para(2, 0, k.Doc.Text)
		p.blank()
		for _, l := range strings.Split(strings.TrimRight(k.Doc.Example, "\n"), "\n") {
			p.line("    " + l)
		}
		if len(k.Doc.Values) > 0 {
			p.blank()
			p.para(2, 2, "Takes the words: "+strings.Join(k.Doc.Values, ", "))
		}
		if len(k.Doc.Words) > 0 {
			p.blank()
			p.para(2, 2, "Also called: "+strings.Join(k.Doc.Words, ", "))
		}
	}
	return p.flush(w)
}

// GoalMarkdown writes the reference page.
func GoalMarkdown(w io.Writer, kinds []*constraints.Kind) error {
	var t strings.Builder
	t.WriteString("# Goals\n\nEach line under `goals:` in a brief asks for one thing. Every goal is a must unless it carries `wish: N`, a weight.\n")
	order, of := byGroup(kinds)
	for _, g := range order {
		if len(of[g]) == 0 {
			continue
		}
		t.WriteString("\n## " + capital(g) + "\n")
		for _, k := range of[g] {
			t.WriteString("\n### `" + k.Name + "`\n\n" + stopped(k.Doc.Title) + "\n\n" + strings.TrimSpace(k.Doc.Text) + "\n\n")
			t.WriteString("```yaml\n" + strings.TrimRight(k.Doc.Example, "\n") + "\n```\n")
			if len(k.Doc.Values) > 0 {
				t.WriteString("\nTakes the words: " + strings.Join(k.Doc.Values, ", ") + ".\n")
			}
			if len(k.Doc.Words) > 0 {
				t.WriteString("\nAlso called: " + strings.Join(k.Doc.Words, ", ") + ".\n")
			}
		}
	}
	_, err := io.WriteString(w, t.String())
	return err
}

type jsonKind struct {
	Kind    string   `json:"kind"`
	Group   string   `json:"group"`
	Title   string   `json:"title"`
	Text    string   `json:"text"`
	Example string   `json:"example"`
	Words   []string `json:"words"`
	Values  []string `json:"values"`
}

// GoalJSON writes kinds for programs.
func GoalJSON(w io.Writer, kinds []*constraints.Kind) error {
	out := struct {
		Goals []jsonKind `json:"goals"`
	}{[]jsonKind{}}
	for _, k := range kinds {
		out.Goals = append(out.Goals, jsonKind{k.Name, k.Doc.Group, k.Doc.Title, k.Doc.Text, k.Doc.Example, some(k.Doc.Words), some(k.Doc.Values)})
	}
	return WriteJSON(w, out)
}

// Findings prints what is odd about a studio.
func Findings(w io.Writer, s *inventory.Studio, found []inventory.Finding, st Style) error {
	p := newPage(st)
	p.names(s)
	if len(found) == 0 {
		p.para(0, 0, s.Name+": nothing to report. Every item can be used.")
		return p.flush(w)
	}
	count := map[inventory.Severity]int{}
	for _, f := range found {
		count[f.Severity]++
		p.para(0, 4, f.Place.String()+": "+f.Severity.String()+": "+p.units(f.Text))
	}
	p.blank()
	p.para(0, 0, s.Name+": "+plural(count[inventory.Useless], "item")+" can never be used, "+
		plural(count[inventory.Warning], "warning")+", "+plural(count[inventory.Note], "note")+".")
	return p.flush(w)
}

type jsonFinding struct {
	File     string `json:"file"`
	Line     int    `json:"line"`
	Item     string `json:"item"`
	Severity string `json:"severity"`
	Text     string `json:"text"`
}

// FindingsJSON writes findings for programs.
func FindingsJSON(w io.Writer, s *inventory.Studio, found []inventory.Finding) error {
	out := struct {
		Studio   string        `json:"studio"`
		Findings []jsonFinding `json:"findings"`
	}{s.Name, []jsonFinding{}}
	for _, f := range found {
		file, line := where(f.Place)
		out.Findings = append(out.Findings, jsonFinding{file, line, string(f.Item), f.Severity.String(), f.Text})
	}
	return WriteJSON(w, out)
}
