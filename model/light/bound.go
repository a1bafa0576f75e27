package light

import (
	"math"

	"falloff/model/geom"
	"falloff/model/unit"
)

// PoseBox is a range of poses: the face centre is Target + D geom.Polar(az, el), aimed at
// Target. D > 0 in metres; Az and El in radians, Az at most 2 pi wide, El within
// -pi/2..pi/2.
type PoseBox struct {
	Target    geom.Vec
	D, Az, El unit.Interval
}

// At is one pose of the box.
func (b PoseBox) At(d, az, el float64) Pose {
	return Pose{b.Target.Add(geom.Polar(az, el).Mul(d)), b.Target}
}

// Mid is the pose in the middle of the box.
func (b PoseBox) Mid() Pose { return b.At(b.D.Mid(), b.Az.Mid(), b.El.Mid()) }

// Bound holds Illuminance(pose, q, n) for every pose of the box. See Sweep.
func (e Emitter) Bound(b PoseBox, q, n geom.Vec) unit.Interval {
	s := e.Over(b)
	return s.Bound(q, n)
}

// TowardBound holds Toward(pose, q) for every pose of the box.
func (e Emitter) TowardBound(b PoseBox, q geom.Vec) unit.Interval {
	s := e.Over(b)
	return s.Toward(q)
}

// OnAxisBound holds OnAxis over a range of distances: it is monotone, so the ends are ends.
func (e Emitter) OnAxisBound(d unit.Interval) unit.Interval {
	t := e.accuracy()
	return unit.Interval{Lo: e.OnAxis(d.Hi) * (1 - t), Hi: e.OnAxis(d.Lo) * (1 + t)}
}

// RatioBound holds Illuminance(pose, q, n) / OnAxis(D) for every pose of the box: the
// illuminance at q per unit of illuminance at the target on a plane that faces the light.
func (e Emitter) RatioBound(b PoseBox, q, n geom.Vec) unit.Interval {
	s := e.Over(b)
	return s.Ratio(q, n)
}

// TowardRatioBound is RatioBound for a plane at q that faces the centre of the face.
func (e Emitter) TowardRatioBound(b PoseBox, q geom.Vec) unit.Interval {
	s := e.Over(b)
	return s.TowardRatio(q)
}

// Sweep is an emitter over a box of poses, made by Over. It bounds what any point gets;
// what does not depend on the point is worked out once. Not for use by two goroutines at once.
//
// The face is represented by quadrature nodes, whose error has a bound derived beforehand
// (see tail); or, where the integrand is not smooth or the face is too near, by cells that
// cover it, each bounded as a whole. Their sum is bounded range by range, in closed forms
// of distance and angles (R. E. Moore, Interval Analysis, 1966), and by ranges of its
// analytic derivatives: along a side of the box on which a derivative keeps its sign the
// extremes lie at the ends; along the others the mean value theorem holds. The two are
// intersected, and widened by slack for rounding and by the accuracy of Illuminance.
type Sweep struct {
	e      Emitter
	box    PoseBox
	az, el arc
	d      iv
	ce, se iv
	half   [3]float64 // half widths of D, Az, El
	ds     [3]float64 // low end, middle and high end
	as, ac [3]float64 // sines and cosines of those of Az
	es, ec [3]float64 // and of El
	axis   iv         // D^2 OnAxis(D); zero until asked for
}

// Over prepares the bounds of e over a box.
func (e Emitter) Over(b PoseBox) (s Sweep) {
	s.e, s.box = e, b
	if max(-b.El.Lo, b.El.Hi) > math.Pi/2-1e-8 {
		b.Az = b.Az.Hull(unit.Point(0)) // straight above or below, geom.Axes turns u to X
	}
	s.d = iv{b.D.Lo, b.D.Hi}
	for i, side := range [3]unit.Interval{b.D, b.Az, b.El} {
		m := side.Mid()
		s.half[i] = max(side.Hi-m, m-side.Lo)
	}
	s.ds = [3]float64{b.D.Lo, b.D.Mid(), b.D.Hi}
	s.az, s.as, s.ac = arcOf(b.Az)
	s.el, s.es, s.ec = arcOf(b.El)
	s.ce, s.se = s.el.wave(1, 0), s.el.wave(0, 1)
	return s
}

// Bound holds Illuminance(pose, q, n) for every pose of the box.
func (s *Sweep) Bound(q, n geom.Vec) unit.Interval {
	all := s.bound(q, n, fixed, false).interval()
	if q != s.box.Target || s.e.Beam != nil {
		return all
	}
	return all.And(s.axial(n).interval())
}

// axial bounds the light at the target on a plane of normal n. The face is the same when it is
// turned by half about its axis, so what it throws across the axis cancels: the light vector
// lies along the axis, and a plane that sees the whole face gets the cosine's share of OnAxis.
// A plane whose horizon cuts the face gets at least that (A. Gershun, The Light Field, 1936).
func (s *Sweep) axial(n geom.Vec) iv {
	v := s.sight(s.box.Target, n, fixed)
	cos := iv{max(0, v.no.lo-v.room), min(1, v.no.hi+v.room)}
	axis := s.e.OnAxisBound(s.box.D)
	t := s.e.accuracy() // of Illuminance; that of OnAxis is in its bound
	e := iv{axis.Lo * cos.lo * (1 - t), math.Inf(1)}
	a, b := s.e.Face.half()
	if r := math.Hypot(a, b) * math.Sqrt(1-cos.lo*cos.lo); s.d.lo*cos.lo > r*(1+slack) {
		e.hi = axis.Hi * cos.hi * (1 + t)
	}
	return e
}

// Toward holds Toward(pose, q) for every pose of the box.
func (s *Sweep) Toward(q geom.Vec) unit.Interval {
	return s.bound(q, geom.Vec{}, toward, false).interval()
}

// Ratio holds Illuminance(pose, q, n) / OnAxis(D) for every pose of the box.
func (s *Sweep) Ratio(q, n geom.Vec) unit.Interval { return s.ratio(q, n, fixed) }

// TowardRatio holds Toward(pose, q) / OnAxis(D) for every pose of the box.
func (s *Sweep) TowardRatio(q geom.Vec) unit.Interval { return s.ratio(q, geom.Vec{}, toward) }

// ratio bounds D^2 E and divides by D^2 OnAxis(D), which hardly varies: the kernel at a
// fixed offset from the axis rises with the distance once d^2 is taken out.
func (s *Sweep) ratio(q, n geom.Vec, r receiver) unit.Interval {
	const longest = 1.25 // longer ranges of distance are halved, to keep D and E together
	if s.d.hi > longest*s.d.lo {
		near, far := s.box, s.box
		near.D.Hi = math.Sqrt(s.d.lo * s.d.hi)
		far.D.Lo = near.D.Hi
		a, b := s.e.Over(near), s.e.Over(far)
		return a.ratio(q, n, r).Hull(b.ratio(q, n, r))
	}
	if s.axis.hi == 0 {
		s.axis = s.onAxis()
	}
	f := s.bound(q, n, r, true)
	return iv{f.lo / s.axis.hi, f.hi / s.axis.lo}.interval()
}

// onAxis is the range of D^2 OnAxis(D). Where that may fall, the light itself does not rise
// with the distance: over a short step it lies between its ends.
func (s *Sweep) onAxis() iv {
	e := &s.e
	t := e.accuracy()
	if e.Beam == nil || e.Beam.falling {
		return iv{s.d.lo * s.d.lo * e.OnAxis(s.d.lo) * (1 - t), s.d.hi * s.d.hi * e.OnAxis(s.d.hi) * (1 + t)}
	}
	const steps = 6
	r := iv{math.Inf(1), 0}
	near, here := s.d.lo, e.OnAxis(s.d.lo)
	for i := range steps {
		far := s.d.lo + (s.d.hi-s.d.lo)*float64(i+1)/steps
		there := e.OnAxis(far)
		r = r.hull(iv{near * near * there * (1 - t), far * far * here * (1 + t)})
		near, here = far, there
	}
	return r
}

// slack is far above the rounding of the few hundred operations behind a bound, each
// within 2^-53 of its own result; differences of nearly equal lengths get room as lengths.
const slack = 1e-12

func (a iv) interval() unit.Interval {
	return unit.Interval{Lo: max(0, a.lo*(1-slack)), Hi: a.hi * (1 + slack)}
}

// accuracy is the relative error that Illuminance may have against the exact integral.
func (e Emitter) accuracy() float64 {
	switch {
	case e.Face.Kind != Ball && e.Beam != nil:
		return 2e-3
	case e.Face.Kind == Ball || (e.Law == 0 && !e.gridded() && e.Face.Kind != Disc):
		return 1e-9
	case !e.gridded() && e.Law == 0:
		return 2e-5 // a disc cut by the horizon is a 64-gon
	case e.gridded():
		return 5e-4
	}
	return 2e-4
}

type receiver int

const (
	fixed  receiver = iota // plane of a given normal
	toward                 // plane that faces the face centre
)

// arc is a range of angles with the sines and cosines of its ends.
type arc struct {
	wide           bool // half a turn or more
	s0, c0, s1, c1 float64
}

func arcOf(a unit.Interval) (r arc, sin, cos [3]float64) {
	r.wide = a.Hi-a.Lo >= math.Pi
	sin[1], cos[1] = math.Sincos(a.Mid())
	sin[0], cos[0], sin[2], cos[2] = sin[1], cos[1], sin[1], cos[1]
	if a.Hi > a.Lo {
		sin[0], cos[0] = math.Sincos(a.Lo)
		sin[2], cos[2] = math.Sincos(a.Hi)
	}
	r.s0, r.c0, r.s1, r.c1 = sin[0], cos[0], sin[2], cos[2]
	return r, sin, cos
}

// wave is the range of p cos t + q sin t over the arc: its ends, or its crest or trough
// where the slope changes sign.
func (r *arc) wave(p, q float64) iv {
	if r.wide {
		a := math.Sqrt(p*p + q*q)
		return iv{-a, a}
	}
	e0, e1 := p*r.c0+q*r.s0, p*r.c1+q*r.s1
	d0, d1 := q*r.c0-p*r.s0, q*r.c1-p*r.s1
	if e0 > e1 {
		e0, e1 = e1, e0
	}
	if d0 > 0 && d1 < 0 {
		e1 = math.Sqrt(p*p + q*q)
	} else if d0 < 0 && d1 > 0 {
		e0 = -math.Sqrt(p*p + q*q)
	}
	return iv{e0, e1}
}

// tilt gives the ranges of a cos el + z sin el and z cos el - a sin el: linear in a, so
// the ends of a make the ends.
func (r *arc) tilt(a iv, z float64) (o, v iv) {
	o, v = r.wave(a.lo, z), r.wave(z, -a.lo)
	if a.hi > a.lo {
		o, v = o.hull(r.wave(a.hi, z)), v.hull(r.wave(z, -a.hi))
	}
	return o, v
}

// sight is one receiver seen from the sweep. omega is the direction from target to face,
// u and v the face axes, w = q - target, n the receiver normal. As v = d omega/d el and
// u = d omega/d az / cos el, everything is a wave of az and el; the receiver in face axes
// is (u.w, v.w, D - omega.w).
type sight struct {
	*Sweep
	r                receiver
	w, n             geom.Vec
	w2, nw           float64
	room             float64 // allowance for rounding, as a length
	o, x, y, out     iv      // omega, u, v and the level outward direction, times w
	no, nu, nv, nout iv      // the same times n
	h                iv
	dist             iv // from q to the face centre
}

func (s *Sweep) sight(q, n geom.Vec, r receiver) (v sight) {
	v.Sweep, v.r, v.n = s, r, n
	v.w = q.Sub(s.box.Target)
	v.w2, v.nw = v.w.Dot(v.w), v.w.Dot(n)
	v.room = 1e-13 * (1 + s.d.hi + math.Sqrt(v.w2))
	v.out, v.x = s.az.wave(v.w.Y, v.w.X), s.az.wave(v.w.X, -v.w.Y)
	v.o, v.y = s.el.tilt(v.out, v.w.Z)
	v.h = s.d.sub(v.o).pad(v.room)
	if r == fixed {
		v.nout, v.nu = s.az.wave(n.Y, n.X), s.az.wave(n.X, -n.Y)
		v.no, v.nv = s.el.tilt(v.nout, n.Z)
	}
	v.dist = v.distance()
	return v
}

// distance is the range of |face centre - q|: convex in D, falling with omega.w.
func (v *sight) distance() iv {
	at := func(d, o float64) float64 { return max(0, d*(d-2*o)+v.w2) }
	near := min(v.d.hi, max(v.d.lo, v.o.hi))
	return iv{math.Sqrt(at(near, v.o.hi)), math.Sqrt(max(at(v.d.lo, v.o.lo), at(v.d.hi, v.o.lo)))}.pad(v.room)
}

// at is the view at one of the 27 poses of ends and middles.
func (v *sight) at(i, j, k int) (w view) {
	sa, ca, se, ce := v.as[j], v.ac[j], v.es[k], v.ec[k]
	out := v.w.X*sa + v.w.Y*ca
	w.x = v.w.X*ca - v.w.Y*sa
	w.y = v.w.Z*ce - out*se
	w.h = v.ds[i] - (out*ce + v.w.Z*se)
	if v.r == toward {
		l := 1 / math.Sqrt(w.x*w.x+w.y*w.y+w.h*w.h)
		w.nx, w.ny, w.nh = -w.x*l, -w.y*l, -w.h*l
		return w
	}
	out = v.n.X*sa + v.n.Y*ca
	w.nx = v.n.X*ca - v.n.Y*sa
	w.ny = v.n.Z*ce - out*se
	w.nh = -(out*ce + v.n.Z*se)
	return w
}

// cell is a piece of the face: a node (zero size) or a region, with its share of the area.
type cell struct{ x0, x1, y0, y1, w float64 }

// part is what bounding one cell over the box yields. Kernels are without (Law+2)/(2 pi).
type part struct {
	f         iv // the kernel with grid, never below 0
	g, t2, r2 iv
	bare      float64 // upper end of cos^m h / r^4: the kernel without receiver and grid
	straddles bool    // the receiver's horizon may cut the cell
}

func (v *sight) part(c *cell) (p part) {
	tx, ty := iv{v.x.lo - c.x1, v.x.hi - c.x0}.pad(v.room), iv{v.y.lo - c.y1, v.y.hi - c.y0}.pad(v.room)
	p.t2 = tx.sqr().add(ty.sqr())
	h0, h1 := max(0, v.h.lo), v.h.hi
	p.r2 = iv{p.t2.lo + h0*h0, p.t2.hi + h1*h1}
	xc, yc := iv{c.x0, c.x1}, iv{c.y0, c.y1}
	if v.r == toward {
		k := xc.mul(v.x).add(yc.mul(v.y))
		if v.dist.lo <= 0 {
			p.g = iv{math.Inf(-1), math.Inf(1)}
		} else {
			p.g = v.dist.sub(k.mul(iv{1 / v.dist.hi, 1 / v.dist.lo})).pad(v.room)
		}
	} else {
		p.g = v.d.mul(v.no).add(xc.mul(v.nu)).add(yc.mul(v.nv)).pad(v.room)
		p.g = iv{p.g.lo - v.nw, p.g.hi - v.nw}
	}
	p.straddles = p.g.lo <= 0
	if h1 <= 0 || p.g.hi <= 0 {
		return p
	}
	f := v.e.throw(p.t2, h0, h1)
	p.bare = f.hi
	p.f = iv{f.lo * max(0, p.g.lo), f.hi * p.g.hi}
	if v.e.screened() {
		t := v.e.passes(tx, ty, h0, h1)
		p.f = iv{p.f.lo * t.lo, 0}
		if t.hi > 0 {
			p.f.hi = f.hi * p.g.hi * t.hi
		}
	}
	return p
}

// throw is the range of cos^m h / r^4 with r^2 = h^2 + t2: it falls with t2, rises with h
// up to h^2 = t2/3 and falls beyond (for m = 0; the cosine rises with h always).
func (e *Emitter) throw(t2 iv, h0, h1 float64) (f iv) {
	if h0 > 0 {
		f.lo = min(lobe(h0, t2.hi), lobe(h1, t2.hi))
	}
	peak := min(h1, max(h0, math.Sqrt(t2.lo/3)))
	if peak*peak+t2.lo <= 0 {
		return iv{0, math.Inf(1)}
	}
	f.hi = lobe(peak, t2.lo)
	if e.Law != 0 {
		m := e.cosines(t2, h0, h1)
		f.lo, f.hi = f.lo*m.lo, f.hi*m.hi
	}
	return f
}

func lobe(h, t2 float64) float64 { r2 := h*h + t2; return h / (r2 * r2) }

// cosines is the range of cos^m.
func (e *Emitter) cosines(t2 iv, h0, h1 float64) iv {
	lo, hi := h0*h0, h1*h1
	m := iv{0, 1}
	if lo > 0 {
		m.lo = cosPow(e.Law, lo/(lo+t2.hi))
	}
	if hi > 0 {
		m.hi = cosPow(e.Law, hi/(hi+t2.lo))
	}
	return m
}

// passes is the range of the grid's transmission for offsets tx, ty at depth h.
func (g Grid) passes(tx, ty iv, h0, h1 float64) iv {
	if h0 <= 0 {
		// Depth may vanish: only the upper end, at the greatest depth, says something.
		ax, ay := tx.abs(), ty.abs()
		return iv{0, g.bounds(iv{-ax.hi / h1, ax.hi / h1}, iv{-ay.hi / h1, ay.hi / h1}).hi}
	}
	inv := iv{1 / h1, 1 / h0}
	return g.bounds(tx.mul(inv), ty.mul(inv))
}

// slopes are the derivatives over the box with respect to D, az and el, as balls; those of
// a face point (x, y) are linear in x and y.
type slopes struct {
	h                  [3]ball
	dcx, sx, out, dy   ball // D ce x, se x, out, D y
	dcu, su, nout, dv  ball
	o, no              ball
	hb, xb, yb, d, idd ball // h, x, y, D and 1/distance
}

func (v *sight) slopes() (k slopes) {
	ce, se := v.ce.ball(), v.se.ball()
	k.d, k.xb, k.yb = v.d.ball(), v.x.ball(), v.y.ball()
	dce := k.d.mul(ce)
	k.o, k.out = v.o.ball(), v.out.ball()
	k.dcx, k.sx, k.dy = dce.mul(k.xb), se.mul(k.xb), k.d.mul(k.yb)
	k.h = [3]ball{{1, 0}, ce.mul(k.xb).neg(), k.yb.neg()}
	k.hb = iv{max(0, v.h.lo), v.h.hi}.ball()
	if v.r == toward {
		k.idd = iv{1 / v.dist.hi, 1 / v.dist.lo}.ball()
		return k
	}
	nu := v.nu.ball()
	k.dcu, k.su, k.nout = dce.mul(nu), se.mul(nu), v.nout.ball()
	k.dv, k.no = k.d.mul(v.nv.ball()), v.no.ball()
	return k
}

// bound is the engine: the range of the illuminance, times D^2 if squared.
func (s *Sweep) bound(q, n geom.Vec, r receiver, squared bool) iv {
	v := s.sight(q, n, r)
	if s.e.Face.Kind == Ball {
		return v.ball(squared)
	}
	if v.h.hi <= 0 {
		return iv{}
	}
	a, b := s.e.Face.half()
	if s.e.Face.Kind != Rect {
		a, b = s.e.Face.W/2, s.e.Face.W/2
	}
	whole := v.part(&cell{-a, a, -b, b, 1})
	if whole.f.hi <= 0 {
		return iv{}
	}
	var f iv
	done := false
	if !s.e.screened() && !whole.straddles && v.h.lo > 0 {
		f, done = v.overNodes(&whole, a, b, squared)
	}
	if !done {
		f = v.overRegions(squared)
	}
	// The contour formula cancels for small faces: its rounding is that of its angles.
	t, floor := s.e.accuracy(), 1e-14/s.e.Face.Area()
	if squared {
		floor *= s.d.hi * s.d.hi
	}
	return iv{max(0, f.lo*(1-t)-floor), f.hi*(1+t) + floor}.scale((s.e.Law + 2) / (2 * math.Pi))
}

// overNodes bounds the quadrature sum and adds what the quadrature may miss.
func (v *sight) overNodes(whole *part, a, b float64, squared bool) (iv, bool) {
	var buf [mostFaceNodes]node
	nodes, miss, ok := v.nodes(buf[:0], whole, a, b)
	if !ok {
		return iv{}, false
	}
	f, grad := v.total(nodes, squared)
	f = v.settle(f, grad, squared, nodes)
	if squared {
		miss *= v.d.hi * v.d.hi
	}
	return iv{f.lo - miss, f.hi + miss}, true
}

// node is a point of the face with its share of the area.
type node struct{ x, y, w float64 }

// total does for nodes what part and slope do for cells, with no cut-offs: the sum of
// f = cos^m h g / r^4 and its derivatives f (g'/g + (1+m) h'/h - (4+m) rho'/r^2) with
// rho = r^2/2, and 2/D more with respect to D for D^2 f.
func (v *sight) total(nodes []node, squared bool) (sum iv, grad [3]iv) {
	k := v.slopes()
	var g, gx, gy ball
	if v.r == toward {
		g, gx, gy = v.dist.ball(), k.xb.mul(k.idd).neg(), k.yb.mul(k.idd).neg()
	} else {
		g, gx, gy = v.d.mul(v.no).ball(), v.nu.ball(), v.nv.ball()
		g.c -= v.nw
	}
	h0, h1 := v.h.lo, v.h.hi
	hh0, hh1 := h0*h0, h1*h1
	xr, yr := k.xb.r+v.room, k.yb.r+v.room
	ih := iv{1 / h1, 1 / h0}.ball().scale(1 + v.e.Law)
	steep := [3]ball{ih, k.h[1].mul(ih), k.h[2].mul(ih)}
	if squared {
		steep[0] = steep[0].add(iv{2 / v.d.hi, 2 / v.d.lo}.ball())
	}
	// Derivatives of g and rho as c + x cx + y cy.
	dcuy, dvy, doy := k.su.neg(), k.no.neg(), k.o
	dg := [3]ball{k.no, k.dcu, k.dv}
	xx, yx, yy := k.nout.neg(), dcuy, dvy
	if v.r == toward {
		dg = [3]ball{k.hb.mul(k.idd), k.dcx.mul(k.idd).neg(), k.dy.mul(k.idd).neg()}
		xx, yx, yy = k.out.mul(k.idd), k.sx.mul(k.idd), k.o.mul(k.idd)
	}
	for i := range nodes {
		x, y, w := nodes[i].x, nodes[i].y, nodes[i].w
		tx, ty := math.Abs(k.xb.c-x), math.Abs(k.yb.c-y)
		t2 := iv{0, (tx+xr)*(tx+xr) + (ty+yr)*(ty+yr)}
		if tx > xr {
			t2.lo = (tx - xr) * (tx - xr)
		}
		if ty > yr {
			t2.lo += (ty - yr) * (ty - yr)
		}
		near, far := 1/(hh0+t2.lo), 1/(hh1+t2.hi)
		// h / r^4 at the least and the greatest depth; see throw.
		fall := 1 / (hh0 + t2.hi)
		f := iv{min(h1*far*far, h0*fall*fall), h0 * near * near}
		if 3*hh0 < t2.lo {
			f.hi = lobe(min(h1, math.Sqrt(t2.lo/3)), t2.lo)
		}
		if v.e.Law != 0 {
			m := v.e.cosines(t2, h0, h1)
			f = iv{f.lo * m.lo, f.hi * m.hi}
		}
		gb := ball{g.c + x*gx.c + y*gy.c, g.r + math.Abs(x)*gx.r + math.Abs(y)*gy.r + v.room}
		low, high := max(0, gb.c-gb.r), gb.c+gb.r
		f = iv{w * f.lo * low, w * f.hi * high}
		sum.lo += f.lo
		sum.hi += f.hi
		ig, ir := iv{1 / high, 1 / low}.ball(), iv{far, near}.ball().scale(v.e.Law+4)
		dg0, dg1, dg2 := dg[0], dg[1].add(xx.scale(x)).add(yx.scale(y)), dg[2].add(yy.scale(y))
		if v.r == toward {
			lift := k.xb.scale(x).add(k.yb.scale(y)).mul(k.idd).mul(k.idd)
			dg0, dg1, dg2 = dg0.add(dg[0].mul(lift)), dg1.add(dg[1].mul(lift)), dg2.add(dg[2].mul(lift))
		}
		rho1 := k.out.scale(x).add(k.sx.scale(y)).sub(k.dcx)
		rho2 := doy.scale(y).sub(k.dy)
		grad[0] = grad[0].add(f.weigh(steep[0].add(dg0.mul(ig)).sub(k.hb.mul(ir))))
		grad[1] = grad[1].add(f.weigh(steep[1].add(dg1.mul(ig)).sub(rho1.mul(ir))))
		grad[2] = grad[2].add(f.weigh(steep[2].add(dg2.mul(ig)).sub(rho2.mul(ir))))
	}
	if squared {
		sum, grad = v.squared(sum, grad)
	}
	return sum, grad
}

func (v *sight) squared(f iv, grad [3]iv) (iv, [3]iv) {
	for i := range grad {
		grad[i] = v.d.sqr().weigh(grad[i].ball())
	}
	return iv{f.lo * v.d.lo * v.d.lo, f.hi * v.d.hi * v.d.hi}, grad
}

// overRegions bounds the cells that cover the face.
func (v *sight) overRegions(squared bool) iv {
	var buf [20]cell
	var parts [20]part
	cells := v.e.regions(buf[:0])
	var f iv
	usable := (v.h.lo > 0 || !v.e.screened()) && (v.r == fixed || v.dist.lo > 0)
	for i := range cells {
		parts[i] = v.part(&cells[i])
		f.lo += cells[i].w * parts[i].f.lo
		f.hi += cells[i].w * parts[i].f.hi
		usable = usable && parts[i].r2.lo > 0
	}
	if !usable {
		if v.e.polygonal() {
			f = iv{f.lo * (1 - discCells), f.hi * (1 + discCells)}
		}
		if squared {
			f = iv{f.lo * v.d.lo * v.d.lo, f.hi * v.d.hi * v.d.hi}
		}
		return f
	}
	k := v.slopes()
	var grad [3]iv
	if v.e.polygonal() {
		f = iv{f.lo * (1 - discCells), f.hi * (1 + discCells)}
	}
	for i := range cells {
		if parts[i].f.hi > 0 {
			v.slope(&k, &cells[i], &parts[i], squared, &grad)
		}
	}
	if v.e.polygonal() {
		for i, g := range grad {
			grad[i] = g.pad(discCells * g.magnitude())
		}
	}
	if squared {
		f, grad = v.squared(f, grad)
	}
	return v.settle(f, grad, squared, nil)
}

// discCells: where a disc is cut it is integrated as a polygon of 14 corners or more and its
// area, whose shares of the cells differ by under 1 % from the disc's.
const discCells = 0.01

func (e *Emitter) polygonal() bool { return e.Face.Kind == Disc && e.Beam == nil }

// slope adds the share of a cell times the derivatives of its kernel, term by term:
// cos^m/r^4 [h g' + (1+m) h' g - (4+m) h g rho'/r^2], which stays finite at the cut-offs.
func (v *sight) slope(k *slopes, c *cell, p *part, squared bool, sum *[3]iv) {
	x, y := iv{c.x0, c.x1}.ball(), iv{c.y0, c.y1}.ball()
	h0, h1 := max(0, v.h.lo), v.h.hi
	front := iv{1 / (p.r2.hi * p.r2.hi), 1 / (p.r2.lo * p.r2.lo)}
	if v.e.Law != 0 {
		m := v.e.cosines(p.t2, h0, h1)
		front = iv{front.lo * m.lo, front.hi * m.hi}
	}
	f := front
	ir2 := iv{1 / p.r2.hi, 1 / p.r2.lo}.ball().scale(v.e.Law + 4)
	across := x.mul(k.out).add(y.mul(k.sx))
	rho := [3]ball{k.hb, across.sub(k.dcx), y.mul(k.o).sub(k.dy)}
	var dg [3]ball
	if v.r == toward {
		lift := x.mul(k.xb).add(y.mul(k.yb)).mul(k.idd).mul(k.idd)
		lift.c++
		dg = [3]ball{k.hb.mul(lift), across.sub(k.dcx.mul(lift)), y.mul(k.o).sub(k.dy.mul(lift))}
		for i := range dg {
			dg[i] = dg[i].mul(k.idd)
		}
	} else {
		dg = [3]ball{k.no, k.dcu.sub(y.mul(k.su)).sub(x.mul(k.nout)), k.dv.sub(y.mul(k.no))}
	}
	g := iv{max(0, p.g.lo), p.g.hi}.ball()
	hg := k.hb.mul(g)
	var t ball
	var dt [3]ball
	grid := v.e.screened()
	if grid {
		t, dt = v.gridSlopes(k, c)
	}
	hgt, twice := hg, iv{2 / v.d.hi, 2 / v.d.lo}.ball()
	if grid {
		hgt = hg.mul(t)
	}
	for i := range sum {
		term := k.hb.mul(dg[i]).add(k.h[i].mul(g).scale(1 + v.e.Law)).sub(hg.mul(rho[i]).mul(ir2))
		if grid {
			term = term.mul(t).add(dt[i].mul(g))
		}
		if i == 0 && squared {
			term = term.add(hgt.mul(twice))
		}
		z := f.weigh(term)
		if p.straddles || v.h.lo <= 0 {
			z = z.hull(iv{}) // where it is cut off the derivative is 0
		}
		sum[i] = sum[i].add(z.scale(c.w))
	}
}

// gridSlopes returns the range of the transmission and, times h, of its derivatives. With
// the tangents tx = (x_q-x)/h: h dtx = dx_q - tx dh.
func (v *sight) gridSlopes(k *slopes, c *cell) (t ball, dt [3]ball) {
	ox, oy := iv{v.x.lo - c.x1, v.x.hi - c.x0}.pad(v.room), iv{v.y.lo - c.y1, v.y.hi - c.y0}.pad(v.room)
	inv := iv{1 / v.h.hi, 1 / v.h.lo}
	tx, ty := ox.mul(inv), oy.mul(inv)
	passed, gx, gy := v.e.screenSlopes(tx, ty)
	t = passed.ball()
	bx, by := tx.ball(), ty.ball()
	qx := [3]ball{{}, k.out.neg(), {}}
	qy := [3]ball{{}, k.sx.neg(), k.o.neg()}
	for i := range dt {
		dt[i] = gx.ball().mul(qx[i].sub(bx.mul(k.h[i]))).add(gy.ball().mul(qy[i].sub(by.mul(k.h[i]))))
	}
	return t, dt
}

// settle intersects the range f (times D^2 if squared) with what the derivatives say. To bound from below, each
// side of the box whose derivative (nearly) keeps its sign is left at its darker end, at
// the price of twice the half width times how far the derivative strays to the other sign;
// the other sides are left in the middle, at the price of the half width times the
// greatest derivative. From above likewise. nil nodes mean the exact integral.
func (v *sight) settle(f iv, grad [3]iv, squared bool, nodes []node) iv {
	dark, bright := [3]int{1, 1, 1}, [3]int{1, 1, 1}
	less, more := 0.0, 0.0
	for i, g := range grad {
		w := v.half[i]
		if w == 0 {
			continue
		}
		c, r := g.lo+g.hi, g.hi-g.lo // twice centre and radius
		if !(r < 2*math.Abs(c)) {
			less += w * g.magnitude()
			more += w * g.magnitude()
			continue
		}
		stray := 2 * w * max(0, -g.lo)
		dark[i], bright[i] = 0, 2
		if c < 0 {
			stray = 2 * w * max(0, g.hi)
			dark[i], bright[i] = 2, 0
		}
		less += stray
		more += stray
	}
	if math.IsNaN(less) || math.IsInf(less, 0) {
		return f
	}
	lo := v.value(dark, squared, nodes)
	hi := lo
	if bright != dark {
		hi = v.value(bright, squared, nodes)
	}
	t := slack
	if nodes == nil {
		t = v.e.accuracy()
	}
	return iv{max(f.lo, lo*(1-t)-less*(1+slack)), min(f.hi, hi*(1+t)+more*(1+slack))}
}

// value is the sum at one pose, without (Law+2)/(2 pi): over nodes, or exact.
func (v *sight) value(at [3]int, squared bool, nodes []node) float64 {
	w := v.at(at[0], at[1], at[2])
	scale := 1.0
	if squared {
		scale = v.ds[at[0]] * v.ds[at[0]]
	}
	switch {
	case v.e.Face.Kind == Ball:
		r2 := w.x*w.x + w.y*w.y + w.h*w.h
		return scale * max(0, w.g(0, 0)) / (r2 * math.Sqrt(r2))
	case nodes == nil:
		return scale * v.e.seen(w) * (2 * math.Pi) / (v.e.Law + 2)
	}
	sum, h2 := 0.0, w.h*w.h
	g := w.g(0, 0)
	for i := range nodes {
		n := &nodes[i]
		dx, dy := n.x-w.x, n.y-w.y
		r2 := dx*dx + dy*dy + h2
		f := n.w * (g + n.x*w.nx + n.y*w.ny) / (r2 * r2)
		if v.e.Law != 0 {
			f *= cosPow(v.e.Law, h2/r2)
		}
		sum += f
	}
	return scale * w.h * sum
}

// ball bounds a point source at the face centre: g/r^3.
func (v *sight) ball(squared bool) iv {
	if v.dist.lo <= 0 {
		return iv{0, math.Inf(1)}
	}
	k := v.slopes()
	inv := iv{1 / v.dist.hi, 1 / v.dist.lo}
	i2 := inv.sqr()
	f, g := i2.mul(inv), v.dist
	dg := [3]ball{k.no, k.dcu, k.dv}
	rho := [3]ball{v.h.ball(), k.dcx.neg(), k.dy.neg()}
	natural, cut := i2, false
	if v.r == toward {
		for i := range dg {
			dg[i] = rho[i].mul(k.idd)
		}
	} else {
		g = v.d.mul(v.no).pad(v.room)
		g = iv{g.lo - v.nw, g.hi - v.nw}
		cut = g.lo < 0
		g = iv{max(0, g.lo), max(0, g.hi)}
		natural = f.mul(g)
	}
	var grad [3]iv
	gb, ir := g.ball(), i2.ball().scale(3)
	for i := range grad {
		term := dg[i].sub(gb.mul(rho[i]).mul(ir))
		if i == 0 && squared {
			term = term.add(gb.mul(iv{2 / v.d.hi, 2 / v.d.lo}.ball()))
		}
		grad[i] = f.weigh(term)
		if cut {
			grad[i] = grad[i].hull(iv{})
		}
	}
	if squared {
		natural, grad = v.squared(natural, grad)
	}
	return v.settle(natural, grad, squared, nil).scale(1 / (4 * math.Pi))
}
