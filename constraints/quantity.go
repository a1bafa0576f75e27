package constraints

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source/spell"
	"falloff/model/unit"
)

// Quantity is a number of a set-up whose range can be asked for. Its two ends may look at
// different numbers: the darkest background is that whose brightest point is darkest.
type Quantity struct {
	Name      string
	Words     []string // other names
	Title     string
	Unit      Unit
	Low, High End
	wants     []string // the quantities of Want that it bounds as well
	reads     Aspect
	may       []inventory.Role // lights that could help it
	grid      func(*Bench) []float64
	apart     bool    // the two ends look at different numbers
	slack     float64 // how far a number may lie from a mark and count as it, as a factor
}

// End is one end of a range.
type End struct {
	Name string // "widest"; empty where nobody asks for that end
	of   func(*Reading) unit.Interval
}

// At is the number that an end of the range looks at in an exact set-up.
func (e End) At(r *Reading) float64 { return e.of(r).Lo }

// sameEnds is a quantity both of whose ends look at one number.
func sameEnds(low, high string, of func(*Reading) unit.Interval) (End, End) {
	return End{low, of}, End{high, of}
}

// dialled is the slack of quantities that go in thirds of a stop: see nearMark.
var dialled = math.Exp2(nearMark / 2)

// steps is a grid from lo to hi.
func steps(lo, hi, step float64) func(*Bench) []float64 {
	return func(*Bench) []float64 {
		var out []float64
		for i := range int(math.Round((hi-lo)/step)) + 1 {
			out = append(out, tidy(lo+float64(i)*step))
		}
		return out
	}
}

func quantity(q Quantity, low, high string, of func(*Reading) unit.Interval) *Quantity {
	q.Low, q.High = sameEnds(low, high, of)
	return &q
}

// quantities, in the order in which they are listed.
var quantities = []*Quantity{
	quantity(Quantity{Name: "aperture", wants: []string{"aperture"}, Words: []string{"f-number", "f-stop", "f number", "stop"}, Title: "f-number", Unit: InFNumber,
		reads: OnAperture, grid: apertureMarks, slack: dialled}, "widest", "smallest opening", func(r *Reading) unit.Interval { return r.Aperture }),
	quantity(Quantity{Name: "shutter", wants: []string{"shutter"}, Words: []string{"shutter speed", "exposure time", "time"}, Title: "shutter time", Unit: InSeconds,
		reads: OnShutter, grid: shutterTimes, slack: dialled}, "fastest", "slowest", func(r *Reading) unit.Interval { return r.Shutter }),
	quantity(Quantity{Name: "iso", wants: []string{"ISO"}, Words: []string{"sensitivity"}, Title: "ISO", Unit: InISO,
		reads: OnISO, grid: isoValues, slack: dialled}, "lowest", "highest", func(r *Reading) unit.Interval { return r.ISO }),
	quantity(Quantity{Name: "frame", wants: []string{"frame height"}, Words: []string{"framing", "crop", "frame height"}, Title: "height of the frame at the sitter", Unit: InMetres,
		reads: OnFrame, grid: steps(0.25, 2.3, 0.05), slack: 1}, "tightest", "widest", func(r *Reading) unit.Interval { return r.Frame }),
	quantity(Quantity{Name: "distance", Words: []string{"camera distance"}, Title: "distance from lens to eyes", Unit: InMetres,
		reads: OnLens | OnFrame, grid: steps(0.3, 12, 0.1), slack: 1}, "nearest", "farthest", func(r *Reading) unit.Interval { return r.Distance }),
	quantity(Quantity{Name: "depth-of-field", Words: []string{"dof", "sharp depth", "focus", "depth of field"}, Title: "depth that is sharp at the sitter", Unit: InMM,
		reads: OnLens | OnFrame | OnAperture, grid: depths, slack: 1}, "shallowest", "deepest", func(r *Reading) unit.Interval { return r.Field.Scale(1000) }),
	quantity(Quantity{Name: "keepers", Words: []string{"eyes", "both eyes", "sharp eyes"}, Title: "share of frames with both eyes sharp", Unit: InShare,
		reads: OnLens | OnFrame | OnAperture, grid: steps(0, 1, 0.05), slack: 1}, "", "most", func(r *Reading) unit.Interval { return r.Keepers }),
	quantity(Quantity{Name: "background-blur", wants: []string{"backdrop blur"}, Words: []string{"blur", "bokeh", "melt"}, Title: "blur of the backdrop, disc against frame height", Unit: InShare,
		reads: OnAperture | OnLens | OnFrame | OnDepth, grid: steps(0, 0.2, 0.005), slack: 1}, "sharpest", "softest", func(r *Reading) unit.Interval { return r.BackdropBlur }),
	quantity(Quantity{Name: "perspective", wants: []string{"perspective"}, Words: []string{"nose"}, Title: "how much larger the nose is drawn than the ear", Unit: InShare,
		reads: OnLens | OnFrame, grid: steps(0, 0.4, 0.005), slack: 1}, "flattest", "strongest", func(r *Reading) unit.Interval { return r.Perspective }),
	quantity(Quantity{Name: "backdrop-distance", Words: []string{"depth", "room behind"}, Title: "distance from the eyes to the backdrop", Unit: InMetres,
		reads: OnDepth, grid: steps(0.25, 6, 0.25), slack: 1}, "nearest", "farthest", func(r *Reading) unit.Interval { return r.Depth }),
	{Name: "background", wants: []string{darkestTone, brightestTone}, Words: []string{"background level", "backdrop", "tone"}, Title: "tone of the visible backdrop, from middle grey", Unit: InStops,
		Low:   End{"darkest, at its brightest point", func(r *Reading) unit.Interval { return r.Bright }},
		High:  End{"lightest, at its darkest point", func(r *Reading) unit.Interval { return r.Dim }},
		reads: OnSpill | OnBounce | OnBackdrop | OnDepth | Level(inventory.Background) | Pose(inventory.Background),
		may:   []inventory.Role{inventory.Background}, apart: true, grid: steps(-10, 6, 0.1), slack: 1},
	quantity(Quantity{Name: "spill", Words: []string{"stray light", "low-key"}, Title: "tone of the border and of all spill on the backdrop", Unit: InStops,
		reads: OnSpill | OnBounce | OnBackdrop | OnDepth, grid: steps(-10, 6, 0.1), slack: 1}, "darkest", "", func(r *Reading) unit.Interval { return r.Dark }),
	quantity(Quantity{Name: "ratio", wants: []string{"ratio"}, Words: []string{"lighting ratio", "contrast"}, Title: "lit side of the face over shadow side", Unit: InStops,
		reads: Pose(inventory.Key) | Level(inventory.Key) | Pose(inventory.Fill) | Level(inventory.Fill) | OnBounce,
		may:   []inventory.Role{inventory.Fill}, grid: steps(0, 9, 0.1), slack: 1}, "flattest", "strongest", func(r *Reading) unit.Interval { return r.Ratio }),
	quantity(Quantity{Name: "softness", wants: []string{"size of the key"}, Words: []string{"soft", "hard", "hardness", "key size", "size of the key"}, Title: "size of the key as the face sees it", Unit: InDegrees,
		reads: Pose(inventory.Key) | Gear(inventory.Key), grid: steps(0, 160, 1), slack: 1}, "hardest", "softest", func(r *Reading) unit.Interval { return r.Lights[inventory.Key].Size }),
	quantity(Quantity{Name: "key-distance", Words: []string{"distance of the key"}, Title: "distance from the key to the eyes", Unit: InMetres,
		reads: Pose(inventory.Key), grid: steps(0.5, 3, 0.05), slack: 1}, "nearest", "farthest", func(r *Reading) unit.Interval { return r.Lights[inventory.Key].Distance }),
	quantity(Quantity{Name: "key-height", wants: []string{"height of the key above the eyes"}, Words: []string{"elevation", "height of the key"}, Title: "height of the key above the eyes", Unit: InDegrees,
		reads: Pose(inventory.Key), grid: steps(-5, 50, 5), slack: 1}, "lowest", "highest", func(r *Reading) unit.Interval { return r.Lights[inventory.Key].Elevation }),
	quantity(Quantity{Name: "lights", wants: []string{lightsUsed}, Words: []string{"number of lights", "few-lights"}, Title: "lights used", Unit: InCount,
		reads: OnCount, grid: steps(1, 6, 1), slack: 1}, "fewest", "most", func(r *Reading) unit.Interval { return r.Count }),
	quantity(Quantity{Name: "minutes", wants: []string{"set-up time"}, Words: []string{"set-up time", "set-up-time"}, Title: "time to build", Unit: InMinutes,
		reads: OnMinutes, grid: steps(1, 120, 1), slack: 1}, "quickest", "", func(r *Reading) unit.Interval { return r.Minutes }),
}

func apertureMarks(b *Bench) []float64 {
	var out []float64
	for _, l := range b.Studio.Shelf().Lenses {
		out = append(out, float64(l.Widest))
	}
	for _, n := range unit.FStops() {
		out = append(out, n.True())
	}
	return marksApart(out)
}

func shutterTimes(*Bench) (out []float64) {
	for _, t := range unit.Shutters() {
		out = append(out, t.True())
	}
	return marksApart(out)
}

func isoValues(*Bench) (out []float64) {
	for _, s := range unit.ISOs() {
		out = append(out, s.True())
	}
	return marksApart(out)
}

// marksApart sorts marks and leaves out those that count as their neighbour.
func marksApart(x []float64) []float64 {
	slices.Sort(x)
	return slices.CompactFunc(x, func(a, b float64) bool { return max(a, b) < min(a, b)*dialled })
}

// depths are 1 to 2000 mm in steps of about a tenth.
func depths(*Bench) (out []float64) {
	for i := range 81 {
		out = append(out, math.Round(100*math.Pow(10, float64(i)/24))/100)
	}
	return out
}

// Quantities lists what can be asked for.
func Quantities() []*Quantity { return slices.Clone(quantities) }

// FindQuantity looks a quantity up by its name or another word for it.
func FindQuantity(word string) (*Quantity, error) {
	var known []string
	for _, q := range quantities {
		for _, w := range append([]string{q.Name}, q.Words...) {
			if normal(w) == normal(word) {
				return q, nil
			}
			known = append(known, normal(w))
		}
	}
	var names []string
	for _, q := range quantities {
		names = append(names, q.Name)
	}
	hint := "."
	if near, ok := spell.Nearest(normal(word), known); ok {
		hint = fmt.Sprintf("; did you mean %q?", near)
	}
	return nil, fmt.Errorf("no quantity is called %q%s There are %s", cut(word), hint, strings.Join(names, ", "))
}

// Grid lists the values by which the range is told, rising.
func (q *Quantity) Grid(b *Bench) []float64 { return q.grid(b) }

// Apart reports a quantity whose two ends look at different numbers.
func (q *Quantity) Apart() bool { return q.apart }

// Show prints a value of the quantity; a ratio also as briefs write it.
func (q *Quantity) Show(x float64) string {
	if q.Name == "ratio" && math.Abs(x) < 20 {
		return fmt.Sprintf("%s (%s)", Show(x, q.Unit), Show(math.Exp2(x), InRatio))
	}
	return Show(x, q.Unit)
}

// Reads is what the quantity depends on.
func (q *Quantity) Reads() Aspect { return q.reads }

// AtMost and AtLeast are goals that bound the low end and the high end of the range.
func (q *Quantity) AtMost(x float64) *Goal {
	return q.goal(q.Low, unit.Interval{Lo: math.Inf(-1), Hi: q.loosened(x, 1)})
}

func (q *Quantity) AtLeast(x float64) *Goal {
	return q.goal(q.High, unit.Interval{Lo: q.loosened(x, -1), Hi: math.Inf(1)})
}

// About are goals that hold the quantity at a value of its grid: on the mark, or within
// half a step. A quantity whose ends look at different numbers is held below the value.
func (q *Quantity) About(b *Bench, x float64) []*Goal {
	hi, lo := q.AtMost(x), q.AtLeast(x)
	if q.slack == 1 {
		half := q.step(b, x) / 2
		hi, lo = q.AtMost(x+half), q.AtLeast(x-half)
	}
	if q.apart {
		return []*Goal{hi}
	}
	return []*Goal{hi, lo}
}

// Limit is the nearest value that a brief's musts allow the low end, for sign +1, or the high
// end, for -1, and the goals that want it so; infinite where none does. The marks of a quantity
// that goes in thirds of a stop are not told apart so finely: it has none.
func (q *Quantity) Limit(b *Brief, sign float64) (limit float64, by []*Goal) {
	limit = -sign * math.Inf(1)
	bench := &Bench{Studio: b.bound, Brief: b}
	for _, g := range b.Goals {
		wanter, ok := g.Req.(Wanter)
		if !ok || g.Wish > 0 || q.slack > 1 {
			continue
		}
		for _, w := range wanter.Wants(bench) {
			end := w.Range.Lo
			if sign < 0 {
				end = w.Range.Hi
			}
			switch {
			case !slices.Contains(q.wants, w.Quantity) || sign*(end-limit) < 0 || math.IsInf(end, 0):
			case end != limit:
				limit, by = end, []*Goal{g}
			case !slices.Contains(by, g):
				by = append(by, g)
			}
		}
	}
	return limit, by
}

// step is the distance from a value of the grid to the next.
func (q *Quantity) step(b *Bench, x float64) float64 {
	grid := q.grid(b)
	i, _ := slices.BinarySearch(grid, x)
	if i+1 < len(grid) {
		return grid[i+1] - grid[i]
	}
	return grid[len(grid)-1] - grid[len(grid)-2]
}

// loosened moves a bound outward by what counts as the same mark, or by what rounding does
// to a value that is exactly on it.
func (q *Quantity) loosened(x, sign float64) float64 {
	if q.slack > 1 {
		return x * math.Pow(q.slack, sign)
	}
	return x + sign*1e-9
}

// Meets reports whether a value counts as within a bound: at most x for sign +1, at least
// x for -1.
func (q *Quantity) Meets(value, x, sign float64) bool { return sign*(value-q.loosened(x, sign)) <= 0 }

func (q *Quantity) goal(e End, want unit.Interval) *Goal {
	g := &quantityGoal{q: q, end: e, want: want}
	return &Goal{Kind: &Kind{Name: q.Name}, Req: g, Text: q.Name + ": " + ShowRange(want, q.Unit)}
}

// quantityGoal bounds a quantity. No brief can write it.
type quantityGoal struct {
	Plain
	q    *Quantity
	end  End
	want unit.Interval
}

func (g *quantityGoal) Roles() (need, may []inventory.Role) { return nil, g.q.may }
func (g *quantityGoal) Reads() Aspect                       { return g.q.reads }

func (g *quantityGoal) Judge(r *Reading, out []Part) []Part {
	return append(out, Part{Got: g.end.of(r), Want: g.want, Unit: g.q.Unit})
}

// Wants lets goals that cannot hold beside the bound be seen without a search. A backdrop
// whose brightest point is at most so bright is no brighter anywhere.
func (g *quantityGoal) Wants(*Bench) (out []Want) {
	for _, w := range g.q.wants {
		out = append(out, Want{w, g.want, "the " + g.q.Title + " " + ShowRange(g.want, g.q.Unit)})
	}
	return out
}

func (g *quantityGoal) Because(_ *Reading, p Part) string { return short("the "+g.q.Title, p) }
