package verify

import "slices"

// refuter is a small search with clause learning (Marques-Silva and Sakallah, "GRASP", IEEE
// Transactions on Computers 48, 1999): propagate, learn from each contradiction the first
// point through which all its reasons go, go back, and go on. Each learned clause follows
// from the others by propagation alone.
type refuter struct {
	clauses [][]int
	watch   [][]int // by literal: clauses that watch it; the first two literals are watched
	value   []int8  // by variable: 1 true, -1 false
	level   []int
	reason  []int // clause that forced a variable; -1 for a choice
	trail   []int
	starts  []int // trail length where each level began
	head    int
	heat    []float64 // of variables: those of late contradictions are tried first
	step    float64
}

// refute reports whether clauses contradict each other, and how many contradictions it met.
func refute(vars int, clauses [][]int) (refuted bool, met int) {
	r := &refuter{watch: make([][]int, 2*vars+2), value: make([]int8, vars+1), level: make([]int, vars+1),
		reason: make([]int, vars+1), heat: make([]float64, vars+1), step: 1}
	var units []int
	for _, c := range clauses {
		switch c = tidy(c); {
		case c == nil:
		case len(c) == 0:
			return true, 0
		case len(c) == 1:
			units = append(units, c[0])
		default:
			r.attach(c)
		}
	}
	for _, x := range units {
		if r.truth(x) < 0 {
			return true, 0
		} else if r.truth(x) == 0 {
			r.set(x, -1)
		}
	}
	for {
		bad := r.propagate()
		if bad < 0 {
			if !r.choose() {
				return false, met
			}
			continue
		}
		met++
		if len(r.starts) == 0 {
			return true, met
		}
		learned, back := r.learn(bad)
		r.undo(back)
		reason := -1
		if len(learned) > 1 {
			reason = r.attach(learned)
		}
		r.set(learned[0], reason)
	}
}

// tidy drops repeats; nil for a clause that always holds.
func tidy(c []int) []int {
	out := []int{}
	for _, x := range c {
		if slices.Contains(c, -x) {
			return nil
		}
		if !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	return out
}

func place(lit int) int {
	if lit < 0 {
		return -2*lit + 1
	}
	return 2 * lit
}

func (r *refuter) truth(lit int) int8 {
	if lit < 0 {
		return -r.value[-lit]
	}
	return r.value[lit]
}

// attach keeps a clause of two literals or more and watches the first two.
func (r *refuter) attach(c []int) int {
	n := len(r.clauses)
	r.clauses = append(r.clauses, c)
	r.watch[place(c[0])] = append(r.watch[place(c[0])], n)
	r.watch[place(c[1])] = append(r.watch[place(c[1])], n)
	return n
}

func (r *refuter) set(lit, reason int) {
	v, x := lit, int8(1)
	if lit < 0 {
		v, x = -lit, -1
	}
	r.value[v], r.level[v], r.reason[v] = x, len(r.starts), reason
	r.trail = append(r.trail, lit)
}

// propagate draws all conclusions; the number of a clause that is false, or -1.
func (r *refuter) propagate() int {
	for ; r.head < len(r.trail); r.head++ {
		gone := -r.trail[r.head]
		list := r.watch[place(gone)]
		kept := list[:0]
		for i, n := range list {
			c := r.clauses[n]
			if c[0] == gone {
				c[0], c[1] = c[1], c[0]
			}
			if r.truth(c[0]) > 0 {
				kept = append(kept, n)
				continue
			}
			if k := slices.IndexFunc(c[2:], func(x int) bool { return r.truth(x) >= 0 }); k >= 0 {
				c[1], c[k+2] = c[k+2], c[1]
				r.watch[place(c[1])] = append(r.watch[place(c[1])], n)
				continue
			}
			kept = append(kept, n)
			if r.truth(c[0]) < 0 {
				r.watch[place(gone)] = append(kept, list[i+1:]...)
				return n
			}
			r.set(c[0], n)
		}
		r.watch[place(gone)] = kept
	}
	return -1
}

// choose sets the hottest open variable false; false if none is open.
func (r *refuter) choose() bool {
	best := 0
	for v := 1; v < len(r.value); v++ {
		if r.value[v] == 0 && (best == 0 || r.heat[v] > r.heat[best]) {
			best = v
		}
	}
	if best == 0 {
		return false
	}
	r.starts = append(r.starts, len(r.trail))
	r.set(-best, -1)
	return true
}

// learn derives a clause from a false one: its first literal is the one point of this level
// through which all reasons go; back is the level at which it forces that point.
func (r *refuter) learn(bad int) (learned []int, back int) {
	seen := make([]bool, len(r.value))
	learned = []int{0}
	now, open, at := len(r.starts), 0, len(r.trail)-1
	visit := func(c []int, but int) {
		for _, x := range c {
			v := max(x, -x)
			if x == but || seen[v] || r.level[v] == 0 {
				continue
			}
			seen[v] = true
			r.heat[v] += r.step
			if r.level[v] == now {
				open++
			} else {
				learned = append(learned, x)
			}
		}
	}
	visit(r.clauses[bad], 0)
	for {
		for !seen[max(r.trail[at], -r.trail[at])] {
			at--
		}
		lit := r.trail[at]
		at--
		if open--; open == 0 {
			learned[0] = -lit
			break
		}
		visit(r.clauses[r.reason[max(lit, -lit)]], lit)
	}
	r.step *= 1.05
	if r.step > 1e100 {
		for v := range r.heat {
			r.heat[v] *= 1e-100
		}
		r.step *= 1e-100
	}
	for i := 1; i < len(learned); i++ { // the second literal is of the level to go back to
		if l := r.level[max(learned[i], -learned[i])]; l > back {
			back = l
			learned[1], learned[i] = learned[i], learned[1]
		}
	}
	return learned, back
}

func (r *refuter) undo(level int) {
	from := r.starts[level]
	for _, lit := range r.trail[from:] {
		r.value[max(lit, -lit)] = 0
	}
	r.trail, r.starts = r.trail[:from], r.starts[:level]
	r.head = min(r.head, from)
}
