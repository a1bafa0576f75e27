package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/unit"
)

// Seen is what a light's face shows from where it stands, whatever its level. Angles are
// in degrees.
type Seen struct {
	Size     unit.Interval // the face as seen from its target: a disc of equal area
	Clear    unit.Interval // m, how far light and stand clear the frame, or are hidden
	Mirror   unit.Interval // how far the face is from where glasses mirror it into the lens
	Stray    unit.Interval // how far it is from shining into the lens
	LensSize unit.Interval // the face as the lens sees it
}

var unseen = Seen{Size: unit.Whole, Clear: unit.Whole, Mirror: unit.Whole, Stray: unit.Whole, LensSize: unit.Whole}

func (v *Seen) read(out *LightReading) {
	out.Size, out.Clear, out.Mirror, out.Stray, out.LensSize = v.Size, v.Clear, v.Mirror, v.Stray, v.LensSize
}

// ReadPose reads what a light's place alone tells, over a box of poses.
func (l *Layout) ReadPose(e light.Emitter, box light.PoseBox, boom bool, out *LightReading) Seen {
	seen := l.See(e, box, boom)
	l.ReadSeen(seen, box, out)
	return seen
}

// ReadSeen is ReadPose where the light was looked at before.
func (l *Layout) ReadSeen(seen Seen, box light.PoseBox, out *LightReading) {
	out.On = unit.Point(1)
	out.Azimuth = box.Az.Scale(inDegrees)
	l.Bench.readAngles(box.Az, out)
	out.Elevation = box.El.Scale(inDegrees)
	out.Distance = box.D
	seen.read(out)
}

// readAngles reads where a light stands against the face.
func (b *Bench) readAngles(az unit.Interval, out *LightReading) {
	turn := float64(b.Brief.Sitter.Turn)
	out.FromFace = az.Sub(unit.Point(turn)).Scale(inDegrees)
	out.FromNose = out.FromFace
	if turn < 0 {
		out.FromNose = out.FromFace.Neg()
	}
}

const inDegrees = 180 / math.Pi

// Shows is what of a light See looks at in a brief that reads some aspects: what is the same
// for two lights is seen alike.
func Shows(reads Aspect, e light.Emitter) light.Emitter {
	shown := light.Emitter{Face: e.Face}
	if reads&OnStray != 0 {
		shown.Grid = e.Grid
	}
	return shown
}

// See looks at a light's face over a box of poses. What no goal of the brief asks for is
// left unknown.
func (l *Layout) See(e light.Emitter, box light.PoseBox, boom bool) Seen {
	v := unseen
	v.Size = SizeOf(e, box.D)
	v.Clear = l.Clear(box, e.Face, boom)
	if l.reads&OnGlasses != 0 {
		v.Mirror = l.mirror(e, box)
	}
	if l.reads&OnStray != 0 {
		v.Stray, v.LensSize = l.stray(e, box)
	}
	return v
}

// SizeOf is the angular size of a face over a range of distances, in degrees; it falls
// with distance.
func SizeOf(e light.Emitter, d unit.Interval) unit.Interval {
	s := unit.Interval{Lo: e.AngularSize(d.Hi) * inDegrees, Hi: e.AngularSize(d.Lo) * inDegrees}
	if !d.IsPoint() {
		s = s.Out()
	}
	return s
}

// Glasses: lenses 50 x 40 mm, curved to a radius of 90 to 130 mm, tilted forward by 8 to
// 12 degrees (from memory). Of each range the end that mirrors more is taken.
const (
	glassHalfWidth  = 0.025 // m
	glassHalfHeight = 0.020
	glassRadius     = 0.090
	glassTilt       = 8.0  // deg, least
	glassMostTilt   = 12.0 // deg
)

// mirror is how far a face lies outside the patch of directions that some point of the
// glasses mirrors into the lens. A mirror turned by an angle turns the ray by twice that,
// so the patch is centred at twice the turn of the head, and twice as large as the range
// of the glass's normals.
func (l *Layout) mirror(e light.Emitter, box light.PoseBox) unit.Interval {
	camera := l.cameraUp()
	if camera == unit.Whole {
		return unit.Whole
	}
	spread := func(half float64) float64 { return math.Asin(half/glassRadius) * inDegrees }
	turn := l.Bench.Brief.Sitter.Turn.Degrees()
	az, el := box.Az.Scale(inDegrees), box.El.Scale(inDegrees)
	halfW, halfH := halfAngles(e.Face, box.D)
	halfW = halfW.Div(cosOf(box.El.Abs().And(unit.Interval{Lo: 0, Hi: math.Pi / 2}))).Min(unit.Point(180))
	aside := apart(az, 2*turn).Sub(unit.Point(2 * spread(glassHalfWidth))).Sub(halfW)
	top := unit.Point(2 * (spread(glassHalfHeight) - glassTilt)).Sub(camera)
	bottom := unit.Point(-2 * (spread(glassHalfHeight) + glassMostTilt)).Sub(camera)
	above, below := el.Sub(halfH).Sub(top), bottom.Sub(el.Add(halfH))
	return aside.Max(above).Max(below)
}

// halfAngles is half the width and half the height of a face from its target, in degrees.
func halfAngles(f light.Face, d unit.Interval) (w, h unit.Interval) {
	angle := func(half float64) unit.Interval {
		v := unit.Interval{Lo: math.Atan(half/d.Hi) * inDegrees, Hi: math.Atan(half/d.Lo) * inDegrees}
		if !d.IsPoint() {
			v = v.Out()
		}
		return v
	}
	return angle(f.W / 2), angle(HalfHeight(f))
}

// cameraUp is how far the lens is above the eyes as seen from them, in degrees.
func (l *Layout) cameraUp() unit.Interval {
	at := func(v *View) unit.Interval {
		return unit.Point(math.Atan2(v.Cam.Z-l.Eye.Z, v.Cam.Y) * inDegrees)
	}
	if l.Framed {
		return at(&l.View)
	}
	if math.Abs(l.Bench.CameraHeight()-l.Eye.Z) < 1e-9 {
		return unit.Point(0)
	}
	if len(l.views) == 0 {
		return unit.Whole
	}
	up := unit.Empty
	for i := range l.views {
		up = up.Hull(at(&l.views[i]))
	}
	return up.Out()
}

// hood is how far outside the corner of the frame a lens hood still lets light in, 10 to
// 20 degrees (from memory); the end that lets in more is taken.
const hood = 20.0

// stray is how far a face is from shining into the lens: outside what the hood lets in, or
// turned away, or behind the sitter, whichever is most. The second result is the face's
// size as the lens sees it.
func (l *Layout) stray(e light.Emitter, box light.PoseBox) (stray, size unit.Interval) {
	if !l.Framed && len(l.views) == 0 {
		return unit.Whole, unit.Whole
	}
	if l.Framed {
		return l.View.stray(l.Eye, e, box)
	}
	stray, size = unit.Empty, unit.Empty
	for i := range l.views {
		a, b := l.views[i].stray(l.Eye, e, box)
		stray, size = stray.Hull(a), size.Hull(b)
	}
	return stray, size
}

func (v *View) stray(eye geom.Vec, e light.Emitter, box light.PoseBox) (stray, size unit.Interval) {
	dir := geom.Polar(box.Az.Mid(), box.El.Mid())
	at := box.Target.Add(dir.Mul(box.D.Mid()))
	toLight := at.Sub(v.Cam)
	far := toLight.Len()
	moves := 0.0 // m, of the face's centre within the box
	if !isPose(box) {
		moves = boxRadius(box)
	}
	if far <= moves+1e-9 {
		return unit.Whole, unit.Whole
	}
	swings := math.Asin(moves/far) * inDegrees // of the line from lens to centre
	turns := (box.Az.Width() + box.El.Width()) / 2 * inDegrees
	between := func(a, b geom.Vec) float64 {
		return math.Acos(min(1, max(-1, a.Unit().Dot(b.Unit())))) * inDegrees
	}
	half := func(d float64) float64 { return math.Asin(min(1, radius(e.Face)/d)) * inDegrees } // of the face, seen from the lens
	corner := math.Atan(math.Hypot(v.tanW, v.tanH)) * inDegrees
	outside := between(v.axes[2], toLight) - corner - hood
	away := between(dir.Neg(), toLight.Neg())
	switch {
	case e.Face.Kind == light.Ball:
		away = math.Inf(-1)
	case e.Grid.Cell != light.NoGrid:
		away -= e.Grid.Widest() * inDegrees
	default:
		away -= 90
	}
	size = SizeOf(e, unit.Interval{Lo: far - moves, Hi: far + moves})
	clear := max(outside, away)
	if isPose(box) {
		return unit.Point(max(clear-half(far), v.hides(eye, at, radius(e.Face), far))), size
	}
	hidden := v.hidesAtMost(eye, at, radius(e.Face), moves, far)
	return unit.Interval{Lo: clear - half(far-moves) - swings - turns, Hi: max(clear-half(far+moves)+swings+turns, hidden)}.Out(), size
}

// headHalf is half the breadth of a head with its hair, behind which a light may hide.
const (
	headHalf    = edgeOut
	behindHead  = -0.25 // m, where a place begins to be behind the sitter
	onTheSitter = 3.0   // how much farther a line moves on the sitter's plane than its end does, at most
)

// hides is how far a ball of radius r about a place behind the sitter is covered by the head,
// in degrees as the lens sees it; negative where it shows.
func (v *View) hides(eye, at geom.Vec, r, far float64) float64 {
	if at.Y > behindHead {
		return math.Inf(-1)
	}
	k := v.Cam.Y / (v.Cam.Y - at.Y)
	return (headHalf - v.offHead(eye, at, k) - r*k) / (far * k) * inDegrees
}

// offHead is how far from the eyes the line from the lens to a place passes the sitter's plane.
func (v *View) offHead(eye, at geom.Vec, k float64) float64 {
	p := v.Cam.Add(at.Sub(v.Cam).Mul(k))
	return math.Hypot(p.X-eye.X, p.Z-eye.Z)
}

// hidesAtMost bounds hides for a place that may be off by some metres.
func (v *View) hidesAtMost(eye, at geom.Vec, r, moves, far float64) float64 {
	if at.Y-moves > behindHead {
		return math.Inf(-1)
	}
	share := func(y float64) float64 { return v.Cam.Y / (v.Cam.Y - min(y, behindHead)) } // rises with y
	least, most := share(at.Y-moves), share(at.Y+moves)
	covered := headHalf - max(0, v.offHead(eye, at, share(at.Y))-onTheSitter*moves) - r*least
	if covered < 0 {
		return covered / ((far + moves) * most) * inDegrees
	}
	return covered / ((far - moves) * least) * inDegrees
}

// Veil is what the lights of an exact set-up that shine into the lens add to the whole
// picture, each as a share of white: of a matt white surface in light of level 0. Those that
// a hood or the sitter's head keeps off the lens add nothing; cards in the way count.
func (b *Bench) Veil(set *inventory.Setup, sc *Scene) (by [inventory.NumRoles]float64) {
	lay := sc.layout
	for i := range set.Lights {
		r, err := b.rigOf(&set.Lights[i])
		if err != nil {
			continue
		}
		l := &sc.Lights[r.role]
		if stray, _ := lay.stray(r.emitter, l.Pose); stray.Lo >= 0 || l.Reach.Target.Lo <= 0 {
			continue
		}
		pose := feathered(l.Pose, float64(r.set.Feather))
		front := light.Veil(r.emitter, pose, lay.Cam, lay.axes[2], light.GlareIndex)
		if len(lay.cards) > 0 && front > 0 {
			front *= lay.unhidden(r.emitter, pose, lay.Cam, lay.axes[2], front/light.GlareIndex)
		}
		by[r.role] = math.Exp2(l.Level.Lo) * front / l.Reach.Target.Lo
	}
	return by
}
