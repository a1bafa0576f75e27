package constraints

import (
	"falloff/inventory"
	"falloff/model/optics"
	"falloff/model/source"
	"falloff/model/unit"
)

// Brief is what the picture must look like.
type Brief struct {
	source.Places
	Name   string
	Studio string // the studio file that the brief names; empty if it names none
	Sitter Sitter
	Camera CameraWish
	Goals  []*Goal

	bound *inventory.Studio
}

// Sitter is who is photographed. Turn is of the head, positive to camera right.
type Sitter struct {
	source.Places
	Seated    bool                    `yaml:"seated,omitempty"`
	Turn      unit.Angle              `yaml:"turn,omitempty"`
	Hair      string                  `yaml:"hair,omitempty"`              // dark, brown, fair, grey, none
	Build     string                  `yaml:"build,omitempty"`             // woman, man; the mean of both if not written
	EyeHeight unit.Length             `yaml:"eye_height,omitempty"`        // above the floor; from survey means if not written
	Backdrop  unit.Range[unit.Length] `yaml:"backdrop_distance,omitempty"` // allowed; 0.75 m..3 m if not written
}

// CameraWish narrows the camera.
type CameraWish struct {
	source.Places
	Height unit.Length `yaml:"height,omitempty"` // of the lens; the sitter's eyes if not written
	Focus  string      `yaml:"focus,omitempty"`  // between the eyes (if not written) or near eye
	Filter unit.Stops  `yaml:"filter,omitempty"` // neutral density on the lens, positive
	Roll   unit.Angle  `yaml:"-"`
}

// Where the focus is set.
const (
	betweenEyes = "between the eyes"
	nearEye     = "near eye"
)

func (c *CameraWish) focus() optics.Focus {
	if c.Focus == nearEye {
		return optics.NearEye
	}
	return optics.BetweenEyes
}

// Focus says where the focus is set, in words.
func (b *Bench) Focus() string {
	if b.Brief.Camera.focus() == optics.NearEye {
		return "the eye nearer to the camera"
	}
	return "midway between the eyes"
}
