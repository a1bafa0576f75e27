package solver

import (
	"math"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// scout looks at what lies near a set as it stands.
type scout struct {
	s       *inventory.Studio
	brief   *constraints.Brief
	c       crew
	now     Stance
	here    *Checked
	benches map[unit.Angle]*constraints.Bench // by where the face is turned
	bounces constraints.Bounces
	sources constraints.Sources
	places  constraints.Places
	looked  int                  // stances that were computed
	ready   []*constraints.Brief // looks to go to
	seen    []picture            // the picture as it is, and those that were tried
}

func newScout(s *inventory.Studio, b *constraints.Brief, set *inventory.Setup, ready []*constraints.Brief) (*scout, error) {
	u := &scout{s: s, brief: b, c: newCrew(s), now: Stance{*set, b.Sitter.Turn}, benches: map[unit.Angle]*constraints.Bench{},
		bounces: constraints.Bounces{}, sources: constraints.Sources{}, places: constraints.Places{}}
	for _, look := range ready {
		if look.Bind(s) == nil {
			u.ready = append(u.ready, look)
		}
	}
	here, err := check(u.bench(&u.now), b.Goals, &u.now.Set)
	u.here = here
	return u, err
}

// bench is the brief with the sitter's face as a stance has it. What the goals of the ready
// looks read is measured as well.
func (u *scout) bench(st *Stance) *constraints.Bench {
	if got, ok := u.benches[st.Turn]; ok {
		return got
	}
	b := u.brief.Clone()
	b.Sitter.Turn = st.Turn
	for _, look := range u.ready {
		b.Goals = append(b.Goals, look.Goals...)
	}
	got := u.under(b)
	u.benches[st.Turn] = got
	return got
}

// under is a bench for another brief.
func (u *scout) under(b *constraints.Brief) *constraints.Bench {
	return &constraints.Bench{Studio: u.s, Brief: b, Bounces: u.bounces, Sources: u.sources, Places: u.places}
}

// judge computes a stance in full; nil where it breaks a limit that the set kept.
func (u *scout) judge(st *Stance) *Checked {
	u.looked++
	k, _, err := glimpse(u.bench(st), u.brief.Goals, &st.Set)
	if err != nil {
		return nil
	}
	kept := map[string]bool{}
	for _, l := range u.here.Limits {
		kept[l.What] = !l.Holds
	}
	for _, l := range k.Limits {
		if !l.Holds && !kept[l.What] {
			return nil
		}
	}
	return k
}

// levels reads the level of each light of a stance, in stops against the camera, and what
// the fill adds to the lit side of the face, as a factor of its own level.
func (u *scout) levels(st *Stance) (out [inventory.NumRoles]float64, fill float64, ok bool) {
	sc, err := u.bench(st).SceneOf(&st.Set)
	if err != nil {
		return out, 0, false
	}
	r := constraints.Measure(sc)
	for i := range out {
		out[i] = sc.Lights[i].Level.Lo
	}
	key := out[inventory.Key]
	fill = (math.Exp2(r.Exposure.Lo) - math.Exp2(key)) / math.Exp2(out[inventory.Fill])
	return out, fill, true
}

// closeEnough is how far from its level a light may be left without a hand on its dial: a
// tenth of a stop is the step of most dials.
const closeEnough = 0.1

// held lists the ways to dial a stance so that each light has its level again: by the
// lights' own power, by the shutter where only lamps shine, by ISO, and by the aperture. The levels are
// those of the set as it stands, and what a move adds.
func (u *scout) held(st Stance, add [inventory.NumRoles]float64) (out []Stance) {
	got, fill, ok := u.levels(&st)
	if !ok {
		return nil
	}
	off := 0.0 // by how much the key is too bright
	want := [inventory.NumRoles]float64{}
	lamps := true
	for i := range st.Set.Lights {
		l := &st.Set.Lights[i]
		r, _ := inventory.RoleByName(l.Role)
		want[r] = u.here.Reading.Lights[r].Level.Lo + add[r]
		if u.now.light(r) == nil {
			want[r] = add[r] // of a light that is new
		}
		lamps = lamps && l.Light == "lamp"
	}
	if add[inventory.Key] == 0 { // the lit side of the face stays as it was, whatever the fill does to it
		rest := math.Exp2(u.here.Reading.Exposure.Lo)
		if st.light(inventory.Fill) != nil {
			rest -= fill * math.Exp2(want[inventory.Fill])
		}
		if rest <= 0 {
			return nil
		}
		want[inventory.Key] = math.Log2(rest)
	}
	if st.light(inventory.Key) != nil {
		off = got[inventory.Key] - want[inventory.Key]
	}
	thirds := int(math.Round(-off * 3))
	for _, by := range []thirdsOf{{}, {shutter: thirds}, {iso: thirds}, {aperture: -thirds}} {
		if by != (thirdsOf{}) && thirds == 0 || by.shutter != 0 && !lamps || by.aperture != 0 && st.Set.Camera.Aperture != u.now.Set.Camera.Aperture {
			continue
		}
		if v, ok := u.dialled(st.clone(), got, want, by); ok {
			out = append(out, v)
		}
	}
	return out
}

// thirdsOf is by how many thirds of a stop the camera's dials are moved: above zero is
// longer, higher and closed down.
type thirdsOf struct{ shutter, iso, aperture int }

// dialled moves the camera's dials, and every light that is then off its level by more than is close enough.
func (u *scout) dialled(st Stance, got, want [inventory.NumRoles]float64, by thirdsOf) (Stance, bool) {
	cam, body, lens := &st.Set.Camera, u.s.Camera(st.Set.Camera.Body), u.s.Lens(st.Set.Camera.Lens)
	if by.shutter != 0 && !moved(unit.Shutters(), &cam.Shutter, by.shutter) || by.iso != 0 && !moved(unit.ISOs(), &cam.ISO, by.iso) {
		return st, false
	}
	if by.aperture != 0 {
		cam.Aperture = unit.FNumberAt(cam.Aperture.Thirds() + by.aperture)
		if cam.Aperture < lens.Widest || cam.Aperture > lens.Narrowest {
			return st, false
		}
	}
	if t := cam.Shutter.True(); t > constraints.Slowest*1.001 || t < body.Fastest.True()*0.999 {
		return st, false
	}
	if x := cam.ISO.True(); x < body.BaseISO.True()*0.999 || x > body.TopISO.True()*1.001 {
		return st, false
	}
	for i := range st.Set.Lights {
		l := &st.Set.Lights[i]
		r, _ := inventory.RoleByName(l.Role)
		now := got[r] + float64(by.iso-by.aperture)/3
		if l.Light == "lamp" {
			now += float64(by.shutter) / 3
		}
		if math.Abs(want[r]-now) <= closeEnough {
			continue
		}
		n, step := u.s.Head(l.Head).Powers(l.Light == "lamp")
		if step == 0 {
			return st, false
		}
		k := math.Round(-(float64(l.Power) + want[r] - now) / float64(step))
		if k < 0 || k > float64(n-1) {
			return st, false
		}
		l.Power = unit.Stops(-math.Round(k*float64(step)*1e6) / 1e6)
	}
	return st, true
}

// moved shifts a dial by thirds of a stop; false at its end, or where it stands on no mark.
func moved[T comparable](marks []T, at *T, by int) bool {
	for i, m := range marks {
		if m == *at && i+by >= 0 && i+by < len(marks) {
			*at = marks[i+by]
			return true
		}
	}
	return false
}
