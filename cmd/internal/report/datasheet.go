package report

import (
	"io"

	"falloff/inventory/datasheet"
)

type jsonImport struct {
	Kind    string            `json:"kind"`
	About   []string          `json:"about"`
	Figures map[string]number `json:"figures"`
	YAML    string            `json:"yaml"`
}

// ImportJSON prints what a measured file became, for programs.
func ImportJSON(w io.Writer, s *datasheet.Sheet) error {
	out := jsonImport{s.Kind, some(s.About), map[string]number{}, s.YAML}
	for _, f := range s.Figures {
		out.Figures[f.Key] = num(f.Value)
	}
	return WriteJSON(w, out)
}
