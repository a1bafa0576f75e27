package constraints

import (
	"fmt"
	"math"
	"strings"

	"falloff/model/source"
	"falloff/model/unit"
)

// A focusPoint is a part of head or shoulders that may be sharp or blurred.
type focusPoint struct {
	word string
	disc func(*Reading) unit.Interval // in circles of confusion
}

// focusPoints go from front to back.
var focusPoints = []focusPoint{
	{"nose", func(r *Reading) unit.Interval { return r.NoseDisc }},
	{"near eye", func(r *Reading) unit.Interval { return r.NearEyeDisc }},
	{"far eye", func(r *Reading) unit.Interval { return r.FarEyeDisc }},
	{"near ear", func(r *Reading) unit.Interval { return r.NearEarDisc }},
	{"far ear", func(r *Reading) unit.Interval { return r.FarEarDisc }},
	{"shoulders", func(r *Reading) unit.Interval { return r.ShoulderDisc }},
}

// pairs are words for two points.
var focusPairs = map[string][]string{"eyes": {"near eye", "far eye"}, "ears": {"near ear", "far ear"}}

const focusPointsText = `Points: nose, near eye, far eye, near ear, far ear, shoulders; eyes and ears are both of them. Where they
are in depth follows from the turn of the head and the camera's pitch (nose 30 mm before the eyes, ears 90 mm behind,
shoulders 100 mm; from memory), with the focus midway between the eyes, or on the near eye if the brief's camera says
focus: near eye.`

// pointSet is a set of points by index in focusPoints.
type pointSet []int

func pointsOf(words []string) (pointSet, error) {
	known := []string{"eyes", "ears"}
	for _, p := range focusPoints {
		known = append(known, p.word)
	}
	var has [8]bool
	for _, w := range words {
		found, err := oneOf("point", w, known)
		if err != nil {
			return nil, err
		}
		both, ok := focusPairs[found]
		if !ok {
			both = []string{found}
		}
		for i, p := range focusPoints {
			for _, b := range both {
				has[i] = has[i] || p.word == b
			}
		}
	}
	var set pointSet
	for i := range focusPoints {
		if has[i] {
			set = append(set, i)
		}
	}
	if len(set) == 0 {
		return nil, fmt.Errorf("name a point, as in nose or ears")
	}
	return set, nil
}

func (s pointSet) words() []string {
	var out []string
	for _, i := range s {
		out = append(out, focusPoints[i].word)
	}
	return out
}

// spoken lists the points in a sentence: "the nose, the near eye and the far eye".
func (s pointSet) spoken() string {
	words := s.words()
	last := "the " + words[len(words)-1]
	if len(words) == 1 {
		return last
	}
	return "the " + strings.Join(words[:len(words)-1], ", the ") + " and " + last
}

// written lists the points as a brief does.
func (s pointSet) written() string { return "[" + strings.Join(s.words(), ", ") + "]" }

// pointsForm is how sharp and blurred are written in full.
type pointsForm struct {
	source.Places
	Points []string `yaml:"points,required"`
	By     float64  `yaml:"by,omitempty"`
}

// readPoints reads "ears", "[nose, ears]" or {points: [..], by: 3}.
func readPoints(n source.Node, by float64) (pointSet, float64, error) {
	var words []string
	switch n.Kind() {
	case source.Scalar:
		for _, w := range strings.Split(n.Text(), ",") {
			words = append(words, strings.TrimSpace(w))
		}
	case source.List:
		if err := n.Decode(&words); err != nil {
			return nil, 0, err
		}
	default:
		var f pointsForm
		if err := n.Decode(&f); err != nil {
			return nil, 0, err
		}
		words = f.Points
		if f.Wrote("by") {
			by = f.By
		}
	}
	set, err := pointsOf(words)
	return set, by, err
}

// where words the camera setting of a box for a sentence about focus.
func where(r *Reading, aperture string) string {
	if math.IsInf(r.Aperture.Hi, 0) || math.IsInf(r.Frame.Hi, 0) || math.IsInf(r.Aperture.Lo, 0) || math.IsInf(r.Frame.Lo, 0) {
		return "Wherever the camera stands"
	}
	if aperture == "or wider" {
		return fmt.Sprintf("At %s%s and a frame of %s%s", Show(r.Aperture.Hi, InFNumber), unlessPoint(r.Aperture, " or wider"),
			cm(r.Frame.Hi, math.Ceil), unlessPoint(r.Frame, " or less"))
	}
	return fmt.Sprintf("At %s%s and a frame of %s%s", Show(r.Aperture.Lo, InFNumber), unlessPoint(r.Aperture, " or smaller"),
		cm(r.Frame.Lo, math.Floor), unlessPoint(r.Frame, " or more"))
}
