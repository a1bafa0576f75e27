package cli

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

func (a *app) unstick() *cobra.Command {
	var brief string
	var minutes float64
	var tried []string
	var walk bool
	c := &cobra.Command{
		Use:   "unstick SETUP",
		Short: "When the shoot stalls: what to try next from where the set stands",
		Long: `Unstick lists what to try next from a set-up, the quickest first: what to touch in which
order, how long it takes alone and with an assistant, what changes in the picture, which
dials to correct, and which goals are kept, gained and lost. The last line is a safe look
to fall back on. The set-up file says which studio and brief it was made for.
Exit code: 0 found, 2 bad input.`,
		Example: "  falloff unstick setups/set-up-1.yaml --minutes 5 --tried setups/set-up-2.yaml",
		Args:    takes(1, 1, "one set-up file"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			if minutes < 0 {
				return usage{c.CommandPath(), fmt.Errorf("--minutes: %g is below 0", minutes)}
			}
			s, b, set, err := a.standing(args[0], brief)
			if err != nil {
				return err
			}
			var looks []*inventory.Setup
			for _, name := range tried {
				t, err := inventory.LoadSetup(name)
				if err != nil {
					return badInput{err}
				}
				looks = append(looks, t)
			}
			ready, err := briefsOf(nil)
			if err != nil {
				return err
			}
			got, err := solver.Unstick(c.Context(), s, b, set, looks, ready, minutes, solver.Options{Progress: a.progress()})
			if err != nil {
				return solverError(err)
			}
			a.answered(solver.Found)
			var legs []solver.Leg
			if walk {
				legs = solver.Walk(s, b, got, minutes)
			}
			switch {
			case a.json:
				return a.wrote(report.UnstickJSON(&a.out, s, b, got, legs))
			case walk:
				return a.wrote(report.Walk(&a.out, s, got, legs, st))
			}
			return a.wrote(report.Unstick(&a.out, s, b, got, st))
		},
	}
	c.Flags().StringVar(&brief, "brief", "", "brief `FILE` (default: the one that the set-up names)")
	c.Flags().Float64Var(&minutes, "minutes", 0, "only what takes no longer than this")
	c.Flags().BoolVar(&walk, "walk", false, "string the changes into a sequence, as many as fit into the minutes")
	c.Flags().StringArrayVar(&tried, "tried", nil, "a set-up `FILE` whose look was tried already; may be given again")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the set-up names, else northlight)")
	return c
}

// standing loads a set-up with the studio and the brief that it was made for, unless flags
// choose others.
func (a *app) standing(name, brief string) (*inventory.Studio, *constraints.Brief, *inventory.Setup, error) {
	f, err := open("stalls", name)
	if err != nil {
		return nil, nil, nil, err
	}
	set, err := inventory.LoadSetupFrom(f)
	if err != nil {
		return nil, nil, nil, badInput{err}
	}
	dir := filepath.Dir(name)
	var studioAt source.Place // where no flag chose another
	if a.studio == "" {
		a.studio = referred(set.Studio, dir)
		studioAt = set.PlaceOf("studio")
	}
	var briefAt source.Place
	if brief == "" {
		brief = referred(set.Brief, dir)
		briefAt = set.PlaceOf("brief")
	}
	if brief == "" {
		return nil, nil, nil, badInput{fmt.Errorf("%s names no brief; give one with --brief FILE", name)}
	}
	if _, err := open("briefs", brief); err != nil {
		return nil, nil, nil, namedAt(briefAt, "brief", err)
	}
	s, b, err := a.bench(brief)
	return s, b, set, namedAt(studioAt, "studio", err)
}
