package solver

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"falloff/constraints"
)

// What a small studio gets to hear: random scarce kits and ordinary briefs, asked as a user
// asks, with all that an answer holds.
//
//	go test ./solver -run Scarce -scarce 500 -v -timeout 3h
//
// It judges the set-ups that are shown, and prints outcomes, the spread of processor time, what stayed open, and the slowest brief
// in full. With -scarcedir the slowest ten and the undecided are written there as files that
// falloff plan takes.
var (
	manyScarce = flag.Int("scarce", 0, "scarce studios that are measured")
	scarceDir  = flag.String("scarcedir", "", "folder for the files of slow and undecided ones")
)

// scarceKit is the kit of a small studio: two to four heads and about as many stands, a few
// modifiers of common sizes, one or two backdrops, a room that is no larger than it must be.
func scarceKit(d dice) *kit {
	k := &kit{of: map[string][]string{}}
	walls := choose(d, 20, 40, 60, 85)
	k.room = fmt.Sprintf("{width: %.1f m, depth: %.1f m, height: %.1f m, walls: %d %%, ceiling: %d %%, floor: %d %%}",
		d.between(3, 5), d.between(4.2, 7), d.between(2.3, 3), walls, choose(d, walls, 80), choose(d, 20, 35))
	k.add("cameras", "id: body, mount: ff, sensor: 36 x 24 mm, base_iso: 100, top_iso: 6400, fastest: 1/4000 s, sync: 1/200 s, stabilised: %d stops", choose(d, 0, 3, 5))
	lenses := []string{"id: lens-50, mount: ff, focal: 50 mm, widest: f/1.8, narrowest: f/16, nearest: 0.45 m",
		"id: lens-85, mount: ff, focal: 85 mm, widest: f/1.8, narrowest: f/16, nearest: 0.8 m",
		"id: lens-35, mount: ff, focal: 35 mm, widest: f/2, narrowest: f/16, nearest: 0.3 m"}
	for _, i := range d.Perm(len(lenses))[:d.count(1, 2)] {
		k.add("lenses", "%s", lenses[i])
	}
	heads := []string{"id: mono-200, count: %d, mount: s, mass: 2.1 kg, bare: true, flash: {energy: 200 Ws, range: 5 stops, step: 0.1 stops, kelvin: 5500 K}, lamp: {flux: 1500 lm, watts: 20 W, range: 5 stops, step: 0.1 stops, kelvin: 5000 K}",
		"id: mono-400, count: %d, mount: s, mass: 2.8 kg, bare: true, flash: {energy: 400 Ws, range: 7 stops, step: 0.1 stops, kelvin: 5600 K}",
		"id: led-60, count: %d, mount: s, mass: 1.4 kg, bare: true, dial: percent, lamp: {flux: 6000 lm, watts: 60 W, main: true, range: 6 stops, step: 0.1 stops, kelvin: 5600 K}",
		"id: led-150, count: %d, mount: s, mass: 2.4 kg, bare: true, dial: percent, lamp: {flux: 14000 lm, watts: 150 W, main: true, range: 6 stops, step: 0.1 stops, kelvin: 5600 K}"}
	all := d.count(2, 4)
	for left, order := all, d.Perm(len(heads)); left > 0; order = order[1:] {
		n := min(left, d.count(1, 2))
		if len(order) == 1 {
			n = left
		}
		k.add("heads", heads[order[0]], n)
		left -= n
	}
	mods := []string{"id: box-60x90, type: softbox, fits: [s], shape: rectangle, face: 60 x 90 cm, depth: 35 cm, efficiency: 42 %, mass: 1.1 kg",
		"id: octa-120, type: octabox, fits: [s], shape: octagon, face: 120 cm, depth: 50 cm, efficiency: 40 %, mass: 1.9 kg",
		"id: strip-30x120, type: softbox, fits: [s], shape: rectangle, face: 30 x 120 cm, depth: 30 cm, efficiency: 38 %, mass: 1.2 kg",
		"id: reflector-18, count: 2, type: reflector, fits: [s], shape: disc, face: 18 cm, depth: 13 cm, efficiency: 75 %, law: 3, mass: 0.4 kg",
		"id: dish-42, type: reflector, fits: [s], shape: disc, face: 42 cm, depth: 18 cm, efficiency: 60 %, law: 2, mass: 0.9 kg"}
	for _, i := range d.Perm(len(mods))[:d.count(2, 4)] {
		k.add("modifiers", "%s", mods[i])
		if strings.HasPrefix(mods[i], "id: reflector-18") && d.chance(0.6) {
			k.add("grids", "id: honey-30, fits: [reflector-18], cell: hex, cutoff: 30 deg")
		}
		if strings.HasPrefix(mods[i], "id: strip") && d.chance(0.4) {
			k.add("grids", "id: cloth-strip, fits: [strip-30x120], cell: square, cutoff: 40 deg")
		}
	}
	if d.chance(0.3) {
		k.add("gels", "id: deep-blue, curve: %q", "0.02 + 0.7 fall(490, 15)")
	}
	k.add("stands", "id: stand, count: %d, height: %.1f m, load: %d kg, mass: 1.5 kg", max(1, all-d.count(0, 1)), d.between(2, 2.7), d.count(3, 8))
	if d.chance(0.2) {
		k.add("booms", "id: boom, reach: 1.5 m, load: 4 kg, mass: 2 kg")
	}
	for _, i := range d.Perm(3)[:d.count(1, 2)] {
		k.add("backdrops", "%s", []string{"id: black-paper, reflectance: 4 %, width: 2.72 m", "id: grey-paper, reflectance: 18 %, width: 2.72 m", "id: white-paper, reflectance: 85 %, width: 2.72 m"}[i])
	}
	k.add("triggers", "id: radio, fires: 4")
	return k
}

// ordinaryBrief is four to eight goals as photographers put them, at most one of a kind.
func ordinaryBrief(d dice) *draft {
	f := &draft{sitter: fmt.Sprintf("sitter: {seated: %v, turn: %d deg, hair: %s}\nframing: {%s: true}\n", d.chance(0.7), choose(d, 0, 10, 15, 20),
		choose(d, "dark", "brown", "fair"), choose(d, "head_and_shoulders", "head_and_shoulders", "head", "half"))}
	kinds := [][]string{
		{"light-kind: flash", "light-kind: flash", "light-kind: continuous"},
		{"iso: base", "iso: base", "iso: ISO 100..ISO 800"},
		{"shutter: handheld"},
		{"aperture: f/5.6..f/8", "aperture: f/2.8..f/4", "aperture: {at most: f/2}", "aperture: {at most: f/4}"},
		{"both-eyes-sharp: {keepers: 80 %}", "both-eyes-sharp: {keepers: 90 %}"},
		{"perspective: natural"},
		{"pattern: loop", "pattern: rembrandt", "pattern: butterfly", "pattern: split", "pattern: short"},
		{"soft: {key: at least 20 deg}", "soft: {key: at least 30 deg}", "hard: {key: at most 10 deg}"},
		{"ratio: 3:1", "ratio: at least 5:1", "ratio: at most 3:1"},
		{"background-level: mid-grey", "background-level: dark", "background-level: white", "low-key: {background: at most -2.6 stops}", "low-key: {background: at most -3.8 stops}",
			"high-key: {background: 1.8..3.8 stops, wrap: at most -1.5 stops}"},
		{"rim: {side: both, level: -1..+0.5 stops}", "rim: {side: left, level: -1..+0.5 stops}", "rim: {side: top, level: -1..+0.5 stops}"},
		{"separation: {side: both, at least: 1 stops}"},
		{"background-blur: {at least: 1 %}", "background-blur: {at least: 2.5 %}"},
		{"catchlight: {clock: 60 deg}"},
		{"flare"},
		{"lean: {by: 20 cm, within: 0.5 stops}"},
		{"few-lights: {at most: 2}", "few-lights: {at most: 3}"},
		{"set-up-time: {at most: 20 min}", "set-up-time: {at most: 30 min}"},
		{"glow: {behind: head, radius: 0.12 m..0.35 m, level: -2..0 stops}"},
	}
	for _, i := range d.Perm(len(kinds))[:d.count(4, 8)] {
		f.goals = append(f.goals, choose(d, kinds[i]...))
	}
	return f
}

// scarce is one brief on one scarce studio; nil where the goals contradict each other as
// written.
func scarce(t testing.TB, n int) (*kit, *draft, *constraints.Bench) {
	d := newDice(11, n)
	k, f := scarceKit(d), ordinaryBrief(d)
	s := k.studio(t)
	b, err := f.brief(s)
	if err != nil {
		return k, f, nil
	}
	return k, f, &constraints.Bench{Studio: s, Brief: b}
}

func TestScarceStudios(t *testing.T) {
	if *manyScarce == 0 {
		t.Skip("a measurement that takes minutes; -scarce says of how many")
	}
	type run struct {
		n       int
		seconds float64
		answer  *Answer
	}
	v := verdicts{}
	var runs []run
	for n := *firstBrief; n < *firstBrief+*manyScarce; n++ {
		k, f, bench := scarce(t, n)
		if bench == nil {
			continue
		}
		begun := ProcessorSeconds()
		a, err := Plan(context.Background(), bench.Studio, bench.Brief, Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := run{n, ProcessorSeconds() - begun, a}
		runs = append(runs, r)
		v[a.Outcome]++
		for _, set := range a.Setups {
			rebuilt(t, bench.Studio, bench.Brief, set)
		}
		if a.Outcome == Undecided {
			t.Logf("brief %d stayed open after %.3f s: %s", n, r.seconds, a.Open)
			writeScarce(t, n, k, f)
		}
	}
	if len(runs) == 0 {
		t.Fatal("no brief was measured")
	}
	slices.SortStableFunc(runs, func(x, y run) int { return cmpFloat(x.seconds, y.seconds) })
	for _, r := range runs[max(0, len(runs)-10):] {
		t.Logf("brief %d: %s in %.3f s, %d candidates", r.n, r.answer.Outcome, r.seconds, r.answer.Stats.Candidates)
		k, f, _ := scarce(t, r.n)
		writeScarce(t, r.n, k, f)
	}
	k, f, _ := scarce(t, runs[len(runs)-1].n)
	t.Logf("the slowest:\n%s---\n%s", k.text(), f.text())
	at := func(q float64) float64 { return runs[int(q*float64(len(runs)-1))].seconds }
	t.Logf("%d briefs: %s; processor time: median %.3f s, 90 %% within %.3f s, worst %.3f s", len(runs), v, at(0.5), at(0.9), at(1))
}

// writeScarce writes a studio and its brief to the folder that was named, if any.
func writeScarce(t *testing.T, n int, k *kit, f *draft) {
	if *scarceDir == "" {
		return
	}
	for name, text := range map[string]string{"studio": k.text(), "brief": f.text()} {
		if err := os.WriteFile(filepath.Join(*scarceDir, fmt.Sprintf("%d-%s.yaml", n, name)), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
