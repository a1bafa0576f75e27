package optics_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"falloff/model/optics"
	"falloff/model/unit"
)

const mm = unit.Millimetre

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) && got != want {
		t.Errorf("%s = %.6g, want %.6g +- %.2g", what, got, want, tol)
	}
}

// By hand: 85 mm, true f/1.8, 0.030 mm, focused at 1.5 m.
func ExampleDepthOfField() {
	near, far := optics.DepthOfField(85*mm, 1.8, 0.030*mm, 1.5)
	fmt.Printf("%.0f mm to %.0f mm\n", near.Millimetres(), far.Millimetres())
	// Output: 1484 mm to 1516 mm
}

func TestBeyondTheHyperfocalDistance(t *testing.T) {
	if _, far := optics.DepthOfField(24*mm, 8, .02*mm, 3.7); !math.IsInf(float64(far), 1) {
		t.Errorf("beyond the hyperfocal distance the far limit is %v", far)
	}
}

// Depth of field is where blur reaches the circle of confusion, for any pupil; found
// here by bisection on Blur, which the reference cases check by ray tracing.
func TestDepthOfFieldIsWhereBlurReachesC(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		f := unit.Length(.024 + r.Float64()*.176)
		n, p := 1+r.Float64()*21, .5+r.Float64()*1.5
		s, c := f*3+unit.Length(r.Float64()*5), .03*mm
		near, far := optics.DepthOfFieldPupil(f, n, c, s, p)
		bisect := func(lo, hi unit.Length) unit.Length { // lo is sharp
			for range 200 {
				if mid := (lo + hi) / 2; optics.Blur(f, n, s, mid, p) <= c {
					lo = mid
				} else {
					hi = mid
				}
			}
			return lo
		}
		within(t, "near", float64(near), float64(bisect(s, f)), 1e-9*float64(s))
		if math.IsInf(float64(far), 1) {
			if b := optics.Blur(f, n, s, far, p); b > c*(1+1e-12) {
				t.Fatalf("infinity is blurred by %v", b)
			}
		} else if far < 1000 {
			within(t, "far", float64(far), float64(bisect(s, 1e6)), 1e-6*float64(far))
		}
	}
}

// Focused between the eyes, both are blurred alike, and by less than at any other focus;
// checked with Blur, whose plane is a free argument.
func TestEyesBlur(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		f, n := unit.Length(.035+r.Float64()*.165), 1.2+r.Float64()*10
		u, gap := f+.3+unit.Length(r.Float64()*4), unit.Length(r.Float64()*.062)
		at := func(s unit.Length) (near, far unit.Length) {
			return optics.Blur(f, n, s, u-gap/2, 1), optics.Blur(f, n, s, u+gap/2, 1)
		}
		for _, focus := range []optics.Focus{optics.NearEye, optics.BetweenEyes} {
			near, far := optics.EyesBlur(f, n, u, gap, focus)
			a, b := at(optics.FocusDistance(u, gap, focus))
			within(t, "near eye", float64(near), float64(a), 1e-12)
			within(t, "far eye", float64(far), float64(b), 1e-12)
		}
		best, _ := optics.EyesBlur(f, n, u, gap, optics.BetweenEyes)
		a, b := at(u - gap/2 + unit.Length(r.Float64())*gap)
		if max(a, b) < best*(1-1e-9)-1e-15 {
			t.Fatalf("a blur of %v is below the least, %v", max(a, b), best)
		}
	}
}

// The closed form of Keepers against drawing frames: focus errors from a seeded
// generator, each frame judged by Blur at both eyes. With 20 000 frames the standard
// error is below 0.0036; four of them are allowed.
func TestKeepersMonteCarlo(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const frames = 20000
	between := 0
	for range 100 {
		f, n := unit.Length(.05+r.Float64()*.085), 1.2+r.Float64()*7
		u := optics.DistanceFor(f, 36*mm, unit.Length(.3+r.Float64()*.7))
		gap, spread := unit.Length(r.Float64()*.03), unit.Length(.002+r.Float64()*.01)
		focus := optics.Focus(r.IntN(2))
		want := float64(optics.Keepers(f, n, u, gap, spread, .03*mm, focus))
		kept := 0
		for range frames {
			s := optics.FocusDistance(u, gap, focus) + spread*unit.Length(r.NormFloat64())
			if optics.Blur(f, n, s, u-gap/2, 1) <= .03*mm && optics.Blur(f, n, s, u+gap/2, 1) <= .03*mm {
				kept++
			}
		}
		within(t, "keepers", float64(kept)/frames, want, 4*.0036)
		if want > .1 && want < .9 {
			between++
		}
	}
	if between < 10 {
		t.Errorf("only %d draws tell anything", between)
	}
}

// The same with focus, sway and the size of the sitter's head drawn one by one: the camera
// errs, the two people sway, and every frame has another sitter. The eyes' gap is normal but
// not negative, hence a hundredth more.
func TestKeepersOfManySitters(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	const frames = 20000
	for range 60 {
		f, n := unit.Length(.05+r.Float64()*.085), 1.2+r.Float64()*5
		u := optics.DistanceFor(f, 36*mm, unit.Length(.3+r.Float64()*.5))
		turn, ipd, ipdSD := r.Float64()*.7, 62.9*mm, 3.7*mm
		camera, sway := unit.Length(.005), unit.Length(.0062)
		focus := optics.Focus(r.IntN(2))
		sin := unit.Length(math.Sin(turn))
		spread := optics.EyesSpread(unit.Length(math.Hypot(float64(camera), float64(sway))), ipdSD*sin, focus)
		want := float64(optics.Keepers(f, n, u, ipd*sin, spread, .03*mm, focus))
		kept := 0
		for range frames {
			gap := max(0, ipd+ipdSD*unit.Length(r.NormFloat64())) * sin
			// The photographer focuses where a usual pair of eyes would ask for it, from the middle
			// between them or from the near eye; camera and sway add their own.
			s := optics.FocusDistance(u, ipd*sin, focus) + camera*unit.Length(r.NormFloat64()) + sway*unit.Length(r.NormFloat64())
			if focus == optics.NearEye {
				s = optics.FocusDistance(u, gap, focus) + s - optics.FocusDistance(u, ipd*sin, focus)
			}
			if optics.Blur(f, n, s, u-gap/2, 1) <= .03*mm && optics.Blur(f, n, s, u+gap/2, 1) <= .03*mm {
				kept++
			}
		}
		within(t, "keepers", float64(kept)/frames, want, 4*.0036+.01)
	}
}

func TestBothEyesInPractice(t *testing.T) {
	// Both eyes are safe at f/5.6 to f/8 for head and shoulders with a moderate turn, and
	// at the edge of failing wide open at f/1.2 (common practice, no source).
	gap := unit.Length(.063 * math.Sin(15*math.Pi/180))
	u := optics.DistanceFor(85*mm, 36*mm, .6)
	if k := optics.Keepers(85*mm, math.Sqrt2*4, u, gap, optics.FocusSpread, .03*mm, optics.NearEye); k < .99 {
		t.Errorf("only %.0f %% at f/5.6", 100*k)
	}
	if room := optics.EyesRoom(85*mm, 1.26, u, gap, .03*mm); room < 0 || room > 10*mm {
		t.Errorf("f/1.2 leaves %.1f mm of room", room.Millimetres())
	}
}

func TestKeepersWithoutSpread(t *testing.T) {
	u := unit.Length(1.5)
	within(t, "sharp", float64(optics.Keepers(85*mm, 2.8, u, 10*mm, 0, .03*mm, optics.NearEye)), 1, 0)
	within(t, "too deep", float64(optics.Keepers(85*mm, 1.4, u, 60*mm, 0, .03*mm, optics.NearEye)), 0, 0)
	within(t, "one plane", float64(optics.Keepers(85*mm, 1.4, u, 0, 0, .03*mm, optics.BetweenEyes)), 1, 0)
	within(t, "past the hyperfocal", float64(optics.Keepers(24*mm, 16, 5, 20*mm, 8*mm, .03*mm, optics.BetweenEyes)), 1, 1e-12)
}

// EyesRoom is the depth in which the plane may stand: its two ends put one eye each at
// the circle of confusion.
func TestEyesRoom(t *testing.T) {
	f, n, u, gap, c := 85*mm, 2.8, unit.Length(1.5), 15*mm, .03*mm
	last, first := unit.Length(0), unit.Length(0)
	for s := unit.Length(1.40); s < 1.60; s += 1e-5 {
		if optics.Blur(f, n, s, u-gap/2, 1) <= c && optics.Blur(f, n, s, u+gap/2, 1) <= c {
			if first == 0 {
				first = s
			}
			last = s
		}
	}
	within(t, "room", float64(optics.EyesRoom(f, n, u, gap, c)), float64(last-first), 3e-5)
}
