package datasheet

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/source"
	"falloff/model/unit"
)

func readHead(f *source.File, o Options) (*Sheet, error) {
	sp, err := colour.ReadSpectrum(f)
	if err != nil {
		return nil, err
	}
	k, duv, ok := colour.CCT(sp.XYZ())
	if !ok {
		return nil, source.Error{At: source.Place{File: f},
			Msg:  fmt.Sprintf("this light is too far from white for a colour temperature: Duv %+.3f, and at most %g either way", duv, colour.MaxDuv),
			Hint: "a head takes a white light; if this is the transmittance of a gel, say --as gel"}
	}
	s := &Sheet{Kind: Head}
	s.say("From %s: the spectrum of a light, here at %d to %d nm by %d nm, 1 at its peak.", comment(f.Name), colour.First, colour.Last, colour.Step)
	s.say("%.0f K, %s.", float64(k), colour.Quality(&sp))
	x, y := sp.XYZ().Chromaticity()
	s.figure("kelvin", float64(k))
	s.figure("duv", duv)
	s.figure("x", x)
	s.figure("y", y)
	if r, ok := colour.CRI(&sp); ok {
		s.figure("ra", r.Ra)
		s.figure("r9", r.R9())
		if r.Tinted {
			s.say("It lies so far from its reference that Ra says little (CIE 13.3).")
		}
	}
	if t, ok := colour.TM30(&sp); ok {
		s.figure("rf", t.Rf)
		s.figure("rg", t.Rg)
	}
	s.figure("mired_from_5600_k", float64(colour.MiredShift(5600, k)))
	table := numbers(sp[:])
	if _, _, err := (inventory.Spectral{Table: values(table)}).Measure(); err != nil {
		return nil, source.Error{At: source.Place{File: f}, Msg: err.Error()}
	}
	switch {
	case o.Flux > 0:
		s.YAML = headOf(o, fmt.Sprintf("    lamp:\n      flux: %v\n      main: true\n", o.Flux)) + list("spectrum", "      ", table)
	case o.Energy > 0:
		s.YAML = headOf(o, fmt.Sprintf("    flash:\n      energy: %v\n      range: 5 stops\n      step: 0.1 stops\n", o.Energy)) + list("spectrum", "      ", table)
		s.say("Range and step of its power are usual ones; write your own.")
	default:
		s.say("A spectrum says nothing of how much light there is. Put the key below under the \"flash:\" or \"lamp:\" of a head, in place of \"kelvin:\"; or import again with --flux or --energy for a head of its own.")
		s.YAML = list("spectrum", "", table)
	}
	return s, nil
}

func headOf(o Options, light string) string {
	return fmt.Sprintf("heads:\n  - id: %s\n    name: %s\n    mount: %s\n%s", quoted(o.ID), quoted(o.Name), quoted(o.Mount), light)
}

// measuredGelDoubt is that of the very sheet that was measured. Common practice, no source.
const measuredGelDoubt = "0.1 stops"

// gelLights are what gels are listed over: daylight or flash, and halogen.
var gelLights = []unit.Kelvin{5600, 3200}

func readGel(f *source.File, o Options) (*Sheet, error) {
	g, err := colour.ReadTransmittance(f)
	if err != nil {
		return nil, err
	}
	s := &Sheet{Kind: Gel}
	s.say("From %s: the transmittance of a gel, here at %d to %d nm by %d nm (%v).", comment(f.Name), colour.First, colour.Last, colour.Step, &g)
	for _, k := range gelLights {
		if err := s.overLight(k, &g); err != nil {
			return nil, source.Error{At: source.Place{File: f}, Msg: err.Error()}
		}
	}
	s.say("Channels are those of linear sRGB, a stand-in for a camera: +-0.5 stops.")
	s.YAML = fmt.Sprintf("gels:\n  - id: %s\n    name: %s\n    doubt: %s\n", quoted(o.ID), quoted(o.Name), measuredGelDoubt) +
		list("table", "    ", numbers(g.T[:]))
	return s, nil
}

// strongest is the mired shift beyond which a gel is a colour and no conversion. Common
// practice, no source.
const strongest = 250

// overLight says what a gel does to a light.
func (s *Sheet) overLight(k unit.Kelvin, g *colour.Gel) error {
	over, err := colour.Source(k)
	if err != nil {
		return err
	}
	tint, white := colour.Tint(&over, g), over.XYZ()
	if tint.Y < 1e-4 {
		return fmt.Errorf("it passes next to nothing: %.2g %% of a light of %.0f K", 100*tint.Y, float64(k))
	}
	look := colour.Look(tint.AtY(1), white.AtY(1))
	loss := float64(unit.StopsOf(tint.Y))
	channel, ahead := colour.Brightest(tint, white)
	word := colour.NameOf(look.H, look.C)
	text := fmt.Sprintf("Over %.0f K: passes %s %%, %+.1f stops; %s", float64(k), number(math.Round(1000*tint.Y)/10), loss, word)
	if word != "white" {
		text += fmt.Sprintf(", hue %.0f deg (OkLCh beside that light)", look.H)
	}
	if ahead > 0.05 {
		text += fmt.Sprintf("; %s clips first, %.1f stops before a white of the same reading", channel, float64(ahead))
	}
	key := fmt.Sprintf("over_%.0f_k_", float64(k))
	s.figure(key+"stops", loss)
	s.figure(key+"hue_deg", look.H)
	s.figure(key+"chroma", look.C)
	s.figure(key+"clips_stops", float64(ahead))
	bare, _, _ := colour.CCT(white)
	t, duv, ok := colour.CCT(tint)
	if shift := colour.MiredShift(bare, t); ok && math.Abs(float64(shift)) < strongest {
		text += fmt.Sprintf("; %+.0f mired, to %.0f K (Duv %+.3f)", float64(shift), float64(t), duv)
		s.figure(key+"mired", float64(shift))
	} else {
		text += "; too strong a colour for a shift in mired"
	}
	s.say("%s.", text)
	return nil
}
