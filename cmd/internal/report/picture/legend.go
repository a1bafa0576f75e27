package picture

import "falloff/cmd/internal/report/draw"

// Legend tells what every stroke of the drawings means.
func (s *Set) Legend() *draw.Picture {
	type entry struct {
		draw func(p *draw.Picture, x, y float64)
		text string
	}
	line := func(class string) func(*draw.Picture, float64, float64) {
		return func(p *draw.Picture, x, y float64) {
			p.Line(class, draw.Point{X: x, Y: y}, draw.Point{X: x + 10, Y: y})
		}
	}
	box := func(p *draw.Picture, x, y float64) {
		p.Path("body", []draw.Point{{X: x + 1, Y: y - 2.4}, {X: x + 1, Y: y + 2.4}, {X: x + 8, Y: y + 0.9}, {X: x + 8, Y: y - 0.9}}, true)
		p.Line("face", draw.Point{X: x + 1, Y: y - 2.4}, draw.Point{X: x + 1, Y: y + 2.4})
	}
	entries := []entry{
		{func(p *draw.Picture, x, y float64) { p.Badge(draw.Point{X: x + 5, Y: y}, "1") }, "light, in order of building"},
		{box, "light and its face, to size"},
		{line("aim"), "aim: face to target"},
		{line("sight"), "edge of the picture"},
		{line("tape"), "tape line to a ruler"},
		{line("paper"), "backdrop, to size"},
		{func(p *draw.Picture, x, y float64) {
			p.Path("beam plain-beam", []draw.Point{{X: x, Y: y}, {X: x + 10, Y: y - 2.4}, {X: x + 10, Y: y + 2.4}}, true)
		}, "beam, to 1 stop down"},
		{line("spill"), "spill, to 4 stops down"},
		{func(p *draw.Picture, x, y float64) {
			p.Line("mark", draw.Point{X: x + 3, Y: y}, draw.Point{X: x + 7, Y: y})
			p.Line("mark", draw.Point{X: x + 5, Y: y - 2}, draw.Point{X: x + 5, Y: y + 2})
		}, "tape mark under the eyes"},
		{line("stand"), "stand and its feet"},
	}
	for i := range s.Lights {
		if s.Lights[i].Set.Boom != "" {
			entries = append(entries, entry{line("arm"), "boom arm"}, entry{line("perhaps"), "its stand, one of many"})
			break
		}
	}
	if len(s.Stage.Cards) > 0 {
		entries = append(entries, entry{func(p *draw.Picture, x, y float64) {
			p.Badge(draw.Point{X: x + 2.7, Y: y}, "A")
			p.Line("card", draw.Point{X: x + 6.5, Y: y - 2.2}, draw.Point{X: x + 6.5, Y: y + 2.2})
			p.Line("line", draw.Point{X: x + 6.5, Y: y}, draw.Point{X: x + 9.5, Y: y})
		}, "card or flag, its front"})
	}
	const row = 6.4
	rows := (len(entries) + 1) / 2
	p := s.picture("legend", "What the strokes mean", 2+row*float64(rows))
	p.Says = "Key to the drawings."
	for i, e := range entries {
		x, y := 2+60*float64(i/rows), 4+row*float64(i%rows)
		e.draw(p, x, y)
		p.Text("small", draw.Point{X: x + 12.5, Y: y + 1.1}, draw.Start, e.text)
	}
	return p
}
