package constraints

import (
	"fmt"
	"slices"
	"strings"
)

//go:generate go run ./internal/reference ../GOALS.md

// groups is the order of the reference: as a picture is thought out.
var groups = []string{"camera", "focus", "tone", "colour", "shape", "practical"}

// Groups lists the groups of kinds in the order of the reference, those of no known group
// last.
func Groups() []string {
	out := slices.Clone(groups)
	for _, k := range Kinds() {
		if !slices.Contains(out, k.Doc.Group) {
			out = append(out, k.Doc.Group)
		}
	}
	return out
}

// Reference is the page of all kinds in Markdown, from the same words as the command
// that prints them.
func Reference() string {
	var b strings.Builder
	b.WriteString(`# Goals

What a brief can ask for. This page is written by ` + "`go generate ./constraints`" + ` from the kinds themselves.

A goal is a line of the list ` + "`goals`" + ` in a brief: its name, or its name and its parameters. It is a must unless it
says ` + "`wish: 1`" + ` to ` + "`wish: 9`" + `, the weight of a wish. Every length, angle, time and level carries its unit. A range is written
` + "`-1..+0.5 stops`" + `, ` + "`at least 30 deg`" + ` or ` + "`at most -4 stops`" + `. Numbers marked "from memory" are common practice without a source:
change them to your own.
`)
	for _, group := range Groups() {
		fmt.Fprintf(&b, "\n## %s\n", upper(group))
		for _, k := range Kinds() {
			if k.Doc.Group == group {
				k.write(&b)
			}
		}
	}
	return b.String()
}

func (k *Kind) write(b *strings.Builder) {
	fmt.Fprintf(b, "\n### %s\n\n%s.\n\n```yaml\n- %s\n```\n\n%s\n", k.Name, upper(k.Doc.Title), k.Doc.Example,
		strings.ReplaceAll(k.Doc.Text, "\n", " "))
	if len(k.Doc.Values) > 0 {
		fmt.Fprintf(b, "\nTakes the words: %s.\n", strings.Join(k.Doc.Values, ", "))
	}
	if len(k.Doc.Words) > 0 {
		fmt.Fprintf(b, "\nAlso found by: %s.\n", strings.Join(k.Doc.Words, ", "))
	}
}
