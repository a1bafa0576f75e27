package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/unit"
)

// Layout is where things stand for one sitter and backdrop distance: the points at which
// light is measured. The camera's place is known exactly (Framed), or is one of Views, or
// is not known at all. Layouts are shared and never change.
type Layout struct {
	Bench   *Bench
	Eye     geom.Vec
	Glow    geom.Vec // on the backdrop, behind the eyes as the camera sees them
	Edge    [2]geom.Vec
	Normal  [2]geom.Vec // of the edges, left and right
	Framed  bool
	View               // where Framed
	views   []View     // where it may be elsewhere
	Points  []geom.Vec // on the backdrop; Points[0] is Glow, rings follow, then the frame's border
	rings   int        // Points[1:rings] are on the rings
	visible []bool     // inside the frame, where Framed
	bounce  *light.Bounce
	cards   []shade // of an exact set-up
	reads   Aspect  // of the goals: what is dear to look at is looked at if asked for
}

// View is a camera's place and its frame.
type View struct {
	Cam   geom.Vec
	axes  [3]geom.Vec                   // right, up, forward; right is X
	edges [2]struct{ cos, sin float64 } // of half the angle that the frame is wide, and high: cosine and sine
	tanW  float64
	tanH  float64
	focus float64 // m, lens to eyes along the axis
}

// The glow is sampled on rings about the place behind the head, radii on the backdrop in
// metres. As seen at the sitter they are smaller by the camera's distances to the two.
var ringRadii = [...]float64{0.10, 0.20, 0.30, 0.42, 0.56, 0.75, 1.0}

const ringPoints = 8

// Bounces keeps the room's bounce by backdrop and distance, for sitters of one studio; it is
// built once a search.
type Bounces map[bounceKey]*light.Bounce

type bounceKey struct {
	paper     inventory.ID
	depth     float64
	eye       geom.Vec
	receivers int
}

// Lay makes the layout for an exact camera place. A nil paper leaves room bounce out.
func (b *Bench) Lay(body *inventory.Camera, lens *inventory.Lens, frame, depth float64, paper *inventory.Backdrop, cache Bounces) *Layout {
	l := b.layout(depth, paper, cache)
	l.Framed, l.View = true, b.view(body, lens, frame)
	toEye := l.Eye.Sub(l.Cam)
	l.Glow = l.Cam.Add(toEye.Mul((-depth - l.Cam.Y) / toEye.Y))
	l.Glow.Y = -depth // to the last bit, whatever the camera
	l.ring()
	fwd, right := l.axes[2], l.axes[0]
	for _, x := range []float64{-1, 0, 1} {
		for _, y := range []float64{-1, 0, 1} {
			if x != 0 || y != 0 {
				d := right.Mul(x * l.tanW).Add(l.axes[1].Mul(y * l.tanH)).Add(fwd)
				l.Points = append(l.Points, l.Cam.Add(d.Mul((-depth-l.Cam.Y)/d.Y)))
			}
		}
	}
	l.visible = make([]bool, len(l.Points))
	for i, p := range l.Points {
		d := p.Sub(l.Cam)
		z := d.Dot(fwd)
		l.visible[i] = i >= l.rings || math.Abs(d.Dot(right)) <= l.tanW*z && math.Abs(d.Dot(l.axes[1])) <= l.tanH*z
	}
	return l
}

// layKey is what an exact layout depends on. A bench that was copied and changed is another.
type layKey struct {
	bench              *Bench
	camera, lens, back inventory.ID
	frame, depth       float64
}

// layAgain is Lay for the camera and the backdrop of an exact scene, kept where bounces are.
func (b *Bench) layAgain(sc *Scene) *Layout {
	key := layKey{b, sc.Body.ID, sc.Lens.ID, sc.Backdrop.ID, sc.Frame.Lo, sc.Depth.Lo}
	if got, ok := b.layouts[key]; ok {
		return got
	}
	got := b.Lay(sc.Body, sc.Lens, key.frame, key.depth, sc.Backdrop, b.Bounces)
	if b.Bounces != nil {
		if b.layouts == nil {
			b.layouts = map[layKey]*Layout{}
		}
		b.layouts[key] = got
	}
	return got
}

// LayAny makes the part of a layout that does not depend on the camera, which stands at
// one of the views; none means that nothing is known of it.
func (b *Bench) LayAny(views []View, depth float64, paper *inventory.Backdrop, cache Bounces) *Layout {
	l := b.layout(depth, paper, cache)
	l.views = views
	l.Glow = geom.Vec{Y: -depth, Z: l.Eye.Z}
	if math.Abs(b.CameraHeight()-l.Eye.Z) < 1e-9 { // else the place behind the head moves with the camera
		l.ring()
	}
	return l
}

func (b *Bench) layout(depth float64, paper *inventory.Backdrop, cache Bounces) *Layout {
	l := &Layout{Bench: b, Eye: b.Eye(), reads: b.Brief.Reads()}
	for i, side := range []float64{-1, 1} {
		l.Edge[i] = l.Eye.Add(geom.Vec{X: side * edgeOut, Y: -edgeBack, Z: edgeUp})
		l.Normal[i] = geom.Polar(side*edgeTurn, 0)
	}
	if paper != nil {
		l.bounce = b.bounceFor(paper, depth, cache)
	}
	return l
}

func (l *Layout) ring() {
	l.Points = append(l.Points, l.Glow)
	for _, r := range ringRadii {
		for k := range ringPoints {
			a := 2 * math.Pi * float64(k) / ringPoints
			l.Points = append(l.Points, l.Glow.Add(geom.Vec{X: math.Cos(a), Z: math.Sin(a)}.Mul(r)))
		}
	}
	l.rings = len(l.Points)
}

func (b *Bench) view(body *inventory.Camera, lens *inventory.Lens, frame float64) View {
	eye, camZ := b.Eye(), b.CameraHeight()
	long, short := float64(body.Sensor.Long()), float64(body.Sensor.Short())
	s := float64(lens.Focal) * (1 + frame/long)
	v := View{focus: s}
	aim := geom.Vec{Z: eye.Z - underEyes(frame)}
	// The camera stands where the eyes lie s along its axis; the pitch moves it a little.
	y := s
	for range 4 {
		v.Cam = geom.Vec{Y: y, Z: camZ}
		y += s - eye.Sub(v.Cam).Dot(aim.Sub(v.Cam).Unit())
	}
	fwd := aim.Sub(v.Cam).Unit()
	right := geom.Vec{X: 1}
	v.axes = [3]geom.Vec{right, fwd.Cross(right), fwd}
	v.tanH, v.tanW = frame/2/s, frame*short/long/2/s
	for i, tan := range []float64{v.tanW, v.tanH} {
		v.edges[i].cos, v.edges[i].sin = 1/math.Hypot(1, tan), tan/math.Hypot(1, tan)
	}
	return v
}

// Stand is where a camera stands for a framing: its distance from the sitter's mark along
// the floor, and the width of what it sees per metre of that.
func (b *Bench) Stand(body *inventory.Camera, lens *inventory.Lens, frame float64) (y, width float64) {
	v := b.view(body, lens, frame)
	return v.Cam.Y, 2 * v.tanW
}

// Views lists every place that the kit's cameras can take at some framings.
func (b *Bench) Views(frames []float64) (out []View) {
	type lens struct{ focal, long, short unit.Length }
	seen := map[lens]bool{}
	sh := b.Studio.Shelf()
	for _, c := range sh.Cameras {
		for _, g := range sh.Lenses {
			k := lens{g.Focal, c.Sensor.Long(), c.Sensor.Short()}
			if !c.Takes(g) || seen[k] {
				continue
			}
			seen[k] = true
			for _, f := range frames {
				out = append(out, b.view(c, g, f))
			}
		}
	}
	return out
}

// scale is how much larger lengths on the backdrop are than the same seen at the sitter.
func (l *Layout) scale() unit.Interval {
	at := func(v *View) float64 { return (v.Cam.Y - l.Glow.Y) / v.Cam.Y }
	if l.Framed {
		return unit.Point(at(&l.View))
	}
	if len(l.views) == 0 {
		return unit.Interval{Lo: 1, Hi: math.Inf(1)}
	}
	k := unit.Empty
	for i := range l.views {
		k = k.Hull(unit.Point(at(&l.views[i])))
	}
	return k.Out()
}

// Room is the room about the sitter's mark for one backdrop distance.
func (b *Bench) Room(depth float64) (lo, hi geom.Vec) {
	r := b.Studio.Room
	back := -depth - float64(r.Standoff)
	return geom.Vec{X: -float64(r.Width) / 2, Y: back}, geom.Vec{X: float64(r.Width) / 2, Y: back + float64(r.Depth), Z: float64(r.Height)}
}

func (b *Bench) bounceFor(paper *inventory.Backdrop, depth float64, cache Bounces) *light.Bounce {
	eye, n := b.Eye(), receivers(b.Brief.Reads())
	key := bounceKey{paper.ID, depth, eye, n}
	if got, ok := cache[key]; ok {
		return got
	}
	r := b.Studio.Room
	lo, hi := b.Room(depth)
	lo.Y = -depth // what lies behind the paper is dark to the set
	w, f, c := float64(r.Walls), float64(r.Floor), float64(r.Ceiling)
	drop := float64(paper.Drop)
	if drop == 0 || drop > hi.Z {
		drop = hi.Z
	}
	room := light.Room{Min: lo, Max: hi, Rho: [6]float64{w, w, w, w, f, c},
		Paper: light.Paper{Rho: float64(paper.Reflectance), HalfWidth: float64(paper.Width) / 2, Top: drop}}
	left, right := geom.Polar(-edgeTurn, 0), geom.Polar(edgeTurn, 0)
	at := []light.Receiver{
		atFace:   {At: eye, Normal: geom.Vec{Y: 1}},
		atPaper:  {At: geom.Vec{Y: -depth, Z: eye.Z}, Normal: geom.Vec{Y: 1}},
		atLeft:   {At: eye.Add(geom.Vec{X: -edgeOut, Y: -edgeBack, Z: edgeUp}), Normal: left},
		atRight:  {At: eye.Add(geom.Vec{X: edgeOut, Y: -edgeBack, Z: edgeUp}), Normal: right},
		atBehind: {At: eye, Normal: geom.Vec{Y: -1}},
	}
	got := light.NewBounce(room, at[:n])
	if cache != nil {
		cache[key] = got
	}
	return got
}

// Response is what one light puts elsewhere, per unit of what it puts on its own target
// (facing it, or flat on the paper for a background light). Bounce is included, but for
// Backdrop, which is direct light alone.
type Response struct {
	Target              unit.Interval // lux at the target per lumen that leaves the bare face
	Face                unit.Interval // bounce on the face
	EdgeLeft, EdgeRight unit.Interval
	PaperBounce         unit.Interval
	Behind              unit.Interval   // bounce on the back of the head
	Feet                unit.Interval   // direct, on a plane at the feet that faces the light
	Backdrop            []unit.Interval // one per layout point
	exact               []float64       // the same, where all are points
	bounced             [2]float64      // the bounce in EdgeLeft and EdgeRight, of an exact pose
}

// Respond computes the response of a light at a pose box; a box that is a point gives
// points, computed by the exact model.
func (l *Layout) Respond(role inventory.Role, e light.Emitter, box light.PoseBox) *Response {
	if isPose(box) {
		return l.respondExact(role, e, box, 0)
	}
	return l.respondBox(role, e, box, len(l.Points), 0)
}

// RespondCoarse bounds the response with the first backdrop point only.
func (l *Layout) RespondCoarse(role inventory.Role, e light.Emitter, box light.PoseBox) *Response {
	return l.respondBox(role, e, box, min(1, len(l.Points)), 0)
}

// RespondBorder bounds the response with the first backdrop point and the border of the frame,
// where the camera is known; of the points between nothing is said.
func (l *Layout) RespondBorder(role inventory.Role, e light.Emitter, box light.PoseBox) *Response {
	if !l.Framed {
		return l.RespondCoarse(role, e, box)
	}
	return l.respondBox(role, e, box, len(l.Points), l.rings)
}

// RespondRings bounds the response with the first backdrop point and the rings.
func (l *Layout) RespondRings(role inventory.Role, e light.Emitter, box light.PoseBox) *Response {
	return l.respondBox(role, e, box, l.rings, 0)
}

var (
	toLens   = geom.Vec{Y: 1}    // the backdrop faces the camera
	feet     = geom.Vec{Z: 0.05} // of a sitter who stands on the mark
	anyLight = unit.Interval{Lo: 0, Hi: math.Inf(1)}
)

// The receivers of a room's bounce.
const (
	atFace = iota
	atPaper
	atLeft
	atRight
	atBehind
	mostReceivers
)

// receivers is how many of the room's receivers an exact set-up is measured at.
func receivers(reads Aspect) int {
	if reads&OnWrap != 0 {
		return mostReceivers
	}
	return atBehind
}

// edged tells whether a goal looks at the edges of the head.
func edged(reads Aspect) bool {
	return reads&(OnEdges|AllOf(inventory.RimLeft)|AllOf(inventory.RimRight)) != 0
}

// feathered is the pose of an exact box whose face is turned away from its target by an
// angle in radians about an upright axis through its centre, clockwise from above.
func feathered(box light.PoseBox, by float64) light.Pose {
	at := At(box)
	to := box.Target.Sub(at)
	az, el := to.AzEl() // azimuths run counter-clockwise from above
	return light.Pose{At: at, Aim: at.Add(geom.Polar(az-by, el).Mul(to.Len()))}
}

// Places keeps what lights do from exact places, wherever the camera stands.
type Places map[exactKey]*place

type exactKey struct {
	role    inventory.Role
	emitter light.Emitter
	box     light.PoseBox
	eye     geom.Vec
	glow    geom.Vec
	bounce  *light.Bounce
	reads   Aspect
}

// place is an exact place of a light: lux per lumen that leaves the bare face.
type place struct {
	pose     light.Pose
	by       []light.LitCard
	target   float64
	feet     float64
	indirect [mostReceivers]float64
	edges    [2]float64 // direct light
	ring     []float64  // the same on the glow and its rings; NaN until asked for
}

// placed works out an exact place, or finds it again.
func (l *Layout) placed(role inventory.Role, e light.Emitter, box light.PoseBox, feather float64) *place {
	kept := l.Bench.Places
	if feather != 0 || len(l.cards) > 0 {
		kept = nil
	}
	key := exactKey{role, e, box, l.Eye, l.Glow, l.bounce, l.reads & (OnWrap | OnFeet)}
	if got, ok := kept[key]; ok {
		return got
	}
	p := &place{pose: light.Pose{At: At(box), Aim: box.Target}, ring: make([]float64, l.rings)}
	switch {
	case feather == 0:
		p.target = TargetAt(role, e, box)
	case role == inventory.Background:
		p.pose = feathered(box, feather)
		p.target = e.Illuminance(p.pose, box.Target, toLens)
	default:
		p.pose = feathered(box, feather)
		p.target = e.Toward(p.pose, box.Target)
	}
	if len(l.cards) > 0 { // a meter at the target is in the shade of a flag too
		n := p.pose.At.Sub(box.Target).Unit()
		if role == inventory.Background {
			n = toLens
		}
		p.target *= l.unhidden(e, p.pose, box.Target, n, p.target)
	}
	if l.bounce != nil {
		l.bounce.Indirect(e, p.pose, p.indirect[:receivers(l.reads)])
	}
	p.by = l.lit(e, p.pose)
	for i := range p.edges {
		p.edges[i] = l.direct(e, p.pose, p.by, l.Edge[i], l.Normal[i])
	}
	if l.reads&OnFeet != 0 {
		p.feet = e.Toward(p.pose, feet)
	}
	for i := range p.ring {
		p.ring[i] = math.NaN()
	}
	if kept != nil {
		kept[key] = p
	}
	return p
}

// onBackdrop is the direct light on a point of the backdrop.
func (l *Layout) onBackdrop(e light.Emitter, p *place, i int) float64 {
	if i >= l.rings {
		return l.direct(e, p.pose, p.by, l.Points[i], toLens)
	}
	if math.IsNaN(p.ring[i]) {
		p.ring[i] = l.direct(e, p.pose, p.by, l.Points[i], toLens)
	}
	return p.ring[i]
}

func (l *Layout) respondExact(role inventory.Role, e light.Emitter, box light.PoseBox, feather float64) *Response {
	p := l.placed(role, e, box, feather)
	per := func(x float64) unit.Interval {
		if p.target <= 0 {
			return anyLight
		}
		return unit.Point(x / p.target)
	}
	r := &Response{Target: unit.Point(p.target), Face: per(l.filled(p.by, p.indirect[atFace])), PaperBounce: per(p.indirect[atPaper]),
		EdgeLeft: per(p.edges[0] + p.indirect[atLeft]), EdgeRight: per(p.edges[1] + p.indirect[atRight]),
		Behind: anyLight, Feet: anyLight, Backdrop: make([]unit.Interval, len(l.Points)), exact: make([]float64, 0, len(l.Points))}
	if p.target > 0 {
		r.bounced = [2]float64{p.indirect[atLeft] / p.target, p.indirect[atRight] / p.target}
	}
	if l.reads&OnWrap != 0 {
		r.Behind = per(p.indirect[atBehind])
	}
	if l.reads&OnFeet != 0 {
		r.Feet = per(p.feet)
	}
	for i := range l.Points {
		if l.Framed && !l.visible[i] && role != inventory.Background { // nobody looks there
			r.Backdrop[i] = anyLight
			r.exact = append(r.exact, math.NaN())
			continue
		}
		r.Backdrop[i] = per(l.onBackdrop(e, p, i))
		if r.Backdrop[i].IsPoint() {
			r.exact = append(r.exact, r.Backdrop[i].Lo)
		}
	}
	return r
}

// TargetAt is the light at the target of an exact pose, as in its response, where no card is in
// the way: far cheaper than the response.
func TargetAt(role inventory.Role, e light.Emitter, box light.PoseBox) float64 {
	if role == inventory.Background {
		return e.Illuminance(light.Pose{At: At(box), Aim: box.Target}, box.Target, toLens)
	}
	return e.OnAxis(box.D.Lo)
}

// TargetBound bounds the light at the target per lumen that leaves the bare face.
func (l *Layout) TargetBound(role inventory.Role, e light.Emitter, box light.PoseBox) unit.Interval {
	if role == inventory.Background {
		return l.Bench.flat(e, box)
	}
	return e.OnAxisBound(box.D)
}

// Flat keeps bounds of the light that a face puts on the paper that it is aimed at.
type Flat map[flatKey]unit.Interval

type flatKey struct {
	emitter   light.Emitter
	d, az, el unit.Interval
}

// flat bounds the light on the paper where a background light is aimed. Where that is makes
// no difference: only distance and direction do.
func (b *Bench) flat(e light.Emitter, box light.PoseBox) unit.Interval {
	key := flatKey{e, box.D, box.Az, box.El}
	if got, ok := b.Flat[key]; ok {
		return got
	}
	box.Target = geom.Vec{}
	got := e.Bound(box, box.Target, toLens)
	if b.Flat != nil {
		b.Flat[key] = got
	}
	return got
}

// respondBox looks at the first points of the backdrop, but not at those between the first
// and from.
func (l *Layout) respondBox(role inventory.Role, e light.Emitter, box light.PoseBox, points, from int) *Response {
	target := l.TargetBound(role, e, box)
	// Direct light over light at the target, with the distance kept in step where it can be.
	sweep := e.Over(box)
	direct := func(q, n geom.Vec) unit.Interval {
		if role == inventory.Background {
			return sweep.Bound(q, n).Div(target)
		}
		return sweep.Ratio(q, n)
	}
	edges := edged(l.reads)
	indirect := [mostReceivers]unit.Interval{anyLight, anyLight, anyLight, anyLight, anyLight}
	if l.bounce != nil {
		known := indirect[:receivers(l.reads)]
		if !edges && len(known) == atBehind {
			known = known[:atLeft]
		}
		l.bounce.IndirectBound(e, box, known)
		for i := range known {
			known[i] = known[i].Div(target)
		}
	}
	r := &Response{Target: target, Face: indirect[atFace], PaperBounce: indirect[atPaper], EdgeLeft: anyLight, EdgeRight: anyLight,
		Behind: indirect[atBehind], Feet: anyLight, Backdrop: make([]unit.Interval, points)}
	if edges {
		r.EdgeLeft = direct(l.Edge[0], l.Normal[0]).Add(indirect[atLeft])
		r.EdgeRight = direct(l.Edge[1], l.Normal[1]).Add(indirect[atRight])
	}
	if l.reads&OnFeet != 0 && role != inventory.Background {
		r.Feet = sweep.TowardRatio(feet)
	}
	for i := range points {
		if 0 < i && i < from {
			r.Backdrop[i] = anyLight
			continue
		}
		r.Backdrop[i] = direct(l.Points[i], toLens)
	}
	return r
}

// Hull widens r to hold q. Backdrop points that only one of them knows are dropped.
func (r *Response) Hull(q *Response) *Response {
	if r == nil {
		return q
	}
	n := min(len(r.Backdrop), len(q.Backdrop))
	h := &Response{Target: r.Target.Hull(q.Target), Face: r.Face.Hull(q.Face), EdgeLeft: r.EdgeLeft.Hull(q.EdgeLeft),
		EdgeRight: r.EdgeRight.Hull(q.EdgeRight), PaperBounce: r.PaperBounce.Hull(q.PaperBounce),
		Behind: r.Behind.Hull(q.Behind), Feet: r.Feet.Hull(q.Feet), Backdrop: make([]unit.Interval, n)}
	for i := range n {
		h.Backdrop[i] = r.Backdrop[i].Hull(q.Backdrop[i])
	}
	return h
}
