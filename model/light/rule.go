package light

import "math"

// A legendre rule averages over [-1, 1]. Its error for a power series is known beforehand:
// e0 is its error for x^(2n), the first power it misses (all odd ones cancel), and ratio
// bounds the error of each next even power by that of the one before.
type legendre struct {
	x, w      []float64
	e0, ratio float64

	half, radial []float64 // the same on [0, 1], and weighted by the place there: see overPolygon
}

const mostNodes = 16

var gauss = func() (g [mostNodes + 1]legendre) {
	for n := 1; n <= mostNodes; n++ {
		g[n] = newLegendre(n)
	}
	return g
}()

func newLegendre(n int) (r legendre) {
	for i := range n {
		x := -math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		var d float64
		for range 60 { // Newton on the Legendre polynomial by its three-term recurrence
			p0, p1 := 1.0, x
			for k := 2; k <= n; k++ {
				p0, p1 = p1, (float64(2*k-1)*x*p1-float64(k-1)*p0)/float64(k)
			}
			d = float64(n) * (x*p1 - p0) / (x*x - 1)
			x -= p1 / d
		}
		r.x, r.w = append(r.x, x), append(r.w, 1/((1-x*x)*d*d))
	}
	for i, x := range r.x {
		s := (1 + x) / 2
		r.half, r.radial = append(r.half, s), append(r.radial, r.w[i]*s)
	}
	r.e0 = r.miss(2 * n)
	r.ratio = max(1, r.miss(2*n+2)/r.e0) // a single node starts lower; see the tests
	return r
}

// miss is the error of the rule for x^j, j even.
func (r legendre) miss(j int) float64 {
	e := 1 / float64(j+1)
	for i, x := range r.x {
		e -= r.w[i] * math.Pow(x, float64(j))
	}
	return math.Abs(e)
}

// A spot rule averages over a disc or an octagon of circumradius 1. It is exact to an odd
// degree; e0 bounds its error for a polynomial of the next degree that is at most r^(degree+1).
type spots struct {
	degree  int
	x, y, w []float64
	e0      float64
}

// discRules are products of Gauss rules in r^2 and equal angles: n rings of 4n nodes are
// exact to degree 4n-1. octagonRules are rings of eight nodes.
var (
	discRules    = []spots{discSeven(), rings(2), rings(3), rings(4), rings(5), rings(6)}
	octagonRules = []spots{octagonNine(), octagonSixteen()}
)

func (s *spots) put(x, y, w float64) {
	s.x, s.y, s.w = append(s.x, x), append(s.y, y), append(s.w, w)
}

func (s *spots) ring(n int, r, w float64) {
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / float64(n))
		s.put(r*cos, r*sin, w/float64(n))
	}
}

// seal sets e0: the mean of r^(degree+1) over the face plus that over the nodes.
func (s spots) seal(mean func(j int) float64) spots {
	s.e0 = mean(s.degree + 1)
	for i := range s.x {
		s.e0 += s.w[i] * math.Pow(math.Hypot(s.x[i], s.y[i]), float64(s.degree+1))
	}
	return s
}

func discMean(j int) float64 { return 2 / float64(j+2) }

// discSeven is the rule S2 5-1 of Stroud, Approximate Calculation of Multiple Integrals (1971).
func discSeven() spots {
	s := spots{degree: 5}
	s.put(0, 0, 0.25)
	s.ring(6, math.Sqrt(2./3), 0.75)
	return s.seal(discMean)
}

func rings(n int) spots {
	s := spots{degree: 4*n - 1}
	for i, t := range gauss[n].x {
		s.ring(4*n, math.Sqrt((1+t)/2), gauss[n].w[i])
	}
	return s.seal(discMean)
}

// octagonMean is the mean of r^j over the regular octagon of circumradius 1, by its
// half wedges of 22.5 degrees.
func octagonMean(j int) float64 {
	in, sum := math.Cos(math.Pi/8), 0.0
	for i, x := range gauss[mostNodes].x {
		sum += gauss[mostNodes].w[i] * math.Pow(in/math.Cos((1+x)*math.Pi/16), float64(j+2))
	}
	return sum * math.Pi / 8 / float64(j+2) / (in * in * math.Tan(math.Pi/8) / 2)
}

// The octagon rules match its radial moments; eight equal angles kill every angular term
// below degree 8.
func octagonNine() spots {
	m2, m4 := octagonMean(2), octagonMean(4)
	s := spots{degree: 5}
	s.put(0, 0, 1-m2*m2/m4)
	s.ring(8, math.Sqrt(m4/m2), m2*m2/m4)
	return s.seal(octagonMean)
}

func octagonSixteen() spots {
	m2, m4, m6 := octagonMean(2), octagonMean(4), octagonMean(6)
	// Nodes are the roots of t^2 + b t + c orthogonal to 1 and t in the moments of t = r^2.
	det := m4 - m2*m2
	b := (m2*m4 - m6) / det
	c := (m2*m6 - m4*m4) / det
	root := math.Sqrt(b*b/4 - c)
	t1, t2 := -b/2-root, -b/2+root
	w2 := (m2 - t1) / (t2 - t1)
	s := spots{degree: 7}
	s.ring(8, math.Sqrt(t1), 1-w2)
	s.ring(8, math.Sqrt(t2), w2)
	return s.seal(octagonMean)
}

// The kernel of an area source at distance d from a line or face centre is
//
//	r^-p = d^-p sum_j C_j(cos gamma) (rho/d)^j,   p = Law + 4,
//
// with Gegenbayer polynomials of order p/2, |C_j| <= C_j(1) = p(p+1)...(p+j-1)/j!
// (Szego, Orthogonal Polynomials, 7.33). tail bounds what a rule of error e0 and error
// ratio q misses of it, in units of the kernel at the centre, when rho <= s d: first for
// the kernel, then for the kernel times a linear function of slope 1 per half width.
// degree is the even first power missed. Infinite when the series is not seen to converge.
func tail(p, s, e0, q float64, degree int) (even, odd float64) {
	even, odd, _ = tails(p, s, e0, q, degree)
	return even, odd
}

// tails gives also the miss of the kernel times two such linear functions.
func tails(p, s, e0, q float64, degree int) (even, odd, twice float64) {
	c, before, last := 1.0, 0.0, 0.0
	for j := 1; j <= degree; j++ {
		before, last = c, before
		c *= (p + float64(j) - 1) * s * inverse[j]
	}
	// The largest of the ratios C_(j+2)/C_j from j = degree-2 on; they fall for p > 1.
	j := float64(degree)
	q *= (p + j - 2) * (p + j - 1) * inverse[degree-1] * inverse[degree] * s * s
	if !(q < 0.9) {
		return math.Inf(1), math.Inf(1), math.Inf(1)
	}
	k := e0 / (1 - q)
	return c * k, before * k, last * k
}

var inverse = func() (v [64]float64) {
	for i := range v {
		v[i] = 1 / float64(i)
	}
	return v
}()

type point struct{ x, y float64 }

// clip cuts a convex polygon to the half plane a x + b y >= c, appending to dst.
func clip(dst, poly []point, a, b, c float64) []point {
	if len(poly) == 0 {
		return dst
	}
	p := poly[len(poly)-1]
	dp := a*p.x + b*p.y - c
	for _, q := range poly {
		dq := a*q.x + b*q.y - c
		if (dp > 0 && dq < 0) || (dp < 0 && dq > 0) {
			t := dp / (dp - dq)
			dst = append(dst, point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)})
		}
		if dq >= 0 {
			dst = append(dst, q)
		}
		p, dp = q, dq
	}
	return dst
}

// centre and radius of a circle that holds the polygon.
func circle(poly []point) (c point, r float64) {
	for _, p := range poly {
		c.x, c.y = c.x+p.x, c.y+p.y
	}
	c.x, c.y = c.x/float64(len(poly)), c.y/float64(len(poly))
	for _, p := range poly {
		r = max(r, math.Hypot(p.x-c.x, p.y-c.y))
	}
	return c, r
}

// overPolygon integrates over a convex polygon by a fan of triangles from its centre,
// each with a collapsed Gauss product of nr nodes along the radius; across it the order
// follows the share of the radius that the edge spans. over sums over a triangle with the
// half-range nodes of a rule across it and, with radial weights, of one along the radius.
func overPolygon(poly []point, nr int, over func(triangle swath, across, radius *legendre) float64) float64 {
	if len(poly) < 3 {
		return 0
	}
	c, radius := circle(poly)
	sum := 0.0
	p := poly[len(poly)-1]
	for _, q := range poly {
		from := p
		p = q
		ex, ey := q.x-from.x, q.y-from.y
		double := (from.x-c.x)*ey - (from.y-c.y)*ex
		if double == 0 {
			continue
		}
		nt := nr
		if span := math.Hypot(ex, ey) / radius; span < 1 {
			nt = max(2, int(math.Ceil(float64(nr)*span)))
		}
		triangle := swath{from: c, along: point{from.x - c.x, from.y - c.y}, turn: point{ex, ey}}
		sum += double * over(triangle, &gauss[nt], &gauss[nr])
	}
	return math.Abs(sum)
}

// ngon returns a regular polygon of n corners with the area of a disc of radius r.
func ngon(dst []point, n int, r float64) []point {
	step := 2 * math.Pi / float64(n)
	r *= math.Sqrt(step / math.Sin(step))
	for k := range n {
		sin, cos := math.Sincos(step * (float64(k) + 0.5))
		dst = append(dst, point{r * cos, r * sin})
	}
	return dst
}
