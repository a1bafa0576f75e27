package constraints

import (
	"math"
	"math/rand/v2"
	"testing"

	"falloff/model/geom"
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

// A light clears the frame by what its nearest point clears one side of it; rays through the
// corners of the frame and points on the border of the face show the same.
func TestClearIsOfTheNearestPoint(t *testing.T) {
	b := benchForTest()
	rng := rand.New(rand.NewPCG(7, 7))
	for n := range 400 {
		body, lens := &b.Studio.Cameras[0], &b.Studio.Lenses[n%len(b.Studio.Lenses)]
		lay := b.Lay(body, lens, 0.4+rng.Float64(), 3, nil, nil)
		face := light.Face{Kind: light.Disc, W: 0.8, H: 0.8}
		if n%2 == 0 {
			face = light.Face{Kind: light.Rect, W: 0.3, H: 1.2}
		}
		az, el, d := (2*rng.Float64()-1)*1.4, (2*rng.Float64()-1)*0.9, 0.8+rng.Float64()
		box := light.PoseBox{Target: b.Eye(), D: unit.Point(d), Az: unit.Point(az), El: unit.Point(el)}
		dir := geom.Polar(az, el)
		at, u, v := b.Eye().Add(dir.Mul(d)), geom.Vec{}, geom.Vec{}
		u, v = geom.Axes(dir.Neg())
		corner := func(x, y float64) geom.Vec {
			return lay.axes[2].Add(lay.axes[0].Mul(x * lay.tanW)).Add(lay.axes[1].Mul(y * lay.tanH))
		}
		boom := n%3 == 0
		normals := []geom.Vec{ // outward
			corner(-1, -1).Cross(corner(-1, 1)).Unit(), corner(1, 1).Cross(corner(1, -1)).Unit(),
			corner(1, -1).Cross(corner(-1, -1)).Unit(), lay.axes[2].Neg()}
		if boom {
			normals = append(normals, corner(-1, 1).Cross(corner(1, 1)).Unit())
		}
		want := math.Inf(-1)
		for i := range normals {
			if i < 3 && normals[i].Dot(lay.axes[2]) > 0 || i == 4 && normals[i].Dot(lay.axes[2]) > 0 {
				normals[i] = normals[i].Neg()
			}
			least := math.Inf(1)
			for k := range 720 {
				a := 2 * math.Pi * float64(k) / 720
				p := at.Add(u.Mul(face.W / 2 * math.Cos(a))).Add(v.Mul(face.H / 2 * math.Sin(a)))
				if face.Kind == light.Rect {
					p = at.Add(u.Mul(face.W / 2 * float64(1-k%2*2))).Add(v.Mul(face.H / 2 * float64(1-k/2%2*2)))
				}
				least = min(least, p.Sub(lay.Cam).Dot(normals[i]))
			}
			want = max(want, least)
		}
		if got := lay.Clear(box, face, boom).Lo; math.Abs(got-want) > 1e-4 {
			t.Fatalf("at %.2f m, %.0f and %.0f deg: clear by %.4f m, want %.4f", d, az*180/math.Pi, el*180/math.Pi, got, want)
		}
	}
}

// Camera and photographer take a piece of floor, and what stands behind them lights their backs.
// The places are common practice, no source.
func TestOffCamera(t *testing.T) {
	b := benchForTest()
	lay := b.Lay(&b.Studio.Cameras[0], &b.Studio.Lenses[0], 0.6, 2, nil, nil)
	y := lay.Cam.Y
	body := Body{Face: light.Face{Kind: light.Disc, W: 0.2, H: 0.2}, Back: 0.1}
	for _, c := range []struct {
		what    string
		x, y, z float64 // of the face from the mark, the lens and the eyes
		boom    bool
		off     bool
	}{
		{"beside the camera", 0.6, 0, 0, false, true},
		{"at the viewfinder", 0.1, 0.3, 0.3, false, false},
		{"its stand at the tripod", 0.2, 0.3, 0.8, false, false},
		{"on an arm over the lens", 0, -0.1, 0.5, true, true},
		{"on an arm at the photographer's head", 0, 0.3, 0.2, true, false},
		{"under the lens, before it", 0, -0.5, -0.5, false, true},
		{"behind the photographer, low", 0, 1.5, 0, false, false},
		{"behind the photographer, over the head", 0, 1.5, 1.5, false, true},
		{"behind and to one side", 1, 1.5, 0, false, true},
	} {
		at := geom.Vec{X: c.x, Y: y + c.y, Z: c.z}
		d := at.Len()
		box := light.PoseBox{Target: b.Eye(), D: unit.Point(d), Az: unit.Point(math.Atan2(c.x, y+c.y)), El: unit.Point(math.Asin(c.z / d))}
		if got := lay.OffCamera(box, body, c.boom); (got >= 0) != c.off {
			t.Errorf("%s: off the camera by %.2f m", c.what, got)
		}
	}
}
