package inventory_test

import (
	"strings"
	"testing"

	"falloff/inventory"
)

func TestLintOfSmallStudio(t *testing.T) {
	if found := inventory.Lint(load(t, smallStudio)); len(found) != 0 {
		t.Errorf("a sound studio has findings: %v", found)
	}
}

// Each case changes the small studio in one place. The last figure of a current: 300 Ws in 1 s at
// three quarters efficiency and 100 W of lamp are 500 W, 2.2 A at 230 V.
func TestFindings(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"type: softbox, fits: [studio]", "type: softbox, fits: [studo]",
			`<<fits: ^[studo]>>: useless: modifier "box" fits studo, and no head has that mount (nearest: studio).`},
		{"law: 3, mass: 0.4 kg", "law: 3, max_lamp: 60 W, mass: 0.4 kg",
			`<<max_lamp: ^60>>: useless: modifier "pan" takes lamps up to 60 W, and the weakest lamp that fits it, in "mono", has 100 W.
<<fits: ^[pan]>>: useless: grid "comb" sits on pan, and no head takes that.`},
		{"    mass: 2 kg\n    bare: true", "    mass: 9 kg\n    bare: true",
			`<<mass: ^9>>: useless: head "mono" weighs 9 kg bare and the strongest stand, "post", carries 8 kg.
<<load: ^8>>: useless: stand "post" carries 8 kg, and the lightest head weighs 9 kg.
<<load: ^4>>: useless: boom "arm" carries 4 kg at its tip, and the lightest head weighs 9 kg.`},
		{"height: 2.6 m, load: 8 kg", "height: 2.6 m, load: 3 kg",
			`<<load: ^4>>: useless: boom "arm" with its counterweight and the lightest head, "mono", weighs 7 kg, and the strongest stand, "post", carries 3 kg.`},
		{"height: 2.6 m, load", "lowest: 2.8 m, height: 3.6 m, load",
			`<<lowest: ^2.8>>: useless: stand "post" is at least 2.8 m high, and the room is 2.7 m.`},
		{"height: 2.6 m, load", "height: 0.9 m, load",
			`<<height: ^0.9>>: note: stand "post" goes up to 90 cm, below the eyes of a seated sitter (1.22 m), so it serves background and floor lights only.`},
		{"{id: amber, standard: amber}", "{id: amber, standard: amber, fits: [studi]}",
			`<<fits: ^[studi]>>: useless: gel "amber" fits studi, and no head with that mount takes a gel (nearest: studio).`},
		{"focal: 85 mm", "focal: 400 mm",
			`<<focal: ^400>>: warning: lens "lens-85" needs 5.96 m for a 50 cm frame, and the room leaves 4.8 m in front of the camera.`},
		{"nearest: 0.8 m", "nearest: 3 m",
			`<<nearest: ^3>>: warning: lens "lens-85" does not focus nearer than 3 m, too far for a 75 cm frame.`},
		{"{id: lens-85, mount: ff", "{id: lens-85, mount: fff",
			`<<mount: ^ff, sensor>>: useless: camera "body" has the mount "ff", and no lens fits it (nearest: fff).
<<mount: ^fff>>: useless: lens "lens-85" has the mount "fff", and no camera has it (nearest: ff).`},
		{"triggers:\n  - {id: radio}\n", "",
			`<<heads:\n  ^- id>>: warning: There are flash heads and no trigger, so nothing fires them.`},
		{"width: 2.72 m", "width: 5 m",
			`<<width: ^5 m>>: useless: backdrop "black" is 5 m wide, and the room is 4 m.`},
		{"{id: card,", "{id: card, name: Black,",
			`<<^{id: black>>: warning: backdrop "black" has the name of card "card" (<<name: ^Black>>), "black"; a set sheet cannot tell them apart.`},
		{"circuits: [{volts: 230, amps: 16}]", "circuits: [{volts: 230, amps: 2}]",
			`<<id: ^mono>>: useless: head "mono" draws 2.2 A, and no circuit gives more than 2 A.`},
		{"    mass: 2 kg\n    bare: true", "    bare: true",
			`<<- ^id: mono>>: note: head "mono" has no mass, so loads are taken to be safe.`},
		{"    flash: {energy: 300 Ws, range: 6 stops, step: 0.1 stops, recycle: 1 s}\n", "",
			`<<lamp: ^{flux>>: warning: head "mono" is a lamp that is not marked "main: true", so it lights no picture.
<<id: ^radio>>: useless: trigger "radio" fires flash heads, and there is none.`},
		{"    mount: studio\n    mass: 2 kg\n    bare: true\n", "    mount: heavy\n    mass: 2 kg\n",
			`<<mount: ^heavy>>: useless: head "mono" has the mount "heavy", which no modifier fits, and may not be used bare.
<<fits: ^[studio], shape: rect>>: useless: modifier "box" fits studio, and no head has that mount.
<<fits: ^[studio], shape: disc>>: useless: modifier "pan" fits studio, and no head has that mount.
<<fits: ^[pan]>>: useless: grid "comb" sits on pan, and no head takes that.
<<id: ^amber>>: useless: gel "amber" fits nothing: no head takes a gel, bare or in a modifier.`},
		{"  - {id: radio}", "  - {id: radio, fires: 2}\n  - {id: spare}", ""},
		{"  - id: mono\n", "  - id: mono\n    count: 3\n",
			`<<^- {id: radio>>: note: The triggers fire 1 of 3 flash heads; the others must see them.`},
	} {
		var lines []string
		text := with(t, smallStudio, c.old, c.new)
		for _, f := range inventory.Lint(load(t, text)) {
			lines = append(lines, f.String())
		}
		if got := strings.Join(lines, "\n"); got != placed(t, text, c.want) {
			t.Errorf("%q gives\n%s\nwant\n%s", c.new, got, placed(t, text, c.want))
		}
	}
}
