package solver

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"testing"

	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// stall is a planted set-up and its brief, with a scout on it.
func stall(t *testing.T, d dice) (*plant, *constraints.Brief, *scout) {
	p := newPlant(t, d)
	if p == nil {
		return nil, nil, nil
	}
	_, b := plantedBrief(t, p, d, 1)
	u, err := newScout(p.bench.Studio, b, p.setup, looks(t))
	if err == nil {
		u.seen = []picture{u.view(u.here, &u.now)}
	}
	if err != nil {
		t.Fatal(err)
	}
	return p, b, u
}

// looks are the ready looks that are built in.
func looks(t *testing.T) (out []*constraints.Brief) {
	files, err := fs.Glob(examples.FS, "looks/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no looks", err)
	}
	for _, name := range files {
		b, err := constraints.LoadBriefFrom(embedded(t, name))
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, b)
	}
	return out
}

func embedded(t *testing.T, name string) *source.File {
	text, err := fs.ReadFile(examples.FS, name)
	if err != nil {
		t.Fatal(err)
	}
	return &source.File{Name: name, Text: text}
}

// Each rung is what check says of it, keeps the limits of room and kit, does what it says,
// and says truly what is kept, gained and lost.
func TestRungsAreChecked(t *testing.T) {
	t.Parallel()
	rungs := 0
	for n := range max(1, *manyBriefs/50) {
		p, b, u := stall(t, newDice(1, *firstBrief+n))
		if p == nil {
			continue
		}
		l, err := Unstick(context.Background(), p.bench.Studio, b, p.setup, nil, looks(t), 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		all := slices.Clone(l.Rungs)
		if l.Fallback != nil {
			all = append(all, l.Fallback)
		}
		changes := u.changes()
		for _, f := range u.families() {
			changes = append(changes, f.looks...)
		}
		here := u.view(u.here, &u.now)
		for _, r := range all {
			rungs++
			turned := b.Clone()
			turned.Sitter.Turn = r.To.Turn
			k, err := Check(p.bench.Studio, turned, &r.To.Set)
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range k.Limits {
				if !x.Holds {
					t.Errorf("brief %d, %v: %s", n, r.Changes, x.Sentence)
				}
			}
			for _, text := range r.Changes {
				i := slices.IndexFunc(changes, func(c change) bool { return c.text == text })
				if !changes[i].seen(here, u.view(k, &r.To)) {
					t.Errorf("brief %d: %q is not seen", n, text)
				}
			}
			kept, gained, lost := 0, 0, 0
			for i, g := range k.Goals {
				switch was := l.Now.Goals[i].Holds; {
				case was && g.Holds:
					kept++
				case was:
					lost++
				case g.Holds:
					gained++
				}
			}
			if r != l.Fallback && (kept != r.Kept || gained != len(r.Gained) || lost != len(r.Lost)) {
				t.Errorf("brief %d, %v: %d kept, %d gained, %d lost; told %d, %d, %d", n, r.Changes, kept, gained, lost, r.Kept, len(r.Gained), len(r.Lost))
			}
		}
	}
	if *manyBriefs >= 400 && rungs < 40 {
		t.Errorf("%d rungs test nothing", rungs)
	}
	t.Logf("%d rungs", rungs)
}

// No single change of one thing, written into the set-up by a loop that knows nothing of
// the ladder, is quicker to a change than its rung.
func TestNothingIsQuickerThanItsRung(t *testing.T) {
	t.Parallel()
	tried, reached := 0, 0
	for n := range max(1, *manyBriefs/50) {
		p, b, u := stall(t, newDice(1, *firstBrief+n))
		if p == nil {
			continue
		}
		l, err := Unstick(context.Background(), p.bench.Studio, b, p.setup, nil, looks(t), 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		here := u.seen[0]
		for _, st := range oneThing(u) {
			tried++
			_, took := way(u.s, u.c, u.bench(&st), &u.now, &st)
			k := u.judge(&st)
			if k == nil || !sameFace(u.here, k) {
				continue
			}
			after := u.view(k, &st)
			if alike(after, here) {
				continue
			}
			for _, c := range u.changes() {
				if !c.seen(here, after) {
					continue
				}
				reached++
				loses := 0
				for i, g := range k.Goals {
					if u.here.Goals[i].Holds && !g.Holds {
						loses++
					}
				}
				good := func(r *Rung) bool { // it reaches the change, and none quicker loses as few
					m := r.Minutes(u.s)
					return c.seen(here, u.view(r.After, &r.To)) && (took.of(u.s) >= m-1e-9 || took.of(u.s) >= m-littleSlower-1e-9 && loses > len(r.Lost))
				}
				if !slices.ContainsFunc(l.Rungs, good) {
					t.Errorf("brief %d: %q in %v min (loses %d), and no rung is as quick", n, c.text, took.of(u.s), loses)
				}
			}
		}
	}
	t.Logf("%d set-ups, %d changes reached", tried, reached)
	if *manyBriefs >= 400 && reached < 60 {
		t.Errorf("%d changes test nothing", reached)
	}
}

// No move of several things at once is quicker to a look than the look's rung: all are
// computed here, none is passed over by its time or by where the key stands.
func TestNothingMixedIsQuicker(t *testing.T) {
	t.Parallel()
	reached := 0
	ladder := func(name string, s *inventory.Studio, b *constraints.Brief, set *inventory.Setup) {
		l, err := Unstick(context.Background(), s, b, set, nil, looks(t), 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		u, err := newScout(s, b, set, looks(t))
		if err != nil {
			t.Fatal(err)
		}
		u.seen = []picture{u.view(u.here, &u.now)}
		for _, f := range u.families() {
			for i := range f.moves {
				for _, r := range u.ways(&f.moves[i], true) {
					reached += mixedIsQuickest(t, name, u, l, f.looks, r)
				}
			}
		}
	}
	for n := range max(1, *manyBriefs/120) {
		d := newDice(61, *firstBrief+n)
		if p := newPlant(t, d); p != nil {
			_, b := plantedBrief(t, p, d, 1)
			ladder(fmt.Sprint("brief ", *firstBrief+n), p.bench.Studio, b, p.setup)
		}
	}
	if *manyBriefs >= 1200 {
		for _, x := range [][3]string{{"second-encore", "northlight", "rim-and-glow"}, {"ninth-head", "northlight", "classic"}, {"grey-not-black", "spare-room", "black-from-white"}} {
			s, err := inventory.LoadFrom(embedded(t, "studios/"+x[1]+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			b, err := constraints.LoadBriefFrom(embedded(t, "briefs/"+x[2]+".yaml"))
			if err != nil || b.Bind(s) != nil {
				t.Fatal(err)
			}
			set, err := inventory.LoadSetupFrom(embedded(t, "stalls/"+x[0]+".yaml"))
			if err != nil {
				t.Fatal(err)
			}
			ladder(x[0], s, b, set)
		}
		if reached < 100 {
			t.Errorf("%d looks test nothing", reached)
		}
	}
	t.Logf("looks reached %d times", reached)
}

func mixedIsQuickest(t *testing.T, name string, u *scout, l *Ladder, sought []change, r *Rung) (reached int) {
	here, after, took := u.seen[0], u.view(r.After, &r.To), r.Minutes(u.s)
	for _, c := range sought {
		if !c.seen(here, after) || u.known(after) {
			continue
		}
		reached++
		if !slices.ContainsFunc(l.Rungs, func(x *Rung) bool {
			m := x.Minutes(u.s)
			return c.seen(here, u.view(x.After, &x.To)) && (m <= took+1e-9 || m <= took+littleSlower+1e-9 && len(x.Lost) < len(r.Lost))
		}) {
			t.Errorf("%s: %q in %v min, and no rung is as quick", name, c.text, took)
		}
	}
	return reached
}

// sameFace reports whether the face is exposed and the lights are clear as they were wanted.
func sameFace(a, b *Checked) bool {
	if math.Abs(a.Reading.Exposure.Lo-b.Reading.Exposure.Lo) > closeEnough {
		return false
	}
	for i, g := range b.Goals {
		if n := g.Goal.Name(); (n == "exposure" || n == "out-of-frame") && a.Goals[i].Holds && !g.Holds {
			return false
		}
	}
	return true
}

// oneThing lists set-ups that differ in one dial, place or piece, and in the key's power
// where that keeps the face as bright.
func oneThing(u *scout) (out []Stance) {
	put := func(change func(*Stance)) {
		st := u.now.clone()
		change(&st)
		out = append(out, st)
		if k := st.light(inventory.Key); k != nil { // by hand: bring the key back to its level
			if got, _, ok := u.levels(&st); ok {
				_, step := u.s.Head(k.Head).Powers(k.Light == "lamp")
				if off := u.here.Reading.Lights[inventory.Key].Level.Lo - got[inventory.Key]; step > 0 && math.Abs(off) > 0.1 {
					k.Power += unit.Stops(math.Round(off/float64(step))) * step
					k.Power = unit.Stops(math.Round(float64(k.Power)*1e6) / 1e6)
					out = append(out, st)
				}
			}
		}
	}
	for i := range u.now.Set.Lights {
		if u.now.Set.Lights[i].Role != "key" {
			put(func(st *Stance) { st.Set.Lights = slices.Delete(st.Set.Lights, i, i+1) })
		}
	}
	for d := 50; d <= 300; d += 5 {
		put(func(st *Stance) { st.light(inventory.Key).Distance = unit.Length(float64(d) / 100) })
	}
	for a := -60; a <= 60; a += 5 {
		put(func(st *Stance) { st.light(inventory.Key).Azimuth += unit.Angle(a) * unit.Degree })
	}
	for a := -45; a <= 45; a += 5 {
		put(func(st *Stance) { st.Turn = unit.Angle(a) * unit.Degree })
	}
	for _, f := range constraints.Frames {
		put(func(st *Stance) { st.Set.Camera.Frame = unit.Length(f) })
	}
	for i := range u.s.Backdrops {
		put(func(st *Stance) { st.Set.Backdrop.Item = u.s.Backdrops[i].ID })
	}
	for i := range u.s.Modifiers {
		put(func(st *Stance) {
			k := st.light(inventory.Key)
			k.Modifier, k.Grid = u.s.Modifiers[i].ID, ""
		})
	}
	return out
}

// The order of a walk is the quickest of all orders, and no longer one fits.
func TestWalkAgainstEveryOrder(t *testing.T) {
	for n := range 40 {
		d := newDice(51, n)
		size := d.count(1, 6)
		costs := make([][]float64, size+1)
		for i := range costs {
			for range size + 1 {
				costs[i] = append(costs[i], float64(d.count(1, 20)))
			}
		}
		limit := choose(d, 0., 5, 15, 30)
		cost := func(i, j int) float64 { return costs[i][j] }
		got := quickestOrder(size, limit, cost)
		most, least := everyOrder(size, limit, cost, nil)
		if total := along(got, cost); len(got) != most || most > 0 && total != least {
			t.Errorf("walk %d: %v takes %v; %d in %v is possible", n, got, total, most, least)
		}
	}
}

func along(order []int, cost func(i, j int) float64) (total float64) {
	at := 0
	for _, j := range order {
		total += cost(at, j)
		at = j
	}
	return total
}

// everyOrder tries all ways to go on from an order.
func everyOrder(n int, limit float64, cost func(i, j int) float64, order []int) (most int, least float64) {
	most, least = len(order), along(order, cost)
	for j := 1; j <= n; j++ {
		next := append(slices.Clone(order), j)
		if slices.Contains(order, j) || limit > 0 && along(next, cost) > limit {
			continue
		}
		if k, total := everyOrder(n, limit, cost, next); k > most || k == most && total < least {
			most, least = k, total
		}
	}
	return most, least
}
