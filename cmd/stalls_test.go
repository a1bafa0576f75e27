package cmd_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"falloff/cmd/internal/cli"
	"falloff/examples"
)

var update = flag.Bool("update", false, "rewrite the expected texts of the stalls")

// The worked stalls read as they should, to the letter. After -update they must be read
// again as a photographer would.
func TestStalls(t *testing.T) {
	names, err := fs.Glob(examples.FS, "stalls/*.yaml")
	if err != nil || len(names) < 3 {
		t.Fatalf("%d stalls, want three or more: %v", len(names), err)
	}
	for _, file := range names {
		name := strings.TrimSuffix(filepath.Base(file), ".yaml")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out := ran(t, "unstick", name, "--width", "80")
			golden := filepath.Join("../examples/stalls", name+".txt")
			if *update {
				if err := os.WriteFile(golden, []byte(out), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if out != string(want) {
				t.Errorf("unstick %s says\n%s\nand %s has\n%s", name, out, golden, want)
			}
		})
	}
}

func ran(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := cli.Run(context.Background(), args, strings.NewReader(""), &out, &errs, func(string) string { return "" }); code != 0 {
		t.Fatalf("falloff %s: exit code %d\n%s", strings.Join(args, " "), code, errs.String())
	}
	return out.String()
}

// ladder is what these tests read of unstick's JSON.
type ladder struct {
	Rungs []struct {
		Changes []string
		Minutes float64 `json:"minutes_alone"`
		Setup   map[string]any
	}
	Walk []struct {
		Changes []string
		Minutes float64 `json:"minutes_alone"`
	}
}

func ladderOf(t *testing.T, args ...string) (got ladder) {
	t.Helper()
	if err := json.Unmarshal([]byte(ran(t, append(append([]string{"unstick"}, args...), "--json")...)), &got); err != nil {
		t.Fatal(err)
	}
	return got
}

// The quickest comes first, no two rungs name one change, and --minutes leaves out what
// takes longer.
func TestLadderIsInOrder(t *testing.T) {
	t.Parallel()
	all := ladderOf(t, "ninth-head")
	seen := map[string]bool{}
	for i, r := range all.Rungs {
		if i > 0 && r.Minutes < all.Rungs[i-1].Minutes {
			t.Errorf("%v takes %v min, and the rung before it %v", r.Changes, r.Minutes, all.Rungs[i-1].Minutes)
		}
		for _, c := range r.Changes {
			if seen[c] {
				t.Errorf("%q is there twice", c)
			}
			seen[c] = true
		}
	}
	short := ladderOf(t, "ninth-head", "--minutes", "1")
	if len(short.Rungs) == 0 || len(short.Rungs) >= len(all.Rungs) {
		t.Errorf("%d of %d rungs within a minute", len(short.Rungs), len(all.Rungs))
	}
	for _, r := range short.Rungs {
		if r.Minutes > 1 {
			t.Errorf("%v takes %v min", r.Changes, r.Minutes)
		}
	}
}

// A walk keeps within its minutes, and visits each look once.
func TestWalkKeepsTime(t *testing.T) {
	t.Parallel()
	got := ladderOf(t, "ninth-head", "--walk", "--minutes", "2")
	total, seen := 0.0, map[string]bool{}
	for _, leg := range got.Walk {
		total += leg.Minutes
		if look := strings.Join(leg.Changes, " "); seen[look] {
			t.Errorf("%s is visited twice", look)
		} else {
			seen[look] = true
		}
	}
	if total > 2 || len(got.Walk) < 3 {
		t.Errorf("%d looks in %v min", len(got.Walk), total)
	}
}
