package picture

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strconv"

	"falloff/cmd/internal/report/draw"
	"falloff/model/colour"
	"falloff/model/geom"
)

// The backdrop is measured at this many places across and up the frame, and read between
// them by cubic curves (Catmull and Rom 1974), fine times as closely. Light from faces of
// 6 cm and more varies slowly enough for that. What comes by way of cards varies more
// slowly still.
const (
	placesX, placesY = 13, 19
	thrownX, thrownY = 4, 5
	fine             = 4
)

// field is the level of each light over the framed part of the backdrop, row by row from
// the top, and the sum.
type field struct {
	nx, ny int
	lights [][]float64
	sum    []float64
}

// backdrop measures the framed part of the backdrop.
func (s *Set) backdrop() *field {
	f := &field{nx: (placesX-1)*fine + 1, ny: (placesY-1)*fine + 1}
	f.sum = make([]float64, f.nx*f.ny)
	for i := range s.Lights {
		l := &s.Lights[i]
		level := s.measured(placesX, placesY, l.Straight).spread(f.nx, f.ny)
		if len(s.Stage.Cards) > 0 {
			for n, e := range s.measured(thrownX, thrownY, l.Thrown).spread(f.nx, f.ny) {
				level[n] += e
			}
		}
		f.lights = append(f.lights, level)
		for n, e := range level {
			f.sum[n] += e
		}
	}
	return f
}

// samples are values at places spaced evenly over the frame, row by row from the top.
type samples struct {
	nx, ny int
	at     []float64
}

func (s *Set) measured(nx, ny int, level func(geom.Vec) float64) samples {
	m := samples{nx, ny, make([]float64, 0, nx*ny)}
	for j := range ny {
		for i := range nx {
			m.at = append(m.at, level(s.Stage.Behind(2*float64(i)/float64(nx-1)-1, 1-2*float64(j)/float64(ny-1))))
		}
	}
	return m
}

// spread reads between the places, on nx by ny places of the same frame. No level is below 0.
func (m samples) spread(nx, ny int) []float64 {
	rows := make([]float64, nx*m.ny)
	for j := range m.ny {
		row := m.at[j*m.nx : (j+1)*m.nx]
		for i := range nx {
			rows[j*nx+i] = between(func(k int) float64 { return row[min(max(k, 0), m.nx-1)] }, float64(i*(m.nx-1))/float64(nx-1))
		}
	}
	out := make([]float64, nx*ny)
	for j := range ny {
		for i := range nx {
			out[j*nx+i] = max(0, between(func(k int) float64 { return rows[min(max(k, 0), m.ny-1)*nx+i] }, float64(j*(m.ny-1))/float64(ny-1)))
		}
	}
	return out
}

func between(at func(int) float64, x float64) float64 {
	k := int(math.Floor(x))
	t := x - float64(k)
	a, b, c, d := at(k-1), at(k), at(k+1), at(k+2)
	return b + t/2*(c-a+t*(2*a-5*b+4*c-d+t*(3*(b-c)+d-a)))
}

// image is the backdrop as a camera balanced for the key draws it, before any tone curve.
func (f *field) image(s *Set) string {
	img := image.NewNRGBA(image.Rect(0, 0, f.nx, f.ny))
	white := s.Stage.White.AtY(1)
	for n := range f.sum {
		var mix colour.XYZ
		for i, level := range f.lights {
			mix = mix.Add(s.Lights[i].Tint.XYZ.AtY(level[n] * s.Stage.Paper.Reflectance))
		}
		img.SetNRGBA(n%f.nx, n/f.nx, shade(mix, white))
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		panic(err) // into memory, of an image that is never empty
	}
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(out.Bytes())
}

// shade is the sRGB colour of a light beside a white, clipped.
func shade(light, white colour.XYZ) color.NRGBA {
	code, err := strconv.ParseUint(colour.Swatch(light, white)[1:], 16, 32)
	if err != nil {
		panic(err) // Swatch writes #rrggbb
	}
	return color.NRGBA{uint8(code >> 16), uint8(code >> 8), uint8(code), 255}
}

// tones is the darkest and the brightest tone of the framed backdrop, stops from middle grey.
func (f *field) tones(s *Set) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, e := range f.sum {
		t := s.Stage.Grey(e)
		lo, hi = min(lo, t), max(hi, t)
	}
	return lo, hi
}

// steps are the tones at which lines are drawn: whole stops, or halves and quarters where
// the backdrop is even.
func (f *field) steps(s *Set) []float64 {
	lo, hi := f.tones(s)
	if math.IsInf(lo, 0) || math.IsInf(hi, 0) {
		return nil
	}
	step := 1.0
	for step > 0.25 && (hi-lo)/step < 2.5 {
		step /= 2
	}
	var out []float64
	for k := math.Ceil(lo / step); k*step <= hi; k++ {
		out = append(out, k*step)
	}
	return out
}

func (f *field) contours(p *draw.Picture, v view) {
	for _, tone := range f.steps(v.Set) {
		p.Segments("contour", f.contour(v, tone))
	}
}

// contour is the line of one tone, in pieces, by marching squares.
func (f *field) contour(v view, tone float64) [][2]draw.Point {
	level := math.Exp2(tone) / math.Exp2(v.Stage.Grey(1))
	place := func(x, y float64) draw.Point {
		return v.at(2*x/float64(f.nx-1)-1, 1-2*y/float64(f.ny-1))
	}
	var out [][2]draw.Point
	for j := range f.ny - 1 {
		for i := range f.nx - 1 {
			corners := [4]float64{f.sum[j*f.nx+i], f.sum[j*f.nx+i+1], f.sum[(j+1)*f.nx+i+1], f.sum[(j+1)*f.nx+i]}
			var cuts []draw.Point
			for e := range 4 {
				a, b := corners[e], corners[(e+1)%4]
				if (a < level) == (b < level) {
					continue
				}
				t := (level - a) / (b - a)
				x, y := float64(i), float64(j)
				switch e {
				case 0:
					x += t
				case 1:
					x, y = x+1, y+t
				case 2:
					x, y = x+1-t, y+1
				default:
					y += 1 - t
				}
				cuts = append(cuts, place(x, y))
			}
			for n := 0; n+1 < len(cuts); n += 2 {
				out = append(out, [2]draw.Point{cuts[n], cuts[n+1]})
			}
		}
	}
	return out
}

// labels writes the tone beside each line, where the sitter leaves room.
func (f *field) labels(p *draw.Picture, v view) {
	for _, tone := range f.steps(v.Set) {
		var spots []draw.Spot
		pieces := f.contour(v, tone)
		for n := 0; n < len(pieces); n += max(1, len(pieces)/40) {
			q := pieces[n][0]
			if math.Abs(q.X-v.mid.X) < v.halfW-draw.Advance(toneText(tone), draw.SmallSize)/2-1 && math.Abs(q.Y-v.mid.Y) < v.halfH-2.5 {
				spots = append(spots, draw.Spot{At: draw.Point{X: q.X, Y: q.Y + 1.1}, Anchor: draw.Middle})
			}
		}
		if len(spots) > 0 {
			p.FitTag(toneText(tone), spots)
		}
	}
}

func toneText(tone float64) string {
	text := fmt.Sprintf("%+.2f", tone)
	for text[len(text)-1] == '0' {
		text = text[:len(text)-1]
	}
	if text[len(text)-1] == '.' {
		text = text[:len(text)-1]
	}
	if text == "+0" || text == "-0" {
		return "0"
	}
	return text
}
