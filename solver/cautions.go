package solver

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// Limits from which a caution is printed. They inform and promise nothing.
const (
	tallStand  unit.Length      = 2     // face centre or stand top; common practice, no source
	largeFace  unit.Area        = 0.6   // common practice, no source
	nearEyes   unit.Length      = 1     // a hard flash; common practice, no source
	glare      unit.Illuminance = 3000  // steady light at the eyes that most people find hard to face; from memory
	leastVeil                   = 0.005 // share of white from which a veil is seen in a dark picture; from memory
	cutShort                    = 0.1   // stops of flash lost to a closing shutter; a meter shows no less
	keptShare                   = 0.8   // continuous load, NFPA 70 (US NEC) 210.20(A): 1/1.25; other codes differ
	sidewaysOf                  = 100   // deg from the camera axis: beyond, a light does not shine into the eyes
)

// LastWord ends every list of cautions.
const LastWord = "Follow local codes, the maker's manual and licensed practice."

// Cautions lists what to mind while building and using this set-up, as full sentences:
// only what applies to it, then LastWord. It is empty where nothing applies. It informs;
// it is no promise of safety.
func Cautions(s *inventory.Studio, b *constraints.Brief, c *Checked) []string {
	var out []string
	for _, find := range []func(*inventory.Studio, *Checked) []string{
		overhead, topHeavy, hotLamps, lampOverLimit, currents, cables, lateFlash, veiling, flashAtEyes, photosensitive, steadyGlare,
	} {
		out = append(out, find(s, c)...)
	}
	if len(out) > 0 {
		out = append(out, LastWord)
	}
	return out
}

// theLight names a light in the middle of a sentence.
func theLight(l *LightReport) string {
	switch l.Set.Role {
	case "rim-left":
		return "the rim light on camera left"
	case "rim-right":
		return "the rim light on camera right"
	case "hair", "background", "fill", "key":
		return "the " + l.Set.Role + " light"
	}
	return "the " + l.Set.Role
}

func theLights(ls []*LightReport) string {
	var names []string
	for _, l := range ls {
		names = append(names, theLight(l))
	}
	return list(names)
}

func sentence(format string, args ...any) string {
	s := fmt.Sprintf(format, args...)
	return strings.ToUpper(s[:1]) + s[1:]
}

// these finds the lights of which something is true.
func these(c *Checked, is func(*LightReport) bool) []*LightReport {
	var out []*LightReport
	for i := range c.Lights {
		if is(&c.Lights[i]) {
			out = append(out, &c.Lights[i])
		}
	}
	return out
}

// overhead is about booms, with the balance by the lever law where the masses are known.
func overhead(s *inventory.Studio, c *Checked) []string {
	var out []string
	hung := these(c, func(l *LightReport) bool { return l.Set.Boom != "" })
	for _, l := range hung {
		boom, head := s.Boom(l.Set.Boom), s.Head(l.Set.Head)
		if boom == nil || head == nil || head.Mass == 0 {
			continue
		}
		light := inventory.LightMass(head, s.Modifier(l.Set.Modifier), s.Grid(l.Set.Grid))
		text := sentence("%s weighs %.1f kg at the tip of a %.2f m arm, which takes about %.1f kg of counterweight",
			theLight(l), light, boom.Reach, boom.Counterweight(light))
		if boom.Tail > 0 {
			text += fmt.Sprintf(" at the end of its %.2f m tail", boom.Tail)
		}
		out = append(out, text+".")
	}
	if len(hung) > 0 {
		out = append(out, sentence("%s %s on a boom: hang the counterweight before the light, tie the head to the arm with a safety cord, "+
			"put the tall leg of the stand under the load, and keep everybody from under it while you adjust it.", theLights(hung), verb(hung, "hangs", "hang")))
	}
	return out
}

// lateFlash is about flash that the closing shutter cuts: a meter reads it all, the picture
// does not get it all.
func lateFlash(s *inventory.Studio, c *Checked) []string {
	lost := cutOff(s, c.Setup)
	var late []string
	for _, l := range these(c, func(l *LightReport) bool { return lost[l.Set.Role] > cutShort }) {
		gives := ""
		if len(late) == 0 {
			gives = " gives"
		}
		late = append(late, theLight(l)+gives+" "+amount(lost[l.Set.Role]))
	}
	if len(late) == 0 {
		return nil
	}
	window := s.Camera(c.Setup.Camera.Body).Window(c.Setup.Camera.Shutter)
	return []string{fmt.Sprintf("At %s the frame is fully open for about %.1f ms, and the flash is longer: %s less than the meter shows. Take a slower shutter, or see it in a test frame.",
		c.Setup.Camera.Shutter, 1000*float64(window), list(late))}
}

// amount is a number of stops: "0.6 stop".
func amount(stops float64) string {
	if math.Round(10*stops) > 10 {
		return fmt.Sprintf("%.1f stops", stops)
	}
	return fmt.Sprintf("%.1f stop", stops)
}

// cutOff is what the closing shutter cuts from each flash, in stops, by role.
func cutOff(s *inventory.Studio, set *inventory.Setup) map[string]float64 {
	out := map[string]float64{}
	body := s.Camera(set.Camera.Body)
	if body == nil {
		return out
	}
	window := body.Window(set.Camera.Shutter)
	for _, l := range set.Lights {
		if h := s.Head(l.Head); l.Light == "flash" && h != nil && h.Flash != nil {
			out[l.Role] = -math.Log2(max(1e-3, h.Flash.Caught(window, l.Power)))
		}
	}
	return out
}

// veiling is about lights that shine into the lens: the veil lifts what should be black.
func veiling(_ *inventory.Studio, c *Checked) []string {
	total := 0.0
	in := these(c, func(l *LightReport) bool {
		role, _ := inventory.RoleByName(l.Set.Role)
		total += c.Camera.Veil[role]
		return c.Camera.Veil[role] > 0
	})
	if total < leastVeil {
		return nil
	}
	// A veil of v of white is log2 (v / 0.18) stops from middle grey.
	return []string{sentence("%s %s into the lens: a veil of about %.1f %% of white, so no black comes out under %.1f stops from middle grey. Put on a hood, or a flag between light and lens.",
		theLights(in), verb(in, "shines", "shine"), 100*total, math.Log2(total/0.18))}
}

func verb(ls []*LightReport, one, many string) string {
	if len(ls) == 1 {
		return one
	}
	return many
}

// topHeavy is about stands that a brush-past can tip.
func topHeavy(s *inventory.Studio, c *Checked) []string {
	tall := these(c, func(l *LightReport) bool { return unit.Length(l.At.Z) > tallStand })
	large := these(c, func(l *LightReport) bool { return faceArea(s.Modifier(l.Set.Modifier)) > largeFace })
	if len(tall)+len(large) == 0 {
		return nil
	}
	var why []string
	if len(tall) > 0 {
		why = append(why, fmt.Sprintf("%s %s more than %.0f m up", theLights(tall), verb(tall, "is", "are"), tallStand))
	}
	if len(large) > 0 {
		why = append(why, fmt.Sprintf("%s %s a face of more than %.1f m2", theLights(large), verb(large, "has", "have"), largeFace))
	}
	return []string{sentence("%s: put a sandbag of 7 to 10 kg or more on the leg under the load, clear of the floor so that it pulls.", strings.Join(why, "; "))}
}

func faceArea(m *inventory.Modifier) unit.Area {
	switch {
	case m == nil:
		return 0
	case m.Shape == "disc":
		return unit.Area(math.Pi / 4 * float64(m.Face.W*m.Face.W))
	case m.Shape == "octagon": // corner to corner
		return unit.Area(2 * math.Sqrt2 / 4 * float64(m.Face.W*m.Face.W))
	}
	return unit.Area(m.Face.W * m.Face.H)
}

// lit reports whether a head's lamp burns, as the light or as the modelling lamp.
func lit(l *LightReport) bool { return l.Set.Light == "lamp" || l.Set.Modelling }

var closedTypes = []string{"softbox", "strip", "octabox", "umbrella", "lantern", "snoot"}

func hotLamps(s *inventory.Studio, c *Checked) []string {
	hot := these(c, func(l *LightReport) bool {
		h, m := s.Head(l.Set.Head), s.Modifier(l.Set.Modifier)
		covered := l.Set.Gel != "" || m != nil && slices.Contains(closedTypes, m.Type)
		return h != nil && h.Lamp != nil && h.Lamp.Hot && lit(l) && covered
	})
	if len(hot) == 0 {
		return nil
	}
	return []string{sentence("%s %s a halogen lamp behind gel, fabric or a closed tube: keep the lamp at half or off between frames, leave air around the gel, "+
		"and let metal cool before you touch it.", theLights(hot), verb(hot, "has", "have"))}
}

func lampOverLimit(s *inventory.Studio, c *Checked) []string {
	var out []string
	for i := range c.Lights {
		l := &c.Lights[i]
		h, m := s.Head(l.Set.Head), s.Modifier(l.Set.Modifier)
		if h == nil || h.Lamp == nil || m == nil || m.MaxLamp <= 0 || h.Lamp.Watts <= m.MaxLamp {
			continue
		}
		out = append(out, sentence("%s has a lamp of %.0f W, and the modifier %s takes %.0f W: keep that lamp off, or fit a weaker one.",
			theLight(l), h.Lamp.Watts, m.Label(), m.MaxLamp))
	}
	return out
}

// currents compares what the heads can draw with the room's circuits. The sum is of the
// ratings: packs that recycle together peak together.
func currents(s *inventory.Studio, c *Checked) []string {
	circuits := s.Room.Circuits
	if len(circuits) == 0 {
		return nil
	}
	strongest := slices.MaxFunc(circuits, func(a, b inventory.Circuit) int { return cmp.Compare(a.Amps*a.Volts, b.Amps*b.Volts) })
	weakest := slices.MinFunc(circuits, func(a, b inventory.Circuit) int { return cmp.Compare(a.Amps*a.Volts, b.Amps*b.Volts) })
	draw := 0.0
	for i := range c.Lights {
		if h := s.Head(c.Lights[i].Set.Head); h != nil {
			draw += h.Amps(strongest.Volts)
		}
	}
	watts, room := draw*strongest.Volts, 0.0
	for _, k := range circuits {
		room += keptShare * k.Amps * k.Volts
	}
	text := fmt.Sprintf("The heads can draw up to %.1f A together at %.0f V. Circuits here are fused at %s; where the code asks for it a continuous load stays at or below 80 %%",
		draw, strongest.Volts, fuses(circuits))
	switch {
	case watts <= keptShare*weakest.Amps*weakest.Volts:
		return nil
	case watts > room:
		return []string{text + ". That is more than they carry in that way: use fewer heads at a time, or battery heads."}
	case watts > keptShare*strongest.Amps*strongest.Volts:
		return []string{text + ". Spread the heads over the circuits, and keep kettle, steamer and hair dryer off them."}
	}
	return []string{text + ". Use the circuit of " + fmt.Sprintf("%g A", strongest.Amps) + ", and keep kettle, steamer and hair dryer off it."}
}

func fuses(circuits []inventory.Circuit) string {
	var out []string
	for _, k := range circuits {
		out = append(out, fmt.Sprintf("%g A", k.Amps))
	}
	return list(out)
}

func cables(s *inventory.Studio, c *Checked) []string {
	wired := these(c, func(l *LightReport) bool { h := s.Head(l.Set.Head); return h != nil && h.Cable > 0 })
	switch n := len(wired); n {
	case 0:
		return nil
	case 1:
		return []string{"One mains cable lies on the floor: lead it along a wall, tape or mat it where people walk, and leave slack at the stand."}
	default:
		return []string{fmt.Sprintf("%d mains cables lie on the floor: lead them along the walls, tape or mat them where people walk, and leave slack at the stands.", n)}
	}
}

// flashAtEyes is about bare or hard flash that faces the sitter from close by.
func flashAtEyes(s *inventory.Studio, c *Checked) []string {
	hard := these(c, func(l *LightReport) bool {
		m := s.Modifier(l.Set.Modifier)
		isHard := m == nil || m.Type == "reflector" || m.Type == "snoot"
		faces := l.Set.Role != "background" && math.Abs(l.Set.Azimuth.Degrees()) < sidewaysOf
		return l.Set.Light == "flash" && isHard && faces && l.Set.Distance < nearEyes
	})
	if len(hard) == 0 {
		return nil
	}
	return []string{sentence("%s %s hard flash within %.0f m of the eyes: have the sitter close both eyes for test pops.", theLights(hard), verb(hard, "is", "are"), nearEyes)}
}

// photosensitive quotes the band in which flicker matters, which single frames are far
// below (Epilepsy Society and Epilepsy Ireland: 3 to 30 Hz, under 3 Hz uncommon).
func photosensitive(_ *inventory.Studio, c *Checked) []string {
	if len(these(c, func(l *LightReport) bool { return l.Set.Light == "flash" })) == 0 {
		return nil
	}
	return []string{"Before the first flash ask the sitter and the crew about photosensitive epilepsy and migraine, and avoid bursts faster than 3 per second."}
}

func steadyGlare(_ *inventory.Studio, c *Checked) []string {
	var sum unit.Illuminance
	for i := range c.Lights {
		l := &c.Lights[i]
		if l.Set.Light == "lamp" && (l.Set.Role == "key" || l.Set.Role == "fill") {
			sum += l.Lux
		}
	}
	if sum <= glare {
		return nil
	}
	return []string{fmt.Sprintf("About %.0f lx of steady light reaches the eyes, which is hard to look into: dim it between frames, and ask the maker for the lamp's risk group (IEC 62471).",
		math.Round(float64(sum)/100)*100)}
}
