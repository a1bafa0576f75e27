package report

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver"
)

// packed is a line of a packing list. ID is empty for small things, which no studio file
// lists; their counts are common practice, no source.
type packed struct {
	Case  string
	ID    inventory.ID
	What  string
	Count int // needed
	Spare int // to take besides
	Each  unit.Mass
	Rate  unit.Money // by the day, for hired things
	Note  string
}

func (p packed) hired() bool { return p.Rate > 0 }

// cases is the order in which kit is packed, by the class of a thing.
var cases = []struct {
	name    string
	classes []string
	spare   bool // one more is taken where there is one
}{
	{"Cameras", []string{"camera"}, true},
	{"Cameras", []string{"lens"}, false},
	{"Heads", []string{"head"}, true},
	{"Modifiers", []string{"modifier"}, false},
	{"Cards and flags", []string{"card"}, false},
	{"Grids and gels", []string{"grid", "gel"}, true},
	{"Stands and arms", []string{"stand", "boom"}, true},
	{"Backdrops", []string{"backdrop"}, false},
	{"Small things", []string{"trigger"}, true},
}

// packing lists what a set-up takes along, case by case, with spares from what the studio
// has left.
func packing(b *constraints.Bench, c *solver.Checked) []packed {
	needed := needs(b.Studio, c)
	var out []packed
	for _, box := range cases {
		for _, id := range b.Studio.Shelf().IDs {
			class, item, _ := b.Studio.Find(id)
			n := needed[id]
			if n == 0 || !slices.Contains(box.classes, class) {
				continue
			}
			row := packed{Case: box.name, ID: id, What: item.Label(), Count: n, Each: item.Mass, Rate: item.DayRate}
			if box.spare {
				row.Spare = min(1, max(0, item.Count-n))
				if row.Spare == 0 && slices.Contains([]string{"camera", "head"}, class) {
					row.Note = "no spare here"
				}
			}
			out = append(out, row)
		}
	}
	return append(out, smallThings(b, c)...)
}

// needs counts the pieces of each type that a set-up uses.
func needs(s *inventory.Studio, c *solver.Checked) map[inventory.ID]int {
	set := c.Setup
	out := map[inventory.ID]int{set.Camera.Body: 1, set.Camera.Lens: 1, set.Backdrop.Item: 1}
	flash := 0
	for _, l := range set.Lights {
		for _, id := range []inventory.ID{l.Head, l.Modifier, l.Grid, l.Gel, l.Stand, l.Boom} {
			if id != "" {
				out[id]++
			}
		}
		if l.Light == "flash" {
			flash++
		}
	}
	for _, k := range set.Cards {
		out[k.Item]++
		if k.Stand != "" {
			out[k.Stand]++
		}
	}
	for _, t := range s.Shelf().Triggers {
		for n := 0; n < t.Count && flash > 0; n++ {
			out[t.ID]++
			flash -= max(1, t.Fires)
		}
	}
	return out
}

// smallThings is what nobody lists and everybody misses (common practice, no source).
func smallThings(b *constraints.Bench, c *solver.Checked) []packed {
	const name = "Small things"
	wired, gels, hot, booms, flash := 0, 0, 0, 0, 0
	var weights []packed
	for _, l := range c.Setup.Lights {
		h := b.Studio.Head(l.Head)
		if h.Cable > 0 {
			wired++
		}
		if l.Gel != "" {
			gels++
		}
		if h.Lamp != nil && h.Lamp.Hot {
			hot++
		}
		if l.Light == "flash" {
			flash++
		}
		if boom := b.Studio.Boom(l.Boom); boom != nil {
			booms++
			row := packed{Case: name, What: "counterweight", Count: 1, Note: "for the " + boom.Label()}
			if h.Mass > 0 {
				row.Each = boom.Counterweight(inventory.LightMass(h, b.Studio.Modifier(l.Modifier), b.Studio.Grid(l.Grid)))
			}
			weights = append(weights, row)
		}
	}
	var out []packed
	add := func(n, spare int, what, note string) {
		if n > 0 {
			out = append(out, packed{Case: name, What: what, Count: n, Spare: spare, Note: note})
		}
	}
	out = append(out, weights...)
	add(booms, 0, "safety cord", "head to arm")
	stands := len(c.Setup.Lights)
	for _, k := range c.Setup.Cards {
		if k.Stand != "" {
			stands++
		}
	}
	add(len(c.Setup.Cards), 1, "spring clamp", "for cards and flags")
	add(stands, 0, "sandbag", "one for each stand, 7 to 10 kg")
	add(wired, 1, "extension lead", "sockets are rarely where the light is")
	add(2*gels, 2, "gel clip", "heat-proof")
	add(flash, 0, "sync cord", "where a trigger fails")
	add(hot, 0, "spare modelling lamp", "and gloves to change it")
	add(1, 1, "camera battery", "charged")
	add(1, 1, "memory card", "formatted")
	add(1, 0, "incident light meter", "fresh cell")
	add(1, 0, "grey card", "")
	add(1, 0, "tape measure", "")
	add(1, 1, "roll of cloth tape", "marks and cables")
	return out
}

// byCase cuts a list where the case changes.
func byCase(list []packed) [][]packed {
	var out [][]packed
	for _, p := range list {
		if n := len(out); n > 0 && out[n-1][0].Case == p.Case {
			out[n-1] = append(out[n-1], p)
			continue
		}
		out = append(out, []packed{p})
	}
	return out
}

// apart splits a list into what is owned and what is hired.
func apart(list []packed) (own, hire []packed) {
	for _, p := range list {
		if p.hired() {
			hire = append(hire, p)
		} else {
			own = append(own, p)
		}
	}
	return own, hire
}

// hireCost is what the hired things cost by the day.
func hireCost(list []packed) unit.Money {
	sum := unit.Money(0)
	for _, p := range list {
		sum += p.Rate * unit.Money(p.Count)
	}
	return sum
}

// mass is what the things of a list weigh together, spares included, and whether all of
// their masses are known.
func mass(list []packed) (unit.Mass, bool) {
	sum, all := unit.Mass(0), true
	for _, p := range list {
		sum += p.Each * unit.Mass(p.Count+p.Spare)
		all = all && (p.Each > 0 || p.ID == "")
	}
	return sum, all
}

// PackingCSV writes the packing list as a table for other programs (RFC 4180).
func (s *Sheet) PackingCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{{"case", "id", "what", "count", "spare", "mass_kg_each", "hired", "day_rate", "note"}}
	for _, p := range packing(s.bench, s.set) {
		hired, rate, each := "no", "", ""
		if p.hired() {
			hired, rate = "yes", decimal(float64(p.Rate), 2)
		}
		if p.Each > 0 {
			each = decimal(float64(p.Each), 2)
		}
		rows = append(rows, []string{p.Case, string(p.ID), inert(p.What), strconv.Itoa(p.Count), strconv.Itoa(p.Spare), each, hired, rate, p.Note})
	}
	return out.WriteAll(rows)
}

// inert keeps a spreadsheet from taking a name for a formula.
func inert(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

func decimal(x float64, places int) string {
	p := math.Pow(10, float64(places))
	return strconv.FormatFloat(math.Round(x*p)/p, 'f', -1, 64)
}
