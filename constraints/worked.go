package constraints

import (
	"falloff/inventory"
	"falloff/model/light"
)

// Worked keeps what comes out of lights, and what they do at exact places, from one scene of
// a bench to the next.
type Worked struct {
	sources map[sourceKey]Source
	reaches map[placeKey]*Response
}

// NewWorked is one that keeps nothing yet.
func NewWorked() *Worked {
	return &Worked{map[sourceKey]Source{}, map[placeKey]*Response{}}
}

type sourceKey struct {
	head *inventory.Head
	mod  *inventory.Modifier
	grid *inventory.Grid
	gel  *inventory.Gel
	lamp bool
}

// placeKey is all that a response rests on where there are no cards.
type placeKey struct {
	body         *inventory.Camera
	lens         *inventory.Lens
	paper        *inventory.Backdrop
	frame, depth float64
	role         inventory.Role
	emitter      light.Emitter
	box          light.PoseBox
	feather      float64
}

// source is SourceOf, worked out once.
func (b *Bench) source(h *inventory.Head, m *inventory.Modifier, g *inventory.Grid, gel *inventory.Gel, lamp bool) (Source, bool) {
	if b.Worked == nil {
		return b.SourceOf(h, m, g, gel, lamp)
	}
	key := sourceKey{h, m, g, gel, lamp}
	if got, ok := b.Worked.sources[key]; ok {
		return got, true
	}
	got, ok := b.SourceOf(h, m, g, gel, lamp)
	if ok {
		b.Worked.sources[key] = got
	}
	return got, ok
}

// reach is the response of a light at an exact place of a scene, worked out once.
func (b *Bench) reach(sc *Scene, role inventory.Role, e light.Emitter, box light.PoseBox, feather float64) *Response {
	if b.Worked == nil || sc.Cards > 0 {
		return sc.layout.respondExact(role, e, box, feather)
	}
	key := placeKey{sc.Body, sc.Lens, sc.Backdrop, sc.Frame.Lo, sc.Depth.Lo, role, e, box, feather}
	if got, ok := b.Worked.reaches[key]; ok {
		return got
	}
	got := sc.layout.respondExact(role, e, box, feather)
	b.Worked.reaches[key] = got
	return got
}
