package report

import (
	"io"

	"falloff/inventory"
	"falloff/solver"
)

// The sheet's keys are a contract like those of an answer, whose keys come first.
type jsonSheet struct {
	jsonAnswer
	Sheet jsonSheetPart `json:"sheet"`
}

type jsonSheetPart struct {
	Steps    []jsonStep    `json:"steps"`
	Target   jsonTarget    `json:"target_frame"`
	Packing  []jsonCase    `json:"packing"`
	Circuits []jsonCircuit `json:"circuits"`
	Drawings []jsonDrawing `json:"drawings"`
}

type jsonStep struct {
	Number  int          `json:"number"` // of a light; 0 for the rest
	Role    string       `json:"role"`   // of a light; empty for the rest
	Card    inventory.ID `json:"card"`   // of a card or flag; empty for the rest
	Why     string       `json:"why"`
	Minutes number       `json:"minutes"`
}

type jsonTarget struct {
	Meter    *number `json:"meter_f"`
	Level    *number `json:"level_stops"`
	Bright   *number `json:"backdrop_brightest_stops"`
	Dim      *number `json:"backdrop_darkest_stops"`
	Eyes     *number `json:"eyes_up_the_frame_share"`
	Headroom *number `json:"headroom_share"`
}

type jsonCase struct {
	Case  string       `json:"case"`
	ID    inventory.ID `json:"id"`
	What  string       `json:"what"`
	Count int          `json:"count"`
	Spare int          `json:"spare"`
	Each  *number      `json:"mass_kg"`
	Hired bool         `json:"hired"`
	Rate  *number      `json:"day_rate"`
	Note  string       `json:"note"`
}

type jsonCircuit struct {
	Name   string   `json:"name"`
	Volts  number   `json:"volts"`
	Fuse   number   `json:"fuse_a"`
	Lights []string `json:"lights"`
	Draws  number   `json:"draws_a"`
}

type jsonDrawing struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Text  string `json:"text"`
}

// JSON writes the sheet for programs.
func (s *Sheet) JSON(w io.Writer) error {
	c := s.set
	out := jsonSheet{jsonAnswer: jsonAnswer{Outcome: string(solver.Found), Brief: s.brief.Name, Studio: s.studio.Name,
		OpenAt: []jsonOpen{}, Setups: []jsonSetup{setupJSON(s.studio, c)}, Conflicts: []jsonConflict{}, Releases: []jsonRelease{}},
		Sheet: jsonSheetPart{Steps: []jsonStep{{Why: "Everything is measured from the mark, so it comes first.", Minutes: num(float64(s.bench.CameraMinutes()))}},
			Packing: []jsonCase{}, Circuits: []jsonCircuit{}, Target: s.targetJSON()}}
	if !c.Holds() {
		out.Outcome = string(solver.Cannot)
	}
	for _, l := range s.pics.Lights {
		out.Sheet.Steps = append(out.Sheet.Steps, jsonStep{l.Number, l.Set.Role, "", s.whyNow(&l), num(float64(l.Report.Minutes))})
	}
	for i := range c.Cards {
		out.Sheet.Steps = append(out.Sheet.Steps, jsonStep{Card: c.Cards[i].Set.Item, Why: whyCard(&c.Cards[i]), Minutes: num(float64(s.studio.Minutes(inventory.PlaceCard)))})
	}
	for _, p := range packing(s.bench, c) {
		row := jsonCase{Case: p.Case, ID: p.ID, What: p.What, Count: p.Count, Spare: p.Spare, Hired: p.hired(), Note: p.Note}
		if p.Each > 0 {
			row.Each = known(float64(p.Each))
		}
		if p.hired() {
			row.Rate = known(float64(p.Rate))
		}
		out.Sheet.Packing = append(out.Sheet.Packing, row)
	}
	for _, l := range s.loads() {
		out.Sheet.Circuits = append(out.Sheet.Circuits, jsonCircuit{l.Name, num(l.Circuit.Volts), num(l.Circuit.Amps), some(l.Heads), num(l.Amps)})
	}
	for _, d := range s.Drawings() {
		out.Sheet.Drawings = append(out.Sheet.Drawings, jsonDrawing{d.Name, d.Title, d.Says})
	}
	return WriteJSON(w, out)
}

func (s *Sheet) targetJSON() jsonTarget {
	r, stage := &s.set.Reading, s.pics.Stage
	_, eye, _ := stage.See(stage.Eye)
	_, crown, _ := stage.See(stage.Crown)
	return jsonTarget{known(s.set.Camera.TogetherMeter), known(float64(s.set.Camera.Together)), known(r.Bright.Lo), known(r.Dim.Lo),
		known((1 + eye) / 2), known((1 - crown) / 2)}
}
