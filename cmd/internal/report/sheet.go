package report

import (
	"io"

	"falloff/cmd/internal/report/draw"
	"falloff/cmd/internal/report/picture"
	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Sheet is a set sheet: all that is needed to build one set-up, to check it and to pack
// for it, as a page, as drawings and as lists.
type Sheet struct {
	studio *inventory.Studio
	brief  *constraints.Brief
	set    *solver.Checked
	bench  *constraints.Bench
	words  *page
	pics   *picture.Set

	// The drawings, each made once.
	plan, side, near, nearSide, legend, frame, eyes *draw.Picture
	tones, depth, across, spectra, lean             *draw.Picture // spectra is nil where no light has a gel
}

// NewSheet makes the sheet of a checked set-up. Prefix sets its drawings apart from those
// of other sheets on one page. The set-up has been checked, so its gear is there.
func NewSheet(s *inventory.Studio, b *constraints.Brief, c *solver.Checked, st Style, prefix string) (*Sheet, error) {
	bench := &constraints.Bench{Studio: s, Brief: b}
	stage, err := bench.Stage(c.Setup)
	if err != nil {
		return nil, err
	}
	words := newPage(st)
	words.names(s)
	out := &Sheet{studio: s, brief: b, set: c, bench: bench, words: words,
		pics: &picture.Set{Studio: s, Brief: b, Checked: c, Stage: stage, Units: st.Units, Prefix: prefix}}
	for i, l := range inBuildOrder(c.Lights) {
		out.pics.Lights = append(out.pics.Lights, picture.Light{Number: i + 1, Name: roleTitle(l.Set.Role), Report: l, StageLight: stage.Light(l.Set.Role)})
	}
	out.drawAll()
	return out, nil
}

func (s *Sheet) drawAll() {
	p := s.pics
	s.plan, s.side, s.near, s.nearSide, s.legend = p.Plan(), p.Side(), p.Near(), p.NearSide(), p.Legend()
	s.frame, s.eyes = p.Frame(), p.Eyes()
	s.tones, s.depth, s.across, s.lean = p.Tones(), p.Depth(), p.Across(), p.Lean()
	if p.Coloured() {
		s.spectra = p.Spectra()
	}
}

func roleTitle(role string) string {
	if t := roleTitles[role]; t != "" {
		return t
	}
	return role
}

// Drawings lists every drawing and chart of the sheet, in the order of the page.
func (s *Sheet) Drawings() []*draw.Picture {
	out := []*draw.Picture{s.plan, s.side, s.near, s.nearSide, s.legend, s.frame, s.eyes, s.tones, s.depth, s.across}
	if s.spectra != nil {
		out = append(out, s.spectra)
	}
	return append(out, s.lean)
}

// faces is the two drawings by which set-ups are told apart.
func (s *Sheet) faces() []*draw.Picture { return []*draw.Picture{s.plan, s.frame} }

// HTML writes the sheet as one page that needs nothing else.
func (s *Sheet) HTML(w io.Writer) error {
	var m markup
	m.document(title(s.set), func() {
		s.header(&m)
		s.build(&m)
		s.before(&m)
		s.order(&m)
		s.together(&m)
		s.look(&m)
		s.argument(&m)
		s.pack(&m)
		m.in("footer", func() {
			m.one("p", "Made by falloff from a computed model of light. Left and right are the camera's; levels and tones are in stops. Numbers with +- have not been metered yet.")
		})
	})
	_, err := io.WriteString(w, m.text.String())
	return err
}

func (s *Sheet) header(m *markup) {
	c := s.set
	m.in("header", func() {
		m.one("h1", title(c))
		verdict := "Checked: every must of the brief and every limit of room and kit holds."
		if !c.Holds() {
			verdict = "This set-up fails. " + s.words.units(failures(c))
		}
		m.one("p", verdict, "class", "verdict")
		m.one("p", capital(summary(s.studio, c))+". Studio "+s.studio.Name+"; "+effort(c))
		s.dials(m)
	})
}

// dials is what is set on the camera, large.
func (s *Sheet) dials(m *markup) {
	cam, r, st := s.set.Setup.Camera, s.set.Camera, s.words.Style
	m.in("dl", func() {
		m.pair("Lens", label(s.studio, cam.Lens))
		m.pair("Aperture", cam.Aperture.String())
		m.pair("Shutter", cam.Shutter.String())
		m.pair("ISO", cam.ISO.String())
		m.pair("Lens to eyes", st.tape(r.Distance))
		m.pair("Lens height", st.tape(cam.Height))
		m.pair("Frame at the sitter", st.tape(cam.Frame)+" high")
	}, "class", "dials")
}

func figure(m *markup, p *draw.Picture, caption string) {
	m.in("figure", func() {
		m.raw(p.SVG())
		m.in("figcaption", func() {
			m.one("strong", p.Title+".")
			m.raw(" ")
			m.one("span", caption)
		})
	}, "id", p.ID+"-figure")
}
