package inventory

import (
	"strings"

	"falloff/model/colour"
	"falloff/model/source"
)

// Default is a figure that stands in for one that a studio file does not write.
type Default struct {
	Key, Value string // as in a file: "flash.range", "6 stops"
	Usual      string // what there is, empty where nothing is said
	Source     string
}

// Kind is one generic item, or what every item of a class has where nothing is written (its
// Like is then empty).
type Kind struct {
	Class, Like, Name string
	Defaults          []Default
}

// KitDefaults lists the generic kit in the order of the data: every kind whose class, id or
// name contains a word, or all of them if it is empty.
func KitDefaults(word string) (out []Kind) {
	g := generics()
	word = strings.ToLower(strings.TrimSpace(word))
	for _, part := range g.node.Pairs() {
		if part.Key == "why" {
			continue
		}
		class := strings.TrimSuffix(part.Key, "s")
		for _, item := range part.Value.Items() {
			k := Kind{Class: class, Like: item.Get("id").Text(), Name: item.Get("name").Text()}
			g.figures(&k, part.Key, "", item)
			if k.Like == anyItem {
				k.Like, k.Name = "", "every "+class+", where nothing is written"
			}
			if k.matches(word) {
				out = append(out, k)
			}
		}
		if class == "gel" {
			out = append(out, gelKinds(word)...)
		}
	}
	return out
}

func (k *Kind) matches(word string) bool {
	for _, text := range []string{k.Class, k.Class + "s", k.Like, k.Name} {
		if strings.Contains(strings.ToLower(text), word) {
			return true
		}
	}
	return false
}

// figures adds what a mapping of the data writes, under a prefix of its keys.
func (g *generic) figures(k *Kind, class, prefix string, n source.Node) {
	for _, p := range n.Pairs() {
		key := prefix + p.Key
		switch {
		case key == "id" || key == "name":
		case p.Value.Kind() == source.Mapping && key != "beam":
			g.figures(k, class, key+".", p.Value)
		default:
			why, ok := g.Why[k.Like][key]
			if !ok {
				why = g.Why[class][key]
			}
			k.Defaults = append(k.Defaults, Default{key, figure(p.Value), why.Usual, why.Source})
		}
	}
}

// figure writes a value as it stands in the data.
func figure(n source.Node) string {
	var parts []string
	switch n.Kind() {
	case source.List:
		for _, item := range n.Items() {
			parts = append(parts, figure(item))
		}
		return strings.Join(parts, ", ")
	case source.Mapping:
		for _, p := range n.Pairs() {
			parts = append(parts, p.Key+" "+figure(p.Value))
		}
		return strings.Join(parts, "; ")
	}
	return n.Text()
}

// gelKinds are the gels of the catalogue, which "standard" names.
func gelKinds(word string) (out []Kind) {
	over, err := colour.Source(gelLight)
	if err != nil {
		panic(err) // our own constant
	}
	for _, gel := range colour.GenericGels() {
		filter := gel.Gel()
		loss := colour.GelStops(&over, &filter)
		k := Kind{Class: "gel", Like: gel.Name, Name: "standard: " + gel.Name, Defaults: []Default{
			{"curve", gel.Curve, loss.String() + " over " + gelLight.String(), "a curve of our own, in the usual range of its kind, from memory"}}}
		if k.matches(word) {
			out = append(out, k)
		}
	}
	return out
}
