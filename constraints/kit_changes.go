package constraints

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
)

// Changes to the kit, the room and the sitter that several kinds offer.

func byMinor(a, b Change) int { return cmp.Compare(a.Minor, b.Minor) }

// deeper lets the sitter come farther forward from the backdrop.
func deeper(b *Bench) []Change {
	r := b.Depths()
	if math.IsInf(float64(r.Hi), 0) {
		return nil
	}
	var out []Change
	for _, d := range []unit.Length{0.5, 1, 2} {
		to := unit.Range[unit.Length]{Lo: r.Lo, Hi: unit.Length(tidy(float64(r.Hi + d)))}
		if to.Hi > b.Studio.Room.Depth {
			break
		}
		out = append(out, Change{
			Text: fmt.Sprintf("let the sitter be up to %s from the backdrop", Show(float64(to.Hi), InMetres)), Cost: "1 min", Minor: 1 + float64(d),
			Apply: func(b *Brief, _ *inventory.Studio) { b.Sitter.Backdrop = to },
		})
	}
	return out
}

func turnTo(turn unit.Angle) func(*Brief, *inventory.Studio) {
	return func(b *Brief, _ *inventory.Studio) {
		b.Sitter.Turn = unit.Angle(math.Copysign(float64(turn), float64(b.Sitter.Turn)))
		if turn == 0 {
			b.Sitter.Turn = 0
		}
	}
}

// freshID makes an id that the studio does not have.
func freshID(s *inventory.Studio, name string) inventory.ID {
	plain := strings.Map(func(c rune) rune {
		switch {
		case 'a' <= c && c <= 'z' || '0' <= c && c <= '9':
			return c
		case c == ' ' || c == '-' || c == '_':
			return '-'
		}
		return -1
	}, strings.ToLower(name))
	id := inventory.ID(plain)
	for i := 2; ; i++ {
		if _, _, taken := s.Find(id); !taken {
			return id
		}
		id = inventory.ID(fmt.Sprintf("%s-%d", plain, i))
	}
}

// addGel adds two sheets of a generic gel.
func addGel(b *Bench, name string, minor float64) Change {
	text := fmt.Sprintf("add %s %s gel", article(name), name)
	for _, g := range b.Studio.Gels {
		if g.Standard == name {
			text = fmt.Sprintf("add two more %s gels", name)
		}
	}
	return Change{Text: text, Cost: "a gel to buy or hire", Minor: minor, Apply: func(_ *Brief, s *inventory.Studio) {
		s.Gels = append(s.Gels, inventory.Gel{
			Item:     inventory.Item{ID: freshID(s, name), Name: name + " gel", Count: 2},
			Standard: name,
		})
		s.Complete()
	}}
}

func article(word string) string {
	if word != "" && strings.ContainsRune("aeiou", rune(word[0])) {
		return "an"
	}
	return "a"
}

// whites are the colours of the studio's heads, each once, in the order of the file.
func whites(b *Bench) []unit.Kelvin {
	var out []unit.Kelvin
	add := func(k unit.Kelvin) {
		if k == 0 {
			k = 5600
		}
		if !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	for _, h := range b.Studio.Heads {
		if h.Flash != nil {
			add(h.Flash.Kelvin)
		}
		if h.Lamp != nil && h.Lamp.Main {
			add(h.Lamp.Kelvin)
		}
	}
	if len(out) == 0 {
		out = append(out, 5600)
	}
	return out
}

// gelled is the colour temperature that a generic gel leaves of a light.
func gelled(k unit.Kelvin, name string) (unit.Kelvin, bool) {
	light, err := colour.Source(k)
	gel, ok := colour.GenericGelByName(name)
	if err != nil || !ok {
		return 0, false
	}
	t, _, ok := colour.CCT(colour.Tint(&light, &gel))
	return t, ok
}

// gelsNear lists up to n generic gels by how near to a hue they bring the studio's light,
// none farther off than within, but always the nearest one.
func gelsNear(b *Bench, hue, within float64, n int) []string {
	white := whites(b)[0]
	light, err := colour.Source(white)
	if err != nil {
		return nil
	}
	clear := colour.Clear()
	beside := colour.Tint(&light, &clear)
	type near struct {
		name string
		off  float64
	}
	var all []near
	for _, g := range colour.GenericGels() {
		gel := g.Gel()
		look := colour.Look(colour.Tint(&light, &gel), beside)
		if look.C >= 0.12 { // paler gels are corrections and conversions, not colours
			all = append(all, near{g.Name, colour.HueDistance(look.H, hue)})
		}
	}
	slices.SortStableFunc(all, func(a, b near) int { return cmp.Compare(a.off, b.off) })
	var names []string
	for i, g := range all {
		if i == 0 || i < n && g.off <= within {
			names = append(names, g.name)
		}
	}
	return names
}

// gelChanges offers gels of a hue.
func gelChanges(b *Bench, hue, within float64) []Change {
	var out []Change
	for i, name := range gelsNear(b, hue, within, 2) {
		out = append(out, addGel(b, name, 2+0.1*float64(i)))
	}
	return out
}

// moreLights offers one more stand and one more head of types that the studio has: the
// commonest and the tallest stand, the strongest flash head and the strongest lamp; and a
// head on its stand, which is what a goal that needs another light mostly lacks.
func moreLights(b *Bench) []Change {
	var out []Change
	stands := types(b.Studio.Stands, func(s *inventory.Stand) float64 { return float64(s.Height) },
		func(s *inventory.Stand) int { return s.Count })
	for i, at := range stands {
		stand := b.Studio.Stands[at].Item
		out = append(out, Change{Text: "add one more stand: " + stand.Label(), Cost: "a stand to buy or hire", Minor: 3 + 0.1*float64(i),
			Apply: func(_ *Brief, s *inventory.Studio) { addStand(s, stand.ID) }})
	}
	for i, at := range strongest(b) {
		head := b.Studio.Heads[at].Item
		flash := b.Studio.Heads[at].Flash != nil
		out = append(out, Change{Text: "add one more head: " + head.Label(), Cost: "a head to hire", Minor: 5 + 0.1*float64(i),
			Apply: func(_ *Brief, s *inventory.Studio) { addHead(s, head.ID, flash) }})
		if len(stands) == 0 {
			continue
		}
		stand := b.Studio.Stands[stands[0]].Item
		out = append(out, Change{Text: fmt.Sprintf("add one more light: %s on %s", head.Label(), stand.Label()),
			Cost: "a head and a stand to hire", Minor: 6 + 0.1*float64(i),
			Apply: func(_ *Brief, s *inventory.Studio) {
				addStand(s, stand.ID)
				addHead(s, head.ID, flash)
			}})
	}
	return out
}

func addStand(s *inventory.Studio, id inventory.ID) {
	oneMore(s.Stands, id, func(x *inventory.Stand) *inventory.Item { return &x.Item })
}

// addHead adds a head, and a trigger for it where the studio counts triggers.
func addHead(s *inventory.Studio, id inventory.ID, flash bool) {
	oneMore(s.Heads, id, func(x *inventory.Head) *inventory.Item { return &x.Item })
	if flash && len(s.Triggers) > 0 {
		s.Triggers[0].Count = max(1, s.Triggers[0].Count) + 1
	}
}

// strongest returns the index of the strongest flash head and of the strongest lamp that
// may light a picture, as far as the brief allows them.
func strongest(b *Bench) []int {
	flash, lamp := -1, -1
	for i := range b.Studio.Heads {
		switch h := &b.Studio.Heads[i]; {
		case h.Flash != nil && (flash < 0 || strength(h) > strength(&b.Studio.Heads[flash])):
			flash = i
		case h.Flash == nil && h.Lamp != nil && h.Lamp.Main && (lamp < 0 || strength(h) > strength(&b.Studio.Heads[lamp])):
			lamp = i
		}
	}
	for _, g := range b.Brief.Goals {
		if k, ok := g.Req.(*lightKindGoal); ok && g.Wish == 0 {
			if k.flash {
				lamp = -1
			} else {
				flash = -1
			}
		}
	}
	return slices.DeleteFunc([]int{flash, lamp}, func(i int) bool { return i < 0 })
}

// otherHeads offers a head of twice the power of the strongest, and one of half the
// weakest for pictures that are too bright at full dimming.
func otherHeads(b *Bench) []Change {
	var out []Change
	for i, at := range strongest(b) {
		for _, times := range []float64{2, 0.5} {
			like := b.Studio.Heads[at]
			word := "twice"
			if times < 1 {
				word = "half"
			}
			out = append(out, Change{
				Text: fmt.Sprintf("hire a head of %s the power of %s", word, like.Label()), Cost: "a head to hire", Minor: 4 + 0.1*float64(i),
				Apply: func(_ *Brief, s *inventory.Studio) { hireHead(s, &like, times) },
			})
		}
	}
	return out
}

// hireHead adds one head like another but for its power.
func hireHead(s *inventory.Studio, like *inventory.Head, times float64) {
	h := *like
	label := map[bool]string{true: "stronger ", false: "weaker "}[times > 1] + like.Label()
	h.Item = inventory.Item{ID: freshID(s, label), Name: label, Count: 1, Mass: like.Mass}
	if like.Flash != nil {
		f := *like.Flash
		f.Energy *= unit.Energy(times)
		if f.Metered != nil {
			m := *f.Metered
			m.Guide *= unit.Length(math.Sqrt(times)) // guide numbers grow with the root of the energy
			f.Metered = &m
		}
		h.Flash = &f
	}
	if like.Lamp != nil {
		l := *like.Lamp
		l.Flux *= unit.Flux(times)
		l.Watts *= unit.Power(times)
		if l.Metered != nil {
			m := *l.Metered
			m.Lux *= unit.Illuminance(times)
			l.Metered = &m
		}
		h.Lamp = &l
	}
	s.Heads = append(s.Heads, h)
	if h.Flash != nil && len(s.Triggers) > 0 {
		s.Triggers[0].Count = max(1, s.Triggers[0].Count) + 1
	}
	s.Complete()
}

func oneMore[T any](items []T, id inventory.ID, item func(*T) *inventory.Item) {
	for i := range items {
		if it := item(&items[i]); it.ID == id {
			it.Count = max(1, it.Count) + 1
			return
		}
	}
}

// types returns the index of the type with most pieces, and of the one that can do most
// if it is another. Ties go to the smaller index.
func types[T any](items []T, can func(*T) float64, count func(*T) int) []int {
	if len(items) == 0 {
		return nil
	}
	common, best := 0, 0
	for i := range items {
		if count(&items[i]) > count(&items[common]) {
			common = i
		}
		if can(&items[i]) > can(&items[best]) {
			best = i
		}
	}
	if common == best {
		return []int{common}
	}
	return []int{common, best}
}

// strength orders heads by the light that they can give, roughly: flash before lamps.
func strength(h *inventory.Head) float64 {
	switch {
	case h.Flash != nil && h.Flash.Energy > 0:
		return 1e6 * float64(h.Flash.Energy)
	case h.Flash != nil && h.Flash.Metered != nil:
		return 1e6 * float64(h.Flash.Metered.Guide*h.Flash.Metered.Guide) / 8 // GN grows with the root of the energy
	case h.Lamp != nil && h.Lamp.Main:
		return float64(h.Lamp.Flux)
	}
	return 0
}
