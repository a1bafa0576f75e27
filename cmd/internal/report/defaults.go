package report

import (
	"io"
	"strings"

	"falloff/inventory"
)

// DefaultList names the generic kit, one line each.
func DefaultList(w io.Writer, kinds []inventory.Kind, st Style) error {
	p := newPage(st)
	column := 0
	for _, k := range kinds {
		column = max(column, len(k.Like)+2)
	}
	class := ""
	for _, k := range kinds {
		if k.Class != class {
			if class != "" {
				p.blank()
			}
			class = k.Class
			p.line(capital(class) + "s")
		}
		switch {
		case k.Like == "": // what every item has: only in full
		case strings.HasPrefix(k.Name, "standard: "):
			p.field(2, column, k.Like, k.Defaults[0].Usual)
		default:
			p.field(2, column, k.Like, p.units(k.Name))
		}
	}
	p.blank()
	p.para(0, 0, `Write "like: soft-box" and the size, and what you know; the rest is taken from here, with wide doubt. A gel says "standard: amber".`)
	p.para(0, 0, `"falloff kit defaults WORD" shows the figures, what is usual, and where that is from.`)
	return p.flush(w)
}

// DefaultPages shows the figures of generic kit with their sources.
func DefaultPages(w io.Writer, kinds []inventory.Kind, st Style) error {
	p := newPage(st)
	for i, k := range kinds {
		if i > 0 {
			p.blank()
		}
		title := k.Name
		if k.Like != "" && !strings.HasPrefix(k.Name, "standard: ") {
			title = "like: " + k.Like + " (" + k.Name + ")"
		}
		p.para(0, 2, capital(k.Class)+", "+p.units(title))
		for _, d := range k.Defaults {
			text := p.units(d.Value)
			if d.Usual != "" {
				text += "; usual: " + p.units(d.Usual)
			}
			p.field(2, 16, d.Key, text+". Source: "+d.Source)
		}
	}
	return p.flush(w)
}

type jsonGeneric struct {
	Class    string        `json:"class"`
	Like     string        `json:"like"`
	Name     string        `json:"name"`
	Defaults []jsonDefault `json:"defaults"`
}

type jsonDefault struct {
	Key    string `json:"key"`
	Value  string `json:"value"`
	Usual  string `json:"usual"`
	Source string `json:"source"`
}

// DefaultsJSON lists the generic kit for programs; values are written as in a studio file.
func DefaultsJSON(w io.Writer, kinds []inventory.Kind) error {
	out := struct {
		Kinds []jsonGeneric `json:"kinds"`
	}{[]jsonGeneric{}}
	for _, k := range kinds {
		j := jsonGeneric{k.Class, k.Like, k.Name, []jsonDefault{}}
		for _, d := range k.Defaults {
			j.Defaults = append(j.Defaults, jsonDefault{d.Key, d.Value, d.Usual, d.Source})
		}
		out.Kinds = append(out.Kinds, j)
	}
	return WriteJSON(w, out)
}
