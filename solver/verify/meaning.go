package verify

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
)

// A set holds values of one slot.
type set []bool

// A box is a set of set-ups: those whose slots have one of the values that are listed. A slot
// without a list may have any. What a clause says is that no set-up lies in certain boxes.
type box map[slot]set

// and is the common part of two boxes; false if it is empty.
func (b box) and(c box) (box, bool) {
	out := make(box, len(b)+len(c))
	for s, x := range b {
		out[s] = x
	}
	for s, x := range c {
		if y, ok := out[s]; ok {
			both, some := make(set, len(x)), false
			for i := range x {
				both[i] = x[i] && y[i]
				some = some || both[i]
			}
			if !some {
				return nil, false
			}
			x = both
		}
		out[s] = x
	}
	return out, true
}

// has lists the values that a box leaves a slot.
func (w *world) has(b box, s slot) (out []int) {
	x, known := b[s]
	for i := range w.sizes[s] {
		if !known || x[i] {
			out = append(out, i)
		}
	}
	return out
}

// only is the box in which a slot has the values that a test picks; nil if there are none.
func (w *world) only(s slot, pick func(int) bool) []box {
	x, some := make(set, w.sizes[s]), false
	for i := range x {
		x[i] = pick(i)
		some = some || x[i]
	}
	if !some {
		return nil
	}
	return []box{{s: x}}
}

// mostBoxes bounds the boxes that one clause may come to.
const mostBoxes = 20_000

// tooMany says that a rule was left alone.
type tooMany struct{}

func (tooMany) Error() string { return "it comes to too many cases" }

// cross is the common part of two unions of boxes.
func cross(a, b []box) (out []box, err error) {
	for _, x := range a {
		for _, y := range b {
			if c, ok := x.and(y); ok {
				out = append(out, c)
			}
		}
	}
	if out = merged(out); len(out) > mostBoxes {
		return nil, tooMany{}
	}
	return out, nil
}

// merged joins boxes that differ in one slot.
func merged(boxes []box) []box {
	if len(boxes) < 2 {
		return boxes
	}
	var named []slot
	for _, b := range boxes {
		for s := range b {
			if !slices.Contains(named, s) {
				named = append(named, s)
			}
		}
	}
	slices.Sort(named)
	for _, free := range named {
		at := map[string]int{}
		var out []box
		for _, b := range boxes {
			key := b.key(named, free)
			i, ok := at[key]
			x, has := b[free]
			switch {
			case !ok:
				at[key] = len(out)
				out = append(out, b)
			case !has:
				out[i] = b
			default:
				if y, wide := out[i][free]; wide {
					joined := box{}
					for s, z := range b {
						joined[s] = z
					}
					joined[free] = union(x, y)
					out[i] = joined
				}
			}
		}
		boxes = out
	}
	return boxes
}

func union(x, y set) set {
	out := slices.Clone(x)
	for i := range y {
		out[i] = out[i] || y[i]
	}
	return out
}

// key tells boxes apart but for one slot.
func (b box) key(named []slot, but slot) string {
	var text strings.Builder
	for _, s := range named {
		if x, ok := b[s]; ok && s != but {
			fmt.Fprintf(&text, "%d", s)
			for _, v := range x {
				if v {
					text.WriteByte('x')
				} else {
					text.WriteByte('.')
				}
			}
		}
	}
	return text.String()
}

// words are the names of parts of a light in a proof.
var words = map[string]slot{"on": on, "flash": flash, "head": head, "modifier": modifier, "grid": grid, "gel": gel, "stand": stand, "boom": boom}

// steps are the names of settings, of which a variable says "this or more".
var steps = map[string]slot{"aperture": aperture, "time": shutter, "iso": iso, "frame": frame, "distance": distance}

// name gives a variable its meaning: the set-ups of which it is true, and the others.
func (w *world) name(text string) (yes, no []box, err error) {
	first, rest, _ := strings.Cut(text, " ")
	both := func(s slot, pick func(int) bool) ([]box, []box, error) {
		return w.only(s, pick), w.only(s, func(i int) bool { return !pick(i) }), nil
	}
	choice := func(s slot, id string) ([]box, []box, error) {
		at, ok := w.item(s, id)
		if !ok {
			return nil, nil, fmt.Errorf("the studio has no %q", id)
		}
		return both(s, func(i int) bool { return i == at })
	}
	switch first {
	case "camera":
		return choice(camera, rest)
	case "lens":
		return choice(lens, rest)
	case "backdrop":
		return choice(backdrop, rest)
	case "left":
		return both(side, func(i int) bool { return i == 0 })
	}
	number, _, _ := strings.Cut(rest, ",")
	if s, ok := steps[first]; ok {
		at, err := strconv.Atoi(number)
		if err != nil || at < 1 || at >= w.sizes[s] {
			return nil, nil, fmt.Errorf("%q is not among the settings", text)
		}
		return both(s, func(i int) bool { return i >= at })
	}
	if first == "need" {
		at, err := strconv.Atoi(number)
		needs := w.needs()
		if err != nil || at < 1 || at >= len(needs) {
			return nil, nil, fmt.Errorf("%q is not among the settings", text)
		}
		return w.asking(func(x float64) bool { return x >= needs[at] }), w.asking(func(x float64) bool { return x < needs[at] }), nil
	}
	r, ok := inventory.RoleByName(first)
	if !ok || !slices.Contains(w.Roles, r) {
		return nil, nil, fmt.Errorf("%q names nothing", text)
	}
	what, id, _ := strings.Cut(rest, " ")
	switch part := words[what]; {
	case what == "lamp":
		yes, _ = cross(w.only(of(r, on), isOne), w.only(of(r, flash), isNone))
		return yes, append(w.only(of(r, on), isNone), w.only(of(r, flash), isOne)...), nil
	case what == "on" || what == "flash":
		return both(of(r, part), isOne)
	case part != on:
		return choice(of(r, part), id)
	}
	return nil, nil, fmt.Errorf("%q names nothing", text)
}

func isOne(i int) bool  { return i == 1 }
func isNone(i int) bool { return i == 0 }

// asking is the boxes of f-numbers and ISOs whose need passes a test.
func (w *world) asking(pass func(float64) bool) (out []box) {
	for a := range w.stops {
		at := w.only(aperture, func(i int) bool { return i == a })
		these, _ := cross(at, w.only(iso, func(i int) bool { return pass(w.need(a, i)) }))
		out = append(out, these...)
	}
	return merged(out)
}

// dictionary knows what the variables of a proof mean. A goal's and a rule's variable is in
// force for every set-up that is looked for. A variable without a name stands for what
// makes it hold: the clauses with it are its definition, and hold by that.
type dictionary struct {
	w       *world
	inForce map[int]bool
	yes, no map[int][]box // by variable that has a name
	defined map[int][][]int
	known   map[int][]box // by variable without one
	open    map[int]bool  // being worked out
}

func newDictionary(w *world, p *Proof) (*dictionary, error) {
	d := &dictionary{w: w, inForce: map[int]bool{}, yes: map[int][]box{}, no: map[int][]box{}, defined: map[int][][]int{}, known: map[int][]box{}, open: map[int]bool{}}
	for _, l := range slices.Concat(p.Goals, p.Rules) {
		if l.Lit <= 0 || d.inForce[l.Lit] {
			return nil, fmt.Errorf("%d stands for two things", l.Lit)
		}
		d.inForce[l.Lit] = true
	}
	for _, l := range p.Names {
		if l.Lit <= 0 || d.inForce[l.Lit] || d.named(l.Lit) {
			return nil, fmt.Errorf("%d stands for two things", l.Lit)
		}
		var err error
		if d.yes[l.Lit], d.no[l.Lit], err = w.name(l.Text); err != nil {
			return nil, err
		}
	}
	for _, c := range p.Clauses {
		if v := d.defines(c.Lits); v > 0 {
			d.defined[v] = append(d.defined[v], c.Lits)
		}
	}
	return d, nil
}

func (d *dictionary) named(v int) bool { _, ok := d.yes[v]; return ok }

// defines is the first variable without a name that a clause makes hold; 0 if there is none.
func (d *dictionary) defines(clause []int) int {
	for _, x := range clause {
		if x > 0 && !d.inForce[x] && !d.named(x) {
			return x
		}
	}
	return 0
}

// against is the set-ups of which no literal of a clause is true, but for one variable that
// is left out.
func (d *dictionary) against(clause []int, but int) (out []box, err error) {
	out = []box{{}}
	for _, x := range clause {
		if x == but {
			continue
		}
		not, err := d.not(x)
		if err != nil {
			return nil, err
		}
		if out, err = cross(out, not); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// not is the set-ups of which a literal is not true.
func (d *dictionary) not(x int) ([]box, error) {
	v := max(x, -x)
	switch {
	case d.inForce[v] && x > 0:
		return nil, nil
	case d.inForce[v]:
		return []box{{}}, nil
	case d.named(v) && x > 0:
		return d.no[v], nil
	case d.named(v):
		return d.yes[v], nil
	case x > 0:
		return nil, fmt.Errorf("%d has no name, and nothing is known of where it does not hold", v)
	}
	return d.meaning(v)
}

// meaning is where a variable without a name holds: where one of its clauses makes it.
func (d *dictionary) meaning(v int) ([]box, error) {
	if got, ok := d.known[v]; ok {
		return got, nil
	}
	if d.open[v] {
		return nil, fmt.Errorf("%d is defined by itself", v)
	}
	d.open[v] = true
	defer delete(d.open, v)
	var all []box
	for _, clause := range d.defined[v] {
		boxes, err := d.against(clause, v)
		if err != nil {
			return nil, err
		}
		if all = merged(append(all, boxes...)); len(all) > mostBoxes {
			return nil, tooMany{}
		}
	}
	d.known[v] = all
	return all, nil
}

// pickBox is the slot and value of a pick; false for what cannot be picked here.
func (w *world) pickBox(p constraints.Pick) (s slot, value int, lamp, ok bool) {
	switch p.Slot {
	case constraints.CameraSlot:
		s = camera
	case constraints.LensSlot:
		s = lens
	case constraints.BackdropSlot:
		s = backdrop
	default:
		role, part, _ := strings.Cut(string(p.Slot), ".")
		r, known := inventory.RoleByName(role)
		if !known || !slices.Contains(w.Roles, r) {
			return 0, 0, false, false
		}
		switch part {
		case "":
			return of(r, on), 1, false, true
		case "light":
			return of(r, flash), 1, p.Item != "flash", true
		}
		s = of(r, words[part])
	}
	value, ok = w.item(s, string(p.Item))
	return s, value, false, ok
}
