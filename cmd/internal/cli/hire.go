package cli

import (
	"errors"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/inventory"
	"falloff/solver"
)

func (a *app) hire() *cobra.Command {
	var without bool
	c := &cobra.Command{
		Use:   "hire BRIEF LIST",
		Short: "Find the cheapest things to hire for a brief, or what can stay at home",
		Long: `Hire looks for the cheapest additions from a hire list that make a brief possible, or
possible with fewer wishes missed, and proves that nothing cheaper does. A hire list is a
studio file whose items have day rates; another studio's file serves as well. What helps
without money is told first. With --without it takes no list, and says which pieces of
the studio's own kit the brief needs and which can stay at home.
Exit code: 0 found, 2 bad input, 3 proved impossible, 4 undecided.`,
		Example: "  falloff hire poster.yaml hirehouse.yaml --studio loft.yaml\n  falloff hire poster.yaml --without",
		Args:    takes(1, 2, "one brief and one list"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			if without && len(args) == 2 {
				return usage{c.CommandPath(), errors.New("--without takes a brief and no list")}
			}
			if !without && len(args) < 2 {
				return usage{c.CommandPath(), errors.New("hire takes a brief and a list; with --without a brief alone")}
			}
			if without {
				return a.stayHome(c, args[0], st)
			}
			return a.hireFrom(c, args[0], args[1], st)
		},
	}
	c.Flags().BoolVar(&without, "without", false, "say what can stay at home")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the brief names, else northlight)")
	return c
}

func (a *app) hireFrom(c *cobra.Command, brief, from string, st report.Style) error {
	var list *inventory.Studio
	s, b, err := a.benchWith(brief, func(s *inventory.Studio) (joint *inventory.Studio, err error) {
		if list, err = loadList(from, s); err != nil {
			return nil, err
		}
		joint, _ = s.With(list)
		return joint, nil
	})
	if err != nil {
		return err
	}
	got, err := solver.Hire(c.Context(), s, list, b, solver.Options{Progress: a.progress()})
	if err != nil {
		return solverError(err)
	}
	a.answered(got.Outcome)
	if a.json {
		return a.wrote(report.HireJSON(&a.out, s, list, b, got))
	}
	return a.wrote(report.Hire(&a.out, s, list, b, got, st))
}

func (a *app) stayHome(c *cobra.Command, brief string, st report.Style) error {
	s, b, err := a.bench(brief)
	if err != nil {
		return err
	}
	got, err := solver.Pack(c.Context(), s, b, solver.Options{Progress: a.progress()})
	if err != nil {
		return solverError(err)
	}
	a.answered(got.Answer.Outcome)
	if a.json {
		return a.wrote(report.PackingJSON(&a.out, s, b, got))
	}
	return a.wrote(report.Packing(&a.out, s, b, got, st))
}
