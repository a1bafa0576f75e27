package constraints

import (
	"fmt"
	"math"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/source"
	"falloff/model/unit"
)

// Tint is the colour of one light.
type Tint struct {
	XYZ                 colour.XYZ
	Hue, Chroma, Kelvin unit.Interval
	Channels            [3]float64 // linear, of a light as bright as the white, which is 1, 1, 1; none below 0
}

// grey is the OkLCh chroma below which a hue says nothing (from memory).
const grey = 0.02

// TintOf is the colour of a light as it looks beside a white.
func TintOf(light, white colour.XYZ) *Tint {
	// Far from the locus there is no temperature: infinitely high is 0 mired, off by a lot.
	t := &Tint{XYZ: light, Hue: unit.Whole, Kelvin: unit.Point(math.Inf(1))}
	look := colour.Look(light.AtY(1), white.AtY(1))
	t.Chroma = unit.Point(look.C)
	if look.C >= grey {
		t.Hue = unit.Point(look.H)
	}
	for i, c := range colour.Channels(light.AtY(1), white.AtY(1)) {
		t.Channels[i] = max(0, c)
	}
	if k, _, ok := colour.CCT(light); ok {
		t.Kelvin = unit.Point(float64(k))
	}
	return t
}

// Constant is the incident constant that exposures are computed with: the studio's own if
// it is for a plane, else 250 lx s (ISO 2720:1974).
func (b *Bench) Constant() float64 {
	if m := b.Studio.Meter; m.Kind != "dome" && m.Constant > 0 {
		return m.Constant
	}
	return light.PlaneC
}

// ShownBy is by how much the studio's meter reads under the exposure that the model
// computes with, in stops: 0 for a flat disc, 0.44 for a dome of constant 340 that faces
// the light, which is held to be lit like the disc (ISO 2720:1974).
func (b *Bench) ShownBy() float64 {
	if m := b.Studio.Meter; m.Kind == "dome" && m.Constant > 0 {
		return math.Log2(m.Constant / b.Constant())
	}
	return 0
}

// Needed is log2 of the lux-seconds for level 0 at a true f-number and ISO, through the
// filter on the lens if there is one.
func (b *Bench) Needed(n, iso unit.Interval) unit.Interval {
	need := n.Sqr().Scale(b.Constant()).Div(iso).Log2()
	if f := b.Brief.Camera.Filter; f != 0 {
		need = need.Add(unit.Point(float64(f)))
	}
	return need
}

// Source is one light's output and colour, apart from where it stands.
type Source struct {
	Output float64 // log2 of lumen-seconds (flash) or lumens (lamp) that leave the bare face at full power, gel and grid's walls included
	Doubt  unit.Stops
	XYZ    colour.XYZ
	Gel    unit.Stops // what the gel takes, positive
}

// SourceOf works out a head with modifier, grid and gel; lamp says which of its lights.
func (b *Bench) SourceOf(h *inventory.Head, m *inventory.Modifier, g *inventory.Grid, gel *inventory.Gel, lamp bool) (Source, bool) {
	full, _, ok := h.Output(b.Studio, lamp)
	if !ok {
		return Source{}, false
	}
	var filter *colour.Gel
	if gel != nil {
		f := gel.Filter()
		filter = &f
	}
	spectrum := h.Spectrum(lamp)
	src := sourceOf(full*inventory.Throughput(m, g), &spectrum, filter)
	src.Doubt = h.Doubt(b.Studio, lamp, m, gel)
	return src, true
}

// sourceOf filters lumens, or lumen-seconds, of a spectrum; a nil filter takes nothing.
func sourceOf(full float64, spectrum *colour.Spectrum, filter *colour.Gel) Source {
	src := Source{XYZ: spectrum.XYZ()}
	if filter != nil {
		t := colour.PhotopicTransmittance(spectrum, filter)
		src.XYZ = colour.Tint(spectrum, filter)
		src.Gel = unit.Stops(-math.Log2(t))
		full *= t
	}
	src.Output = math.Log2(full)
	return src
}

// EmitterOf is the luminous face of a light.
func EmitterOf(h *inventory.Head, m *inventory.Modifier, g *inventory.Grid) light.Emitter {
	if m == nil {
		return h.BareEmitter()
	}
	return m.Emitter(g)
}

// SceneOf is the exact scene of a set-up. Errors carry the place in the set-up's file.
func (b *Bench) SceneOf(set *inventory.Setup) (*Scene, error) {
	s := b.Studio
	sc := NewScene(b)
	var errs source.Errors
	missing := func(at source.Place, what string, id inventory.ID) {
		errs = append(errs, source.Error{At: at, Msg: fmt.Sprintf("the studio has no %s %q", what, id)})
	}
	cam := &set.Camera
	if sc.Body = s.Camera(cam.Body); sc.Body == nil {
		missing(cam.PlaceOf("body"), "camera", cam.Body)
	}
	if sc.Lens = s.Lens(cam.Lens); sc.Lens == nil {
		missing(cam.PlaceOf("lens"), "lens", cam.Lens)
	}
	if sc.Backdrop = s.Backdrop(set.Backdrop.Item); sc.Backdrop == nil {
		missing(set.Backdrop.PlaceOf("item"), "backdrop", set.Backdrop.Item)
	}
	for i := range set.Lights {
		l := &set.Lights[i]
		if _, ok := inventory.RoleByName(l.Role); !ok {
			errs = append(errs, source.Error{At: l.PlaceOf("role"), Msg: fmt.Sprintf("no light has the role %q", l.Role)})
		}
		if s.Head(l.Head) == nil {
			missing(l.PlaceOf("head"), "head", l.Head)
		}
		if l.Modifier != "" && s.Modifier(l.Modifier) == nil {
			missing(l.PlaceOf("modifier"), "modifier", l.Modifier)
		}
		if l.Grid != "" && s.Grid(l.Grid) == nil {
			missing(l.PlaceOf("grid"), "grid", l.Grid)
		}
		if l.Gel != "" && s.Gel(l.Gel) == nil {
			missing(l.PlaceOf("gel"), "gel", l.Gel)
		}
		if s.Stand(l.Stand) == nil {
			missing(l.PlaceOf("stand"), "stand", l.Stand)
		}
		if l.Boom != "" && s.Boom(l.Boom) == nil {
			missing(l.PlaceOf("boom"), "boom", l.Boom)
		}
	}
	for i := range set.Cards {
		if k := &set.Cards[i]; s.Card(k.Item) == nil {
			missing(k.PlaceOf("item"), "card", k.Item)
		}
	}
	if len(errs) > 0 {
		return nil, errs
	}
	b.expose(&sc, cam)
	sc.Depth = unit.Point(float64(set.Backdrop.Distance))
	sc.Lay(b.layAgain(&sc))
	if sc.Cards = len(set.Cards); sc.Cards > 0 {
		own := *sc.layout
		sc.Lay(&own)
	}
	for i := range set.Cards {
		sc.layout.cards = append(sc.layout.cards, b.placeCard(&set.Cards[i], func(role string) geom.Vec { return b.standsAt(set, role, sc.layout) }))
	}
	white := b.White(set)
	for i := range sc.Lights {
		sc.Lights[i].Off()
	}
	minutes := b.CameraMinutes()
	for i := range set.Lights {
		l := &set.Lights[i]
		r, err := b.rigOf(l)
		if err != nil {
			return nil, source.Errors{source.Error{At: l.Place(), Msg: err.Error()}}
		}
		b.light(&sc, &r, white)
		minutes += b.LightMinutes(*l)
	}
	minutes += len(set.Cards) * int(math.Ceil(float64(b.Studio.Minutes(inventory.PlaceCard))))
	sc.Minutes = unit.Point(float64(minutes))
	sc.Equip()
	return &sc, nil
}

// LightMinutes is the time to rig and meter one light, each action rounded up to whole
// minutes, so that a sum is the same in any order.
func (b *Bench) LightMinutes(l inventory.LightSet) int {
	s := b.Studio
	m := s.Modifier(l.Modifier)
	up := func(t unit.Minutes) int { return int(math.Ceil(float64(t) - 1e-9)) }
	n := up(s.Minutes(inventory.NewLight)+s.Minutes(inventory.MeterLight)) + up(s.MountMinutes(m))
	if l.Grid != "" {
		n += up(s.Minutes(inventory.AddGrid))
	}
	if l.Gel != "" {
		n += up(s.GelMinutes(m))
	}
	if l.Boom != "" {
		n += up(s.Minutes(inventory.RigBoom))
	}
	return n
}

// CameraMinutes is the time for camera, lens and backdrop, whatever the lights.
func (b *Bench) CameraMinutes() int {
	return int(math.Ceil(float64(b.Studio.Minutes(inventory.LensChange) + b.Studio.Minutes(inventory.PaperChange))))
}

// expose sets the camera. A lens's widest aperture is true as engraved; every other
// f-number is a mark on a scale.
func (b *Bench) expose(sc *Scene, cam *inventory.CameraSet) {
	sc.Aperture = unit.Point(TrueAperture(sc.Lens, cam.Aperture))
	sc.Shutter = unit.Point(cam.Shutter.True())
	sc.ISO = unit.Point(cam.ISO.True())
	sc.Frame = unit.Point(float64(cam.Frame))
}

// TrueAperture is the true f-number of a setting on a lens.
func TrueAperture(l *inventory.Lens, n unit.FNumber) float64 {
	if n == l.Widest {
		return float64(n)
	}
	return n.True()
}

// standsAt is the face centre of a light of a set-up.
func (b *Bench) standsAt(set *inventory.Setup, role string, lay *Layout) geom.Vec {
	r, _ := inventory.RoleByName(role)
	for i := range set.Lights {
		if l := &set.Lights[i]; l.Role == role {
			return b.Target(r, lay.Glow).Add(geom.Polar(float64(l.Azimuth), float64(l.Elevation)).Mul(float64(l.Distance)))
		}
	}
	return b.Eye()
}

// White is the colour that the picture is balanced for: the key's light.
func (b *Bench) White(set *inventory.Setup) colour.XYZ {
	for _, l := range set.Lights {
		if l.Role == inventory.Key.String() {
			if src, ok := b.source(b.Studio.Head(l.Head), b.Studio.Modifier(l.Modifier), b.Studio.Grid(l.Grid), b.Studio.Gel(l.Gel), l.Light == "lamp"); ok {
				return src.XYZ
			}
		}
	}
	return colour.D65
}

// rig is one light of a set-up with all that is needed to place it.
type rig struct {
	role    inventory.Role
	set     inventory.LightSet
	head    *inventory.Head
	mod     *inventory.Modifier
	grid    *inventory.Grid
	gel     *inventory.Gel
	src     Source
	emitter light.Emitter
	lamp    float64 // stops of the modelling lamp relative to the flash, per second of shutter; -Inf if off
}

func (r *rig) continuous() bool { return r.set.Light == "lamp" }

func (b *Bench) rigOf(l *inventory.LightSet) (rig, error) {
	s := b.Studio
	role, _ := inventory.RoleByName(l.Role)
	r := rig{role: role, set: *l, head: s.Head(l.Head), mod: s.Modifier(l.Modifier), grid: s.Grid(l.Grid), gel: s.Gel(l.Gel),
		lamp: math.Inf(-1)}
	var ok bool
	if r.src, ok = b.source(r.head, r.mod, r.grid, r.gel, r.continuous()); !ok {
		return r, fmt.Errorf("the %s cannot be used as a %s", r.head.Label(), l.Light)
	}
	r.emitter = EmitterOf(r.head, r.mod, r.grid)
	if l.Modelling && !r.continuous() {
		if lampFull, _, ok := r.head.Output(s, true); ok {
			flashFull, _, _ := r.head.Output(s, false)
			r.lamp = math.Log2(lampFull / flashFull)
		}
	}
	return r, nil
}

// light puts a light into a scene whose camera and layout are set.
func (b *Bench) light(sc *Scene, r *rig, white colour.XYZ) {
	l := &r.set
	box := light.PoseBox{Target: b.Target(r.role, sc.layout.Glow), D: unit.Point(float64(l.Distance)),
		Az: unit.Point(float64(l.Azimuth)), El: unit.Point(float64(l.Elevation))}
	out := &sc.Lights[r.role]
	*out = LightScene{On: unit.Point(1), Pose: box, Posed: true, Flash: unit.Point(1), Modelling: unit.Point(math.Inf(-1)),
		Rendition: out.Rendition, Power: unit.Point(float64(l.Power)),
		Kit: &LightKit{Head: r.head, Mod: r.mod, Grid: r.grid, Gel: r.gel, Stand: b.Studio.Stand(l.Stand), Boom: b.Studio.Boom(l.Boom)}}
	out.Reach = sc.layout.respondExact(r.role, r.emitter, box, float64(l.Feather))
	level := r.src.Output + float64(l.Power) + math.Log2(out.Reach.Target.Lo) - b.Needed(sc.Aperture, sc.ISO).Lo
	if r.continuous() {
		out.Flash = unit.Point(0)
		level += math.Log2(sc.Shutter.Lo)
	} else {
		out.Modelling = unit.Point(r.lamp + math.Log2(sc.Shutter.Lo) - float64(l.Power))
	}
	out.Level = unit.Point(level)
	out.Tint = TintOf(r.src.XYZ, white)
	out.Seen = sc.layout.See(r.emitter, box, l.Boom != "")
	// Turned away, the face is seen foreshortened: as from farther off.
	out.Size = unit.Point(r.emitter.AngularSize(box.D.Lo/math.Sqrt(math.Cos(float64(l.Feather)))) * 180 / math.Pi)
}
