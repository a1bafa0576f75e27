package constraints

import "falloff/inventory"

// Sources keeps what comes out of lights from one scene to the next.
type Sources map[sourceKey]Source

type sourceKey struct {
	head *inventory.Head
	mod  *inventory.Modifier
	grid *inventory.Grid
	gel  *inventory.Gel
	lamp bool
}

// source is SourceOf, worked out once.
func (b *Bench) source(h *inventory.Head, m *inventory.Modifier, g *inventory.Grid, gel *inventory.Gel, lamp bool) (Source, bool) {
	key := sourceKey{h, m, g, gel, lamp}
	if got, ok := b.Sources[key]; ok {
		return got, true
	}
	got, ok := b.SourceOf(h, m, g, gel, lamp)
	if ok && b.Sources != nil {
		b.Sources[key] = got
	}
	return got, ok
}
