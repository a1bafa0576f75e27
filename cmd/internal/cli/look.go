package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"falloff/cmd/internal/report"
	"falloff/model/source/spell"
	"falloff/solver"
)

// lookNames reads the value of --look: names with commas between them, or all.
func lookNames(text string) ([]string, error) {
	known := builtin("looks")
	if strings.TrimSpace(text) == "all" {
		return known, nil
	}
	var names []string
	for _, n := range strings.Split(text, ",") {
		n = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(n)), " ", "-")
		if !slices.Contains(known, n) {
			hint := "."
			if near, ok := spell.Nearest(n, known); ok {
				hint = fmt.Sprintf("; did you mean %q?", near)
			}
			return nil, fmt.Errorf("no look is called %q%s There are %s, and all of them with \"all\"", n, hint, strings.Join(known, ", "))
		}
		if !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names, nil
}

// looks plans several looks and compares what the kit can do.
func (a *app) looks(ctx context.Context, names []string, st report.Style, work int) error {
	var all []report.Look
	best := solver.Cannot
	studio := a.studio
	if studio == "" {
		studio = builtinStudio
	}
	for _, n := range names {
		a.studio = studio
		s, b, err := a.bench("looks/" + n)
		if err != nil {
			return err
		}
		ans, err := solver.Plan(ctx, s, b, solver.Options{Count: 1, Work: work, Progress: a.progress()})
		if err != nil {
			return solverError(err)
		}
		all = append(all, report.Look{Name: n, Brief: b, Answer: ans})
		if ans.Outcome == solver.Found || best == solver.Cannot {
			best = ans.Outcome
		}
	}
	a.answered(best)
	s, err := loadStudio(studio)
	if err != nil {
		return err
	}
	if a.json {
		return a.wrote(report.LooksJSON(&a.out, s, all))
	}
	return a.wrote(report.Looks(&a.out, s, all, st))
}
