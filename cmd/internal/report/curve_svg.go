package report

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"falloff/constraints"
	"falloff/solver"
)

// The chart: sizes in pixels, and colours that stay apart in grey.
const (
	chartWide, chartHigh      = 720.0, 420.0
	chartLeft, chartRight     = 92.0, 40.0
	chartTop, chartBottom     = 56.0, 64.0
	chartInk, chartBand       = "#26343f", "#c9d6c4"
	chartLowInk, chartHighInk = "#7a4b20", "#1f5c4d"
)

// CurveSVG draws a trade-off: the band between the two ends that set-ups show, a dot for
// each of them, and a thin line on to what is proved out of reach.
func CurveSVG(w io.Writer, c *solver.Curve) error {
	d := newChart(c)
	d.printf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="sans-serif" font-size="13" fill="%s">`+"\n", chartWide, chartHigh, chartInk)
	d.printf("<title>%s</title>\n", html.EscapeString(c.Quantity.Title+" against "+c.By.Title))
	d.printf(`<rect width="%.0f" height="%.0f" fill="#ffffff"/>`+"\n", chartWide, chartHigh)
	d.printf(`<text x="%.0f" y="28" font-size="15">%s</text>`+"\n", chartLeft, html.EscapeString(capital(c.Quantity.Title)))
	d.axes(c)
	d.band(c)
	for _, e := range endsOf(c.Quantity) {
		d.line(c, e)
	}
	d.printf("</svg>\n")
	_, err := io.WriteString(w, d.out.String())
	return err
}

type chart struct {
	out    strings.Builder
	x, y   scale
	points []solver.Point // that were found
}

// scale maps values onto pixels; marks are spread evenly by stops.
type scale struct {
	lo, hi     float64
	from, to   float64
	byDoubling bool
}

func (s scale) at(v float64) float64 {
	lo, hi := s.lo, s.hi
	if s.byDoubling {
		v, lo, hi = math.Log2(v), math.Log2(lo), math.Log2(hi)
	}
	if hi == lo {
		return (s.from + s.to) / 2
	}
	return s.from + (min(max(v, lo), hi)-lo)/(hi-lo)*(s.to-s.from)
}

// marks are four to nine round values, or five evenly spread by stops.
func (s scale) marks() (out []float64) {
	if !(s.hi > s.lo) || math.IsInf(s.hi-s.lo, 0) {
		return nil
	}
	if s.byDoubling {
		for i := range 5 {
			out = append(out, s.lo*math.Pow(s.hi/s.lo, float64(i)/4))
		}
		return out
	}
	step := math.Pow(10, math.Floor(math.Log10((s.hi-s.lo)/4)))
	for _, by := range []float64{5, 2} {
		if (s.hi-s.lo)/(by*step) >= 4 {
			step *= by
			break
		}
	}
	for k := math.Ceil(s.lo/step - 1e-9); k*step <= s.hi+1e-9*step; k++ {
		out = append(out, k*step)
	}
	return out
}

func doubling(u constraints.Unit) bool {
	return u == constraints.InFNumber || u == constraints.InSeconds || u == constraints.InISO
}

func newChart(c *solver.Curve) *chart {
	d := &chart{x: scale{math.Inf(1), math.Inf(-1), chartLeft, chartWide - chartRight, doubling(c.By.Unit)},
		y: scale{math.Inf(1), math.Inf(-1), chartHigh - chartBottom, chartTop, doubling(c.Quantity.Unit)}}
	for _, p := range c.Points {
		if p.Outcome != solver.Found {
			continue
		}
		d.points = append(d.points, p)
		d.x.lo, d.x.hi = min(d.x.lo, p.At), max(d.x.hi, p.At)
		for _, e := range []*solver.EndOf{p.Low, p.High} {
			if e == nil {
				continue
			}
			d.y.lo, d.y.hi = min(d.y.lo, e.Value), max(d.y.hi, e.Value)
			if !math.IsNaN(e.Beyond) {
				d.y.lo, d.y.hi = min(d.y.lo, e.Beyond), max(d.y.hi, e.Beyond)
			}
		}
	}
	return d
}

func (d *chart) printf(format string, args ...any) { fmt.Fprintf(&d.out, format, args...) }

func (d *chart) axes(c *solver.Curve) {
	d.printf(`<path d="M%.1f %.1f V%.1f H%.1f" fill="none" stroke="%s"/>`+"\n", chartLeft, chartTop, chartHigh-chartBottom, chartWide-chartRight, chartInk)
	for _, p := range d.points {
		x := d.x.at(p.At)
		d.printf(`<text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`+"\n", x, chartHigh-chartBottom+20, html.EscapeString(constraints.Show(p.At, c.By.Unit)))
	}
	for _, v := range d.y.marks() {
		y := d.y.at(v)
		d.printf(`<path d="M%.1f %.1f H%.1f" stroke="#dfe4e8"/>`+"\n", chartLeft, y, chartWide-chartRight)
		d.printf(`<text x="%.1f" y="%.1f" text-anchor="end">%s</text>`+"\n", chartLeft-8, y+4, html.EscapeString(constraints.Show(v, c.Quantity.Unit)))
	}
	d.printf(`<text x="%.1f" y="%.1f">a bar is proved out of reach</text>`+"\n", chartLeft, chartHigh-14)
	d.printf(`<text x="%.1f" y="%.1f" text-anchor="end">%s</text>`+"\n", chartWide-chartRight, chartHigh-14, html.EscapeString(c.By.Title))
}

// band fills what lies between the two ends.
func (d *chart) band(c *solver.Curve) {
	if c.Quantity.Apart() {
		return // nothing lies between numbers of different things
	}
	var low, high []string
	for _, p := range d.points {
		if p.Low == nil || p.High == nil {
			return
		}
		low = append(low, fmt.Sprintf("%.1f,%.1f", d.x.at(p.At), d.y.at(p.Low.Value)))
		high = append([]string{fmt.Sprintf("%.1f,%.1f", d.x.at(p.At), d.y.at(p.High.Value))}, high...)
	}
	d.printf(`<polygon points="%s" fill="%s"/>`+"\n", strings.Join(append(low, high...), " "), chartBand)
}

// line draws one end, each of its dots, and how far it is open.
func (d *chart) line(c *solver.Curve, e curveEnd) {
	ink := chartHighInk
	if e.name == firstWords(c.Quantity.Low.Name) {
		ink = chartLowInk
	}
	var at []string
	for _, p := range d.points {
		k := e.of(&p)
		if k == nil {
			continue
		}
		x, y := d.x.at(p.At), d.y.at(k.Value)
		at = append(at, fmt.Sprintf("%.1f,%.1f", x, y))
		if !math.IsNaN(k.Beyond) {
			far := d.y.at(k.Beyond)
			d.printf(`<path d="M%.1f %.1f V%.1f M%.1f %.1f h10" stroke="%s" fill="none"/>`+"\n", x, y, far, x-5, far, ink)
		}
		d.printf(`<circle cx="%.1f" cy="%.1f" r="4" fill="%s"/>`+"\n", x, y, ink)
	}
	d.printf(`<polyline points="%s" fill="none" stroke="%s" stroke-width="2"/>`+"\n", strings.Join(at, " "), ink)
	x := chartLeft
	if ink == chartHighInk {
		x += 240
	}
	d.printf(`<path d="M%.0f 42 h18" stroke="%s" stroke-width="2"/><text x="%.0f" y="46" fill="%s">%s</text>`+"\n", x, ink, x+24, ink, html.EscapeString(e.name))
}
