package constraints

import (
	"fmt"

	"falloff/inventory"
	"falloff/model/source"
)

// stars are the lights that the brief wants in the picture.
func (b *Brief) stars() (out []inventory.Role) {
	for _, g := range goalsOf[*sunstarGoal](b) {
		out = append(out, g.light)
	}
	return out
}

func (b *Brief) checkSitter(faults *source.Errors) {
	s := &b.Sitter
	say := func(key, format string, args ...any) {
		*faults = append(*faults, source.Error{At: s.PlaceOf(key), Path: "sitter." + key, Msg: fmt.Sprintf(format, args...)})
	}
	choice := func(key string, v *string, known ...string) {
		if *v == "" {
			return
		}
		found, err := oneOf(key, *v, known)
		if err != nil {
			say(key, "%v", err)
			return
		}
		*v = found
	}
	choice("hair", &s.Hair, "dark", "brown", "fair", "grey", "none")
	choice("build", &s.Build, "woman", "man")
	if d := s.Turn.Degrees(); d < -90 || d > 90 {
		say("turn", "the head turns at most 90 deg either way; this is %s", s.Turn)
	}
	if s.EyeHeight != 0 && (s.EyeHeight < 0.5 || s.EyeHeight > tallestEyes) {
		say("eye_height", "the eyes are between 0.5 m and 2.3 m above the floor; this is %s", s.EyeHeight)
	}
	if s.Wrote("backdrop_distance") {
		r := &s.Backdrop
		r.Lo = max(r.Lo, 0.3)
		r.Hi = min(r.Hi, 20)
		if r.Lo > r.Hi {
			say("backdrop_distance", "the sitter is between 0.3 m and 20 m from the backdrop")
		}
	}
	b.checkCamera(faults)
}

func (b *Brief) checkCamera(faults *source.Errors) {
	c := &b.Camera
	if c.Focus != "" {
		found, err := oneOf("focus", c.Focus, []string{betweenEyes, nearEye})
		if err != nil {
			*faults = append(*faults, source.Error{At: c.PlaceOf("focus"), Path: "camera.focus", Msg: err.Error()})
		}
		c.Focus = found
	}
	if c.Filter < 0 || c.Filter > 12 {
		*faults = append(*faults, source.Error{At: c.PlaceOf("filter"), Path: "camera.filter",
			Msg: fmt.Sprintf("a neutral filter takes between 0 and 12 stops; this is %s", c.Filter)})
	}
	if h := b.Camera.Height; h != 0 && (h < 0.1 || h > 5) {
		*faults = append(*faults, source.Error{At: b.Camera.PlaceOf("height"), Path: "camera.height",
			Msg: fmt.Sprintf("the lens is between 0.1 m and 5 m above the floor; this is %s", h)})
	}
}
