package report

import (
	"fmt"
	"io"
	"strings"

	"falloff/inventory"
	"falloff/model/unit"
)

// Kit lists what a studio owns.
func Kit(w io.Writer, s *inventory.Studio, st Style) error {
	p := newPage(st)
	p.names(s)
	p.para(0, 2, s.Name+": "+plural(s.Items(), "item")+" of "+plural(s.Types(), "type")+".")
	p.room(s)
	for _, g := range inventory.Rows(s) {
		p.blank()
		p.line(g.Title)
		for _, r := range g.Rows {
			title := r.Title
			if r.Count > 1 {
				title = itoa(r.Count) + " x " + title
			}
			if r.Title != r.ID {
				title += " [" + r.ID + "]"
			}
			p.para(2, 4, title+": "+p.units(strings.Join(r.Facts, ", ")))
		}
	}
	return p.flush(w)
}

func (p *page) room(s *inventory.Studio) {
	if !s.HasRoom() {
		return
	}
	r := &s.Room
	text := "Room " + p.tape(r.Width) + " wide, " + p.tape(r.Depth) + " deep, " + p.tape(r.Height) + " high; walls reflect " +
		r.Walls.String() + ", ceiling " + r.Ceiling.String() + ", floor " + r.Floor.String() + "."
	if r.Ambient > 0 {
		text += " Ambient light " + lux(r.Ambient) + "."
	}
	var circuits []string
	for _, k := range r.Circuits {
		circuits = append(circuits, fmt.Sprintf("%g V %g A", k.Volts, k.Amps))
	}
	if len(circuits) > 0 {
		text += " Circuits: " + list(circuits) + "."
	}
	p.para(0, 2, text)
}

type jsonKit struct {
	Studio string      `json:"studio"`
	Items  int         `json:"items"`
	Types  int         `json:"types"`
	Room   *jsonRoom   `json:"room"`
	Groups []jsonGroup `json:"groups"`
}

type jsonRoom struct {
	Width   number `json:"width_m"`
	Depth   number `json:"depth_m"`
	Height  number `json:"height_m"`
	Walls   number `json:"walls_reflectance"`
	Ceiling number `json:"ceiling_reflectance"`
	Floor   number `json:"floor_reflectance"`
	Ambient number `json:"ambient_lux"`
}

type jsonGroup struct {
	Title string    `json:"title"`
	Items []jsonRow `json:"items"`
}

type jsonRow struct {
	ID    string   `json:"id"`
	Name  string   `json:"name"`
	Count int      `json:"count"`
	Facts []string `json:"facts"`
}

// KitJSON lists the kit for programs.
func KitJSON(w io.Writer, s *inventory.Studio) error {
	out := jsonKit{Studio: s.Name, Items: s.Items(), Types: s.Types(), Groups: []jsonGroup{}}
	if r := &s.Room; s.HasRoom() {
		out.Room = &jsonRoom{length(r.Width), length(r.Depth), length(r.Height),
			num(float64(r.Walls)), num(float64(r.Ceiling)), num(float64(r.Floor)), num(float64(r.Ambient))}
	}
	for _, g := range inventory.Rows(s) {
		rows := []jsonRow{}
		for _, r := range g.Rows {
			rows = append(rows, jsonRow{r.ID, r.Title, r.Count, some(r.Facts)})
		}
		out.Groups = append(out.Groups, jsonGroup{g.Title, rows})
	}
	return WriteJSON(w, out)
}

func length(l unit.Length) number { return num(float64(l)) }
