package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
)

func (a *app) goals() *cobra.Command {
	var markdown bool
	c := &cobra.Command{
		Use:     "goals [WORD]",
		Short:   "List what a brief can ask for, or explain the goals for a word",
		Long:    "Goals lists the kinds of goals, one line each. With a word it explains those that the\nword is about, with an example of each.",
		Example: "  falloff goals\n  falloff goals background",
		Args:    takes(0, 1, "one word at most"),
		RunE: func(_ *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			kinds := constraints.Kinds()
			if len(args) == 1 {
				if kinds = constraints.FindKinds(args[0]); len(kinds) == 0 {
					return badInput{fmt.Errorf("no goal has to do with %q; \"falloff goals\" lists them all", args[0])}
				}
			}
			switch {
			case a.json:
				return a.wrote(report.GoalJSON(&a.out, kinds))
			case markdown:
				return a.wrote(report.GoalMarkdown(&a.out, kinds))
			case len(args) == 0:
				return a.wrote(report.GoalList(&a.out, kinds, st))
			}
			return a.wrote(report.GoalPages(&a.out, kinds, st))
		},
	}
	c.Flags().BoolVar(&markdown, "markdown", false, "write the reference page")
	return c
}
