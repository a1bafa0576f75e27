package solver

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// Ladder is what to try next from where a set stands, cheapest first.
type Ladder struct {
	Now      *Checked
	Rungs    []*Rung
	Fallback *Rung // the safe look; nil where this kit has none
	Looked   int   // stances that were computed
	Over     int   // rungs that take longer than was asked for
	Repeats  int   // changes whose every way was tried already
}

// Rung is one thing to try.
type Rung struct {
	Changes []string // what is seen to change: "harder light on the face"
	To      Stance
	After   *Checked
	Acts    []Act
	Time    Time
	Shifts  []Shift
	Kept    int // musts that held and hold
	Gained  []*constraints.Goal
	Lost    []*constraints.Goal

	far float64 // from the picture as it is, in stops and doublings
}

// Minutes is the time for a studio's own crew.
func (r *Rung) Minutes(s *inventory.Studio) float64 { return r.Time.of(s) }

// Shift is one number of the picture before and after.
type Shift struct {
	What     string
	From, To float64 // NaN for a name
	Unit     constraints.Unit
	Was, Is  string // names, where there is no number
}

// A change is something that one sees in the picture at once.
type change struct {
	text string
	seen func(a, b picture) bool
}

// picture is a stance as it was computed, and which cheek its key lights.
type picture struct {
	*Checked
	cheek string
}

func (u *scout) view(k *Checked, st *Stance) picture {
	return picture{k, constraints.CheekOf(&k.Reading, u.bench(st).Brief)}
}

// How large a difference has to be to be seen as another picture: from memory.
const (
	seenRatio = 0.55 // stops; 3:1 and 2:1 are 0.58 apart
	seenStops = 1.0  // of the background
	seenSize  = 1.5  // times the size of the key
	seenDepth = 2.0  // times the depth of field
	seenFrame = 1.3  // times the height of the frame
	seenHue   = 40   // deg
)

// BlackSide is the ratio in stops from which more makes no difference (from memory).
const BlackSide = 4

func times(of func(picture) float64, factor float64) func(a, b picture) bool {
	return func(a, b picture) bool {
		x, y := of(a), of(b)
		if factor > 1 {
			return y >= x*factor*(1-1e-9)
		}
		return y <= x*factor*(1+1e-9)
	}
}

func stopsMore(of func(picture) float64, by float64) func(a, b picture) bool {
	return func(a, b picture) bool {
		if by > 0 {
			return of(b)-of(a) >= by-1e-9
		}
		return of(b)-of(a) <= by+1e-9
	}
}

func keySize(k picture) float64 { return k.Reading.Lights[inventory.Key].Size.Lo }

// ratioOf is the ratio in stops. From 16:1 on the shadow side is black in any picture.
func ratioOf(k picture) float64 { return min(BlackSide, k.Reading.Ratio.Lo) }

func brightOf(k picture) float64             { return k.Reading.Bright.Lo }
func dimOf(k picture) float64                { return k.Reading.Dim.Lo }
func fieldOf(k picture) float64              { return k.Reading.Field.Lo }
func frameHigh(k picture) float64            { return k.Reading.Frame.Lo }
func burns(k picture, r inventory.Role) bool { return k.Reading.Lights[r].On.Lo >= 1 }

// changes lists what may be sought, in the order in which equals are told.
func (u *scout) changes() []change {
	out := []change{
		{"deeper shadows on the face", stopsMore(ratioOf, seenRatio)},
		{"flatter light on the face", stopsMore(ratioOf, -seenRatio)},
		{"a darker background", stopsMore(brightOf, -seenStops)},
		{"a lighter background", stopsMore(dimOf, seenStops)},
		{"harder light on the face", times(keySize, 1/seenSize)},
		{"softer light on the face", times(keySize, seenSize)},
		{"less in focus", times(fieldOf, 1/seenDepth)},
		{"more in focus", times(fieldOf, seenDepth)},
		{"a tighter frame", times(frameHigh, 1/seenFrame)},
		{"a wider frame", times(frameHigh, seenFrame)},
	}
	for _, p := range constraints.Patterns() {
		out = append(out, change{p + " light", func(a, b picture) bool {
			return constraints.PatternOf(&a.Reading) != p && constraints.PatternOf(&b.Reading) == p
		}})
	}
	for _, cheek := range []string{"short", "broad"} {
		out = append(out, change{cheek + " light, the " + cheekWords[cheek], func(a, b picture) bool { return a.cheek != cheek && b.cheek == cheek }})
	}
	for _, r := range []inventory.Role{inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair} {
		out = append(out, change{"no " + roleWords[r], func(a, b picture) bool { return burns(a, r) && !burns(b, r) }},
			change{"a " + roleWords[r], func(a, b picture) bool { return !burns(a, r) && burns(b, r) }})
	}
	for _, r := range []inventory.Role{inventory.RimLeft, inventory.RimRight, inventory.Hair, inventory.Background} {
		out = append(out, change{"another colour of the " + roleWords[r], func(a, b picture) bool { return otherColour(a, b, r) }})
	}
	return append(out, change{"the whole set mirrored", mirrored})
}

var cheekWords = map[string]string{"short": "far cheek lit", "broad": "near cheek lit"}

// otherColour reports a hue that is far from what it was, or colour where there was none.
func otherColour(a, b picture, r inventory.Role) bool {
	if !burns(a, r) || !burns(b, r) {
		return false
	}
	x, y := a.Reading.Lights[r], b.Reading.Lights[r]
	const clear = 0.05 // chroma from which a colour is seen (from memory)
	if x.Chroma.Lo < clear || y.Chroma.Lo < clear {
		return (x.Chroma.Lo < clear) != (y.Chroma.Lo < clear)
	}
	return constraints.HuesApart(x.Hue.Lo, y.Hue.Lo) >= seenHue
}

// mirrored reports the key as far on the other side of the camera and of the nose.
func mirrored(a, b picture) bool {
	x, y := &a.Reading.Lights[inventory.Key], &b.Reading.Lights[inventory.Key]
	off := func(p, q unit.Interval) float64 { return math.Abs(p.Lo + q.Lo) }
	return math.Abs(x.Azimuth.Lo) >= 10 && off(x.Azimuth, y.Azimuth) < 1 && off(x.FromFace, y.FromFace) < 1
}

// Unstick lists what to try from where a set stands. Every single move of a fixed list and
// every pair of quick ones is computed, from the quickest on, so that a rung is the quickest
// of them all to its change. A look that was tried is passed over.
func Unstick(ctx context.Context, s *inventory.Studio, b *constraints.Brief, set *inventory.Setup, tried []*inventory.Setup, minutes float64, o Options) (*Ladder, error) {
	u, err := newScout(s, b, set)
	if err != nil {
		return nil, err
	}
	u.here.complete(u.bench(&u.now))
	here := u.view(u.here, &u.now)
	out := &Ladder{Now: u.here}
	seen := []picture{here}
	for _, t := range tried {
		if k, err := check(&constraints.Bench{Studio: s, Brief: b, Bounces: u.bounces}, b.Goals, t); err == nil {
			seen = append(seen, u.view(k, &Stance{*t, b.Sitter.Turn}))
		}
	}
	steps := u.steps(ctx, o)
	for _, c := range u.changes() {
		rung, repeats := u.quickest(c, steps, seen)
		switch {
		case rung == nil && repeats:
			out.Repeats++
		case rung == nil:
		case minutes > 0 && rung.Minutes(s) > minutes+1e-9:
			out.Over++
		default:
			out.add(u.reaches(c, out.Rungs, rung), c.text)
		}
	}
	slices.SortStableFunc(out.Rungs, func(x, y *Rung) int { return cmp.Compare(x.Minutes(s), y.Minutes(s)) })
	out.Fallback = u.fallback(ctx, o)
	out.Looked = u.looked
	return out, nil
}

// add appends a rung, or its change to the rung that is the same.
func (l *Ladder) add(r *Rung, text string) {
	for _, have := range l.Rungs {
		if have == r {
			have.Changes = append(have.Changes, text)
			return
		}
	}
	r.Changes = []string{text}
	l.Rungs = append(l.Rungs, r)
}

// reaches is a rung that there is already and that reaches a change as quickly as another,
// or that other.
func (u *scout) reaches(c change, have []*Rung, r *Rung) *Rung {
	here := u.view(u.here, &u.now)
	for _, x := range have {
		if x.Minutes(u.s) <= r.Minutes(u.s) && c.seen(here, u.view(x.After, &x.To)) {
			return x
		}
	}
	return r
}

// quickest is the first step that reaches a change; repeats reports that only looks that
// were tried do.
func (u *scout) quickest(c change, steps []*Rung, seen []picture) (found *Rung, repeats bool) {
	here := u.view(u.here, &u.now)
	for _, r := range steps {
		if after := u.view(r.After, &r.To); c.seen(here, after) {
			if !slices.ContainsFunc(seen, func(p picture) bool { return alike(p, after) }) {
				return r, false
			}
			repeats = true
		}
	}
	return nil, repeats
}

// steps computes every move that leaves the face exposed and the lights out of the frame
// as they were, the quickest first; of equals, those that lose fewer goals.
func (u *scout) steps(ctx context.Context, o Options) (out []*Rung) {
	if o.Progress != nil {
		o.Progress("looking at what can be changed from here")
	}
	for _, m := range u.moves() {
		if ctx.Err() != nil {
			break
		}
		for _, st := range u.held(m.to, m.add) {
			if r := u.rung(&st); r != nil {
				out = append(out, r)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y *Rung) int {
		return cmp.Or(cmp.Compare(x.Minutes(u.s), y.Minutes(u.s)), cmp.Compare(len(x.Lost), len(y.Lost)), cmp.Compare(x.far, y.far))
	})
	return out
}

// rung is the way to a stance; nil where there is nothing to do, or where the face is no
// longer exposed as it was wanted, or a light stands in the picture.
func (u *scout) rung(st *Stance) *Rung {
	r := &Rung{To: *st}
	r.Acts, r.Time = way(u.s, u.c, u.bench(st), &u.now, st)
	if len(r.Acts) == 0 {
		return nil
	}
	if r.After = u.judge(st); r.After == nil {
		return nil
	}
	for i, g := range r.After.Goals {
		was := u.here.Goals[i].Holds
		switch {
		case was && g.Holds:
			r.Kept++
		case was:
			if n := g.Goal.Name(); n == "exposure" || n == "out-of-frame" {
				return nil
			}
			r.Lost = append(r.Lost, g.Goal)
		case g.Holds:
			r.Gained = append(r.Gained, g.Goal)
		}
	}
	here, after := u.view(u.here, &u.now), u.view(r.After, st)
	r.Shifts, r.far = shifts(here, after), far(here, after)
	return r
}

// far is how much a picture differs from another: of equal moves the mildest comes first.
func far(a, b picture) float64 {
	off := func(x, y float64) float64 {
		if math.IsInf(x, 0) || math.IsInf(y, 0) || math.IsNaN(x) || math.IsNaN(y) {
			return 0
		}
		return math.Abs(x - y)
	}
	return off(ratioOf(a), ratioOf(b)) + off(brightOf(a), brightOf(b)) + off(math.Log2(keySize(a)), math.Log2(keySize(b))) +
		off(math.Log2(fieldOf(a)), math.Log2(fieldOf(b))) + off(math.Log2(frameHigh(a)), math.Log2(frameHigh(b)))
}

// alike reports whether two pictures are one idea: nothing that one sees at once tells
// them apart.
func alike(a, b picture) bool {
	near := func(of func(picture) float64, within float64) bool { return !(math.Abs(of(a)-of(b)) >= within) }
	doublings := func(of func(picture) float64) func(picture) float64 {
		return func(k picture) float64 { return math.Log2(of(k)) }
	}
	return gearSeen(a) == gearSeen(b) && a.cheek == b.cheek && constraints.PatternOf(&a.Reading) == constraints.PatternOf(&b.Reading) &&
		near(ratioOf, seenRatio) && near(brightOf, seenStops) && near(doublings(keySize), math.Log2(seenSize)) &&
		near(doublings(fieldOf), math.Log2(seenDepth)) && near(doublings(frameHigh), math.Log2(seenFrame))
}

// gearSeen lists the backdrop and, of each light, its role, side and what shapes and colours it.
func gearSeen(k picture) string {
	text := string(k.Setup.Backdrop.Item)
	for _, l := range k.Setup.Lights {
		text += fmt.Sprint(" ", l.Role, " ", l.Modifier, " ", l.Grid, " ", l.Gel, " ", l.Azimuth < 0)
	}
	return text
}

// shifts lists the numbers of the picture that differ by what one sees.
func shifts(a, b picture) (out []Shift) {
	number := func(what string, u constraints.Unit, least float64, of func(picture) float64) {
		if x, y := of(a), of(b); math.Abs(y-x) >= least && !math.IsInf(x, 0) && !math.IsInf(y, 0) {
			out = append(out, Shift{What: what, From: x, To: y, Unit: u})
		}
	}
	word := func(what, was, is string) {
		if was != is && is != "" {
			out = append(out, Shift{What: what, From: math.NaN(), To: math.NaN(), Was: was, Is: is})
		}
	}
	word("pattern", constraints.PatternOf(&a.Reading), constraints.PatternOf(&b.Reading))
	word("cheek", a.cheek, b.cheek)
	for _, what := range []struct {
		name  string
		unit  constraints.Unit
		least float64
		of    func(picture) float64
	}{
		{"ratio", constraints.InRatio, 0.3, func(k picture) float64 { return math.Exp2(ratioOf(k)) }},
		{"key", constraints.InDegrees, 3, keySize},
		{"background at its brightest", constraints.InStops, 0.3, brightOf},
		{"background at its darkest", constraints.InStops, 0.3, dimOf},
		{"sharp depth", constraints.InMM, 8, func(k picture) float64 { return 1000 * fieldOf(k) }},
		{"blur of the backdrop", constraints.InShare, 0.005, func(k picture) float64 { return k.Reading.BackdropBlur.Lo }},
		{"frame", constraints.InMetres, 0.03, frameHigh},
		{"nose against ear", constraints.InShare, 0.01, func(k picture) float64 { return k.Reading.Perspective.Lo }},
		{"frames with both eyes sharp", constraints.InShare, 0.05, func(k picture) float64 { return k.Reading.Keepers.Lo }},
	} {
		number(what.name, what.unit, what.least, what.of)
	}
	for _, r := range []inventory.Role{inventory.RimLeft, inventory.RimRight, inventory.Hair} {
		if burns(a, r) && burns(b, r) {
			number(roleWords[r], constraints.InStops, 0.3, func(k picture) float64 { return k.Reading.Lights[r].Level.Lo })
		}
	}
	return out
}
