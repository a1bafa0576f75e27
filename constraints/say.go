package constraints

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"falloff/model/unit"
)

// Sayer is an optional part of a Requirement: a kind that words its parts itself.
type Sayer interface {
	// Say words the parts of an exact set-up, without the goal's name.
	Say(parts []Part) string
}

// Sentence words a goal as a set-up meets it or misses it:
// "soft: 41 deg (wanted at least 30 deg)".
func Sentence(g *Goal, parts []Part) string {
	text := ""
	if s, ok := g.Req.(Sayer); ok {
		text = s.Say(parts)
	} else {
		text = sayParts(parts)
	}
	if text == "" {
		text = "nothing to measure"
	}
	return g.Name() + ": " + text
}

func sayParts(parts []Part) string {
	said := make([]string, len(parts))
	for i, p := range parts {
		said[i] = sayPart(p)
	}
	return strings.Join(said, ", ")
}

// sayPart words one part: what, got, wanted, and by how much it misses.
func sayPart(p Part) string {
	if _, none := noLight(p); none && p.Fails() {
		return "no " + p.What
	}
	text := p.GotText()
	if p.What != "" {
		text = p.What + " " + text
	}
	return text + " (" + p.aside() + ")"
}

// aside is what stands in brackets behind a part's number.
func (p Part) aside() string {
	text := "wanted " + p.WantText()
	// A difference of marks says nothing: ISO 400 is a stop from ISO 800, not 400.
	if m := p.Margin(); p.Got.IsPoint() && m.Hi < 0 && !marksOnly(p.Unit) {
		text += ", misses by " + size(-m.Hi, p.Unit)
	}
	return text
}

// GotText prints the number of a part: one value, or the two ends of an interval.
func (p Part) GotText() string {
	switch {
	case p.Got.IsEmpty() || p.Got == unit.Whole:
		return "not known"
	case p.Got.IsPoint():
		return p.beside(p.Got.Lo)
	}
	return showRange(p.Got, p.Unit, Show)
}

// beside prints a value as finely as what was wanted, and so finely that it does not seem to
// be on the other side of that: 29.6 deg where at least 30 deg is.
func (p Part) beside(x float64) string {
	d, k := decimals(x, p.Unit), scaleOf(p.Unit)
	if marksOnly(p.Unit) {
		return Show(x, p.Unit)
	}
	for _, limit := range []float64{p.Want.Lo, p.Want.Hi} {
		if math.Abs(limit) < 1e300 {
			d = max(d, askedTo(limit, p.Unit)-decimals(limit, p.Unit)+decimals(x, p.Unit))
		}
	}
	for most := d + 3; d < most; d++ {
		if shown := rounded(x*k, d, math.Round) / k; (p.at(shown) >= -1e-9) == (p.at(x) >= 0) {
			break
		}
	}
	return show(x, p.Unit, d, math.Round)
}

// WantText prints what was wanted of a part.
func (p Part) WantText() string { return ShowRange(p.Want, p.Unit) }

// ShowRange prints an interval: "at least 30 deg", "-1 to +0.5 stops".
func ShowRange(v unit.Interval, u Unit) string { return showRange(v, u, Asked) }

func showRange(v unit.Interval, u Unit, show func(float64, Unit) string) string {
	lo, hi := show(v.Lo, u), show(v.Hi, u)
	switch {
	case v.Lo < -1e300 && v.Hi > 1e300:
		return "anything"
	case v.Hi > 1e300:
		return "at least " + lo
	case v.Lo < -1e300:
		return "at most " + hi
	case lo == hi:
		return lo
	}
	return between(lo, hi)
}

// between joins two ends and writes a unit that both have once: "-1 to +0.5 stops".
func between(lo, hi string) string {
	head, tail, ok := strings.Cut(lo, " ")
	number, other, also := strings.Cut(hi, " ")
	stops := func(s string) bool { return s == "stop" || s == "stops" }
	switch {
	case ok && also && stops(tail) && stops(other):
		return head + " to " + number + " stops"
	case ok && also && tail == other:
		return head + " to " + hi
	}
	return lo + " to " + hi
}

// decimals is how finely a unit is usually read.
func decimals(x float64, u Unit) int {
	x = math.Abs(x)
	switch u {
	case InStops, InStep, InRatio, InWait:
		return 1
	case InDiscs:
		if x < 0.95 {
			return 2
		}
		return 1
	case InMoney:
		return 2
	case InDegrees:
		if x < 10 {
			return 1
		}
	case InMetres:
		if x < 0.0995 {
			return 3
		}
		return 2
	case InMM:
		if x < 100 {
			return 1
		}
	case InShare:
		if x < 0.0995 {
			return 1
		}
	case InFNumber:
		if x < 9.95 {
			return 1
		}
	}
	return 0
}

// Show prints a value as people read it, rounded to nearest. Shares are 0..1; f-numbers,
// shutter times and ISO are printed by the mark next to the true value where there is one.
func Show(x float64, u Unit) string { return show(x, u, decimals(x, u), math.Round) }

// Asked prints a value that somebody wrote: as Show, but with the decimals that were
// written, up to two more. What is no such value, as a limit that was computed, is as in Show.
func Asked(x float64, u Unit) string { return show(x, u, askedTo(x, u), math.Round) }

// askedTo is how many decimals Asked prints.
func askedTo(x float64, u Unit) int {
	least, k := decimals(x, u), scaleOf(u)
	for d := least; !marksOnly(u) && d <= least+2; d++ {
		if math.Abs(rounded(x*k, d, math.Round)-x*k) <= 1e-9*max(1, math.Abs(x*k)) {
			return d
		}
	}
	return least
}

// marksOnly are units of which a value is printed as the mark beside it.
func marksOnly(u Unit) bool { return u == InISO || u == InFNumber || u == InSeconds }

// size prints an amount, which has no sign.
func size(x float64, u Unit) string {
	switch u {
	case InStops, InStep:
		d := askedTo(x, u)
		if x < 0.05 {
			d = 3
		}
		return plural(fixed(x, d, math.Ceil), "stop")
	case InRatio:
		return fixed(x, 2, math.Round)
	case InRa:
		return fixed(x, 0, math.Round)
	}
	d := decimals(x, u)
	for d < 6 && fixed(x*scaleOf(u), d, math.Round) == "0" && x > 0 {
		d++
	}
	return show(x, u, d, math.Round)
}

func scaleOf(u Unit) float64 {
	if u == InShare {
		return 100
	}
	return 1
}

func show(x float64, u Unit, d int, round func(float64) float64) string {
	switch {
	case math.IsInf(x, 1):
		return "no end"
	case math.IsInf(x, -1):
		if u == InStops {
			return "no light"
		}
		return "no end"
	}
	n := fixed(x*scaleOf(u), d, round)
	switch u {
	case InMetres:
		if math.Abs(x) < 0.995 { // as a tape measure is read
			return fixed(x*100, max(0, d-2), round) + " cm"
		}
	case InStops:
		if x > 0 && n != "0" {
			n = "+" + n
		}
		return plural(n, "stop")
	case InStep:
		return plural(n, "stop")
	case InShare:
		return n + " %"
	case InRatio:
		return n + ":1"
	case InFNumber:
		return "f/" + fNumberMark(x, n)
	case InISO:
		return "ISO " + isoMark(x, n)
	case InSeconds:
		return shutterMark(x, d, round)
	case InCount:
		return n
	case InWait:
		return n + " s"
	case InRa:
		return "Ra " + n
	}
	return n + " " + string(u)
}

func plural(n, word string) string {
	if n == "1" || n == "+1" || n == "-1" {
		return n + " " + word
	}
	return n + " " + word + "s"
}

// fixed prints with at most d decimals and no trailing zeros; -0 is 0.
func fixed(x float64, d int, round func(float64) float64) string {
	p := math.Pow(10, float64(d))
	// A value a few units in the last place off a printable one is that one.
	scaled := x * p
	if near := math.Round(scaled); math.Abs(scaled-near) <= 1e-9*max(1, math.Abs(near)) {
		scaled = near
	} else {
		scaled = round(scaled)
	}
	s := strconv.FormatFloat(scaled/p, 'f', d, 64)
	if d > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// sameMark is how far, in stops of light, a true value may lie from that of a mark to be
// printed as the mark. Engraved f/3.5 is 0.05 stop from the third of a stop that it stands
// for and 1/30 s is 0.09 stop from 1/32 s; neighbours are 0.33 apart.
const sameMark = 0.12

func fNumberMark(x float64, n string) string {
	if m := unit.FNumber(x); x > 0 && 2*math.Abs(math.Log2(x/m.True())) <= sameMark {
		return strings.TrimPrefix(unit.FNumberAt(m.Thirds()).String(), "f/")
	}
	return n
}

func isoMark(x float64, n string) string {
	if m := unit.ISO(x); x > 0 && math.Abs(math.Log2(x/m.True())) <= sameMark {
		return strings.TrimPrefix(unit.ISOAt(m.Thirds()).String(), "ISO ")
	}
	return n
}

func shutterMark(x float64, d int, round func(float64) float64) string {
	if x <= 0 {
		return fixed(x, max(d, 1), round) + " s"
	}
	if m := unit.Shutter(x); math.Abs(math.Log2(x/m.True())) <= sameMark {
		return unit.ShutterAt(m.Thirds()).String()
	}
	if x < 0.28 {
		return "1/" + fixed(1/x, 0, math.Round) + " s"
	}
	return fixed(x, max(d, 1), round) + " s"
}

// short words the failure of part p on a box: the best that the box can do against the
// limit. The number is rounded so that the sentence stays true and the gap stays visible.
func short(what string, p Part) string {
	if what == "" {
		what = p.What
	}
	switch {
	case p.Got.IsEmpty():
		return fmt.Sprintf("%s cannot be reached.", upper(what))
	case p.Got.Lo > p.Want.Hi:
		return fmt.Sprintf("%s %s, and at most %s is wanted.", upper(what), isAtLeast(p), Asked(p.Want.Hi, p.Unit))
	default:
		return fmt.Sprintf("%s %s, and at least %s is wanted.", upper(what), isAtMost(p), Asked(p.Want.Lo, p.Unit))
	}
}

func isAtLeast(p Part) string {
	if p.Got.IsPoint() {
		return "is " + floor(p.Got.Lo, p.Unit, p.Want.Hi)
	}
	return "is at least " + floor(p.Got.Lo, p.Unit, p.Want.Hi)
}

func isAtMost(p Part) string {
	if p.Got.IsPoint() {
		return "is " + ceil(p.Got.Hi, p.Unit, p.Want.Lo)
	}
	return "is at most " + ceil(p.Got.Hi, p.Unit, p.Want.Lo)
}

// floor prints x rounded down, finely enough to stay above the limit that x is above.
func floor(x float64, u Unit, limit float64) string {
	d := decimals(x, u)
	for k := scaleOf(u); d < 6 && x > limit && rounded(x*k, d, math.Floor) <= limit*k; {
		d++
	}
	return show(x, u, d, math.Floor)
}

// ceil prints x rounded up, finely enough to stay below the limit that x is below.
func ceil(x float64, u Unit, limit float64) string {
	d := decimals(x, u)
	for k := scaleOf(u); d < 6 && x < limit && rounded(x*k, d, math.Ceil) >= limit*k; {
		d++
	}
	return show(x, u, d, math.Ceil)
}

func rounded(x float64, d int, round func(float64) float64) float64 {
	p := math.Pow(10, float64(d))
	return round(x*p) / p
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// mm prints a length in millimetres, rounded down or up.
func mm(metres float64, round func(float64) float64) string {
	x := metres * 1e3
	if math.IsInf(x, 0) {
		return show(x, InMM, 1, round)
	}
	return fixed(x, decimals(x, InMM), round) + " mm"
}

// cm prints a length in centimetres, rounded down or up.
func cm(metres float64, round func(float64) float64) string {
	if math.IsInf(metres, 0) {
		return "no end"
	}
	return fixed(metres*100, 0, round) + " cm"
}

// tape words a range of lengths as a tape measure is read: "50 to 75 cm".
func tape(r unit.Range[unit.Length]) string { return ShowRange(r.Interval(), InMetres) }

// inStops words a range of levels or tones: "-1 to +0.5 stops".
func inStops(r unit.Range[unit.Stops]) string { return ShowRange(r.Interval(), InStops) }
