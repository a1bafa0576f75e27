package cmd_test

import (
	"io/fs"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"falloff/examples"
)

// conflict is one of the ten sets of wishes that cannot all hold, as people make them
// (common practice, no source): the kinds that collide, the physical reason that the argument
// names, and the cheapest thing that people do about it, which is among the help.
type conflict struct {
	brief   string
	collide []string
	reason  []string
	help    string
	capped  bool // whether anything else collides is left open at the search's cap
}

var conflicts = []conflict{
	{
		// By hand: eyes 63 mm apart and turned by 20 deg are 21.5 mm apart in depth; 8.4 mm are sharp.
		brief: "eyes-wide-open", collide: []string{"aperture", "both-eyes-sharp", "framing"},
		reason: []string{`8(\.\d)? mm is sharp`, `2[012](\.\d)? mm apart`}, help: `stop down to f/(5\.6|6\.3|7\.1|8)`,
	},
	{
		brief: "flash-at-f2", collide: []string{"aperture", "exposure", "light-kind", "soft"},
		reason: []string{`turned right down and as far as it may stand`}, help: `put a neutral filter of 3 stops on the lens`,
	},
	{
		// By hand: 220 lx for 1/203 s at ISO 100 and f/2 are 3.2 stops under (C = 250).
		brief: "lamps-left-on", collide: []string{"ambient", "aperture", "light-kind"},
		reason: []string{`1/200 s at the fastest`, `220 lx that stay on come out at -3\.[23] stops`}, help: `switch the modelling lamps off for the frame`,
	},
	{
		brief: "white-too-near", collide: []string{"framing", "high-key"},
		reason: []string{`The lit backdrop 50 cm behind the sitter is a large light`}, help: `let the sitter be up to 2(\.5)? m from the backdrop`, capped: true,
	},
	{
		brief: "black-from-white", collide: []string{"exposure", "low-key", "soft"},
		reason: []string{`[Bb]ounce of the room`, `white paper`}, help: `hang black paper \(4 %\)`,
	},
	{
		brief: "washed-out-wall", collide: []string{"exposure", "lean", "saturation", "soft"},
		reason: []string{`White light of the key and of the room spills on the backdrop`}, help: `add fabric grids .*|hang mid grey paper .*`, capped: true,
	},
	{
		brief: "deep-blue-small-flash", collide: []string{"aperture", "background-hue", "iso", "use"},
		reason: []string{`only deep blue will do`, `at full power and as near as it may stand`}, help: `open up to f/(4|2\.8)`,
	},
	{
		brief: "hair-light-under-the-ceiling", collide: []string{"rim"},
		reason: []string{`the ceiling is at 2\.40 m`}, help: `seat the sitter`,
	},
	{
		// By hand: 85 mm on 36 mm puts a frame of 1.9 m at 4.57 m; with 2 m and 0.9 m that is 7.5 m.
		brief: "full-length-short-room", collide: []string{"framing", "lens"},
		reason: []string{`4\.6 m from the sitter`, `7\.5 m, and the room is 6\.4 m long`}, help: `let the focal length be .*|frame a three-quarter length .*`,
	},
	{
		// By hand: 40 deg of a 60 x 90 cm box is 1.14 m away at most; half a stop for 30 cm is 1.59 m at least.
		brief: "close-soft-and-moving", collide: []string{"lean", "soft"},
		reason: []string{`where it suits (soft|lean)`, `at most 35 deg`}, help: `tape the mark of the stool and of the feet: .*`,
	},
}

func TestEveryConflictIsThere(t *testing.T) {
	files, err := fs.Glob(examples.FS, "conflicts/*.yaml")
	if err != nil || len(files) != len(conflicts) || len(files) != 10 {
		t.Fatalf("%d files, %d verdicts: %v", len(files), len(conflicts), err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".yaml")
		if !slices.ContainsFunc(conflicts, func(c conflict) bool { return c.brief == name }) {
			t.Errorf("%s has no verdict in this test", f)
		}
	}
}

func TestConflicts(t *testing.T) {
	for _, c := range conflicts {
		t.Run(c.brief, func(t *testing.T) {
			t.Parallel()
			proof := filepath.Join(t.TempDir(), "proof.cnf")
			got := answered(t, 3, "why", "conflicts/"+c.brief, "--proof", proof)
			verified(t, proof, "conflicts/"+c.brief)
			example{collide: c.collide, reason: c.reason, capped: c.capped}.cannot(t, got)
			for _, offer := range got.Releases {
				if regexp.MustCompile("^(" + c.help + ")$").MatchString(offer.Change) {
					return
				}
			}
			t.Errorf("nobody offers %q, but %v", c.help, got.Releases)
		})
	}
}
