package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/people"
)

// Stage is an exact set-up as it stands in the room: where everything is, what the lens
// sees and how much light falls where. Pictures and charts are drawn from it.
type Stage struct {
	Scene  *Scene
	Eye    geom.Vec // midway between the eyes
	Camera geom.Vec // the lens
	Lo, Hi geom.Vec // corners of the room; Lo.Y is the back wall
	Paper  PaperSheet
	Crown  geom.Vec
	Build  people.Build // sizes of the sitter
	Head   people.Pose
	White  colour.XYZ   // the light that the picture is balanced for
	Lights []StageLight // in the order of the set-up
	Cards  []StageCard  // likewise
	view   View
}

// PaperSheet is the backdrop as it hangs: upright at Y, centred on X = 0, from the floor
// to Top.
type PaperSheet struct {
	Y, HalfWidth, Top float64 // m
	Reflectance       float64
}

// StageLight is one light as it stands.
type StageLight struct {
	Role    inventory.Role
	Set     *inventory.LightSet
	Emitter light.Emitter
	Pose    light.Pose // feathered, where it is
	Target  geom.Vec   // from which it is taped, and metered
	Back    float64    // m, from the face to the back of the head
	Depth   float64    // m, of the modifier, behind its face
	Tint    *Tint
	Reach   *Response
	linear  float64 // 2^level at its target
	lay     *Layout
}

// StageCard is a card or a flag as it stands: its centre, the way its lit side faces, and
// its sides in metres, W level.
type StageCard struct {
	Set        *inventory.CardSet
	At, Normal geom.Vec
	W, H       float64
	Flag       bool // it shades a light
}

// Stage stands a set-up up in the room. Errors are those of SceneOf.
func (b *Bench) Stage(set *inventory.Setup) (*Stage, error) {
	sc, err := b.SceneOf(set)
	if err != nil {
		return nil, err
	}
	depth := sc.Depth.Lo
	lo, hi := b.Room(depth)
	top := float64(sc.Backdrop.Drop)
	if top == 0 || top > hi.Z {
		top = hi.Z
	}
	s := &Stage{Scene: sc, Eye: b.Eye(), Camera: sc.layout.Cam, Lo: lo, Hi: hi, view: sc.layout.View, White: b.White(set),
		Crown: b.Target(inventory.Hair, geom.Vec{}), Build: b.build(), Head: people.Pose{Turn: b.Brief.Sitter.Turn},
		Paper: PaperSheet{Y: -depth, HalfWidth: float64(sc.Backdrop.Width) / 2, Top: top, Reflectance: float64(sc.Backdrop.Reflectance)}}
	for i := range set.Lights {
		l := &set.Lights[i]
		r, err := b.rigOf(l)
		if err != nil {
			return nil, err // SceneOf has found it before
		}
		ls := &sc.Lights[r.role]
		out := StageLight{Role: r.role, Set: l, Emitter: r.emitter, Back: BodyOf(r.head, r.mod).Back, Target: ls.Pose.Target,
			Pose: feathered(ls.Pose, float64(l.Feather)), Tint: ls.Tint, Reach: ls.Reach, linear: math.Exp2(ls.Level.Lo), lay: sc.layout}
		if r.mod != nil {
			out.Depth = float64(r.mod.Depth)
		}
		s.Lights = append(s.Lights, out)
	}
	for i := range sc.layout.cards {
		k, c := &set.Cards[i], &sc.layout.cards[i].card
		s.Cards = append(s.Cards, StageCard{Set: k, At: c.At, Normal: c.Normal, W: c.W, H: c.H, Flag: k.Shades != ""})
	}
	return s, nil
}

// See is where the lens sees a point: x to the right and y up in half frames, so that
// -1..1 is inside the frame, and its distance along the axis in metres, not above 0 for
// what is behind the lens.
func (s *Stage) See(p geom.Vec) (x, y, depth float64) {
	d := p.Sub(s.view.Cam)
	depth = d.Dot(s.view.axes[2])
	return d.Dot(s.view.axes[0]) / depth / s.view.tanW, d.Dot(s.Up()) / depth / s.view.tanH, depth
}

// Up is the direction that is up in the frame.
func (s *Stage) Up() geom.Vec { return s.view.axes[2].Cross(s.view.axes[0]) }

// Ray is the direction in which the lens looks at a place of the frame, in half frames.
func (s *Stage) Ray(x, y float64) geom.Vec {
	return s.view.axes[2].Add(s.view.axes[0].Mul(x * s.view.tanW)).Add(s.Up().Mul(y * s.view.tanH)).Unit()
}

// Behind is the point of the backdrop's plane that the lens sees at a place of the frame.
func (s *Stage) Behind(x, y float64) geom.Vec {
	d := s.Ray(x, y)
	return s.view.Cam.Add(d.Mul((s.Paper.Y - s.view.Cam.Y) / d.Y))
}

// HalfFrame is half the width and half the height of the frame at the sitter, metres.
func (s *Stage) HalfFrame() (w, h float64) {
	return s.view.tanW * s.view.focus, s.view.tanH * s.view.focus
}

// Focus is the distance from the lens to the eyes along its axis, metres.
func (s *Stage) Focus() float64 { return s.view.focus }

// Grey is the tone in stops from middle grey of the backdrop in light of a level, where 1
// is the camera's setting.
func (s *Stage) Grey(level float64) float64 {
	return math.Log2(level * s.Paper.Reflectance / middleGrey)
}

// OnPaper is the level of one light at a point of the backdrop, cards and room bounce
// included: 1 is the camera's setting. It is Straight and Thrown together.
func (l *StageLight) OnPaper(p geom.Vec) float64 { return l.Straight(p) + l.Thrown(p) }

// Straight is the part of OnPaper that comes straight from the light, past the cards, and
// by the room.
func (l *StageLight) Straight(p geom.Vec) float64 {
	if l.Reach.Target.Lo <= 0 {
		return 0
	}
	e := l.Emitter.Illuminance(l.Pose, p, toLens)
	return l.linear * (e*l.lay.unhidden(l.Emitter, l.Pose, p, toLens, e)/l.Reach.Target.Lo + l.Reach.PaperBounce.Lo)
}

// Thrown is the part of OnPaper that comes by way of the cards. It varies slowly and takes
// long to work out.
func (l *StageLight) Thrown(p geom.Vec) float64 {
	if l.Reach.Target.Lo <= 0 {
		return 0
	}
	sum := 0.0
	for i := range l.lay.cards {
		sum += light.CardBounce(l.Emitter, l.Pose, l.lay.cards[i].card, p, toLens)
	}
	return l.linear * sum / l.Reach.Target.Lo
}

// Facing is the level of one light on a plane at p that faces it, straight and past the
// cards: 1 is the camera's setting.
func (l *StageLight) Facing(p geom.Vec) float64 {
	if l.Reach.Target.Lo <= 0 {
		return 0
	}
	n := l.Pose.At.Sub(p).Unit()
	e := l.Emitter.Illuminance(l.Pose, p, n)
	return l.linear * e * l.lay.unhidden(l.Emitter, l.Pose, p, n, e) / l.Reach.Target.Lo
}

// Light finds the light of a role; nil if it is not used.
func (s *Stage) Light(role string) *StageLight {
	for i := range s.Lights {
		if s.Lights[i].Set.Role == role {
			return &s.Lights[i]
		}
	}
	return nil
}
