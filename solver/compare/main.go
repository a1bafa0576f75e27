// Command compare puts the lattice models of several briefs to falloff's yes-or-no layer and
// to other solvers, compares what they answer and prints what they take. It runs programs
// that it finds on the path, and installs nothing: see .ci/compare.
package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"falloff/solver/export"
)

var (
	program = flag.String("falloff", "falloff", "the program falloff")
	ours    = flag.String("ours", "ours", "the program of solver/compare/ours")
	runs    = flag.Int("runs", 5, "the shortest time of so many runs counts; what takes over a second runs once")
	limit   = flag.Duration("limit", time.Minute, "stop a program after this long")
	only    = flag.String("only", "", "only briefs whose line holds this text")
)

// What the models are asked for.
const (
	best      = "best"      // the least cost, proved
	ten       = "ten"       // the costs of the ten cheapest set-ups of distinct gear
	conflicts = "conflicts" // every minimal set of musts that cannot all hold
)

// brief is one that is compared: its name and a studio, built-in or a hire house by its
// number of items.
type brief struct {
	name, studio string
	items        int
}

var briefs = []brief{
	{"rim-and-glow", "northlight", 0},
	{"classic", "northlight", 0},
	{"tight-and-open", "northlight", 0},
	{"one-green-gel", "northlight", 0},
	{"three-lights", "two-stands", 0},
	{"classic", "travel-bag", 0},
	{"classic", "spare-room", 0},
	{"classic", "", 200},
	{"rim-and-glow", "", 200},
	{"classic", "", 1000},
	{"rim-and-glow", "", 1000},
	{"tight-and-open", "", 1000},
}

func main() {
	flag.Parse()
	dir, err := os.MkdirTemp("", "compare")
	if err != nil {
		fail(err)
	}
	defer os.RemoveAll(dir)
	t := &table{dir: dir}
	t.heading()
	for _, b := range briefs {
		if strings.Contains(b.label(), *only) {
			t.compare(b)
		}
	}
	t.summary()
	if t.disagreed > 0 {
		os.RemoveAll(dir)
		os.Exit(1)
	}
}

func fail(why any) {
	fmt.Fprintln(os.Stderr, "compare:", why)
	os.Exit(2)
}

func (b brief) label() string {
	if b.items > 0 {
		return fmt.Sprintf("%s, hire house of %d", b.name, b.items)
	}
	return b.name + ", " + b.studio
}

// answer is what a solver said and took.
type answer struct {
	says  []string      // costs, or conflicts in order
	time  time.Duration // on the clock
	cpu   time.Duration // of processors
	over  bool          // stopped at the limit
	wrong error
}

func (a answer) String() string {
	switch {
	case a.wrong != nil:
		return "failed"
	case a.over:
		return fmt.Sprintf("> %.0f", ms(a.time))
	}
	return fmt.Sprintf("%.1f", ms(a.time))
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// table is the comparison under way.
type table struct {
	dir       string
	rivals    []rival
	disagreed int
	ratios    map[string][]float64
}

func (t *table) heading() {
	t.ratios = map[string][]float64{}
	all := []rival{gecode{}, cbc{}, z3Optimiser{}, z3Solver{}}
	var names []string
	for _, r := range all {
		if missing := r.missing(); missing != "" {
			fmt.Fprintf(os.Stderr, "compare: without %s: %s is not there\n", r.name(), missing)
			continue
		}
		t.rivals = append(t.rivals, r)
		names = append(names, fmt.Sprintf("%9s", r.name()))
	}
	if len(t.rivals) == 0 {
		fail("there is no solver to compare with")
	}
	fmt.Printf(`Times in ms on the clock, the shortest of %d runs (one where a run takes over a second), from
the start of a process to its last answer. All read the same model, as "falloff export"
writes it; ours is a process that reads it, encodes it and asks the yes-or-no layer. The
flattening of MiniZinc counts once for each model. "faster" is how many times ours is faster
than the best of the others, and "cpu" the same by processor time, which does not feel what else
runs on the machine. "plan" is all of "falloff plan", which also computes the light.
Z3 is asked in two ways: "z3 opt" optimises, as the exported file says; "z3 sat" is its solver for
finite domains, which goes down to the least cost as ours does and keeps what it learned.

%-36s %-9s %9s %s %8s %8s %9s
`, *runs, "model: variables, clauses", "question", "ours", strings.Join(names, " "), "faster", "cpu", "plan")
}

// compare puts one brief to all.
func (t *table) compare(b brief) {
	m := t.model(b)
	fmt.Printf("%s: %d, %d\n", b.label(), len(m.model.Names), len(m.model.Clauses))
	questions := []string{best, ten}
	if m.said.Outcome == "cannot" {
		questions = []string{best, conflicts}
	}
	for i, q := range questions {
		ours := t.timed(func() answer { return askOurs(m, q) })
		if ours.wrong != nil || ours.over {
			fail(fmt.Sprintf("ours: %v", cmp.Or(ours.wrong, errors.New("too slow"))))
		}
		t.checkPlan(m, q, ours)
		cells, rivals := []string{}, []answer{}
		for _, r := range t.rivals {
			if q == conflicts && !r.conflicts() {
				cells = append(cells, fmt.Sprintf("%9s", "-"))
				continue
			}
			a := t.timed(func() answer { return r.ask(m, q) })
			cells = append(cells, fmt.Sprintf("%9s", a))
			if a.wrong == nil {
				rivals = append(rivals, a)
			}
			switch {
			case a.wrong != nil:
				t.disagree("%s: %v", r.name(), a.wrong)
			case !a.over && !slices.Equal(a.says, ours.says):
				t.disagree("%s says %q and ours %q", r.name(), a.says, ours.says)
			}
		}
		faster, leaner := "", ""
		if len(rivals) > 0 {
			clock, cpu := math.Inf(1), math.Inf(1)
			for _, a := range rivals {
				clock, cpu = min(clock, float64(a.time)/float64(ours.time)), min(cpu, float64(a.cpu)/float64(ours.cpu))
			}
			faster, leaner = fmt.Sprintf("%.1f", clock), fmt.Sprintf("%.1f", cpu)
			t.ratios[q] = append(t.ratios[q], clock)
			t.ratios[q+", by processor time"] = append(t.ratios[q+", by processor time"], cpu)
		}
		plan := ""
		if i == 0 {
			plan = fmt.Sprintf("%.0f", ms(m.planned))
		} else if q == ten {
			plan = fmt.Sprintf("%.0f", ms(m.planned10))
		}
		fmt.Printf("%-36s %-9s %9s %s %8s %8s %9s\n", "", q, ours, strings.Join(cells, " "), faster, leaner, plan)
	}
}

func (t *table) disagree(format string, args ...any) {
	t.disagreed++
	fmt.Printf("  DISAGREE: "+format+"\n", args...)
}

// timed is the least that several runs took.
func (t *table) timed(run func() answer) answer {
	best := run()
	for range *runs - 1 {
		if best.wrong != nil || best.time > time.Second {
			break
		}
		a := run()
		if a.wrong != nil {
			return a
		}
		best.time, best.cpu = min(best.time, a.time), min(best.cpu, a.cpu)
	}
	return best
}

func (t *table) summary() {
	for _, q := range slices.Sorted(maps.Keys(t.ratios)) {
		r := t.ratios[q]
		slices.Sort(r)
		fmt.Printf("%s: %.1f to %.1f times faster than the best of the others, in the middle %.1f\n", q, r[0], r[len(r)-1], r[len(r)/2])
	}
	fmt.Printf("%d disagreements\n", t.disagreed)
}

// model is a brief's lattice as files, with the answer of "falloff plan".
type model struct {
	model              *export.Model
	smt, mzn, lp, sat  string // files
	smtText            string
	said               said
	planned, planned10 time.Duration
}

// said is what is compared of the JSON of "falloff plan".
type said struct {
	Outcome  string
	Proved   bool `json:"proved_best"`
	Complete bool
	Setups   []struct {
		Cost struct {
			Missed  int `json:"missed_wish_weight"`
			Lights  int
			Minutes int
		}
	}
	Conflicts []struct{ Goals []struct{ Text string } }
}

func (t *table) model(b brief) *model {
	studio := b.studio
	if b.items > 0 {
		studio = filepath.Join(t.dir, "hirehouse.yaml")
		text, err := exec.Command("go", "run", "falloff/examples/hirehouse", fmt.Sprint(b.items)).Output()
		if err == nil {
			err = os.WriteFile(studio, text, 0o600)
		}
		if err != nil {
			fail(err)
		}
	}
	m := &model{smt: filepath.Join(t.dir, "m.smt2"), mzn: filepath.Join(t.dir, "m.mzn"), lp: filepath.Join(t.dir, "m.lp"), sat: filepath.Join(t.dir, "sat.smt2")}
	run := func(args ...string) []byte {
		out, err := exec.Command(*program, append(args, "--studio", studio)...).Output()
		var exit *exec.ExitError
		if err != nil && (!errors.As(err, &exit) || exit.ExitCode() < 3) {
			fail(fmt.Sprintf("falloff %s: %v", strings.Join(args, " "), err))
		}
		return out
	}
	for as, file := range map[string]string{"smt2": m.smt, "minizinc": m.mzn, "lp": m.lp} {
		if err := os.WriteFile(file, run("export", b.name, "--as", as), 0o600); err != nil {
			fail(err)
		}
	}
	text, err := os.ReadFile(m.smt)
	if err != nil {
		fail(err)
	}
	m.smtText = string(text)
	if m.model, err = export.ReadSMT(text); err != nil {
		fail(err)
	}
	if err := os.WriteFile(m.sat, satText(m.model), 0o600); err != nil {
		fail(err)
	}
	began := time.Now()
	if err := json.Unmarshal(run("plan", b.name, "--json"), &m.said); err != nil {
		fail(err)
	}
	m.planned = time.Since(began)
	if m.said.Outcome == "found" {
		began = time.Now()
		run("plan", b.name, "--json", "--count", "10")
		m.planned10 = time.Since(began)
	}
	return m
}

var (
	mustLine   = regexp.MustCompile(`(?m)^\(assert \(! (\w+) :named \w+\)\) ; must: (.*)$`)
	cameraLine = regexp.MustCompile(`(?m)^; Minutes count from (\d+)`)
)

// checkPlan holds the layer's answer against that of the whole program.
func (t *table) checkPlan(m *model, q string, ours answer) {
	switch {
	case q == best && m.said.Outcome == "cannot" && len(ours.says) > 0:
		t.disagree("plan says that it cannot be done, and the model can be met")
	case q == best && m.said.Proved:
		base := 0
		fmt.Sscan(cameraLine.FindStringSubmatch(m.smtText)[1], &base)
		c, w := m.said.Setups[0].Cost, m.model.Weights()
		if want := fmt.Sprint(c.Missed*w[0] + c.Lights*w[1] + (c.Minutes-base)*w[2]); !slices.Equal(ours.says, []string{want}) {
			t.disagree("the best set-up of plan costs %s, and by the model %q", want, ours.says)
		}
	case q == conflicts && m.said.Complete:
		names := map[string]string{}
		for _, line := range mustLine.FindAllStringSubmatch(m.smtText, -1) {
			names[line[2]] = line[1]
		}
		var want []string
		for _, c := range m.said.Conflicts {
			var set []string
			for _, g := range c.Goals {
				set = append(set, names[strings.Join(strings.Fields(g.Text), " ")])
			}
			want = append(want, asSet(set))
		}
		slices.Sort(want)
		if !slices.Equal(want, ours.says) {
			t.disagree("plan tells the conflicts %q, and by the model they are %q", want, ours.says)
		}
	}
}

// asSet writes a set of names as ours does.
func asSet(names []string) string {
	slices.Sort(names)
	return cmp.Or(strings.Join(names, " "), "the kit alone")
}
