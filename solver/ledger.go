package solver

import (
	"fmt"
	"iter"
	"slices"
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

// reach is how far a lemma was widened: sides of the key, backdrop distances and backdrops;
// and framings, where it looks at them.
type reach struct {
	sides             []float64
	first, last       int
	papers            []int
	tightest, loosest int
}

// reached lists the candidates like one that the last lemma covers, where its refutation is to
// be told; none otherwise. What is told must be true of all of them.
func (l *lattice) reached(c *candidate) iter.Seq[*candidate] {
	if !l.keep {
		return func(func(*candidate) bool) {}
	}
	return l.covered(c)
}

// covered lists the candidates like one as far as the last lemma was widened.
func (l *lattice) covered(c *candidate) iter.Seq[*candidate] {
	at := l.reach
	return func(yield func(*candidate) bool) {
		for frame := at.tightest; frame <= at.loosest; frame++ {
			for _, side := range at.sides {
				for depth := at.first; depth <= at.last; depth++ {
					for _, paper := range at.papers {
						d := *c
						d.frame, d.side, d.depth, d.iPaper, d.paper = frame, side, depth, paper, l.shelf.Backdrops[paper]
						if !yield(&d) {
							return
						}
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
	if how.border {
		words = append(words, "border")
	}
	seen := map[string]bool{}
	for d := range l.covered(c) {
		if !slices.Contains(papers, d.iPaper) {
			continue
		}
		for r, g := range d.rigs {
			if g == nil || !roles.has(r) {
				continue
			}
			re := l.regions[l.site(d, g, goals, how)]
			if re == nil || len(re.halved) == 0 {
				continue
			}
			word := fmt.Sprintf("%s %d %s %d", g.role, d.depth, d.paper.ID, l.cellsOf(re))
			if how.framed {
				word += fmt.Sprintf(" %d", d.frame)
			}
			if !seen[word] {
				seen[word] = true
				words = append(words, word)
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
