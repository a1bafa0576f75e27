package cli

import (
	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

func (a *app) check() *cobra.Command {
	var brief string
	c := &cobra.Command{
		Use:   "check SETUP",
		Short: "Check one set-up against a brief, goal by goal",
		Long: `Check computes one set-up in full and compares it with a brief, goal by goal, each
with its margin, and with the limits of room and kit. The set-up file says which
studio and brief it was made for; --studio and --brief choose others.

Exit code: 0 everything holds, 2 bad input, 3 a must or a limit fails.`,
		Example: "  falloff check setups/set-up-1.yaml\n  falloff check set-up-1.yaml --brief poster.yaml",
		Args:    takes(1, 1, "one set-up file"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			s, b, checked, err := a.checkedSetup(args[0], brief)
			if err != nil {
				return err
			}
			if a.json {
				return a.wrote(report.CheckedJSON(&a.out, s, b, checked))
			}
			return a.wrote(report.Checked(&a.out, s, b, checked, st))
		},
	}
	c.Flags().StringVar(&brief, "brief", "", "brief `FILE` (default: the one that the set-up names)")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the set-up names, else northlight)")
	return c
}

// checkedSetup loads a set-up with the studio and the brief that it names, or those of the
// flags, checks it, and answers whether it holds.
func (a *app) checkedSetup(name, brief string) (*inventory.Studio, *constraints.Brief, *solver.Checked, error) {
	s, b, set, err := a.standing(name, brief)
	if err != nil {
		return nil, nil, nil, err
	}
	checked, err := solver.Check(s, b, set)
	if err != nil {
		return nil, nil, nil, solverError(err)
	}
	a.answered(solver.Found)
	if !checked.Holds() {
		a.answered(solver.Cannot) // an exact set-up that fails is a proof
	}
	return s, b, checked, nil
}
