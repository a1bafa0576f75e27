package report

import (
	"math"
	"slices"
	"strings"

	"falloff/inventory"
)

// load is what one circuit of the room carries.
type load struct {
	Circuit inventory.Circuit
	Name    string
	Heads   []string
	Amps    float64
}

func (l load) share() float64 { return l.Amps / l.Circuit.Amps }

// loads spreads the lights over the room's circuits: each in turn, the hungriest first, to
// the circuit that it leaves the least full. Heads that run on a battery draw nothing.
func (s *Sheet) loads() []load {
	var out []load
	for i, k := range s.studio.Room.Circuits {
		name := k.Name
		if name == "" {
			name = "circuit " + itoa(i+1)
		}
		out = append(out, load{Circuit: k, Name: name})
	}
	if len(out) == 0 {
		return nil
	}
	lights := slices.Clone(s.pics.Lights)
	volts := out[0].Circuit.Volts
	slices.SortStableFunc(lights, func(a, b light) int {
		x, y := s.studio.Head(a.Set.Head).Amps(volts), s.studio.Head(b.Set.Head).Amps(volts)
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	for _, l := range lights {
		h := s.studio.Head(l.Set.Head)
		if h.Cable == 0 {
			continue
		}
		best := 0
		after := func(k int) float64 {
			return (out[k].Amps + h.Amps(out[k].Circuit.Volts)) / out[k].Circuit.Amps
		}
		for k := range out {
			if after(k) < after(best)-1e-9 {
				best = k
			}
		}
		out[best].Amps += h.Amps(out[best].Circuit.Volts)
		out[best].Heads = append(out[best].Heads, itoa(l.Number))
	}
	for k := range out {
		slices.Sort(out[k].Heads)
	}
	return out
}

// unmetered names the heads on a cable of which no current is known.
func (s *Sheet) unmetered() []string {
	var out []string
	for _, l := range s.pics.Lights {
		if h := s.studio.Head(l.Set.Head); h.Cable > 0 && h.Amps(230) == 0 && !slices.Contains(out, h.Label()) {
			out = append(out, h.Label())
		}
	}
	return out
}

func (s *Sheet) power(m *markup) {
	m.one("h3", "Power")
	loads := s.loads()
	if len(loads) == 0 {
		m.one("p", "The studio file names no circuits, so what they carry is not known here. Ask before you plug in.")
		return
	}
	var rows [][]string
	for _, l := range loads {
		heads := "nothing"
		if len(l.Heads) > 0 {
			heads = "light " + list(l.Heads)
		}
		rows = append(rows, []string{l.Name, decimal(l.Circuit.Volts, 0) + nb + "V, " + decimal(l.Circuit.Amps, 1) + nb + "A", heads,
			decimal(l.Amps, 1) + nb + "A", share(math.Ceil(l.share()*100) / 100)})
	}
	m.table("stack", []string{"Circuit", "Fused at", "Carries", "Draws up to", "Of the fuse"}, rows)
	text := "The most that the heads can draw by their ratings, lamps on and packs recycling together. What else hangs on these circuits is not known here."
	if u := s.unmetered(); len(u) > 0 {
		text += " No current is known for " + list(u) + "; read the nameplate."
	}
	m.one("p", text, "class", "soft")
	if slices.ContainsFunc(loads, func(l load) bool { return strings.TrimSpace(l.Circuit.Name) == "" }) {
		m.one("p", "Circuits without a name are numbered in the order of the studio file.", "class", "soft")
	}
}
