package solver

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/colour"
	"falloff/model/unit"
)

// Ladder is what to try next from where a set stands, cheapest first.
type Ladder struct {
	Now      *Checked
	Rungs    []*Rung
	Fallback *Rung               // the safe look; nil where this kit has none
	Looked   int                 // stances that were computed
	Mixed    int                 // moves of several things at once, gone through from the quickest on
	Over     int                 // rungs that take longer than was asked for
	Repeats  int                 // changes whose every way was tried already
	Missing  []*constraints.Goal // musts that do not hold and that nothing computed brings
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

	far   float64 // from the picture as it is, in stops and doublings
	first float64 // minutes of the quickest way to the change that it was taken for
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
	of   []string // the texts of the changes that it is made of
}

// picture is a stance as it was computed, which cheek its key lights, and where the face
// is turned.
type picture struct {
	*Checked
	cheek string
	turn  unit.Angle
}

func (u *scout) view(k *Checked, st *Stance) picture {
	return picture{k, constraints.CheekOf(&k.Reading, u.bench(st).Brief), st.Turn}
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
	var out []change
	put := func(text string, seen func(a, b picture) bool) { out = append(out, change{text: text, seen: seen}) }
	put("deeper shadows on the face", stopsMore(ratioOf, seenRatio))
	put("flatter light on the face", stopsMore(ratioOf, -seenRatio))
	put("a darker background", stopsMore(brightOf, -seenStops))
	put("a lighter background", stopsMore(dimOf, seenStops))
	put("harder light on the face", times(keySize, 1/seenSize))
	put("softer light on the face", times(keySize, seenSize))
	put("less in focus", times(fieldOf, 1/seenDepth))
	put("more in focus", times(fieldOf, seenDepth))
	put("a tighter frame", times(frameHigh, 1/seenFrame))
	put("a wider frame", times(frameHigh, seenFrame))
	for _, p := range constraints.Patterns() {
		put(p+" light", func(a, b picture) bool {
			return constraints.PatternOf(&a.Reading) != p && constraints.PatternOf(&b.Reading) == p
		})
	}
	for _, cheek := range []string{"short", "broad"} {
		put(cheek+" light, the "+cheekWords[cheek], func(a, b picture) bool { return a.cheek != cheek && b.cheek == cheek })
	}
	for _, r := range []inventory.Role{inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair} {
		put("no "+roleWords[r], func(a, b picture) bool { return burns(a, r) && !burns(b, r) })
		put("a "+roleWords[r], func(a, b picture) bool { return !burns(a, r) && burns(b, r) })
	}
	if u.now.light(inventory.RimLeft) != nil && u.now.light(inventory.RimRight) != nil {
		put("another colour of both rims", func(a, b picture) bool {
			return otherColour(a, b, inventory.RimLeft) && otherColour(a, b, inventory.RimRight)
		})
	} else {
		for _, r := range []inventory.Role{inventory.RimLeft, inventory.RimRight} {
			put("another colour of the "+roleWords[r], func(a, b picture) bool { return otherColour(a, b, r) })
		}
	}
	for _, r := range []inventory.Role{inventory.Hair, inventory.Background} {
		put("another colour of the "+roleWords[r], func(a, b picture) bool { return otherColour(a, b, r) })
	}
	put("the whole set mirrored", mirrored)
	return out
}

var cheekWords = map[string]string{"short": "far cheek lit", "broad": "near cheek lit"}

// clearChroma is the chroma from which a colour is seen (from memory).
const clearChroma = 0.05

// otherColour reports a hue that is far from what it was, or colour where there was none.
func otherColour(a, b picture, r inventory.Role) bool {
	if !burns(a, r) || !burns(b, r) {
		return false
	}
	x, y := a.Reading.Lights[r], b.Reading.Lights[r]
	if x.Chroma.Lo < clearChroma || y.Chroma.Lo < clearChroma {
		return (x.Chroma.Lo < clearChroma) != (y.Chroma.Lo < clearChroma)
	}
	return constraints.HuesApart(x.Hue.Lo, y.Hue.Lo) >= seenHue
}

// mirrored reports the key as far on the other side of the camera and of the nose.
func mirrored(a, b picture) bool {
	x, y := &a.Reading.Lights[inventory.Key], &b.Reading.Lights[inventory.Key]
	off := func(p, q unit.Interval) float64 { return math.Abs(p.Lo + q.Lo) }
	return math.Abs(x.Azimuth.Lo) >= 10 && off(x.Azimuth, y.Azimuth) < 1 && off(x.FromFace, y.FromFace) < 1
}

// Unstick lists what to try from where a set stands. Every single move of a fixed list is
// computed, and moves of several things at once from the quickest on, so that a rung is the
// quickest of them all to its change, or little slower and loses fewer goals. A look that
// was tried is passed over. Of the ready looks those count that the studio has the kit for.
func Unstick(ctx context.Context, s *inventory.Studio, b *constraints.Brief, set *inventory.Setup, tried []*inventory.Setup, ready []*constraints.Brief, minutes float64, o Options) (*Ladder, error) {
	u, err := newScout(s, b, set, ready)
	if err != nil {
		return nil, err
	}
	u.here.complete(u.bench(&u.now))
	out := &Ladder{Now: u.here}
	u.seen = []picture{u.view(u.here, &u.now)}
	for _, t := range tried {
		if k, err := check(u.benches[b.Sitter.Turn], b.Goals, t); err == nil {
			u.seen = append(u.seen, u.view(k, &Stance{*t, b.Sitter.Turn}))
		}
	}
	steps := u.steps(ctx, o)
	put := func(c change, rung *Rung, repeats bool) {
		switch {
		case rung == nil && repeats:
			out.Repeats++
		case rung == nil:
		case minutes > 0 && rung.Minutes(s) > minutes+1e-9:
			out.Over++
		default:
			out.add(u.reaches(c, out.Rungs, rung), c)
		}
	}
	for _, c := range u.changes() {
		rung, repeats := u.quickest(c, steps)
		put(c, rung, repeats)
	}
	for _, f := range u.families() {
		out.Mixed += len(f.moves)
		for i, rung := range u.quickestMixed(ctx, f, steps) {
			put(f.looks[i], rung, false)
		}
	}
	out.Missing = u.missing(out.Rungs)
	slices.SortStableFunc(out.Rungs, func(x, y *Rung) int { return cmp.Compare(x.Minutes(s), y.Minutes(s)) })
	for _, r := range out.Rungs { // what is shown is checked with all that a check says
		if r.After, err = check(u.bench(&r.To), b.Goals, &r.To.Set); err != nil {
			panic("solver: a stance that was computed does not check: " + err.Error())
		}
	}
	out.Fallback = u.fallback(ctx, o)
	out.Looked = u.looked
	return out, nil
}

// add appends a rung, or its change to the rung that is the same; what the change is made of
// is not told beside it.
func (l *Ladder) add(r *Rung, c change) {
	i := slices.Index(l.Rungs, r)
	if i < 0 {
		r.Changes = nil
		l.Rungs = append(l.Rungs, r)
	}
	r.Changes = append(slices.DeleteFunc(r.Changes, func(text string) bool { return slices.Contains(c.of, text) }), c.text)
}

// reaches is a rung that there is already and that reaches a change as quickly as another
// and is the same idea or loses no more goals, or that other.
func (u *scout) reaches(c change, have []*Rung, r *Rung) *Rung {
	here, other := u.seen[0], u.view(r.After, &r.To)
	for _, x := range have {
		after := u.view(x.After, &x.To)
		if x.Minutes(u.s) <= r.Minutes(u.s) && c.seen(here, after) && (len(x.Lost) <= len(r.Lost) || alike(after, other)) {
			return x
		}
	}
	return r
}

// littleSlower is how much longer a rung may take than the quickest where it loses fewer
// goals, in minutes.
const littleSlower = 0.25

// quickest is the first step that reaches a change, or one that is little slower and loses
// fewer goals; repeats reports that only looks that were tried do.
func (u *scout) quickest(c change, steps []*Rung) (found *Rung, repeats bool) {
	here := u.seen[0]
	for _, r := range steps {
		if found != nil && (len(found.Lost) == 0 || r.Minutes(u.s) > found.first+littleSlower) {
			break
		}
		after := u.view(r.After, &r.To)
		switch {
		case found != nil && len(r.Lost) >= len(found.Lost) || !c.seen(here, after):
		case u.known(after):
			repeats = true
		default:
			r.first = r.Minutes(u.s)
			if found != nil {
				r.first = found.first
			}
			found = r
		}
	}
	return found, found == nil && repeats
}

// known reports whether a picture is one that was tried, or the one that there is.
func (u *scout) known(p picture) bool {
	return slices.ContainsFunc(u.seen, func(have picture) bool { return alike(have, p) })
}

// missing lists the musts that do not hold and that no rung brings.
func (u *scout) missing(rungs []*Rung) (out []*constraints.Goal) {
	for i, g := range u.here.Goals {
		if g.Holds || g.Goal.Wish > 0 || slices.ContainsFunc(rungs, func(r *Rung) bool { return r.After.Goals[i].Holds }) {
			continue
		}
		out = append(out, g.Goal)
	}
	return out
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
		out = append(out, u.ways(&m, false)...)
	}
	slices.SortStableFunc(out, func(x, y *Rung) int {
		return cmp.Or(cmp.Compare(x.Minutes(u.s), y.Minutes(u.s)), cmp.Compare(len(x.Lost), len(y.Lost)), cmp.Compare(x.far, y.far))
	})
	return out
}

// ways lists the rungs of a move, by how the exposure is kept; or the first of them alone.
func (u *scout) ways(m *move, first bool) (out []*Rung) {
	for _, st := range u.held(m.to, m.add) {
		if r := u.rung(&st); r != nil {
			if out = append(out, r); first {
				break
			}
		}
	}
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
	here, after := u.seen[0], u.view(r.After, st)
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
		{"size of the key", constraints.InDegrees, 3, keySize},
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
	for _, r := range []inventory.Role{inventory.Fill, inventory.RimLeft, inventory.RimRight, inventory.Hair, inventory.Background} {
		switch {
		case burns(a, r) != burns(b, r):
			word(roleWords[r], levelText(a, r), levelText(b, r))
		case burns(b, r) && r != inventory.Fill: // the ratio tells of a fill
			number(roleWords[r], constraints.InStops, 0.3, func(k picture) float64 { return k.Reading.Lights[r].Level.Lo })
		}
		if otherColour(a, b, r) {
			word("colour of the "+roleWords[r], colourText(a, r), colourText(b, r))
		}
	}
	for _, x := range []struct {
		what string
		deg  func(k picture) float64
		text func(deg float64) string
	}{
		{"key comes from", func(k picture) float64 { return k.Reading.Lights[inventory.Key].Azimuth.Lo }, sideText},
		{"face turned", func(k picture) float64 { return k.turn.Degrees() }, func(deg float64) string { return faceWords(unit.Angle(deg) * unit.Degree) }},
	} {
		if x.deg(a)*x.deg(b) < 0 {
			word(x.what, x.text(x.deg(a)), x.text(x.deg(b)))
		}
	}
	return out
}

// levelText is a light's level, or that it is off.
func levelText(k picture, r inventory.Role) string {
	if !burns(k, r) {
		return "off"
	}
	return constraints.Show(k.Reading.Lights[r].Level.Lo, constraints.InStops)
}

// colourText names a light's colour beside the key's.
func colourText(k picture, r inventory.Role) string {
	x := &k.Reading.Lights[r]
	if x.Chroma.Lo < clearChroma {
		return "as white as the key"
	}
	return fmt.Sprintf("%s, hue %.0f deg", colour.NameOf(x.Hue.Lo, x.Chroma.Lo), x.Hue.Lo)
}

// sideText is an angle round the sitter from the camera.
func sideText(deg float64) string {
	return fmt.Sprintf("%.0f deg on camera %s", math.Abs(deg), sideWord(unit.Angle(deg)))
}
