package people_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"falloff/model/geom"
	"falloff/model/people"
	"falloff/model/unit"
)

const mm = unit.Millimetre

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g +- %.2g", what, got, want, tol)
	}
}

// Every constant against the 6068 people of the survey. The constants have two decimals
// of a millimetre, so half of the last is the tolerance.
func TestSurvey(t *testing.T) {
	file, err := os.Open("../../testdata/open/ansur2_head_mm.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for sex, group := range map[string]struct {
		build people.Build
		count int
	}{"F": {people.Women(), 1986}, "M": {people.Men(), 4082}} {
		read := func(name string) (xs []float64) {
			for _, row := range rows[1:] {
				if row[0] == sex {
					x, err := strconv.ParseFloat(row[column[name]], 64)
					if err != nil {
						t.Fatal(err)
					}
					xs = append(xs, x)
				}
			}
			return xs
		}
		sitting, eyes := read("sittingheight"), read("eyeheightsitting")
		crown := make([]float64, len(eyes))
		for i := range eyes {
			crown[i] = sitting[i] - eyes[i]
		}
		b := group.build
		for name, d := range map[string]people.Dim{
			"interpupillarybreadth": b.Interpupillary, "headbreadth": b.HeadBreadth, "headlength": b.HeadLength,
			"headcircumference": b.HeadGirth, "bizygomaticbreadth": b.Bizygomatic, "tragiontopofhead": b.TragionToTop,
			"mentonsellionlength": b.FaceLength, "earlength": b.EarLength, "earbreadth": b.EarBreadth,
			"earprotrusion": b.EarProtrusion, "bideltoidbreadth": b.ShoulderBreadth, "biacromialbreadth": b.Biacromial,
			"eyeheightsitting": b.EyeHeightSitting, "sittingheight": b.SittingHeight, "stature": b.Stature,
			"eye to crown": b.EyeToCrown,
		} {
			xs := crown
			if name != "eye to crown" {
				xs = read(name)
			}
			if len(xs) != group.count {
				t.Fatalf("%d people, want %d", len(xs), group.count)
			}
			mean, sd := stat.MeanStdDev(xs, nil)
			within(t, sex+" "+name+" mean", d.Mean.Millimetres(), mean, .0051)
			within(t, sex+" "+name+" spread", d.SD.Millimetres(), sd, .0051)
		}
	}
}

// A mixture is checked on a sample made of two groups of equal size.
func TestAnyone(t *testing.T) {
	b := people.Anyone()
	// Two points at mean +- sd have that mean and that population spread.
	w, m := people.Women().Stature, people.Men().Stature
	xs := []float64{float64(w.At(1)), float64(w.At(-1)), float64(m.At(1)), float64(m.At(-1))}
	mean, variance := stat.PopMeanVariance(xs, nil)
	within(t, "mean of a mixture", float64(b.Stature.Mean), mean, 1e-12)
	within(t, "spread of a mixture", float64(b.Stature.SD), math.Sqrt(variance), 1e-12)
}

func TestEyeHeight(t *testing.T) {
	// Standing eye height of ANSUR-like samples: about 1.52 m for women, 1.64 m for men
	// (from memory, 1 cm); sitting eye height plus the seat.
	within(t, "women standing", float64(people.Women().EyeHeight(false).Mean), 1.52, .01)
	within(t, "men standing", float64(people.Men().EyeHeight(false).Mean), 1.64, .01)
	within(t, "women seated", float64(people.Women().EyeHeight(true).Mean), .74769+.46, 1e-9)
}

// The short form of the gap against the difference in depth of the two landmarks, for any
// pose, and what the directions of a pose mean.
func TestPose(t *testing.T) {
	b := people.Anyone()
	rapid.Check(t, func(t *rapid.T) {
		angle := func(name string) unit.Angle {
			return unit.Angle(rapid.Float64Range(-60, 60).Draw(t, name)) * unit.Degree
		}
		pose := people.Pose{Turn: angle("turn"), Nod: angle("nod"), Tilt: angle("tilt"), Body: angle("body")}
		if rapid.Bool().Draw(t, "upright") {
			pose.Tilt = 0
		}
		pitch := angle("pitch") / 2
		toCamera := geom.Vec{Y: math.Cos(float64(pitch)), Z: math.Sin(float64(pitch))} // the camera looks down from above
		left, right := b.Landmark(people.LeftEye, pose).At, b.Landmark(people.RightEye, pose).At
		gap := float64(pose.EyeGap(b.Interpupillary.Mean, pitch))
		if want := math.Abs(left.Sub(right).Dot(toCamera)); math.Abs(gap-want) > 1e-15 {
			t.Fatalf("gap %v, landmarks %v", gap, want)
		}
		if d := left.Sub(right).Len() - float64(b.Interpupillary.Mean); math.Abs(d) > 1e-15 {
			t.Fatalf("the eyes are %v too far apart", d)
		}
		nodded := pose
		nodded.Nod = 0
		if d := nodded.EyeGap(b.Interpupillary.Mean, pitch) - pose.EyeGap(b.Interpupillary.Mean, pitch); math.Abs(float64(d)) > 1e-15 {
			t.Fatalf("a nod moves an eye by %v", d)
		}
		if pose.Tilt == 0 && pose.Turn != 0 {
			near, far := b.Landmark(pose.NearEye(), pose).At, b.Landmark(pose.FarEye(), pose).At
			if near.Y < far.Y {
				t.Fatalf("the near eye is farther from the camera")
			}
		}
		nose, ear := b.Landmark(people.NoseTip, pose).At, b.Landmark(pose.FarEar(), pose).At
		if math.Abs(float64(pose.Nod)) < .6 && math.Abs(float64(pose.Tilt)) < .3 && nose.Y < ear.Y {
			t.Fatalf("the far ear is before the nose")
		}
	})
	deg := unit.Degree
	if v := (people.Pose{Turn: 30 * deg}).Facing(); v.X <= 0 || v.Y <= 0 {
		t.Errorf("a turn to camera right faces %v", v)
	}
	if v := (people.Pose{Nod: 10 * deg}).Facing(); v.Z >= 0 {
		t.Errorf("chin down faces %v", v)
	}
	if v := b.Landmark(people.Crown, people.Pose{Tilt: 10 * deg}).At; v.X <= 0 {
		t.Errorf("a tilt to camera right has the crown at %v", v)
	}
	s := b.Landmark(people.RightShoulder, people.Pose{Turn: 20 * deg, Body: 40 * deg}).At
	l := b.Landmark(people.LeftShoulder, people.Pose{Turn: 20 * deg, Body: 40 * deg}).At
	within(t, "shoulder breadth", float64(s.Sub(l).Len()), float64(b.ShoulderBreadth.Mean), 1e-12)
	if s.Y >= l.Y {
		t.Error("shoulders turned to camera right have the right one nearer")
	}
}

// Proportions of a face from memory: chin to crown 215 to 240 mm, nose tip to ear tip
// 110 to 135 mm in depth, ear level between the eyes and the mouth.
func TestProportions(t *testing.T) {
	for _, b := range []people.Build{people.Women(), people.Men(), people.Anyone()} {
		at := func(p people.Point) geom.Vec { return b.Landmark(p, people.Pose{}).At }
		within(t, "chin to crown", at(people.Crown).Z-at(people.Chin).Z, .2275, .0125)
		within(t, "nose to ear", at(people.NoseTip).Y-at(people.LeftEar).Y, .1225, .0125)
		if z := at(people.RightEar).Z; z > 0 || z < at(people.Mouth).Z {
			t.Errorf("ear at %v", z)
		}
		for p := people.Point(0); int(p) < people.Points; p++ {
			if l := b.Landmark(p, people.Pose{}); l.SD <= 0 || p.String() == "" {
				t.Errorf("%v has no spread or name", p)
			}
		}
		left, right := at(people.LeftHair), at(people.RightHair)
		if left.X >= 0 || left.X != -right.X {
			t.Errorf("hair from %v to %v", left, right)
		}
	}
}

func TestFarEar(t *testing.T) {
	woman := people.Women()
	if a := woman.FarEarGone(people.EarTip{Out: 60 * mm}, 2); a != 0 {
		t.Errorf("an ear inside the cheek is seen up to %v", a)
	}
	// About 24 degrees, give or take 6, at portrait distance (model; the trade says nearly
	// hidden at 10 to 20 degrees and gone at 25 to 30: common practice, no source).
	for _, b := range []people.Build{people.Women(), people.Men()} {
		within(t, "usual far ear", b.FarEarGone(b.EarTip(), 1.5).Degrees(), 24, people.FarEarDoubt.Degrees())
	}
}

func TestEyeGapBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := func(name string, lo, hi float64) unit.Interval {
			a := rapid.Float64Range(lo, hi).Draw(t, name)
			if rapid.Bool().Draw(t, name+" point") {
				return unit.Point(a)
			}
			return unit.Of(a, rapid.Float64Range(lo, hi).Draw(t, name+" other"))
		}
		ipd, turn, pitch := box("ipd", .05, .075), box("turn", -1.8, 1.8), box("pitch", -1.2, 1.2)
		bound := people.EyeGapBound(ipd, turn, pitch)
		for range 8 {
			member := func(iv unit.Interval) float64 {
				k := rapid.Float64Range(0, 1).Draw(t, "share")
				return min(iv.Hi, iv.Lo+k*iv.Width())
			}
			gap := float64(people.EyeGap(unit.Length(member(ipd)), unit.Angle(member(turn)), unit.Angle(member(pitch))))
			if !bound.Contains(gap) {
				t.Fatalf("%v is outside %v", gap, bound)
			}
			if ipd.IsPoint() && turn.IsPoint() && pitch.IsPoint() && bound != unit.Point(gap) {
				t.Fatalf("%v for points, plain %v", bound, gap)
			}
		}
	})
}

var landmark people.Landmark

func BenchmarkLandmark(b *testing.B) {
	build, pose := people.Anyone(), people.Pose{Turn: .3, Nod: .1}
	b.ReportAllocs()
	for b.Loop() {
		landmark = build.Landmark(people.LeftHair, pose)
	}
}
