package cli

import (
	_ "embed"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/inventory"
)

// starter is a small studio to begin from; a test loads it.
//
//go:embed starter.yaml
var starter []byte

func (a *app) kit() *cobra.Command {
	list := func(*cobra.Command, []string) error {
		st, err := a.style()
		if err != nil {
			return err
		}
		s, err := loadStudio(a.studio)
		if err != nil {
			return err
		}
		if a.json {
			return a.wrote(report.KitJSON(&a.out, s))
		}
		return a.wrote(report.Kit(&a.out, s, st))
	}
	c := a.withStudio(&cobra.Command{
		Use:   "kit",
		Short: "List the kit, find what can never be used, import measured data, or print a file to start from",
		Long: `Kit lists what a studio owns, with the numbers that matter on set.
"kit lint" finds items that can never be used and says why.
"kit template" prints a small studio file to start from.
"kit import" turns measured files into entries for a studio file.
"kit defaults" lists generic kit for what you do not know of yours.`,
		Args: takes(0, 0, ""),
		RunE: list,
	})
	c.AddCommand(
		a.survey(),
		a.withStudio(&cobra.Command{
			Use: "list", Short: "List the kit (as does kit alone)", Args: takes(0, 0, ""), RunE: list,
		}),
		a.withStudio(&cobra.Command{
			Use: "lint", Short: "Find items that can never be used, and say why", Args: takes(0, 0, ""),
			RunE: func(*cobra.Command, []string) error {
				st, err := a.style()
				if err != nil {
					return err
				}
				s, err := loadStudio(a.studio)
				if err != nil {
					return err
				}
				if a.json {
					return a.wrote(report.FindingsJSON(&a.out, s, inventory.Lint(s)))
				}
				return a.wrote(report.Findings(&a.out, s, inventory.Lint(s), st))
			},
		}),
		&cobra.Command{
			Use: "template", Short: "Print a commented studio file to start from", Args: takes(0, 0, ""),
			Example: "  falloff kit template > loft.yaml",
			RunE: func(*cobra.Command, []string) error {
				a.out.Write(starter)
				return nil
			},
		},
		a.kitImport(),
		a.kitDefaults(),
	)
	return c
}
