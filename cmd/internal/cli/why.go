package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

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

With --proof the proof is written to a file: brief and studio, the rules that it rests on,
each in words, and all that they say of kit and settings, as clauses in DIMACS CNF. Where
several sets of goals collide, each has a file of its own beside it: proof.cnf, proof-2.cnf
and so on, in the order of the answer. With --verify such a file, and those that belong to
it, are checked by a small program of its own, which shares nothing with the search: that
they are of this brief and this studio, where a brief is given, that each rule follows from
those that it quotes, and that the rules of each file contradict each other.

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

// writeProof keeps the proofs of all conflicts, each in a file.
func (a *app) writeProof(ans *solver.Answer, name string) error {
	proofs, conflicts := ans.Proofs()
	if conflicts == 0 {
		fmt.Fprintf(a.stderr, "nothing was proved impossible, so %s was not written\n", name)
		return nil
	}
	if len(proofs) == 0 {
		fmt.Fprintf(a.stderr, "a limit was reached when the proof was repeated, so %s was not written\n", name)
		return nil
	}
	for i, proof := range proofs {
		file := proofFile(name, i+1)
		if err := source.WriteFile(file, proof); err != nil {
			return badInput{fmt.Errorf("%w; a file that was there is as it was", err)}
		}
		fmt.Fprintf(a.stderr, "wrote %s\n", file)
	}
	if left := conflicts - len(proofs); left > 0 {
		fmt.Fprintf(a.stderr, "a limit was reached when the proofs of %d of the %d conflicts were repeated, so they were not written\n", left, conflicts)
	}
	return nil
}

// proofFile names the file of the n-th conflict: proof.cnf, proof-2.cnf and so on.
func proofFile(name string, n int) string {
	if n == 1 {
		return name
	}
	ext := filepath.Ext(name)
	return fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ext), n, ext)
}

// verified checks a proof and, where it is the first of several, the others; and where a
// brief is given that they are of that brief and studio.
func (a *app) verified(s *inventory.Studio, b *constraints.Brief, name string) error {
	first, err := readProof(name)
	if err != nil {
		return err
	}
	proofs, names := []*verify.Proof{first}, []string{name}
	for n := 2; first.Number == 1 && n <= first.All; n++ {
		file := proofFile(name, n)
		p, err := readProof(file)
		if err != nil {
			return err
		}
		if p.Number != n || p.All != first.All || p.Studio != first.Studio || p.Wishes != first.Wishes {
			return badInput{fmt.Errorf("%s does not belong to %s", file, name)}
		}
		proofs, names = append(proofs, p), append(names, file)
	}
	st, err := a.style()
	if err != nil {
		return err
	}
	for i, p := range proofs {
		if b != nil {
			if err := p.Of(s, b); err != nil {
				return badInput{fmt.Errorf("%s does not hold: %w", names[i], err)}
			}
		}
		res, err := p.Check()
		if err != nil {
			return badInput{fmt.Errorf("%s does not hold: %w", names[i], err)}
		}
		if i > 0 {
			fmt.Fprintln(&a.out)
		}
		if err := a.wrote(report.Verified(&a.out, p, res, st)); err != nil {
			return err
		}
	}
	a.answered(solver.Cannot)
	return nil
}

func readProof(name string) (*verify.Proof, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, badInput{fmt.Errorf("cannot read %s: %w", name, cause(err))}
	}
	defer f.Close()
	p, err := verify.Read(f)
	if err != nil {
		return nil, badInput{fmt.Errorf("%s is no proof: %w", name, err)}
	}
	return p, nil
}
