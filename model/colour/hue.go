package colour

import "strings"

// HueWord is a colour name with its hue angle, in degrees of Oklab beside the white of
// the key, and how far a light may stray and still be called by it.
type HueWord struct {
	Name   string
	Hue    float64 // 0 up to 360
	Within float64 // default tolerance either way
}

// The angles follow the sRGB colours of the same names and what gels of those names
// give over a 5600 K light (the two differ by a few degrees: sRGB red is 29, a red gel
// 25). The tolerances are a choice: about half the way to the next word.
// Common practice, no source.
var hueWords = [...]HueWord{
	{"rose", 8, 12},
	{"red", 27, 15},
	{"orange", 49, 14},
	{"amber", 75, 15},
	{"yellow", 105, 15},
	{"lime", 130, 12},
	{"green", 148, 16},
	{"teal", 190, 16},
	{"cyan", 207, 15},
	{"sky", 228, 14},
	{"azure", 244, 12},
	{"blue", 257, 14},
	{"deep blue", 268, 14},
	{"violet", 293, 15},
	{"purple", 312, 14},
	{"magenta", 328, 15},
	{"pink", 348, 15},
}

// HueByName finds a hue word, in capitals or not.
func HueByName(word string) (HueWord, bool) {
	if w, ok := hueCalled(word); ok { // as it is written mostly, and asked often
		return w, true
	}
	return hueCalled(strings.Join(strings.Fields(strings.ToLower(word)), " "))
}

func hueCalled(name string) (HueWord, bool) {
	for _, w := range hueWords {
		if w.Name == name {
			return w, true
		}
	}
	return HueWord{}, false
}

// HueNames lists the hue words round the circle, from rose.
func HueNames() []string {
	names := make([]string, len(hueWords))
	for i, w := range hueWords {
		names[i] = w.Name
	}
	return names
}

// neutral is the Oklab chroma below which a light is called white. A quarter orange
// conversion over daylight has about 0.017 at mid grey. From memory.
const neutral = 0.02

// NameOf returns the word nearest to a hue in degrees, or "white" for a light of so
// little chroma c that no word fits.
func NameOf(h, c float64) string {
	if c < neutral {
		return "white"
	}
	best := hueWords[0]
	for _, w := range hueWords[1:] {
		if HueDistance(w.Hue, h) < HueDistance(best.Hue, h) {
			best = w
		}
	}
	return best.Name
}

// Holds reports whether a hue in degrees is within the default tolerance of the word.
func (w HueWord) Holds(h float64) bool { return HueDistance(w.Hue, h) <= w.Within }
