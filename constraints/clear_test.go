package constraints

import (
	"math"
	"testing"

	"falloff/model/light"
	"falloff/model/unit"
)

// A light over the frame hangs on a boom, or its stand is in the picture; one under the
// frame needs none.
func TestClearOverAndUnderTheFrame(t *testing.T) {
	b := benchForTest()
	lay := b.Lay(&b.Studio.Cameras[0], &b.Studio.Lenses[0], 0.6, 2, nil, nil)
	face := light.Face{Kind: light.Disc, W: 0.2, H: 0.2}
	in := func(el float64) light.PoseBox {
		return light.PoseBox{Target: b.Eye(), D: unit.Point(0.9), Az: unit.Point(0), El: unit.Point(el * math.Pi / 180)}
	}
	over, under := in(55), in(-50)
	for _, c := range []struct {
		what  string
		box   light.PoseBox
		boom  bool
		clear bool
	}{{"over, on a stand", over, false, false}, {"over, on a boom", over, true, true}, {"under, on a stand", under, false, true}} {
		if got := lay.Clear(c.box, face, c.boom).Lo; (got >= 0) != c.clear {
			t.Errorf("%s: clear by %.2f m", c.what, got)
		}
	}
}
