package constraints

import (
	"math"
	"slices"

	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/geom"
	"falloff/model/unit"
)

// Standard uncertainties of what no file says. All are common practice, no source, but
// where a comment says more.
const (
	tapeDoubt   = 0.01              // m, from face to target with a tape
	aimDoubt    = 2 * math.Pi / 180 // azimuth and elevation of a light set by eye
	swayDoubt   = 0.02              // m, where the sitter is along the camera's axis
	turnDoubt   = 3 * unit.Degree   // of the sitter's head
	stopDoubt   = 0.1               // stops, an f-number as dialled
	tintDoubt   = 5e-6              // 1/K: 5 mired, 160 K at 5600 K, of a colour temperature on a label
	tintMetered = 1e-6              // 1/K: 1 mired, of a spectrum that was measured
	gridDoubt   = 0.1               // share of the cell ratio
	lawDoubt    = 0.2               // of the exponent of a face's directional law, and
	lawFlat     = 0.3               // of that of a face that is called even
	methodDoubt = 0.2               // stops, room bounce by patches against traced rooms
)

// causes lists what makes the numbers of a set-up doubtful. Items of one type share what
// their label says, so the output of two heads of a type is one cause.
func (b *Bench) causes(set *inventory.Setup, sc *Scene) []Cause {
	var rigs []rig
	for i := range set.Lights {
		if r, err := b.rigOf(&set.Lights[i]); err == nil {
			rigs = append(rigs, r)
		}
	}
	white := b.White(set)
	var out []Cause
	out = append(out, b.headCauses(rigs, sc, white)...)
	out = append(out, b.frontCauses(rigs, sc, white)...)
	for i := range rigs {
		r := &rigs[i]
		out = append(out,
			Cause{What: "distance of the " + r.role.String(), By: "1 cm", Basis: Taped, Lights: []inventory.Role{r.role},
				shifts: []shift{b.nearer(r, white)}},
			Cause{What: "place of the " + r.role.String(), By: "1 cm and 2 deg", Basis: Taped, shifts: b.placeShifts(r, white)},
			Cause{What: "reading of the " + r.role.String(), By: stopsText(meterDoubt), Basis: Metered, Reading: true,
				Lights: []inventory.Role{r.role}, shifts: []shift{levelShift([]*rig{r}, float64(meterDoubt))}})
	}
	return append(out, b.setCauses(rigs, sc, white)...)
}

// sharing groups rigs by an item, in the order of the set-up.
func sharing(rigs []rig, of func(*rig) inventory.ID) (groups [][]*rig) {
	at := map[inventory.ID]int{}
	for i := range rigs {
		id := of(&rigs[i])
		if id == "" {
			continue
		}
		n, ok := at[id]
		if !ok {
			n = len(groups)
			at[id] = n
			groups = append(groups, nil)
		}
		groups[n] = append(groups[n], &rigs[i])
	}
	return groups
}

func rolesOf(rigs []*rig) (out []inventory.Role) {
	for _, r := range rigs {
		out = append(out, r.role)
	}
	return out
}

// levelShift moves the levels of lights together, in stops.
func levelShift(rigs []*rig, by float64) shift {
	return func(sc *Scene, sign float64) {
		for _, r := range rigs {
			l := &sc.Lights[r.role]
			l.Level = unit.Point(l.Level.Lo + sign*by)
		}
	}
}

// tintShift warms or cools lights by a shift in reciprocal temperature: exp(-c2 dM / wavelength),
// the ratio of two Planck curves in Wien's form, which serves for any spectrum.
func (b *Bench) tintShift(rigs []*rig, white colour.XYZ, by float64) shift {
	return func(sc *Scene, sign float64) {
		w, keyed := white, false
		tinted := make([]colour.XYZ, len(rigs))
		for i, r := range rigs {
			sp := r.head.Spectrum(r.continuous()).Warmer(sign * by)
			src := sourceOf(1, &sp, r.filter())
			tinted[i] = src.XYZ
			if r.role == inventory.Key {
				w, keyed = src.XYZ, true
			}
		}
		for i, r := range rigs {
			sc.Lights[r.role].Tint = TintOf(tinted[i], w)
		}
		if keyed { // the others are seen beside another white
			for i := range sc.Lights {
				if l := &sc.Lights[i]; l.Tint != nil && !slices.ContainsFunc(rigs, func(r *rig) bool { return int(r.role) == i }) {
					l.Tint = TintOf(l.Tint.XYZ, w)
				}
			}
		}
	}
}

func (r *rig) filter() *colour.Gel {
	if r.gel == nil {
		return nil
	}
	f := r.gel.Filter()
	return &f
}

// headCauses are output and colour of each type of head.
func (b *Bench) headCauses(rigs []rig, sc *Scene, white colour.XYZ) (out []Cause) {
	kind := func(r *rig) inventory.ID { return r.head.ID + "/" + inventory.ID(r.set.Light) }
	for _, g := range sharing(rigs, kind) {
		r := g[0]
		_, doubt, _ := r.head.Output(b.Studio, r.continuous())
		basis := Rated
		if r.head.MeteredWith(r.continuous()) != "" {
			basis = Metered
		}
		out = append(out,
			Cause{What: "output of the " + r.head.Label(), By: stopsText(doubt), Basis: basis, Lights: rolesOf(g), stops: float64(doubt), shifts: []shift{levelShift(g, float64(doubt))}},
			b.tintCause(g, white))
	}
	return out
}

// tintCause is the doubt of the colour of a type of head.
func (b *Bench) tintCause(g []*rig, white colour.XYZ) Cause {
	c := Cause{What: "colour of the " + g[0].head.Label(), By: "5 mired", Basis: Rated}
	by := tintDoubt
	if g[0].head.SpectrumKnown(g[0].continuous()) {
		c.By, c.Basis, by = "1 mired", Metered, tintMetered
	}
	c.shifts = []shift{b.tintShift(g, white, by)}
	return c
}

// frontCauses are those of modifiers, grids and gels.
func (b *Bench) frontCauses(rigs []rig, sc *Scene, white colour.XYZ) (out []Cause) {
	mod := func(r *rig) inventory.ID {
		if r.mod == nil {
			return ""
		}
		return r.mod.ID
	}
	for _, g := range sharing(rigs, mod) {
		out = append(out, b.modCauses(g, white)...)
	}
	grid := func(r *rig) inventory.ID {
		if r.grid == nil {
			return ""
		}
		return r.grid.ID
	}
	for _, g := range sharing(rigs, grid) {
		out = append(out, Cause{What: "cut-off of the " + g[0].grid.Label(), By: "10 %", Basis: Typical,
			shifts: []shift{b.beamShift(g, white, func(r *rig, sign float64) { r.emitter.Grid.K *= 1 + sign*gridDoubt })}})
	}
	gel := func(r *rig) inventory.ID {
		if r.gel == nil {
			return ""
		}
		return r.gel.ID
	}
	for _, g := range sharing(rigs, gel) {
		d := g[0].gel.Doubt
		if d > 0 {
			out = append(out, Cause{What: "density of the gel " + g[0].gel.Label(), By: stopsText(d), Basis: Typical, Lights: rolesOf(g),
				stops: float64(d), shifts: []shift{levelShift(g, float64(d))}}, Cause{What: "hue of the gel " + g[0].gel.Label(), By: "a density " + stopsText(d) + " off",
				Basis: Typical, shifts: []shift{b.densityShift(g, white)}})
		}
	}
	return out
}

func (b *Bench) modCauses(g []*rig, white colour.XYZ) (out []Cause) {
	m := g[0].mod
	var unmetered []*rig
	for _, r := range g {
		if r.head.MeteredWith(r.continuous()) != m.ID {
			unmetered = append(unmetered, r)
		}
	}
	if m.Doubt > 0 && len(unmetered) > 0 {
		out = append(out, Cause{What: "loss in the " + m.Label(), By: stopsText(m.Doubt), Basis: Typical, Lights: rolesOf(unmetered),
			stops: float64(m.Doubt), shifts: []shift{levelShift(unmetered, float64(m.Doubt))}})
	}
	return append(out, Cause{What: "beam of the " + m.Label(), By: "as its type varies", Basis: Typical,
		shifts: []shift{b.beamShift(g, white, func(r *rig, sign float64) {
			r.emitter.Law = max(0, r.emitter.Law+sign*(lawFlat+lawDoubt*r.emitter.Law))
		})}})
}

// beamShift changes the beams of lights and keeps their level at the target, which is metered or rated.
func (b *Bench) beamShift(rigs []*rig, white colour.XYZ, change func(*rig, float64)) shift {
	return func(sc *Scene, sign float64) {
		for _, r := range rigs {
			moved := *r
			change(&moved, sign)
			level := sc.Lights[r.role].Level
			b.light(sc, &moved, white)
			sc.Lights[r.role].Level = level
		}
	}
}

// densityShift makes a gel denser or thinner at every wavelength, without its change of level.
func (b *Bench) densityShift(rigs []*rig, white colour.XYZ) shift {
	return func(sc *Scene, sign float64) {
		for _, r := range rigs {
			loss := float64(r.src.Gel)
			if loss < 0.05 {
				continue
			}
			sp, f := r.head.Spectrum(r.continuous()), r.gel.Filter().Denser(max(0.2, 1+sign*float64(r.gel.Doubt)/loss))
			sc.Lights[r.role].Tint = TintOf(sourceOf(1, &sp, &f).XYZ, white)
		}
	}
}

// nearer moves the level of a light as an error of its distance does.
func (b *Bench) nearer(r *rig, white colour.XYZ) shift {
	return func(sc *Scene, sign float64) {
		moved, there := *r, *sc
		moved.set.Distance += unit.Length(sign * tapeDoubt)
		b.light(&there, &moved, white)
		sc.Lights[r.role].Level = there.Lights[r.role].Level
	}
}

// placeShifts move one light, its distance, its azimuth, its elevation, and keep its level.
func (b *Bench) placeShifts(r *rig, white colour.XYZ) []shift {
	by := func(change func(l *inventory.LightSet, sign float64)) shift {
		return b.beamShift([]*rig{r}, white, func(r *rig, sign float64) { change(&r.set, sign) })
	}
	return []shift{
		by(func(l *inventory.LightSet, sign float64) { l.Distance += unit.Length(sign * tapeDoubt) }),
		by(func(l *inventory.LightSet, sign float64) { l.Azimuth += unit.Angle(sign * aimDoubt) }),
		by(func(l *inventory.LightSet, sign float64) { l.Elevation += unit.Angle(sign * aimDoubt) }),
	}
}

// setCauses are those of sitter, lens, room and backdrop.
func (b *Bench) setCauses(rigs []rig, sc *Scene, white colour.XYZ) []Cause {
	out := []Cause{
		{What: "place of the sitter", By: "2 cm", Basis: Taped, shifts: []shift{b.swayShift(rigs, white)}},
		{What: "turn of the sitter's head", By: "3 deg", Basis: Taped, shifts: []shift{turnShift}},
		{What: "size of the sitter's head", By: "one in six is larger", Basis: Surveyed, shifts: []shift{sizeShift}},
		{What: "aperture as dialled", By: "0.1 stop", Basis: Typical, shifts: []shift{apertureShift}},
	}
	if p := sc.Backdrop; p != nil {
		d := paperDoubt(float64(p.Reflectance))
		out = append(out, Cause{What: "reflectance of the " + p.Label(), By: stopsText(unit.Stops(d)), Basis: Typical, shifts: []shift{
			func(sc *Scene, sign float64) {
				moved := *sc.Backdrop
				moved.Reflectance = min(1, moved.Reflectance*unit.Share(math.Exp2(sign*d)))
				sc.Backdrop = &moved
			}}})
	}
	if b.Studio.HasRoom() {
		d := b.bounceDoubt()
		out = append(out, Cause{What: "light that comes back from the walls", By: stopsText(unit.Stops(d)), Basis: Typical,
			shifts: []shift{func(sc *Scene, sign float64) { sc.moreBounce(math.Exp2(sign * d)) }}})
	}
	return out
}

// swayShift moves the sitter toward or from the camera, and with it the distance and
// direction of every light that is aimed at the sitter.
func (b *Bench) swayShift(rigs []rig, white colour.XYZ) shift {
	return func(sc *Scene, sign float64) {
		for i := range rigs {
			r := rigs[i]
			if r.role == inventory.Background {
				continue
			}
			to := geom.Polar(float64(r.set.Azimuth), float64(r.set.Elevation)).Mul(float64(r.set.Distance)).Sub(geom.Vec{Y: sign * swayDoubt})
			r.set.Distance = unit.Length(to.Len())
			r.set.Azimuth = unit.Angle(math.Atan2(to.X, to.Y))
			r.set.Elevation = unit.Angle(math.Asin(to.Z / to.Len()))
			b.light(sc, &r, white)
		}
	}
}

func turnShift(sc *Scene, sign float64) {
	brief := *sc.Bench.Brief
	brief.Sitter.Turn += unit.Angle(sign) * turnDoubt
	moved := *sc.Bench
	moved.Brief = &brief
	sc.Bench = &moved
}

func sizeShift(sc *Scene, sign float64) {
	moved := *sc.Bench
	moved.larger = sign
	sc.Bench = &moved
}

// apertureShift is a lens that is more open or less than its scale says: the lights count
// for more or for less. What the scale is set to stays.
func apertureShift(sc *Scene, sign float64) {
	for i := range sc.Lights {
		l := &sc.Lights[i]
		l.Level = unit.Point(l.Level.Lo - sign*stopDoubt)
	}
}

// paperDoubt is the standard uncertainty of a paper's reflectance in stops, from the
// ranges that papers come in: white .80 to .90, grey .14 to .25, black .03 to .06, each
// taken as twice the uncertainty (common practice, no source).
func paperDoubt(rho float64) float64 { return 0.4 * (1 - rho) }

// bounceDoubt is the standard uncertainty of room bounce in stops: what walls judged by
// eye leave open, a quarter of the distance to the nearer of black and perfect white, and
// the method's own. Bounce goes as rho/(1-rho) of the mean reflectance (enclosure).
func (b *Bench) bounceDoubt() float64 {
	r := b.Studio.Room
	w, d, h := float64(r.Width), float64(r.Depth), float64(r.Height)
	walls, flat := 2*(w+d)*h, w*d
	rho := (walls*float64(r.Walls) + flat*(float64(r.Floor)+float64(r.Ceiling))) / (walls + 2*flat)
	rho = min(0.98, max(0.02, rho))
	eye := 0.25 * min(rho, 1-rho) / (rho * (1 - rho) * math.Ln2)
	return math.Hypot(eye, methodDoubt)
}

// moreBounce multiplies what the room sends back from every light.
func (s *Scene) moreBounce(k float64) {
	for i := range s.Lights {
		l := &s.Lights[i]
		if l.Reach == nil {
			continue
		}
		r := *l.Reach
		r.Face, r.PaperBounce, r.Behind = r.Face.Scale(k), r.PaperBounce.Scale(k), r.Behind.Scale(k)
		r.EdgeLeft = unit.Point(r.EdgeLeft.Lo + (k-1)*r.bounced[0])
		r.EdgeRight = unit.Point(r.EdgeRight.Lo + (k-1)*r.bounced[1])
		l.Reach = &r
	}
}
