package constraints

import (
	"testing"

	"falloff/model/people"
)

// A full length shows a standing adult from the floor to over the hair, and no portrait has
// more headroom than a fifth of the frame. The hair ends 16 cm over the eyes. Common
// practice, no source.
func TestFramesHoldTheSitter(t *testing.T) {
	const hair = 0.16
	for _, c := range crops {
		for f := float64(c.height.Lo); f <= float64(c.height.Hi); f += 0.01 {
			top := f/2 - underEyes(f) // over the eyes
			if headroom := top - hair; f > 0.4 && (headroom < 0 || headroom > f*0.2) {
				t.Errorf("%s of %.2f m: %.2f m of headroom", c.name, f, headroom)
			}
			if f < 1.95 {
				continue
			}
			for _, build := range []people.Build{people.Women(), people.Men()} {
				if eyes := float64(build.EyeHeight(false).Mean); eyes+top > f {
					t.Errorf("%.2f m cuts the feet under eyes %.2f m up", f, eyes)
				}
			}
		}
	}
}
