package light

import "math"

// nodes appends quadrature nodes for the face and returns the most that their sum can be
// off, in the units of part.f (without grid); ok is false where no rule is good enough. The finer the box,
// the finer the rule: its error should stay well below the box's own width.
func (v *sight) nodes(dst []node, whole *part, a, b float64) (nodes []node, miss float64, ok bool) {
	moves := v.half[0]/v.ds[1] + v.half[1] + v.half[2]
	target := min(5e-3, max(2e-4, moves/20))
	p := v.e.Law + 4
	// Slope of the receiver cosine per half width, against its range over the face.
	lx, ly := v.nu.magnitude(), v.nv.magnitude()
	if v.r == toward {
		if v.dist.lo <= 0 {
			return dst, 0, false
		}
		lx, ly = min(1, v.x.magnitude()/v.dist.lo), min(1, v.y.magnitude()/v.dist.lo)
	}
	lx, ly = lx*a, ly*b
	limit := target * whole.g.hi
	if v.e.Face.Kind == Rect {
		d := math.Sqrt(whole.r2.lo)
		nx, mx := lineRule(p, a/d, whole.g.hi, lx, limit/2)
		ny, my := lineRule(p, b/d, whole.g.hi, ly, limit/2)
		if nx == 0 || ny == 0 {
			return dst, 0, false
		}
		gx, gy := &gauss[nx], &gauss[ny]
		for i, x := range gx.x {
			for j, y := range gy.x {
				dst = append(dst, node{a * x, b * y, gx.w[i] * gy.w[j]})
			}
		}
		return dst, (mx + my) * whole.bare, true
	}
	d := v.dist.lo
	if d <= a {
		return dst, 0, false
	}
	rules := discRules[:3]
	if v.e.Face.Kind == Octagon {
		rules = octagonRules
	}
	for i := range rules {
		rule := &rules[i]
		even, odd := tail(p, a/d, rule.e0, 1, rule.degree+1)
		if off := even*whole.g.hi + odd*math.Sqrt(lx*lx+ly*ly); off < limit {
			for k, x := range rule.x {
				dst = append(dst, node{a * x, a * rule.y[k], rule.w[k]})
			}
			return dst, off * whole.bare, true
		}
	}
	if v.e.Face.Kind == Octagon {
		return v.octagonNodes(dst, whole, p, [2]float64{lx, ly}, limit)
	}
	return dst, 0, false
}

// octagonNodes cuts a near octagon into a rectangle and two trapezoids. On each level line
// the nodes are Gauss nodes; so are the lines. Along the slanted lines that join like nodes
// of a trapezoid the kernel is a power series as on any line, times its width and the
// receiver cosine, both linear.
func (v *sight) octagonNodes(dst []node, whole *part, p float64, slope [2]float64, limit float64) (nodes []node, miss float64, ok bool) {
	a, _ := v.e.Face.half()
	c := a * math.Tan(math.Pi/8)
	d := math.Sqrt(whole.r2.lo)
	g := whole.g.hi
	lx, ly := slope[0], slope[1]
	nx, mx := lineRule(p, a/d, g, lx, limit/3)
	ny, my := lineRule(p, c/d, g, ly, limit/3)
	long, taper := (a-c)/math.Sqrt2, (a-c)/(a+c)
	tilt := math.Hypot(lx, ly) // per half width of the whole face: more than per half line
	nt, mt := 0, 0.0
	for n := 2; n <= 4 && nt == 0; n++ {
		even, odd, twice := tails(p, long/d, gauss[n].e0, gauss[n].ratio, 2*n)
		if mt = even*g + odd*(taper*g+tilt) + twice*taper*tilt; mt < limit/3 {
			nt = n
		}
	}
	if nx == 0 || ny == 0 || nt == 0 || nx*(ny+2*nt) > mostFaceNodes {
		return dst, 0, false
	}
	gx := &gauss[nx]
	line := func(y, half, w float64) {
		for i, x := range gx.x {
			dst = append(dst, node{half * x, y, gx.w[i] * w})
		}
	}
	area := 4*a*c + 2*(a*a-c*c)
	for i, t := range gauss[ny].x {
		line(c*t, a, gauss[ny].w[i]*4*a*c/area)
	}
	for i, t := range gauss[nt].x {
		half := (a + c) / 2 * (1 - taper*t) // at y from c to a
		w := gauss[nt].w[i] * (a - c) * 2 * half / area
		line((a+c)/2+t*(a-c)/2, half, w)
		line(-(a+c)/2-t*(a-c)/2, half, w)
	}
	return dst, (mx + max(my, mt)) * whole.bare, true
}

const mostFaceNodes = 40

// lineRule picks the least number of Gauss nodes, 1 to 6, for one side of a rectangle.
func lineRule(p, s, g, slope, limit float64) (n int, off float64) {
	if !(s < 1) {
		return 0, 0
	}
	for n := 1; n <= 6; n++ {
		even, odd := tail(p, s, gauss[n].e0, gauss[n].ratio, 2*n)
		if off := even*g + odd*slope; off < limit {
			return n, off
		}
	}
	return 0, 0
}

// regions appends boxes that together cover the face, each with its exact share of the area.
func (e Emitter) regions(dst []cell) []cell {
	a, b := e.Face.half()
	switch e.Face.Kind {
	case Disc:
		return scaled(dst, discRegions, a)
	case Octagon:
		return scaled(dst, octagonRegions, e.Face.W/2)
	}
	side := math.Sqrt(4 * a * b / 10)
	nx := min(8, max(1, int(math.Round(2*a/side))))
	ny := min(16/nx, max(1, int(math.Round(2*b/side))))
	for i := range nx {
		x0, x1 := a*(2*float64(i)/float64(nx)-1), a*(2*float64(i+1)/float64(nx)-1)
		for j := range ny {
			y0, y1 := b*(2*float64(j)/float64(ny)-1), b*(2*float64(j+1)/float64(ny)-1)
			dst = append(dst, cell{x0, x1, y0, y1, 1 / float64(nx*ny)})
		}
	}
	return dst
}

func scaled(dst, unit []cell, r float64) []cell {
	for _, c := range unit {
		dst = append(dst, cell{c.x0 * r, c.x1 * r, c.y0 * r, c.y1 * r, c.w})
	}
	return dst
}

var discRegions, octagonRegions = func() (d, o []cell) {
	d = append(d, cell{-0.4, 0.4, -0.4, 0.4, 0.16})
	d = sectors(d, 6, 0.4, 0.75)
	d = sectors(d, 10, 0.75, 1)
	for i, c := range d { // hold also the corners of the polygon that stands for a disc
		const out = 1.02
		d[i].x0, d[i].x1 = min(c.x0, out*c.x0), max(c.x1, out*c.x1)
		d[i].y0, d[i].y1 = min(c.y0, out*c.y0), max(c.y1, out*c.y1)
	}
	o = append(o, cell{-0.4, 0.4, -0.4, 0.4, 0.16})
	o = wedges(o, 0.4, 0.7)
	o = wedges(o, 0.7, 1)
	return d, o
}()

// sectors boxes n pieces of the ring between radii r0 and r1.
func sectors(dst []cell, n int, r0, r1 float64) []cell {
	for k := range n {
		c := cell{2, -2, 2, -2, (r1*r1 - r0*r0) / float64(n)}
		const fineness = 64
		for i := range fineness + 1 {
			s, cos := math.Sincos(2 * math.Pi / float64(n) * (float64(k) + float64(i)/fineness))
			for _, r := range [2]float64{r0, r1} {
				c.x0, c.x1 = min(c.x0, r*cos), max(c.x1, r*cos)
				c.y0, c.y1 = min(c.y0, r*s), max(c.y1, r*s)
			}
		}
		// The arc may bulge past the sampled points by up to 1 - cos of half a step.
		bulge := 1 - math.Cos(math.Pi/float64(n)/fineness)
		dst = append(dst, cell{c.x0 - bulge, c.x1 + bulge, c.y0 - bulge, c.y1 + bulge, c.w})
	}
	return dst
}

// wedges boxes the eight pieces between two scaled octagons of circumradius r0 and r1,
// cut from the corners to the centre.
func wedges(dst []cell, r0, r1 float64) []cell {
	for k := range 8 {
		c := cell{2, -2, 2, -2, (r1*r1 - r0*r0) / 8}
		for _, t := range [2]float64{-0.5, 0.5} {
			s, cos := math.Sincos(math.Pi / 4 * (float64(k) + t))
			for _, r := range [2]float64{r0, r1} {
				c.x0, c.x1 = min(c.x0, r*cos), max(c.x1, r*cos)
				c.y0, c.y1 = min(c.y0, r*s), max(c.y1, r*s)
			}
		}
		dst = append(dst, c)
	}
	return dst
}
