package inventory

import (
	"falloff/model/source"
	"falloff/model/unit"
)

// Role is the job of a light. Left and right are the camera's.
type Role int

const (
	Key Role = iota
	Fill
	RimLeft
	RimRight
	Hair
	Background
	NumRoles
)

var roleNames = [NumRoles]string{"key", "fill", "rim-left", "rim-right", "hair", "background"}

func (r Role) String() string { return roleNames[r] }

// RoleByName is the inverse of String.
func RoleByName(name string) (Role, bool) {
	for r, n := range roleNames {
		if n == name {
			return Role(r), true
		}
	}
	return 0, false
}

// Setup is everything needed to rebuild one arrangement: written by plan, read by check.
// Distances of lights are from the light's face centre to what it is aimed at: the eyes
// (key, fill), the edge of the hair on its side (rims), the crown (hair), the place on
// the backdrop behind the head (background).
type Setup struct {
	source.Places
	Name     string      `yaml:"setup,required"`
	Studio   string      `yaml:"studio,omitempty"`
	Brief    string      `yaml:"brief,omitempty"`
	Camera   CameraSet   `yaml:"camera,required"`
	Backdrop BackdropSet `yaml:"backdrop,required"`
	Lights   []LightSet  `yaml:"lights,required"`
	Cards    []CardSet   `yaml:"cards,omitempty"`
}

type CameraSet struct {
	source.Places
	Body     ID           `yaml:"body,required"`
	Lens     ID           `yaml:"lens,required"`
	Aperture unit.FNumber `yaml:"aperture,required"`
	Shutter  unit.Shutter `yaml:"shutter,required"`
	ISO      unit.ISO     `yaml:"iso,required"`
	Frame    unit.Length  `yaml:"frame,required"`  // height of the frame at the sitter
	Height   unit.Length  `yaml:"height,required"` // of the lens above the floor
}

type BackdropSet struct {
	source.Places
	Item     ID          `yaml:"item,required"`
	Distance unit.Length `yaml:"distance,required"` // from the sitter's eyes to the paper
}

type LightSet struct {
	source.Places
	Role      string      `yaml:"role,required"`
	Head      ID          `yaml:"head,required"`
	Light     string      `yaml:"light,required"` // "flash" or "lamp"
	Modifier  ID          `yaml:"modifier,omitempty"`
	Grid      ID          `yaml:"grid,omitempty"`
	Gel       ID          `yaml:"gel,omitempty"`
	Stand     ID          `yaml:"stand,required"`
	Boom      ID          `yaml:"boom,omitempty"`
	Distance  unit.Length `yaml:"distance,required"`
	Azimuth   unit.Angle  `yaml:"azimuth,required"`   // from the camera axis, positive to camera right
	Elevation unit.Angle  `yaml:"elevation,required"` // above level
	// Feather turns the face away from its target about an upright axis: positive to the
	// light's own right, clockwise from above. Plan aims every light straight; check follows
	// what the file says.
	Feather   unit.Angle `yaml:"feather,omitempty"`
	Power     unit.Stops `yaml:"power,required"` // from full, 0 or negative
	Modelling bool       `yaml:"modelling_lamp,omitempty"`
}

// CardSet is a card or a flag: its centre's distance and direction from the middle between
// the eyes. Its lit side is turned to the eyes; with Throws half-way between the eyes and
// that light, so that a mirror would show it; with Shades to that light. Plan places none; a photographer adds them to
// the file, and check counts what they throw and what they hide.
type CardSet struct {
	source.Places
	Item      ID          `yaml:"item,required"`
	Stand     ID          `yaml:"stand,omitempty"`  // none: held, clamped or leaned
	Throws    string      `yaml:"throws,omitempty"` // a role
	Shades    string      `yaml:"shades,omitempty"` // a role
	Distance  unit.Length `yaml:"distance,required"`
	Azimuth   unit.Angle  `yaml:"azimuth,required"`   // from the camera axis, positive to camera right
	Elevation unit.Angle  `yaml:"elevation,required"` // above level
}
