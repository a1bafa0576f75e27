package inventory

import "falloff/model/source"

// Load reads a studio file: see LoadFrom.
func Load(name string) (*Studio, error) {
	f, err := source.Read(name)
	if err != nil {
		return nil, err
	}
	return LoadFrom(f)
}

// LoadFrom reads a studio: strictly, with every default filled in, and checked. An error
// is a source.Errors with all that is wrong, each with its place, the value and what is
// allowed; no part of a bad studio is returned.
func LoadFrom(f *source.File) (*Studio, error) { return LoadListFrom(f, nil) }

// LoadListFrom reads a hire list, a studio file whose grids may fit modifiers of another
// studio.
func LoadListFrom(f *source.File, of *Studio) (*Studio, error) {
	s := &Studio{beside: of}
	if err := source.Decode(f, s); err != nil {
		return nil, err
	}
	s.Complete()
	if err := s.check(); err != nil {
		return nil, err
	}
	return s, nil
}
