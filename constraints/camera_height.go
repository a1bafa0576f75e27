package constraints

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "camera-height",
	Doc: Doc{
		Group: "camera",
		Title: "how high the camera stands, and how far it is tipped",
		Text: `The height of the lens above the floor (height), or above the sitter's eyes (above eyes, negative
below), and how far the camera looks down or up (pitch, negative down). Words: eyes, mouth, chest, waist, hip. Eye to
mouth suits heads, chest to waist three-quarter, hip full length; up to 5 deg of pitch is neutral, 5 to 15 deg down
slims the jaw, 5 to 15 deg up gives power (from memory). The camera is set to the middle of what is asked, unless
the brief's camera says a height itself.`,
		Example: "camera-height: {above eyes: -10 cm..+5 cm, pitch: -5 deg..5 deg}",
		Words:   []string{"low angle", "high angle", "eye level", "pitch", "looking down", "looking up", "tripod height", "eyes", "mouth", "chest", "waist", "hip"},
		Values:  []string{"eyes", "mouth", "chest", "waist", "hip"},
	},
	Read: readCameraHeight,
})

// heightName is a word for a height of the lens against the eyes, for a standing adult; a
// seated one has less to go down by. From memory.
type heightName struct {
	word  string
	above unit.Range[rise]
}

var heightNames = []heightName{
	{"eyes", unit.Range[rise]{Lo: -0.03, Hi: 0.03}},
	{"mouth", unit.Range[rise]{Lo: -0.10, Hi: -0.04}},
	{"chest", unit.Range[rise]{Lo: -0.45, Hi: -0.30}},
	{"waist", unit.Range[rise]{Lo: -0.65, Hi: -0.50}},
	{"hip", unit.Range[rise]{Lo: -0.85, Hi: -0.70}},
}

type cameraHeightGoal struct {
	Plain
	height *unit.Range[unit.Length] // over the floor; nil: not asked
	above  *unit.Range[rise]        // over the eyes
	pitch  *unit.Range[unit.Angle]
}

type cameraHeightForm struct {
	source.Places
	Height unit.Range[unit.Length] `yaml:"height,omitempty"`
	Above  unit.Range[rise]        `yaml:"above eyes,omitempty"`
	Pitch  unit.Range[unit.Angle]  `yaml:"pitch,omitempty"`
}

func readCameraHeight(n source.Node) (Requirement, error) {
	g := &cameraHeightGoal{}
	if w, ok := word(n); ok {
		var words []string
		for _, h := range heightNames {
			if normal(w) == h.word {
				above := h.above
				g.above = &above
				return g, nil
			}
			words = append(words, h.word)
		}
		if height, err := readRange[unit.Length](n); err == nil {
			height = widen(height, 0.02) // a tripod is set to the centimetre or two
			g.height = &height
			return g, nil
		}
		_, err := oneOf("camera height", w, words)
		return nil, fmt.Errorf("%w, or a height as in 1.4 m", err)
	}
	var f cameraHeightForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	if f.Wrote("height") {
		g.height = &f.Height
	}
	if f.Wrote("above eyes") {
		g.above = &f.Above
	}
	if f.Wrote("pitch") {
		g.pitch = &f.Pitch
	}
	if g.height == nil && g.above == nil && g.pitch == nil {
		return nil, fmt.Errorf("say height, above eyes or pitch")
	}
	return g, nil
}

func (g *cameraHeightGoal) Validate(*Brief) error {
	if g.height != nil {
		if err := inside("the height of the lens", *g.height, 0.1, 5); err != nil {
			return err
		}
	}
	if g.above != nil {
		if err := inside("the lens above the eyes", *g.above, -2, 3); err != nil {
			return err
		}
	}
	if g.pitch != nil {
		return inside("the pitch", *g.pitch, -60*unit.Degree, 60*unit.Degree)
	}
	return nil
}

func (g *cameraHeightGoal) Written() string {
	for _, h := range heightNames {
		if g.above != nil && *g.above == h.above && g.height == nil && g.pitch == nil {
			return h.word
		}
	}
	return keyed(
		pair{"height", optional(g.height)}, pair{"above eyes", optional(g.above)}, pair{"pitch", optional(g.pitch)})
}

// Place sets the camera where the brief's goal wants it, if the brief's camera does not say.
func (g *cameraHeightGoal) Place(b *Brief) {
	if b.Camera.Height > 0 {
		return
	}
	switch {
	case g.height != nil:
		b.Camera.Height = centimetres(g.height.Interval().Mid())
	case g.above != nil:
		b.Camera.Height = centimetres((&Bench{Brief: b}).Eye().Z + g.above.Interval().Mid())
	}
}

func (g *cameraHeightGoal) Reads() Aspect {
	if g.pitch != nil {
		return OnLens | OnFrame
	}
	return OnFrame // so that it is looked at with the camera; the height is the brief's own
}

func (g *cameraHeightGoal) Judge(r *Reading, out []Part) []Part {
	if g.height != nil {
		out = append(out, Part{What: "lens above the floor", Got: r.LensHeight, Want: g.height.Interval(), Unit: InMetres, Fine: 0.01})
	}
	if g.above != nil {
		out = append(out, Part{What: "lens above the eyes", Got: r.LensAbove, Want: g.above.Interval(), Unit: InMetres, Fine: 0.01})
	}
	if g.pitch != nil {
		out = append(out, Part{What: "looks up by", Got: r.Pitch, Want: degrees(*g.pitch), Unit: InDegrees, Fine: 1})
	}
	return out
}

func (g *cameraHeightGoal) Because(_ *Reading, p Part) string {
	switch p.What {
	case "lens above the floor":
		return short("the height of the lens above the floor", p)
	case "lens above the eyes":
		return fmt.Sprintf("The lens is %s, and between %s and %s is wanted.", byEyes(p.Got.Lo), byEyes(p.Want.Lo), byEyes(p.Want.Hi))
	}
	return short("the angle by which the camera looks up", p)
}

// byEyes words a height against the eyes.
func byEyes(x float64) string {
	switch at := roundTo(x, 0.01); {
	case at > 0:
		return Show(at, InMetres) + " above the eyes"
	case at < 0:
		return Show(-at, InMetres) + " below the eyes"
	}
	return "level with the eyes"
}

func (g *cameraHeightGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	if g.height != nil || g.above != nil {
		eye := centimetres(b.Eye().Z)
		if centimetres(b.CameraHeight()) != eye {
			out = append(out, Change{Text: fmt.Sprintf("set the lens at the height of the eyes, %s", Show(float64(eye), InMetres)), Cost: nothing, Minor: 2,
				Apply: func(b *Brief, s *inventory.Studio) {
					level := unit.Range[unit.Length]{Lo: eye - 0.02, Hi: eye + 0.02}
					swap(g, &cameraHeightGoal{height: &level})(b, s)
					b.Camera.Height = eye
				}})
		}
		for i, d := range []unit.Length{0.1, 0.3} {
			w := *g
			w.height, w.above = wider(g.height, d), wider(g.above, rise(d))
			out = append(out, weaker(g, &w, 1+float64(i), "let the lens be %s higher or lower", Show(float64(d), InMetres)))
		}
	}
	if g.pitch != nil {
		for i, d := range []unit.Angle{5 * unit.Degree, 10 * unit.Degree} {
			w := *g
			w.pitch = wider(g.pitch, d)
			out = append(out, weaker(g, &w, 1.5+float64(i), "let the camera be tipped %s more", Show(d.Degrees(), InDegrees)))
		}
	}
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (g *cameraHeightGoal) Wants(b *Bench) []Want {
	var out []Want
	if g.height != nil {
		out = append(out, Want{"height of the lens", g.height.Interval(), "the lens at " + tape(*g.height)})
	}
	if g.above != nil {
		v := g.above.Interval().Add(unit.Point(b.Eye().Z))
		out = append(out, Want{"height of the lens", v, "the lens at " + ShowRange(v, InMetres)})
	}
	return out
}

func centimetres(x float64) unit.Length { return unit.Length(tidy(roundTo(x, 0.01))) }

// wider moves the ends of a range that may not be there.
func wider[T ~float64](r *unit.Range[T], d T) *unit.Range[T] {
	if r == nil {
		return nil
	}
	to := widen(*r, d)
	return &to
}

// pair is a key and its value as a brief has them; an empty value is left out.
type pair struct{ key, value string }

// keyed writes a mapping on one line.
func keyed(pairs ...pair) string {
	text := ""
	for _, p := range pairs {
		if p.value == "" {
			continue
		}
		if text != "" {
			text += ", "
		}
		text += p.key + ": " + p.value
	}
	return "{" + text + "}"
}

// optional writes a range that may not be there.
func optional[T ~float64](r *unit.Range[T]) string {
	if r == nil {
		return ""
	}
	return rangeText(*r)
}

// Amounts moves either end of the height by centimetres, of the pitch by degrees.
func (g *cameraHeightGoal) Amounts(*Bench) (out []Amount) {
	edited := func(edit func(*cameraHeightGoal)) Requirement {
		w := *g
		edit(&w)
		return &w
	}
	if g.height != nil {
		out = append(out, ends(g, "the lens's height", g.height.Interval(), 0.1, 5, 0.01, InMetres, func(r unit.Interval) Requirement {
			to := unit.Range[unit.Length]{Lo: unit.Length(r.Lo), Hi: unit.Length(r.Hi)}
			return edited(func(w *cameraHeightGoal) { w.height = &to })
		}, "let the lens be %s above the floor")...)
	}
	if g.above != nil {
		out = append(out, endsSaid(g, "the lens's height beside the eyes", g.above.Interval(), -2, 3, 0.01, byEyes,
			func(r unit.Interval) string { return "let the lens be " + spanned(r, byEyes) }, func(r unit.Interval) Requirement {
				to := unit.Range[rise]{Lo: rise(r.Lo), Hi: rise(r.Hi)}
				return edited(func(w *cameraHeightGoal) { w.above = &to })
			})...)
	}
	if g.pitch != nil {
		out = append(out, endsSaid(g, "the camera's pitch", degrees(*g.pitch), -60, 60, 1, byLevel,
			func(r unit.Interval) string { return "let the camera look " + spanned(r, byLevel) }, func(r unit.Interval) Requirement {
				to := angles(r)
				return edited(func(w *cameraHeightGoal) { w.pitch = &to })
			})...)
	}
	return out
}

// byLevel words a pitch in degrees.
func byLevel(x float64) string {
	switch {
	case x > 0:
		return Show(x, InDegrees) + " up"
	case x < 0:
		return Show(-x, InDegrees) + " down"
	}
	return "level"
}

// spanned words a range by its ends, one of which may not be there.
func spanned(r unit.Interval, show func(float64) string) string {
	switch {
	case math.IsInf(r.Lo, -1):
		return "at most " + show(r.Hi)
	case math.IsInf(r.Hi, 1):
		return "at least " + show(r.Lo)
	}
	return "from " + show(r.Lo) + " to " + show(r.Hi)
}
