package light

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Averages of x^i y^j over the disc and the octagon, by brute force in polar rings.
func faceMoment(octagon bool, i, j int) float64 {
	const turns = 4096
	sum, area := 0.0, 0.0
	for k := range turns {
		a := 2 * math.Pi * (float64(k) + 0.5) / turns
		s, c := math.Sincos(a)
		r := 1.0
		if octagon { // distance to the flats, which lie across u and v and at 45 degrees
			in := math.Cos(math.Pi / 8)
			r = in / max(math.Abs(c), math.Abs(s), (math.Abs(c)+math.Abs(s))/math.Sqrt2)
		}
		n := float64(i + j + 2)
		sum += math.Pow(c, float64(i)) * math.Pow(s, float64(j)) * math.Pow(r, n) / n
		area += r * r / 2
	}
	return sum / area
}

func TestRulesAreExact(t *testing.T) {
	check := func(name string, octagon bool, rules []spots) {
		for n, r := range rules {
			for i := 0; i <= r.degree; i++ {
				for j := 0; i+j <= r.degree; j++ {
					got := 0.0
					for k := range r.x {
						got += r.w[k] * math.Pow(r.x[k], float64(i)) * math.Pow(r.y[k], float64(j))
					}
					if want := faceMoment(octagon, i, j); math.Abs(got-want) > 1e-6 {
						t.Errorf("%s rule %d: mean of x^%d y^%d is %v, want %v", name, n, i, j, got, want)
					}
				}
			}
		}
	}
	check("disc", false, discRules[:4])
	check("octagon", true, octagonRules)
	// What tail takes for granted: no later even power is missed by a greater factor.
	for n := 1; n <= 12; n++ {
		for j := 2*n + 2; j < 2*n+40; j += 2 {
			if q := gauss[n].miss(j+2) / gauss[n].miss(j); q > gauss[n].ratio {
				t.Errorf("%d nodes: error ratio %v at power %d, %v at first", n, q, j, gauss[n].ratio)
			}
		}
	}
}

// The tail bound against a fine rule, on lines past a receiver.
func TestTailHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := 4 + between(t, 0, 12, "law")
		s, c := between(t, 0.01, 0.6, "s"), between(t, -1, 1, "cos")
		g := between(t, -1, 1, "slope")
		n := rapid.IntRange(1, 8).Draw(t, "n")
		f := func(x float64) float64 { return (1 + g*x) * math.Pow(1-2*s*c*x+s*s*x*x, -p/2) }
		mean := func(r legendre) (sum float64) {
			for i, x := range r.x {
				sum += r.w[i] * f(x)
			}
			return sum
		}
		fine := 0.0 // sixteen nodes on each of 16 pieces
		for k := range 16 {
			for i, x := range gauss[16].x {
				fine += gauss[16].w[i] / 16 * f((2*float64(k)+1+x)/16-1)
			}
		}
		even, odd := tail(p, s, gauss[n].e0, gauss[n].ratio, 2*n)
		if off := math.Abs(mean(gauss[n]) - fine); off > even+math.Abs(g)*odd+1e-12*fine {
			t.Fatalf("p %v, s %v, %d nodes: off by %v, bound %v + %v", p, s, n, off, even, odd)
		}
	})
}

func TestGridBoundsAndGradient(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Grid{Cell(rapid.IntRange(1, 3).Draw(t, "cell")), between(t, 0.3, 3, "K")}
		side := func(name string) iv {
			lo := between(t, -1, 1, name)
			return iv{lo, lo + between(t, 0, 0.5, name+" width")}
		}
		tx, ty := side("tx"), side("ty")
		bounds := g.bounds(tx, ty)
		dx, dy := g.gradient(tx, ty)
		for range 20 {
			x, y := between(t, tx.lo, tx.hi, "x"), between(t, ty.lo, ty.hi, "y")
			v := g.Transmission(x, y)
			if v < bounds.lo-1e-12 || v > bounds.hi+1e-12 || v < 0 || v > 1+1e-12 {
				t.Fatalf("%+v: T(%v, %v) = %v outside %v", g, x, y, v, bounds)
			}
			const h = 1e-6
			// A secant inside the box lies between the derivatives there.
			if x+h <= tx.hi {
				if d := (g.Transmission(x+h, y) - v) / h; d < dx.lo-1e-6 || d > dx.hi+1e-6 {
					t.Fatalf("%+v: dT/dx = %v at (%v, %v) outside %v", g, d, x, y, dx)
				}
			}
			if y+h <= ty.hi {
				if d := (g.Transmission(x, y+h) - v) / h; d < dy.lo-1e-6 || d > dy.hi+1e-6 {
					t.Fatalf("%+v: dT/dy = %v at (%v, %v) outside %v", g, d, x, y, dy)
				}
			}
			// The same backwards, and the overlap falls outward.
			if w := g.Transmission(-x, -y); math.Abs(w-v) > 1e-12 {
				t.Fatalf("T(-t) = %v, T(t) = %v", w, v)
			}
			if w := g.Transmission(1.01*x, 1.01*y); w > v+1e-12 {
				t.Fatalf("T rises outward: %v after %v", w, v)
			}
		}
	})
}
