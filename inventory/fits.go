package inventory

import "slices"

// Takes reports whether a lens goes on a body.
func (c *Camera) Takes(l *Lens) bool { return c.Mount == l.Mount }

// HeadTakes reports whether a head can be used with a modifier; a nil modifier asks
// whether it can be used bare. A lamp over the modifier's limit does not fit, because a
// head's lamp cannot be promised to stay off.
func HeadTakes(h *Head, m *Modifier) bool {
	if m == nil {
		return h.Bare
	}
	return slices.Contains(m.Fits, h.Mount) && !tooHot(h, m)
}

func tooHot(h *Head, m *Modifier) bool {
	return h.Lamp != nil && m.MaxLamp > 0 && h.Lamp.Watts > m.MaxLamp
}

// ModTakesGrid reports whether a grid sits on a modifier; a nil grid, no grid, always
// does, and nothing sits on a bare head.
func ModTakesGrid(m *Modifier, g *Grid) bool {
	return g == nil || m != nil && slices.Contains(g.Fits, m.ID)
}

// HeadTakesGel reports whether a gel can colour a head's light in a modifier (nil: bare,
// where the gel goes round the tube); a nil gel, no gel, always can.
func HeadTakesGel(h *Head, m *Modifier, g *Gel) bool {
	if g == nil {
		return true
	}
	return (m == nil || m.GelAt != GelNowhere) && g.fitsMount(h.Mount)
}

func (g *Gel) fitsMount(mount string) bool {
	return len(g.Fits) == 0 || slices.Contains(g.Fits, mount)
}

// Where a modifier takes a gel.
const (
	GelFront   = "front" // over the face of a reflector
	GelTube    = "tube"  // inside, round the tube: the face of a box is too large for a sheet
	GelNowhere = "no"
)

// kindOfModifier is what is common to modifiers of one type.
type kindOfModifier struct {
	soft  bool // built from rods or cloth
	gelAt string
}

// modifierTypeNames is the order in which messages list the types.
var modifierTypeNames = []string{"softbox", "strip", "octabox", "dish", "reflector", "umbrella", "snoot", "lantern", "panel"}

// modifierTypes lists the types and where each takes a gel. Soft boxes are gelled at the
// tube and reflectors over the face: common practice, no source.
var modifierTypes = map[string]kindOfModifier{
	"softbox":   {true, GelTube},
	"strip":     {true, GelTube},
	"octabox":   {true, GelTube},
	"lantern":   {true, GelTube},
	"panel":     {true, GelTube},
	"umbrella":  {true, GelTube},
	"dish":      {false, GelFront},
	"reflector": {false, GelFront},
	"snoot":     {false, GelFront},
}
