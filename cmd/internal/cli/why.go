package cli

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
	"falloff/solver/verify"
)

func (a *app) why() *cobra.Command {
	var proof, check string
	c := &cobra.Command{
		Use:   "why BRIEF",
		Short: "Say why a brief cannot be met, in full, or what is tightest when it can",
		Long: `Why gives the argument that a brief cannot be met: the lines that collide, each
step with its numbers, what was weighed and what helps. When the brief can be met
it says so, and which goals leave the least to spare.

With --proof the proof of the first conflict is written to a file: brief and studio, the
rules that it rests on, each in words, and all that they say of kit and settings, as
clauses in DIMACS CNF. With --verify such a file is checked by a small program of its
own, which shares nothing with the search: that it is of this brief and this studio, where
a brief is given, that each rule follows from those that it quotes, and that the rules
contradict each other.

Exit code: 0 it can be met, 2 bad input, 3 proved that it cannot, 4 undecided.`,
		Example: "  falloff why poster.yaml --studio loft.yaml\n  falloff why --verify proof.cnf",
		Args: func(c *cobra.Command, args []string) error {
			if check != "" {
				return takes(0, 1, "one brief")(c, args)
			}
			return takes(1, 1, "one brief")(c, args)
		},
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			if len(args) == 0 {
				return a.verified(nil, nil, check)
			}
			s, b, err := a.bench(args[0])
			if err != nil {
				return err
			}
			if check != "" {
				return a.verified(s, b, check)
			}
			ans, err := solver.Plan(c.Context(), s, b, solver.Options{Count: 1, Proof: proof != "", Progress: a.progress()})
			if err != nil {
				return solverError(err)
			}
			a.answered(ans.Outcome)
			if proof != "" {
				if err := a.writeProof(ans, proof); err != nil {
					return err
				}
			}
			if a.json {
				return a.wrote(report.AnswerJSON(&a.out, s, b, ans))
			}
			return a.wrote(report.Why(&a.out, s, b, ans, st))
		},
	}
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the brief names, else northlight)")
	c.Flags().StringVar(&proof, "proof", "", "write the proof to `FILE`")
	c.Flags().StringVar(&check, "verify", "", "check the proof in `FILE` instead of searching")
	return c
}

// writeProof keeps the proof of the first conflict.
func (a *app) writeProof(ans *solver.Answer, name string) error {
	if ans.Conflict == nil {
		fmt.Fprintf(a.stderr, "nothing was proved impossible, so %s was not written\n", name)
		return nil
	}
	if len(ans.Conflict.Proof) == 0 {
		fmt.Fprintf(a.stderr, "a limit was reached when the proof was repeated, so %s was not written\n", name)
		return nil
	}
	if err := source.WriteFile(name, ans.Conflict.Proof); err != nil {
		return badInput{fmt.Errorf("%w; a file that was there is as it was", err)}
	}
	fmt.Fprintf(a.stderr, "wrote %s\n", name)
	return nil
}

// verified checks a proof, and where a brief is given that it is of that brief and studio.
func (a *app) verified(s *inventory.Studio, b *constraints.Brief, name string) error {
	f, err := os.Open(name)
	if err != nil {
		return badInput{fmt.Errorf("cannot read %s: %w", name, cause(err))}
	}
	defer f.Close()
	p, err := verify.Read(f)
	if err != nil {
		return badInput{fmt.Errorf("%s is no proof: %w", name, err)}
	}
	if b != nil {
		if err := p.Of(s, b); err != nil {
			return badInput{fmt.Errorf("%s does not hold: %w", name, err)}
		}
	}
	res, err := p.Check()
	if err != nil {
		return badInput{fmt.Errorf("%s does not hold: %w", name, err)}
	}
	st, err := a.style()
	if err != nil {
		return err
	}
	a.answered(solver.Cannot)
	return a.wrote(report.Verified(&a.out, p, res, st))
}
