// Package explain turns a refutation into an argument: a tree of paragraphs that text,
// HTML and SVG walk in their own way. No renderer decides what is said.
package explain

import "falloff/model/source"

// Doc is an argument or a report: blocks in reading order.
type Doc struct{ Blocks []Block }

// Kind of a block.
type Kind int

const (
	Headline   Kind = iota // one sentence: what fails
	Quote                  // a line of the user's file that takes part, with its place
	Step                   // one line of the argument, causes first
	Conclusion             // the last line; begins "So"
	Weighed                // what was looked at, counted
	Help                   // one change that helps, already solved
	Note
)

// Block is one paragraph. Steps that a later line refers to carry a Number; Uses lists
// the numbers that the line rests on. A Step may hold Parts: the cases of a split.
type Block struct {
	Kind   Kind
	Text   string
	Place  source.Place // of a Quote
	Number int
	Uses   []int
	Detail string // of a Help: its cost and what it leads to
	Parts  []Block
}

// Add appends a block.
func (d *Doc) Add(b Block) { d.Blocks = append(d.Blocks, b) }
