package light

import (
	"flag"
	"math"
	"testing"

	"falloff/model/geom"
	"falloff/model/unit"
	"pgregory.net/rapid"
)

// Every package's seed_test.go rests on this flag.
func TestDrawsAreTheSameEachTime(t *testing.T) {
	if f := flag.Lookup("rapid.seed"); f == nil || f.Value.String() == f.DefValue {
		t.Error("the seed of random draws is not set")
	}
}

func between(t *rapid.T, lo, hi float64, name string) float64 {
	// Bits, not floats: rapid's floats crowd around its favourite values.
	return lo + (hi-lo)*float64(rapid.IntRange(0, 1<<20).Draw(t, name))/(1<<20)
}

func drawEmitter(t *rapid.T) (e Emitter) {
	e.Face.Kind = Kind(rapid.IntRange(0, 3).Draw(t, "kind"))
	e.Face.W = between(t, 0.1, 1.5, "W")
	e.Face.H = between(t, 0.1, 1.5, "H")
	if rapid.Bool().Draw(t, "directed") {
		e.Law = rapid.SampledFrom([]float64{0.5, 1, 2, 3, 4.7, 8, 12}).Draw(t, "law")
	}
	if rapid.IntRange(0, 2).Draw(t, "grid?") == 0 {
		e.Grid = Grid{Cell(rapid.IntRange(1, 3).Draw(t, "cell")), between(t, 0.3, 4, "K")}
	}
	if rapid.IntRange(0, 3).Draw(t, "measured?") == 0 {
		e.Law, e.Beam = 0, drawBeam(t)
		if e.Grid.Cell != NoGrid {
			e.Beam, e.Grid = e.Beam.Through(e.Grid), Grid{}
		}
	}
	return e
}

// drawBeam draws beams of any shape, dark axes and hard edges among them.
func drawBeam(t *rapid.T) *Beam {
	n := rapid.IntRange(2, 20).Draw(t, "angles")
	to := between(t, 0.2, math.Pi/2, "to")
	var angles []unit.Angle
	var cd []float64
	falling := rapid.Bool().Draw(t, "falling")
	level := 1.0
	for i := range n {
		angles = append(angles, unit.Angle(to*float64(i)/float64(n-1)))
		if falling {
			level *= between(t, 0.3, 1, "cd")
			cd = append(cd, level)
		} else {
			cd = append(cd, between(t, 0, 1, "cd"))
		}
	}
	cd[rapid.IntRange(0, n-2).Draw(t, "lit")] = 1
	cd[0] = max(cd[0], 0.05)
	b, _, err := NewBeam(angles, cd)
	if err != nil {
		t.Skip(err)
	}
	return b
}

func drawUnit(t *rapid.T, name string) geom.Vec {
	z := between(t, -1, 1, name+" z")
	az := between(t, -math.Pi, math.Pi, name+" az")
	return geom.Polar(az, math.Asin(z))
}

func drawPoint(t *rapid.T) geom.Vec {
	return geom.Vec{X: between(t, -2, 2, "x"), Y: between(t, -2.5, 2, "y"), Z: between(t, 0, 2.4, "z")}
}

func drawBox(t *rapid.T) (b PoseBox) {
	b.Target = geom.Vec{X: between(t, -0.3, 0.3, "tx"), Y: between(t, -0.3, 0.3, "ty"), Z: between(t, 0.9, 1.7, "tz")}
	size := math.Exp(between(t, math.Log(1e-3), math.Log(3), "box"))
	width := func(name string, most float64) float64 {
		return min(most, size*between(t, 0, 1, name))
	}
	d := between(t, 0.35, 4, "d")
	az := between(t, -math.Pi, math.Pi, "az")
	el := between(t, -1.2, 1.5, "el")
	wd, wa, we := width("wd", 2), width("wa", math.Pi), width("we", math.Pi)
	b.D = unit.Interval{Lo: max(0.2, d-wd/2), Hi: d + wd/2}
	b.Az = unit.Interval{Lo: az - wa/2, Hi: az + wa/2}
	b.El = unit.Interval{Lo: max(-math.Pi/2, el-we/2), Hi: min(math.Pi/2, el+we/2)}
	if rapid.IntRange(0, 9).Draw(t, "point") == 0 {
		b.D, b.Az, b.El = unit.Point(d), unit.Point(az), unit.Point(el)
	}
	return b
}

func drawPose(t *rapid.T, b PoseBox) (Pose, float64) {
	in := func(iv unit.Interval, name string) float64 {
		switch rapid.IntRange(0, 3).Draw(t, name+" end") {
		case 0:
			return iv.Lo
		case 1:
			return iv.Hi
		}
		return min(iv.Hi, between(t, iv.Lo, iv.Hi, name))
	}
	d := in(b.D, "pose d")
	return b.At(d, in(b.Az, "pose az"), in(b.El, "pose el")), d
}
