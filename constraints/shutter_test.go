package constraints

import (
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/unit"
)

// 1/focal length by hand and 1/60 s for a seated sitter: common practice, no source.
func TestBlursThatNoGoalMinds(t *testing.T) {
	for _, c := range []struct {
		name           string
		time, handheld float64
		flash          float64
		asked          bool
		want           []string // words of each sentence
	}{
		{"fast enough", 1. / 125, 1. / 85, 0, false, nil},
		{"the sitter moves", 1. / 30, 1. / 8, 0, false, []string{"1/30 s the sitter"}},
		{"the hand shakes too", 1. / 30, 1. / 85, 0, false, []string{"tripod", "1/30 s the sitter"}},
		{"flash freezes", 1. / 30, 1. / 85, 1, false, nil},
		{"a goal minds it", 1. / 30, 1. / 85, 0, true, nil},
	} {
		r := Reading{Shutter: unit.Point(c.time), Handheld: unit.Point(c.handheld)}
		r.Lights[inventory.Key].Flash = unit.Point(c.flash)
		b := &Brief{}
		if c.asked {
			k, _ := KindByName("shutter")
			b.Goals = []*Goal{{Kind: k, Req: &shutterGoal{slowest: 1. / 15}}}
		}
		got := b.Blurs(&r)
		ok := len(got) == len(c.want)
		for i := range got {
			ok = ok && strings.Contains(got[i], c.want[i])
		}
		if !ok {
			t.Errorf("%s: %q, want sentences with %q", c.name, got, c.want)
		}
	}
}
