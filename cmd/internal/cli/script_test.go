package cli

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"falloff": func() {
		os.Exit(Run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
	}})
}

// TestScripts runs the program as its user does. Each script holds every expected message
// in full; "go test ./cmd/internal/cli -run Scripts -update" rewrites them, and then they
// must be read again.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../../testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("COLUMNS", "80")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"make":  makeFile,
		},
	})
}

// exits CODE COMMAND... runs a command and wants that exit code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// hostile files that are too large to keep in a script.
var hostile = map[string]func() string{
	// Over the limit of 10 MB.
	"11-MB": func() string { return "studio: big\n" + strings.Repeat("# padding to pass the limit\n", 11<<20/28+1) },
	// Each line doubles the one before: 2^40 values if it were expanded.
	"aliases": func() string {
		var b strings.Builder
		b.WriteString("studio: &a0 [x]\n")
		for i := 1; i <= 40; i++ {
			n, prior := strconv.Itoa(i), strconv.Itoa(i-1)
			b.WriteString("k" + n + ": &a" + n + " [*a" + prior + ", *a" + prior + "]\n")
		}
		return b.String()
	},
	"deep":    func() string { return "studio: " + strings.Repeat("[", 5000) + strings.Repeat("]", 5000) + "\n" },
	"million": func() string { return "studio: many\ngels: [" + strings.Repeat("1,", 1_000_000) + "1]\n" },
}

// make FILE KIND writes a hostile file.
func makeFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 || hostile[args[1]] == nil {
		ts.Fatalf("usage: make FILE KIND")
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(hostile[args[1]]()), 0o666))
}
