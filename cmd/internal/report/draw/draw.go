// Package draw writes pictures as SVG: shapes, text that keeps out of other text's way,
// and one set of strokes. It knows no light and no camera.
package draw

import (
	"html"
	"math"
	"strconv"
	"strings"
)

// Point is a place on a picture, in its units, y down.
type Point struct{ X, Y float64 }

// Picture is an SVG picture that grows. Its units are those of its view box; every picture
// is Width across, so that text of one size looks alike on all of them.
type Picture struct {
	ID, Name    string // ID is unique on a page, Name among the pictures of one set-up
	Title, Says string // what it is, and what it shows for those who cannot see it
	W, H        float64
	body        strings.Builder
	taken       []Box
}

// Width is how wide a picture is, in its own units. At half the width of a printed page a
// unit is three quarters of a millimetre, on a phone three pixels.
const Width = 120

// New begins a picture of a height. Prefix makes its ID of its name.
func New(prefix, name, title string, height float64) *Picture {
	return &Picture{ID: prefix + name, Name: name, Title: title, W: Width, H: height}
}

// num writes a coordinate to a thousandth of a unit.
func num(x float64) string {
	x = math.Round(x*1000) / 1000
	if x == 0 {
		return "0"
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

func (p *Picture) add(parts ...string) {
	for _, s := range parts {
		p.body.WriteString(s)
	}
}

// attr writes attributes given as name, value, name, value. Empty values are left out.
func attr(pairs ...string) string {
	var b strings.Builder
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			b.WriteString(" " + pairs[i] + `="` + html.EscapeString(pairs[i+1]) + `"`)
		}
	}
	return b.String()
}

// Open begins a group; more are attributes, as name and value in turn.
func (p *Picture) Open(class string, more ...string) {
	p.add("<g", attr("class", class), attr(more...), ">")
}

// Close ends a group.
func (p *Picture) Close() { p.add("</g>\n") }

// Line draws a straight line.
func (p *Picture) Line(class string, a, b Point, more ...string) {
	p.add("<line", attr("class", class, "x1", num(a.X), "y1", num(a.Y), "x2", num(b.X), "y2", num(b.Y)), attr(more...), "/>\n")
}

// Circle draws a circle.
func (p *Picture) Circle(class string, c Point, r float64, more ...string) {
	p.add("<circle", attr("class", class, "cx", num(c.X), "cy", num(c.Y), "r", num(r)), attr(more...), "/>\n")
}

// Rect draws an upright rectangle between two corners.
func (p *Picture) Rect(class string, a, b Point, more ...string) {
	x, y := min(a.X, b.X), min(a.Y, b.Y)
	p.add("<rect", attr("class", class, "x", num(x), "y", num(y), "width", num(math.Abs(b.X-a.X)), "height", num(math.Abs(b.Y-a.Y))), attr(more...), "/>\n")
}

// Path draws along points; closed joins the last to the first.
func (p *Picture) Path(class string, pts []Point, closed bool, more ...string) {
	if len(pts) == 0 {
		return
	}
	p.add("<path", attr("class", class, "d", along(pts, closed)), attr(more...), "/>\n")
}

func along(pts []Point, closed bool) string {
	var b strings.Builder
	for i, q := range pts {
		switch i {
		case 0:
			b.WriteString("M")
		case 1:
			b.WriteString("L")
		default:
			b.WriteString(" ")
		}
		b.WriteString(num(q.X) + " " + num(q.Y))
	}
	if closed {
		b.WriteString("Z")
	}
	return b.String()
}

// Segments draws many short lines as one path.
func (p *Picture) Segments(class string, lines [][2]Point) {
	if len(lines) == 0 {
		return
	}
	var d strings.Builder
	for _, l := range lines {
		d.WriteString("M" + num(l[0].X) + " " + num(l[0].Y) + "L" + num(l[1].X) + " " + num(l[1].Y))
	}
	p.add("<path", attr("class", class, "d", d.String()), "/>\n")
}

// Arc is the points of an arc about c from one angle to another, in radians from the x
// axis of the picture, y down.
func Arc(c Point, rx, ry, from, to float64) []Point {
	n := max(2, int(math.Ceil(math.Abs(to-from)/(math.Pi/36))))
	out := make([]Point, n+1)
	for i := range out {
		a := from + (to-from)*float64(i)/float64(n)
		out[i] = Point{c.X + rx*math.Cos(a), c.Y + ry*math.Sin(a)}
	}
	return out
}

// Clip begins a group that is cut off at the edges of a rectangle.
func (p *Picture) Clip(name string, a, b Point) {
	id := p.ID + "-" + name
	p.add("<clipPath", attr("id", id), "><rect", attr("x", num(min(a.X, b.X)), "y", num(min(a.Y, b.Y)),
		"width", num(math.Abs(b.X-a.X)), "height", num(math.Abs(b.Y-a.Y))), "/></clipPath><g", attr("clip-path", "url(#"+id+")"), ">\n")
}

// Image puts a picture of dots, as a data address, into a rectangle.
func (p *Picture) Image(address string, a, b Point) {
	p.add("<image", attr("x", num(a.X), "y", num(a.Y), "width", num(b.X-a.X), "height", num(b.Y-a.Y),
		"preserveAspectRatio", "none", "href", address), "/>\n")
}

// SVG is the picture to be put into a page: the page has the strokes.
func (p *Picture) SVG() string {
	return p.svg(`<svg xmlns="http://www.w3.org/2000/svg"`, "")
}

// File is the picture as a file of its own.
func (p *Picture) File() string {
	return `<?xml version="1.0" encoding="UTF-8"?>` + "\n" +
		p.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="`+num(p.W*8)+`" height="`+num(p.H*8)+`"`, "<style>"+Strokes()+"</style>\n<rect class=\"ground\" width=\"100%\" height=\"100%\"/>\n")
}

func (p *Picture) svg(open, style string) string {
	var b strings.Builder
	b.WriteString(open + attr("class", "drawing", "viewBox", "0 0 "+num(p.W)+" "+num(p.H), "role", "img",
		"aria-labelledby", p.ID+"-title "+p.ID+"-text") + ">\n")
	b.WriteString("<title" + attr("id", p.ID+"-title") + ">" + html.EscapeString(p.Title) + "</title>\n")
	b.WriteString("<desc" + attr("id", p.ID+"-text") + ">" + html.EscapeString(p.Says) + "</desc>\n" + style)
	b.WriteString(p.body.String() + "</svg>\n")
	return b.String()
}
