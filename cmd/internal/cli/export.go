package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"falloff/solver"
)

func (a *app) export() *cobra.Command {
	var as string
	var work int
	c := &cobra.Command{
		Use:   "export BRIEF",
		Short: "Write the yes-or-no problem behind an answer for another solver",
		Long: `Export answers a brief as plan does, and then writes the problem that was left to decide:
the choices of gear, the settings in steps, the goals, the rules of kit and room and all
that the light taught on the way, with missed wishes, lights and minutes as the cost. Other
solvers then find the same least cost, or the same goals that collide. Light is not in it:
what they find is gear that nothing speaks against, and it was not checked.

--as minizinc writes MiniZinc; smt2 writes SMT-LIB 2 with the objectives of z3; lp writes a
0-1 linear program.

Exit code: 0 found, 2 bad input, 3 proved that there is none, 4 undecided.`,
		Example: "  falloff export poster.yaml --studio loft.yaml --as minizinc > poster.mzn",
		Args:    takes(1, 1, "one brief"),
		RunE: func(c *cobra.Command, args []string) error {
			if as != "minizinc" && as != "smt2" && as != "lp" {
				return usage{c.CommandPath(), fmt.Errorf("--as: %q is not minizinc, smt2 or lp", as)}
			}
			if a.json {
				return usage{c.CommandPath(), errors.New("export writes no JSON: --as says what it writes")}
			}
			s, b, err := a.bench(args[0])
			if err != nil {
				return err
			}
			m, ans, err := solver.Export(c.Context(), s, b, solver.Options{Work: work, Progress: a.progress()})
			if err != nil {
				return solverError(err)
			}
			a.answered(ans.Outcome)
			switch as {
			case "minizinc":
				a.out.Write(m.MiniZinc())
			case "smt2":
				a.out.Write(m.SMT())
			default:
				a.out.Write(m.LP())
			}
			return nil
		},
	}
	c.Flags().StringVar(&as, "as", "minizinc", "minizinc, smt2 or lp")
	c.Flags().IntVar(&work, "work", 0, "look at most at this many candidates of gear (default: very many)")
	return a.withStudio(c)
}
