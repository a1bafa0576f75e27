package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/optics"
	"falloff/model/people"
	"falloff/model/unit"
)

// Scene is a set-up, or a box of set-ups: what is known, each number as an interval. The
// zero values of Body, Lens and Backdrop mean that they are not known.
type Scene struct {
	Bench    *Bench
	Body     *inventory.Camera
	Lens     *inventory.Lens
	Aperture unit.Interval // true f-number
	Shutter  unit.Interval // true time, s
	ISO      unit.Interval // true
	Frame    unit.Interval // m
	Depth    unit.Interval // m
	Backdrop *inventory.Backdrop
	Lights   [inventory.NumRoles]LightScene
	Minutes  unit.Interval
	Cards    int
	Load     unit.Interval // see Equip
	Hire     unit.Interval
	layout   *Layout
	reads    Aspect                            // of the brief's goals: what is dear to measure is measured if asked for
	linear   [inventory.NumRoles]unit.Interval // 2^level of each light that is on
}

// LightScene is what is known of one light.
type LightScene struct {
	On    unit.Interval // 0 no, 1 yes
	Level unit.Interval // stops, alone, at its target
	Pose  light.PoseBox // D in m, Az and El in radians
	Posed bool          // Pose is known
	Flash unit.Interval
	Tint  *Tint // nil: not known
	Seen
	Modelling unit.Interval // stops of its modelling lamp relative to Level; -Inf if off
	Reach     *Response     // nil: not known
	Kit       *LightKit     // nil: not known
	Rendition unit.Interval // Ra; see Equip
	Power     unit.Interval // stops from full, 0 or negative
}

// LightKit is the items of one light; nil for one that it does without.
type LightKit struct {
	Head  *inventory.Head
	Mod   *inventory.Modifier
	Grid  *inventory.Grid
	Gel   *inventory.Gel
	Stand *inventory.Stand
	Boom  *inventory.Boom
}

// NewScene knows nothing.
func NewScene(b *Bench) Scene {
	w := unit.Whole
	s := Scene{Bench: b, Aperture: w, Shutter: w, ISO: w, Frame: w, Depth: w, Minutes: w, Load: w, Hire: w, reads: b.Brief.Reads()}
	for i := range s.Lights {
		s.Lights[i] = LightScene{On: unit.Interval{Lo: 0, Hi: 1}, Level: w, Flash: unit.Interval{Lo: 0, Hi: 1},
			Seen: unseen, Modelling: w, Rendition: w, Power: w}
	}
	return s
}

// Off says that a light is not used.
func (l *LightScene) Off() {
	*l = LightScene{On: unit.Point(0), Level: unit.Point(math.Inf(-1)), Flash: unit.Interval{Lo: 0, Hi: 1}, Seen: unseen,
		Modelling: unit.Point(math.Inf(-1)), Rendition: unit.Whole, Power: unit.Whole}
}

// Whose face? Distances in metres from the middle between the eyes, all from memory but
// for the survey means in package people.
const (
	edgeOut   = 0.09 // half the head with its hair
	edgeBack  = 0.02
	edgeUp    = 0.02
	edgeTurn  = 110 * math.Pi / 180 // the lit rim faces sideways and a little back
	crownBack = 0.05
	eyeLine   = 0.10 // frame centre lies this share of the frame below the eyes: eye line at 60 %
	overEyes  = 0.30 // but the frame ends this far over the eyes at most, or a full length would lose its feet
	noseAhead = 0.03
	earBehind = 0.10
	torsoHalf = 0.19 // m, half the shoulders that hide a light behind the sitter
	torsoTop  = 0.28 // m below the eyes
)

// Eye is the point midway between the eyes.
func (b *Bench) Eye() geom.Vec {
	if h := b.Brief.Sitter.EyeHeight; h > 0 {
		return geom.Vec{Z: float64(h)}
	}
	return geom.Vec{Z: float64(b.build().EyeHeight(b.Brief.Sitter.Seated).Mean)}
}

// build is the sitter's sizes.
func (b *Bench) build() people.Build {
	build := people.Anyone()
	switch b.Brief.Sitter.Build {
	case "woman":
		build = people.Women()
	case "man":
		build = people.Men()
	}
	if b.larger != 0 {
		return build.Larger(b.larger)
	}
	return build
}

// Reads joins what the goals read.
func (b *Brief) Reads() (a Aspect) {
	for _, g := range b.Goals {
		a |= g.Req.Reads()
	}
	return a
}

// CameraHeight is the height of the lens.
func (b *Bench) CameraHeight() float64 {
	if h := b.Brief.Camera.Height; h > 0 {
		return float64(h)
	}
	return b.Eye().Z
}

// Target is the point that a role's light is aimed at and metered from.
func (b *Bench) Target(r inventory.Role, glow geom.Vec) geom.Vec {
	e := b.Eye()
	switch r {
	case inventory.RimLeft:
		return e.Add(geom.Vec{X: -edgeOut, Y: -edgeBack, Z: edgeUp})
	case inventory.RimRight:
		return e.Add(geom.Vec{X: edgeOut, Y: -edgeBack, Z: edgeUp})
	case inventory.Hair:
		return e.Add(geom.Vec{Y: -crownBack, Z: float64(b.build().EyeToCrown.Mean)})
	case inventory.Background:
		return glow
	}
	return e
}

// Measure reads a scene. On exact scenes every number is a point.
func Measure(s *Scene) (r Reading) {
	s.MeasureInto(&r)
	return r
}

// MeasureInto is Measure into a reading that there is: all of it is read anew.
func (s *Scene) MeasureInto(r *Reading) {
	s.MeasureCamera(r)
	s.MeasureLights(r)
}

// MeasureCamera reads what does not depend on the lights; the rest is not known.
func (s *Scene) MeasureCamera(r *Reading) {
	*r = unknown
	s.measureCamera(r)
	s.measureFocus(r)
}

// MeasureLights reads the lights and what they do into a reading of the same scene, all
// of whose lights are measured anew.
func (s *Scene) MeasureLights(r *Reading) {
	s.measureLights(r)
	s.measureTone(r)
}

func (s *Scene) measureCamera(r *Reading) {
	r.ISO, r.Shutter, r.Aperture, r.Frame = s.ISO, s.Shutter, s.Aperture, s.Frame
	r.Depth, r.Minutes, r.Cards = s.Depth, s.Minutes, unit.Point(float64(s.Cards))
	r.Load, r.Hire, r.RoomLux = s.Load, s.Hire, luxOf(s.Bench)
	r.LensHeight = unit.Point(s.Bench.CameraHeight())
	r.LensAbove = unit.Point(s.Bench.CameraHeight() - s.Bench.Eye().Z)
	if s.Aperture.Lo > 0 && !math.IsInf(s.Aperture.Hi, 1) && s.ISO.Lo > 0 && s.Shutter.Lo > 0 {
		r.Ambient = s.Shutter.Log2().Sub(s.Bench.Needed(s.Aperture, s.ISO))
	}
	if s.Body != nil {
		r.Sensor = unit.Point(float64(s.Body.Sensor.Long()))
		long, diagonal := float64(s.Body.Sensor.Long()), float64(s.Body.Sensor.Diagonal())
		r.Coc = unit.Point(float64(optics.CircleOfConfusion(unit.Length(diagonal))))
		r.BaseISO = unit.Point(s.Body.BaseISO.True())
		r.Sync = unit.Point(0)
		if s.Body.Sync > 0 {
			r.Sync = unit.Point(s.Body.Sync.True())
		}
		if s.Lens != nil {
			f := float64(s.Lens.Focal)
			r.Focal = unit.Point(f)
			r.FocalEq = unit.Point(f * fullFrameDiagonal / diagonal)
			r.Widest = unit.Point(float64(s.Lens.Widest))
			stab := max(s.Body.Stabilised, s.Lens.Stabilised)
			r.Stabilised = unit.Point(float64(stab))
			r.Handheld = unit.Point(float64(optics.HandheldFloor(unit.Length(r.FocalEq.Lo), stab)))
			if s.Frame.Lo > 0 {
				// s = f (1 + H / sensor), rising in H
				r.Distance = s.Frame.Scale(1 / long).Add(unit.Point(1)).Scale(f)
			}
		}
	}
	if s.reads&OnWrap != 0 {
		r.FrameFactor = s.frameFactor()
	}
	if s.Backdrop != nil {
		r.Reflectance = unit.Point(float64(s.Backdrop.Reflectance))
	}
}

const fullFrameDiagonal = 0.0432666 // m, of 36 x 24 mm

// underEyes is how far the centre of a frame lies below the eyes; it grows with the frame.
func underEyes(frame float64) float64 { return max(eyeLine*frame, frame/2-overEyes) }

// pitch is the range of the camera's pitch in radians, positive upward: the axis goes to
// the centre of the frame.
func (s *Scene) pitch(distance unit.Interval) unit.Interval {
	b := s.Bench
	under := unit.Interval{Lo: underEyes(s.Frame.Lo), Hi: underEyes(s.Frame.Hi)}
	t := unit.Point(b.Eye().Z - b.CameraHeight()).Sub(under).Div(distance)
	if math.IsInf(t.Lo, 0) || math.IsInf(t.Hi, 0) {
		return unit.Interval{Lo: -math.Pi / 2, Hi: math.Pi / 2}
	}
	p := unit.Interval{Lo: math.Atan(t.Lo), Hi: math.Atan(t.Hi)}
	if !t.IsPoint() {
		p = p.Out()
	}
	return p
}

func (s *Scene) measureFocus(r *Reading) {
	sitter := s.Bench.Brief.Sitter
	ipd := float64(s.Bench.build().Interpupillary.Mean)
	gap := ipd * math.Abs(math.Sin(float64(sitter.Turn)))
	r.EyeGap = unit.Interval{Lo: 0, Hi: gap}
	if r.Distance.Lo <= 0 || math.IsInf(r.Distance.Hi, 1) {
		return
	}
	pitch := s.pitch(r.Distance)
	r.Pitch = pitch.Scale(180 / math.Pi)
	r.EyeGap = unit.Point(gap).Mul(cosOf(pitch.Abs()))
	r.Perspective = perspective(r.Distance)
	r.FarEar = s.Bench.farEar(r.Distance)
	if s.Aperture.Lo > 0 && !math.IsInf(s.Aperture.Hi, 1) && r.Coc.IsPoint() {
		coc, focus := unit.Length(r.Coc.Lo), s.Bench.Brief.Camera.focus()
		_, _, r.Field = optics.DepthBound(r.Focal, s.Aperture, r.Distance, coc)
		r.EyeBlur = optics.WorstEyeBound(r.Focal, s.Aperture, r.Distance, r.EyeGap, focus)
		gapSD := s.Bench.build().Interpupillary.SD * unit.Length(math.Abs(math.Sin(float64(sitter.Turn))))
		spread := unit.Point(float64(optics.EyesSpread(optics.FocusSpread, gapSD, focus)))
		r.Keepers = optics.KeepersBound(r.Focal, s.Aperture, r.Distance, r.EyeGap, spread, coc, focus)
		s.measureDiscs(r, pitch)
		if s.Depth.Lo > 0 && !math.IsInf(s.Depth.Hi, 1) {
			blur := optics.BlurBound(r.Focal, s.Aperture, r.Distance, r.Distance.Add(s.Depth), pupilOf(s.Lens))
			r.BackdropBlur = blur.Scale(1 / float64(s.Body.Sensor.Long()))
		}
	}
}

func cosOf(a unit.Interval) unit.Interval { // a in 0..pi/2
	if a.IsPoint() {
		return unit.Point(math.Cos(a.Lo))
	}
	return unit.Interval{Lo: max(0, math.Cos(a.Hi)), Hi: math.Cos(a.Lo)}.Out().And(unit.Interval{Lo: 0, Hi: 1})
}

// perspective is how much larger the nose tip is drawn than the ear: (d+b)/(d-a) - 1
// with a and b the depths of nose and ear about the eyes; it falls with d.
func perspective(d unit.Interval) unit.Interval {
	at := func(d float64) float64 { return (d+earBehind)/(d-noseAhead) - 1 }
	if d.Lo <= 2*noseAhead {
		return unit.Whole
	}
	p := unit.Interval{Lo: at(d.Hi), Hi: at(d.Lo)}
	if !d.IsPoint() {
		p = p.Out()
	}
	return p
}

func (s *Scene) measureLights(r *Reading) {
	const deg = 180 / math.Pi
	count := unit.Point(0)
	for i := range s.Lights {
		l, out := &s.Lights[i], &r.Lights[i]
		count = count.Add(l.On)
		out.On, out.Level, out.Flash, out.Rendition = l.On, l.Level, l.Flash, l.Rendition
		l.Seen.read(out)
		if l.Posed {
			out.Azimuth = l.Pose.Az.Scale(deg)
			s.Bench.readAngles(l.Pose.Az, out)
			out.Elevation = l.Pose.El.Scale(deg)
			out.Distance = l.Pose.D
		}
		if l.Tint != nil {
			out.Hue, out.Chroma, out.Kelvin = l.Tint.Hue, l.Tint.Chroma, l.Tint.Kelvin
		}
		out.Modelling = l.Level.Add(l.Modelling)
		if math.IsInf(l.Modelling.Hi, -1) {
			out.Modelling = unit.Point(math.Inf(-1))
		}
		l.measureHead(out)
	}
	r.Count = count
}

// measureTone sums the lights. A light that may be on with an unknown reach can add any
// amount; one that is off adds nothing.
func (s *Scene) measureTone(r *Reading) {
	for i := range s.Lights {
		s.linear[i] = s.Lights[i].Level.Exp2().Mul(s.Lights[i].On)
	}
	key, fill := &s.Lights[inventory.Key], &s.Lights[inventory.Fill]
	bounce := s.sum(func(p *Response) unit.Interval { return p.Face })
	r.Bounce = bounce.Log2()

	// Exposure: the key, and what the fill puts on a plane that faces it. Bounce is read
	// apart, for a meter is shaded from the room when single lights are set.
	fillPart := unit.Interval{Lo: 0, Hi: math.Inf(1)}
	if fill.On.Hi == 0 {
		fillPart = unit.Point(0)
	} else if key.Posed && fill.Posed {
		fillPart = onto(key.Pose, fill.Pose).Mul(s.linear[inventory.Fill])
	} else {
		fillPart = unit.Interval{Lo: 0, Hi: 1}.Mul(fill.Level.Exp2()) // a cosine, and On
	}
	r.Exposure = key.Level.Exp2().Add(fillPart).Log2()

	// Ratio: the lit side has key and fill, the shadow side fill and bounce.
	shadow := bounce.Add(fill.Level.Exp2().Mul(fill.On))
	r.Ratio = key.Level.Exp2().Div(shadow).Add(unit.Point(1)).Log2()

	s.measureBackdrop(r)
	s.measureAround(r)
	for _, role := range []inventory.Role{inventory.RimLeft, inventory.RimRight} {
		l := &s.Lights[role]
		if l.Reach == nil {
			continue
		}
		edge := func(p *Response) unit.Interval {
			if role == inventory.RimLeft {
				return p.EdgeLeft
			}
			return p.EdgeRight
		}
		own, others := s.linear[role].Mul(edge(l.Reach)), s.sumBut(role, edge)
		r.Lights[role].Purity = own.Div(others).Log2()
		if others.Hi == 0 {
			r.Lights[role].Purity = unit.Point(math.Inf(1))
		}
	}
}

// onto is the cosine between two directions of light at the face, within 0..1.
func onto(a, b light.PoseBox) unit.Interval {
	if a.Az.IsPoint() && a.El.IsPoint() && b.Az.IsPoint() && b.El.IsPoint() {
		return unit.Point(max(0, geom.Polar(a.Az.Lo, a.El.Lo).Dot(geom.Polar(b.Az.Lo, b.El.Lo))))
	}
	return unit.Interval{Lo: 0, Hi: 1}
}

// sum adds one component of every light's response, weighted by its level.
func (s *Scene) sum(of func(*Response) unit.Interval) unit.Interval { return s.sumBut(-1, of) }

func (s *Scene) sumBut(skip inventory.Role, of func(*Response) unit.Interval) unit.Interval {
	total := unit.Point(0)
	for i := range s.Lights {
		l := &s.Lights[i]
		if inventory.Role(i) == skip || l.On.Hi == 0 {
			continue
		}
		if l.Reach == nil {
			total.Hi = math.Inf(1)
			continue
		}
		total = total.Add(s.linear[i].Mul(of(l.Reach)))
	}
	return total
}

// Pitch is the camera's pitch in radians.
func (s *Scene) Pitch() unit.Interval {
	r := Unknown()
	s.measureCamera(&r)
	return s.pitch(r.Distance)
}

// Lay gives the scene its layout.
func (s *Scene) Lay(l *Layout) { s.layout = l }
