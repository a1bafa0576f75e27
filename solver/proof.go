package solver

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
	"falloff/solver/explain"
	"falloff/solver/internal/sat"
)

// proofOf writes an argument's lattice down: DIMACS CNF with comment lines that hold studio
// and brief, and name the goals, the rules that the proof needs with the sentences that tell
// them, what the variables stand for, and what the lemmas looked at. solver/verify reads it.
func (l *lattice) proofOf(needed []*lemma, told map[*lemma]string) []byte {
	var b bytes.Buffer
	say := func(format string, args ...any) {
		fmt.Fprintln(&b, "c "+strings.Join(strings.Fields(fmt.Sprintf(format, args...)), " "))
	}
	assume := slices.Clone(l.sel)
	for _, m := range needed {
		assume = append(assume, m.guard)
	}
	clauses, number := l.trimmed(assume)
	say("A proof by falloff that the goals below cannot all hold. Clauses in DIMACS CNF.")
	say("brief %s", l.bench.Brief.Name)
	quoteFile(&b, "studio", l.bench.Studio.Place())
	quoteFile(&b, "wishes", l.bench.Brief.Place())
	for i, g := range l.goals {
		say("goal %d %s", number(l.sel[i]), g.Text)
	}
	for _, m := range needed {
		text := told[m]
		if text == "" {
			text = "What this goal allows: " + strings.Join(l.texts(m.goals), "; ")
		}
		say("rule %d %s", number(m.guard), text)
		say("kind %d %s", number(m.guard), m.name)
	}
	l.nameChoices(func(lit sat.Lit, what string) {
		if n := number(lit); n != 0 {
			say("name %d %s", n, what)
		}
	})
	for _, r := range l.allowed {
		for i, axis := range l.gridOf(r) {
			say("grid %s %s %s", r, [...]string{"distance", "azimuth", "elevation"}[i], axis)
		}
	}
	cells := make([]string, len(l.ledger.cells))
	for text, i := range l.ledger.cells {
		cells[i-1] = text
	}
	for i, text := range cells {
		say("cells %d %s", i+1, text)
	}
	say("assumed %d", len(assume))
	vars := 0
	for _, c := range clauses {
		for _, x := range c.lits {
			vars = max(vars, number(x.Var()))
		}
	}
	fmt.Fprintf(&b, "p cnf %d %d\n", vars, len(clauses))
	for _, c := range clauses {
		if c.note != "" {
			say("by %s", c.note)
		}
		for _, x := range c.lits {
			fmt.Fprintf(&b, "%d ", number(x))
		}
		fmt.Fprintln(&b, 0)
	}
	return b.Bytes()
}

// Proofs lists the proofs of all conflicts that were repeated from nothing, in the answer's
// order, and counts the conflicts. Where several were, each begins with its number.
func (a *Answer) Proofs() (proofs [][]byte, conflicts int) {
	if a.Conflict == nil {
		return nil, 0
	}
	all := append([]*Conflict{a.Conflict}, a.Others...)
	for _, c := range all {
		if len(c.Proof) > 0 {
			proofs = append(proofs, c.Proof)
		}
	}
	if len(proofs) > 1 {
		for i, p := range proofs {
			proofs[i] = append(fmt.Appendf(nil, "c conflict %d of %d\n", i+1, len(proofs)), p...)
		}
	}
	return proofs, len(all)
}

// quoteFile copies the file that a thing was read from, as comments.
func quoteFile(w io.Writer, what string, at source.Place) {
	if at.File == nil {
		return
	}
	for line := range strings.Lines(string(at.File.Text)) {
		fmt.Fprintf(w, "c %s> %s\n", what, strings.TrimRight(line, "\r\n"))
	}
}

// gridOf lists where a role's range is cut at first: metres and radians.
func (l *lattice) gridOf(r inventory.Role) (axes [3]string) {
	d, az, el := l.grid(r)
	for i, cuts := range [][]unit.Interval{d, az, el} {
		words := []string{fmt.Sprint(cuts[0].Lo)}
		for _, c := range cuts {
			words = append(words, fmt.Sprint(c.Hi))
		}
		axes[i] = strings.Join(words, " ")
	}
	return axes
}

// written is a clause with its note.
type written struct {
	lits []sat.Lit
	note string
}

// trimmed lists the clauses, with the assumptions after them, but for those that cannot
// matter: a clause with a literal whose opposite is in no clause can always be met by that
// literal. number renumbers the variables that are left, and is 0 for others.
func (l *lattice) trimmed(assume []sat.Lit) (out []written, number func(sat.Lit) int) {
	_, n, _ := l.p.Stats()
	var all []written
	for i := range n {
		all = append(all, written{l.p.Clause(i), l.ledger.notes[i]})
	}
	for _, x := range assume {
		all = append(all, written{lits: []sat.Lit{x}})
	}
	in := map[sat.Lit][]int{} // clauses by literal
	left := map[sat.Lit]int{}
	for i, c := range all {
		for _, x := range c.lits {
			in[x] = append(in[x], i)
			left[x]++
		}
	}
	gone := make([]bool, len(all))
	var drop func(x sat.Lit)
	drop = func(x sat.Lit) { // the clauses with x, whose opposite is in none
		for _, i := range in[x] {
			if gone[i] || i >= n {
				continue
			}
			gone[i] = true
			for _, y := range all[i].lits {
				if left[y]--; left[y] == 0 && y != x {
					drop(y.Not())
				}
			}
		}
	}
	for _, v := range l.p.Vars() {
		for _, x := range []sat.Lit{v, v.Not()} {
			if left[x.Not()] == 0 {
				drop(x)
			}
		}
	}
	numbers := map[sat.Lit]int{}
	for i, c := range all {
		if gone[i] {
			continue
		}
		out = append(out, c)
		for _, x := range c.lits {
			if numbers[x.Var()] == 0 {
				numbers[x.Var()] = len(numbers) + 1
			}
		}
	}
	return out, func(x sat.Lit) int {
		if x < 0 {
			return -numbers[x.Not()]
		}
		return numbers[x]
	}
}

// texts are goals as written.
func (l *lattice) texts(goals mask) (out []string) {
	for _, g := range l.goalsOf(goals) {
		out = append(out, g.Text)
	}
	return out
}

// nameChoices names every choice of gear and every step of a setting.
func (l *lattice) nameChoices(name func(lit sat.Lit, what string)) {
	sh := l.shelf
	choices(l.bodies, sh.Cameras, 0, "camera", name)
	choices(l.lenses, sh.Lenses, 0, "lens", name)
	choices(l.papers, sh.Backdrops, 0, "backdrop", name)
	steps := func(o *sat.Order, n int, what string, at func(i int) string) {
		for i := 1; i < n; i++ {
			name(o.AtLeast(i), fmt.Sprintf("%s %d, %s or more", what, i, at(i)))
		}
	}
	steps(l.aperture, len(l.apertures), "aperture", func(i int) string { return l.apertures[i].Mark.String() })
	steps(l.shutter, len(l.shutters), "time", func(i int) string { return l.shutterMarks[i].String() })
	steps(l.iso, len(l.isos), "iso", func(i int) string { return l.isoMarks[i].String() })
	steps(l.frame, len(l.frames), "frame", func(i int) string { return fmt.Sprintf("%.2f m", l.frames[i]) })
	steps(l.depth, len(l.depths), "distance", func(i int) string { return fmt.Sprintf("backdrop at %.2f m", l.depths[i]) })
	steps(l.need, len(l.needs), "need", func(i int) string { return fmt.Sprintf("%.2f stops for f-number and ISO", l.needs[i]) })
	name(l.left, "left")
	for _, r := range l.allowed {
		v := l.roles[r]
		name(v.on, r.String()+" on")
		name(v.flash, r.String()+" flash")
		if v.lamp != 0 {
			name(v.lamp, r.String()+" lamp")
		}
		choices(v.heads, sh.Heads, 0, r.String()+" head", name)
		choices(v.mods, sh.Modifiers, 1, r.String()+" modifier", name)
		choices(v.grids, sh.Grids, 1, r.String()+" grid", name)
		choices(v.gels, sh.Gels, 1, r.String()+" gel", name)
		choices(v.stands, sh.Stands, 0, r.String()+" stand", name)
		choices(v.booms, sh.Booms, 1, r.String()+" boom", name)
	}
}

// choices names a choice of items; with skip the first literal is none of them.
func choices[T inventory.Thing](lits []sat.Lit, items []T, skip int, what string, name func(sat.Lit, string)) {
	for i, lit := range lits {
		if i < skip {
			name(lit, what+" none")
			continue
		}
		name(lit, fmt.Sprintf("%s %s", what, inventory.ItemOf(items[i-skip]).ID))
	}
}

// stepsSince joins the steps that an argument gained since it had n blocks.
func stepsSince(d *explain.Doc, n int) string {
	var out []string
	for _, b := range d.Blocks[n:] {
		out = append(out, b.Text)
	}
	return strings.Join(out, " ")
}
