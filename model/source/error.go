package source

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"falloff/model/source/spell"
)

// Error is one fault in a user's file.
type Error struct {
	At   Place   // where the fault stands
	Path string  // the keys that lead to it, "goals[2].rim.levl"
	Msg  string  // what is wrong
	Hint string  // how to mend it, if that is known
	Also []Place // other places that take part, such as the first of two
}

// Error writes `brief.yaml:14:12: goals[2].rim.levl: unknown key; did you mean "level"?`.
func (e Error) Error() string {
	var b strings.Builder
	if e.At.Known() {
		b.WriteString(e.At.String() + ": ")
	} else if e.At.File != nil {
		b.WriteString(e.At.File.Name + ": ")
	}
	if e.Path != "" {
		b.WriteString(printable(e.Path) + ": ")
	}
	b.WriteString(e.Msg)
	if e.Hint != "" {
		b.WriteString("; " + e.Hint)
	}
	for i, p := range e.Also {
		b.WriteString([]string{" (see also ", ", "}[min(i, 1)] + p.String())
	}
	if len(e.Also) > 0 {
		b.WriteString(")")
	}
	return b.String()
}

// Errors is all the faults that were found in one reading.
type Errors []Error

const (
	shownErrors = 20   // how many faults a reader can use at once
	keptErrors  = 1000 // beyond, the file is not what it is taken for
)

func (es *Errors) add(more ...Error) {
	*es = append(*es, more[:min(len(more), max(0, keptErrors-len(*es)))]...)
}

// Error writes one fault a line, in the order of the file, at most 20 of them.
func (es Errors) Error() string {
	var b strings.Builder
	for i, e := range es.Sorted() {
		if i == shownErrors {
			fmt.Fprintf(&b, "\nand %d more", len(es)-shownErrors)
			break
		}
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(e.Error())
	}
	return b.String()
}

// Sorted returns the faults by file, line and column.
func (es Errors) Sorted() Errors {
	s := slices.Clone(es)
	slices.SortStableFunc(s, func(a, b Error) int { return comparePlaces(a.At, b.At) })
	return s
}

// Unwrap gives errors.As each fault.
func (es Errors) Unwrap() []error {
	all := make([]error, len(es))
	for i, e := range es {
		all[i] = e
	}
	return all
}

// Err returns es as an error, nil when there are none.
func (es Errors) Err() error {
	if len(es) == 0 {
		return nil
	}
	return es
}

func comparePlaces(a, b Place) int {
	name := func(p Place) string {
		if p.File == nil {
			return ""
		}
		return p.File.Name
	}
	return cmp.Or(cmp.Compare(name(a), name(b)), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
}

// Nearest returns the known word that a mistyped one was probably meant to be.
func Nearest(word string, known []string) (string, bool) { return spell.Nearest(word, known) }

// DidYouMean is the hint for an unknown word: the nearest known one, or the list of all.
func DidYouMean(word string, known []string) string {
	if near, ok := Nearest(word, known); ok {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) == 0 {
		return ""
	}
	return "known: " + strings.Join(known, ", ")
}
