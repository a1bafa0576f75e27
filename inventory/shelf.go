package inventory

import (
	"cmp"
	"iter"
	"slices"
)

// Thing is any piece of kit: a pointer to a Camera, Lens, Head and so on.
type Thing interface {
	item() *Item
	Label() string
}

func (i *Item) item() *Item { return i }

// ItemOf returns what every piece of kit has.
func ItemOf(t Thing) *Item { return t.item() }

// ClassOf names a thing's class as messages do: "camera", "lens", "head" and so on.
func ClassOf(t Thing) string {
	switch t.(type) {
	case *Camera:
		return "camera"
	case *Lens:
		return "lens"
	case *Head:
		return "head"
	case *Modifier:
		return "modifier"
	case *Grid:
		return "grid"
	case *Gel:
		return "gel"
	case *Card:
		return "card"
	case *Stand:
		return "stand"
	case *Boom:
		return "boom"
	case *Backdrop:
		return "backdrop"
	case *Trigger:
		return "trigger"
	}
	panic("inventory: a thing of no class")
}

// Things goes through the kit class by class, in the order of the file.
func (s *Studio) Things() iter.Seq[Thing] {
	return func(yield func(Thing) bool) {
		_ = each(s.Cameras, yield) && each(s.Lenses, yield) && each(s.Heads, yield) &&
			each(s.Modifiers, yield) && each(s.Grids, yield) && each(s.Gels, yield) &&
			each(s.Cards, yield) && each(s.Stands, yield) && each(s.Booms, yield) &&
			each(s.Backdrops, yield) && each(s.Triggers, yield)
	}
}

func each[T any, P interface {
	*T
	Thing
}](items []T, yield func(Thing) bool) bool {
	for i := range items {
		if !yield(P(&items[i])) {
			return false
		}
	}
	return true
}

// Items is how many pieces of kit there are, counts included; more than MostItems are
// not counted to the end.
func (s *Studio) Items() int {
	n := 0
	for t := range s.Things() {
		if n += max(1, min(t.item().Count, MostItems)); n > MostItems {
			break
		}
	}
	return n
}

// Types is how many different pieces of kit there are.
func (s *Studio) Types() int {
	return len(s.Cameras) + len(s.Lenses) + len(s.Heads) + len(s.Modifiers) + len(s.Grids) +
		len(s.Gels) + len(s.Cards) + len(s.Stands) + len(s.Booms) + len(s.Backdrops) + len(s.Triggers)
}

// Shelf is the kit of a studio in canonical order: every list is sorted by id, whatever
// the order of the file, so that nothing downstream depends on how the file was typed.
// It points into the studio.
type Shelf struct {
	IDs       []ID // all classes
	Cameras   []*Camera
	Lenses    []*Lens
	Heads     []*Head
	Modifiers []*Modifier
	Grids     []*Grid
	Gels      []*Gel
	Cards     []*Card
	Stands    []*Stand
	Booms     []*Boom
	Backdrops []*Backdrop
	Triggers  []*Trigger

	things map[ID]Thing
	made   shelfKey
}

// shelfKey tells when a studio's lists were changed after its shelf was made: a list that
// grew or shrank has another length or another first element.
type shelfKey struct {
	types int
	first [11]any
}

func (s *Studio) shelfKey() shelfKey {
	return shelfKey{s.Types(), [11]any{
		first(s.Cameras), first(s.Lenses), first(s.Heads), first(s.Modifiers), first(s.Grids), first(s.Gels),
		first(s.Cards), first(s.Stands), first(s.Booms), first(s.Backdrops), first(s.Triggers),
	}}
}

func first[T any](items []T) *T {
	if len(items) == 0 {
		return nil
	}
	return &items[0]
}

// Shelf returns the kit in canonical order. Load makes it; a studio that was built by
// hand, or whose lists changed, makes it at the first call, which goroutines must not share.
func (s *Studio) Shelf() *Shelf {
	if s.shelf == nil || s.shelf.made != s.shelfKey() {
		s.shelf = newShelf(s)
	}
	return s.shelf
}

func newShelf(s *Studio) *Shelf {
	sh := &Shelf{
		Cameras: sorted(s.Cameras), Lenses: sorted(s.Lenses), Heads: sorted(s.Heads),
		Modifiers: sorted(s.Modifiers), Grids: sorted(s.Grids), Gels: sorted(s.Gels),
		Cards: sorted(s.Cards), Stands: sorted(s.Stands), Booms: sorted(s.Booms),
		Backdrops: sorted(s.Backdrops), Triggers: sorted(s.Triggers),
		things: make(map[ID]Thing, s.Types()), made: s.shelfKey(),
	}
	for t := range s.Things() {
		id := t.item().ID
		if _, taken := sh.things[id]; !taken {
			sh.things[id] = t
			sh.IDs = append(sh.IDs, id)
		}
	}
	slices.Sort(sh.IDs)
	return sh
}

func sorted[T any, P interface {
	*T
	Thing
}](items []T) []P {
	out := make([]P, len(items))
	for i := range items {
		out[i] = &items[i]
	}
	slices.SortStableFunc(out, func(a, b P) int { return cmp.Compare(a.item().ID, b.item().ID) })
	return out
}

// Thing returns the piece of kit with that id.
func (s *Studio) Thing(id ID) (Thing, bool) {
	t, ok := s.Shelf().things[id]
	return t, ok
}

// Find looks an id up in all classes.
func (s *Studio) Find(id ID) (class string, item *Item, ok bool) {
	t, ok := s.Thing(id)
	if !ok {
		return "", nil, false
	}
	return ClassOf(t), t.item(), true
}

func find[P any](s *Studio, id ID) P {
	p, _ := s.Shelf().things[id].(P)
	return p
}

// The typed look-ups return nil where no item of that class has the id; the empty id,
// "no grid" in a set-up, is therefore nil too.

func (s *Studio) Camera(id ID) *Camera     { return find[*Camera](s, id) }
func (s *Studio) Lens(id ID) *Lens         { return find[*Lens](s, id) }
func (s *Studio) Head(id ID) *Head         { return find[*Head](s, id) }
func (s *Studio) Modifier(id ID) *Modifier { return find[*Modifier](s, id) }
func (s *Studio) Grid(id ID) *Grid         { return find[*Grid](s, id) }
func (s *Studio) Gel(id ID) *Gel           { return find[*Gel](s, id) }
func (s *Studio) Card(id ID) *Card         { return find[*Card](s, id) }
func (s *Studio) Stand(id ID) *Stand       { return find[*Stand](s, id) }
func (s *Studio) Boom(id ID) *Boom         { return find[*Boom](s, id) }
func (s *Studio) Backdrop(id ID) *Backdrop { return find[*Backdrop](s, id) }
func (s *Studio) Trigger(id ID) *Trigger   { return find[*Trigger](s, id) }
