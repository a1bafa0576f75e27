package solver

import (
	"slices"
	"strings"
	"testing"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
)

func cautionStudio() *inventory.Studio {
	item := func(id inventory.ID, mass unit.Mass) inventory.Item {
		return inventory.Item{ID: id, Count: 4, Mass: mass}
	}
	return &inventory.Studio{
		Heads: []inventory.Head{
			{Item: item("battery", 2), Flash: &inventory.Flash{Energy: 200}},
			{Item: item("mains", 2), Cable: 4, Flash: &inventory.Flash{Energy: 400, Amps: 6}},
			{Item: item("halogen", 2), Cable: 4, Flash: &inventory.Flash{Energy: 400, Amps: 6}, Lamp: &inventory.Lamp{Watts: 250, Hot: true}},
			{Item: item("led", 2), Lamp: &inventory.Lamp{Watts: 150, Main: true}},
		},
		Modifiers: []inventory.Modifier{
			{Item: item("box", 1), Type: "softbox", Shape: "rectangle", Face: unit.Size{W: 0.6, H: 0.6}, MaxLamp: 150},
			{Item: item("large", 1), Type: "softbox", Shape: "rectangle", Face: unit.Size{W: 1, H: 1}},
			{Item: item("reflector", 1), Type: "reflector", Shape: "disc", Face: unit.Size{W: 0.18, H: 0.18}},
		},
		Booms: []inventory.Boom{{Item: item("boom", 0), Reach: 1.2, Tail: 0.6, Load: 5}},
	}
}

// plain is a light that nothing need be said of.
func plainLight() LightReport {
	return LightReport{Set: inventory.LightSet{Role: "rim-left", Head: "led", Light: "lamp", Modifier: "box", Distance: 1.5, Azimuth: 2.4}, At: geom.Vec{X: -1, Y: -1, Z: 1.6}}
}

func cautionsOf(s *inventory.Studio, lights ...LightReport) []string {
	return Cautions(s, nil, &Checked{Setup: &inventory.Setup{}, Lights: lights})
}

func TestNoCautionWhereNoneApplies(t *testing.T) {
	if got := cautionsOf(cautionStudio(), plainLight()); len(got) != 0 {
		t.Errorf("got %q", got)
	}
}

// Each caution comes when its cause does, and not without it. Causes are common practice,
// no source, save that of circuits: NFPA 70 (US NEC) 210.20(A), 80 % of the fuse.
func TestCautionsApply(t *testing.T) {
	for _, c := range []struct {
		name, want string
		change     func(*inventory.Studio, *LightReport)
	}{
		{"boom", "hang the counterweight before the light", func(_ *inventory.Studio, l *LightReport) { l.Set.Boom = "boom" }},
		// 3 kg at 1.2 m balances 6 kg at 0.6 m: the lever law, with an arm of no mass.
		{"balance", "weighs 3.0 kg at the tip of a 1.20 m arm, which takes about 6.0 kg of counterweight at the end of its 0.60 m tail.",
			func(_ *inventory.Studio, l *LightReport) { l.Set.Boom = "boom" }},
		{"tall stand", "is more than 2 m up: put a sandbag", func(_ *inventory.Studio, l *LightReport) { l.At.Z = 2.1 }},
		{"large face", "has a face of more than 0.6 m2: put a sandbag", func(_ *inventory.Studio, l *LightReport) { l.Set.Modifier = "large" }},
		{"hot lamp in a box", "halogen lamp behind gel, fabric", func(_ *inventory.Studio, l *LightReport) { l.Set.Head = "halogen" }},
		{"lamp over the limit", "has a lamp of 250 W, and the modifier box takes 150 W", func(_ *inventory.Studio, l *LightReport) { l.Set.Head = "halogen" }},
		{"cable", "One mains cable lies on the floor", func(_ *inventory.Studio, l *LightReport) { l.Set.Head, l.Set.Light = "mains", "flash" }},
		{"flash", "photosensitive epilepsy", func(_ *inventory.Studio, l *LightReport) { l.Set.Head, l.Set.Light = "battery", "flash" }},
		{"hard flash near the eyes", "close both eyes for test pops", func(_ *inventory.Studio, l *LightReport) {
			l.Set = inventory.LightSet{Role: "key", Head: "battery", Light: "flash", Modifier: "reflector", Distance: 0.9}
		}},
		{"glare", "About 3200 lx of steady light", func(_ *inventory.Studio, l *LightReport) { l.Set.Role, l.Lux = "key", 3200 }},
	} {
		s, l := cautionStudio(), plainLight()
		c.change(s, &l)
		got := cautionsOf(s, l)
		if !slices.ContainsFunc(got, func(s string) bool { return strings.Contains(s, c.want) }) {
			t.Errorf("%s: no %q in %q", c.name, c.want, got)
		}
		if got[len(got)-1] != LastWord {
			t.Errorf("%s: the last word is missing", c.name)
		}
	}
}

func TestFlashFromBehindOrSoftNeedsNoClosedEyes(t *testing.T) {
	behind := LightReport{Set: inventory.LightSet{Role: "rim-left", Head: "battery", Light: "flash", Distance: 0.8, Azimuth: -150 * unit.Degree}}
	soft := LightReport{Set: inventory.LightSet{Role: "key", Head: "battery", Light: "flash", Modifier: "box", Distance: 0.8}}
	for _, l := range []LightReport{behind, soft} {
		for _, s := range cautionsOf(cautionStudio(), l) {
			if strings.Contains(s, "close both eyes") {
				t.Errorf("%s: %q", l.Set.Role, s)
			}
		}
	}
}

// 120 V 15 A carries 1440 W in continuous use, 20 A 1920 W (NFPA 70, 210.20(A)).
func TestCurrents(t *testing.T) {
	head := func() LightReport { return LightReport{Set: inventory.LightSet{Head: "mains"}} } // 6 A each
	for _, c := range []struct {
		heads    int
		circuits []inventory.Circuit
		want     string
	}{
		{2, []inventory.Circuit{{Volts: 120, Amps: 15}}, ""}, // 12 A of 15 is just 80 %
		{3, []inventory.Circuit{{Volts: 120, Amps: 15}}, "use fewer heads at a time"},
		{3, []inventory.Circuit{{Volts: 120, Amps: 15}, {Volts: 120, Amps: 15}}, "Spread the heads over the circuits"},
		{2, []inventory.Circuit{{Volts: 120, Amps: 10}, {Volts: 120, Amps: 20}}, "Use the circuit of 20 A"},
		{9, nil, ""},
	} {
		s := cautionStudio()
		s.Room.Circuits = c.circuits
		var lights []LightReport
		for range c.heads {
			lights = append(lights, head())
		}
		got := strings.Join(currents(s, &Checked{Lights: lights}), " ")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%d heads on %v: %q, want %q", c.heads, c.circuits, got, c.want)
		}
	}
}
