package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/colour"
)

// PatternOf names the pattern that the key draws on a face by where it stands about the
// nose, "" where it has none of the names of the pattern goal. Short and broad are the
// business of CheekOf.
func PatternOf(r *Reading) string {
	key := &r.Lights[inventory.Key]
	if key.On.Lo < 1 {
		return ""
	}
	angle, up := tidy(math.Abs(key.FromFace.Lo)), tidy(key.Elevation.Lo)
	for _, p := range patternNames[:round] {
		if p.angle.Contains(angle) && p.elevation.Contains(up) {
			return p.word
		}
	}
	return ""
}

// Patterns lists the names that PatternOf gives, round from the front.
func Patterns() []string { return patternWords()[:round] }

// HuesApart is the distance of two hues in degrees.
func HuesApart(a, b float64) float64 { return colour.HueDistance(a, b) }

// leastAside is how far, in degrees, a key stands from the nose that it lights one cheek
// more than the other (from memory).
const leastAside = 8

// CheekOf says which cheek the key lights of a turned face: "short" the one farther from
// the camera, "broad" the nearer one, "" where the face or the key is too near the middle.
func CheekOf(r *Reading, b *Brief) string {
	key, turn := &r.Lights[inventory.Key], b.Sitter.Turn.Degrees()
	if key.On.Lo < 1 || math.Abs(turn) < leastTurn || math.Abs(key.FromFace.Lo) < leastAside {
		return ""
	}
	if (key.FromFace.Lo > 0) == (turn > 0) {
		return "short"
	}
	return "broad"
}
