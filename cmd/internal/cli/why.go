package cli

import (
	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/solver"
)

func (a *app) why() *cobra.Command {
	c := &cobra.Command{
		Use:   "why BRIEF",
		Short: "Say why a brief cannot be met, in full, or what is tightest when it can",
		Long: `Why gives the argument that a brief cannot be met: the lines that collide, each
step with its numbers, what was weighed and what helps. When the brief can be met
it says so, and which goals leave the least to spare.

Exit code: 0 it can be met, 2 bad input, 3 proved that it cannot, 4 undecided.`,
		Example: "  falloff why poster.yaml --studio loft.yaml",
		Args:    takes(1, 1, "one brief"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			s, b, err := a.bench(args[0])
			if err != nil {
				return err
			}
			ans, err := solver.Plan(c.Context(), s, b, solver.Options{Count: 1, Progress: a.progress()})
			if err != nil {
				return solverError(err)
			}
			a.answered(ans.Outcome)
			if a.json {
				return a.wrote(report.AnswerJSON(&a.out, s, b, ans))
			}
			return a.wrote(report.Why(&a.out, s, b, ans, st))
		},
	}
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the brief names, else northlight)")
	return c
}
