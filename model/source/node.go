package source

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"
)

// Kind is the shape of a value in a file.
type Kind int

const (
	Absent  Kind = iota // the zero Node: the key was not written
	Scalar              // a single value
	Mapping             // keys and values
	List
	Null // a key without a value
)

func (k Kind) String() string {
	return [...]string{"absent", "a single value", "a set of keys and values", "a list", "no value"}[k]
}

// Node is a value as it stands in a file, not yet read into anything. A field of this
// type keeps its value for later: a goal's parameters wait until its kind is known.
type Node struct {
	yaml *yaml.Node
	file *File
	path *step
}

// A step is one link of the keys that lead to a value, kept as a list so that a path is
// only written out when there is an error.
type step struct {
	up    *step
	key   string
	index int // -1 for a key
}

func (s *step) String() string {
	var parts []string
	for ; s != nil; s = s.up {
		switch {
		case s.index >= 0:
			parts = append(parts, "["+strconv.Itoa(s.index)+"]")
		case s.up == nil:
			parts = append(parts, s.key)
		default:
			parts = append(parts, "."+s.key)
		}
	}
	var b strings.Builder
	for i := len(parts) - 1; i >= 0; i-- {
		b.WriteString(parts[i])
	}
	return b.String()
}

// Kind returns the shape of the value.
func (n Node) Kind() Kind {
	y := n.target()
	switch {
	case y == nil:
		return Absent
	case y.Kind == yaml.MappingNode:
		return Mapping
	case y.Kind == yaml.SequenceNode:
		return List
	case isNull(y):
		return Null
	}
	return Scalar
}

// target follows an alias.
func (n Node) target() *yaml.Node {
	if n.yaml != nil && n.yaml.Kind == yaml.AliasNode {
		return n.yaml.Alias
	}
	return n.yaml
}

// Text returns the text of a single value, and nothing for the other shapes. Characters that
// a terminal would act on are replaced: a name is printed wherever its thing is spoken of.
func (n Node) Text() string {
	if n.Kind() == Scalar {
		return strings.Map(tame, n.target().Value)
	}
	return ""
}

// tame replaces a character that moves the cursor, changes colours or turns the direction of
// what follows, as "\u001b[31m" in quotes does.
func tame(r rune) rune {
	switch {
	case r == '\n' || r == '\t':
		return r
	case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r):
		return '?'
	}
	return r
}

// Quoted reports whether the value is text in quotes.
func (n Node) Quoted() bool {
	return n.Kind() == Scalar && n.target().Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0
}

// Place returns where the value begins.
func (n Node) Place() Place {
	if n.yaml == nil {
		return Place{}
	}
	return Place{n.file, n.yaml.Line, n.yaml.Column}
}

// Path returns the keys that lead to the value, "goals[2].rim.level".
func (n Node) Path() string { return n.path.String() }

// Pair is one key of a mapping and its value.
type Pair struct {
	Key   string
	At    Place // of the key
	Value Node
}

// Pairs returns the keys and values of a mapping in the order of the file, save for keys
// that are no single value or a merge key, which are faults of the file.
func (n Node) Pairs() []Pair {
	if n.Kind() != Mapping {
		return nil
	}
	content := n.target().Content
	pairs := make([]Pair, 0, len(content)/2)
	for i := 0; i+1 < len(content); i += 2 {
		key := Node{yaml: content[i], file: n.file}
		if t := key.target(); t.Kind != yaml.ScalarNode || t.ShortTag() == "!!merge" {
			continue
		}
		name := key.keyText()
		pairs = append(pairs, Pair{name, key.Place(), n.child(content[i+1], name, -1)})
	}
	return pairs
}

// Items returns the values of a list.
func (n Node) Items() []Node {
	if n.Kind() != List {
		return nil
	}
	content := n.target().Content
	items := make([]Node, len(content))
	for i, c := range content {
		items[i] = n.child(c, "", i)
	}
	return items
}

// Get returns the value of a key of a mapping; it is Absent when the key is not there.
func (n Node) Get(key string) Node {
	for _, p := range n.Pairs() {
		if p.Key == key {
			return p.Value
		}
	}
	return Node{}
}

func (n Node) child(y *yaml.Node, key string, index int) Node {
	return Node{y, n.file, &step{n.path, key, index}}
}

// keyText is the text of a key, nothing if it is not a single value.
func (n Node) keyText() string {
	if y := n.target(); y != nil && y.Kind == yaml.ScalarNode {
		return y.Value
	}
	return ""
}

// Errorf returns an error at the value, with its path.
func (n Node) Errorf(format string, args ...any) Error {
	return Error{At: n.Place(), Path: n.Path(), Msg: fmt.Sprintf(format, args...)}
}

func isNull(y *yaml.Node) bool {
	return y.Kind == yaml.ScalarNode && y.ShortTag() == "!!null" && y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
}

// inspection is the one walk over a whole document that bounds everything after it.
type inspection struct {
	anchored map[*yaml.Node]extent
	open     map[*yaml.Node]bool
	faults   Errors
	halt     *Error // a fault after which the document must not be read at all
}

// extent is how many values a node stands for, aliases spread out, and how deep they nest.
type extent struct{ size, deep int }

func (x *extent) add(part extent) {
	x.size, x.deep = x.size+part.size, max(x.deep, part.deep)
}

// inspect refuses a document that is too large or too deep once its aliases are spread
// out, and finds keys that are written twice. It sees each node once.
func inspect(root Node) *inspection {
	in := &inspection{anchored: map[*yaml.Node]extent{}, open: map[*yaml.Node]bool{}}
	in.walk(root, 1)
	return in
}

func (in *inspection) walk(n Node, depth int) extent {
	y := n.yaml
	switch {
	case in.halt != nil:
		return extent{}
	case y.Kind == yaml.AliasNode:
		return in.alias(n, depth)
	case depth > maxDepth:
		in.stop(n, "the nesting is deeper than %d levels", maxDepth)
		return extent{}
	case y.Style&yaml.TaggedStyle != 0:
		in.fault(n.Errorf("the tag %s has no meaning here", quote(y.Tag)), "remove it")
	}
	in.open[y] = true
	var x extent
	switch y.Kind {
	case yaml.MappingNode:
		x = in.mapping(n, depth)
	case yaml.SequenceNode:
		for i, c := range y.Content {
			x.add(in.walk(n.child(c, "", i), depth+1))
			in.bound(n, x)
		}
	}
	delete(in.open, y)
	x.size, x.deep = x.size+1, x.deep+1
	in.bound(n, x)
	if y.Anchor != "" {
		in.anchored[y] = x
	}
	return x
}

func (in *inspection) alias(n Node, depth int) extent {
	t := n.yaml.Alias
	if t == nil || in.open[t] {
		in.stop(n, "the alias *%s stands inside what it names", printable(n.yaml.Value))
		return extent{}
	}
	x := in.anchored[t]
	if depth+x.deep-1 > maxDepth {
		in.stop(n, "the nesting is deeper than %d levels", maxDepth)
	}
	return x
}

func (in *inspection) mapping(n Node, depth int) (x extent) {
	first := map[string]Place{}
	for i := 0; i+1 < len(n.yaml.Content) && in.halt == nil; i += 2 {
		key := Node{n.yaml.Content[i], n.file, n.path}
		name := key.keyText()
		value := n.child(n.yaml.Content[i+1], name, -1)
		at, twice := first[name]
		switch t := key.target(); {
		case t.Kind != yaml.ScalarNode:
			in.fault(key.Errorf("a key is a single value"), "write text before the colon")
		case t.ShortTag() == "!!merge":
			in.fault(key.Errorf("merge keys (<<) are not used here"), "repeat the keys instead")
		case twice:
			e := value.Errorf("this key is written twice")
			e.At, e.Also = key.Place(), []Place{at}
			in.fault(e, "")
		default:
			first[name] = key.Place()
		}
		if key.yaml.Kind != yaml.AliasNode {
			x.add(in.walk(key, depth+1))
		}
		x.add(in.walk(value, depth+1))
		in.bound(n, x)
	}
	return x
}

func (in *inspection) bound(n Node, x extent) {
	if x.size > maxNodes {
		in.stop(n, "the file stands for more than %d values once its aliases are spread out", maxNodes)
	}
}

// stop keeps the first fault; what follows from it says nothing new.
func (in *inspection) stop(n Node, format string, args ...any) {
	if in.halt == nil {
		e := n.Errorf(format, args...)
		e.Path = "" // 64 keys would hide the message
		in.halt = &e
	}
}

func (in *inspection) fault(e Error, hint string) {
	e.Hint = hint
	in.faults.add(e)
}

// quote shortens what a user wrote and keeps control characters off the terminal.
func quote(text string) string {
	const room = 40
	if r := []rune(text); len(r) > room {
		text = string(r[:room]) + "..."
	}
	return strconv.Quote(text)
}

// printable replaces what a terminal would act on, and shortens.
func printable(text string) string {
	const room = 200
	r := []rune(text)
	if len(r) > room {
		r = append(r[:room], '.', '.', '.')
	}
	for i, c := range r {
		if !unicode.IsPrint(c) {
			r[i] = '?'
		}
	}
	return string(r)
}
