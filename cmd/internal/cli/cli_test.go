package cli

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"strings"
	"testing"
	"time"

	"falloff/inventory"
	"falloff/model/source"
)

var update = flag.Bool("update", false, "rewrite the expected output in testdata/script")

// run is one command line in this process.
func run(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	code = Run(context.Background(), args, strings.NewReader(""), &out, &err, func(string) string { return "" })
	return code, out.String(), err.String()
}

func TestStarterLoads(t *testing.T) {
	s, err := inventory.LoadFrom(&source.File{Name: "starter.yaml", Text: starter})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range inventory.Lint(s) {
		if f.Severity != inventory.Note {
			t.Errorf("%v", f)
		}
	}
}

// A panic is a fault of ours: the user sees a request to report it, and exit code 1.
func TestPanicIsReported(t *testing.T) {
	var out, errs bytes.Buffer
	broken := func(string) string { panic("a broken promise") }
	code := Run(context.Background(), []string{"kit"}, nil, &out, &errs, broken)
	if code != exitInternal {
		t.Errorf("exit code %d", code)
	}
	if out.Len() > 0 {
		t.Errorf("half an answer: %q", out.String())
	}
	for _, want := range []string{"internal error", "Please report it", "a broken promise", "falloff/cmd/internal/cli"} {
		if !strings.Contains(errs.String(), want) {
			t.Errorf("no %q in %q", want, errs.String())
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestAnswerThatCannotBeWritten(t *testing.T) {
	var errs bytes.Buffer
	if code := Run(context.Background(), []string{"kit"}, nil, fullDisk{}, &errs, func(string) string { return "" }); code != exitInternal {
		t.Errorf("exit code %d", code)
	}
	if want := "falloff: cannot write the answer: no space left on device\n"; errs.String() != want {
		t.Errorf("got %q", errs.String())
	}
}

// Output goes through one buffer, so the same command gives the same bytes.
func TestSameBytes(t *testing.T) {
	for _, args := range [][]string{{"kit"}, {"kit", "--json"}, {"kit", "lint"}, {"goals"}, {"goals", "--json"}, {"goals", "--markdown"}} {
		_, a, _ := run(t, args...)
		_, b, _ := run(t, args...)
		if a != b || a == "" {
			t.Errorf("%v: two runs differ, or are empty", args)
		}
	}
}

// A hostile file is refused in bounded time, whatever its shape. Ten seconds is far above
// the fraction of one that each takes, and far below what expanding it would.
func TestHostileFilesAreQuick(t *testing.T) {
	for name, text := range hostile {
		begun := time.Now()
		_, err := inventory.LoadFrom(&source.File{Name: name, Text: []byte(text())})
		if err == nil {
			t.Errorf("%s was read", name)
		}
		if d := time.Since(begun); d > 10*time.Second {
			t.Errorf("%s took %v", name, d)
		}
	}
}
