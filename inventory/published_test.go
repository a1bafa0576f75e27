package inventory_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/published"
	"falloff/model/unit"
)

const practice = "common practice, from memory"

// usualStudio has one item like each generic modifier and grid, and the papers.
func usualStudio(t *testing.T) *inventory.Studio {
	var b strings.Builder
	b.WriteString(strings.Replace(smallStudio, "  - {id: comb, fits: [pan], cell: hex, cutoff: 30 deg}\n", "", 1))
	section := map[string][]string{}
	for _, k := range inventory.KitDefaults("") {
		if k.Like == "" || strings.HasPrefix(k.Name, "standard: ") {
			continue
		}
		extra := ""
		switch {
		case k.Like == "soft-box":
			extra = ", face: 60 x 90 cm"
		case k.Like == "octabox":
			extra = ", face: 120 cm"
		case k.Like == "strip-box":
			extra = ", face: 30 x 120 cm"
		case k.Class == "head":
			continue
		}
		section[k.Class] = append(section[k.Class], fmt.Sprintf("  - {id: a-%s, like: %s%s}\n", k.Like, k.Like, extra))
	}
	text := b.String()
	for _, class := range []string{"modifier", "grid", "card", "stand", "boom", "backdrop"} {
		text = strings.Replace(text, "\n"+class+"s:\n", "\n"+class+"s:\n"+strings.Join(section[class], ""), 1)
	}
	return load(t, text)
}

// Generic kit, and that of the example, against what photographers find.
func TestPublished(t *testing.T) {
	s, north := usualStudio(t), example(t, "northlight.yaml")
	all := append(guideNumbers(s), guideNumbersOf(north)...)
	all = append(all, gridLosses(s, north)...)
	for _, p := range []struct {
		id        inventory.ID
		low, high float64
	}{{"a-white-paper", .80, .90}, {"a-light-grey-paper", .40, .50}, {"a-grey-paper", .14, .25}, {"a-dark-grey-paper", .06, .12}, {"a-black-paper", .03, .06}, {"a-black-velvet", .005, .02}} {
		all = append(all, published.Between("reflectance of "+string(p.id[2:]), p.low, p.high, float64(s.Backdrop(p.id).Reflectance), practice))
	}
	published.Report(t, "inventory", all)
}

// guide is the guide number of a modifier in the far field, metres at ISO 100, on 300 Ws of
// 35 lm s per Ws: GN^2 = 100 I / C with C 250.
func guide(m *inventory.Modifier) float64 {
	const far = 100.0 // m: every face is a point from there
	return far * math.Sqrt(100*300*35*inventory.Throughput(m, nil)*m.Emitter(nil).OnAxis(far)/250)
}

// half is the full angle at which a modifier is half as bright as on its axis.
func half(m *inventory.Modifier) float64 {
	e, p := m.Emitter(nil), light.Pose{Aim: geom.Vec{Z: 1}}
	lo, hi := 0.0, math.Pi/2
	for range 50 {
		mid := (lo + hi) / 2
		sin, cos := math.Sincos(mid)
		if e.Intensity(p, geom.Vec{X: sin, Z: cos}) > e.Intensity(p, geom.Vec{Z: 1})/2 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return unit.Angle(2 * lo).Degrees()
}

func guideNumbers(s *inventory.Studio) (all []published.Value) {
	for _, c := range []struct {
		like         string
		low, high    float64 // guide number
		narrow, wide float64 // beam at half, degrees
	}{
		{"reflector", 45, 60, 50, 75}, {"long-throw", 60, 90, 25, 45}, {"white-dish", 26, 36, 55, 75}, {"silver-dish", 33, 45, 45, 60},
		{"sock-dish", 18, 26, 80, 100}, {"soft-box", 18, 27, 90, 110}, {"octabox", 16, 26, 90, 115}, {"strip-box", 14, 23, 80, 110},
		{"shoot-through", 20, 28, 120, 160}, {"white-umbrella", 24, 34, 90, 120}, {"silver-umbrella", 32, 46, 60, 90}, {"snoot", 20, 40, 10, 20},
	} {
		m := s.Modifier(inventory.ID("a-" + c.like))
		all = append(all, published.Between("guide number on 300 Ws, like "+c.like, c.low, c.high, guide(m), practice))
		all = append(all, published.Between("beam at half, like "+c.like, c.narrow-1e-6, c.wide, half(m), practice))
	}
	return all
}

// They are what makes an invented modifier believable.
func guideNumbersOf(north *inventory.Studio) (all []published.Value) {
	for _, c := range []struct {
		id        inventory.ID
		low, high float64
	}{
		{"reflector-18", 45, 60}, {"dish-42", 26, 36}, {"box-60x90", 18, 27}, {"octa-90", 16, 26},
		{"octa-120", 16, 26}, {"strip-30x120", 14, 23}, {"umbrella-100", 24, 34}, {"snoot-6", 20, 40},
	} {
		all = append(all, published.Between("guide number on 300 Ws, northlight's "+string(c.id), c.low, c.high, guide(north.Modifier(c.id)), practice))
	}
	return all
}

// What grids take on the axis, in stops, read at 2 m.
func gridLosses(s, north *inventory.Studio) (all []published.Value) {
	loss := func(m *inventory.Modifier, g *inventory.Grid) float64 {
		open := inventory.Throughput(m, nil) * m.Emitter(nil).OnAxis(2)
		return -float64(unit.StopsOf(inventory.Throughput(m, g) * m.Emitter(g).OnAxis(2) / open))
	}
	for _, c := range []struct {
		grid, mod inventory.ID
		low, high float64
	}{
		{"honey-20", "reflector-18", 1, 1.7}, {"honey-30", "reflector-18", .7, 1.1}, {"honey-40", "reflector-18", .3, .7},
		{"cloth-strip", "strip-30x120", .4, 1.5}, {"cloth-box", "box-60x90", .4, 1.5},
	} {
		all = append(all, published.Between("stops on axis, northlight's "+string(c.grid), c.low, c.high, loss(north.Modifier(c.mod), north.Grid(c.grid)), practice))
	}
	for _, c := range []struct {
		like, mod string
		low, high float64
	}{
		{"honeycomb-10", "reflector", 1.7, 2.7}, {"honeycomb-20", "reflector", 1, 1.7}, {"honeycomb-30", "reflector", .7, 1.1}, {"honeycomb-40", "reflector", .3, .7},
		{"cloth-grid", "soft-box", .7, 1.5}, {"cloth-grid", "strip-box", .7, 1.5},
	} {
		m, g := s.Modifier(inventory.ID("a-"+c.mod)), s.Grid(inventory.ID("a-"+c.like))
		all = append(all, published.Between("stops on axis, like "+c.like+" on "+c.mod, c.low, c.high, loss(m, g), practice))
	}
	return all
}
