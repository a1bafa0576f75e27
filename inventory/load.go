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
func LoadFrom(f *source.File) (*Studio, error) {
	s := new(Studio)
	if err := source.Decode(f, s); err != nil {
		return nil, err
	}
	s.Complete()
	if err := s.check(); err != nil {
		return nil, err
	}
	return s, nil
}
