package solver

import (
	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// candidate is one choice of gear with a first guess at the settings, as the lattice
// proposes it.
type candidate struct {
	body   *inventory.Camera
	lens   *inventory.Lens
	paper  *inventory.Backdrop
	iBody  int
	iLens  int
	iPaper int

	frame, depth           int // indices into the lattice's lists
	aperture, shutter, iso int
	side                   float64 // -1: the key stands to camera left
	rigs                   [inventory.NumRoles]*rig
	active                 mask // goals that it must meet: all musts, and the wishes it promises
}

// rig is the gear of one light, with its indices.
type rig struct {
	role  inventory.Role
	head  *inventory.Head
	mod   *inventory.Modifier
	grid  *inventory.Grid
	gel   *inventory.Gel
	stand *inventory.Stand
	boom  *inventory.Boom
	lamp  bool

	iHead, iMod, iGrid, iGel, iStand, iBoom int
	source                                  constraints.Source
}

// read takes the candidate out of the last model.
func (l *lattice) read() *candidate {
	chosen := func(lits []sat.Lit) int {
		for i, x := range lits {
			if l.p.Value(x) {
				return i
			}
		}
		return 0
	}
	sh := l.shelf
	c := &candidate{iBody: chosen(l.bodies), iLens: chosen(l.lenses), iPaper: chosen(l.papers),
		frame: l.frame.Value(), depth: l.depth.Value(), aperture: l.aperture.Value(), shutter: l.shutter.Value(), iso: l.iso.Value(), side: 1}
	c.body, c.lens, c.paper = sh.Cameras[c.iBody], sh.Lenses[c.iLens], sh.Backdrops[c.iPaper]
	if l.p.Value(l.left) {
		c.side = -1
	}
	for i := range l.goals {
		if l.consider.has(i) && l.p.Value(l.sel[i]) {
			c.active |= 1 << i
		}
	}
	for _, r := range l.allowed {
		v := l.roles[r]
		if !l.p.Value(v.on) {
			continue
		}
		g := &rig{role: r, iHead: chosen(v.heads), iMod: chosen(v.mods), iGrid: chosen(v.grids), iGel: chosen(v.gels),
			iStand: chosen(v.stands), iBoom: chosen(v.booms), lamp: !l.p.Value(v.flash)}
		g.head, g.stand = sh.Heads[g.iHead], sh.Stands[g.iStand]
		g.mod, g.grid, g.gel, g.boom = at(sh.Modifiers, g.iMod), at(sh.Grids, g.iGrid), at(sh.Gels, g.iGel), at(sh.Booms, g.iBoom)
		g.source = l.source(g)
		c.rigs[r] = g
	}
	return c
}

// gearKey names a candidate's gear and goals, whatever its settings.
type gearKey struct {
	body, lens, paper int
	side              float64
	active            mask
	rigs              [inventory.NumRoles]sourceKey
}

func (l *lattice) gearKey(c *candidate) gearKey {
	k := gearKey{body: c.iBody, lens: c.iLens, paper: c.iPaper, side: c.side, active: c.active}
	for r, g := range c.rigs {
		if g != nil {
			k.rigs[r] = sourceKey{g.iHead + 1, g.iMod, g.iGrid, g.iGel, g.lamp}
		}
	}
	return k
}

type sourceKey struct {
	head, mod, grid, gel int
	lamp                 bool
}

// source works out a rig's light once.
func (l *lattice) source(g *rig) constraints.Source {
	key := sourceKey{g.iHead, g.iMod, g.iGrid, g.iGel, g.lamp}
	if got, ok := l.sources[key]; ok {
		return got
	}
	src, _ := l.bench.SourceOf(g.head, g.mod, g.grid, g.gel, g.lamp)
	l.sources[key] = src
	return src
}

// site is where a rig's region is looked up, with as much known as the sight says.
func (l *lattice) site(c *candidate, g *rig, goals mask, how sight) site {
	s := site{role: g.role, emitter: constraints.EmitterOf(g.head, g.mod, g.grid), body: constraints.BodyOf(g.head, g.mod),
		boom: g.boom != nil, depth: l.depths[c.depth]}
	if how.bounce {
		s.paper = c.paper.ID
	}
	if how.framed {
		s.camera, s.lens, s.frame = c.body.ID, c.lens.ID, l.frames[c.frame]
	} else if l.sees(g.role, goals) {
		s.frames = l.framings(goals)
	}
	return s
}

// sees reports whether some goal of the set looks at a light against the frame.
func (l *lattice) sees(r inventory.Role, goals mask) bool {
	for i, g := range l.goals {
		if goals.has(i) && l.posed[r].has(i) && g.Req.Reads()&constraints.OnFrame != 0 {
			return true
		}
	}
	return false
}

// sideOf is the side that a rig is bound to: only the key's is chosen.
func (c *candidate) sideOf(r inventory.Role) float64 {
	if r == inventory.Key {
		return c.side
	}
	return 0
}

// gear is the literals that name a rig's modifier and grid (and head where it is bare,
// for then the head is the face).
func (l *lattice) gear(g *rig) []sat.Lit {
	v := l.roles[g.role]
	out := []sat.Lit{v.mods[g.iMod], v.grids[g.iGrid]}
	if g.mod == nil {
		out = append(out, v.heads[g.iHead])
	}
	return out
}

func not(lits ...sat.Lit) []sat.Lit {
	out := make([]sat.Lit, len(lits))
	for i, x := range lits {
		out[i] = x.Not()
	}
	return out
}
