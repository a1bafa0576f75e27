package constraints

import (
	"falloff/inventory"
	"falloff/model/unit"
)

// Reading is everything that can be measured of a set-up, or of a box of set-ups: each
// number is an interval, a point for an exact set-up, unit.Whole where nothing is known.
// SI units: metres, seconds; angles in degrees here, because people read them; levels in
// stops. "Level" is an incident reading against the camera's setting: 0 makes an 18 %
// card render as 18 %. "Tone" is a rendered level: stops from middle grey, so white paper
// (85 %) in light of level 0 has tone +2.24 and black paper (4 %) -2.17.
type Reading struct {
	// Camera. Aperture is the true f-number, Shutter the true time.
	ISO, Shutter, Aperture unit.Interval
	Focal, FocalEq         unit.Interval // m; FocalEq for a 36 x 24 mm frame
	Distance               unit.Interval // m, lens to eyes
	Frame                  unit.Interval // m, height of the frame at the sitter
	Coc                    unit.Interval // m, circle of confusion
	Stabilised             unit.Interval // stops, the better of body and lens
	Handheld               unit.Interval // s, longest time that the rule allows by hand
	Sync                   unit.Interval // s, shortest time with flash
	Widest                 unit.Interval // true f-number, the lens wide open
	BaseISO                unit.Interval
	LensHeight             unit.Interval // m, of the lens above the floor
	LensAbove              unit.Interval // m, of the lens above the eyes; negative below
	Pitch                  unit.Interval // deg, of the camera, positive when it looks up
	Sensor                 unit.Interval // m, long side

	// Focus.
	EyeGap       unit.Interval // m, between the eyes along the lens axis
	Field        unit.Interval // m, total depth of field at the sitter
	EyeBlur      unit.Interval // m on the sensor, worse eye, focus set midway
	Keepers      unit.Interval // 0..1, share of frames with both eyes sharp
	BackdropBlur unit.Interval // 0..1, blur disc of the backdrop as a share of frame height
	Perspective  unit.Interval // 0..1, how much larger the nose is drawn than the ear, 0.08 = 8 %
	FarEar       unit.Interval // deg, how far the head is turned beyond the angle that hides the far ear
	Airy         unit.Interval // blur by diffraction, in circles of confusion

	// Blur discs of points of head and shoulders, in circles of confusion: up to 1 is sharp.
	NearEyeDisc, FarEyeDisc, NoseDisc, NearEarDisc, FarEarDisc, ShoulderDisc unit.Interval

	// Scene.
	FrameFactor unit.Interval // 0..1, how much of what the back of the head sees is backdrop inside the frame
	Depth       unit.Interval // m, sitter to backdrop
	Reflectance unit.Interval // of the backdrop

	Lights  [inventory.NumRoles]LightReading
	Count   unit.Interval // lights used
	Cards   unit.Interval // cards that stand about the sitter; plan places none
	Minutes unit.Interval // set-up time
	Load    unit.Interval // 0..1, draw on the fullest circuit as a share of what it may carry
	Hire    unit.Interval // day rates of all that is used, in the studio's currency

	// Tone.
	Exposure unit.Interval // stops, incident at the face toward the key: key and fill, room bounce left out
	Ratio    unit.Interval // stops, log2 of (key + fill) : fill, fill with card and bounce
	Dark     unit.Interval // tone: brightest of the frame's border and of all spill on the backdrop
	Bright   unit.Interval // tone: brightest point of the visible backdrop, all lights
	Dim      unit.Interval // tone: darkest point of the visible backdrop, all lights
	Bounce   unit.Interval // stops, room bounce on the face against the camera's setting
	Ambient  unit.Interval // stops, light of 1 lx during the exposure against the camera's setting
	RoomLux  unit.Interval // lx, the room's own light at the face
	Spread   unit.Interval // stops between the darkest and the brightest point of the visible backdrop
	Wrap     unit.Interval // stops, what backdrop and room throw on the sitter from behind, against the camera's setting
	Feet     unit.Interval // stops, how much less light of the key reaches the feet than the eyes

	// Tones of the backdrop at the top and the bottom of the frame and behind the head.
	TopTone, BottomTone, HeadTone unit.Interval
	// Tones of the edges of the hair and of the backdrop right beside them.
	HairLeft, HairRight, BesideLeft, BesideRight unit.Interval

	// Colour of the backdrop, in channels of a picture balanced for the key: 1 is display white.
	Saturation  unit.Interval // 0..1, least in the frame: 1 - least / greatest channel, clipped
	TopChannel  unit.Interval // brightest channel anywhere in the frame
	HeadLeast   unit.Interval // darkest channel behind the head
	HeadChannel unit.Interval // brightest channel behind the head

	// Glow of the background light on the backdrop, lengths as seen at the sitter.
	GlowTone   unit.Interval // tone at its brightest
	GlowOffset unit.Interval // m, from the head's centre to the brightest place
	GlowRadius unit.Interval // m, mean radius at which it has fallen by a stop
}

// LightReading is one light.
type LightReading struct {
	On        unit.Interval // 0 no, 1 yes, [0,1] not known
	Level     unit.Interval // stops, this light alone, at its own target facing it
	Azimuth   unit.Interval // deg from the camera axis, positive to camera right
	FromFace  unit.Interval // deg from the face axis, same sign
	FromNose  unit.Interval // the same, positive on the side to which the head is turned
	Elevation unit.Interval // deg
	Distance  unit.Interval // m
	Size      unit.Interval // deg, the face as seen from its target (disc of equal area)
	Hue       unit.Interval // deg, OkLCh against the key's white; Whole when near grey
	Chroma    unit.Interval // OkLCh
	Kelvin    unit.Interval // correlated colour temperature; infinite when far from the locus
	Clear     unit.Interval // m, how far the light and its stand clear the frame, or are hidden
	Flash     unit.Interval // 1 flash, 0 continuous
	Purity    unit.Interval // stops by which a rim exceeds the other lights on its own edge of the hair
	Modelling unit.Interval // stops, its modelling lamp against the camera's setting; -Inf when off
	Mirror    unit.Interval // deg, how far its face is from where glasses mirror it into the lens
	Stray     unit.Interval // deg, how far it is from shining into the lens
	LensSize  unit.Interval // deg, its face as the lens sees it
	Duration  unit.Interval // s, t0.1 of a flash at its power, 0 for a lamp
	Recycle   unit.Interval // s, until a flash is ready again at its power, 0 for a lamp
	Rendition unit.Interval // general colour rendering index Ra (CIE 13.3-1995)
}

// Unknown is the reading of nothing.
func Unknown() Reading { return unknown }

var unknown = func() (r Reading) {
	for _, x := range r.numbers() {
		*x = unit.Whole
	}
	for i := range r.Lights {
		r.Lights[i].On, r.Lights[i].Flash = unit.Interval{Lo: 0, Hi: 1}, unit.Interval{Lo: 0, Hi: 1}
	}
	return r
}()

// Hull is the smallest reading that holds both.
func (r Reading) Hull(q *Reading) Reading {
	a, b := r.numbers(), q.numbers()
	for i := range a {
		*a[i] = a[i].Hull(*b[i])
	}
	return r
}

// numbers points to every number of a reading, in one order.
func (r *Reading) numbers() []*unit.Interval {
	out := []*unit.Interval{&r.ISO, &r.Shutter, &r.Aperture, &r.Focal, &r.FocalEq, &r.Distance, &r.Frame, &r.Coc,
		&r.Stabilised, &r.Handheld, &r.Sync, &r.Widest, &r.BaseISO, &r.LensHeight, &r.LensAbove, &r.Pitch, &r.Sensor,
		&r.EyeGap, &r.Field, &r.EyeBlur, &r.Keepers, &r.BackdropBlur, &r.Perspective, &r.FarEar, &r.Airy,
		&r.NearEyeDisc, &r.FarEyeDisc, &r.NoseDisc, &r.NearEarDisc, &r.FarEarDisc, &r.ShoulderDisc,
		&r.FrameFactor, &r.Depth, &r.Reflectance, &r.Count, &r.Cards, &r.Minutes, &r.Load, &r.Hire, &r.Exposure, &r.Ratio, &r.Dark, &r.Bright, &r.Dim,
		&r.Bounce, &r.Ambient, &r.RoomLux, &r.Spread, &r.Wrap, &r.Feet, &r.TopTone, &r.BottomTone, &r.HeadTone,
		&r.HairLeft, &r.HairRight, &r.BesideLeft, &r.BesideRight, &r.Saturation, &r.TopChannel, &r.HeadLeast, &r.HeadChannel,
		&r.GlowTone, &r.GlowOffset, &r.GlowRadius}
	for i := range r.Lights {
		l := &r.Lights[i]
		out = append(out, &l.On, &l.Level, &l.Azimuth, &l.FromFace, &l.FromNose, &l.Elevation, &l.Distance, &l.Size, &l.Hue, &l.Chroma,
			&l.Kelvin, &l.Clear, &l.Flash, &l.Purity, &l.Modelling, &l.Mirror, &l.Stray, &l.LensSize, &l.Duration, &l.Recycle, &l.Rendition)
	}
	return out
}
