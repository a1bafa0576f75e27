// Command reference writes the reference page of all goals to the named file.
package main

import (
	"fmt"
	"os"

	"falloff/constraints"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: reference FILE")
		os.Exit(2)
	}
	if err := os.WriteFile(os.Args[1], []byte(constraints.Reference()), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
