package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/inventory/datasheet"
	"falloff/model/source"
)

func (a *app) kitImport() *cobra.Command {
	var o datasheet.Options
	var face, flux, energy string
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "Turn a measured file into entries for a studio file",
		Long: `Import reads a photometric file (IES LM-63, EULUMDAT), the spectrum of a light or the
transmittance of a gel (columns of text, or CGATS) and prints entries to paste into a
studio file, with comments on what the file says.`,
		Example: "  falloff kit import dish.ies --mount ring\n  falloff kit import rose.csv --as gel",
		Args:    takes(1, 1, "one file"),
		RunE: func(_ *cobra.Command, args []string) error {
			for _, q := range []struct {
				flag, text string
				into       interface{ UnmarshalText([]byte) error }
			}{{"face", face, &o.Face}, {"flux", flux, &o.Flux}, {"energy", energy, &o.Energy}} {
				if q.text == "" {
					continue
				}
				if err := q.into.UnmarshalText([]byte(q.text)); err != nil {
					return usage{"falloff kit import", fmt.Errorf("--%s: %w", q.flag, err)}
				}
			}
			if o.Flux > 0 && o.Energy > 0 {
				return usage{"falloff kit import", errors.New("--flux is of a lamp and --energy of a flash; give one of them")}
			}
			return a.importSheet(args[0], o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.As, "as", "", "what it becomes: modifier, head or gel (default: by the file)")
	f.StringVar(&o.ID, "id", "", "id of the entry (default: by the name of the file)")
	f.StringVar(&o.Name, "name", "", "name of the entry")
	f.StringVar(&o.Mount, "mount", "", "mount of your heads, which the modifier fits (default: usual)")
	f.StringVar(&face, "face", "", "size of the luminous face, as in 18 cm or 60 x 90 cm (default: that of the file)")
	f.StringVar(&flux, "flux", "", "flux of the lamp that a spectrum is of, as in 6000 lm")
	f.StringVar(&energy, "energy", "", "energy of the flash that a spectrum is of, as in 300 Ws")
	return c
}

func (a *app) importSheet(name string, o datasheet.Options) error {
	if o.As != "" {
		known := false
		for _, k := range datasheet.Kinds {
			known = known || k == o.As
		}
		if !known {
			return usage{"falloff kit import", fmt.Errorf("--as: %q is not one of modifier, head, gel", o.As)}
		}
	}
	f, err := source.Read(name)
	if err != nil {
		return badInput{err}
	}
	s, err := datasheet.Read(f, o)
	if err != nil {
		return badInput{err}
	}
	if a.json {
		return a.wrote(report.ImportJSON(&a.out, s))
	}
	a.out.WriteString(s.Text())
	return nil
}
