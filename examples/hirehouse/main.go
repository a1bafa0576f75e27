// Command hirehouse writes the studio file of an invented hire house:
//
//	go run ./examples/hirehouse > hirehouse.yaml
//	go run ./examples/hirehouse 2000 > large.yaml
package main

import (
	"fmt"
	"os"
	"strconv"

	"falloff/inventory/hirehouse"
)

func main() {
	n := 1000
	if len(os.Args) > 1 {
		var err error
		if n, err = strconv.Atoi(os.Args[1]); err != nil || n < 11 || n > 20_000 {
			fmt.Fprintf(os.Stderr, "hirehouse: %q is not a number of items from 11 to 20000\n", os.Args[1])
			os.Exit(2)
		}
	}
	if _, err := os.Stdout.Write(hirehouse.YAML(n)); err != nil {
		fmt.Fprintln(os.Stderr, "hirehouse:", err)
		os.Exit(1)
	}
}
