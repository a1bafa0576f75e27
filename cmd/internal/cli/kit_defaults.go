package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/inventory"
)

func (a *app) kitDefaults() *cobra.Command {
	return &cobra.Command{
		Use:   "defaults [WORD]",
		Short: "List generic kit, or its figures for a word with their sources",
		Long: `Defaults lists what an item of a studio file can be "like": generic kit that stands in
for figures that you do not know. With a word it shows the figures of what the word is
about, what is usual, and where that is from.`,
		Example: "  falloff kit defaults\n  falloff kit defaults umbrella",
		Args:    takes(0, 1, "one word at most"),
		RunE: func(_ *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			word := ""
			if len(args) == 1 {
				word = args[0]
			}
			kinds := inventory.KitDefaults(word)
			switch {
			case len(kinds) == 0:
				return badInput{fmt.Errorf("no generic kit has to do with %q; \"falloff kit defaults\" lists it all", word)}
			case a.json:
				return a.wrote(report.DefaultsJSON(&a.out, kinds))
			case word == "":
				return a.wrote(report.DefaultList(&a.out, kinds, st))
			}
			return a.wrote(report.DefaultPages(&a.out, kinds, st))
		},
	}
}
