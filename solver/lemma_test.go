package solver

import (
	"math"
	"slices"
	"testing"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// drawsPerLattice is how many exact set-ups each lattice has to let through.
const drawsPerLattice = 30

// A lemma says that no set-up of its premises meets its goals. So exact set-ups are drawn
// about a planted one: other gear, places, settings, ends of ranges and dials, with the key
// turned so that the exposure holds where it can. Each has to pass all that was learned,
// with the goals that it meets switched on, and only those.
func TestExactSetupsPassEveryLemma(t *testing.T) {
	t.Parallel()
	drawn, lemmas, each, met := 0, 0, 0, 0
	for n := range max(1, *manyBriefs/4) {
		d := newDice(14, *firstBrief+n)
		k := smallKit(d)
		if d.chance(0.5) {
			k = randomKit(d)
		}
		p := plantOn(t, d, k, 0.15, 0.6)
		if p == nil {
			continue
		}
		f, b := plantedBrief(t, p, d, choose(d, 0.02, 0.3, 1))
		l := newLattice(&constraints.Bench{Studio: p.bench.Studio, Brief: b}, b.Goals, false)
		l.consider, l.thorough = ^mask(0), true
		own := l.candidateOf(p.setup)
		for range 12 {
			c := l.mutate(d, own)
			if !l.hopeless(c) && d.chance(0.15) {
				l.refute(c, 1)
			}
			if d.chance(0.15) && l.eachOf(c, choose(d, l.looksAt()[1:]...)) {
				each++
			}
		}
		lemmas += l.lemmas
		o := newSlow(d, l.bench)
		for i := range drawsPerLattice {
			set := p.setup
			if i > 0 {
				if set = o.about(p); set == nil {
					continue
				}
			}
			k, err := check(l.bench, b.Goals, set)
			if err != nil || slices.ContainsFunc(k.Limits, func(x constraints.Limit) bool { return !x.Holds }) {
				continue
			}
			truth, ok := l.choicesOf(k)
			if !ok {
				continue
			}
			drawn++
			var holds mask
			for j, g := range k.Goals {
				if g.Holds {
					holds |= 1 << j
				}
			}
			for _, m := range l.log {
				if len(m.cases) > 0 && m.goals&^holds == 0 {
					met++
				}
			}
			if l.p.Solve(truth...) != sat.Yes {
				text, _ := set.Text()
				t.Errorf("brief %d: what was learned forbids a set-up that stands and meets goals %b; learned:%s\n%s---\n%s", *firstBrief+n, holds, learned(l), p.describe(f), text)
				break
			}
		}
	}
	t.Logf("%d lemmas, %d of them place by place; %d exact set-ups, which meet the goals of a lemma %d times", lemmas, each, drawn, met)
	if *manyBriefs >= 200 && (lemmas < *manyBriefs/4 || each < *manyBriefs/20 || met < 2*lemmas) {
		t.Errorf("too little to judge by")
	}
}

// about is a set-up that is like the planted one but for a few choices; nil if nothing that
// can be built came of it.
func (o *slow) about(p *plant) *inventory.Setup {
	d, s := o.d, o.bench.Studio
	set := p.setup
	for range d.count(1, 3) {
		set = o.step(p, set)
	}
	space := o.bench.SpaceOf(o.bench.Brief.Goals)
	for i := range set.Lights {
		l := &set.Lights[i]
		r, _ := inventory.RoleByName(l.Role)
		if !space.Gelled[r] {
			l.Gel = ""
		}
		if at := constraints.Stated[r]; d.chance(0.4) {
			l.Distance = unit.Length(choose(d, at.D.Lo, at.D.Lo, at.D.Hi))
		}
	}
	key := &set.Lights[slices.IndexFunc(set.Lights, func(l inventory.LightSet) bool { return l.Role == inventory.Key.String() })]
	sc, ok := o.scene(set)
	if !ok {
		return nil
	}
	// The key's dial goes to where the exposure holds, or as near as it goes.
	rd := constraints.Measure(sc)
	steps, step := s.Head(key.Head).Powers(key.Light == "lamp")
	for _, g := range o.bench.Brief.Goals {
		if g.Name() != "exposure" || step == 0 {
			continue
		}
		want := g.Req.Judge(&rd, nil)[0].Want
		k := math.Round((rd.Exposure.Lo - float64(key.Power) - d.between(want.Lo, want.Hi)) / float64(step))
		key.Power = unit.Stops(-math.Round(min(max(k, 0), float64(steps-1))*float64(step)*1e6) / 1e6)
	}
	return set
}
