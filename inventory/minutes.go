package inventory

import (
	"falloff/model/source"
	"falloff/model/unit"
)

// Action is something that a photographer does with the kit and that takes time.
type Action int

const (
	NudgeLight     Action = iota // under 30 cm, or a tilt
	MoveStand                    // across the set, with its cable
	PowerByRemote                // one light
	PowerAtHead                  // one light
	PlaceCard                    // a card or flag on a stand
	AddGrid                      // on any modifier
	GelAtFront                   // over a reflector
	GelInBox                     // at the tube inside a box
	SwapReflector                // any rigid modifier, or an umbrella
	SwapBox                      // a box that is already built
	BuildBox                     // from its bag
	CoolHotLamp                  // what a halogen lamp adds to a swap
	NewLight                     // on a stand, powered, triggered, aimed
	RigBoom                      // with its counterweight
	LensChange                   // with reframing
	MeterLight                   // one light again
	MeterSet                     // a full set of four
	PaperChange                  // roll down or up on a rack
	RollChange                   // another roll on stands
	MoveBackground               // on stands, by a metre
	MoveMark                     // the sitter's, by a metre
	TurnFace                     // of the sitter, with the eyes' new place
	MoveCamera                   // a step nearer or farther, with reframing and focus
	SetCamera                    // aperture, shutter or ISO
	numActions
)

// handling is the midpoint of the range that working photographers give, in minutes, for
// one person and with an assistant. All from memory, no source; a studio file overrides
// each with "times".
var handling = [numActions]struct{ alone, assisted unit.Minutes }{
	NudgeLight:     {0.5, 0.3},   // 0.3..0.7, 0.2..0.4
	MoveStand:      {2, 1.1},     // 1..3, 0.7..1.5
	PowerByRemote:  {0.1, 0.1},   //
	PowerAtHead:    {0.3, 0.1},   //
	PlaceCard:      {1.5, 0.65},  // 1..2, 0.3..1
	AddGrid:        {1.35, 0.75}, // 0.7..2, 0.5..1
	GelAtFront:     {1.35, 0.75}, // 0.7..2, 0.5..1
	GelInBox:       {4, 2.5},     // 3..5, 2..3
	SwapReflector:  {1.75, 1},    // 1..2.5, 1
	SwapBox:        {3, 2.25},    // 2..4, 1.5..3
	BuildBox:       {7.5, 4.5},   // 5..10, 3..6
	CoolHotLamp:    {3, 3},       //
	NewLight:       {6, 4},       // 4..8, 3..5
	RigBoom:        {9, 5.5},     // 6..12, 4..7
	LensChange:     {1, 0.5},     // 0.5..1.5, 0.5
	MeterLight:     {0.5, 0.2},   // 0.3..0.7, 0.2
	MeterSet:       {3, 1.5},     // 2..4, 1..2
	PaperChange:    {2, 1.5},     // 1..3, 1..2
	RollChange:     {7.5, 4.5},   // 5..10, 3..6
	MoveBackground: {6.5, 4},     // 5..8, 3..5
	MoveMark:       {1, 1},       //
	TurnFace:       {0.35, 0.35}, // 0.2..0.5
	MoveCamera:     {0.25, 0.25}, // 0..0.5
	SetCamera:      {0.1, 0.1},   //
}

// Times replaces handling times by a studio's own.
type Times struct {
	source.Places
	NudgeLight     unit.Minutes `yaml:"nudge_light,omitempty"`
	MoveStand      unit.Minutes `yaml:"move_stand,omitempty"`
	PowerByRemote  unit.Minutes `yaml:"power_by_remote,omitempty"`
	PowerAtHead    unit.Minutes `yaml:"power_at_head,omitempty"`
	PlaceCard      unit.Minutes `yaml:"place_card,omitempty"`
	AddGrid        unit.Minutes `yaml:"add_grid,omitempty"`
	GelAtFront     unit.Minutes `yaml:"gel_at_front,omitempty"`
	GelInBox       unit.Minutes `yaml:"gel_in_box,omitempty"`
	SwapReflector  unit.Minutes `yaml:"swap_reflector,omitempty"`
	SwapBox        unit.Minutes `yaml:"swap_box,omitempty"`
	BuildBox       unit.Minutes `yaml:"build_box,omitempty"`
	CoolHotLamp    unit.Minutes `yaml:"cool_hot_lamp,omitempty"`
	NewLight       unit.Minutes `yaml:"new_light,omitempty"`
	RigBoom        unit.Minutes `yaml:"rig_boom,omitempty"`
	LensChange     unit.Minutes `yaml:"lens_change,omitempty"`
	MeterLight     unit.Minutes `yaml:"meter_light,omitempty"`
	MeterSet       unit.Minutes `yaml:"meter_set,omitempty"`
	PaperChange    unit.Minutes `yaml:"paper_change,omitempty"`
	RollChange     unit.Minutes `yaml:"roll_change,omitempty"`
	MoveBackground unit.Minutes `yaml:"move_background,omitempty"`
	MoveMark       unit.Minutes `yaml:"move_mark,omitempty"`
	TurnFace       unit.Minutes `yaml:"turn_face,omitempty"`
	MoveCamera     unit.Minutes `yaml:"move_camera,omitempty"`
	SetCamera      unit.Minutes `yaml:"set_camera,omitempty"`
}

// actionTime pairs an action with its key and its value in Times.
type actionTime struct {
	key string
	own unit.Minutes
}

func (t *Times) all() [numActions]actionTime {
	return [numActions]actionTime{
		NudgeLight: {"nudge_light", t.NudgeLight}, MoveStand: {"move_stand", t.MoveStand},
		PowerByRemote: {"power_by_remote", t.PowerByRemote}, PowerAtHead: {"power_at_head", t.PowerAtHead},
		PlaceCard: {"place_card", t.PlaceCard}, AddGrid: {"add_grid", t.AddGrid},
		GelAtFront: {"gel_at_front", t.GelAtFront}, GelInBox: {"gel_in_box", t.GelInBox},
		SwapReflector: {"swap_reflector", t.SwapReflector}, SwapBox: {"swap_box", t.SwapBox},
		BuildBox: {"build_box", t.BuildBox}, CoolHotLamp: {"cool_hot_lamp", t.CoolHotLamp},
		NewLight: {"new_light", t.NewLight}, RigBoom: {"rig_boom", t.RigBoom},
		LensChange: {"lens_change", t.LensChange}, MeterLight: {"meter_light", t.MeterLight},
		MeterSet: {"meter_set", t.MeterSet}, PaperChange: {"paper_change", t.PaperChange},
		RollChange: {"roll_change", t.RollChange}, MoveBackground: {"move_background", t.MoveBackground},
		MoveMark: {"move_mark", t.MoveMark}, TurnFace: {"turn_face", t.TurnFace},
		MoveCamera: {"move_camera", t.MoveCamera}, SetCamera: {"set_camera", t.SetCamera},
	}
}

// Assisted reports whether an assistant's handling times count.
func (s *Studio) Assisted() bool { return s.Crew == CrewAssisted }

// Minutes is how long an action takes in this studio: its own time where it gives one,
// else the usual one for its crew.
func (s *Studio) Minutes(a Action) unit.Minutes {
	if own := s.Times.all()[a]; s.Times.Wrote(own.key) || own.own > 0 {
		return own.own
	}
	if s.Assisted() {
		return handling[a].assisted
	}
	return handling[a].alone
}

// MountMinutes is the time to put a modifier on a head. A head lives with its reflector
// on, so that costs nothing and taking it off for a bare tube costs a swap. Boxes stand
// built, as they do in a studio that has a wall for them.
func (s *Studio) MountMinutes(m *Modifier) unit.Minutes {
	switch {
	case m != nil && m.Type == "reflector":
		return 0
	case m == nil || m.Type == "umbrella" || !modifierTypes[m.Type].soft:
		return s.Minutes(SwapReflector)
	}
	return s.Minutes(SwapBox)
}

// SwapMinutes is the time to take one modifier off a head and put another on (nil: bare).
// A hot lamp cools first.
func (s *Studio) SwapMinutes(h *Head, from, to *Modifier) unit.Minutes {
	t := max(s.swapMinutes(from), s.swapMinutes(to))
	if h != nil && h.Lamp != nil && h.Lamp.Hot {
		t += s.Minutes(CoolHotLamp)
	}
	return t
}

func (s *Studio) swapMinutes(m *Modifier) unit.Minutes {
	if m != nil && m.Type != "umbrella" && modifierTypes[m.Type].soft {
		return s.Minutes(SwapBox)
	}
	return s.Minutes(SwapReflector)
}

// GelMinutes is the time to gel a head in a modifier (nil: bare).
func (s *Studio) GelMinutes(m *Modifier) unit.Minutes {
	if m != nil && m.GelAt == GelTube {
		return s.Minutes(GelInBox)
	}
	return s.Minutes(GelAtFront)
}

// LightMinutes is the time to rig one light from nothing and meter it: stand, head and
// cable, modifier, grid, gel and boom as the set-up has them.
func (s *Studio) LightMinutes(l LightSet) unit.Minutes {
	m := s.Modifier(l.Modifier)
	t := s.Minutes(NewLight) + s.MountMinutes(m) + s.Minutes(MeterLight)
	if l.Grid != "" {
		t += s.Minutes(AddGrid)
	}
	if l.Gel != "" {
		t += s.GelMinutes(m)
	}
	if l.Boom != "" {
		t += s.Minutes(RigBoom)
	}
	return t
}
