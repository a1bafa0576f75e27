package cli

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

func (a *app) reach() *cobra.Command {
	var with, release []string
	var chart string
	c := &cobra.Command{
		Use:   "reach BRIEF QUANTITY [by QUANTITY]",
		Short: "Find how far a quantity can go under a brief, with a proof at each end",
		Long: `Reach finds the range of a quantity under a brief: the farthest value at each end with a
set-up that shows it, the nearest value beyond that is proved out of reach, what stands
in the way there, and the kit without which the end cannot be reached. What could be
neither shown nor refuted is called open. With "by" it finds the range at several values
of a second quantity. --with adds a goal in the place of the brief's own of that kind,
--release leaves one out.
Quantities: ` + strings.Join(quantityNames(), ", ") + `.
Exit code: 0 found, 2 bad input, 3 the brief is proved impossible, 4 undecided.`,
		Example: "  falloff reach classic softness --with \"aperture: f/8\"\n  falloff reach classic depth-of-field by aperture --svg curve.svg",
		Args:    takes(2, 4, "one brief and one quantity"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			if len(args) > 2 && (len(args) != 4 || args[2] != "by") {
				return usage{c.CommandPath(), errors.New("a second quantity is written: reach BRIEF QUANTITY by QUANTITY")}
			}
			if chart != "" && len(args) == 2 {
				return usage{c.CommandPath(), errors.New("--svg draws a curve, which needs a second quantity")}
			}
			var q [2]*constraints.Quantity
			for i, arg := range args[1:] {
				if i == 1 {
					continue // by
				}
				if q[i/2], err = constraints.FindQuantity(arg); err != nil {
					return badInput{err}
				}
			}
			s, b, err := a.changedBrief(args[0], with, release)
			if err != nil {
				return err
			}
			o := solver.Options{Progress: a.progress()}
			if q[1] == nil {
				got, err := solver.Reach(c.Context(), s, b, q[0], o)
				if err != nil {
					return solverError(err)
				}
				a.answered(got.Answer.Outcome)
				if a.json {
					return a.wrote(report.ReachJSON(&a.out, s, b, got))
				}
				return a.wrote(report.Reach(&a.out, s, b, got, st))
			}
			got, err := solver.Trade(c.Context(), s, b, q[0], q[1], o)
			if err != nil {
				return solverError(err)
			}
			a.answered(got.Answer.Outcome)
			if chart != "" && got.Answer.Outcome == solver.Found {
				if err := a.writeChart(chart, got); err != nil {
					return err
				}
			}
			if a.json {
				return a.wrote(report.CurveJSON(&a.out, s, b, got))
			}
			return a.wrote(report.Curve(&a.out, s, b, got, st))
		},
	}
	c.Flags().StringArrayVar(&with, "with", nil, "one more `GOAL`, as in \"aperture: f/8\"")
	c.Flags().StringArrayVar(&release, "release", nil, "leave out the brief's goals of this `KIND`")
	c.Flags().StringVar(&chart, "svg", "", "draw the curve into `FILE`")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the brief names, else northlight)")
	return c
}

func quantityNames() (names []string) {
	for _, q := range constraints.Quantities() {
		names = append(names, q.Name)
	}
	return names
}

// changedBrief loads a brief and changes its goals as the flags say.
func (a *app) changedBrief(name string, with, release []string) (*inventory.Studio, *constraints.Brief, error) {
	s, b, err := a.bench(name)
	if err != nil {
		return nil, nil, err
	}
	for _, kind := range release {
		changed, had := b.Without(kind)
		if !had {
			return nil, nil, badInput{fmt.Errorf("--release %s: the brief has no such goal", kind)}
		}
		b = changed
	}
	for _, goal := range with {
		if b, err = b.With(goal); err != nil {
			return nil, nil, badInput{err}
		}
	}
	if err := b.Bind(s); err != nil {
		return nil, nil, badInput{err}
	}
	if err := collisions(b); err != nil {
		return nil, nil, badInput{err}
	}
	return s, b, nil
}

func (a *app) writeChart(name string, c *solver.Curve) error {
	var drawn bytes.Buffer
	if err := report.CurveSVG(&drawn, c); err != nil {
		return fault{err}
	}
	if err := source.WriteFile(name, drawn.Bytes()); err != nil {
		return badInput{fmt.Errorf("%w; a file that was there is as it was", err)}
	}
	fmt.Fprintf(a.stderr, "wrote %s\n", name)
	return nil
}
