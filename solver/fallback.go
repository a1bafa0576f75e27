package solver

import (
	"cmp"
	"context"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

// safeLook is the look to fall back on: one soft light, both eyes sharp (common practice,
// no source).
const safeLook = `brief: safe look
goals:
  - soft: {key: at least 25 deg}
  - both-eyes-sharp: {keepers: 90 %}
`

// Places and openings that the safe look is tried with.
var (
	safeAway  = []float64{0.8, 1, 1.2, 1.5}
	safeRound = []float64{-40, 40}
)

const safeUp = 25 * unit.Degree

var safeStops = []unit.FNumber{2.8, 4, 5.6, 8}

// fallback is the quickest way to the safe look with the key's own head, of equals that of
// the lowest ISO: every other light off, in each modifier that fits, where it stands or at
// a few usual places, as the lens is set or at a few usual openings.
func (u *scout) fallback(ctx context.Context, o Options) (best *Rung) {
	b, err := constraints.LoadBriefFrom(&source.File{Name: "safe look", Text: []byte(safeLook)})
	if err != nil {
		panic("solver: the safe look is no brief: " + err.Error())
	}
	b.Sitter, b.Camera = u.brief.Sitter, u.brief.Camera
	key := u.now.light(inventory.Key)
	if key == nil || b.Bind(u.s) != nil {
		return nil
	}
	bench := u.under(b)
	for _, st := range u.safeStances(key) {
		if ctx.Err() != nil {
			break
		}
		for _, v := range u.held(st, [inventory.NumRoles]float64{inventory.Key: -u.here.Reading.Lights[inventory.Key].Level.Lo}) {
			r := &Rung{To: v}
			r.Acts, r.Time = way(u.s, u.c, u.bench(&v), &u.now, &v)
			if best != nil && cmp.Or(cmp.Compare(r.Minutes(u.s), best.Minutes(u.s)), cmp.Compare(v.Set.Camera.ISO, best.To.Set.Camera.ISO)) >= 0 {
				continue
			}
			u.looked++
			k, err := check(bench, b.Goals, &v.Set)
			if err != nil || !k.Holds() {
				continue
			}
			r.After, r.Shifts = k, shifts(u.view(u.here, &u.now), u.view(k, &v))
			best = r
		}
	}
	return best
}

func (u *scout) safeStances(key *inventory.LightSet) (out []Stance) {
	alone := u.now.clone()
	alone.Set.Lights, alone.Set.Cards = []inventory.LightSet{*key}, nil
	alone.Set.Lights[0].Feather, alone.Set.Lights[0].Gel, alone.Set.Lights[0].Grid = 0, "", ""
	mods := []inventory.ID{key.Modifier}
	for i := range u.s.Modifiers {
		if m := &u.s.Modifiers[i]; inventory.HeadTakes(u.s.Head(key.Head), m) && !slices.Contains(mods, m.ID) {
			mods = append(mods, m.ID)
		}
	}
	put := func(change func(*Stance)) {
		for _, n := range append([]unit.FNumber{u.now.Set.Camera.Aperture}, safeStops...) {
			st := alone.clone()
			st.Set.Camera.Aperture = n
			change(&st)
			out = append(out, st)
		}
	}
	for _, m := range mods {
		put(func(st *Stance) { st.Set.Lights[0].Modifier = m })
		for _, d := range safeAway {
			for _, az := range safeRound {
				put(func(st *Stance) {
					l := &st.Set.Lights[0]
					l.Modifier, l.Distance, l.Elevation = m, unit.Length(d), safeUp
					l.Azimuth = unit.Angle(az) * unit.Degree
				})
			}
		}
	}
	return out
}
