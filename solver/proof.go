package solver

import (
	"bytes"
	"fmt"
	"strings"

	"falloff/inventory"
	"falloff/solver/explain"
	"falloff/solver/internal/sat"
)

// proofOf writes an argument's lattice down: DIMACS CNF with comment lines that name the
// goals, the rules that the proof needs with the sentences that tell them, and what the
// variables stand for. solver/verify reads it.
func (l *lattice) proofOf(brief string, needed []*lemma, told map[*lemma]string) []byte {
	var b bytes.Buffer
	say := func(format string, args ...any) {
		fmt.Fprintln(&b, "c "+strings.Join(strings.Fields(fmt.Sprintf(format, args...)), " "))
	}
	say("A proof by falloff that the goals below cannot all hold. Clauses in DIMACS CNF.")
	say("brief %s", brief)
	for i, g := range l.goals {
		say("goal %d %s", l.sel[i], g.Text)
	}
	for _, m := range needed {
		text := told[m]
		if text == "" {
			text = "What this goal allows: " + strings.Join(l.texts(m.goals), "; ")
		}
		say("rule %d %s", m.guard, text)
	}
	l.nameChoices(func(lit sat.Lit, what string) { say("name %d %s", lit, what) })
	say("assumed %d", len(l.sel)+len(needed))
	assume := append([]sat.Lit{}, l.sel...)
	for _, m := range needed {
		assume = append(assume, m.guard)
	}
	if err := l.p.Dump(&b, assume...); err != nil {
		panic("solver: a proof cannot be written to memory: " + err.Error())
	}
	return b.Bytes()
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
	steps := func(o *sat.Order, n int, what func(i int) string) {
		for i := 1; i < n; i++ {
			name(o.AtLeast(i), what(i)+" or more")
		}
	}
	steps(l.aperture, len(l.apertures), func(i int) string { return "aperture " + l.apertures[i].Mark.String() })
	steps(l.shutter, len(l.shutters), func(i int) string { return "time " + l.shutterMarks[i].String() })
	steps(l.iso, len(l.isos), func(i int) string { return l.isoMarks[i].String() })
	steps(l.frame, len(l.frames), func(i int) string { return fmt.Sprintf("frame %.2f m", l.frames[i]) })
	steps(l.depth, len(l.depths), func(i int) string { return fmt.Sprintf("backdrop at %.2f m", l.depths[i]) })
	name(l.left, "the key stands to camera left")
	for _, r := range l.allowed {
		v := l.roles[r]
		name(v.on, r.String()+" used")
		name(v.flash, r.String()+" by flash")
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
