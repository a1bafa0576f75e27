package solver

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/export"
	"falloff/solver/internal/sat"
)

// Export answers a brief and writes down the lattice as it then is, with all that the exact
// layer learned. If the best set-up is proved to be the best, the least cost of the model is
// the cost of that set-up; if the brief cannot be met and the answer is whole, the minimal
// sets of musts that the model cannot hold are the conflicts of the answer.
func Export(ctx context.Context, s *inventory.Studio, b *constraints.Brief, o Options) (*export.Model, *Answer, error) {
	o.NoHelp = true
	h, a, err := pursue(ctx, s, b, o)
	if err != nil {
		return nil, nil, err
	}
	return h.l.outline(a), a, nil
}

// outline names the lattice's variables and turns it into a model.
func (l *lattice) outline(a *Answer) *export.Model {
	out := l.p.Outline()
	m := &export.Model{Title: fmt.Sprintf("The lattice of %q in the studio %q, by falloff.", l.bench.Brief.Name, l.bench.Studio.Name)}
	m.Notes = append(m.Notes, l.outlineNote(a), fmt.Sprintf("Minutes count from %d, which the camera takes.", l.bench.CameraMinutes()))
	m.Names = make([]string, out.Vars)
	namer := &export.Namer{}
	var kept []int
	name := func(x sat.Lit, what string) {
		if x == sat.True || x == sat.False {
			return
		}
		if v := int(x.Var()); m.Names[v-1] == "" {
			m.Names[v-1] = namer.Name(what)
			kept = append(kept, v)
		}
	}
	for i, g := range l.goals {
		kind, _, _ := strings.Cut(g.Text, ":")
		name(l.sel[i], fmt.Sprintf("goal %d %s", i+1, kind))
		m.Goals = append(m.Goals, export.Goal{Lit: int(l.sel[i]), Text: g.Text, Wish: g.Wish})
	}
	l.nameChoices(name)
	for i := range m.Names {
		if m.Names[i] == "" {
			m.Names[i] = namer.Name(fmt.Sprintf("x %d", i+1))
		}
	}
	for _, c := range out.Clauses {
		m.Clauses = append(m.Clauses, numbers(c))
	}
	for _, c := range out.Counts {
		m.Counts = append(m.Counts, export.Count{Most: c.Most, Lits: numbers(c.Lits)})
	}
	names := map[*sat.Order]string{l.missed: "missed", l.lights: "lights", l.minutes: "minutes"}
	for _, sum := range l.sums() {
		for _, t := range out.Sums {
			if t.Of == sum {
				m.Sums = append(m.Sums, exportSum(names[sum], t))
			}
		}
	}
	m.Gear, m.Used = l.gearVars()
	m.Settle(kept)
	return m
}

// outlineNote says what the model's least cost is worth.
func (l *lattice) outlineNote(a *Answer) string {
	switch {
	case a.Outcome == Found && a.Proved:
		c := l.ranksOf(a.Setups[0].Cost)
		return fmt.Sprintf("Answered: found, and proved to be the best. The least cost is %d, %d, %d in the order of the sums.", c[0], c[1], c[2])
	case a.Outcome == Found:
		return "Answered: found, but not proved to be the best. The least cost may be less than that of the answer."
	case a.Outcome == Cannot:
		return "Answered: cannot. Together the musts contradict the rest."
	}
	return "Answered: undecided. A solution may be gear with which no set-up turns up."
}

func numbers(lits []sat.Lit) []int {
	out := make([]int, len(lits))
	for i, x := range lits {
		out[i] = int(x)
	}
	return out
}

// exportSum is a sum of the cost with the steps that are variables of their own; a single
// term is its own step.
func exportSum(name string, t sat.Total) export.Sum {
	s := export.Sum{Name: name}
	for _, x := range t.Terms {
		s.Terms = append(s.Terms, export.Term{Lit: int(x.Lit), Weight: x.Weight})
	}
	for _, st := range t.Steps {
		s.Steps = append(s.Steps, export.Step{Lit: int(st.Lit), At: st.At})
	}
	return s
}

// gearVars are the choices that tell set-ups apart, and which lights are used: camera, lens,
// backdrop, and of each light head, modifier, grid and gel.
func (l *lattice) gearVars() (gear, used []int) {
	choices := [][]sat.Lit{l.bodies, l.lenses, l.papers}
	for _, r := range l.allowed {
		v := l.roles[r]
		choices = append(choices, v.heads, v.mods, v.grids, v.gels)
		used = append(used, int(v.on))
	}
	return numbers(slices.Concat(choices...)), used
}
