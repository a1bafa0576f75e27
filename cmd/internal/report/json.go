package report

import (
	"encoding/json"
	"io"
	"math"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/source"
	"falloff/model/unit"
	"falloff/solver"
	"falloff/solver/explain"
)

// The keys below are a contract: they keep their names, their order and their units, and
// every key is always there; null stands for a number that is not known or has no end.

type jsonAnswer struct {
	Outcome   string         `json:"outcome"` // found, cannot or undecided
	Brief     string         `json:"brief"`
	Studio    string         `json:"studio"`
	Proved    bool           `json:"proved_best"`
	Open      string         `json:"open"`
	OpenAt    []jsonOpen     `json:"open_places"`
	Setups    []jsonSetup    `json:"setups"`
	Conflicts []jsonConflict `json:"conflicts"`
	Releases  []jsonRelease  `json:"releases"`
	Complete  bool           `json:"complete"` // no other goals collide, and leaving out less does not do
	Work      *jsonWork      `json:"work"`
}

// jsonOpen is gear that could be neither built nor ruled out, its goals, and the ranges in
// which its lights may still stand.
type jsonOpen struct {
	Gear     string          `json:"gear"`
	Goals    []jsonQuote     `json:"goals"`
	Lights   []jsonOpenLight `json:"lights"`
	Backdrop [2]number       `json:"backdrop_m"`
}

type jsonOpenLight struct {
	Role      string    `json:"role"`
	Gear      string    `json:"gear"`
	Distance  [2]number `json:"distance_m"`
	Azimuth   [2]number `json:"azimuth_deg"`
	Elevation [2]number `json:"elevation_deg"`
}

type jsonWork struct {
	Candidates int `json:"candidates"`
	Lemmas     int `json:"lemmas"`
	Rules      int `json:"rules"`
	Boxes      int `json:"boxes"`
}

type jsonSetup struct {
	Name     string       `json:"name"`
	Summary  string       `json:"summary"`
	Holds    bool         `json:"holds"`
	Differs  string       `json:"differs"`
	Cost     jsonCost     `json:"cost"`
	Camera   jsonCamera   `json:"camera"`
	Backdrop jsonBackdrop `json:"backdrop"`
	Lights   []jsonLight  `json:"lights"` // in build order
	Cards    []jsonCard   `json:"cards"`
	Goals    []jsonGoal   `json:"goals"`
	Limits   []jsonLimit  `json:"limits"`
	Meter    []string     `json:"meter_first"`
	Unsure   []string     `json:"in_doubt"`
	Fragile  []string     `json:"fragile"`
	Cautions []string     `json:"cautions"`
}

type jsonCost struct {
	Missed  int     `json:"missed_wish_weight"`
	Lights  int     `json:"lights"`
	Minutes int     `json:"minutes"`
	Spare   *number `json:"spare_in_fragile_margins"`
}

type jsonCamera struct {
	Body      inventory.ID `json:"body"`
	Lens      inventory.ID `json:"lens"`
	Focal     *number      `json:"focal_mm"`
	Aperture  number       `json:"aperture_f"`
	Shutter   number       `json:"shutter_s"`
	ISO       number       `json:"iso"`
	Distance  *number      `json:"distance_m"`
	Sensor    *number      `json:"sensor_distance_m"`
	Height    *number      `json:"height_m"`
	Pitch     *number      `json:"pitch_deg"`
	Frame     *number      `json:"frame_m"`
	Focus     string       `json:"focus"`
	Filter    *number      `json:"filter_stops"`
	Near      *number      `json:"near_m"`
	Far       *number      `json:"far_m"`
	NeedFlash *number      `json:"needed_flash_lux_s"`
	Veil      *number      `json:"veil_share_of_white"`
}

type jsonBackdrop struct {
	Item     inventory.ID `json:"item"`
	Distance *number      `json:"distance_m"`
}

type jsonLight struct {
	Role      string       `json:"role"`
	Head      inventory.ID `json:"head"`
	Light     string       `json:"light"`
	Modifier  inventory.ID `json:"modifier"`
	Grid      inventory.ID `json:"grid"`
	Gel       inventory.ID `json:"gel"`
	Stand     inventory.ID `json:"stand"`
	Boom      inventory.ID `json:"boom"`
	Distance  *number      `json:"distance_m"`
	Azimuth   *number      `json:"azimuth_deg"`
	Elevation *number      `json:"elevation_deg"`
	Feather   *number      `json:"feather_deg"` // turned from its target, clockwise from above
	At        jsonPoint    `json:"at"`
	Aim       jsonPoint    `json:"aim"`
	FromBack  *number      `json:"from_backdrop_m"`
	Power     *number      `json:"power_stops"`
	Dialled   string       `json:"dialled"`
	Modelling bool         `json:"modelling_lamp"`
	Level     *number      `json:"level_stops"`
	Doubt     *number      `json:"level_doubt_stops"`
	Meter     *number      `json:"meter_f"`
	Lux       *number      `json:"meter_lux"`
	Minutes   *number      `json:"minutes"`
	Words     string       `json:"words"`
}

type jsonCard struct {
	Item      inventory.ID `json:"item"`
	Stand     inventory.ID `json:"stand"`
	Throws    string       `json:"throws"` // the role of a light
	Shades    string       `json:"shades"`
	Distance  *number      `json:"distance_m"`
	Azimuth   *number      `json:"azimuth_deg"`
	Elevation *number      `json:"elevation_deg"`
	At        jsonPoint    `json:"at"`
	FromBack  *number      `json:"from_backdrop_m"`
}

// A point of the room: X to camera right, Y toward the camera, from the sitter's mark.
type jsonPoint struct {
	X number `json:"x_m"`
	Y number `json:"y_m"`
	Z number `json:"z_m"`
}

type jsonGoal struct {
	Kind     string     `json:"kind"`
	Text     string     `json:"text"`
	File     string     `json:"file"`
	Line     int        `json:"line"`
	Must     bool       `json:"must"`
	Wish     int        `json:"wish"`
	Assumed  bool       `json:"assumed"`
	Holds    bool       `json:"holds"`
	Standing string     `json:"standing"`           // holds, meter, unsure, fragile, missed or fails
	Meter    []string   `json:"meter_lights"`       // with "meter": which lights,
	Within   *number    `json:"meter_within_stops"` // and how closely
	Sentence string     `json:"sentence"`
	Parts    []jsonPart `json:"parts"`
}

type jsonPart struct {
	What    string  `json:"what"`
	Unit    string  `json:"unit"`
	Got     *number `json:"got"`
	Low     *number `json:"want_low"`
	High    *number `json:"want_high"`
	Margin  *number `json:"margin"`
	Fine    *number `json:"fragile_below"`
	Doubt   *number `json:"doubt"`         // standard uncertainty, in the unit of the part
	Metered *number `json:"doubt_metered"` // and once every light is metered
	Mostly  string  `json:"doubt_mostly"`
}

type jsonLimit struct {
	What     string `json:"what"`
	Holds    bool   `json:"holds"`
	Sentence string `json:"sentence"`
}

type jsonConflict struct {
	Goals    []jsonQuote `json:"goals"`
	KitAlone bool        `json:"kit_alone"`
	Minimal  bool        `json:"minimal"`
	Argument []jsonBlock `json:"argument"`
	Tried    int         `json:"changes_tried"`
}

type jsonQuote struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
	File string `json:"file"`
	Line int    `json:"line"`
}

type jsonBlock struct {
	Kind   string      `json:"kind"`
	Text   string      `json:"text"`
	File   string      `json:"file"`
	Line   int         `json:"line"`
	Number int         `json:"number"`
	Uses   []int       `json:"uses"`
	Parts  []jsonBlock `json:"parts"`
}

// jsonRelease is a change that frees the rest: goals that are left out, numbers that are
// moved as little as will do, or a change of another sort.
type jsonRelease struct {
	Change  string      `json:"change"`
	LeftOut []jsonQuote `json:"left_out"`
	Minimal bool        `json:"minimal"` // proved: leaving out less, or moving less, does not do
	Moves   []jsonMove  `json:"moves"`
	Cost    string      `json:"cost"`
	Leads   string      `json:"leads_to"`
	Minutes int         `json:"minutes"`
	Setup   *jsonSetup  `json:"setup"` // null for a change of another sort
}

type jsonMove struct {
	Name      string `json:"what"`
	Now       string `json:"now"`
	To        string `json:"to"`
	NotEnough string `json:"proved_not_enough"`
	Open      bool   `json:"open_between"`
}

// A number keeps six decimals: far below what can be taped, dialled or metered, and
// without the last digits in which computers differ.
type number float64

func num(x float64) number { return number(positive(math.Round(x*1e6) / 1e6)) }

func known(x float64) *number {
	if math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e200 {
		return nil
	}
	n := num(x)
	return &n
}

// WriteJSON writes v indented, with a final line feed.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// AnswerJSON writes an answer for programs.
func AnswerJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, a *solver.Answer) error {
	out := jsonAnswer{
		Outcome: string(a.Outcome), Brief: b.Name, Studio: s.Name, Proved: a.Proved, Open: a.Open, OpenAt: openJSON(a.OpenAt),
		Setups: []jsonSetup{}, Conflicts: []jsonConflict{}, Releases: []jsonRelease{},
		Work: &jsonWork{a.Stats.Candidates, a.Stats.Lemmas, a.Stats.Rules, a.Stats.Boxes},
	}
	for _, c := range a.Setups {
		out.Setups = append(out.Setups, setupJSON(s, c))
	}
	out.collide(s, a)
	return WriteJSON(w, out)
}

// collide fills in what collides and what frees it.
func (out *jsonAnswer) collide(s *inventory.Studio, a *solver.Answer) {
	if a.Conflict == nil {
		return
	}
	out.Complete = a.Whole
	for _, c := range append([]*solver.Conflict{a.Conflict}, a.Others...) {
		out.Conflicts = append(out.Conflicts, conflictJSON(c))
	}
	proof := func(k *solver.Checked) *jsonSetup {
		if k == nil {
			return nil
		}
		set := setupJSON(s, k)
		return &set
	}
	for _, r := range a.Releases {
		out.Releases = append(out.Releases, jsonRelease{Change: "leave out " + goalList(r.Goals) + inFavour(r.Goals), LeftOut: quotesJSON(r.Goals), Minimal: r.Minimal,
			Moves: []jsonMove{}, Cost: "nothing", Leads: r.Leads, Minutes: r.Minutes, Setup: proof(r.Setup)})
	}
	for _, h := range a.Conflict.Help {
		r := jsonRelease{Change: h.Text, LeftOut: []jsonQuote{}, Minimal: len(h.Moves) > 0, Moves: []jsonMove{}, Cost: h.Cost, Leads: h.Leads,
			Minutes: h.Minutes, Setup: proof(h.Setup)}
		for _, m := range h.Moves {
			r.Minimal = r.Minimal && !m.Open
			r.Moves = append(r.Moves, jsonMove{m.Name, m.Now, m.To, m.Short, m.Open})
		}
		out.Releases = append(out.Releases, r)
	}
}

// CheckedJSON writes one checked set-up for programs. An exact set-up that fails is a
// proof, so the outcome is then "cannot".
func CheckedJSON(w io.Writer, s *inventory.Studio, b *constraints.Brief, c *solver.Checked) error {
	out := jsonAnswer{
		Outcome: string(solver.Found), Studio: s.Name, OpenAt: []jsonOpen{}, Setups: []jsonSetup{setupJSON(s, c)},
		Conflicts: []jsonConflict{}, Releases: []jsonRelease{},
	}
	if b != nil {
		out.Brief = b.Name
	}
	if !c.Holds() {
		out.Outcome = string(solver.Cannot)
	}
	return WriteJSON(w, out)
}

func setupJSON(s *inventory.Studio, c *solver.Checked) jsonSetup {
	out := jsonSetup{
		Name: c.Setup.Name, Summary: summary(s, c), Holds: c.Holds(), Differs: c.Differs,
		Cost:     jsonCost{c.Cost.Missed, c.Cost.Lights, c.Cost.Minutes, known(c.Cost.Tight)},
		Camera:   cameraJSON(s, c),
		Backdrop: jsonBackdrop{c.Setup.Backdrop.Item, known(float64(c.Setup.Backdrop.Distance))},
		Lights:   []jsonLight{}, Cards: []jsonCard{}, Goals: []jsonGoal{}, Limits: []jsonLimit{},
		Meter: some(c.MeterFirst), Unsure: some(c.Unsure), Fragile: some(c.Fragile), Cautions: some(c.Cautions),
	}
	for _, l := range inBuildOrder(c.Lights) {
		out.Lights = append(out.Lights, lightJSON(l))
	}
	for _, k := range c.Cards {
		out.Cards = append(out.Cards, jsonCard{k.Set.Item, k.Set.Stand, k.Set.Throws, k.Set.Shades, known(float64(k.Set.Distance)), known(k.Set.Azimuth.Degrees()),
			known(k.Set.Elevation.Degrees()), point(k.At), known(float64(k.FromBack))})
	}
	for i := range c.Goals {
		out.Goals = append(out.Goals, goalJSON(c, i))
	}
	for _, l := range c.Limits {
		out.Limits = append(out.Limits, jsonLimit{l.What, l.Holds, l.Sentence})
	}
	return out
}

// some is never null.
func some[T any](list []T) []T { return append([]T{}, list...) }

func cameraJSON(s *inventory.Studio, c *solver.Checked) jsonCamera {
	cam, r := c.Setup.Camera, c.Camera
	out := jsonCamera{
		Body: cam.Body, Lens: cam.Lens, Aperture: num(float64(cam.Aperture)), Shutter: number(cam.Shutter), ISO: num(float64(cam.ISO)),
		Distance: known(float64(r.Distance)), Sensor: known(float64(r.Sensor)), Height: known(float64(cam.Height)),
		Pitch: known(r.Pitch.Degrees()), Frame: known(float64(cam.Frame)), Focus: r.Focus,
		Filter: known(float64(r.Filter)), Near: known(float64(r.Near)), Far: known(float64(r.Far)), NeedFlash: known(r.NeededFlash), Veil: known(r.VeilShare()),
	}
	if l := s.Lens(cam.Lens); l != nil {
		out.Focal = known(l.Focal.Millimetres())
	}
	return out
}

func lightJSON(l *solver.LightReport) jsonLight {
	out := jsonLight{
		Role: l.Set.Role, Head: l.Set.Head, Light: l.Set.Light, Modifier: l.Set.Modifier, Grid: l.Set.Grid, Gel: l.Set.Gel,
		Stand: l.Set.Stand, Boom: l.Set.Boom, Distance: known(float64(l.Set.Distance)),
		Azimuth: known(l.Set.Azimuth.Degrees()), Elevation: known(l.Set.Elevation.Degrees()), Feather: known(l.Set.Feather.Degrees()),
		At: point(l.At), Aim: point(l.Aim), FromBack: known(float64(l.FromBack)), Power: known(float64(l.Set.Power)),
		Dialled: l.Dialled, Modelling: l.Set.Modelling, Level: known(float64(l.Level)), Doubt: known(float64(l.Doubt)),
		Meter: known(l.Meter), Minutes: known(float64(l.Minutes)), Words: l.Words,
	}
	if l.Set.Light == "lamp" {
		out.Lux = known(float64(l.Lux))
	}
	return out
}

func point(v geom.Vec) jsonPoint { return jsonPoint{num(v.X), num(v.Y), num(v.Z)} }

func goalJSON(c *solver.Checked, i int) jsonGoal {
	g := &c.Goals[i]
	file, line := where(g.Goal.Place)
	out := jsonGoal{
		Kind: g.Goal.Name(), Text: g.Goal.Text, File: file, Line: line, Must: g.Goal.Wish == 0, Wish: g.Goal.Wish,
		Assumed: g.Goal.Assumed, Holds: g.Holds, Standing: status(g), Sentence: g.Sentence, Meter: []string{}, Parts: []jsonPart{},
	}
	for _, r := range g.Meter {
		out.Meter = append(out.Meter, r.String())
	}
	if g.Standing == constraints.IfMeter {
		out.Within = known(float64(g.Within))
	}
	for j, p := range g.Parts {
		part := jsonPart{What: p.What, Unit: string(p.Unit), Got: middle(p.Got), Low: known(p.Want.Lo), High: known(p.Want.Hi),
			Margin: known(p.Margin().Lo), Fine: known(p.Fine), Doubt: known(p.Doubt)}
		if i < len(c.Doubts.Goals) {
			d := c.Doubts.Goals[i][j]
			part.Metered = known(d.Metered)
			if worst, ok := c.Doubts.Worst(d); ok {
				part.Mostly = worst.What
			}
		}
		out.Parts = append(out.Parts, part)
	}
	return out
}

func middle(v unit.Interval) *number {
	if v.IsEmpty() {
		return nil
	}
	return known(v.Mid())
}

func where(p source.Place) (file string, line int) {
	if !p.Known() {
		return "", 0
	}
	return p.File.Name, p.Line
}

func conflictJSON(c *solver.Conflict) jsonConflict {
	return jsonConflict{Goals: quotesJSON(c.Goals), KitAlone: c.KitAlone, Minimal: c.Minimal, Argument: blocksJSON(c.Argument.Blocks), Tried: c.Tried}
}

func quotesJSON(goals []*constraints.Goal) []jsonQuote {
	out := []jsonQuote{}
	for _, g := range goals {
		file, line := where(g.Place)
		out = append(out, jsonQuote{g.Name(), g.Text, file, line})
	}
	return out
}

func openJSON(list []solver.OpenPlace) []jsonOpen {
	out := []jsonOpen{}
	ends := func(i unit.Interval) [2]number { return [2]number{num(i.Lo), num(i.Hi)} }
	for _, o := range list {
		j := jsonOpen{Gear: o.Gear, Goals: quotesJSON(o.Goals), Lights: []jsonOpenLight{}, Backdrop: ends(o.Depth)}
		for _, l := range o.Lights {
			j.Lights = append(j.Lights, jsonOpenLight{l.Role.String(), l.Gear, ends(l.Distance), ends(l.Azimuth), ends(l.Elevation)})
		}
		out = append(out, j)
	}
	return out
}

var blockKinds = map[explain.Kind]string{
	explain.Headline: "headline", explain.Quote: "quote", explain.Step: "step", explain.Conclusion: "conclusion",
	explain.Weighed: "weighed", explain.Help: "help", explain.Note: "note",
}

func blocksJSON(blocks []explain.Block) []jsonBlock {
	out := []jsonBlock{}
	for _, bl := range blocks {
		file, line := where(bl.Place)
		out = append(out, jsonBlock{blockKinds[bl.Kind], bl.Text, file, line, bl.Number, some(bl.Uses), blocksJSON(bl.Parts)})
	}
	return out
}
