// Command ours is falloff's yes-or-no layer alone, for comparison with other solvers: it
// reads a model as "falloff export --as smt2" writes it, and answers one question.
//
//	ours best MODEL       the least cost
//	ours ten MODEL        the costs of the ten cheapest set-ups of distinct gear
//	ours conflicts MODEL  every minimal set of musts that cannot all hold
package main

import (
	"fmt"
	"os"

	"falloff/solver/export"
	"falloff/solver/internal/layer"
)

func main() {
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
		fmt.Println(l.Cheapest(1))
	case "ten":
		fmt.Println(l.Cheapest(10))
	case "conflicts":
		for _, set := range l.Conflicts() {
			fmt.Println(set)
		}
	default:
		fail(os.Args[1] + " is not best, ten or conflicts")
	}
}

func fail(why any) {
	fmt.Fprintln(os.Stderr, "ours:", why)
	os.Exit(2)
}
