package inventory

import (
	_ "embed"
	"reflect"
	"slices"
	"strings"
	"sync"

	"falloff/model/source"
)

//go:embed generic.yaml
var genericYAML []byte

// generic is kit of every usual kind, with the reason for each figure.
type generic struct {
	Heads     []Head                       `yaml:"heads"`
	Modifiers []Modifier                   `yaml:"modifiers"`
	Grids     []Grid                       `yaml:"grids"`
	Gels      []Gel                        `yaml:"gels"`
	Cards     []Card                       `yaml:"cards"`
	Stands    []Stand                      `yaml:"stands"`
	Booms     []Boom                       `yaml:"booms"`
	Backdrops []Backdrop                   `yaml:"backdrops"`
	Why       map[string]map[string]Reason `yaml:"why"`

	node   source.Node
	things map[string]map[ID]Thing // by class and id
}

// Reason says what is usual for a figure and where that is from.
type Reason struct {
	source.Places
	Usual  string `yaml:"usual,omitempty"`
	Source string `yaml:"source,required"`
}

// generics reads the data once. A fault in them is our own mistake.
var generics = sync.OnceValue(func() *generic {
	f := &source.File{Name: "generic.yaml", Text: genericYAML}
	g := &generic{things: map[string]map[ID]Thing{}}
	if err := source.Decode(f, g); err != nil {
		panic(err)
	}
	var err error
	if g.node, err = source.Parse(f); err != nil {
		panic(err)
	}
	add := func(t Thing) bool {
		class := ClassOf(t)
		if g.things[class] == nil {
			g.things[class] = map[ID]Thing{}
		}
		g.things[class][t.item().ID] = t
		return true
	}
	_ = each(g.Heads, add) && each(g.Modifiers, add) && each(g.Grids, add) && each(g.Gels, add) &&
		each(g.Cards, add) && each(g.Stands, add) && each(g.Booms, add) && each(g.Backdrops, add)
	return g
})

// anyItem is the entry that tells what every item of a class has where it writes nothing.
// Complete fills that in without reading these data; a test compares the two.
const anyItem = "any"

// takeAfter fills what a thing does not write itself by what it is like.
func takeAfter(t Thing) {
	if usual, ok := generics().things[ClassOf(t)][t.item().Like]; ok && t.item().Like != anyItem {
		fill(reflect.ValueOf(t).Elem(), reflect.ValueOf(usual).Elem())
	}
}

// wrote is what knows the keys that stood in a file.
type wrote interface {
	Wrote(key string) bool
	PlaceOf(key string) source.Place
}

// fill copies the fields of usual that own leaves at zero and did not write. A flash or a
// lamp that own does not have is only filled in for a head that has neither.
func fill(own, usual reflect.Value) {
	keys := own.Addr().Interface().(wrote)
	t := own.Type()
	isHead := t == reflect.TypeFor[Head]()
	dark := isHead && own.FieldByName("Flash").IsNil() && own.FieldByName("Lamp").IsNil()
	for i := range t.NumField() {
		tag, tagged := t.Field(i).Tag.Lookup("yaml")
		name, options, _ := strings.Cut(tag, ",")
		mine, theirs := own.Field(i), usual.Field(i)
		switch {
		case tagged && strings.Contains(options, "inline"):
			fillItem(mine.Addr().Interface().(*Item), theirs.Addr().Interface().(*Item))
		case !tagged || !t.Field(i).IsExported() || theirs.IsZero():
		case isHead && mine.Kind() == reflect.Pointer && !mine.IsNil(): // a flash, a lamp
			fill(mine.Elem(), theirs.Elem())
		case !mine.IsZero() || keys.Wrote(name):
		case t == reflect.TypeFor[Grid]() && name == "fits": // types of modifier: see expandFits
		case mine.Kind() != reflect.Pointer:
			mine.Set(theirs)
		case !isHead || dark:
			copied := reflect.New(theirs.Type().Elem())
			copied.Elem().Set(theirs.Elem())
			if p, ok := copied.Elem().FieldByName("Places").Addr().Interface().(*source.Places); ok {
				*p = p.MovedTo(keys.PlaceOf("like"))
			}
			mine.Set(copied)
		}
	}
}

func fillItem(own, usual *Item) {
	if own.Mass == 0 && !own.Wrote("mass") {
		own.Mass = usual.Mass
	}
}

// expandFits makes a modifier without mounts fit the mounts of all heads of the file, and a
// grid without modifiers those of the types that it goes on as a rule.
func (s *Studio) expandFits() {
	for i := range s.Modifiers {
		m := &s.Modifiers[i]
		if len(m.Fits) > 0 || m.Wrote("fits") {
			continue
		}
		for j := range s.Heads {
			if mount := s.Heads[j].Mount; mount != "" && !slices.Contains(m.Fits, mount) {
				m.Fits = append(m.Fits, mount)
			}
		}
		slices.Sort(m.Fits)
	}
	for i := range s.Grids {
		g := &s.Grids[i]
		if g.Like == "" || len(g.Fits) > 0 || g.Wrote("fits") {
			continue
		}
		usual, ok := generics().things["grid"][g.Like].(*Grid)
		if !ok {
			continue
		}
		for j := range s.Modifiers {
			if m := &s.Modifiers[j]; slices.Contains(usual.Fits, ID(m.Type)) {
				g.Fits = append(g.Fits, m.ID)
			}
		}
		slices.Sort(g.Fits)
	}
}

// likes lists what an item of a class can be like, in the order of the data.
func likes(class string) (ids []string) {
	for _, item := range generics().node.Get(class + "s").Items() {
		if id := item.Get("id").Text(); id != anyItem {
			ids = append(ids, id)
		}
	}
	return ids
}

// needs checks that a key was written, or comes from what the item is like.
func (c *checker) needs(p *source.Places, key string, there bool) bool {
	if !there && !p.Wrote(lastKey(key)) {
		c.say(p, "", "the key %q is missing", key).Hint = "give it, or say what the item is like; see \"falloff kit defaults\""
		return false
	}
	return true
}

// like checks what an item is like.
func (c *checker) like(t Thing) {
	it := t.item()
	if it.Like == "" {
		return
	}
	if known := likes(ClassOf(t)); len(known) == 0 {
		c.say(&it.Places, "like", "there is no generic %s; write its figures", ClassOf(t))
	} else {
		c.oneOf(&it.Places, "like", string(it.Like), known...)
	}
}
