// Package constraints holds what a photographer can ask for: one file per kind of goal.
// A kind says how it is written, what it needs, how a reading is judged, how it can be
// loosened and its sentences; nothing else in the program knows the kind.
package constraints

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// Slot is a place in a set-up that one item fills, e.g. "lens" or "key.gel". The slot that
// carries a role's bare name ("rim-left") is filled by the item "on" when the light is used.
type Slot string

// Pick puts an item into a slot.
type Pick struct {
	Slot Slot
	Item inventory.ID
}

// On is the item that says that a role's light is used; None fills an optional slot with nothing.
const (
	On   inventory.ID = "on"
	None inventory.ID = "none"
)

// Slots outside the lights.
const (
	CameraSlot   Slot = "camera"
	LensSlot     Slot = "lens"
	BackdropSlot Slot = "backdrop"
)

// RoleSlot, e.g. RoleSlot(inventory.Key, "gel"); part is head, modifier, grid, gel, stand,
// boom or light ("flash" or "lamp"), or empty for the role itself.
func RoleSlot(r inventory.Role, part string) Slot {
	if part == "" {
		return Slot(r.String())
	}
	return Slot(r.String() + "." + part)
}

// A Rule says: if every pick in If is made, at least one in Need must be; an empty Need
// forbids. It is true by itself, whatever else is chosen, as long as its goal stands.
type Rule struct {
	If, Need []Pick
	Why      string // a sentence with its numbers
}

// Aspect is a set of the things that a reading depends on. The solver judges a goal as
// soon as all that it reads is known, and leaves it alone when nothing it reads is.
type Aspect uint64

const (
	OnISO Aspect = 1 << iota
	OnShutter
	OnAperture
	OnLens     // body and lens
	OnFrame    // height of the frame at the sitter
	OnBackdrop // which backdrop
	OnDepth    // distance from the sitter to the backdrop
	OnCount    // how many lights
	OnMinutes
	OnSpill // light on the backdrop, all lights summed
	OnBounce
	OnEdges   // the edges of the hair against the backdrop beside them
	OnFall    // the backdrop at the top and the bottom of the frame
	OnWrap    // light from behind the sitter
	OnTint    // colour of the backdrop
	OnFeet    // the key at the feet
	OnGlasses // lights in the mirror of glasses
	OnStray   // lights that shine into the lens
	OnPower   // how far the heads are turned down
	OnKit     // what all that is used draws and costs
	firstRole
)

// Parts of one light. Gear is its items and how far its head is turned down.
func Pose(r inventory.Role) Aspect   { return firstRole << (4 * Aspect(r)) }
func Level(r inventory.Role) Aspect  { return firstRole << (4*Aspect(r) + 1) }
func Colour(r inventory.Role) Aspect { return firstRole << (4*Aspect(r) + 2) }
func Gear(r inventory.Role) Aspect   { return firstRole << (4*Aspect(r) + 3) }

// AllOf joins every part of one light.
func AllOf(r inventory.Role) Aspect { return Pose(r) | Level(r) | Colour(r) | Gear(r) }

// A Part is one number of a goal against what was wanted. Got is a point for an exact
// set-up and an interval for a box of settings.
type Part struct {
	What  string // "level, left", "keepers"; empty if the goal has one number
	Got   unit.Interval
	Want  unit.Interval // infinite ends where only one side matters
	Unit  Unit
	Fine  float64 // a margin below this is called fragile; in the same unit
	Doubt float64 // standard uncertainty of Got for an exact set-up, same unit; 0 if not known
}

// Unit names how a part is printed.
type Unit string

const (
	InStops   Unit = "stops"
	InStep    Unit = "stop" // between two levels: it has no sign
	InDegrees Unit = "deg"
	InMetres  Unit = "m"
	InMM      Unit = "mm"
	InShare   Unit = "%" // values are 0..1
	InCount   Unit = ""
	InMinutes Unit = "min"
	InKelvin  Unit = "K"
	InMired   Unit = "mired"
	InRatio   Unit = ":1"
	InISO     Unit = "ISO"
	InSeconds Unit = "s"
	InFNumber Unit = "f/"
	InDiscs   Unit = "x" // circles of confusion
	InLux     Unit = "lx"
	InRa      Unit = "Ra"
	InMoney   Unit = "a day"
	InWait    Unit = "seconds" // of waiting: no marks of a shutter
)

// Margin is how far inside what was wanted: min(got - lo, hi - got), as an interval over Got.
// At or above 0 it holds; wholly below 0 it fails whatever member of the box is chosen.
func (p *Part) Margin() unit.Interval {
	switch {
	case p.Got.IsEmpty():
		return unit.Whole
	case p.free():
		return unit.Interval{Lo: 1e300, Hi: 1e300}
	}
	m := unit.Interval{Lo: min(p.at(p.Got.Lo), p.at(p.Got.Hi)), Hi: p.at(p.best())}
	if !p.Got.IsPoint() {
		m = m.Out()
	}
	return m
}

// free reports a part of which nothing is wanted.
func (p *Part) free() bool { return p.Want.Hi > 1e300 && p.Want.Lo < -1e300 }

// best is the member of Got that is farthest inside what is wanted.
func (p *Part) best() float64 {
	switch {
	case p.Want.Hi > 1e300:
		return p.Got.Hi
	case p.Want.Lo < -1e300:
		return p.Got.Lo
	}
	return min(max(p.Want.Mid(), p.Got.Lo), p.Got.Hi)
}

// at is the margin of one member.
func (p *Part) at(x float64) float64 { return min(above(x, p.Want.Lo), above(p.Want.Hi, x)) }

// above is a - b, where an end at infinity is met by everything, infinity included.
func above(a, b float64) float64 {
	if math.IsInf(a, 1) || math.IsInf(b, -1) {
		return math.Inf(1)
	}
	return a - b
}

func (p *Part) Holds() bool { return p.Margin().Lo >= 0 }

// Fails is asked more often than all else: it looks at the upper end of the margin alone.
func (p *Part) Fails() bool {
	if p.Got.IsEmpty() || p.free() {
		return false
	}
	m := unit.Interval{Lo: math.Inf(-1), Hi: p.at(p.best())}
	if !p.Got.IsPoint() {
		m = m.Out()
	}
	return m.Hi < 0
}

// Room is the margin of an exact part in units of Fine: below 1 it is fragile.
func (p *Part) Room() float64 {
	if p.Fine <= 0 {
		return 1e9
	}
	return p.Margin().Lo / p.Fine
}

// Requirement is one goal as decoded from a brief. Embed Plain for the methods that a
// kind has nothing to say about.
type Requirement interface {
	// Validate finds bad input before any search; errors carry no place (the caller adds
	// the goal's). The brief is complete but for other goals' validity.
	Validate(b *Brief) error
	// Roles says which lights the goal needs, and which could help it.
	Roles() (need, may []inventory.Role)
	// Rules is what can be said about gear alone.
	Rules(b *Bench) iter.Seq[Rule]
	// Reads says what Judge depends on.
	Reads() Aspect
	// Judge appends the goal's parts. Unknown quantities come as unit.Whole.
	Judge(r *Reading, out []Part) []Part
	// Because says why part p of the goal fails on the most favourable box r, as a full
	// sentence with its number against its limit: "At f/1.4 and a 30 cm frame 9.4 mm is
	// sharp, and the eyes are 21.5 mm apart in depth." It must be true of every setting
	// in the box, so it words numbers as "at most", "at least", "at best".
	Because(r *Reading, p Part) string
	// Relax offers nearby weaker forms, mildest first.
	Relax(b *Bench) iter.Seq[Change]
}

// Carded is an optional part of a Requirement: a goal that asks for light which a card can
// throw as well as a lamp.
type Carded interface{ ByCard() bool }

// A CameraReader is a requirement that reads lights, and of which the camera and the
// backdrop's distance alone can tell that it fails.
type CameraReader interface {
	CameraReads() Aspect
}

// Change is one way to loosen a brief or add to a kit. Apply works on copies that the
// caller made. Text is an imperative without a full stop: "stop down to f/5.6".
type Change struct {
	Text  string
	Cost  string  // beside building the set-up that it leads to: "nothing", "2 min", "a gel to buy or hire"
	Minor float64 // order among changes: smaller is milder; 0..10
	Apply func(b *Brief, s *inventory.Studio)

	// Old and New are a goal before and after, where the change is of one goal alone.
	Old, New Requirement
}

// An Amount is a number of a brief that can be moved toward easier in steps, each a value
// that can be dialled, taped or written. All that a step allows the next one allows too.
type Amount struct {
	Name  string             // what moves, the same whichever goal offers it: "turn of the head"
	Steps int                // how often it may be moved
	To    func(k int) Change // to step k, 1 to Steps
	Value func(k int) string // the number there, as in "f/5.6"; at 0 as it stands
}

// Amounter is an optional part of a Requirement: the numbers of a goal that can be moved,
// in the order in which a photographer would move them. The solver finds how far each
// must move.
type Amounter interface {
	Amounts(b *Bench) []Amount
}

// Doc is what `goals` and the reference page print.
type Doc struct {
	Group   string   // camera, focus, tone, colour, shape, practical
	Title   string   // one line, what it asks for
	Text    string   // two to six lines: how it is measured, defaults, sources
	Example string   // YAML of one goal: `both-eyes-sharp: {keepers: 90 %}`
	Words   []string // other words that people use for it
	Values  []string // words that its value may be
}

// Kind is a registered kind of goal.
type Kind struct {
	Name string
	Doc  Doc
	// Read makes a requirement from the YAML value of the goal. "must" and "wish" have
	// been taken out of a mapping.
	Read func(n source.Node) (Requirement, error)
}

var kinds = map[string]*Kind{}

// Register makes a kind known. It panics on a duplicate: that is our bug.
func Register(k Kind) *Kind {
	if _, ok := kinds[k.Name]; ok {
		panic("constraints: kind " + k.Name + " is registered twice")
	}
	kinds[k.Name] = &k
	return &k
}

// Kinds lists all kinds by name.
func Kinds() []*Kind {
	out := make([]*Kind, 0, len(kinds))
	for _, k := range kinds {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b *Kind) int { return cmp.Compare(a.Name, b.Name) })
	return out
}

// KindByName finds a kind.
func KindByName(name string) (*Kind, bool) { k, ok := kinds[name]; return k, ok }

// Into is the usual Read: decode into a fresh T.
func Into[T any, P interface {
	*T
	Requirement
}](n source.Node) (Requirement, error) {
	p := P(new(T))
	if err := n.Decode(p); err != nil {
		return nil, err
	}
	return p, nil
}

// Plain supplies the methods that a kind has nothing to say about.
type Plain struct{}

func (Plain) Validate(*Brief) error               { return nil }
func (Plain) Roles() (need, may []inventory.Role) { return nil, nil }
func (Plain) Rules(*Bench) iter.Seq[Rule]         { return func(func(Rule) bool) {} }
func (Plain) Reads() Aspect                       { return 0 }
func (Plain) Judge(_ *Reading, out []Part) []Part { return out }
func (Plain) Because(_ *Reading, p Part) string   { return fmt.Sprintf("%s cannot be reached.", p.What) }
func (Plain) Relax(*Bench) iter.Seq[Change]       { return func(func(Change) bool) {} }

// Goal is one line of a brief.
type Goal struct {
	Kind    *Kind
	Req     Requirement
	Wish    int // 0: a must; else the weight of the wish
	Place   source.Place
	Text    string // as written, on one line: "low-key: {background: at most -4 stops}"
	Assumed bool   // supplied by falloff because the brief says nothing of it
}

// Name is the kind's name.
func (g *Goal) Name() string { return g.Kind.Name }

// Bench is what a goal may look at when it speaks about gear.
type Bench struct {
	Studio *inventory.Studio
	Brief  *Brief
	// Bounces, where not nil, keeps the room's bounce from one scene to the next; such a
	// bench serves one goroutine.
	Bounces Bounces
	Flat    Flat    // likewise, of background lights
	Sources Sources // likewise, of what comes out of lights
	Places  Places  // likewise, of lights at exact places

	larger  float64 // the sitter's size above the mean, in standard deviations
	layouts map[layKey]*Layout
}
