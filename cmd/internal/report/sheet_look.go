package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"falloff/model/colour"
	"falloff/model/unit"
)

// together is what to look for once every light is on: target frame, viewfinder, and what
// to do about a reading that is off.
func (s *Sheet) together(m *markup) {
	m.in("section", func() {
		m.one("h2", "All lights together")
		m.in("div", func() {
			m.in("div", func() {
				figure(m, s.frame, s.frameCaption())
				figure(m, s.eyes, "Each number is a light mirrored in the eye, for a sitter who looks into the lens; dashed under the lid. Sizes of eye and lids are typical.")
			})
			m.in("div", func() {
				m.one("h3", "Target frame")
				s.targetFrame(m)
				m.in("div", func() {
					m.one("h3", "In the viewfinder")
					m.list(s.viewfinder(), "class", "tick")
				}, "class", "keep")
				m.in("div", func() {
					m.one("h3", "If a reading is off")
					m.list(s.corrections())
				}, "class", "keep")
			})
		}, "class", "pair")
	}, "id", "together")
}

func (s *Sheet) frameCaption() string {
	text := "The backdrop as the camera draws it, balanced for the key and before any tone curve, with lines of equal tone in stops from middle grey. " +
		"Outside the frame, dashed, what must stay outside. The sitter is an outline only; a coloured edge is a rim light on the hair."
	if in := s.pics.InFrame(); len(in) > 0 {
		text += " As drawn here the stand of light " + list(in) + " crosses the picture: swing its pole outside the frame before you shoot, or hang the light from an arm."
	}
	return text
}

// targetFrame is what a test frame should show, in numbers that can be read off a screen.
func (s *Sheet) targetFrame(m *markup) {
	r, cam := &s.set.Reading, s.set.Setup.Camera
	m.one("p", "At "+cam.Shutter.String()+" and "+cam.ISO.String()+", with every light on, a meter at the eyes that faces the key shows "+
		unit.MeterReading(s.set.Camera.TogetherMeter)+"; that is "+againstCamera(s.set.Camera.Together)+
		", with what the room sends back. Readings of one light alone are without it: shade the meter from walls and ceiling.")
	rows := [][]string{}
	for _, z := range []struct {
		what string
		tone float64
	}{
		{"grey card at the eyes, facing the key", float64(s.set.Camera.Together)},
		{"backdrop, brightest place in the frame", r.Bright.Lo},
		{"backdrop, darkest place in the frame", r.Dim.Lo},
	} {
		if !math.IsInf(z.tone, 0) && !math.IsNaN(z.tone) {
			rows = append(rows, []string{z.what, tenths(z.tone), greyCode(z.tone)})
		}
	}
	m.table("", []string{"Place", "Stops from middle grey", "Brightness, of 255"}, rows)
	m.one("p", "Brightness is that of a grey of the same tone in sRGB, straight from the sensor; a picture style or a tone curve moves it.", "class", "soft")
}

// tenths is a tone to a tenth, with its sign; nothing is plain 0.
func tenths(tone float64) string {
	x := math.Round(tone*10) / 10
	if x == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.1f", x)
}

// greyCode is the sRGB value of a grey of a tone.
func greyCode(tone float64) string {
	code := colour.Swatch(colour.D65.AtY(0.18*math.Exp2(tone)), colour.D65.AtY(1))
	v, err := strconv.ParseUint(code[3:5], 16, 8)
	if err != nil {
		panic(err) // Swatch writes #rrggbb
	}
	return strconv.FormatUint(v, 10)
}

// viewfinder is what to check with the eye at the camera.
func (s *Sheet) viewfinder() []string {
	st, c, stage := s.words.Style, s.set, s.pics.Stage
	_, eye, _ := stage.See(stage.Eye)
	_, crown, _ := stage.See(stage.Crown)
	out := []string{fmt.Sprintf("The eyes are %.0f %% up the frame.", 50*(1+eye))}
	if crown < 1 {
		out = append(out, fmt.Sprintf("%.0f %% of the frame is free over the head.", 50*(1-crown)))
	} else {
		out = append(out, "The frame cuts the top of the head.")
	}
	focus := "Focus " + focusAt(s.words.units(c.Camera.Focus))
	if c.Camera.Near > 0 && !math.IsInf(float64(c.Camera.Far), 0) {
		focus += fmt.Sprintf("; %s is sharp, so focus again after every move", st.tape(c.Camera.Far-c.Camera.Near))
	}
	out = append(out, focus+".")
	out = append(out, "Paper fills the frame to all four edges.", "No light, stand or cable shows; look along all four edges.")
	for _, l := range s.pics.Lights {
		switch l.Set.Role {
		case "rim-left", "rim-right":
			out = append(out, l.Name+": a line along the hair, and nothing of it on the nose.")
		case "background":
			out = append(out, l.Name+": its patch sits behind the head, as in the drawing.")
		}
	}
	return append(out, "No light shines into the lens: shade it with your hand and see whether the picture gains contrast.")
}

// corrections is what to do about readings that are not as planned (common practice, no
// source, but for the doubts, which are those of the kit's data).
func (s *Sheet) corrections() []string {
	worst := 0.0
	for _, l := range s.pics.Lights {
		worst = max(worst, float64(l.Report.Doubt))
	}
	out := []string{"Up to 0.1 stop off: leave it. A meter does not repeat better than that.",
		"Otherwise turn the dial by the difference: a reading 0.5 stop too high is dialled 0.5 stop down. Key first, then the others."}
	if worst > 0.15 {
		out = append(out, "Up to "+stops(2*worst)+" off: the kit's data leave that much open (two standard deviations of the most uncertain light here).")
	}
	return append(out, "More than that: look for a mistake first. Gel, grid, distance, the other head, a modelling lamp left on.",
		"No dial left: move the light to 0.7 of its distance for about a stop more, to 1.4 times for a stop less, and meter again.",
		"Off the same way twice: set the head to full with a modifier alone, meter it and write the reading into the studio file (metered:). Its doubt then falls to 0.1 stop.")
}

// look is the charts.
func (s *Sheet) look(m *markup) {
	m.in("section", func() {
		m.one("h2", "How it looks, and how much it forgives")
		m.in("div", func() {
			m.in("div", func() {
				figure(m, s.tones, "Dot: as computed. Bar with ends: one standard deviation until metered. Grey band: what the goal allows. Lights are levels at their own target, where 0 is the camera's setting; the backdrop is a tone, where 0 is middle grey. Goals such as a ratio are differences.")
				if s.spectra != nil {
					figure(m, s.spectra, "Solid: the light through its gel. Patch: how it draws white, at its strongest, in a picture balanced for the key. Computed from the head's colour temperature.")
				}
			})
			m.in("div", func() {
				figure(m, s.depth, s.depthCaption())
				figure(m, s.across, "Tone along a level line through the spot behind the head: every light by its number, and all together.")
				figure(m, s.lean, "What a move of the head does to the key, with the meter following the face.")
			})
		}, "class", "pair")
	}, "id", "look")
}

func (s *Sheet) depthCaption() string {
	r := &s.set.Reading
	return fmt.Sprintf("Focused %s, at f/%s. One circle of confusion is %s on the sensor; below it is called sharp.",
		focusAt(s.words.units(s.set.Camera.Focus)), decimal(r.Aperture.Lo, 1), decimal(r.Coc.Lo*1000, 3)+nb+"mm")
}

// focusAt puts the place of the focus behind a verb: "on the eyes", "midway between them".
func focusAt(place string) string {
	if strings.HasPrefix(place, "the ") {
		return "on " + place
	}
	return place
}
