package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"falloff/constraints"
	"falloff/examples"
	"falloff/inventory"
	"falloff/model/source"
)

// The built-in example.
const (
	builtinStudio = "northlight"
	builtinBrief  = "rim-and-glow"
)

// open reads a file that the user named, or a built-in one by its bare name; dir is
// "studios", "briefs" or "stalls". A file on disk wins.
func open(dir, name string) (*source.File, error) {
	f, err := source.Read(name)
	if err == nil {
		return f, nil
	}
	text, inside := inBuiltin(dir, name)
	if inside == nil && !onDisk(name) {
		return &source.File{Name: name + ".yaml", Text: text}, nil
	}
	if known := builtin(dir); errors.Is(err, fs.ErrNotExist) && len(known) > 0 {
		err = fmt.Errorf("%w\nBuilt in are the %s %s.", err, dir, strings.Join(known, ", "))
	}
	return nil, badInput{err}
}

// inBuiltin reads an embedded file of a folder. Briefs lie in several folders, which may be
// named too: "conflicts/white-too-near".
func inBuiltin(dir, name string) (text []byte, err error) {
	folders := []string{dir}
	if dir == "briefs" {
		folders = []string{dir, "conflicts", "wishes", "looks", ""}
	}
	for _, folder := range folders {
		if text, err = fs.ReadFile(examples.FS, path.Join(folder, name+".yaml")); err == nil {
			return text, nil
		}
	}
	return nil, err
}

func onDisk(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// builtin lists the names of the embedded files.
func builtin(dir string) []string {
	entries, _ := fs.ReadDir(examples.FS, dir)
	var out []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok {
			out = append(out, name)
		}
	}
	return out
}

func loadStudio(name string) (*inventory.Studio, error) {
	if name == "" {
		name = builtinStudio
	}
	return loadList(name, nil)
}

// loadList loads a hire list, which may name modifiers of the studio that it is for.
func loadList(name string, of *inventory.Studio) (*inventory.Studio, error) {
	f, err := open("studios", name)
	if err != nil {
		return nil, err
	}
	s, err := inventory.LoadListFrom(f, of)
	if err != nil {
		return nil, badInput{err}
	}
	return s, nil
}

// bench loads a brief and the studio to plan it in: that of --studio, else the one that
// the brief names, else the built-in one. Then it finds what is wrong with the two together.
func (a *app) bench(name string) (*inventory.Studio, *constraints.Brief, error) {
	return a.benchWith(name, func(s *inventory.Studio) (*inventory.Studio, error) { return s, nil })
}

// benchWith is bench where the goals may also name kit that is not the studio's own.
func (a *app) benchWith(name string, more func(*inventory.Studio) (*inventory.Studio, error)) (*inventory.Studio, *constraints.Brief, error) {
	f, err := open("briefs", name)
	if err != nil {
		return nil, nil, err
	}
	b, err := constraints.LoadBriefFrom(f)
	if err != nil {
		return nil, nil, badInput{err}
	}
	named := a.studio == "" && b.Studio != ""
	if a.studio == "" {
		a.studio = referred(b.Studio, filepath.Dir(name))
	}
	s, err := loadStudio(a.studio)
	if named {
		err = namedAt(b.PlaceOf("studio"), "studio", err)
	}
	if err != nil {
		return nil, nil, err
	}
	all, err := more(s)
	if err != nil {
		return nil, nil, err
	}
	if err := b.Bind(all); err != nil {
		return nil, nil, badInput{err}
	}
	if err := collisions(b); err != nil {
		return nil, nil, badInput{err}
	}
	return s, b, nil
}

// namedAt gives a file that cannot be read the line that named it. What is wrong inside a
// file has its own lines.
func namedAt(at source.Place, key string, err error) error {
	if err == nil || !errors.Is(err, fs.ErrNotExist) || !at.Known() {
		return err
	}
	msg, hint, _ := strings.Cut(err.Error(), "\n")
	return badInput{source.Errors{{At: at, Path: key, Msg: msg, Hint: strings.TrimSuffix(strings.Replace(hint, "Built", "built", 1), ".")}}}
}

// collisions turns goals that cannot all hold as they are written into bad input: no kit
// and no search can help them.
func collisions(b *constraints.Brief) error {
	var errs source.Errors
	for _, c := range constraints.Collisions(b) {
		e := source.Error{Msg: "these goals collide as written. " + c.Sentence}
		for i, g := range c.Goals {
			if i == 0 {
				e.At = g.Place
			} else {
				e.Also = append(e.Also, g.Place)
			}
		}
		errs = append(errs, e)
	}
	return errs.Err()
}

// reference names a file so that a reader in dir finds it again: built-in files by their
// bare name, others by a path relative to dir.
func reference(name, usual, dir string) string {
	switch {
	case name == "":
		return usual
	case !onDisk(name):
		return name
	}
	from, err := filepath.Abs(dir)
	if err != nil {
		return name
	}
	to, err := filepath.Abs(name)
	if err != nil {
		return name
	}
	if rel, err := filepath.Rel(from, to); err == nil {
		return filepath.ToSlash(rel)
	}
	return filepath.ToSlash(to)
}

// referred undoes reference: name as written in a file that lies in dir.
func referred(name, dir string) string {
	if name == "" || filepath.IsAbs(name) {
		return name
	}
	if beside := filepath.Join(dir, filepath.FromSlash(name)); onDisk(beside) {
		return beside
	}
	return name
}
