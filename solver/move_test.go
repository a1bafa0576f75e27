package solver

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"falloff/constraints"
)

// What can be met can still be met with more kit, with a goal that asks for less, with a goal
// fewer, with dials of finer steps; and the same kit in another order, or with its copies
// written as items of their own, gets the same verdict. Only a proof can break this, so every
// "cannot" beside a "found" is wrong.
func TestVerdictsMoveTheRightWay(t *testing.T) {
	t.Parallel()
	v, kinds := verdicts{}, map[string]int{}
	for n := range max(1, *manyBriefs/8) {
		n := *firstBrief + n
		d := newDice(15, n)
		k, f, bench, _ := smallBrief(t, d, sortOf(n))
		if bench == nil {
			continue
		}
		first := planned(t, bench.Studio, bench.Brief, smallWork).Outcome
		v[first]++
		// wider may only turn "cannot" into "found"; the same may turn nothing round.
		again := func(what string, b *constraints.Bench, same bool) {
			if !same && first == Cannot {
				return
			}
			kinds[what]++
			got := planned(t, b.Studio, b.Brief, smallWork).Outcome
			if first == Found && got == Cannot || same && first == Cannot && got == Found {
				t.Errorf("brief %d: %s turns %s into %s\n%s---\n%s", n, what, first, got, k.text(), f.text())
			}
		}
		on := func(what string, k *kit, f *draft, same bool) {
			s := k.studio(t)
			if b, err := f.brief(s); err == nil {
				again(what, &constraints.Bench{Studio: s, Brief: b}, same)
			}
		}
		mixed := k.copy()
		for _, class := range classes {
			items := mixed.of[class]
			d.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		}
		on("another order of the kit", mixed, f, true)
		// A goal that names an item says nothing of its twin.
		named := slices.ContainsFunc(f.goals, func(g string) bool { return strings.Contains(g, "item: head-") || strings.Contains(g, "item: stand-") })
		if split := splitCount(k, d); split != nil && !named {
			on("copies as items of their own", split, f, true)
		}
		class := choose(d, "lenses", "heads", "modifiers", "stands", "backdrops")
		on("an item more", withMore(k, randomKit(d), class), f, false)
		if fine := finer(k); fine != nil {
			on("dials of finer steps", fine, f, false)
		}
		if looser := loosened(d, bench); looser != nil {
			again("a goal that asks for less", looser, false)
		}
		// A brief that names fewer lights may use fewer, so only goals of no light go; nor do
		// the first three, for where they are silent briefs are taken to ask as much.
		if i := d.IntN(len(f.goals)); i > 2 {
			if need, may := bench.Brief.Goals[i].Req.Roles(); len(need)+len(may) == 0 {
				on("a goal fewer", k, &draft{f.sitter, slices.Delete(slices.Clone(f.goals), i, i+1)}, false)
			}
		}
	}
	t.Logf("%s; %v", v, kinds)
	for _, what := range []string{"another order of the kit", "copies as items of their own", "an item more", "dials of finer steps", "a goal that asks for less", "a goal fewer"} {
		if *manyBriefs >= 200 && kinds[what] == 0 {
			t.Errorf("%s was never tried", what)
		}
	}
}

// withMore adds the items of one class of another kit.
func withMore(k, extra *kit, class string) *kit {
	more := k.copy()
	for i, item := range extra.of[class] {
		more.of[class] = append(more.of[class], fmt.Sprintf("{id: extra-%d,", i)+item[1+indexByte(item, ','):])
	}
	return more
}

// finer makes steps of half a stop or a whole one into tenths; nil if there are none.
func finer(k *kit) *kit {
	out, any := k.copy(), false
	for i, item := range out.of["heads"] {
		for _, step := range []string{"step: 0.5 stops", "step: 1 stops"} {
			any = any || strings.Contains(item, step)
			item = strings.ReplaceAll(item, step, "step: 0.1 stops")
		}
		out.of["heads"][i] = item
	}
	if !any {
		return nil
	}
	return out
}

// loosened moves one number of one goal by one to three steps; nil if none can move.
func loosened(d dice, b *constraints.Bench) *constraints.Bench {
	var amounts []constraints.Amount
	for _, g := range b.Brief.Goals {
		if movable, ok := g.Req.(constraints.Amounter); ok {
			amounts = append(amounts, movable.Amounts(b)...)
		}
	}
	if len(amounts) == 0 {
		return nil
	}
	a := choose(d, amounts...)
	if a.Steps == 0 {
		return nil
	}
	out := &constraints.Bench{Studio: b.Studio.Copy(), Brief: b.Brief.Clone()}
	a.To(d.count(1, min(3, a.Steps))).Apply(out.Brief, out.Studio)
	return out
}
