// Package hirehouse invents the studio file of a hire house: hundreds of types of kit with
// counts and day rates, always the same for the same size. Benchmarks and examples use it.
package hirehouse

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
)

// Seed is the seed of the house that the examples use.
const Seed = 20

// share is how many of a hundred items each class gets.
var share = []struct {
	class  string
	items  int
	invent func(*house) kit
}{
	{"cameras", 4, camera},
	{"lenses", 10, lens},
	{"heads", 17, head},
	{"modifiers", 22, modifier},
	{"grids", 10, grid},
	{"gels", 14, gel},
	{"cards", 3, card},
	{"stands", 12, stand},
	{"booms", 2, boom},
	{"backdrops", 4, backdrop},
	{"triggers", 2, trigger},
}

// kit is one type of item: what tells it from others, and its line of YAML.
type kit struct {
	id, name string
	count    int
	rate     int
	mount    string // of a head
	data     string // the rest of the entry, in flow style
}

type house struct {
	random
	heads, modifiers []kit // made so far, for modifiers and grids to fit
}

// YAML returns the studio file of a house with about n items, counts included. Every
// class has at least one item, so the least house has eleven. The same n gives the same bytes.
func YAML(n int) []byte {
	h := &house{random: Seed}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# An invented hire house of about %d items, written by a generator.\n", n)
	b.WriteString("studio: Hire house\ncrew: assisted\n\nroom:\n")
	b.WriteString("  width: 8 m\n  depth: 12 m\n  height: 4.2 m\n  walls: 50 %\n  ceiling: 60 %\n  floor: 30 %\n")
	b.WriteString("  circuits:\n    - {name: floor, volts: 230, amps: 32}\n    - {name: wall, volts: 230, amps: 16}\n")
	for _, s := range share {
		stock := h.stock(max(1, (n*s.items+50)/100), s.invent)
		switch s.class {
		case "heads":
			h.heads = stock
		case "modifiers":
			h.modifiers = stock
		}
		fmt.Fprintf(&b, "\n%s:\n", s.class)
		for _, k := range stock {
			if k.mount != "" {
				k.data = "mount: " + k.mount + ", " + k.data
			}
			fmt.Fprintf(&b, "  - {id: %s, name: %s, count: %d, day_rate: %d, %s}\n", k.id, k.name, k.count, k.rate, k.data)
		}
	}
	return b.Bytes()
}

// Studio is the house of YAML, loaded. It panics if the generator made a bad file, which
// is our bug.
func Studio(n int) *inventory.Studio {
	s, err := inventory.LoadFrom(&source.File{Name: fmt.Sprintf("hirehouse-%d.yaml", n), Text: YAML(n)})
	if err != nil {
		panic(err)
	}
	return s
}

// stock makes types until their counts add up to items. A type that comes up again is
// bought again: its count rises.
func (h *house) stock(items int, invent func(*house) kit) []kit {
	var out []kit
	at := map[string]int{}
	for left := items; left > 0; {
		k := invent(h)
		k.count = min(left, 1+h.below(4))
		left -= k.count
		if i, have := at[k.id]; have {
			out[i].count += k.count
			continue
		}
		at[k.id] = len(out)
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b kit) int { return cmp.Compare(a.id, b.id) })
	return out
}

// random is the SplitMix64 generator (Steele, Lea and Flood 2014): a file must not change
// with the version of a library.
type random uint64

func (r *random) next() uint64 {
	*r += 0x9e3779b97f4a7c15
	z := uint64(*r)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func (r *random) below(n int) int { return int(r.next() % uint64(n)) }

func pick[T any](h *house, from ...T) T { return from[h.below(len(from))] }

func camera(h *house) kit {
	grade, iso := pick(h, "plain", "quick", "fine"), pick(h, 50, 100, 200)
	if h.below(5) == 0 {
		return kit{id: fmt.Sprintf("body-large-%d", iso), name: fmt.Sprintf("44 x 33 body base ISO %d", iso), rate: 180,
			data: fmt.Sprintf("mount: wide, sensor: 44 x 33 mm, base_iso: %d, top_iso: %d, fastest: 1/4000 s, sync: 1/125 s, stabilised: 5 stops, pixel_pitch: 0.0053 mm, mass: 0.9 kg", iso, iso*128)}
	}
	pitch := map[string]string{"plain": "0.006", "quick": "0.0059", "fine": "0.0038"}[grade]
	return kit{id: fmt.Sprintf("body-%s-%d", grade, iso), name: fmt.Sprintf("%s 36 x 24 body base ISO %d", grade, iso), rate: pick(h, 60, 80, 110),
		data: fmt.Sprintf("mount: ff, sensor: 36 x 24 mm, base_iso: %d, top_iso: %d, fastest: 1/8000 s, sync: 1/%d s, stabilised: %d stops, pixel_pitch: %s mm, mass: 0.7 kg",
			iso, iso*256, pick(h, 160, 200, 250), pick(h, 4, 5, 7), pitch)}
}

func lens(h *house) kit {
	focal := pick(h, 24, 28, 35, 40, 50, 58, 65, 75, 85, 90, 100, 105, 120, 135, 150)
	widest := pick(h, "1.2", "1.4", "1.8", "2", "2.8")
	mount, narrow := "ff", 16
	if h.below(4) == 0 {
		mount, narrow, widest = "wide", 22, pick(h, "2", "2.8", "3.5")
	}
	near := float64(focal)*0.009 + 0.05
	return kit{id: fmt.Sprintf("lens-%s-%d-%s", mount, focal, strings.ReplaceAll(widest, ".", "")),
		name: fmt.Sprintf("%d mm f/%s lens for %s", focal, widest, mount), rate: 15 + focal/5,
		data: fmt.Sprintf("mount: %s, focal: %d mm, widest: f/%s, narrowest: f/%d, nearest: %.2f m, mass: %.2f kg", mount, focal, widest, narrow, near, 0.25+float64(focal)*0.006)}
}

// Head mounts: "studio" for most, "heavy" for large heads, "small" for pocket lights.
func head(h *house) kit {
	switch h.below(10) {
	case 0:
		w := pick(h, 10, 15, 20)
		return kit{id: fmt.Sprintf("pocket-%d", w), name: fmt.Sprintf("%d W pocket LED", w), rate: 8, mount: "small",
			data: fmt.Sprintf("mass: 0.3 kg, bare: true, tube: 6 cm, lamp: {flux: %d lm, watts: %d W, main: true, range: 4 stops, step: 0.1 stops, kelvin: 5500 K}", 90*w, w)}
	case 1:
		w := pick(h, 300, 500, 650, 800)
		return kit{id: fmt.Sprintf("halogen-%d", w), name: fmt.Sprintf("%d W halogen head", w), rate: 12, mount: "heavy",
			data: fmt.Sprintf("mass: 2.5 kg, bare: true, cable: 4 m, lamp: {flux: %d lm, watts: %d W, main: true, range: 3 stops, step: 0.1 stops, kelvin: 3200 K, hot: true}", 20*w, w)}
	case 2, 3, 4:
		w, k := pick(h, 60, 80, 100, 150, 200, 220, 300, 350, 500, 600), pick(h, 5400, 5600, 3200)
		lm := w * pick(h, 85, 92, 100)
		return kit{id: fmt.Sprintf("led-%d-%d", w, k), name: fmt.Sprintf("%d W LED head at %d K", w, k), rate: 15 + w/8, mount: mountFor(w > 320),
			data: fmt.Sprintf("mass: %.1f kg, bare: true, tube: %d cm, cable: 4 m, lamp: {flux: %d lm, watts: %d W, main: true, range: %d stops, step: 0.1 stops, kelvin: %d K}",
				1.2+float64(w)/120, 2+w/150, lm, w, pick(h, 5, 6, 7), k)}
	}
	ws, kind := pick(h, 100, 200, 250, 300, 400, 500, 600, 750, 800, 1000, 1200, 1600, 2400), pick(h, "plain", "quick", "steady")
	reach, step, tail := 5, "1/3 stop", 1
	switch kind {
	case "quick":
		reach, step, tail = 8, "0.1 stops", 3
	case "steady":
		reach, step, tail = 7, "0.1 stops", 2
	}
	half := 600 + 300*tail
	return kit{id: fmt.Sprintf("flash-%d-%s", ws, kind), name: fmt.Sprintf("%d Ws %s flash head", ws, kind), rate: 15 + ws/20 + 5*tail, mount: mountFor(ws > 1000),
		data: fmt.Sprintf("mass: %.1f kg, bare: true, cable: 4 m, flash: {energy: %d Ws, efficacy: %d lm/Ws, range: %d stops, step: %s, t05: 1/%d s, t01: 1/%d s, cutoff: %v, recycle: %.1f s, kelvin: %d K, amps: %.1f}, lamp: {flux: %d lm, watts: %d W, range: %d stops, step: %s, kelvin: %d K}",
			1.6+float64(ws)/450, ws, 28+3*tail, reach, step, half, half/3, kind == "quick", 0.6+float64(ws)/900, pick(h, 5500, 5600), 2+float64(ws)/150,
			1500+500*tail, 15+5*tail, reach, step, 4700+200*tail)}
}

func mountFor(large bool) string {
	if large {
		return "heavy"
	}
	return "studio"
}

func modifier(h *house) kit {
	mount := pick(h, h.heads...).mount
	if mount == "small" {
		return smallModifier(h)
	}
	finish := pick(h, "single", "double")
	eff := map[string]int{"single": 52, "double": 38}[finish]
	switch h.below(12) {
	case 0, 1, 2:
		w := pick(h, 40, 50, 60, 70, 80, 90, 100)
		ht := w * pick(h, 10, 13, 15) / 10
		return shaped("box", fmt.Sprintf("%d x %d cm %s soft box", w, ht, finish), "softbox", mount, finish, "rectangle", w, ht, 35, eff, 0)
	case 3, 4:
		w, ht := pick(h, 25, 30, 35, 40), pick(h, 90, 120, 140, 160, 180)
		return shaped("strip", fmt.Sprintf("%d x %d cm %s strip", w, ht, finish), "strip", mount, finish, "rectangle", w, ht, 30, eff-8, 0)
	case 5, 6:
		w := pick(h, 65, 80, 90, 100, 120, 135, 150, 170, 190)
		return shaped("octa", fmt.Sprintf("%d cm %s octabox", w, finish), "octabox", mount, finish, "octagon", w, w, 30+w/6, eff-4, 0)
	case 7:
		w, paint := pick(h, 40, 42, 50, 55, 70), pick(h, "white", "silver")
		law := map[string]float64{"white": 2, "silver": 3}[paint]
		return shaped("dish", fmt.Sprintf("%d cm %s dish", w, paint), "dish", mount, paint, "disc", w, w, w/3, 44, law)
	case 8, 9:
		w, finish := pick(h, 15, 18, 20, 25, 30, 45), pick(h, "wide", "plain", "long")
		law := map[string]float64{"wide": 1, "plain": 3, "long": 8}[finish]
		return shaped("reflector", fmt.Sprintf("%d cm %s reflector", w, finish), "reflector", mount, finish, "disc", w, w, 12, 72, law)
	case 10:
		w, paint := pick(h, 80, 100, 110, 150, 180), pick(h, "white", "silver", "shoot-through")
		law := map[string]float64{"white": 0.5, "silver": 2}[paint]
		return shaped("umbrella", fmt.Sprintf("%d cm %s umbrella", w, paint), "umbrella", mount, paint, "disc", w, w, 35, 55, law)
	}
	w := pick(h, 6, 8, 10)
	return shaped("snoot", fmt.Sprintf("%d cm snoot", w), "snoot", mount, "plain", "disc", w, w, 20, 6, 20)
}

func smallModifier(h *house) kit {
	if h.below(2) == 0 {
		w := pick(h, 20, 25, 30, 40)
		return shaped("box", fmt.Sprintf("%d x %d cm pocket soft box", w, w), "softbox", "small", "pocket", "rectangle", w, w, 15, 50, 0)
	}
	w := pick(h, 7, 9, 12)
	return shaped("reflector", fmt.Sprintf("%d cm pocket reflector", w), "reflector", "small", "pocket", "disc", w, w, 5, 70, 2)
}

func shaped(stem, name, kind, mount, finish, shape string, w, ht, deep, eff int, law float64) kit {
	face := fmt.Sprintf("%d cm", w)
	if shape == "rectangle" {
		face = fmt.Sprintf("%d x %d cm", w, ht)
	}
	if mount == "heavy" {
		name += ", heavy mount"
	}
	return kit{id: fmt.Sprintf("%s-%s-%s-%dx%d", stem, mount, finish, w, ht), name: fmt.Sprintf("%q", name), rate: 4 + (w+ht)/20,
		data: fmt.Sprintf("type: %s, fits: [%s], shape: %s, face: %s, depth: %d cm, efficiency: %d %%, law: %g, mass: %.1f kg",
			kind, mount, shape, face, deep, eff, law, 0.2+float64(w+ht)/160)}
}

// grid fits one modifier that the house has: honeycombs on reflectors and dishes, cloth on
// boxes.
func grid(h *house) kit {
	m := pick(h, h.modifiers...)
	if strings.Contains(m.data, "type: reflector") || strings.Contains(m.data, "type: dish") {
		deg, open := pick(h, 10, 20, 30, 40), 60
		return kit{id: fmt.Sprintf("honey-%d-%s", deg, m.id), name: fmt.Sprintf("%d deg honeycomb for %s", deg, m.id), rate: 3,
			data: fmt.Sprintf("fits: [%s], cell: hex, cutoff: %d deg, open: %d %%, mass: 0.2 kg", m.id, deg, open+deg/2)}
	}
	ratio := pick(h, "1.0", "1.2", "1.5")
	return kit{id: fmt.Sprintf("cloth-%s-%s", strings.ReplaceAll(ratio, ".", ""), m.id), name: fmt.Sprintf("cloth grid %s for %s", ratio, m.id), rate: 4,
		data: fmt.Sprintf("fits: [%s], cell: square, ratio: %s, open: 85 %%, mass: 0.4 kg", m.id, ratio)}
}

func gel(h *house) kit {
	switch h.below(3) {
	case 0: // warm: passes the long end
		edge, width := 500+5*h.below(25), 8+2*h.below(8)
		return gelKit("warm", edge, width, fmt.Sprintf("0.02 + 0.8 rise(%d, %d)", edge, width))
	case 1: // a band, blue to green
		peak, width := 430+5*h.below(24), 22+2*h.below(12)
		return gelKit("band", peak, width, fmt.Sprintf("0.02 + 0.66 gauss(%d, %d)", peak, width))
	}
	dip, width := 520+5*h.below(12), 36+3*h.below(8) // a dip in the green: pink to purple
	return gelKit("dip", dip, width, fmt.Sprintf("0.84 * (1 - 0.9 gauss(%d, %d))", dip, width))
}

func gelKit(family string, nm, width int, curve string) kit {
	return kit{id: fmt.Sprintf("gel-%s-%d-%d", family, nm, width), name: fmt.Sprintf("%s gel %d/%d", family, nm, width), rate: 1,
		data: fmt.Sprintf("curve: %q", curve)}
}

func card(h *house) kit {
	colour, w, ht := pick(h, "white", "black"), pick(h, 60, 100, 120), pick(h, 90, 100, 200, 240)
	refl := map[string]int{"white": 87, "black": 4}[colour]
	return kit{id: fmt.Sprintf("card-%s-%dx%d", colour, w, ht), name: fmt.Sprintf("%s card %d x %d cm", colour, w, ht), rate: 3,
		data: fmt.Sprintf("face: %d x %d cm, reflectance: %d %%, mass: 0.8 kg", w, ht, refl)}
}

func stand(h *house) kit {
	high, load := pick(h, 21, 24, 27, 30, 33, 40), pick(h, 8, 10, 15, 20)
	return kit{id: fmt.Sprintf("stand-%d-%d", high, load), name: fmt.Sprintf("%.1f m stand for %d kg", float64(high)/10, load), rate: 3 + load/4,
		data: fmt.Sprintf("lowest: %.1f m, height: %.1f m, load: %d kg, foot: 0.5 m, mass: %.1f kg", 0.4+float64(high)/50, float64(high)/10, load, 0.8+float64(load)/4)}
}

func boom(h *house) kit {
	reach := pick(h, 12, 14, 16, 20)
	return kit{id: fmt.Sprintf("boom-%d", reach), name: fmt.Sprintf("%.1f m boom arm", float64(reach)/10), rate: 9,
		data: fmt.Sprintf("reach: %.1f m, tail: %.1f m, load: 5 kg, mass: 1.8 kg", float64(reach)/10, 0.2+float64(reach)/20)}
}

func backdrop(h *house) kit {
	colours := []struct {
		name string
		refl int
	}{{"black", 4}, {"charcoal", 8}, {"slate", 12}, {"mid grey", 18}, {"stone", 35}, {"pale grey", 55}, {"white", 85}}
	c, w := pick(h, colours...), pick(h, "1.35", "2.18", "2.72", "3.55")
	return kit{id: fmt.Sprintf("paper-%s-%s", strings.ReplaceAll(c.name, " ", "-"), strings.ReplaceAll(w, ".", "")),
		name: fmt.Sprintf("%s paper %s m", c.name, w), rate: 12, data: fmt.Sprintf("reflectance: %d %%, width: %s m", c.refl, w)}
}

func trigger(h *house) kit {
	fires := pick(h, 4, 8, 16, 32)
	return kit{id: fmt.Sprintf("radio-%d", fires), name: fmt.Sprintf("radio trigger for %d heads", fires), rate: 5, data: fmt.Sprintf("fires: %d", fires)}
}
