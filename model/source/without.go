package source

import (
	"slices"

	"gopkg.in/yaml.v3"
)

// Without returns a mapping without some of its keys, everything else in its place; other
// shapes come back as they are.
func (n Node) Without(keys ...string) Node {
	if n.Kind() != Mapping {
		return n
	}
	y := *n.target()
	y.Content = nil
	for i := 0; i+1 < len(n.target().Content); i += 2 {
		key, value := n.target().Content[i], n.target().Content[i+1]
		if !slices.Contains(keys, Node{yaml: key, file: n.file}.keyText()) {
			y.Content = append(y.Content, key, value)
		}
	}
	y.Anchor, y.Alias = "", (*yaml.Node)(nil)
	y.Line, y.Column = n.yaml.Line, n.yaml.Column
	return Node{&y, n.file, n.path}
}
