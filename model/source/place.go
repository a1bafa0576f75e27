// Package source remembers where in a user's file each value came from, and reads
// YAML strictly: an unknown key, a wrong unit or an absurd size is an error with a place.
package source

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
)

// File is a text that values are read from.
type File struct {
	Name string
	Text []byte
}

// Place is a point in a file; lines and columns count from 1. The zero Place is nowhere
// (a value that the program itself supplied).
type Place struct {
	File      *File
	Line, Col int
}

func (p Place) Known() bool { return p.File != nil && p.Line > 0 }

func (p Place) String() string {
	if !p.Known() {
		return "(built in)"
	}
	return fmt.Sprintf("%s:%d:%d", p.File.Name, p.Line, p.Col)
}

// Places is embedded in a struct that is read from YAML: it keeps where the struct
// itself and each of its keys stand. Decode fills it.
type Places struct {
	self Place
	keys map[string]Place
}

// Place returns where the struct begins.
func (p *Places) Place() Place { return p.self }

// PlaceOf returns where the value of a key stands, or where the struct begins if the
// key was not written.
func (p *Places) PlaceOf(key string) Place {
	if at, ok := p.keys[key]; ok {
		return at
	}
	return p.self
}

// Wrote reports whether the key stood in the file.
func (p *Places) Wrote(key string) bool { _, ok := p.keys[key]; return ok }

// MovedTo is for a struct that another file filled in: whatever is wrong with it is to be
// mended at that place of the user's own.
func (p Places) MovedTo(at Place) Places {
	moved := Places{self: at, keys: make(map[string]Place, len(p.keys))}
	for key := range p.keys {
		moved.keys[key] = at
	}
	return moved
}

// Snippet returns the line of the file and below it a caret under the column, without a
// line break at the end; nothing for a place that is not in the file. A long line is cut
// to what stands around the column.
func (p Place) Snippet() string {
	if !p.Known() {
		return ""
	}
	text, ok := lineOf(p.File.Text, p.Line)
	if !ok {
		return ""
	}
	const before, width = 60, 100
	line := []rune(text)
	col := min(max(p.Col, 1), len(line)+1) - 1
	start, lead := 0, ""
	if len(line) > width && col > before {
		start, lead = col-before, "..."
	}
	tail := ""
	end := len(line)
	if end > start+width {
		end, tail = start+width, "..."
	}
	var shown, under strings.Builder
	shown.WriteString(lead)
	under.WriteString(strings.Repeat(" ", len(lead)))
	for i, r := range line[start:end] {
		if r != '\t' && !unicode.IsPrint(r) {
			r = '?' // a terminal would act on it
		}
		shown.WriteRune(r)
		if start+i < col {
			if r != '\t' {
				r = ' '
			}
			under.WriteRune(r)
		}
	}
	return shown.String() + tail + "\n" + under.String() + "^"
}

func lineOf(text []byte, n int) (string, bool) {
	for ; n > 1; n-- {
		i := bytes.IndexByte(text, '\n')
		if i < 0 {
			return "", false
		}
		text = text[i+1:]
	}
	if i := bytes.IndexByte(text, '\n'); i >= 0 {
		text = text[:i]
	}
	return strings.TrimSuffix(string(text), "\r"), true
}
