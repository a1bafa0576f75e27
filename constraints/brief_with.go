package constraints

import (
	"slices"

	"falloff/inventory"
	"falloff/model/source"
)

// With is the brief with one more goal, written as in a file: "aperture: f/8". It takes
// the place of the goals of its kind. The brief itself stays as it is; the new one must be
// bound again.
func (b *Brief) With(text string) (*Brief, error) {
	var form struct {
		source.Places
		Goals []source.Node `yaml:"goals,required"`
	}
	f := &source.File{Name: text, Text: []byte("goals:\n  - " + text + "\n")}
	if err := source.Decode(f, &form); err != nil {
		return nil, err
	}
	var faults source.Errors
	more := &Brief{Sitter: b.Sitter, Camera: b.Camera}
	for _, n := range form.Goals {
		more.readGoal(n, &faults)
	}
	c := b.Clone()
	for _, g := range more.Goals {
		c.Goals = slices.DeleteFunc(c.Goals, func(old *Goal) bool { return old.Kind == g.Kind })
		c.Goals = append(c.Goals, g)
	}
	for _, g := range more.Goals {
		if err := g.Req.Validate(c); err != nil {
			faults = append(faults, placed(err, g.Place, g.Name()))
		}
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	return c, nil
}

// Lacking lists the goals that name kit which a studio does not have.
func (b *Brief) Lacking(s *inventory.Studio) (out []*Goal) {
	for _, g := range b.Goals {
		if c, ok := g.Req.(studioChecker); ok && c.CheckStudio(s) != nil {
			out = append(out, g)
		}
	}
	return out
}

// Without is the brief without its goals of one kind; false where it has none.
func (b *Brief) Without(kind string) (*Brief, bool) {
	c := b.Clone()
	c.Goals = slices.DeleteFunc(c.Goals, func(g *Goal) bool { return g.Name() == kind })
	return c, len(c.Goals) < len(b.Goals)
}
