package draw

import (
	"html"
	"math"
	"slices"
	"strings"
)

// Sizes of text in units of a picture.
const (
	TextSize  = 3.6
	SmallSize = 3.4
)

// Box is an upright rectangle that something takes up.
type Box struct{ X0, Y0, X1, Y1 float64 }

func (b Box) overlap(c Box) float64 {
	w, h := min(b.X1, c.X1)-max(b.X0, c.X0), min(b.Y1, c.Y1)-max(b.Y0, c.Y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// Anchor says which end of a text stands at its place.
type Anchor string

const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Advance is about how wide a text is, for the widest of the usual screen fonts.
func Advance(text string, size float64) float64 {
	w := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune("ijl|'", r):
			w += 0.29
		case strings.ContainsRune(" .,:;!()[]-/t\u00a0", r):
			w += 0.4
		case strings.ContainsRune("frI\u00b7", r):
			w += 0.42
		case strings.ContainsRune("mwMW%+\u2192\u2190", r):
			w += 0.95
		case r >= 'A' && r <= 'Z':
			w += 0.72
		default:
			w += 0.63
		}
	}
	return w * size
}

// textBox is the room that a text takes whose baseline starts, ends or is centred at a.
func textBox(text string, size float64, a Point, anchor Anchor) Box {
	w := Advance(text, size)
	x := a.X
	switch anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	return Box{x, a.Y - 0.8*size, x + w, a.Y + 0.25*size}
}

// Take keeps later text off a rectangle.
func (p *Picture) Take(b Box) { p.taken = append(p.taken, b) }

// TakeAlong keeps later text off a line.
func (p *Picture) TakeAlong(pts ...Point) {
	for i := range len(pts) - 1 {
		a, b := pts[i], pts[i+1]
		n := int(math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y) / 2))
		for k := range n + 1 {
			t := float64(k) / float64(max(n, 1))
			x, y := a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t
			p.taken = append(p.taken, Box{x - 0.4, y - 0.4, x + 0.4, y + 0.4})
		}
	}
}

// Text writes a text where it is told to; the class "small" makes it smaller.
func (p *Picture) Text(class string, a Point, anchor Anchor, text string) {
	size := TextSize
	if slices.Contains(strings.Fields(class), "small") {
		size = SmallSize
	}
	p.Take(textBox(text, size, a, anchor))
	p.write(class, a, anchor, text)
}

func (p *Picture) write(class string, a Point, anchor Anchor, text string) {
	p.add("<text", attr("class", class, "x", num(a.X), "y", num(a.Y), "text-anchor", string(anchor)), ">", html.EscapeString(text), "</text>\n")
}

// Spot is a place where a text may stand.
type Spot struct {
	At     Point
	Anchor Anchor
}

// Fit writes a text at the first spot where it is free of everything taken and inside the
// picture, or else where it collides least, and returns that spot.
func (p *Picture) Fit(class, text string, spots []Spot) Spot {
	size := TextSize
	if slices.Contains(strings.Fields(class), "small") {
		size = SmallSize
	}
	best, least := Spot{}, math.Inf(1)
	for _, s := range spots {
		if c := p.crowd(textBox(text, size, s.At, s.Anchor)); c < least {
			best, least = s, c
			if c == 0 {
				break
			}
		}
	}
	p.Text(class, best.At, best.Anchor, text)
	return best
}

// FitTag is Fit for a small text on a plate of its own, to be read on any ground. Where
// there is no room it writes nothing.
func (p *Picture) FitTag(text string, spots []Spot) {
	best, least := Spot{}, math.Inf(1)
	for _, s := range spots {
		if c := p.crowd(textBox(text, SmallSize, s.At, s.Anchor)); c < least {
			best, least = s, c
			if c == 0 {
				break
			}
		}
	}
	b := textBox(text, SmallSize, best.At, best.Anchor)
	if least > 0.3*(b.X1-b.X0)*(b.Y1-b.Y0) {
		return
	}
	p.Rect("plate", Point{b.X0 - 0.5, b.Y0 - 0.2}, Point{b.X1 + 0.5, b.Y1 + 0.2})
	p.Text("small", best.At, best.Anchor, text)
}

// crowd is how much of a box is taken already or outside the picture.
func (p *Picture) crowd(b Box) float64 {
	const margin = 0.4
	wide := Box{b.X0 - margin, b.Y0 - margin, b.X1 + margin, b.Y1 + margin}
	sum := 0.0
	for _, t := range p.taken {
		sum += wide.overlap(t)
	}
	area := (b.X1 - b.X0) * (b.Y1 - b.Y0)
	return sum + 4*(area-b.overlap(Box{0.5, 0.5, p.W - 0.5, p.H - 0.5}))
}

// Around is spots about a point, at rising distances, beginning in a direction in radians
// (0 to the right, y down).
func Around(c Point, direction float64, distances ...float64) []Spot {
	var out []Spot
	for _, d := range distances {
		for _, turn := range []float64{0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2, 1.7, -1.7, 2.3, -2.3, math.Pi} {
			s, k := math.Sincos(direction + turn)
			anchor := Middle
			switch {
			case k > 0.5:
				anchor = Start
			case k < -0.5:
				anchor = End
			}
			out = append(out, Spot{Point{c.X + d*k, c.Y + d*s + 0.3*TextSize}, anchor})
		}
	}
	return out
}

// Spread moves values apart so that each has its own width, in the same order and as near
// to where they were as that allows, within lo to hi if there is room.
func Spread(at, widths []float64, lo, hi float64) []float64 {
	order := make([]int, len(at))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case at[a] < at[b]:
			return -1
		case at[a] > at[b]:
			return 1
		}
		return 0
	})
	// Blocks of touching labels, each centred on where its members want to be.
	type block struct {
		first, last int     // in order
		start, size float64 // where it begins, and its width
	}
	var blocks []block
	for k, i := range order {
		b := block{k, k, at[i] - widths[i]/2, widths[i]}
		b.start = max(lo, min(b.start, hi-b.size))
		for len(blocks) > 0 && blocks[len(blocks)-1].start+blocks[len(blocks)-1].size > b.start+1e-9 {
			prev := blocks[len(blocks)-1]
			blocks = blocks[:len(blocks)-1]
			b = block{prev.first, b.last, 0, prev.size + b.size}
			want, along := 0.0, 0.0
			for j := b.first; j <= b.last; j++ {
				w := widths[order[j]]
				want += at[order[j]] - along - w/2
				along += w
			}
			b.start = max(lo, min(want/float64(b.last-b.first+1), hi-b.size))
		}
		blocks = append(blocks, b)
	}
	out := make([]float64, len(at))
	for _, b := range blocks {
		x := b.start
		for j := b.first; j <= b.last; j++ {
			out[order[j]] = x + widths[order[j]]/2
			x += widths[order[j]]
		}
	}
	return out
}

// Badge writes a number in a circle.
func (p *Picture) Badge(c Point, text string) {
	p.Take(Box{c.X - 2.7, c.Y - 2.7, c.X + 2.7, c.Y + 2.7})
	p.Circle("badge", c, 2.6)
	p.write("badge-number", Point{c.X, c.Y + 1.25}, Middle, text)
}

// FitBadge puts a number near a point, at the first of some places that is free, with a
// line to the point where that is far.
func (p *Picture) FitBadge(near Point, text string, direction float64, distances ...float64) {
	best, least := near, math.Inf(1)
	for _, s := range Around(near, direction, distances...) {
		c := Point{s.At.X, s.At.Y - 0.3*TextSize}
		if k := p.crowd(Box{c.X - 2.6, c.Y - 2.6, c.X + 2.6, c.Y + 2.6}); k < least {
			best, least = c, k
			if k == 0 {
				break
			}
		}
	}
	if d := math.Hypot(best.X-near.X, best.Y-near.Y); d > 3 {
		t := (d - 2.6) / d
		p.Line("leader", near, Point{near.X + (best.X-near.X)*t, near.Y + (best.Y-near.Y)*t})
	}
	p.Badge(best, text)
}

// FitBox finds the first of some places for the upper left corner of a box where it is
// free, or else where it collides least. It takes nothing.
func (p *Picture) FitBox(w, h float64, places []Point) Point {
	best, least := places[0], math.Inf(1)
	for _, a := range places {
		if c := p.crowd(Box{a.X, a.Y, a.X + w, a.Y + h}); c < least {
			best, least = a, c
			if c == 0 {
				break
			}
		}
	}
	return best
}

// Beside is places for a box of a size outside another, nearest first: below, above, right
// and left of it and at its corners.
func Beside(b Box, w, h float64) []Point {
	var out []Point
	for _, gap := range []float64{1, 3, 6, 10, 15} {
		for _, x := range []float64{(b.X0 + b.X1 - w) / 2, b.X0 - w/2, b.X1 - w/2, b.X0 - w - gap, b.X1 + gap} {
			out = append(out, Point{x, b.Y1 + gap}, Point{x, b.Y0 - gap - h})
		}
		for _, y := range []float64{(b.Y0 + b.Y1 - h) / 2, b.Y0, b.Y1 - h} {
			out = append(out, Point{b.X1 + gap, y}, Point{b.X0 - gap - w, y})
		}
	}
	return out
}
