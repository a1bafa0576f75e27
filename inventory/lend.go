package inventory

import (
	"bytes"
	"fmt"
	"slices"

	"falloff/model/source"
	"falloff/model/unit"
)

// Loan is a type of item of a list that one may hire or borrow from, as it stands in the
// studio that With returns.
type Loan struct {
	ID    ID
	Own   int // how many of it the studio has itself
	Count int // how many more the list has
	Rate  unit.Money
}

// With is the studio with everything on a list added to its shelves; s itself is not
// touched. An item of the list that the studio has too adds to its count. One that only
// has the id of an item of the studio is another thing and gets an id of its own. Room,
// crew and handling times stay the studio's. Triggers are left out where the studio lists
// none, for then nobody counts them. The loans come in the order of the list.
func (s *Studio) With(list *Studio) (*Studio, []Loan) {
	joint, more := s.Copy(), list.Copy()
	taken := map[ID]Thing{}
	for t := range s.Things() {
		taken[t.item().ID] = t
	}
	renamed := map[ID]ID{}
	for t := range more.Things() {
		id := t.item().ID
		if own, ok := taken[id]; ok && !sameThing(own, t) {
			renamed[id] = fresh(id, taken, more)
		}
	}
	more.rename(renamed)
	var loans []Loan
	for t := range more.Things() {
		it := t.item()
		if _, trigger := t.(*Trigger); trigger && len(s.Triggers) == 0 {
			continue
		}
		l := Loan{ID: it.ID, Count: it.Count, Rate: it.DayRate}
		if have, ok := joint.Thing(it.ID); ok {
			l.Own = have.item().Count
			have.item().Count += it.Count
		} else {
			joint.add(t)
		}
		loans = append(loans, l)
	}
	joint.Complete()
	return joint, loans
}

// fresh is an id like another that nobody has.
func fresh(id ID, taken map[ID]Thing, list *Studio) ID {
	for i := 2; ; i++ {
		next := ID(fmt.Sprintf("%s-%d", id, i))
		if _, ok := taken[next]; ok {
			continue
		}
		if _, ok := list.Thing(next); !ok {
			return next
		}
	}
}

// rename gives items other ids, wherever they are named.
func (s *Studio) rename(to map[ID]ID) {
	change := func(id *ID) {
		if n, ok := to[*id]; ok {
			*id = n
		}
	}
	for t := range s.Things() {
		change(&t.item().ID)
		switch t := t.(type) {
		case *Grid:
			for i := range t.Fits {
				change(&t.Fits[i])
			}
		case *Head:
			if t.Flash != nil && t.Flash.Metered != nil {
				change(&t.Flash.Metered.With)
			}
			if t.Lamp != nil && t.Lamp.Metered != nil {
				change(&t.Lamp.Metered.With)
			}
		}
	}
}

// add puts a copy of a thing into its list.
func (s *Studio) add(t Thing) {
	switch t := t.(type) {
	case *Camera:
		s.Cameras = append(s.Cameras, *t)
	case *Lens:
		s.Lenses = append(s.Lenses, *t)
	case *Head:
		s.Heads = append(s.Heads, *t)
	case *Modifier:
		s.Modifiers = append(s.Modifiers, *t)
	case *Grid:
		s.Grids = append(s.Grids, *t)
	case *Gel:
		s.Gels = append(s.Gels, *t)
	case *Card:
		s.Cards = append(s.Cards, *t)
	case *Stand:
		s.Stands = append(s.Stands, *t)
	case *Boom:
		s.Booms = append(s.Booms, *t)
	case *Backdrop:
		b := *t
		if !b.Wrote("drop") { // it hangs as high as this room is
			b.Drop = 0
		}
		s.Backdrops = append(s.Backdrops, b)
	case *Trigger:
		s.Triggers = append(s.Triggers, *t)
	}
}

// Remove takes one piece of an item off the shelves. The last one goes altogether, but a
// modifier stays as one that fits no head, for heads may have been metered with it.
func (s *Studio) Remove(id ID) {
	t, ok := s.Thing(id)
	if !ok {
		return
	}
	if t.item().Count--; t.item().Count > 0 {
		return
	}
	switch t := t.(type) {
	case *Camera:
		s.Cameras = dropped(s.Cameras, id)
	case *Lens:
		s.Lenses = dropped(s.Lenses, id)
	case *Head:
		s.Heads = dropped(s.Heads, id)
	case *Modifier:
		t.Fits, t.Count = nil, 1
	case *Grid:
		s.Grids = dropped(s.Grids, id)
	case *Gel:
		s.Gels = dropped(s.Gels, id)
	case *Card:
		s.Cards = dropped(s.Cards, id)
	case *Stand:
		s.Stands = dropped(s.Stands, id)
	case *Boom:
		s.Booms = dropped(s.Booms, id)
	case *Backdrop:
		s.Backdrops = dropped(s.Backdrops, id)
	case *Trigger:
		s.Triggers = dropped(s.Triggers, id)
	}
}

func dropped[T any, P interface {
	*T
	Thing
}](items []T, id ID) []T {
	return slices.DeleteFunc(items, func(t T) bool { return P(&t).item().ID == id })
}

// sameThing reports whether two things are of one type: the same in all but how many
// there are, what they cost a day and how they are called.
func sameThing(a, b Thing) bool {
	if ClassOf(a) != ClassOf(b) {
		return false
	}
	return bytes.Equal(alone(a), alone(b))
}

func alone(t Thing) []byte {
	s := &Studio{Name: "one"}
	s.add(t)
	for only := range s.Things() {
		it := only.item()
		it.Count, it.DayRate, it.Name = 1, 0, ""
	}
	text, err := source.Encode(s)
	if err != nil {
		panic(err) // whatever was loaded can be written
	}
	return text
}
