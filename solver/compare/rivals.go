package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"falloff/solver/export"
)

// rival is a solver that is compared with.
type rival interface {
	name() string
	missing() string // a program that is not there
	conflicts() bool // it can be asked for conflicts
	ask(m *model, question string) answer
}

func need(programs ...string) string {
	for _, p := range programs {
		if _, err := exec.LookPath(p); err != nil {
			return p
		}
	}
	return ""
}

func countOf(question string) int {
	if question == ten {
		return 10
	}
	return 1
}

// session is the asking of one question: it has a limit, and counts what its programs took.
type session struct {
	context.Context
	cpu time.Duration
}

// took counts a program that has ended.
func (s *session) took(c *exec.Cmd) {
	if c.ProcessState != nil {
		s.cpu += c.ProcessState.UserTime() + c.ProcessState.SystemTime()
	}
}

// clocked runs what asks a solver, under the limit.
func clocked(run func(s *session) ([]string, error)) answer {
	ctx, stop := context.WithTimeout(context.Background(), *limit)
	defer stop()
	s := &session{Context: ctx}
	began := time.Now()
	says, err := run(s)
	a := answer{says: says, time: time.Since(began), cpu: s.cpu, wrong: err}
	if ctx.Err() != nil {
		a.over, a.wrong = true, nil
	}
	return a
}

// output runs a program to its end.
func (s *session) output(program string, args ...string) (string, error) {
	var out, complaint bytes.Buffer
	c := exec.CommandContext(s, program, args...)
	c.Stdout, c.Stderr = &out, &complaint
	err := c.Run()
	s.took(c)
	if err != nil {
		return "", fmt.Errorf("%s: %v: %.200s", program, err, complaint.String())
	}
	return out.String(), nil
}

// askOurs runs our own layer.
func askOurs(m *model, question string) answer {
	return clocked(func(s *session) ([]string, error) {
		out, err := s.output(*ours, question, m.smt)
		if err != nil {
			return nil, err
		}
		says := strings.Split(strings.TrimSpace(out), "\n")
		if says[0] == "" {
			says = nil
		}
		return says, nil
	})
}

// gecode is MiniZinc with Gecode: flattened once, then one run for each set-up, with the gear
// of those before ruled out and their cost as a lower bound.
type gecode struct{}

func (gecode) name() string    { return "Gecode" }
func (gecode) missing() string { return need("minizinc", "fzn-gecode") }
func (gecode) conflicts() bool { return false }

func (gecode) ask(m *model, question string) answer {
	return clocked(func(s *session) (costs []string, err error) {
		flat := strings.TrimSuffix(m.mzn, ".mzn") + ".fzn"
		if _, err := s.output("minizinc", "--solver", "gecode", "-c", "--no-output-ozn", "--fzn", flat, m.mzn); err != nil {
			return nil, err
		}
		text, err := os.ReadFile(flat)
		if err != nil {
			return nil, err
		}
		at := bytes.LastIndex(text, []byte("\nsolve")) + 1
		if at == 0 {
			return nil, fmt.Errorf("the flattened model has no line that says solve")
		}
		rules, solve := text[:at:at], text[at:]
		show := []string{"cost"} // what the flattened model does not show by itself
		for _, v := range m.model.Used {
			show = append(show, m.model.Names[v-1])
		}
		for _, name := range show {
			declared := regexp.MustCompile(`(?m)^(var [^:]*: ` + name + `\b)(?::: is_defined_var)?;`)
			rules = declared.ReplaceAll(rules, []byte("$1 :: output_var;"))
		}
		for len(costs) < countOf(question) {
			if err := os.WriteFile(flat, slices.Concat(rules, solve), 0o600); err != nil {
				return nil, err
			}
			out, err := s.output("fzn-gecode", flat)
			if err != nil || strings.Contains(out, "UNSATISFIABLE") {
				return costs, err
			}
			values := map[string]string{} // of the last solution; what is not shown is fixed
			for _, line := range strings.Split(out, "\n") {
				if name, value, ok := strings.Cut(line, " = "); ok {
					values[name] = strings.TrimSuffix(value, ";")
				}
			}
			if values["cost"] == "" || !strings.Contains(out, "==========") {
				return nil, fmt.Errorf("no least cost in %.200q", out)
			}
			costs = append(costs, values["cost"])
			var yes, no []string
			for _, v := range m.model.Gear {
				if name := m.model.Names[v-1]; values[name] == "true" {
					no = append(no, name)
				}
			}
			for _, v := range m.model.Used {
				if name := m.model.Names[v-1]; values[name] == "false" {
					yes = append(yes, name)
				}
			}
			rules = fmt.Appendf(rules, "constraint bool_clause([%s],[%s]);\nconstraint int_le(%s,cost);\n", strings.Join(yes, ","), strings.Join(no, ","), values["cost"])
		}
		return costs, nil
	})
}

// cbc solves the linear program, once for each set-up in the same way.
type cbc struct{}

func (cbc) name() string    { return "CBC" }
func (cbc) missing() string { return need("cbc") }
func (cbc) conflicts() bool { return false }

func (cbc) ask(m *model, question string) answer {
	return clocked(func(s *session) (costs []string, err error) {
		text, err := os.ReadFile(m.lp)
		if err != nil {
			return nil, err
		}
		at := bytes.LastIndex(text, []byte("\nBounds\n")) + 1
		objective := bytes.TrimSpace(text[bytes.Index(text, []byte(" cost:"))+6 : bytes.Index(text, []byte("\nSubject To"))])
		rows, end := text[:at:at], text[at:]
		file, shown := m.lp, m.lp+".shown"
		for len(costs) < countOf(question) {
			if len(costs) > 0 {
				file = m.lp + ".more.lp"
				if err := os.WriteFile(file, slices.Concat(rows, end), 0o600); err != nil {
					return nil, err
				}
			}
			if _, err := s.output("cbc", file, "ratioGap", "0", "allowableGap", "0", "solve", "solution", shown); err != nil {
				return nil, err
			}
			solution, err := os.ReadFile(shown)
			if err != nil {
				return nil, err
			}
			first, rest, _ := strings.Cut(string(solution), "\n")
			if strings.HasPrefix(first, "Infeasible") || strings.HasPrefix(first, "Integer infeasible") {
				return costs, nil
			}
			_, value, ok := strings.Cut(first, "Optimal - objective value ")
			cost, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
			if !ok || err != nil {
				return nil, fmt.Errorf("no least cost in %q", first)
			}
			costs = append(costs, fmt.Sprintf("%.0f", math.Round(cost)))
			is := map[string]bool{}
			for _, line := range strings.Split(rest, "\n") {
				if f := strings.Fields(line); len(f) >= 3 {
					x, _ := strconv.ParseFloat(f[2], 64)
					is[f[1]] = x > 0.5
				}
			}
			rows = fmt.Appendf(rows, " more%d:", len(costs))
			least := 1
			for _, x := range m.model.Other(values(m.model, is)) {
				if x < 0 {
					rows = fmt.Appendf(rows, "\n -1 %s", m.model.Names[-x-1])
					least--
				} else {
					rows = fmt.Appendf(rows, "\n +1 %s", m.model.Names[x-1])
				}
			}
			rows = fmt.Appendf(rows, " >= %d\n least%d: %s >= %.0f\n", least, len(costs), objective, cost)
		}
		return costs, nil
	})
}

func values(m *export.Model, is map[string]bool) []bool {
	out := make([]bool, len(m.Names))
	for i, name := range m.Names {
		out[i] = is[name]
	}
	return out
}

// talk is a z3 that is asked one thing after another.
type talk struct {
	in    *bufio.Writer
	out   *bufio.Reader
	close func()
}

func newTalk(s *session, text string) (*talk, error) {
	c := exec.CommandContext(s, "z3", "-in")
	in, err := c.StdinPipe()
	if err != nil {
		return nil, err
	}
	out, err := c.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := c.Start(); err != nil {
		return nil, err
	}
	t := &talk{bufio.NewWriter(in), bufio.NewReader(out), func() {
		c.Process.Kill()
		c.Wait()
		s.took(c)
	}}
	t.say("%s", text)
	return t, nil
}

func (t *talk) say(format string, args ...any) { fmt.Fprintf(t.in, format+"\n", args...) }

// yes asks for sat or unsat.
func (t *talk) yes(format string, args ...any) (bool, error) {
	t.say(format, args...)
	if err := t.in.Flush(); err != nil {
		return false, err
	}
	line, err := t.out.ReadString('\n')
	switch strings.TrimSpace(line) {
	case "sat":
		return true, nil
	case "unsat":
		return false, nil
	}
	return false, fmt.Errorf("z3 says %q %v", line, err)
}

// list asks for what z3 answers in brackets, and splits it.
func (t *talk) list(format string, args ...any) ([]string, error) {
	t.say(format, args...)
	if err := t.in.Flush(); err != nil {
		return nil, err
	}
	var text strings.Builder
	for depth := 0; ; {
		line, err := t.out.ReadString('\n')
		if err != nil {
			return nil, err
		}
		text.WriteString(line)
		if depth += strings.Count(line, "(") - strings.Count(line, ")"); depth <= 0 {
			break
		}
	}
	return strings.Fields(strings.NewReplacer("(", " ", ")", " ").Replace(text.String())), nil
}

// values asks for the values of variables.
func (t *talk) values(m *export.Model, vars []int) ([]bool, error) {
	var names []string
	for _, v := range vars {
		names = append(names, m.Names[v-1])
	}
	words, err := t.list("(get-value (%s))", strings.Join(names, " "))
	if err == nil && len(words) != 2*len(names) {
		err = fmt.Errorf("z3 tells %d values of %d", len(words)/2, len(names))
	}
	if err != nil {
		return nil, err
	}
	is := map[string]bool{}
	for pair := range slices.Chunk(words, 2) {
		is[pair[0]] = pair[1] == "true"
	}
	return values(m, is), nil
}

// other rules out the gear of the last answer.
func (t *talk) other(m *export.Model) error {
	is, err := t.values(m, slices.Concat(m.Gear, m.Used))
	if err == nil {
		t.say("(assert (or %s))", strings.Join(smtLits(m, m.Other(is)), " "))
	}
	return err
}

func smtLits(m *export.Model, lits []int) []string {
	out := make([]string, len(lits))
	for i, x := range lits {
		if out[i] = m.Names[max(x, -x)-1]; x < 0 {
			out[i] = "(not " + out[i] + ")"
		}
	}
	return out
}

// z3Optimiser is z3 as the exported file asks it, one process for all set-ups.
type z3Optimiser struct{}

func (z3Optimiser) name() string    { return "z3 opt" }
func (z3Optimiser) missing() string { return need("z3") }
func (z3Optimiser) conflicts() bool { return false }

func (z3Optimiser) ask(m *model, question string) answer {
	return clocked(func(s *session) (costs []string, err error) {
		text, _, _ := strings.Cut(m.smtText, "(check-sat)")
		t, err := newTalk(s, text)
		if err != nil {
			return nil, err
		}
		defer t.close()
		for len(costs) < countOf(question) {
			if yes, err := t.yes("(check-sat)"); !yes {
				return costs, err
			}
			at, err := t.sums(m.model)
			if err != nil {
				return nil, err
			}
			costs = append(costs, fmt.Sprint(costOf(m.model, at)))
			if len(costs) < countOf(question) {
				if err := t.other(m.model); err != nil {
					return nil, err
				}
			}
		}
		return costs, nil
	})
}

// z3Solver is z3's SAT solver for finite domains, which it keeps between questions. It goes
// down to the least cost as ours does.
type z3Solver struct{}

func (z3Solver) name() string    { return "z3 sat" }
func (z3Solver) missing() string { return need("z3") }
func (z3Solver) conflicts() bool { return true }

// satText is the model as that solver takes it best, without the musts.
func satText(m *export.Model) []byte {
	var b bytes.Buffer
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say("(set-option :produce-unsat-cores true)\n(set-logic QF_FD)")
	for _, name := range m.Names {
		say("(declare-const %s Bool)", name)
	}
	for _, c := range m.Clauses {
		say("(assert (or false %s))", strings.Join(smtLits(m, c), " "))
	}
	for _, c := range m.Counts {
		say("(assert ((_ at-most %d) %s))", c.Most, strings.Join(smtLits(m, c.Lits), " "))
	}
	for _, s := range m.Sums {
		for _, st := range s.Steps {
			step := smtLits(m, []int{st.Lit})[0]
			say("(assert (or %s %s))", step, atMost(m, s, st.At-1))
		}
	}
	return b.Bytes()
}

// atMost bounds a sum from above.
func atMost(m *export.Model, s export.Sum, most int) string {
	if len(s.Terms) == 0 {
		return "true"
	}
	var weights, lits strings.Builder
	for _, t := range s.Terms {
		fmt.Fprintf(&weights, " %d", t.Weight)
		lits.WriteString(" " + smtLits(m, []int{t.Lit})[0])
	}
	return fmt.Sprintf("((_ pble %d%s)%s)", most, weights.String(), lits.String())
}

// sums reads what the sums are in the last answer.
func (t *talk) sums(m *export.Model) ([]int, error) {
	var vars []int
	for _, s := range m.Sums {
		for _, x := range s.Terms {
			vars = append(vars, max(x.Lit, -x.Lit))
		}
	}
	is, err := t.values(m, vars)
	if err != nil {
		return nil, err
	}
	at := make([]int, len(m.Sums))
	for i, s := range m.Sums {
		for _, x := range s.Terms {
			if is[max(x.Lit, -x.Lit)-1] == (x.Lit > 0) {
				at[i] += x.Weight
			}
		}
	}
	return at, nil
}

func costOf(m *export.Model, at []int) (cost int) {
	for i, w := range m.Weights() {
		cost += w * at[i]
	}
	return cost
}

func (z3Solver) ask(m *model, question string) answer {
	return clocked(func(s *session) ([]string, error) {
		text, err := os.ReadFile(m.sat)
		if err != nil {
			return nil, err
		}
		t, err := newTalk(s, string(text))
		if err != nil {
			return nil, err
		}
		defer t.close()
		if question == conflicts {
			return t.marco(m.model)
		}
		for _, x := range m.model.Musts() {
			t.say("(assert %s)", m.model.Names[x-1])
		}
		return t.cheapest(m.model, countOf(question))
	})
}

// cheapest lowers one sum after the other; each next set-up begins with the cost of the last.
func (t *talk) cheapest(m *export.Model, n int) (costs []string, err error) {
	floor := make([]int, len(m.Sums))
	within := func(at []int) {
		for i, x := range at {
			t.say("(assert %s)", atMost(m, m.Sums[i], x))
		}
	}
	for len(costs) < n {
		t.say("(push)")
		within(floor)
		yes, err := t.yes("(check-sat)")
		if err != nil {
			return nil, err
		}
		if !yes {
			t.say("(pop)(push)")
			if yes, err = t.yes("(check-sat)"); !yes || err != nil {
				return costs, err
			}
			at, err := t.sums(m)
			if err != nil {
				return nil, err
			}
			for k := range at {
				low := 0
				if slices.Equal(at[:k], floor[:k]) {
					low = floor[k]
				}
				for at[k] > low {
					t.say("(push)")
					less := slices.Clone(at[:k+1])
					less[k]--
					within(less)
					if yes, err = t.yes("(check-sat)"); err != nil {
						return nil, err
					}
					if !yes {
						t.say("(pop)")
						break
					}
					now, err := t.sums(m)
					if err != nil {
						return nil, err
					}
					at = now
					t.say("(pop)")
				}
			}
			copy(floor, at)
			within(at)
			if yes, err = t.yes("(check-sat)"); !yes || err != nil {
				return nil, fmt.Errorf("z3 forgets a solution: %v", err)
			}
		}
		costs = append(costs, fmt.Sprint(costOf(m, floor)))
		if len(costs) < n {
			is, err := t.values(m, slices.Concat(m.Gear, m.Used))
			if err != nil {
				return nil, err
			}
			t.say("(pop)(assert (or %s))", strings.Join(smtLits(m, m.Other(is)), " "))
		}
	}
	return costs, nil
}

// marco enumerates the minimal conflicts of the musts as ours does (MARCO), each largest set
// that is still unexplored found here without any solver, and each core of z3 made minimal.
func (t *talk) marco(m *export.Model) (found []string, err error) {
	musts := m.Musts()
	type set = uint64
	var conflicts, holds []set
	in := func(s set, i int) bool { return s>>i&1 == 1 }
	// cannot reports whether a set collides, and which of its members z3 blames.
	cannot := func(s set) (core set, no bool, err error) {
		var names []string
		for i, x := range musts {
			if in(s, i) {
				names = append(names, m.Names[x-1])
			}
		}
		yes, err := t.yes("(check-sat-assuming (%s))", strings.Join(names, " "))
		if yes || err != nil {
			return 0, false, err
		}
		blamed, err := t.list("(get-unsat-core)")
		for i, x := range musts {
			if slices.Contains(blamed, m.Names[x-1]) {
				core |= 1 << i
			}
		}
		return core, true, err
	}
	explored := func(s set) bool {
		return slices.ContainsFunc(conflicts, func(c set) bool { return c&^s == 0 }) || slices.ContainsFunc(holds, func(h set) bool { return s&^h == 0 })
	}
	// seed is a largest set that is not explored: a release of each conflict, grown.
	seed := func() (set, bool) {
		for out := range set(1) << len(musts) {
			if s := (1<<len(musts) - 1) &^ out; !explored(s) {
				return s, true
			}
		}
		return 0, false
	}
	for {
		s, ok := seed()
		if !ok {
			slices.Sort(found)
			return found, nil
		}
		for i := range musts {
			if bigger := s | 1<<i; !explored(bigger) {
				s = bigger
			}
		}
		core, no, err := cannot(s)
		if err != nil {
			return nil, err
		}
		if !no {
			holds = append(holds, s)
			continue
		}
		for i := range musts {
			if !in(core, i) {
				continue
			}
			less, no, err := cannot(core &^ (1 << i))
			if err != nil {
				return nil, err
			}
			if no {
				core = less
			}
		}
		conflicts = append(conflicts, core)
		var names []string
		for i, x := range musts {
			if in(core, i) {
				names = append(names, m.Names[x-1])
			}
		}
		found = append(found, asSet(names))
	}
}
