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
	Pose    light.Pose
	Back    float64 // m, from the face to the back of the head
	Depth   float64 // m, of the modifier, behind its face
	Tint    *Tint
	Reach   *Response
	linear  float64 // 2^level at its target
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
		role, _ := inventory.RoleByName(l.Role)
		h, m, g := b.Studio.Head(l.Head), b.Studio.Modifier(l.Modifier), b.Studio.Grid(l.Grid)
		ls := &sc.Lights[role]
		out := StageLight{Role: role, Set: l, Emitter: EmitterOf(h, m, g), Back: BodyOf(h, m).Back,
			Pose: light.Pose{At: At(ls.Pose), Aim: ls.Pose.Target}, Tint: ls.Tint, Reach: ls.Reach, linear: math.Exp2(ls.Level.Lo)}
		if m != nil {
			out.Depth = float64(m.Depth)
		}
		s.Lights = append(s.Lights, out)
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

// OnPaper is the level of one light at a point of the backdrop, room bounce included: 1 is
// the camera's setting.
func (l *StageLight) OnPaper(p geom.Vec) float64 {
	if l.Reach.Target.Lo <= 0 {
		return 0
	}
	return l.linear * (l.Emitter.Illuminance(l.Pose, p, toLens)/l.Reach.Target.Lo + l.Reach.PaperBounce.Lo)
}

// Facing is the level of one light on a plane at p that faces it, room bounce left out: 1
// is the camera's setting.
func (l *StageLight) Facing(p geom.Vec) float64 {
	if l.Reach.Target.Lo <= 0 {
		return 0
	}
	return l.linear * l.Emitter.Toward(l.Pose, p) / l.Reach.Target.Lo
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
