package report

import (
	"io"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/solver"
)

// Packing prints what to bring and what can stay at home.
func Packing(w io.Writer, s *inventory.Studio, b *constraints.Brief, k *solver.Packing, st Style) error {
	if k.Answer.Outcome != solver.Found {
		return Answer(w, s, b, k.Answer, st)
	}
	p := newPage(st)
	p.names(s)
	best := k.Answer.Setups[0]
	p.para(0, 2, quoted(b.Name)+" needs "+plural(pieceCount(k.Bring), "piece")+" of kit: "+summary(s, best)+".")
	p.heading("Bring")
	for _, x := range k.Bring {
		p.para(blockIndent, 2, "- "+pieces(x.Pieces, x.Item.Label())+"; "+withoutIt(s, best, x))
	}
	p.heading("Can stay at home, all together")
	var home []string
	for _, x := range k.Home {
		home = append(home, pieces(x.Pieces, x.Item.Label()))
	}
	p.para(blockIndent, 0, stopped(capital(list(home))))
	p.blank()
	p.para(0, 0, `"needed" is proved: with one piece less nothing else in the studio makes the picture. "instead" holds for one piece at a time, and that set-up was checked. Cells, cables and tape are not counted.`)
	return p.flush(w)
}

func pieceCount(all []solver.Packed) (n int) {
	for _, x := range all {
		n += x.Pieces
	}
	return n
}

// withoutIt says what happens with one piece less.
func withoutIt(s *inventory.Studio, best *solver.Checked, x solver.Packed) string {
	switch x.Without {
	case solver.Cannot:
		return "needed"
	case solver.Found:
		return swapped(s, best.Setup, x)
	}
	return "open: nothing that takes its place was found, nor proved not to be there"
}

// swapped says what another set-up uses in the place of an item, or of how many of its pieces.
func swapped(s *inventory.Studio, from *inventory.Setup, x solver.Packed) string {
	was, is := solver.Used(from), solver.Used(x.Instead.Setup)
	id := inventory.ItemOf(x.Item).ID
	some := ""                          // not all of them
	switch fewer := was[id] - is[id]; { // triggers are not counted there
	case fewer == 1 && x.Pieces > 1:
		some = "one of them "
	case fewer > 1 && fewer < x.Pieces:
		some = itoa(fewer) + " of them "
	}
	var names []string
	for t := range s.Things() {
		id := inventory.ItemOf(t).ID
		if more := is[id] - was[id]; more > 0 {
			names = append(names, pieces(more, t.Label()))
		}
	}
	switch {
	case len(names) == 0 && some != "":
		return some + "can be left: the picture can be made without"
	case len(names) == 0:
		return "can be left: the picture can be made without it"
	case some != "":
		return some + "may be " + list(names) + " instead"
	}
	return "or instead " + list(names)
}

type jsonPacking struct {
	Outcome   string         `json:"outcome"`
	Brief     string         `json:"brief"`
	Studio    string         `json:"studio"`
	Setups    []jsonSetup    `json:"setups"`
	Conflicts []jsonConflict `json:"conflicts"`
	Bring     []jsonPacked   `json:"bring"`
	Home      []jsonPacked   `json:"stay_at_home"`
	Open      string         `json:"open"`
}

type jsonPacked struct {
	Item    inventory.ID `json:"item"`
	Pieces  int          `json:"pieces"`
	Without string       `json:"with_one_piece_less"` // found, cannot, undecided; empty where it was not asked
}

// PackingJSON writes the same for programs.
func PackingJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, k *solver.Packing) error {
	out := jsonPacking{Outcome: string(k.Answer.Outcome), Brief: b.Name, Studio: s.Name, Setups: []jsonSetup{},
		Conflicts: []jsonConflict{}, Bring: packedJSON(k.Bring), Home: packedJSON(k.Home), Open: k.Answer.Open}
	for _, c := range k.Answer.Setups {
		out.Setups = append(out.Setups, setupJSON(s, c))
	}
	if c := k.Answer.Conflict; c != nil {
		out.Conflicts = append(out.Conflicts, conflictJSON(c))
	}
	return WriteJSON(w, out)
}

func packedJSON(all []solver.Packed) []jsonPacked {
	out := []jsonPacked{}
	for _, x := range all {
		out = append(out, jsonPacked{inventory.ItemOf(x.Item).ID, x.Pieces, string(x.Without)})
	}
	return out
}
