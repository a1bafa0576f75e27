package solver

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// choicesOf names the choices of an exact set-up whose camera values lie on the lattice,
// with the goals that it meets; false if a value is not on the lattice.
func (l *lattice) choicesOf(k *Checked) (out []sat.Lit, ok bool) {
	set, sh := k.Setup, l.shelf
	ok = true
	pick := func(lits []sat.Lit, i int) {
		if i < 0 || i >= len(lits) {
			ok = false
			return
		}
		out = append(out, lits[i])
	}
	value := func(o *sat.Order, i int) {
		if i < 0 {
			ok = false
			return
		}
		ge, le := o.Is(i)
		out = append(out, ge, le)
	}
	pick(l.bodies, indexOf(sh.Cameras, set.Camera.Body))
	pick(l.lenses, indexOf(sh.Lenses, set.Camera.Lens))
	pick(l.papers, indexOf(sh.Backdrops, set.Backdrop.Item))
	c := l.cameraOf(set)
	value(l.frame, c.frame)
	value(l.depth, c.depth)
	value(l.aperture, c.aperture)
	value(l.shutter, c.shutter)
	value(l.iso, c.iso)
	used := map[inventory.Role]bool{}
	for _, s := range set.Lights {
		r, _ := inventory.RoleByName(s.Role)
		v := l.roles[r]
		if v == nil {
			return nil, false
		}
		used[r] = true
		pick(v.heads, indexOf(sh.Heads, s.Head))
		pick(v.mods, 1+indexOf(sh.Modifiers, s.Modifier))
		pick(v.grids, 1+indexOf(sh.Grids, s.Grid))
		pick(v.gels, 1+indexOf(sh.Gels, s.Gel))
		pick(v.stands, indexOf(sh.Stands, s.Stand))
		pick(v.booms, 1+indexOf(sh.Booms, s.Boom))
		out = append(out, v.on)
		if s.Light == "flash" {
			out = append(out, v.flash)
		} else {
			out = append(out, v.flash.Not())
		}
		if r == inventory.Key && s.Azimuth != 0 {
			if s.Azimuth < 0 {
				out = append(out, l.left)
			} else {
				out = append(out, l.left.Not())
			}
		}
	}
	for _, r := range l.allowed {
		if !used[r] {
			out = append(out, l.roles[r].on.Not())
		}
	}
	for i, g := range k.Goals {
		if g.Holds {
			out = append(out, l.sel[i])
		}
	}
	return out, ok
}

func indexOf[T inventory.Thing](items []T, id inventory.ID) int {
	return slices.IndexFunc(items, func(t T) bool { return inventory.ItemOf(t).ID == id })
}

// candidateOf is a set-up as the lattice would propose it; goals are all goals.
func (l *lattice) candidateOf(set *inventory.Setup) *candidate {
	c := l.cameraOf(set)
	for _, s := range set.Lights {
		r, _ := inventory.RoleByName(s.Role)
		g := &rig{role: r, lamp: s.Light == "lamp", iHead: indexOf(l.shelf.Heads, s.Head), iMod: 1 + indexOf(l.shelf.Modifiers, s.Modifier),
			iGrid: 1 + indexOf(l.shelf.Grids, s.Grid), iGel: 1 + indexOf(l.shelf.Gels, s.Gel), iStand: indexOf(l.shelf.Stands, s.Stand), iBoom: 1 + indexOf(l.shelf.Booms, s.Boom)}
		c.rigs[r] = g
		l.fill(g)
		if r == inventory.Key && s.Azimuth < 0 {
			c.side = -1
		}
	}
	for i := range l.goals {
		c.active |= 1 << i
	}
	return c
}

// fill looks up the items of a rig by their indices.
func (l *lattice) fill(g *rig) {
	sh := l.shelf
	g.head, g.stand = sh.Heads[g.iHead], sh.Stands[g.iStand]
	g.mod, g.grid, g.gel, g.boom = at(sh.Modifiers, g.iMod), at(sh.Grids, g.iGrid), at(sh.Gels, g.iGel), at(sh.Booms, g.iBoom)
	g.source = l.source(g)
}

func (l *lattice) cameraOf(set *inventory.Setup) *candidate {
	sh := l.shelf
	c := &candidate{side: 1, iBody: indexOf(sh.Cameras, set.Camera.Body), iLens: indexOf(sh.Lenses, set.Camera.Lens), iPaper: indexOf(sh.Backdrops, set.Backdrop.Item)}
	c.body, c.lens, c.paper = sh.Cameras[c.iBody], sh.Lenses[c.iLens], sh.Backdrops[c.iPaper]
	n := constraints.TrueAperture(c.lens, set.Camera.Aperture)
	c.frame = slices.Index(l.frames, float64(set.Camera.Frame))
	c.depth = slices.Index(l.depths, float64(set.Backdrop.Distance))
	c.aperture = slices.IndexFunc(l.apertures, func(s constraints.Stop) bool { return s.On(c.lens) && s.True == n })
	c.shutter = slices.Index(l.shutters, set.Camera.Shutter.True())
	c.iso = slices.Index(l.isos, set.Camera.ISO.True())
	return c
}

// mutate changes one or a few choices of a candidate into others that fit.
func (l *lattice) mutate(d dice, c *candidate) *candidate {
	m := *c
	for r, g := range c.rigs {
		if g != nil {
			own := *g
			m.rigs[r] = &own
		}
	}
	sh := l.shelf
	for range d.count(1, 3) {
		switch d.IntN(8) {
		case 0:
			m.frame = d.IntN(len(l.frames))
		case 1:
			m.depth = d.IntN(len(l.depths))
		case 2:
			m.iPaper = d.IntN(len(sh.Backdrops))
			m.paper = sh.Backdrops[m.iPaper]
		case 3:
			i, j := d.IntN(len(sh.Cameras)), d.IntN(len(sh.Lenses))
			if sh.Cameras[i].Takes(sh.Lenses[j]) && l.apertures[m.aperture].On(sh.Lenses[j]) {
				m.iBody, m.iLens, m.body, m.lens = i, j, sh.Cameras[i], sh.Lenses[j]
			}
		case 4:
			if a := d.IntN(len(l.apertures)); l.apertures[a].On(m.lens) {
				m.aperture = a
			}
		case 5:
			m.iso, m.shutter = d.IntN(len(l.isos)), d.IntN(len(l.shutters))
		case 6:
			m.side = -m.side
		case 7:
			r := choose(d, l.allowed...)
			if r != inventory.Key && d.chance(0.3) {
				m.rigs[r] = nil
				continue
			}
			g := &rig{role: r, iHead: d.IntN(len(sh.Heads)), iMod: d.IntN(len(sh.Modifiers) + 1), iGrid: d.IntN(len(sh.Grids) + 1),
				iStand: d.IntN(len(sh.Stands)), iBoom: d.IntN(len(sh.Booms) + 1)}
			if l.space.Gelled[r] {
				g.iGel = d.IntN(len(sh.Gels) + 1)
			}
			h := sh.Heads[g.iHead]
			g.lamp = h.Flash == nil
			if g.lamp && !(h.Lamp != nil && h.Lamp.Main) || !inventory.HeadTakes(h, at(sh.Modifiers, g.iMod)) ||
				!inventory.ModTakesGrid(at(sh.Modifiers, g.iMod), at(sh.Grids, g.iGrid)) || !inventory.HeadTakesGel(h, at(sh.Modifiers, g.iMod), at(sh.Gels, g.iGel)) {
				continue
			}
			l.fill(g)
			m.rigs[r] = g
		}
	}
	return &m
}

// culprit is the group of rules that refutes the assumptions, found by replaying the log of
// rules; for messages only.
func learned(l *lattice) string {
	names := ""
	for _, m := range l.log {
		if len(m.cases) > 0 {
			names += " " + m.name + ";"
		}
	}
	return names
}

// A rule is sound if it lets every set-up through that meets its goals. Rules are deduced
// beforehand, and learned from candidates like the planted set-up and unlike it.
func TestRulesLetPlantedSetupsThrough(t *testing.T) {
	t.Parallel()
	tested, lemmas, refuted := 0, 0, 0
	for n := range max(1, *manyBriefs/8) {
		d := newDice(2, *firstBrief+n)
		p := newPlant(t, d)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, slackOf(d))
		l := newLattice(&constraints.Bench{Studio: p.bench.Studio, Brief: b}, b.Goals, false)
		k, err := check(l.bench, b.Goals, p.setup)
		if err != nil {
			t.Fatal(err)
		}
		truth, ok := l.choicesOf(k)
		if !ok {
			t.Fatalf("brief %d: the planted set-up is not on the lattice\n%s", n, p.describe(f))
		}
		tested++
		through := func(what string) bool {
			if l.p.Solve(truth...) == sat.Yes {
				return true
			}
			t.Errorf("brief %d: %s forbid the planted set-up; learned:%s\n%s", *firstBrief+n, what, learned(l), p.describe(f))
			return false
		}
		if !through("deduced rules") {
			continue
		}
		l.consider, l.thorough = ^mask(0), true
		own := l.candidateOf(p.setup)
		if l.hopeless(own) || d.chance(0.06) && l.refute(own, 3) {
			t.Errorf("brief %d: the planted set-up's own gear is refuted; learned:%s\n%s", *firstBrief+n, learned(l), p.describe(f))
			continue
		}
		for range 8 {
			before := l.lemmas
			c := l.mutate(d, own)
			if l.hopeless(c) || d.chance(0.08) && l.refute(c, 3) {
				refuted++
			}
			if l.lemmas > before && !through(fmt.Sprintf("rules learned from %s", l.describe(c))) {
				break
			}
		}
		lemmas += l.lemmas
	}
	t.Logf("%d set-ups, %d candidates refuted, %d lemmas", tested, refuted, lemmas)
	if lemmas < tested/2 {
		t.Errorf("%d lemmas from %d briefs test nothing", lemmas, tested)
	}
}

// answerText is an answer in full, but for places in files.
func answerText(a *Answer) string {
	out := fmt.Sprintln(a.Outcome, a.Proved, a.Open)
	for _, k := range a.Setups {
		text, err := k.Setup.Text()
		out += fmt.Sprintln(string(text), err, k.Cost, k.Differs, k.Fragile, k.Cautions)
		for _, g := range k.Goals {
			out += fmt.Sprintln(g.Holds, g.Sentence)
		}
	}
	return out + conflictText(a)
}

// randomBrief is a brief of which some can be met, some not.
func randomBrief(t *testing.T, d dice) (*plant, *draft, *constraints.Brief) {
	p := newPlant(t, d)
	if p == nil {
		return nil, nil, nil
	}
	f := &draft{p.sitter, p.goalLines(d, slackOf(d))}
	if d.chance(0.5) {
		f = harder(d, p, f)
	}
	b, err := f.brief(p.bench.Studio)
	if err != nil {
		return nil, nil, nil
	}
	return p, f, b
}

func TestAnswersMoveTheRightWay(t *testing.T) {
	t.Parallel()
	v, kinds := verdicts{}, map[string]int{}
	for n := range max(1, *manyBriefs/40) {
		d := newDice(6, *firstBrief+n)
		p, f, b := randomBrief(t, d)
		if p == nil {
			continue
		}
		first := planned(t, p.bench.Studio, b, refereeWork)
		v[first.Outcome]++
		text := answerText(first)
		again := func(what string, k *kit, f *draft, same, kept bool) {
			s := k.studio(t)
			b, err := f.brief(s)
			if err != nil {
				return
			}
			kinds[what]++
			a := planned(t, s, b, refereeWork)
			switch {
			case same && answerText(a) != text:
				t.Errorf("brief %d: %s changes the answer:\n%s\nand\n%s\n%s", *firstBrief+n, what, text, answerText(a), p.describe(f))
			case kept && first.Outcome == Found && a.Outcome == Cannot, what == "splitting a count" && first.Outcome == Cannot && a.Outcome == Found:
				t.Errorf("brief %d: %s turns %s into %s\n%s%s", *firstBrief+n, what, first.Outcome, a.Outcome, p.describe(f), conflictText(a))
			}
		}
		again("a second run", p.kit, f, true, false)
		mixed := p.kit.copy()
		for _, items := range mixed.of {
			d.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		}
		again("another order of the kit", mixed, f, true, false)
		if split := splitCount(p.kit, d); split != nil {
			again("splitting a count", split, f, false, true)
		}
		if first.Outcome != Found {
			continue
		}
		more := withMore(p.kit, randomKit(d), choose(d, "lenses", "heads", "modifiers", "gels", "stands", "booms", "backdrops"))
		again("more kit", more, f, false, true)
		less := &draft{f.sitter, slices.Clone(f.goals)}
		i := d.IntN(len(less.goals))
		// A brief that names fewer lights may use fewer, so only goals of no light go.
		if need, may := b.Goals[i].Req.Roles(); len(need)+len(may) == 0 && !b.Goals[i].Assumed && len(less.goals) > 1 && i > 2 {
			less.goals = slices.Delete(less.goals, i, i+1)
			again("dropping a goal", p.kit, less, false, true)
		}
	}
	t.Logf("%s; %v", v, kinds)
}

// splitCount makes two types of one item that there are two of; nil if there is none.
func splitCount(k *kit, d dice) *kit {
	for _, class := range []string{"heads", "stands", "gels"} {
		for i, item := range k.of[class] {
			head, rest, ok := strings.Cut(item, ", count: 2,")
			if !ok {
				continue
			}
			out := k.copy()
			out.of[class][i] = head + ", count: 1," + rest
			out.of[class] = append(out.of[class], head+"-twin, count: 1,"+rest)
			return out
		}
	}
	return nil
}

func TestConflictsAreMinimalAndHelpHelps(t *testing.T) {
	t.Parallel()
	conflicts, dropped, undecided, helps := 0, 0, 0, 0
	for n := range max(1, *manyBriefs/8) {
		d := newDice(7, *firstBrief+n)
		p, f, b := randomBrief(t, d)
		if p == nil {
			continue
		}
		o := refereeWork
		o.NoHelp = n%4 != 0
		a := planned(t, p.bench.Studio, b, o)
		if a.Outcome != Cannot {
			continue
		}
		conflicts++
		c := a.Conflict
		only := b.Clone()
		only.Goals = slices.Clone(c.Goals)
		if got := planned(t, p.bench.Studio, only, verdictWork); got.Outcome == Found {
			t.Errorf("brief %d: the goals of a conflict can hold together\n%s%s", *firstBrief+n, p.describe(f), conflictText(a))
		}
		for i, g := range c.Goals {
			if !c.Minimal {
				break
			}
			rest := b.Clone()
			rest.Goals = slices.Delete(slices.Clone(c.Goals), i, i+1)
			got := planned(t, p.bench.Studio, rest, verdictWork)
			dropped++
			switch got.Outcome {
			case Cannot:
				t.Errorf("brief %d: %s is not needed for the conflict\n%s%s", *firstBrief+n, g.Text, p.describe(f), conflictText(a))
			case Undecided:
				undecided++
			}
		}
		for _, h := range c.Help {
			helps++
			if !helped(t, p, b, h) {
				t.Errorf("brief %d: %q is no help\n%s", *firstBrief+n, h.Text, p.describe(f))
			}
		}
	}
	t.Logf("%d conflicts; %d goals left out, %d of them undecided; %d helps", conflicts, dropped, undecided, helps)
}

// helped applies the change that a line of help tells of to fresh copies, and plans again.
func helped(t *testing.T, p *plant, b *constraints.Brief, h Help) bool {
	again, ok := helpWith(&constraints.Bench{Studio: p.bench.Studio, Brief: b}, h)
	if !ok {
		t.Errorf("no change is called %q", h.Text)
		return true
	}
	if h.Setup != nil { // the set-up that proves it, judged against the brief as it then reads
		k, err := check(again, again.Brief.Goals, h.Setup.Setup)
		return err == nil && k.Holds()
	}
	return planned(t, again.Studio, again.Brief, Options{Count: 1, NoHelp: true, Work: 60}).Outcome == Found
}
