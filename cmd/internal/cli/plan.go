package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

func (a *app) plan() *cobra.Command {
	var count, work int
	var dir, sheets, look string
	var prefer, near string
	var limit time.Duration
	c := &cobra.Command{
		Use:   "plan [BRIEF]",
		Short: "Find set-ups that meet a brief, best first, or prove that there is none",
		Long: `Plan finds set-ups that meet a brief, best first. Each was checked by the full model.
Where there is none it proves so, says which lines of the brief collide, and lists
changes that were tried and help. Without a brief it answers the built-in example.

--look takes a ready look instead of a brief; of several it says which your kit can
build, and how well.

Exit code: 0 found, 2 bad input, 3 proved that there is none, 4 undecided.`,
		Example: "  falloff plan\n  falloff plan poster.yaml --studio loft.yaml --count 3 --write setups\n  falloff plan --look rembrandt --studio loft.yaml\n  falloff plan --look all --studio loft.yaml",
		Args:    takes(0, 1, "one brief at most"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			if count < 1 || count > 100 {
				return usage{c.CommandPath(), fmt.Errorf("--count: %d is outside 1 to 100", count)}
			}
			brief := builtinBrief
			if len(args) == 1 {
				brief = args[0]
			}
			if look != "" {
				if len(args) == 1 {
					return usage{c.CommandPath(), fmt.Errorf("--look stands for a brief, so %q is one too many", args[0])}
				}
				names, err := lookNames(look)
				if err != nil {
					return usage{c.CommandPath(), err}
				}
				if len(names) > 1 {
					return a.looks(c.Context(), names, st, work)
				}
				brief = "looks/" + names[0]
			}
			s, b, err := a.bench(brief)
			if err != nil {
				return err
			}
			o := solver.Options{Count: count, Work: work, Progress: a.progress()}
			if o.Prefer, o.Near, err = preference(prefer, near); err != nil {
				return err
			}
			ctx, cancel := within(c.Context(), limit)
			defer cancel()
			ans, err := solver.Plan(ctx, s, b, o)
			if err != nil {
				return solverError(err)
			}
			a.answered(ans.Outcome)
			if dir != "" && ans.Outcome == solver.Found {
				if err := a.writeSetups(dir, brief, ans.Setups); err != nil {
					return err
				}
			}
			if sheets != "" {
				if err := a.writeSheets(sheets, s, b, ans, st); err != nil {
					return err
				}
			}
			if a.json {
				return a.wrote(report.AnswerJSON(&a.out, s, b, ans))
			}
			return a.wrote(report.Answer(&a.out, s, b, ans, st))
		},
	}
	c.Flags().IntVar(&count, "count", 5, "how many set-ups, 1 to 100")
	c.Flags().IntVar(&work, "work", 0, "look at most at this many candidates of gear (default: very many)")
	c.Flags().StringVar(&look, "look", "", "plan a ready look, several with commas between them, or all")
	c.Flags().StringVar(&prefer, "prefer", "fewer-lights", "rank by fewer-lights, faster, sturdier or nearer (to the set-up of --to)")
	c.Flags().StringVar(&near, "to", "", "set-up `FILE` that --prefer nearer keeps near to")
	c.Flags().DurationVar(&limit, "time", 0, "stop after this long, as in 2s, with the best so far (default: no limit); answers may then differ from run to run")
	c.Flags().StringVar(&dir, "write", "", "write the set-ups as files set-up-1.yaml ... into folder `DIR`")
	c.Flags().StringVar(&sheets, "sheet", "", "write set sheets and an index that compares them into folder `DIR`")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the brief names, else northlight)")
	return c
}

// preference reads what set-ups are to be ranked by.
func preference(word, file string) (solver.Preference, *inventory.Setup, error) {
	p := solver.Preference(word)
	if !slices.Contains(solver.Preferences, p) {
		return "", nil, usage{"falloff plan", fmt.Errorf("--prefer: %q is not fewer-lights, faster, sturdier or nearer", word)}
	}
	if (p == solver.Nearer) != (file != "") {
		return "", nil, usage{"falloff plan", errors.New("--prefer nearer and --to FILE go together")}
	}
	if file == "" {
		return p, nil, nil
	}
	set, err := inventory.LoadSetup(file)
	if err != nil {
		return "", nil, badInput{err}
	}
	return p, set, nil
}

// within bounds the time that a search may take; 0 for no limit.
func within(ctx context.Context, limit time.Duration) (context.Context, context.CancelFunc) {
	if limit <= 0 {
		return ctx, func() {}
	}
	return context.WithTimeout(ctx, limit)
}

// progress narrates a search on standard error, if that was asked for or if it takes long.
func (a *app) progress() func(string) {
	if !a.verbose {
		return a.afterASecond()
	}
	return func(line string) { fmt.Fprintln(a.stderr, line) }
}

// wrote turns an error of writing into memory, which should not happen, into a fault.
func (a *app) wrote(err error) error {
	if err != nil {
		return fault{err}
	}
	return nil
}

// writeSetups writes one file per set-up. Each is complete or absent: see source.WriteFile.
func (a *app) writeSetups(dir, brief string, setups []*solver.Checked) error {
	if err := makeFolder(dir); err != nil {
		return err
	}
	for i, c := range setups {
		set := *c.Setup
		set.Studio = reference(a.studio, builtinStudio, dir)
		set.Brief = reference(brief, builtinBrief, dir)
		name := filepath.Join(dir, fmt.Sprintf("set-up-%d.yaml", i+1))
		text, err := source.Encode(&set)
		if err != nil {
			return fault{err}
		}
		if err := writeFile(name, text); err != nil {
			return err
		}
		fmt.Fprintf(a.stderr, "wrote %s\n", name)
	}
	return nil
}
