package cli

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/solver"
)

func (a *app) sheet() *cobra.Command {
	var brief, dir string
	c := &cobra.Command{
		Use:   "sheet SETUP",
		Short: "Make the set sheet of a set-up: drawings, order of work, packing list",
		Long: `Sheet writes the set sheet of a set-up into a folder: one page NAME.html that needs
nothing else and prints on A4 and Letter, each drawing as SVG in NAME-drawings, and the
packing list as NAME-packing.csv. NAME is that of the set-up file. With --json it prints
the sheet's numbers instead, and writes files only if --to is given.

"falloff plan --sheet DIR" makes the sheets of all set-ups that it finds, and an index.

Exit code: 0 everything holds, 2 bad input, 3 a must or a limit fails; the sheet says so
and is written all the same.`,
		Example: "  falloff sheet setups/set-up-1.yaml\n  falloff sheet setups/set-up-1.yaml --to wall --units imperial",
		Args:    takes(1, 1, "one set-up file"),
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
			if dir == "" && !a.json {
				dir = filepath.Dir(args[0])
			}
			if dir != "" {
				stem := strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0]))
				if err := a.writeSheet(dir, stem, sheet); err != nil {
					return err
				}
			}
			if a.json {
				return a.wrote(sheet.JSON(&a.out))
			}
			return nil
		},
	}
	c.Flags().StringVar(&dir, "to", "", "write into folder `DIR` (default: that of the set-up)")
	c.Flags().StringVar(&brief, "brief", "", "brief `FILE` (default: the one that the set-up names)")
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the one that the set-up names, else northlight)")
	return c
}

// writeSheet writes the page, the drawings and the packing list of one set-up.
func (a *app) writeSheet(dir, stem string, sheet *report.Sheet) error {
	drawings := filepath.Join(dir, stem+"-drawings")
	if err := makeFolder(drawings); err != nil {
		return err
	}
	if err := a.writePage(filepath.Join(dir, stem+".html"), sheet.HTML); err != nil {
		return err
	}
	if err := a.writePage(filepath.Join(dir, stem+"-packing.csv"), sheet.PackingCSV); err != nil {
		return err
	}
	n := 0
	for _, d := range sheet.Drawings() {
		if err := writeFile(filepath.Join(drawings, d.Name+".svg"), []byte(d.File())); err != nil {
			return err
		}
		n++
	}
	fmt.Fprintf(a.stderr, "wrote %d drawings into %s\n", n, drawings)
	return nil
}

// writePage writes what a report prints into a file, and says so.
func (a *app) writePage(name string, write func(io.Writer) error) error {
	var text bytes.Buffer
	if err := write(&text); err != nil {
		return fault{err}
	}
	if err := writeFile(name, text.Bytes()); err != nil {
		return err
	}
	fmt.Fprintf(a.stderr, "wrote %s\n", name)
	return nil
}

func writeFile(name string, text []byte) error {
	if err := source.WriteFile(name, text); err != nil {
		return badInput{fmt.Errorf("%w; a file that was there is as it was", err)}
	}
	return nil
}

func makeFolder(dir string) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return badInput{fmt.Errorf("cannot make the folder %s: %w", dir, cause(err))}
	}
	return nil
}

// writeSheets writes the sheets of an answer and an index that compares them, or the page
// that says why there is none.
func (a *app) writeSheets(dir string, s *inventory.Studio, b *constraints.Brief, ans *solver.Answer, st report.Style) error {
	if err := makeFolder(dir); err != nil {
		return err
	}
	index := filepath.Join(dir, "index.html")
	if ans.Outcome == solver.Cannot {
		return a.writePage(index, func(w io.Writer) error { return report.ConflictPage(w, s, b, ans, st) })
	}
	var sheets []*report.Sheet
	var names []string
	for i, c := range ans.Setups {
		stem := fmt.Sprintf("set-up-%d", i+1)
		sheet, err := report.NewSheet(s, b, c, st, stem+"-")
		if err != nil {
			return fault{err}
		}
		if err := a.writeSheet(dir, stem, sheet); err != nil {
			return err
		}
		sheets, names = append(sheets, sheet), append(names, stem+".html")
	}
	return a.writePage(index, func(w io.Writer) error { return report.IndexPage(w, s, b, ans, sheets, names, st) })
}
