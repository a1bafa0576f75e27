package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Limits on a file. They are far above any real studio or brief (a hire list of 1,000
// items is under 1 MB and 200,000 values) and bound time and memory on a hostile one.
const (
	maxBytes = 10 << 20
	maxMarks = 500_000 // colons, commas, dashes, brackets and lines
	maxNodes = 500_000 // values, each alias counted as what it stands for
	maxDepth = 64
)

// Read reads a file of at most 10 MB.
func Read(name string) (*File, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", name, reason(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("cannot read %s: it is a folder", name)
	}
	text, err := io.ReadAll(io.LimitReader(f, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", name, reason(err))
	}
	if len(text) > maxBytes {
		return nil, Error{At: Place{File: &File{Name: name}}, Msg: "the file is over the limit of 10 MB"}
	}
	return &File{Name: name, Text: text}, nil
}

// reason leaves out the operation and the name, which the caller words itself.
func reason(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// Parse reads the one YAML document of a file and checks everything that does not depend
// on what the file is for: size, encoding, depth, aliases, double keys. The error is an
// Error or Errors.
func Parse(f *File) (Node, error) {
	n, faults := parse(f)
	return n, faults.Err()
}

// parse returns a usable node beside errors that do not stop further reading.
func parse(f *File) (Node, Errors) {
	refuse := func(at Place, msg, hint string) (Node, Errors) {
		at.File = f
		return Node{}, Errors{{At: at, Msg: msg, Hint: hint}}
	}
	if len(f.Text) > maxBytes {
		return refuse(Place{}, "the file is over the limit of 10 MB", "")
	}
	if at, ok := badByte(f.Text); !ok {
		return refuse(at, "this is not UTF-8 text", "save the file as UTF-8")
	}
	if countMarks(f.Text) > maxMarks {
		return refuse(Place{}, fmt.Sprintf("the file holds more than %d keys, list items and lines", maxMarks), "")
	}
	dec := yaml.NewDecoder(bytes.NewReader(f.Text))
	doc, err := next(dec)
	switch {
	case errors.Is(err, io.EOF):
		return refuse(Place{}, "the file is empty", "")
	case err != nil:
		at, msg, hint := syntax(f, err)
		return refuse(at, msg, hint)
	case len(doc.Content) != 1 || isNull(doc.Content[0]):
		return refuse(Place{}, "the file is empty", "")
	}
	if second, err := next(dec); !errors.Is(err, io.EOF) {
		if err != nil {
			at, msg, hint := syntax(f, err)
			return refuse(at, msg, hint)
		}
		return refuse(Place{Line: second.Line, Col: second.Column}, "a second document begins here", "keep one document in a file")
	}
	root := Node{yaml: doc.Content[0], file: f}
	in := inspect(root)
	if in.halt != nil {
		return Node{}, Errors{*in.halt}
	}
	return root, in.faults
}

// next guards against a panic of the YAML library: whatever is in a file, the user gets
// an error with the name of the file.
func next(dec *yaml.Decoder) (doc *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("yaml: cannot be read (%v)", r)
		}
	}()
	doc = new(yaml.Node)
	err = dec.Decode(doc)
	return doc, err
}

func badByte(text []byte) (Place, bool) {
	if utf8.Valid(text) {
		return Place{}, true
	}
	line, col := 1, 1
	for len(text) > 0 {
		r, size := utf8.DecodeRune(text)
		switch {
		case r == utf8.RuneError && size == 1:
			return Place{Line: line, Col: col}, false
		case r == '\n':
			line, col = line+1, 1
		default:
			col++
		}
		text = text[size:]
	}
	return Place{Line: line, Col: col}, false
}

// countMarks counts what can begin a YAML value, so that a file of millions of them is
// refused before a tree is built of it.
func countMarks(text []byte) int {
	n := 0
	for _, c := range text {
		switch c {
		case '\n', '\r', ':', ',', '-', '?', '[', '{':
			n++
		}
	}
	return n
}

// What the YAML library says, and what that means to a photographer.
var plainWords = []struct{ library, words, hint string }{
	{"did not find expected ',' or '}'", "a { that opens here is not closed", "add the } or a missing comma"},
	{"did not find expected ',' or ']'", "a [ that opens here is not closed", "add the ] or a missing comma"},
	{"did not find expected key", "the indentation or a quote near here is out of place", "keys of one block begin in the same column"},
	{"found unexpected end of stream", "a quote that opens here is not closed", "add the closing quote"},
	{"could not find expected ':'", "a line near here is neither a key with a colon nor a list item", ""},
	{"mapping values are not allowed in this context", "there is a colon where none is expected",
		"look for a wrong indentation or a second colon; put text that holds a colon in quotes"},
	{"found character that cannot start any token", "a value begins with a character that YAML keeps for itself", "put the value in quotes"},
}

// syntax turns an error of the YAML library into a place and plain words.
func syntax(f *File, err error) (at Place, msg, hint string) {
	msg = strings.TrimPrefix(err.Error(), "yaml: ")
	if n, _ := fmt.Sscanf(msg, "line %d:", &at.Line); n == 1 {
		_, msg, _ = strings.Cut(msg, ": ")
	}
	// The library's parser counts lines from 0 and its scanner from 1, and either leaves
	// out line 0.
	if strings.HasPrefix(msg, "did not find expected") || at.Line == 0 {
		at.Line++
	}
	at.Line, at.Col = min(at.Line, bytes.Count(f.Text, []byte("\n"))+1), 1
	words := msg
	for _, p := range plainWords {
		if p.library == msg {
			words, hint = p.words, p.hint
		}
	}
	if tabbed(f.Text) {
		hint = "indent with spaces, not tabs"
	}
	switch {
	case strings.HasPrefix(msg, "unknown anchor"), strings.HasPrefix(msg, "exceeded max depth"), strings.HasPrefix(msg, "control characters"):
		at = Place{} // of the whole file, as far as the library says
	}
	return at, "this is not YAML: " + printable(words), hint
}

// tabbed reports whether a line is indented with a tab.
func tabbed(text []byte) bool {
	for line := range bytes.Lines(text) {
		if bytes.HasPrefix(bytes.TrimLeft(line, " "), []byte("\t")) {
			return true
		}
	}
	return false
}
