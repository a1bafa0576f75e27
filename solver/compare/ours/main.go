// Command ours is falloff's yes-or-no layer alone, for comparison with other solvers: it
// reads a model as "falloff export --as smt2" writes it, and answers one question.
//
//	ours best MODEL       the least cost
//	ours ten MODEL        the costs of the ten cheapest set-ups of distinct gear
//	ours conflicts MODEL  every minimal set of musts that cannot all hold
package main

import (
	"cmp"
	"fmt"
	"os"
	"runtime/debug"
	"slices"
	"strings"

	"falloff/solver/export"
	"falloff/solver/internal/layer"
)

func main() {
	debug.SetGCPercent(-1) // the process ends before there is much to collect
	if len(os.Args) != 3 {
		fail("best, ten or conflicts, and a file were expected")
	}
	text, err := os.ReadFile(os.Args[2])
	if err != nil {
		fail(err)
	}
	m, err := export.ReadSMT(text)
	if err != nil {
		fail(err)
	}
	l := layer.Encode(m)
	switch os.Args[1] {
	case "best":
		tell(l.Cheapest(1))
	case "ten":
		tell(l.Cheapest(10))
	case "conflicts":
		var sets []string
		for _, names := range l.Conflicts() {
			sets = append(sets, cmp.Or(strings.Join(names, " "), "the kit alone"))
		}
		slices.Sort(sets)
		tell(sets)
	default:
		fail(os.Args[1] + " is not best, ten or conflicts")
	}
}

// tell prints one answer a line.
func tell[T any](all []T) {
	for _, x := range all {
		fmt.Println(x)
	}
}

func fail(why any) {
	fmt.Fprintln(os.Stderr, "ours:", why)
	os.Exit(2)
}
