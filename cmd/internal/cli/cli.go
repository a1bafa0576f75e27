// Package cli is the command line: one file per subcommand. Answers go to standard
// output, narration and errors to standard error.
package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"falloff/cmd/internal/report"
	"falloff/model/unit"
	"falloff/solver"
)

// Exit codes.
const (
	exitFound     = 0
	exitInternal  = 1 // a fault of ours, or an answer that could not be written
	exitBadInput  = 2 // or wrong usage
	exitCannot    = 3 // proved
	exitUndecided = 4
)

// Run runs one command line and returns its exit code. It never panics and never ends
// the process, so that tests can call it.
func Run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, getenv func(string) string) (code int) {
	a := &app{stdout: stdout, stderr: stderr, getenv: getenv}
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(stderr, faultText, r, frames())
			code = exitInternal
		}
	}()
	root := a.root()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(&a.out)
	root.SetErr(stderr)
	if err := root.ExecuteContext(ctx); err != nil {
		return a.complain(err)
	}
	if _, err := stdout.Write(a.out.Bytes()); err != nil {
		fmt.Fprintf(stderr, "falloff: cannot write the answer: %v\n", err)
		return exitInternal
	}
	return a.code
}

const faultText = `falloff: internal error. This is a fault in falloff, not in your files.
No file was changed. Please report it with the command, the files and these lines:
  %v
%s`

// frames lists where in falloff a panic came from.
func frames() string {
	var b strings.Builder
	pcs := make([]uintptr, 64)
	at := runtime.CallersFrames(pcs[:runtime.Callers(3, pcs)])
	for n := 0; n < 6; {
		f, more := at.Next()
		if strings.HasPrefix(f.Function, "falloff/") {
			fmt.Fprintf(&b, "  %s, line %d\n", f.Function, f.Line)
			n++
		}
		if !more {
			break
		}
	}
	return b.String()
}

// app is one run. Answers are gathered in out and written at the end, so that a run that
// fails prints no half of one.
type app struct {
	out            bytes.Buffer
	stdout, stderr io.Writer
	getenv         func(string) string
	code           int

	json    bool
	verbose bool
	units   string
	width   int
	studio  string
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "falloff",
		Short: "Plan studio portraits: checked set-ups, or a proof that there is none",
		Long: `Falloff plans studio portraits. Write down the kit and the room (a studio file) and
what the picture must look like (a brief). Falloff answers with set-ups that hold,
best first, or proves that the wishes cannot all hold and says what helps.

Without a brief "falloff plan" answers the built-in example.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	f := root.PersistentFlags()
	f.BoolVar(&a.json, "json", false, "answer in JSON; metres, degrees and stops, with the unit in each key")
	f.StringVar(&a.units, "units", "metric", "metric or imperial")
	f.IntVar(&a.width, "width", 0, "columns of text (default: of the terminal, else 80)")
	f.BoolVar(&a.verbose, "verbose", false, "say more, and narrate the search on standard error")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		text, _, _ := strings.Cut(err.Error(), ": strconv.") // a Go function says nothing to a user
		return usage{c.CommandPath(), errors.New(text)}
	})
	root.AddCommand(a.plan(), a.check(), a.sheet(), a.why(), a.unstick(), a.reach(), a.hire(), a.kit(), a.goals(), a.export())
	root.CompletionOptions.HiddenDefaultCmd = false
	return root
}

// withStudio adds the flag that names the studio.
func (a *app) withStudio(c *cobra.Command) *cobra.Command {
	c.Flags().StringVar(&a.studio, "studio", "", "studio `FILE` (default: the built-in studio northlight)")
	return c
}

// usage is a command line that makes no sense.
type usage struct {
	command string
	err     error
}

func (u usage) Error() string { return u.err.Error() }
func (u usage) Unwrap() error { return u.err }

// badInput is something wrong with a file or a place that the user named.
type badInput struct{ err error }

func (b badInput) Error() string { return b.err.Error() }
func (b badInput) Unwrap() error { return b.err }

// fault is an error that no input should cause.
type fault struct{ err error }

func (f fault) Error() string { return f.err.Error() }

// complain prints an error and returns the exit code that goes with it.
func (a *app) complain(err error) int {
	var bad badInput
	var ours fault
	switch {
	case errors.As(err, &ours):
		fmt.Fprintf(a.stderr, faultText, ours.err, "")
		return exitInternal
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(a.stderr, "falloff: stopped; no file was changed half way")
		return exitUndecided
	case errors.As(err, &bad):
		a.explain(bad.err)
		return exitBadInput
	}
	// The rest is cobra's: an unknown command or flag, or too many arguments.
	command := "falloff"
	var u usage
	if errors.As(err, &u) {
		command = u.command
	}
	text := strings.TrimSpace(strings.ReplaceAll(err.Error(), "\n\n", "\n"))
	fmt.Fprintf(a.stderr, "falloff: %s\nFor help: %s --help\n", text, command)
	return exitBadInput
}

// style is how text is laid out.
func (a *app) style() (report.Style, error) {
	system, err := unit.ParseSystem(a.units)
	if err != nil {
		return report.Style{}, usage{"falloff", fmt.Errorf("--units: %w", err)}
	}
	if a.width < 0 || a.width > 0 && a.width < 40 {
		return report.Style{}, usage{"falloff", fmt.Errorf("--width: %d is below 40 columns", a.width)}
	}
	return report.Style{Width: a.columns(), Units: system, Verbose: a.verbose}, nil
}

// columns is the width asked for, else COLUMNS, else the terminal's, else 80.
func (a *app) columns() int {
	if a.width > 0 {
		return a.width
	}
	if n, err := strconv.Atoi(a.getenv("COLUMNS")); err == nil && n >= 40 {
		return n
	}
	if f, ok := a.stdout.(*os.File); ok {
		if n := terminalColumns(f.Fd()); n >= 40 {
			return n
		}
	}
	return 80
}

// answered notes the outcome for the exit code.
func (a *app) answered(o solver.Outcome) {
	switch o {
	case solver.Found:
		a.code = exitFound
	case solver.Cannot:
		a.code = exitCannot
	default:
		a.code = exitUndecided
	}
}

// takes checks the number of arguments and says what they are.
func takes(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch n := len(args); {
		case n < least:
			return usage{c.CommandPath(), fmt.Errorf("%s takes %s", c.Name(), what)}
		case n > most && most == 0:
			return usage{c.CommandPath(), fmt.Errorf("%s takes no %q", c.Name(), args[0])}
		case n > most:
			return usage{c.CommandPath(), fmt.Errorf("%s takes %s, and %q is one too many", c.Name(), what, args[most])}
		}
		return nil
	}
}
