package verify

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

// A slot is one choice of a set-up: an item, or a setting by its place among all that can be
// dialled or taped.
type slot int

const (
	camera slot = iota
	lens
	backdrop
	aperture
	shutter
	iso
	frame
	distance // from the sitter to the backdrop
	side     // of the key: 0 camera left, 1 right
	lights   // the first slot of the first role
)

// The slots of one light. An optional item is 0 for none. Where the light is not used, the
// items have the value after the last.
const (
	on slot = iota
	flash
	head
	modifier
	grid
	gel
	stand
	boom
	parts
)

const slots = int(lights) + int(parts)*int(inventory.NumRoles)

func of(r inventory.Role, part slot) slot { return lights + slot(r)*parts + part }

// split is the role and part of a slot of a light.
func (s slot) split() (inventory.Role, slot) {
	return inventory.Role((s - lights) / parts), (s - lights) % parts
}

// world is what a proof speaks of: one studio, and those goals of a brief that collide.
type world struct {
	bench *constraints.Bench
	shelf *inventory.Shelf
	goals []*constraints.Goal
	rules [][]constraints.Rule // of each goal
	constraints.Space
	stops  []constraints.Stop
	times  []float64
	isos   []float64
	depths []float64

	timeMarks []unit.Shutter
	isoMarks  []unit.ISO

	sizes [slots]int // values of each slot
	tints map[[3]int]colour.XYZ
	fires int // flash heads that the triggers serve; -1 where nothing is said of them
}

// newWorld reads studio and brief from a proof and finds the goals that it names.
func newWorld(p *Proof) (*world, error) {
	s, err := inventory.LoadFrom(&source.File{Name: "studio", Text: []byte(p.Studio)})
	if err != nil {
		return nil, fmt.Errorf("the studio in the proof cannot be read: %w", err)
	}
	b, err := constraints.LoadBriefFrom(&source.File{Name: "brief", Text: []byte(p.Wishes)})
	if err != nil {
		return nil, fmt.Errorf("the brief in the proof cannot be read: %w", err)
	}
	if err := b.Bind(s); err != nil {
		return nil, fmt.Errorf("the brief in the proof does not go with its studio: %w", err)
	}
	w := &world{shelf: s.Shelf(), tints: map[[3]int]colour.XYZ{}}
	left := slices.Clone(b.Goals)
	for _, line := range p.Goals {
		i := slices.IndexFunc(left, func(g *constraints.Goal) bool { return g.Wish == 0 && oneLine(g.Text) == line.Text })
		if i < 0 {
			return nil, fmt.Errorf("the brief in the proof has no goal %q", line.Text)
		}
		w.goals = append(w.goals, left[i])
		left = slices.Delete(left, i, i+1)
	}
	w.Space = (&constraints.Bench{Studio: s, Brief: b}).SpaceOf(b.Goals)
	few := *b
	few.Goals = w.goals
	w.bench = &constraints.Bench{Studio: s, Brief: &few, Bounces: constraints.Bounces{}, Flat: constraints.Flat{}}
	w.stops, w.depths = constraints.Stops(w.shelf.Lenses), w.bench.BackdropDistances()
	w.timeMarks, w.isoMarks = constraints.Times(w.shelf.Cameras), constraints.ISOs(w.shelf.Cameras)
	for _, t := range w.timeMarks {
		w.times = append(w.times, t.True())
	}
	for _, i := range w.isoMarks {
		w.isos = append(w.isos, i.True())
	}
	for _, g := range w.goals {
		w.rules = append(w.rules, slices.Collect(g.Req.Rules(w.bench)))
	}
	w.fires = -1
	if n, any := w.bench.Fires(); any {
		w.fires = n
	}
	w.measure()
	return w, nil
}

// measure counts the values of every slot.
func (w *world) measure() {
	sh := w.shelf
	for s, n := range map[slot]int{camera: len(sh.Cameras), lens: len(sh.Lenses), backdrop: len(sh.Backdrops), aperture: len(w.stops),
		shutter: len(w.times), iso: len(w.isos), frame: len(constraints.Frames), distance: len(w.depths), side: 2} {
		w.sizes[s] = n
	}
	for _, r := range w.Roles {
		for part, n := range map[slot]int{on: 2, flash: 2, head: len(sh.Heads) + 1, modifier: len(sh.Modifiers) + 2, grid: len(sh.Grids) + 2,
			gel: len(sh.Gels) + 2, stand: len(sh.Stands) + 1, boom: len(sh.Booms) + 2} {
			w.sizes[of(r, part)] = n
		}
	}
}

// absent is the value of an item's slot where its light is not used.
func (w *world) absent(s slot) int { return w.sizes[s] - 1 }

// need is what an f-number and an ISO ask for, in stops.
func (w *world) need(a, i int) float64 {
	return math.Round((2*math.Log2(w.stops[a].True)-math.Log2(w.isos[i]))*1e9) / 1e9
}

// needs lists the values of need in rising order.
func (w *world) needs() (out []float64) {
	for a := range w.stops {
		for i := range w.isos {
			out = append(out, w.need(a, i))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// item finds the value of a slot by the words that name it in a proof.
func (w *world) item(s slot, id string) (int, bool) {
	sh := w.shelf
	switch s {
	case camera:
		return indexOf(sh.Cameras, id, 0)
	case lens:
		return indexOf(sh.Lenses, id, 0)
	case backdrop:
		return indexOf(sh.Backdrops, id, 0)
	}
	if s < lights {
		return 0, false
	}
	switch _, part := s.split(); part {
	case head:
		return indexOf(sh.Heads, id, 0)
	case modifier:
		return indexOf(sh.Modifiers, id, 1)
	case grid:
		return indexOf(sh.Grids, id, 1)
	case gel:
		return indexOf(sh.Gels, id, 1)
	case stand:
		return indexOf(sh.Stands, id, 0)
	case boom:
		return indexOf(sh.Booms, id, 1)
	}
	return 0, false
}

func indexOf[T inventory.Thing](items []T, id string, first int) (int, bool) {
	if first == 1 && id == string(constraints.None) {
		return 0, true
	}
	i := slices.IndexFunc(items, func(t T) bool { return string(inventory.ItemOf(t).ID) == id })
	return i + first, i >= 0
}

// optional is the item of an optional choice: 0 is none.
func optional[T any](items []*T, i int) *T {
	if i == 0 {
		return nil
	}
	return items[i-1]
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
