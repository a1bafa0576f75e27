package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"falloff/model/source"
)

// mostErrors is how many faults of a file are shown in full.
const mostErrors = 10

// longestPath is how much of the keys that lead to a fault is worth reading.
const longestPath = 60

// explain prints what is wrong with a file: place, message, the line itself with a mark
// under the value, and how to mend it.
func (a *app) explain(err error) {
	var all source.Errors
	var one source.Error
	switch {
	case errors.As(err, &all):
	case errors.As(err, &one):
		all = source.Errors{one}
	default:
		fmt.Fprintf(a.stderr, "falloff: %v\n", err)
		return
	}
	all = all.Sorted()
	for i, e := range all {
		if i == mostErrors {
			fmt.Fprintf(a.stderr, "and %d more\n", len(all)-mostErrors)
			break
		}
		a.explainOne(e)
	}
	fmt.Fprintln(a.stderr, "Nothing was run and no file was changed.")
}

func (a *app) explainOne(e source.Error) {
	also := e.Also
	e.Also = nil
	if len(e.Path) > longestPath {
		e.Path = e.Path[:longestPath] + "..."
	}
	fmt.Fprintln(a.stderr, e.Error())
	a.snippet(e.At)
	for _, p := range also {
		fmt.Fprintf(a.stderr, "see also %v\n", p)
		a.snippet(p)
	}
}

func (a *app) snippet(p source.Place) {
	if text := strings.TrimRight(p.Snippet(), "\n"); text != "" {
		fmt.Fprintln(a.stderr, text)
	}
}

// solverError tells a stop that the user asked for from bad input. A fault of ours in the
// solver is a panic, not an error.
func solverError(err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return badInput{err}
}

// cause leaves out the operation and the path of a file error, which the caller words.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
