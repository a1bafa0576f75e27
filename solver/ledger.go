package solver

import (
	"fmt"
	"iter"
	"strings"

	"falloff/model/light"
)

// ledger is what a proof on paper needs to know of lemmas beside their clauses. It is kept
// only where a proof is asked for.
type ledger struct {
	note  string         // of the lemma that is about to be learned
	notes map[int]string // by clause
	cells map[string]int // ways to cut a region, by number
}

func newLedger() *ledger { return &ledger{notes: map[int]string{}, cells: map[string]int{}} }

// reach is how far a lemma was widened: sides of the key, backdrop distances and backdrops.
type reach struct {
	sides       []float64
	first, last int
	papers      []int
}

// reached lists the candidates like one that the last lemma covers, where its refutation is to
// be told; none otherwise. What is told must be true of all of them.
func (l *lattice) reached(c *candidate) iter.Seq[*candidate] {
	return func(yield func(*candidate) bool) {
		if !l.keep {
			return
		}
		for _, side := range l.reach.sides {
			for depth := l.reach.first; depth <= l.reach.last; depth++ {
				for _, paper := range l.reach.papers {
					d := *c
					d.side, d.depth, d.iPaper, d.paper = side, depth, paper, l.shelf.Backdrops[paper]
					if !yield(&d) {
						return
					}
				}
			}
		}
	}
}

// derive notes what the lemma rests on that is about to be learned: whether it looks at
// bounce, and how the regions were cut that it covers. Regions that were not refined go
// without saying.
func (l *lattice) derive(c *candidate, goals, roles mask, how sight) {
	if l.ledger == nil {
		return
	}
	var words []string
	papers := l.reach.papers[:1]
	if how.bounce {
		words, papers = append(words, "bounce"), l.reach.papers
	}
	for depth := l.reach.first; depth <= l.reach.last; depth++ {
		for _, paper := range papers {
			d := *c
			d.depth, d.iPaper, d.paper = depth, paper, l.shelf.Backdrops[paper]
			for r, g := range d.rigs {
				if g == nil || !roles.has(r) {
					continue
				}
				re := l.regions[l.site(&d, g, goals, how)]
				if re != nil && len(re.halved) > 0 {
					words = append(words, fmt.Sprintf("%s %d %s %d", g.role, depth, d.paper.ID, l.cellsOf(re)))
				}
			}
		}
	}
	l.ledger.note = strings.Join(words, "; ")
}

// noted keeps the note of the clause that is added.
func (l *lattice) noted(add func()) {
	_, n, _ := l.p.Stats()
	add()
	if _, more, _ := l.p.Stats(); l.ledger != nil && more > n {
		l.ledger.notes[n] = l.ledger.note
	}
}

// cellsOf numbers the way in which a region is cut: of each box of the grid that was halved
// its place in the grid and, in the order of a walk through the halves, 1 for a box that was
// halved again and 0 for a cell.
func (l *lattice) cellsOf(re *region) int {
	var words []string
	var walk func(box light.PoseBox) string
	walk = func(box light.PoseBox) string {
		if !re.halved[box] {
			return "0"
		}
		h := halves(box)
		return "1" + walk(h[0]) + walk(h[1])
	}
	n := 0
	l.eachBox(re, func(box light.PoseBox) {
		if re.halved[box] {
			words = append(words, fmt.Sprintf("%d:%s", n, walk(box)))
		}
		n++
	})
	text := strings.Join(words, " ")
	id, ok := l.ledger.cells[text]
	if !ok {
		id = len(l.ledger.cells) + 1
		l.ledger.cells[text] = id
	}
	return id
}
