package picture

import (
	"math"
	"strconv"

	"falloff/cmd/internal/report/draw"
)

// chart is a plot with two axes inside a picture.
type chart struct {
	*draw.Picture
	a, b   draw.Point // upper left and lower right corner of the plot
	lo, hi draw.Point // the values there: lo at the lower left
}

func (c chart) x(v float64) float64 { return c.a.X + (c.b.X-c.a.X)*(v-c.lo.X)/(c.hi.X-c.lo.X) }
func (c chart) y(v float64) float64 { return c.b.Y - (c.b.Y-c.a.Y)*(v-c.lo.Y)/(c.hi.Y-c.lo.Y) }

func (c chart) at(x, y float64) draw.Point { return draw.Point{X: c.x(x), Y: c.y(y)} }

// tick is a step of 1, 2 or 5 times a power of ten that cuts a range into at most some parts.
func tick(span float64, most int) float64 {
	step := math.Pow(10, math.Floor(math.Log10(span/float64(most))))
	for _, k := range []float64{1, 2, 5, 10} {
		if span/(step*k) <= float64(most)+1e-9 {
			return step * k
		}
	}
	return step * 10
}

// each goes through the ticks of a range.
func each(lo, hi, step float64, do func(float64)) {
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*math.Abs(step); k++ {
		do(k * step)
	}
}

func plain(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e6)/1e6+0, 'f', -1, 64)
}

// signed writes a number with its sign.
func signed(x float64) string {
	if x > 0 {
		return "+" + plain(x)
	}
	return plain(x)
}

// axes draws the frame of a plot, its ticks and the names of its axes with their units.
func (c chart) axes(stepX, stepY float64, nameX, nameY string, textX, textY func(float64) string) {
	each(c.lo.X, c.hi.X, stepX, func(v float64) {
		c.Line("grid", draw.Point{X: c.x(v), Y: c.a.Y}, draw.Point{X: c.x(v), Y: c.b.Y})
		c.Line("axis", draw.Point{X: c.x(v), Y: c.b.Y}, draw.Point{X: c.x(v), Y: c.b.Y + 1})
		c.Text("small", draw.Point{X: c.x(v), Y: c.b.Y + 4.4}, draw.Middle, textX(v))
	})
	each(c.lo.Y, c.hi.Y, stepY, func(v float64) {
		c.Line("grid", draw.Point{X: c.a.X, Y: c.y(v)}, draw.Point{X: c.b.X, Y: c.y(v)})
		c.Line("axis", draw.Point{X: c.a.X - 1, Y: c.y(v)}, draw.Point{X: c.a.X, Y: c.y(v)})
		c.Text("small", draw.Point{X: c.a.X - 1.6, Y: c.y(v) + 1.1}, draw.End, textY(v))
	})
	c.Path("axis", []draw.Point{{X: c.a.X, Y: c.a.Y}, {X: c.a.X, Y: c.b.Y}, {X: c.b.X, Y: c.b.Y}}, false)
	c.Text("small muted", draw.Point{X: (c.a.X + c.b.X) / 2, Y: c.b.Y + 9}, draw.Middle, nameX)
	c.Text("small muted", draw.Point{X: 1.5, Y: c.a.Y - 2.4}, draw.Start, nameY)
}

// curve draws a function over a range, cut off at the edges of the plot.
func (c chart) curve(class string, lo, hi float64, f func(float64) float64) {
	const steps = 72
	var run []draw.Point
	flush := func() {
		if len(run) > 1 {
			c.Path(class, run, false)
		}
		run = nil
	}
	for i := range steps + 1 {
		x := lo + (hi-lo)*float64(i)/steps
		y := f(x)
		if math.IsNaN(y) || y < c.lo.Y-1e-9 || y > c.hi.Y+1e-9 {
			flush()
			continue
		}
		run = append(run, c.at(x, y))
	}
	flush()
}

// dash is the stroke of the n-th curve.
func dash(n int) string { return "d" + strconv.Itoa(n%6+1) }
