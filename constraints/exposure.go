package constraints

import (
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "exposure",
	Doc: Doc{
		Group: "tone",
		Title: "how bright the face is",
		Text: `The incident light at the face, toward the key and all lights together, against what the camera is
set for; what the room sends back is left out, and a caution says where it shows. 0 stops renders an 18 % card as 18 %. If a brief says nothing, -0.3..+0.3 stops is taken:
a third of a stop is the click of most cameras (common practice, no source).`,
		Example: "exposure: {key: -0.3..+0.3 stops}",
		Words:   []string{"brightness", "under", "over", "correct exposure", "key level"},
	},
	Read: readExposure,
})

// exposureGoal wants the face at a level.
type exposureGoal struct {
	Plain
	key unit.Range[unit.Stops]
}

type exposureForm struct {
	source.Places
	Key unit.Range[unit.Stops] `yaml:"key,required"`
}

func readExposure(n source.Node) (Requirement, error) {
	if n.Kind() == source.Scalar {
		key, err := readRange[unit.Stops](n)
		return &exposureGoal{key: key}, err
	}
	var f exposureForm
	err := n.Decode(&f)
	return &exposureGoal{key: f.Key}, err
}

func (e *exposureGoal) Validate(*Brief) error { return valid("key", e.key.Interval()) }
func (e *exposureGoal) Written() string       { return "{key: " + rangeText(e.key) + "}" }
func (e *exposureGoal) Reads() Aspect {
	return Level(inventory.Key) | Pose(inventory.Key) | Level(inventory.Fill) | OnBounce
}
func (e *exposureGoal) Roles() (need, may []inventory.Role) {
	return []inventory.Role{inventory.Key}, nil
}

func (e *exposureGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{What: "face", Got: r.Exposure, Want: e.key.Interval(), Unit: InStops, Fine: 0.1})
}

func (e *exposureGoal) Because(_ *Reading, p Part) string {
	return short("the light on the face, against what the camera is set for,", p)
}

func (e *exposureGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, d := range []unit.Stops{0.3, 0.7, 1} {
		w := &exposureGoal{key: widen(e.key, d)}
		out = append(out, weaker(e, w, float64(1+2*i), "let the face be at %s", inStops(w.key)))
	}
	out = append(append(out, otherHeads(b)...), filterOn(b)...)
	slices.SortStableFunc(out, byMinor)
	return slices.Values(out)
}

func (e *exposureGoal) Wants(*Bench) []Want {
	return []Want{{"exposure of the face", e.key.Interval(), "the face at " + inStops(e.key)}}
}

// Amounts moves either end by a tenth of a stop.
func (e *exposureGoal) Amounts(*Bench) []Amount {
	with := func(r unit.Interval) Requirement {
		return &exposureGoal{key: stopsOf(r)}
	}
	return ends(e, "the exposure of the face", e.key.Interval(), -3, 3, 0.1, InStops, with, "let the face be at %s")
}
