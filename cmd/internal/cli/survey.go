package cli

import (
	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/solver"
)

func (a *app) survey() *cobra.Command {
	c := &cobra.Command{
		Use:   "survey [BRIEF...]",
		Short: "Say which looks this kit and room can do, and what to bring a spare of",
		Long: `Survey plans a list of briefs with one studio: which of them can be done and how well,
which are proved impossible, and which single piece of kit, if it failed on the day,
would break most. Without briefs it takes the looks that are built in.
Exit code: 0 answered, 2 bad input.`,
		Example: "  falloff kit survey --studio loft.yaml\n  falloff kit survey poster.yaml passport.yaml",
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			s, err := loadStudio(a.studio)
			if err != nil {
				return err
			}
			looks, err := briefsOf(args)
			if err != nil {
				return err
			}
			got, err := solver.SurveyKit(c.Context(), s, looks, solver.Options{Progress: a.progress()})
			if err != nil {
				return solverError(err)
			}
			a.answered(solver.Found)
			if a.json {
				return a.wrote(report.SurveyJSON(&a.out, s, got))
			}
			return a.wrote(report.Survey(&a.out, s, got, st))
		},
	}
	return a.withStudio(c)
}

// briefsOf loads briefs by name, or all built-in looks where none is named.
func briefsOf(names []string) (out []*constraints.Brief, err error) {
	dir := "briefs"
	if len(names) == 0 {
		if names = builtin("looks"); len(names) > 0 {
			dir = "looks"
		} else {
			names = builtin("briefs")
		}
	}
	for _, name := range names {
		f, err := open(dir, name)
		if err != nil {
			return nil, err
		}
		b, err := constraints.LoadBriefFrom(f)
		if err != nil {
			return nil, badInput{err}
		}
		out = append(out, b)
	}
	return out, nil
}
