package cli

import (
	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
)

func (a *app) sheet() *cobra.Command {
	var brief string
	c := &cobra.Command{
		Use:   "sheet SETUP",
		Short: "Make the set sheet of a set-up",
		Args:  takes(1, 1, "one set-up file"),
		RunE: func(c *cobra.Command, args []string) error {
			st, err := a.style()
			if err != nil {
				return err
			}
			s, b, checked, err := a.checkedSetup(args[0], brief)
			if err != nil {
				return err
			}
			sheet, err := report.NewSheet(s, b, checked, st, "")
			if err != nil {
				return fault{err}
			}
			return a.wrote(sheet.HTML(&a.out))
		},
	}
	c.Flags().StringVar(&brief, "brief", "", "brief `FILE` (default: the one that the set-up names)")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the set-up names, else northlight)")
	return c
}
