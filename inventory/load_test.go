package inventory_test

import (
	"strings"
	"testing"

	"falloff/inventory"
)

// What was not written gets the default that the comments of the types promise.
func TestDefaults(t *testing.T) {
	s := load(t, smallStudio)
	body, lens, head := s.Camera("body"), s.Lens("lens-85"), s.Head("mono")
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"crew", s.Crew, "alone"},
		{"meter", s.Meter.Constant, 250.0},
		{"meter kind", s.Meter.Kind, "plane"},
		{"standoff", s.Room.Standoff.String(), "30 cm"},
		{"behind", s.Room.Behind.String(), "60 cm"},
		{"count", body.Count, 1},
		{"fastest", body.Fastest.String(), "1/4000 s"},
		{"sync", body.Sync.String(), "1/160 s"},
		{"top ISO", body.TopISO.String(), "ISO 6400"},
		{"narrowest", lens.Narrowest.String(), "f/16"},
		{"pupil", lens.Pupil, 1.0},
		{"tube", head.Tube.String(), "50 mm"},
		{"dial", head.Dial, "fraction"},
		{"efficacy", float64(head.Flash.Efficacy), 35.0},
		{"flash colour", head.Flash.Kelvin.String(), "5600 K"},
		{"lamp colour", head.Lamp.Kelvin.String(), "5600 K"},
		{"doubt", float64(s.Modifier("box").Doubt), 0.5},
		{"gel in a box", s.Modifier("box").GelAt, "tube"},
		{"gel on a reflector", s.Modifier("pan").GelAt, "front"},
		{"open", s.Grid("comb").Open.String(), "90 %"},
		{"gel doubt", float64(s.Gel("amber").Doubt), 0.3},
		{"drop", s.Backdrop("black").Drop.String(), "2.7 m"},
		{"fires", s.Trigger("radio").Fires, 1},
		{"foot", s.Stand("post").Foot.String(), "45 cm"},
	} {
		if c.got != c.want {
			t.Errorf("%s is %v, want %v", c.what, c.got, c.want)
		}
	}
}

// A written zero is a value, not an omission.
func TestWrittenZero(t *testing.T) {
	s := load(t, with(t, smallStudio, "  height: 2.7 m\n", "  height: 2.7 m\n  standoff: 0 m\n"))
	if s.Room.Standoff != 0 {
		t.Errorf("standoff is %v, want 0", s.Room.Standoff)
	}
}

// Each case breaks the small studio in one place; the message names the place, what is
// there and what is allowed.
func TestRefusals(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"{id: card,", "{id: box,",
			`<<{id: ^box, face>>: card "box": id: it is the id of a modifier too; identical items are one entry with a count (see also <<{id: ^box, type>>)`},
		{"{id: post, count: 2,", "{id: post, count: 0,",
			`<<count: ^0>>: stand "post": count: 0 is outside 1 to 20000`},
		{"{id: post, count: 2,", "{id: post, count: 20000,",
			`<<^studio: Small>>: more than 20,000 items; a studio file holds at most that many, counts included`},
		{"width: 4 m", "width: 0.4 m",
			`<<width: ^0.4 m>>: room.width: 40 cm is outside 1 m to 50 m`},
		{"depth: 6 m", "depth: 60 m",
			`<<depth: ^60 m>>: room.depth: 60 m is outside 1 m to 50 m`},
		{"  height: 2.7 m\n", "  height: 2.7 m\n  standoff: 5 m\n  behind: 1 m\n",
			`<<depth: ^6 m>>: room.depth: standoff 5 m and behind 1 m leave nothing of a depth of 6 m`},
		{"cell: hex, cutoff: 30 deg", "cell: hex",
			`<<^{id: comb>>: grid "comb": give its cutoff (a full angle) or its ratio (cell depth / width)`},
		{"cell: hex, cutoff: 30 deg", "cell: hex, cutoff: 30 deg, ratio: 3",
			`<<ratio: ^3>>: grid "comb": ratio: give cutoff or ratio, not both`},
		{"cell: hex", "cell: hexa",
			`<<cell: ^hexa>>: grid "comb": cell: "hexa" is not one of square, hex, tube; did you mean "hex"?`},
		{"fits: [pan]", "fits: [pam]",
			`<<fits: ^[pam]>>: grid "comb": fits: no modifier has the id "pam"; did you mean "pan"?`},
		{"fits: [pan]", "fits: []",
			`<<fits: ^[]>>: grid "comb": fits: no modifier is named`},
		{"{id: amber, standard: amber}", "{id: amber}",
			`<<^{id: amber>>: gel "amber": a gel needs one of curve, table or standard; it has none`},
		{"standard: amber}", `standard: amber, curve: "0.5"}`,
			`<<standard: ^amber>>: gel "amber": standard: a gel needs one of curve, table or standard; it has curve and standard`},
		{"standard: amber}", "standard: ambre}",
			`<<standard: ^ambre>>: gel "amber": standard: no gel of the catalogue is called "ambre"; did you mean "amber"?`},
		// 0.5 + 1/(1 + exp(-(505 - 500)/10)) = 1.1225, the first sample above 1.
		{"standard: amber}", `curve: "0.5 + rise(500, 10)"}`,
			`<<curve: ^"0.5>>: gel "amber": curve: transmittance is 1.122 at 505 nm, outside 0 to 1`},
		{"standard: amber}", `table: [0.1, 0.2]}`,
			`<<table: ^[0.1>>: gel "amber": table: 2 values; it takes 81, for 380 to 780 nm by 5 nm`},
		{"energy: 300 Ws, ", "",
			`<<flash: ^{range>>: head "mono": flash: give its energy, or a metered guide number with a named modifier`},
		{"energy: 300 Ws,", "metered: {guide: 40 m, with: bax},",
			`<<with: ^bax>>: head "mono": flash.metered.with: no modifier has the id "bax"; did you mean "box"?`},
		{"energy: 300 Ws,", "metered: {guide: 40 m, with: pan, at: 60 m},",
			`<<at: ^60 m>>: head "mono": flash.metered.at: 60 m is outside 20 cm to 20 m`},
		{"energy: 300 Ws,", "energy: 300 Ws, efficacy: 90 lm/W,",
			`<<efficacy: ^90>>: head "mono": flash.efficacy: 90 lm/W is outside 15 lm/W to 50 lm/W`},
		{"range: 6 stops, step: 0.1 stops,", "range: 2 stops, step: 2.5 stops,",
			`<<step: ^2.5>>: head "mono": flash.step: 2.5 stops is more than the range, 2 stops`},
		{"range: 6 stops, step: 0.1 stops,", "range: 6 stops, step: 0 stops,",
			`<<step: ^0 stops>>: head "mono": flash.step: 0 stops is outside 0.01 stops to 3 stops`},
		{"range: 6 stops, step: 0.1 stops,", "range: -6 stops, step: 0.1 stops,",
			`<<range: ^-6>>: head "mono": flash.range: -6 stops is outside 0 stops to 15 stops`},
		{"recycle: 1 s", "recycle: 1 s, t05: 1/500 s, t01: 1/1000 s",
			`<<t01: ^1/1000>>: head "mono": flash.t01: 1 ms is shorter than t05, 2 ms; t0.1 is the longer of the two`},
		{"flux: 2000 lm, ", "",
			`<<lamp: ^{watts>>: head "mono": lamp: give its flux, metered lux with a named modifier, or watts with an efficacy as in 80 lm/W`},
		{"flux: 2000 lm, ", "flux: 2000 lm, metered: {lux: 100 lx, with: box, at: 1 m}, ",
			`<<flux: ^2000>>: head "mono": lamp.flux: give flux or a metered reading, not both`},
		{"sensor: 36 x 24 mm", "sensor: 24 x 36 mm",
			`<<sensor: ^24>>: camera "body": sensor: 24 x 36 mm has its short side first; the long side comes first`},
		{"base_iso: 100", "base_iso: 100, top_iso: 50",
			`<<top_iso: ^50>>: camera "body": top_iso: ISO 50 is below base_iso, ISO 100`},
		{"base_iso: 100", "base_iso: 100, fastest: 1/100 s, sync: 1/200 s",
			`<<sync: ^1/200>>: camera "body": sync: 1/200 s is faster than the fastest shutter, 1/100 s`},
		{"widest: f/1.4,", "widest: f/1.4, narrowest: f/1,",
			`<<narrowest: ^f/1,>>: lens "lens-85": narrowest: f/1 is wider than widest, f/1.4`},
		{"shape: disc, face: 18 cm", "shape: disc, face: 18 x 20 cm",
			`<<face: ^18 x 20>>: modifier "pan": face: a disc of 18 x 20 cm; its two sizes must be equal`},
		{"type: softbox", "type: softbx",
			`<<type: ^softbx>>: modifier "box": type: "softbx" is not one of softbox, strip, octabox, dish, reflector, umbrella, snoot, lantern, panel; did you mean "softbox"?`},
		{"fits: [studio], shape: rectangle", "fits: [], shape: rectangle",
			`<<fits: ^[], shape>>: modifier "box": fits: no mount is named`},
		{"height: 2.6 m, load", "lowest: 3 m, height: 2.6 m, load",
			`<<lowest: ^3 m>>: stand "post": lowest: 3 m is above height, 2.6 m`},
		{"  - {id: radio}", "  - {id: none}",
			`<<id: ^none>>: trigger "none": id: "none" is reserved`},
		{"studio: Small\n", "studio: Small\ncrew: two\n",
			`<<crew: ^two>>: crew: "two" is not one of alone, assisted`},
		{"studio: Small\n", "studio: Small\nmeter: {kind: dome, constant: 250}\n",
			`<<constant: ^250>>: meter.constant: 250 is outside 320 to 540`},
	} {
		text := with(t, smallStudio, c.old, c.new)
		s, err := inventory.LoadFrom(file(text))
		if err == nil || s != nil {
			t.Errorf("%q was let through", c.new)
			continue
		}
		if got, want := err.Error(), placed(t, text, c.want); got != want {
			t.Errorf("%q gives\n%s\nwant\n%s", c.new, got, want)
		}
	}
}

// The reader of values says what is wrong with a value by itself, with its allowed range.
func TestRefusedValues(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"reflectance: 88 %", "reflectance: 1.3", `<<reflectance: ^1.3>>: cards[0].reflectance: "1.3": a share lies between 0 % and 100 %`},
		{"widest: f/1.4", "widest: f/0", `<<widest: ^f/0>>: lenses[0].widest: "f/0": an f-number lies between f/0.5 and f/128`},
		{"height: 2.6 m", "height: -2.6 m", `<<height: ^-2.6>>: stands[0].height: "-2.6 m": a length lies between 0 m and 1000 m`},
		{"focal: 85 mm", "focal: 85", `<<focal: ^85>>: lenses[0].focal: "85": a length needs a unit, as in 1.2 m or 4 ft 6 in`},
		{"focal: 85 mm", "focal: 85 Ws", `<<focal: ^85>>: lenses[0].focal: "85 Ws": "Ws" is a unit of energy; a length is written as in 1.2 m or 4 ft 6 in`},
		{"cutoff: 30 deg", "cutof: 30 deg", `<<^cutof>>: grids[0].cutof: unknown key; did you mean "cutoff"?`},
		{"load: 8 kg", "lod: 8 kg", `<<^lod>>: stands[0].lod: unknown key; did you mean "load"?`},
		{"load: 8 kg", "load: .nan", `<<load: ^.nan>>: stands[0].load: ".nan": this is not a mass; write one as in 3.5 kg or 8 lb`},
	} {
		text := with(t, smallStudio, c.old, c.new)
		_, err := inventory.LoadFrom(file(text))
		if err == nil {
			t.Errorf("%q was let through", c.new)
		} else if got, want := err.Error(), placed(t, text, c.want); got != want {
			t.Errorf("%q gives\n%s\nwant\n%s", c.new, got, want)
		}
	}
}

// All that is wrong is said at once, in the order of the file.
func TestManyErrors(t *testing.T) {
	text := with(t, smallStudio, "width: 4 m", "width: 0.4 m")
	text = with(t, text, "count: 2", "count: 0")
	_, err := inventory.LoadFrom(file(text))
	want := placed(t, text, `<<width: ^0.4 m>>: room.width: 40 cm is outside 1 m to 50 m
<<count: ^0>>: stand "post": count: 0 is outside 1 to 20000`)
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

// A hire list has no room; its counts and fits are still checked.
func TestHireListNeedsNoRoom(t *testing.T) {
	a, b := strings.Index(smallStudio, "room:"), strings.Index(smallStudio, "cameras:")
	s := load(t, smallStudio[:a]+smallStudio[b:])
	if s.HasRoom() {
		t.Error("a room appeared")
	}
}

// A counted flood of items and a listed one are both refused, and fast.
func TestTooManyItems(t *testing.T) {
	var b strings.Builder
	b.WriteString("studio: Flood\nstands:\n")
	for range 20_001 {
		b.WriteString("- {id: a, height: 2 m, load: 4 kg}\n")
	}
	_, err := inventory.LoadFrom(file(b.String()))
	if err == nil || !strings.Contains(err.Error(), "more than 20,000 items") {
		t.Errorf("a list of 20,001: %.200v", err)
	}
	_, err = inventory.LoadFrom(file("studio: Flood\nstands:\n- {id: a, count: 9223372036854775807, height: 2 m, load: 4 kg}\n- {id: b, count: 9223372036854775807, height: 2 m, load: 4 kg}\n"))
	if err == nil || !strings.Contains(err.Error(), "more than 20,000 items") {
		t.Errorf("a count of 2^63-1: %.200v", err)
	}
}
