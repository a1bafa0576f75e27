package light

import (
	"math"
	"math/rand/v2"
	"testing"

	"falloff/model/geom"
	"falloff/model/unit"
	"pgregory.net/rapid"
)

func studioRoom(rho float64) Room {
	r := Room{Min: geom.Vec{X: -2, Y: -2.5}, Max: geom.Vec{X: 2, Y: 2.5, Z: 2.6}}
	for i := range r.Rho {
		r.Rho[i] = rho
	}
	return r
}

var portrait = []Receiver{
	{geom.Vec{Z: 1.2}, geom.Vec{Y: 1}},                  // face toward the camera
	{geom.Vec{X: -0.08, Z: 1.2}, geom.Vec{X: -1}},       // far cheek
	{geom.Vec{Y: -2.5, Z: 1.3}, geom.Vec{Y: 1}},         // backdrop behind the head
	{geom.Vec{X: 0.8, Y: -2.5, Z: 1.3}, geom.Vec{Y: 1}}, // and beside it
	{geom.Vec{Y: -0.1, Z: 1.4}, geom.Vec{Y: -1, Z: 1}.Unit()},
}

// trace estimates the indirect illuminance at receivers by forward path tracing: rays leave
// points of the face with its law and grid, bounce diffusely, and at each bounce the
// reflected flux is counted at each receiver (next-event estimation).
func trace(r Room, e Emitter, p Pose, receivers []Receiver, paths int, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 7))
	out := make([]float64, len(receivers))
	axis := p.Aim.Sub(p.At).Unit()
	u, v := geom.Axes(axis)
	lo, hi := coordinates(r.Min), coordinates(r.Max)
	for range paths {
		at, dir, weight := p.At, geom.Vec{}, 1.0
		if e.Face.Kind == Ball {
			z, a := 2*rng.Float64()-1, 2*math.Pi*rng.Float64()
			s := math.Sqrt(1 - z*z)
			dir = geom.Vec{X: s * math.Cos(a), Y: s * math.Sin(a), Z: z}
		} else {
			for {
				x, y := (rng.Float64()-0.5)*e.Face.W, (rng.Float64()-0.5)*e.Face.W
				if e.Face.Kind == Rect {
					y *= e.Face.H / e.Face.W
				}
				if e.Face.has(x, y) {
					at = at.Add(u.Mul(x)).Add(v.Mul(y))
					break
				}
			}
			c := math.Pow(rng.Float64(), 1/(e.Law+2))
			s, a := math.Sqrt(1-c*c), 2*math.Pi*rng.Float64()
			dir = axis.Mul(c).Add(u.Mul(s * math.Cos(a))).Add(v.Mul(s * math.Sin(a)))
			if e.gridded() {
				weight = e.Grid.Transmission(s*math.Cos(a)/c, s*math.Sin(a)/c)
			}
		}
		for bounce := 0; weight > 0 && bounce < 60; bounce++ {
			from, d := coordinates(at), coordinates(dir)
			far, hit := math.Inf(1), 0
			for k := range 3 {
				if d[k] > 0 && (hi[k]-from[k])/d[k] < far {
					far, hit = (hi[k]-from[k])/d[k], 2*k+1
				} else if d[k] < 0 && (lo[k]-from[k])/d[k] < far {
					far, hit = (lo[k]-from[k])/d[k], 2*k
				}
			}
			at = at.Add(dir.Mul(far))
			var nc [3]float64
			nc[hit/2] = 1 - 2*float64(hit%2)
			n := vector(nc)
			rho := r.Rho[hit]
			if hit == 2 && math.Abs(at.X) <= r.Paper.HalfWidth && at.Z <= r.Paper.Top {
				rho = r.Paper.Rho
			}
			weight *= rho
			for k, rc := range receivers {
				s := at.Sub(rc.At)
				r2 := s.Dot(s)
				out[k] += weight * max(0, s.Dot(rc.Normal)) * max(0, -s.Dot(n)) / (math.Pi * r2 * r2)
			}
			if rng.Float64() > rho { // Russian roulette in place of the weight
				break
			}
			weight /= rho
			a := geom.Vec{X: 1}
			if math.Abs(n.X) > 0.5 {
				a = geom.Vec{Y: 1}
			}
			t1 := n.Cross(a).Unit()
			t2 := n.Cross(t1)
			s2, phi := rng.Float64(), 2*math.Pi*rng.Float64()
			s := math.Sqrt(s2)
			dir = n.Mul(math.Sqrt(1 - s2)).Add(t1.Mul(s * math.Cos(phi))).Add(t2.Mul(s * math.Sin(phi)))
		}
	}
	for k := range out {
		out[k] /= float64(paths)
	}
	return out
}

func TestBounceAgreesWithPathTracing(t *testing.T) {
	dark := studioRoom(0.8)
	dark.Rho = [6]float64{0.7, 0.3, 0.8, 0.5, 0.2, 0.85}
	dark.Paper = Paper{Rho: 0.05, HalfWidth: 1.35, Top: 2.3}
	soft := Emitter{Face: Face{Rect, 0.9, 0.9}}
	for _, c := range []struct {
		name string
		room Room
		e    Emitter
		at   geom.Vec
	}{
		{"soft box, white room", studioRoom(0.8), soft, geom.Vec{X: 1, Y: 1.1, Z: 1.9}},
		{"soft box, mixed room, black paper", dark, soft, geom.Vec{X: 1, Y: 1.1, Z: 1.9}},
		{"bare bulb, white room", studioRoom(0.8), Emitter{Face: Face{Kind: Ball, W: 0.1}}, geom.Vec{X: -1, Y: 0.8, Z: 1.8}},
		{"gridded spot, mixed room", dark, Emitter{Face: Face{Kind: Disc, W: 0.18}, Law: 2, Grid: Grid{Hex, 2}}, geom.Vec{X: 1, Y: -1.2, Z: 2}},
	} {
		b := NewBounce(c.room, portrait)
		p := Pose{c.at, geom.Vec{Z: 1.2}}
		got := make([]float64, len(portrait))
		b.Indirect(c.e, p, got)
		want := trace(c.room, c.e, p, portrait, 150000, 3)
		for k := range got {
			t.Logf("%-34s receiver %d: %.5f, traced %.5f, ratio %.3f", c.name, k, got[k], want[k], got[k]/want[k])
			if r := got[k] / want[k]; !(r > 0.88 && r < 1.12) {
				t.Errorf("%s, receiver %d: ratio %.3f", c.name, k, r)
			}
		}
	}
}

// In a cube with an even, isotropic light the enclosure formula gives the mean illuminance
// on the walls; at their middles direct light is above the mean, at the corners below.
func TestBounceInACube(t *testing.T) {
	r := Room{Min: geom.Vec{X: -1.5, Y: -1.5}, Max: geom.Vec{X: 1.5, Y: 1.5, Z: 3}}
	for i := range r.Rho {
		r.Rho[i] = 0.7
	}
	b := NewBounce(r, []Receiver{{geom.Vec{Z: 1.2}, geom.Vec{Y: 1}}, {geom.Vec{X: 0.5, Y: -1.5, Z: 1}, geom.Vec{Y: 1}}})
	out := make([]float64, 2)
	b.Indirect(Emitter{Face: Face{Kind: Ball, W: 0.1}}, Pose{geom.Vec{Z: 1.5}, geom.Vec{Y: 1, Z: 1.5}}, out)
	want := 0.7 * Enclosure(1, 54, 0.7)
	for k, x := range out {
		if math.Abs(x/want-1) > 0.1 {
			t.Errorf("receiver %d: %.5f, enclosure %.5f", k, x, want)
		}
	}
}

// What the walls absorb is what was emitted: sum over the walls of (1 - rho) E is 1 lumen.
func TestBounceKeepsEnergy(t *testing.T) {
	r := studioRoom(0)
	r.Rho = [6]float64{0.7, 0.3, 0.8, 0.5, 0.2, 0.85}
	b := &Bounce{room: r}
	patches := b.patch()
	var receivers []Receiver
	for _, p := range patches {
		receivers = append(receivers, Receiver{p.at.Add(p.n.Mul(1e-9)), p.n})
	}
	// Bounce at the patches themselves, with the very form factors of the system.
	x := b.exchange(patches)
	for i, p := range patches {
		row := 0.0
		for j := range patches {
			row += x[i*len(patches)+j]
			if math.Abs(x[i*len(patches)+j]-x[j*len(patches)+i]) > 1e-12 {
				t.Fatal("not reciprocal")
			}
		}
		if math.Abs(row/p.area-1) > 1e-3 {
			t.Fatalf("patch %d: form factors add up to %.5f", i, row/p.area)
		}
	}
	b = NewBounce(r, receivers)
	out := make([]float64, len(receivers))
	p := Pose{geom.Vec{X: 0.5, Y: 0.6, Z: 1.8}, geom.Vec{Z: 1.2}}
	e := Emitter{Face: Face{Rect, 0.9, 0.9}}
	b.Indirect(e, p, out)
	absorbed := 0.0
	for i, q := range patches {
		absorbed += (1 - q.rho) * q.area * out[i]
	}
	direct := 0.0 // by the same fan of rays
	for k := range 6 {
		one := r
		one.Rho = [6]float64{}
		one.Rho[k] = r.Rho[k]
		direct += (1 - r.Rho[k]) * flux(one, e, p, k)
	}
	// Receivers' own form factors are scaled alone, not with the system: a few per cent.
	if total := absorbed + direct; math.Abs(total-1) > 0.03 {
		t.Errorf("%.4f lm absorbed of 1", total)
	}
}

// flux is the share of an emitter's light that lands on one wall first.
func flux(r Room, e Emitter, p Pose, wall int) float64 {
	b := &Bounce{room: r}
	sum := 0.0
	for _, q := range b.patch() {
		if q.wall != wall {
			continue
		}
		for i := range 64 {
			a, c := (2*float64(i%8)+1)/8-1, (2*float64(i/8)+1)/8-1
			sum += e.Illuminance(p, q.at.Add(q.half[0].Mul(a)).Add(q.half[1].Mul(c)), q.n) * q.area / 64
		}
	}
	return sum
}

func TestBounceRisesWithReflectance(t *testing.T) {
	e, p := Emitter{Face: Face{Rect, 0.4, 1.33}}, Pose{geom.Vec{X: 1.2, Y: 0.5, Z: 1.5}, geom.Vec{Z: 1.2}}
	before := make([]float64, len(portrait))
	for _, rho := range []float64{0, 0.05, 0.3, 0.6, 0.9} {
		out := make([]float64, len(portrait))
		NewBounce(studioRoom(rho), portrait).Indirect(e, p, out)
		for k := range out {
			if rho == 0 && out[k] != 0 {
				t.Errorf("black walls give %v", out[k])
			}
			if rho > 0 && !(out[k] > before[k]) {
				t.Errorf("rho %v, receiver %d: %v after %v", rho, k, out[k], before[k])
			}
		}
		copy(before, out)
	}
	// Small reflectances: one bounce only, so it is linear in rho.
	a, b := make([]float64, len(portrait)), make([]float64, len(portrait))
	NewBounce(studioRoom(0.001), portrait).Indirect(e, p, a)
	NewBounce(studioRoom(0.002), portrait).Indirect(e, p, b)
	for k := range a {
		if math.Abs(b[k]/a[k]-2) > 0.01 {
			t.Errorf("receiver %d: twice the reflectance, %.4f times the light", k, b[k]/a[k])
		}
	}
}

func TestIndirectBoundHoldsEveryPose(t *testing.T) {
	black := studioRoom(0.6)
	black.Rho[4] = 0.2
	black.Paper = Paper{Rho: 0.04, HalfWidth: 1.35, Top: 2.2}
	rooms := []*Bounce{NewBounce(studioRoom(0.8), portrait), NewBounce(black, portrait)}
	rapid.Check(t, func(t *rapid.T) {
		e, pb := drawEmitter(t), drawBox(t)
		b := rooms[rapid.IntRange(0, 1).Draw(t, "room")]
		bounds, got := make([]unit.Interval, len(portrait)), make([]float64, len(portrait))
		b.IndirectBound(e, pb, bounds)
		for range 10 {
			p, _ := drawPose(t, pb)
			b.Indirect(e, p, got)
			for k := range got {
				if !bounds[k].Contains(got[k]) {
					t.Fatalf("%+v: %v outside %v", e, got[k], bounds[k])
				}
			}
		}
	})
}

func TestIndirectWidth(t *testing.T) {
	b := NewBounce(studioRoom(0.8), portrait)
	bounds := make([]unit.Interval, len(portrait))
	for _, size := range []float64{0.1, 1, 4, 16} {
		hd, ha := 0.0125/2*size, 1.25/2*size*math.Pi/180
		b.IndirectBound(Emitter{Face: Face{Rect, 0.9, 0.9}}, PoseBox{geom.Vec{Z: 1.2}, unit.Interval{Lo: 1.3 - hd, Hi: 1.3 + hd}, unit.Interval{Lo: 0.8 - ha, Hi: 0.8 + ha}, unit.Interval{Lo: 0.5 - ha, Hi: 0.5 + ha}}, bounds)
		for k, iv := range bounds {
			width := math.Log2(iv.Hi / iv.Lo)
			t.Logf("%5.2f cm, deg, receiver %d: %.3f stops", 1.25*size, k, width)
			if size == 1 && width > 0.15 {
				t.Errorf("receiver %d: %.3f stops wide", k, width)
			}
		}
	}
}

func BenchmarkBounce(b *testing.B) {
	room := studioRoom(0.8)
	b.Run("new", func(b *testing.B) {
		for b.Loop() {
			NewBounce(room, portrait)
		}
	})
	bounce := NewBounce(room, portrait)
	e := Emitter{Face: Face{Rect, 0.9, 0.9}}
	box := PoseBox{geom.Vec{Z: 1.2}, unit.Interval{Lo: 1.2, Hi: 1.2125}, unit.Interval{Lo: 0.7, Hi: 0.72}, unit.Interval{Lo: 0.5, Hi: 0.52}}
	b.Run("indirect", func(b *testing.B) {
		b.ReportAllocs()
		out := make([]float64, len(portrait))
		for b.Loop() {
			bounce.Indirect(e, box.Mid(), out)
		}
	})
	b.Run("bound", func(b *testing.B) {
		b.ReportAllocs()
		out := make([]unit.Interval, len(portrait))
		for b.Loop() {
			bounce.IndirectBound(e, box, out)
		}
	})
}
