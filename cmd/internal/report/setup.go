package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver"
)

// Checked prints one set-up that was checked: what holds and what fails, then everything
// that is needed to build it.
func Checked(w io.Writer, s *inventory.Studio, b *constraints.Brief, c *solver.Checked, st Style) error {
	p := newPage(st)
	p.names(s)
	if c.Holds() {
		p.para(0, 2, title(c)+" holds: every must of the brief and every limit of room and kit is met.")
	} else {
		p.para(0, 2, title(c)+" fails. "+failures(c))
	}
	p.blank()
	p.setup(s, b, c)
	return p.flush(w)
}

func title(c *solver.Checked) string {
	if c.Setup.Name == "" {
		return "The set-up"
	}
	return c.Setup.Name
}

// failures names the musts that are not met and the limits that are not kept.
func failures(c *solver.Checked) string {
	var goals, limits []string
	for _, g := range c.Goals {
		if g.Goal.Wish == 0 && !g.Holds {
			goals = append(goals, g.Goal.Name())
		}
	}
	for _, l := range c.Limits {
		if !l.Holds {
			limits = append(limits, l.What)
		}
	}
	var out []string
	if len(goals) > 0 {
		out = append(out, "Not met: "+list(goals)+".")
	}
	if len(limits) > 0 {
		out = append(out, "Not kept: "+list(limits)+".")
	}
	return strings.Join(out, " ")
}

// columns of the labels inside a block.
const (
	blockIndent = 2
	labelColumn = 10
)

func (p *page) setup(s *inventory.Studio, b *constraints.Brief, c *solver.Checked) {
	p.para(0, 2, title(c)+": "+summary(s, c))
	p.line(strings.Repeat("-", min(p.Width, 76)))
	if c.Differs != "" {
		p.para(0, 2, "Against the best: "+stopped(p.units(c.Differs)))
	}
	p.para(0, 2, effort(c))
	p.camera(s, c)
	p.sitter(s, b, c)
	for i, l := range inBuildOrder(c.Lights) {
		p.light(s, i+1, l, c)
	}
	p.cards(s, c)
	p.together(s, c)
	p.goals(c)
	p.limits(c)
	p.sentences("Meter first", c.MeterFirst)
	p.sentences("In doubt whatever is metered", c.Unsure)
	p.sentences("Fragile", c.Fragile)
	p.cautions(c.Cautions)
}

func (p *page) cautions(items []string) {
	last := len(items) - 1
	if last < 0 {
		return
	}
	if items[last] != solver.LastWord {
		p.sentences("Cautions", items)
		return
	}
	p.sentences("Cautions", items[:last])
	p.para(blockIndent, 0, items[last])
}

func effort(c *solver.Checked) string {
	out := plural(c.Cost.Lights, "light") + ", about " + minutes(float64(c.Cost.Minutes)) + " to build."
	var missed []string
	for _, g := range c.Goals {
		if g.Goal.Wish > 0 && !g.Holds {
			missed = append(missed, g.Goal.Name())
		}
	}
	if len(missed) > 0 {
		out += " Wishes missed: " + list(missed) + "."
	}
	return out
}

// summary is the look in one line: "85 mm, f/2, 1/100 s, ISO 100; soft box key from
// camera left, 2 rims (amber), background light (deep blue)".
func summary(s *inventory.Studio, c *solver.Checked) string {
	cam := c.Setup.Camera
	dial := []string{cam.Aperture.String(), cam.Shutter.String(), cam.ISO.String()}
	if l := s.Lens(cam.Lens); l != nil {
		dial = slices.Insert(dial, 0, l.Focal.Focal())
	}
	var looks []string
	for _, look := range []struct {
		one  string
		many string
		of   []inventory.Role
	}{
		{"key", "", []inventory.Role{inventory.Key}},
		{"fill", "", []inventory.Role{inventory.Fill}},
		{"rim", "rims", []inventory.Role{inventory.RimLeft, inventory.RimRight}},
		{"hair light", "", []inventory.Role{inventory.Hair}},
		{"background light", "", []inventory.Role{inventory.Background}},
	} {
		var sets []*inventory.LightSet
		for _, r := range look.of {
			if l := lightOf(c, r); l != nil {
				sets = append(sets, &l.Set)
			}
		}
		switch len(sets) {
		case 0:
		case 1:
			looks = append(looks, oneLight(s, look.one, sets[0]))
		default:
			looks = append(looks, itoa(len(sets))+" "+look.many+gelsOf(s, sets))
		}
	}
	return strings.Join(dial, ", ") + "; " + strings.Join(looks, ", ")
}

func oneLight(s *inventory.Studio, role string, l *inventory.LightSet) string {
	switch role {
	case "key", "fill":
		out := "bare " + label(s, l.Head) + " as " + role
		if m := s.Modifier(l.Modifier); m != nil {
			out = m.Label() + " as " + role
		}
		if d := math.Round(l.Azimuth.Degrees()); d == 0 {
			out += " from the camera axis"
		} else {
			out += " from " + side(d)
		}
		return out + gelsOf(s, []*inventory.LightSet{l})
	}
	return role + gelsOf(s, []*inventory.LightSet{l})
}

// gelsOf names the gels of some lights, each once, in brackets.
func gelsOf(s *inventory.Studio, sets []*inventory.LightSet) string {
	var names []string
	for _, l := range sets {
		if g := s.Gel(l.Gel); g != nil && !slices.Contains(names, g.Label()) {
			names = append(names, g.Label())
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (" + list(names) + ")"
}

func lightOf(c *solver.Checked, r inventory.Role) *solver.LightReport {
	for i := range c.Lights {
		if c.Lights[i].Set.Role == r.String() {
			return &c.Lights[i]
		}
	}
	return nil
}

func label(s *inventory.Studio, id inventory.ID) string {
	if t, ok := s.Thing(id); ok {
		return t.Label()
	}
	return string(id)
}

func (p *page) heading(text string) {
	p.blank()
	p.line(text)
}

func (p *page) entry(name, text string) { p.field(blockIndent, labelColumn, name, text) }

func (p *page) camera(s *inventory.Studio, c *solver.Checked) {
	cam, r := c.Setup.Camera, c.Camera
	p.heading("Camera")
	p.entry("body", label(s, cam.Body)+", "+label(s, cam.Lens))
	p.entry("dial", cam.Aperture.String()+", "+cam.Shutter.String()+", "+cam.ISO.String())
	if r.Filter > 0 {
		p.entry("filter", "neutral, "+stops(float64(r.Filter))+", on the lens; meters are read without it")
	}
	p.entry("distance", p.tape(r.Distance)+" from lens to eyes; "+p.tape(r.Sensor)+" from the sensor mark to the eyes")
	p.entry("height", "lens "+p.tape(cam.Height)+" up, "+pitch(r.Pitch))
	p.entry("frame", p.tape(cam.Frame)+" high at the sitter")
	focus := p.units(r.Focus)
	if r.Near > 0 {
		if far := float64(r.Far); math.IsInf(far, 0) || far > 1e4 {
			focus += "; sharp from " + p.depth(r.Near) + " to beyond the backdrop"
		} else {
			focus += "; " + p.tape(r.Far-r.Near) + " deep, from " + p.depth(r.Near) + " to " + p.depth(r.Far) + " off the lens"
		}
	}
	p.entry("focus", focus)
}

// depth is a focus limit, closer than a tape: millimetres matter where little is sharp.
func (st Style) depth(l unit.Length) string {
	if st.Units == unit.Imperial {
		return fmt.Sprintf("%.2f ft", float64(l/unit.Foot))
	}
	return fmt.Sprintf("%.3f m", float64(l))
}

func pitch(a unit.Angle) string {
	switch d := math.Round(a.Degrees()); {
	case d < 0:
		return "looking down " + degrees(-a)
	case d > 0:
		return "looking up " + degrees(a)
	}
	return "looking level"
}

func (p *page) sitter(s *inventory.Studio, b *constraints.Brief, c *solver.Checked) {
	p.heading("Sitter and backdrop")
	p.entry("mark", "a tape cross on the floor under the eyes; every floor distance below is from it")
	if b != nil {
		p.entry("head", headTurn(b.Sitter.Turn))
	}
	if l := lightOf(c, inventory.Key); l != nil && l.Aim.Z > 0 {
		p.entry("eyes", p.tape(unit.Length(l.Aim.Z))+" up")
	}
	p.entry("backdrop", label(s, c.Setup.Backdrop.Item)+", "+p.tape(c.Setup.Backdrop.Distance)+" behind the eyes")
}

func headTurn(a unit.Angle) string {
	if d := math.Round(a.Degrees()); d != 0 {
		return "turned " + degrees(abs(a)) + " to " + side(d)
	}
	return "straight to the camera"
}

func (p *page) light(s *inventory.Studio, n int, l *solver.LightReport, c *solver.Checked) {
	name := roleTitles[l.Set.Role]
	if name == "" {
		name = l.Set.Role
	}
	p.blank()
	p.para(0, 3, itoa(n)+". "+name+": "+gear(s, &l.Set))
	p.entry("on", support(s, &l.Set))
	p.entry("place", p.place(l))
	p.entry("tape", p.onFloor(l)+"; face centre "+p.tape(unit.Length(l.At.Z))+" up")
	p.entry("aim", p.aim(l))
	p.entry("power", power(s, l))
	p.entry("meter", p.meter(l, c.Setup.Camera))
	p.entry("look", p.units(l.Words))
	p.entry("build", minutes(float64(l.Minutes)))
}

// gear lists what goes on the stand, from the tube outward.
func gear(s *inventory.Studio, l *inventory.LightSet) string {
	parts := []string{label(s, l.Head)}
	if l.Modifier != "" {
		parts = append(parts, label(s, l.Modifier))
	} else {
		parts = append(parts, "no modifier")
	}
	if l.Grid != "" {
		parts = append(parts, label(s, l.Grid))
	}
	if l.Gel != "" {
		parts = append(parts, "gel "+label(s, l.Gel))
	}
	return strings.Join(parts, ", ")
}

func support(s *inventory.Studio, l *inventory.LightSet) string {
	if l.Boom == "" {
		return label(s, l.Stand)
	}
	return label(s, l.Boom) + " on " + label(s, l.Stand)
}

// power is what to dial, and which of a head's two lights is used.
func power(s *inventory.Studio, l *solver.LightReport) string {
	out := l.Dialled
	if h := s.Head(l.Set.Head); h != nil && h.Flash != nil && h.Lamp != nil {
		if l.Set.Light == "lamp" {
			out += "; the lamp, flash switched off"
		} else if l.Set.Modelling {
			out += "; modelling lamp on"
		} else {
			out += "; modelling lamp off for the picture"
		}
	}
	return out
}

// meter is the reading to expect of one light alone, without what the room sends back.
func (st Style) meter(l *solver.LightReport, cam inventory.CameraSet) string {
	facing := ", facing the light: "
	if l.Set.Role == inventory.Background.String() {
		facing = ", flat on the paper and facing the lens: "
	}
	out := "alone, without the room, at " + target(l.Set.Role) + facing
	if l.Set.Light == "lamp" {
		out += lux(l.Lux) + ", or " + unit.MeterReading(l.Meter) + " at " + cam.Shutter.String() + " and " + cam.ISO.String()
	} else {
		out += unit.MeterReading(l.Meter) + " at " + cam.ISO.String()
	}
	out += ", " + againstCamera(l.Level)
	if d := math.Round(float64(l.Doubt)*10) / 10; d >= 0.1 {
		out += "; +-" + stops(d) + " until metered"
	}
	return out
}

// cards says where cards and flags stand, and what they throw together.
func (p *page) cards(s *inventory.Studio, c *solver.Checked) {
	for i := range c.Cards {
		k := &c.Cards[i]
		p.blank()
		p.para(0, 3, "Card: "+label(s, k.Set.Item))
		if k.Set.Stand != "" {
			p.entry("on", label(s, k.Set.Stand))
		}
		p.entry("place", p.tape(k.Set.Distance)+" from the eyes, "+bearing(k.Set.Azimuth)+", "+rise(k.Set.Elevation, "eye level"))
		p.entry("tape", p.across(k.At.X)+", "+p.along(k.At.Y)+"; centre "+p.tape(unit.Length(k.At.Z))+" up, turned "+turned(&k.Set))
	}
	if fill := float64(c.Camera.CardFill); len(c.Cards) > 0 && fill > -9 {
		p.entry("throws", stops(fill)+" "+underKey(fill)+" on the shadow side")
	}
}

// turned is where the lit side of a card faces.
func turned(k *inventory.CardSet) string {
	switch {
	case k.Throws != "":
		return "half-way between the eyes and the " + k.Throws
	case k.Shades != "":
		return "to the " + k.Shades
	}
	return "to the eyes"
}

func underKey(level float64) string {
	if level > 0 {
		return "over the key"
	}
	return "under the key"
}

// together is the reading of all lights at once, and what the meter is held to be.
func (p *page) together(s *inventory.Studio, c *solver.Checked) {
	cam := c.Setup.Camera
	if c.Camera.TogetherMeter <= 0 {
		return
	}
	p.heading("All lights together")
	text := "at the eyes, facing the key: " + unit.MeterReading(c.Camera.TogetherMeter) + " at "
	if slices.ContainsFunc(c.Setup.Lights, func(l inventory.LightSet) bool { return l.Light == "lamp" }) {
		text += cam.Shutter.String() + " and "
	}
	p.entry("meter", text+cam.ISO.String()+", "+againstCamera(c.Camera.Together)+", with what the room sends back")
	p.entry("alone", "readings of one light alone are without the room: shade the meter from what walls and ceiling send back")
	if v := c.Camera.VeilShare(); v > 0 {
		p.entry("veil", fmt.Sprintf("light that shines into the lens lays about %.2f %% of white over the picture", 100*v))
	}
	kind := "a flat disc"
	if s.Meter.Kind == "dome" {
		kind = "a dome"
	}
	p.entry("scale", fmt.Sprintf("readings are those of %s of C = %.0f lx s", kind, s.Meter.Constant))
}

func againstCamera(level unit.Stops) string {
	switch d := math.Round(float64(level)*10) / 10; {
	case math.IsInf(d, -1):
		return "nothing against the camera's setting"
	case d > 0:
		return stops(d) + " over the camera's setting"
	case d < 0:
		return stops(d) + " under the camera's setting"
	}
	return "equal to the camera's setting"
}
