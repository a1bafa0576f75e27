package report

import (
	"math"
	"strings"

	"falloff/cmd/internal/report/picture"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver"
)

type light = picture.Light

// why says for each role why it is built when it is (common practice, no source).
var why = map[string]string{
	"background": "First, while nothing else is in its way and no other light reaches the paper.",
	"key":        "It sets the exposure, and every other light is judged against it.",
	"fill":       "Once the key is right, because it only opens the key's shadows.",
	"rim-left":   "After the key, so that it is judged against the lit face.",
	"rim-right":  "After its partner, so that the two sides can be compared.",
	"hair":       "Last, because it hangs over the sitter and everything else is out of the way.",
}

// build is the first page: every light in one line, and the drawings to build from.
func (s *Sheet) build(m *markup) {
	m.in("section", func() {
		s.lightTable(m)
		m.in("div", func() {
			m.in("div", func() {
				figure(m, s.plan, "Floor distances are from the tape cross under the sitter's eyes: beside the walls toward backdrop or camera, below to camera left or right. Measure to the floor under the centre of a light's face.")
				figure(m, s.side, "Heights above the floor, the ceiling, and how far the camera looks down or up.")
			})
			m.in("div", func() {
				figure(m, s.near, "At each light: from its face to what it is aimed at along a straight tape, and the angle from the camera's direction."+s.far())
				figure(m, s.nearSide, "Heights of the face centres, and how far each face is tipped.")
			})
		}, "class", "pair")
	}, "id", "build")
}

// before is what to read before anything is built: how the drawings are to be read, and
// the cautions.
func (s *Sheet) before(m *markup) {
	m.in("section", func() {
		m.in("div", func() {
			figure(m, s.legend, "Lights, stands, room, backdrop and head are drawn to size; how deep a body and how wide a head is the studio file does not say, and usual sizes are drawn.")
			s.cautions(m)
		}, "class", "pair")
	}, "id", "before", "class", "page")
}

func (s *Sheet) far() string {
	switch n := s.pics.Far(); len(n) {
	case 0:
		return ""
	case 1:
		return " Light " + n[0] + " stands farther off."
	default:
		return " Lights " + list(n) + " stand farther off."
	}
}

func (s *Sheet) lightTable(m *markup) {
	st := s.words.Style
	var rows [][]string
	for _, l := range s.pics.Lights {
		r := l.Report
		rows = append(rows, []string{itoa(l.Number), l.Name + ": " + gear(s.studio, l.Set), support(s.studio, l.Set),
			st.sideways(r.At.X), st.short(r.At.Y, "to the backdrop", "to the camera"),
			st.tape(unit.Length(r.At.Z)), strings.TrimPrefix(tilt(r.Aim.Sub(r.At)), "face tipped "), r.Dialled, s.reading(&l)})
		for i := 3; i < len(rows[len(rows)-1]); i++ {
			cell := &rows[len(rows)-1][i]
			*cell = strings.ReplaceAll(numberUnit.ReplaceAllString(*cell, "$1"+nb+"$2"), " %", nb+"%")
		}
	}
	m.table("stack", []string{"No.", "Light", "On", "Across", "Along", "Up", "Face", "Power", "Meter, alone"}, rows)
}

// short is an offset from the mark in a few words.
func (st Style) short(x float64, below, above string) string {
	switch {
	case math.Abs(x) < 0.005:
		return "level with it"
	case x < 0:
		return st.tape(unit.Length(-x)) + " " + below
	}
	return st.tape(unit.Length(x)) + " " + above
}

// sideways is an offset from the centre line in a few words.
func (st Style) sideways(x float64) string {
	if math.Abs(x) < 0.005 {
		return "centre"
	}
	return st.short(x, "left", "right")
}

// reading is what a meter shows of one light alone.
func (s *Sheet) reading(l *light) string {
	if l.Set.Light == "lamp" {
		return lux(l.Report.Lux)
	}
	return unit.MeterReading(l.Report.Meter)
}

// order is the order of work, step by step with its minutes.
func (s *Sheet) order(m *markup) {
	st, c := s.words.Style, s.set
	m.in("section", func() {
		m.one("h2", "Order of work")
		m.in("ol", func() {
			s.step(m, "", "Paper, mark and camera", float64(s.bench.CameraMinutes()), "Everything is measured from the mark, so it comes first.", func() {
				m.pair("Paper", label(s.studio, c.Setup.Backdrop.Item)+", "+st.tape(c.Setup.Backdrop.Distance)+" behind the mark")
				m.pair("Mark", "a tape cross on the floor under the eyes"+s.seat())
				m.pair("Eyes", st.tape(unit.Length(s.pics.Stage.Eye.Z))+" up; "+headTurn(s.brief.Sitter.Turn))
				m.pair("Camera", label(s.studio, c.Setup.Camera.Body)+", "+label(s.studio, c.Setup.Camera.Lens))
				m.pair("Place", "lens "+st.tape(c.Camera.Distance)+" from the eyes, "+st.tape(c.Setup.Camera.Height)+" up, "+pitch(c.Camera.Pitch)+
					"; sensor mark "+st.tape(c.Camera.Sensor)+" from the eyes")
				m.pair("Set", c.Setup.Camera.Aperture.String()+", "+c.Setup.Camera.Shutter.String()+", "+c.Setup.Camera.ISO.String())
				m.pair("Test", "one frame with every light off should be black; if it is not, darken the room")
			})
			for i := range s.pics.Lights {
				l := &s.pics.Lights[i]
				s.step(m, itoa(l.Number), l.Name+": "+gear(s.studio, l.Set), float64(l.Report.Minutes), s.whyNow(l), func() {
					m.pair("On", support(s.studio, l.Set))
					m.pair("Tape", capital(st.onFloor(l.Report))+"; face centre "+st.tape(unit.Length(l.Report.At.Z))+" up")
					m.pair("Check", st.place(l.Report))
					m.pair("Aim", st.aim(l.Report))
					m.pair("Power", power(s.studio, l.Report)+"; "+s.dialLeft(l))
					m.pair("Meter", st.meter(l.Report, c.Setup.Camera))
					m.pair("Look", s.words.units(l.Report.Words))
				})
			}
			s.cardSteps(m)
		}, "class", "steps")
		m.one("p", "Together about "+minutes(float64(c.Cost.Minutes))+", "+s.crew()+". Finish with a stand-in before the sitter comes.")
	}, "id", "order")
}

// whyNow is why a light is built when it is.
func (s *Sheet) whyNow(l *light) string {
	if l.Role == inventory.RimRight && s.pics.Stage.Light(inventory.RimLeft.String()) == nil {
		return why[inventory.RimLeft.String()]
	}
	return why[l.Set.Role]
}

// cardSteps is a step for each card or flag, once the lights stand; it takes the time of
// placing a card.
func (s *Sheet) cardSteps(m *markup) {
	st := s.words.Style
	for i := range s.set.Cards {
		k := &s.set.Cards[i]
		s.step(m, picture.CardLetter(i), "Card: "+label(s.studio, k.Set.Item), float64(s.studio.Minutes(inventory.PlaceCard)), whyCard(k), func() {
			if k.Set.Stand != "" {
				m.pair("On", label(s.studio, k.Set.Stand))
			}
			m.pair("Tape", capital(st.across(k.At.X)+", "+st.along(k.At.Y))+"; centre "+st.tape(unit.Length(k.At.Z))+" up")
			m.pair("Check", st.tape(k.Set.Distance)+" from the eyes, "+bearing(k.Set.Azimuth)+", "+rise(k.Set.Elevation, "eye level"))
			m.pair("Turn", turned(&k.Set))
		})
	}
	if fill := float64(s.set.Camera.CardFill); len(s.set.Cards) > 0 && fill > -9 {
		m.in("li", func() {
			m.one("p", "Together the cards throw "+stops(fill)+" "+underKey(fill)+" on the shadow side.")
		}, "class", "step")
	}
}

func whyCard(k *solver.CardReport) string {
	if k.Set.Shades != "" {
		return "After the light it shades."
	}
	return "After the lights, because it only throws what they give."
}

func (s *Sheet) crew() string {
	if s.studio.Assisted() {
		return "with an assistant"
	}
	return "for one person alone"
}

func (s *Sheet) seat() string {
	if s.brief.Sitter.Seated {
		return "; the seat stands behind it"
	}
	return ""
}

func (s *Sheet) step(m *markup, badge, name string, mins float64, reason string, body func()) {
	m.in("li", func() {
		m.in("h3", func() {
			if badge != "" {
				m.one("span", badge, "class", "badge-text")
			}
			m.one("span", name)
			m.one("span", "\u00b7 "+minutes(mins), "class", "soft")
		})
		if reason != "" {
			m.one("p", reason, "class", "soft")
		}
		m.in("dl", body)
	}, "class", "step")
}

// dialLeft is how far a light's dial goes from where it is set.
func (s *Sheet) dialLeft(l *light) string {
	n, step := s.studio.Head(l.Set.Head).Powers(l.Set.Light == "lamp")
	if n <= 1 {
		return "it does not dim, so its distance sets the level"
	}
	up := -l.Set.Power
	down := step*unit.Stops(n-1) + l.Set.Power
	const least = 0.05
	switch {
	case up < least:
		return "the dial is at its top, with " + stops(float64(down)) + " left downward"
	case down < least:
		return "the dial is at its bottom, with " + stops(float64(up)) + " left upward"
	}
	return stops(float64(up)) + " of dial left upward, " + stops(float64(down)) + " downward"
}
