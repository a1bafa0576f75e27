package constraints

import (
	"fmt"
	"strings"

	"falloff/model/colour"
	"falloff/model/source/spell"
	"falloff/model/unit"
)

// hueText is a hue as written in a brief: a word, or an angle in degrees of Oklab beside
// the white of the key. The zero value asks for no hue.
type hueText string

func (h *hueText) UnmarshalText(b []byte) error {
	text := strings.Join(strings.Fields(strings.ToLower(string(b))), " ")
	if _, ok := colour.HueByName(text); ok {
		*h = hueText(text)
		return nil
	}
	if a, err := unit.Parse[unit.Angle](text); err == nil {
		if d := a.Degrees(); d < 0 || d >= 360 {
			return fmt.Errorf("%q: a hue lies from 0 deg up to 360 deg", cut(text))
		}
		*h = hueText(text)
		return nil
	}
	all := strings.Join(colour.HueNames(), ", ")
	if near, ok := spell.Nearest(text, colour.HueNames()); ok {
		return fmt.Errorf("unknown hue %q; did you mean %q? There are %s, or an angle as in 264 deg", cut(text), near, all)
	}
	return fmt.Errorf("unknown hue %q; there are %s, or an angle as in 264 deg", cut(text), all)
}

// angle is the hue in degrees, and how far a light may stray if the brief does not say.
func (h hueText) angle() (deg, within float64) {
	if w, ok := colour.HueByName(string(h)); ok {
		return w.Hue, w.Within
	}
	a, err := unit.Parse[unit.Angle](string(h))
	if err != nil {
		return 0, 20
	}
	return tidy(a.Degrees()), 20
}

// tolerance is the written one, else the word's own.
func (h hueText) tolerance(within unit.Angle) float64 {
	if within > 0 {
		return tidy(within.Degrees())
	}
	_, usual := h.angle()
	return usual
}

// looser lists wider tolerances to offer, in degrees.
func (h hueText) looser(within unit.Angle) (out []float64) {
	now := h.tolerance(within)
	for _, more := range []float64{10, 20} {
		if to := min(90, now+more); to > now {
			out = append(out, to)
		}
	}
	return out
}

func hueWithinOK(h hueText, within unit.Angle) error {
	switch {
	case h == "" && within != 0:
		return fmt.Errorf("within belongs to a hue, and none is given")
	case within < 0 || within > 90*unit.Degree:
		return fmt.Errorf("within is above 0 deg and at most 90 deg")
	}
	return nil
}

// pale is the OkLCh chroma below which nobody calls a light by its hue: a quarter blue
// has 0.04, straw 0.14, amber 0.24, deep blue 0.9 (from memory of what reads as coloured).
const pale = 0.12

// huePart measures a light's hue. A pale light has none to speak of, and counts as
// opposite to any.
func huePart(what string, h hueText, within unit.Angle, l *LightReading) Part {
	deg, _ := h.angle()
	got := apart(l.Hue, deg)
	switch {
	case l.Chroma.Hi < pale:
		got = unit.Point(180)
	case l.Chroma.Lo < pale: // it may be
		got = got.Hull(unit.Point(180))
	}
	return Part{What: what, Got: got, Want: atMost(h.tolerance(within)), Unit: InDegrees, Fine: 3}
}

// sayHue words how far a light is from the wanted hue.
func sayHue(h hueText, p Part) string {
	if p.Got.IsPoint() && p.Got.Lo < 180 {
		text := fmt.Sprintf("hue %s from %s", Show(p.Got.Lo, InDegrees), h)
		if p.Fails() {
			text += " (" + p.aside() + ")"
		}
		return text
	}
	if p.Got.IsPoint() {
		return fmt.Sprintf("too pale to have a hue (wanted %s)", h)
	}
	return fmt.Sprintf("no clear hue (wanted %s)", h)
}

func hueBecause(whose string, h hueText, p Part) string {
	if p.Got.Lo >= 180 {
		return fmt.Sprintf("%s is white, and %s is wanted.", upper(whose), h)
	}
	return fmt.Sprintf("Every hue that %s can have is %s or more from %s, and at most %s is allowed.",
		whose, floor(p.Got.Lo, InDegrees, p.Want.Hi), h, Asked(p.Want.Hi, InDegrees))
}
