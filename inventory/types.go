// Package inventory is gear as data: what a studio owns, and one arrangement of it.
// It knows units and physics constants, and no goal.
package inventory

import (
	"falloff/model/colour"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// ID names a type of item; identical items share one ID and have a Count.
type ID string

// Item is what every piece of kit has.
type Item struct {
	source.Places
	ID      ID         `yaml:"id,required"`
	Name    string     `yaml:"name,omitempty"`  // how people call it; the ID if empty
	Like    ID         `yaml:"like,omitempty"`  // a generic item that says what is not written here; see KitDefaults
	Count   int        `yaml:"count,omitempty"` // 1 if not written
	Mass    unit.Mass  `yaml:"mass,omitempty"`
	DayRate unit.Money `yaml:"day_rate,omitempty"`
}

// Label is the name to show.
func (i Item) Label() string {
	if i.Name != "" {
		return i.Name
	}
	return string(i.ID)
}

// Studio is a room with its kit; a hire list is a studio file too.
type Studio struct {
	source.Places
	Name      string     `yaml:"studio,required"`
	Meter     Meter      `yaml:"meter,omitempty"`
	Room      Room       `yaml:"room"`
	Crew      string     `yaml:"crew,omitempty"` // "alone" (default) or "assisted": which handling times count
	Cameras   []Camera   `yaml:"cameras"`
	Lenses    []Lens     `yaml:"lenses"`
	Heads     []Head     `yaml:"heads"`
	Modifiers []Modifier `yaml:"modifiers,omitempty"`
	Grids     []Grid     `yaml:"grids,omitempty"`
	Gels      []Gel      `yaml:"gels,omitempty"`
	Cards     []Card     `yaml:"cards,omitempty"`
	Stands    []Stand    `yaml:"stands"`
	Booms     []Boom     `yaml:"booms,omitempty"`
	Backdrops []Backdrop `yaml:"backdrops"`
	Triggers  []Trigger  `yaml:"triggers,omitempty"`
	Times     Times      `yaml:"times,omitempty"` // the studio's own handling times

	shelf  *Shelf
	beside *Studio // of a hire list: whose modifiers its grids and readings may name as well
}

// Meter says which incident constant the studio's meter follows (ISO 2720:1974):
// Constant belongs to Kind "plane" (flat disc, 240 to 400, usually 250) or "dome"
// (320 to 540). falloff computes plane illuminance, so a dome constant only changes
// the reading that is printed, never the exposure.
type Meter struct {
	source.Places
	Constant float64 `yaml:"constant,omitempty"` // lx s; 250 if not written, 340 for a dome
	Kind     string  `yaml:"kind,omitempty"`     // plane (default) or dome
}

// Room is a box. The sitter's mark is on the centre line; the backdrop hangs Standoff in
// front of the back wall, and the camera needs Behind between its back and the front wall.
type Room struct {
	source.Places
	Width    unit.Length      `yaml:"width,required"`
	Depth    unit.Length      `yaml:"depth,required"`
	Height   unit.Length      `yaml:"height,required"`
	Walls    unit.Share       `yaml:"walls,required"` // reflectances 0..1
	Ceiling  unit.Share       `yaml:"ceiling,required"`
	Floor    unit.Share       `yaml:"floor,required"`
	Ambient  unit.Illuminance `yaml:"ambient,omitempty"`
	Standoff unit.Length      `yaml:"standoff,omitempty"` // 0.3 m if not written
	Behind   unit.Length      `yaml:"behind,omitempty"`   // 0.6 m if not written
	Circuits []Circuit        `yaml:"circuits,omitempty"`
}

type Circuit struct {
	source.Places
	Name  string  `yaml:"name,omitempty"`
	Volts float64 `yaml:"volts,required"`
	Amps  float64 `yaml:"amps,required"`
}

type Camera struct {
	Item       `yaml:",inline"`
	Mount      string       `yaml:"mount,required"`
	Sensor     unit.Size    `yaml:"sensor,required"` // long side first, 36 x 24 mm
	BaseISO    unit.ISO     `yaml:"base_iso,required"`
	TopISO     unit.ISO     `yaml:"top_iso,omitempty"` // 64 x base_iso if not written
	Fastest    unit.Shutter `yaml:"fastest,omitempty"` // 1/4000 s if not written
	Sync       unit.Shutter `yaml:"sync,omitempty"`    // fastest shutter with flash; 1/160 s if not written
	Travel     unit.Time    `yaml:"travel,omitempty"`  // of the curtains over the frame; two thirds of sync if not written, 0 s for a leaf shutter
	Stabilised unit.Stops   `yaml:"stabilised,omitempty"`
	PixelPitch unit.Length  `yaml:"pixel_pitch,omitempty"`
}

type Lens struct {
	Item       `yaml:",inline"`
	Mount      string       `yaml:"mount,required"`
	Focal      unit.Length  `yaml:"focal,required"`
	Widest     unit.FNumber `yaml:"widest,required"`     // as engraved: a true value
	Narrowest  unit.FNumber `yaml:"narrowest,omitempty"` // f/16 if not written
	Nearest    unit.Length  `yaml:"nearest,omitempty"`   // closest focus, from the sensor mark
	Pupil      float64      `yaml:"pupil,omitempty"`     // exit / entrance pupil; 1 if not known
	Stabilised unit.Stops   `yaml:"stabilised,omitempty"`
}

// Head is a flash head, a lamp, or both; a flash head's Lamp is its modelling lamp
// unless Lamp.Main says that it may light a picture.
type Head struct {
	Item  `yaml:",inline"`
	Mount string `yaml:"mount,omitempty"` // modifier mount; usual if not written
	Flash *Flash `yaml:"flash,omitempty"`
	Lamp  *Lamp  `yaml:"lamp,omitempty"`
	// Tube is the diameter of the bare emitter, a ball that shines all ways. 5 cm if not written.
	Tube  unit.Length `yaml:"tube,omitempty"`
	Bare  bool        `yaml:"bare,omitempty"`  // may be used with no modifier
	Dial  string      `yaml:"dial,omitempty"`  // "fraction" (default for flash) or "percent"
	Cable unit.Length `yaml:"cable,omitempty"` // none: battery
}

// Flash rates a flash head. Give Energy (with Efficacy, 15 to 50 lm s per Ws; 35 +- 0.7
// stops if not written), or Metered.
type Flash struct {
	source.Places
	Energy   unit.Energy   `yaml:"energy,omitempty"`
	Efficacy unit.Efficacy `yaml:"efficacy,omitempty"`
	Metered  *Metered      `yaml:"metered,omitempty"`
	Range    unit.Stops    `yaml:"range,omitempty"` // from full power down, positive; needed, as is Step
	Step     unit.Stops    `yaml:"step,omitempty"`
	T05      unit.Time     `yaml:"t05,omitempty"` // at full power
	T01      unit.Time     `yaml:"t01,omitempty"`
	Cutoff   bool          `yaml:"cutoff,omitempty"` // duration shortens with power (IGBT)
	Recycle  unit.Time     `yaml:"recycle,omitempty"`
	Kelvin   unit.Kelvin   `yaml:"kelvin,omitempty"`   // 5600 K if not written
	Spectrum Spectral      `yaml:"spectrum,omitempty"` // in place of Kelvin, which then follows from it
	Amps     float64       `yaml:"amps,omitempty"`     // nameplate current

	light lamplight
}

// Metered is a measured guide number: f-number times metres at ISO 100 and full power,
// with the named modifier and no grid or gel (plane constant of the studio's meter).
type Metered struct {
	source.Places
	Guide unit.Length `yaml:"guide,required"` // metres at ISO 100
	With  ID          `yaml:"with,required"`
	At    unit.Length `yaml:"at,omitempty"` // distance it was read at; 2 m if not written
}

// Lamp rates a continuous light. Give Flux, Metered lux with a named modifier, or Watts with
// Efficacy.
type Lamp struct {
	source.Places
	Flux     unit.Flux     `yaml:"flux,omitempty"`
	Metered  *MeteredLux   `yaml:"metered,omitempty"`
	Watts    unit.Power    `yaml:"watts,omitempty"`
	Efficacy unit.Efficacy `yaml:"efficacy,omitempty"` // lm per W, where Flux is not known
	Main     bool          `yaml:"main,omitempty"`     // bright and steady enough to photograph by
	Range    unit.Stops    `yaml:"range,omitempty"`    // how far it dims; 0: not at all
	Step     unit.Stops    `yaml:"step,omitempty"`     // 0.1 stops if not written
	Kelvin   unit.Kelvin   `yaml:"kelvin,omitempty"`   // 5600 K if not written
	// Spectrum is in place of Kelvin, which then follows from it.
	Spectrum Spectral `yaml:"spectrum,omitempty"`
	Hot      bool     `yaml:"hot,omitempty"` // halogen: heat cautions apply

	light lamplight
}

type MeteredLux struct {
	source.Places
	Lux  unit.Illuminance `yaml:"lux,required"` // at full, facing the light
	With ID               `yaml:"with,required"`
	At   unit.Length      `yaml:"at,required"`
}

// Modifier is a luminous face. Efficiency is the share of the head's light that leaves it.
// Law is the exponent of the cosine of its luminance: 0 for a diffuse front. A measured Beam
// takes the place of Law and, if it knows its lamp, of Efficiency.
type Modifier struct {
	Item       `yaml:",inline"`
	Type       string      `yaml:"type,omitempty"`  // softbox, strip, octabox, dish, reflector, umbrella, snoot, lantern, panel
	Fits       []string    `yaml:"fits,omitempty"`  // mounts; those of all heads if not written
	Shape      string      `yaml:"shape,omitempty"` // rectangle, octagon, disc
	Face       unit.Size   `yaml:"face,omitempty"`  // width x height as it stands; one size for discs
	Depth      unit.Length `yaml:"depth,omitempty"`
	Efficiency unit.Share  `yaml:"efficiency,omitempty"` // needed save with a beam that knows its lamp
	Law        float64     `yaml:"law,omitempty"`
	Beam       *BeamTable  `yaml:"beam,omitempty"`
	Doubt      unit.Stops  `yaml:"doubt,omitempty"` // 0.5 if not written, 0.2 with a beam
	MaxLamp    unit.Power  `yaml:"max_lamp,omitempty"`
	GelAt      string      `yaml:"gel_at,omitempty"` // "front" (default for reflectors, dishes and snoots), "tube" (default for the rest), "no"

	bare   *light.Beam        // measured once
	behind map[ID]*light.Beam // the same behind each grid that fits
}

// Grid sits on named modifiers. Give its cut-off (full angle) or its cell ratio.
type Grid struct {
	Item   `yaml:",inline"`
	Fits   []ID       `yaml:"fits,omitempty"`
	Cell   string     `yaml:"cell,omitempty"`   // square, hex, tube
	Cutoff unit.Angle `yaml:"cutoff,omitempty"` // full angle beyond which no light passes
	Ratio  float64    `yaml:"ratio,omitempty"`  // cell depth / width
	Open   unit.Share `yaml:"open,omitempty"`   // light passed straight on; 90 % if not written
}

// Gel fits any head unless Fits lists mounts.
type Gel struct {
	Item     `yaml:",inline"`
	Fits     []string   `yaml:"fits,omitempty"`
	Curve    string     `yaml:"curve,omitempty"`    // parametric transmittance, e.g. "0.02 + 0.88 rise(545, 14)"
	Table    []float64  `yaml:"table,omitempty"`    // 81 values, 380 to 780 nm by 5 nm
	Standard string     `yaml:"standard,omitempty"` // a generic gel of the built-in catalogue
	Doubt    unit.Stops `yaml:"doubt,omitempty"`    // 0.3 if not written

	filter *colour.Gel // measured once
}

// Card is a reflector, or, dark, a flag. Of what it reflects the share Mirror goes about the
// mirror direction, as on silver; 0 if not written.
type Card struct {
	Item        `yaml:",inline"`
	Face        unit.Size  `yaml:"face,omitempty"`
	Reflectance unit.Share `yaml:"reflectance,omitempty"`
	Mirror      unit.Share `yaml:"mirror,omitempty"`
}

type Stand struct {
	Item   `yaml:",inline"`
	Lowest unit.Length `yaml:"lowest,omitempty"` // a third of height, to the centimetre, if not written
	Height unit.Length `yaml:"height,omitempty"` // highest
	Load   unit.Mass   `yaml:"load,omitempty"`
	Foot   unit.Length `yaml:"foot,omitempty"` // radius of the feet; 0.45 m if not written
}

// Boom is an arm that goes on a stand.
type Boom struct {
	Item  `yaml:",inline"`
	Reach unit.Length `yaml:"reach,omitempty"` // from the stand to the head
	Tail  unit.Length `yaml:"tail,omitempty"`  // from the stand to the counterweight; 2/5 of reach if not written
	Load  unit.Mass   `yaml:"load,omitempty"`  // at the tip
}

type Backdrop struct {
	Item        `yaml:",inline"`
	Reflectance unit.Share  `yaml:"reflectance,omitempty"`
	Width       unit.Length `yaml:"width,omitempty"`
	Drop        unit.Length `yaml:"drop,omitempty"` // hanging height; the room's if not written
}

// Trigger fires Fires heads each.
type Trigger struct {
	Item  `yaml:",inline"`
	Fires int `yaml:"fires,omitempty"` // 1 if not written
}
