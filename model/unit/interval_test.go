package unit

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// number draws reals over many sizes, with zero and small whole numbers well represented.
var reals = rapid.Custom(func(t *rapid.T) float64 {
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return float64(rapid.IntRange(-3, 3).Draw(t, "whole"))
	case 1:
		return rapid.Float64Range(-2, 2).Draw(t, "near one")
	}
	return rapid.Float64Range(-1, 1).Draw(t, "mantissa") * math.Pow10(rapid.IntRange(-12, 12).Draw(t, "size"))
})

var spans = rapid.Custom(func(t *rapid.T) Interval {
	iv := Of(reals.Draw(t, "a"), reals.Draw(t, "b"))
	switch rapid.IntRange(0, 9).Draw(t, "open") {
	case 0:
		iv.Hi = math.Inf(1)
	case 1:
		iv.Lo = math.Inf(-1)
	}
	return iv
})

// member draws a finite member: an end or a point between.
func member(t *rapid.T, iv Interval, name string) float64 {
	lo, hi := max(iv.Lo, -1e13), min(iv.Hi, 1e13)
	x := lo + (hi-lo)*rapid.Float64Range(0, 1).Draw(t, name)
	switch rapid.IntRange(0, 3).Draw(t, name+" where") {
	case 0:
		x = lo
	case 1:
		x = hi
	}
	return min(max(x, lo), hi)
}

// holds compares without rounding: x is exact to 300 bits or more.
func holds(iv Interval, x *big.Float) bool {
	above := math.IsInf(iv.Lo, -1) || !math.IsInf(iv.Lo, 1) && big.NewFloat(iv.Lo).Cmp(x) <= 0
	below := math.IsInf(iv.Hi, 1) || !math.IsInf(iv.Hi, -1) && big.NewFloat(iv.Hi).Cmp(x) >= 0
	return above && below
}

func exactly(x float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(x) }

// Each operation holds the true result, to 400 bits, at any members of its operands.
// Two points are the stated exception: they give the nearest float64.
func TestIntervalHoldsItsMembers(t *testing.T) {
	binary := map[string]struct {
		op    func(a, b Interval) Interval
		exact func(x, y float64) *big.Float // nil: no value
		near  func(x, y float64) float64
	}{
		"Add": {Interval.Add, func(x, y float64) *big.Float { return new(big.Float).SetPrec(400).Add(exactly(x), exactly(y)) }, func(x, y float64) float64 { return x + y }},
		"Sub": {Interval.Sub, func(x, y float64) *big.Float { return new(big.Float).SetPrec(400).Sub(exactly(x), exactly(y)) }, func(x, y float64) float64 { return x - y }},
		"Mul": {Interval.Mul, func(x, y float64) *big.Float { return new(big.Float).SetPrec(400).Mul(exactly(x), exactly(y)) }, func(x, y float64) float64 { return x * y }},
		"Div": {Interval.Div, func(x, y float64) *big.Float {
			if y == 0 {
				return nil
			}
			return new(big.Float).SetPrec(400).Quo(exactly(x), exactly(y))
		}, func(x, y float64) float64 { return x / y }},
		"Max": {Interval.Max, func(x, y float64) *big.Float { return exactly(max(x, y)) }, func(x, y float64) float64 { return max(x, y) }},
		"Min": {Interval.Min, func(x, y float64) *big.Float { return exactly(min(x, y)) }, func(x, y float64) float64 { return min(x, y) }},
	}
	for name, b := range binary {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				p, q := spans.Draw(t, "p"), spans.Draw(t, "q")
				x, y := member(t, p, "x"), member(t, q, "y")
				r := b.op(p, q)
				want := b.exact(x, y)
				switch {
				case want == nil:
				case p.IsPoint() && q.IsPoint():
					if n := b.near(x, y); !r.Contains(n) {
						t.Fatalf("%v %s %v = %v", x, name, y, r)
					}
				case !holds(r, want):
					t.Fatalf("%v %s %v = %v does not hold %v of %v and %v", p, name, q, r, want, x, y)
				}
			})
		})
	}
	unary := map[string]struct {
		op    func(a Interval) Interval
		exact func(x float64) *big.Float
	}{
		"Neg": {Interval.Neg, func(x float64) *big.Float { return exactly(-x) }},
		"Abs": {Interval.Abs, func(x float64) *big.Float { return exactly(math.Abs(x)) }},
		"Out": {Interval.Out, exactly},
		"Sqr": {Interval.Sqr, func(x float64) *big.Float { return new(big.Float).SetPrec(400).Mul(exactly(x), exactly(x)) }},
		"Scale": {func(a Interval) Interval { return a.Scale(-0.3) },
			func(x float64) *big.Float { return new(big.Float).SetPrec(400).Mul(exactly(x), exactly(-0.3)) }},
		"Sqrt": {Interval.Sqrt, func(x float64) *big.Float {
			if x < 0 {
				return nil
			}
			return new(big.Float).SetPrec(400).Sqrt(exactly(x))
		}},
		"Log2": {Interval.Log2, func(x float64) *big.Float {
			if x <= 0 {
				return nil
			}
			return slowLog2(x)
		}},
	}
	for name, u := range unary {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				p := spans.Filter(func(iv Interval) bool { return !iv.IsPoint() }).Draw(t, "p")
				x := member(t, p, "x")
				r := u.op(p)
				if want := u.exact(x); want != nil && !holds(r, want) {
					t.Fatalf("%s of %v = %v does not hold %v of %v", name, p, r, want, x)
				}
			})
		})
	}
	// 2^y is x where y = log2 x: the slow logarithm checks the power as well.
	t.Run("Exp2", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			x := rapid.Float64Range(1e-6, 1e6).Draw(t, "x")
			y, _ := slowLog2(x).Float64()
			r := Of(y-1e-9, math.Nextafter(y, math.Inf(1)), math.Nextafter(y, math.Inf(-1))).Exp2()
			if !r.Contains(x) {
				t.Fatalf("2^(log2 %v) is not in %v", x, r)
			}
			p := Interval{y, math.Nextafter(y, math.Inf(1))} // log2 x is in p or in the one below
			q := Interval{math.Nextafter(y, math.Inf(-1)), y}
			if !p.Exp2().Contains(x) && !q.Exp2().Contains(x) {
				t.Fatalf("2^%v = %v, 2^%v = %v: neither holds %v", p, p.Exp2(), q, q.Exp2(), x)
			}
		})
	})
}

// slowLog2 finds the binary digits of log2 x one by one, by squaring (Briggs).
func slowLog2(x float64) *big.Float {
	frac, exp := math.Frexp(x)
	m := exactly(2 * frac) // 1 <= m < 2
	sum := exactly(float64(exp - 1))
	two := exactly(2)
	for i := 1; i <= 200; i++ {
		if m.Mul(m, m).Cmp(two) >= 0 {
			m.Quo(m, two)
			sum.Add(sum, new(big.Float).SetMantExp(exactly(1), -i))
		}
	}
	return sum
}

func TestSlowLog2(t *testing.T) {
	for x, want := range map[float64]float64{1: 0, 8: 3, 0.25: -2, 3: 1.584962500721156, 10: 3.321928094887362} { // log2 3 and log2 10, from tables
		if got, _ := slowLog2(x).Float64(); math.Abs(got-want) > 1e-15 {
			t.Errorf("log2 %v = %v", x, got)
		}
	}
}

func TestIntervalEdges(t *testing.T) {
	inf := math.Inf(1)
	for name, c := range map[string]struct{ got, holds Interval }{
		"half-line over half-line":  {Interval{1, inf}.Div(Interval{1, inf}), Interval{0, inf}},
		"over an interval with 0":   {Interval{-1, 1}.Div(Interval{-1, 1}), Whole},
		"positive over 0 and above": {Interval{2, 4}.Div(Interval{0, 2}), Interval{1, inf}},
		"0 times everything":        {Interval{0, 1}.Mul(Whole), Whole},
		"negative half-line":        {Interval{-inf, -1}.Div(Interval{1, inf}), Interval{-inf, 0}},
		"square of a span over 0":   {Interval{-2, 1}.Sqr(), Interval{0, 4}},
	} {
		if !c.got.Holds(c.holds) {
			t.Errorf("%s: %v does not hold %v", name, c.got, c.holds)
		}
	}
	// What cannot be negative has no lower bound below 0, or a quotient by it is lost.
	for name, iv := range map[string]Interval{
		"Sqr": Interval{-1, 2}.Sqr(), "Sqrt": Interval{0, 2}.Sqrt(), "Add": Interval{0, 1}.Add(Interval{0, 1}),
		"Mul": Interval{0, 1}.Mul(Interval{0, 1}), "Div": Interval{0, 1}.Div(Interval{1, 2}), "Exp2": Interval{-2000, 0}.Exp2(),
	} {
		if iv.Lo < 0 {
			t.Errorf("%s: %v", name, iv)
		}
	}
	for name, iv := range map[string]Interval{
		"Add": Empty.Add(Whole), "Mul": Empty.Mul(Interval{-2, -1}), "Div": Interval{1, 2}.Div(Empty), "And": Interval{0, 1}.And(Interval{2, 3}),
		"Neg": Empty.Neg(), "Sqrt": Empty.Sqrt(), "Abs": Empty.Abs(),
	} {
		if !iv.IsEmpty() {
			t.Errorf("%s of nothing is %v", name, iv)
		}
	}
	for _, iv := range []Interval{Whole, {1, inf}, {-inf, 3}, {-math.MaxFloat64, math.MaxFloat64}, {2, 4}, Point(0.1)} {
		if m := iv.Mid(); !iv.Contains(m) || math.IsInf(m, 0) {
			t.Errorf("the middle of %v is %v", iv, m)
		}
	}
	if p := Point(0.1).Mul(Point(3)); !p.IsPoint() {
		t.Errorf("two points gave %v", p)
	}
}
