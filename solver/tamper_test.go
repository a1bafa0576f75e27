package solver_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"falloff/constraints"
	"falloff/solver"
	"falloff/solver/verify"
)

// proofText is the proof that one of the example conflicts cannot be met.
func proofText(t *testing.T, name, room string) string {
	t.Helper()
	s := studio(t, room)
	b, err := constraints.LoadBriefFrom(embedded(t, "conflicts/"+name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Bind(s); err != nil {
		t.Fatal(err)
	}
	a, err := solver.Plan(t.Context(), s, b, solver.Options{Count: 1, NoHelp: true, Proof: true})
	if err != nil || a.Outcome != solver.Cannot {
		t.Fatalf("%s: %v, %v", name, a.Outcome, err)
	}
	return string(a.Conflict.Proof)
}

// checked is why a proof does not hold; empty if it does.
func checked(text string) string {
	p, err := verify.Read(strings.NewReader(text))
	if err == nil {
		_, err = p.Check()
	}
	if err == nil {
		return ""
	}
	return err.Error()
}

// A proof that was changed in what it says of the world, of kit, goals, rules or places, is
// noticed, and what was changed is named.
func TestTamperedProofsAreNoticed(t *testing.T) {
	t.Parallel()
	dark, bright, close, camera := proofText(t, "black-from-white", "spare-room"), proofText(t, "flash-at-f2", "spare-room"),
		proofText(t, "close-soft-and-moving", "two-stands"), proofText(t, "eyes-wide-open", "northlight")
	for _, text := range []string{dark, bright, close, camera} {
		if why := checked(text); why != "" {
			t.Fatalf("as it is: %s\n%s", why, text)
		}
	}
	lit := func(text, name string) string { // the variable of a name
		for line := range strings.Lines(text) {
			if words := strings.Fields(line); len(words) > 3 && words[0] == "c" && strings.Join(words[3:], " ") == name {
				return words[2]
			}
		}
		t.Fatalf("nothing is called %q", name)
		return ""
	}
	lemma := func(text string, change func(clause string) string) string { // changes a clause of the last rule
		kinds := strings.Split(text, "\nc kind ")
		guard, _, _ := strings.Cut(kinds[len(kinds)-1], " ")
		lines := strings.Split(text, "\n")
		for i, line := range lines {
			if strings.HasPrefix(line, "-"+guard+" ") {
				lines[i] = change(line)
				return strings.Join(lines, "\n")
			}
		}
		t.Fatal("no lemma was learned")
		return ""
	}
	without := func(text, literal string) string {
		return lemma(text, func(clause string) string {
			out := strings.Replace(" "+clause, " "+literal+" ", " ", 1)
			if out == " "+clause {
				t.Fatalf("%s is not in %s", literal, clause)
			}
			return strings.TrimSpace(out)
		})
	}
	swap := func(text, a, b string) string {
		return strings.NewReplacer(a, b, b, a).Replace(text)
	}
	edit := func(text, from, to string) string {
		out := strings.ReplaceAll(text, from, to)
		if !strings.Contains(text, from) {
			t.Fatalf("%q is not in the proof", from)
		}
		return out
	}
	more := func(text, clause string) string { // one more clause
		p, err := verify.Read(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		head := fmt.Sprintf("p cnf %d ", p.Vars)
		return edit(text, head+fmt.Sprintln(len(p.Clauses)), head+fmt.Sprintln(len(p.Clauses)+1)+clause+"\n")
	}
	needUp := func(text string, by int) string { // claims more of the settings than was refuted
		return lemma(text, func(clause string) string {
			words := strings.Fields(clause)
			for i, x := range words {
				name := ""
				for line := range strings.Lines(text) {
					if w := strings.Fields(line); len(w) > 4 && w[1] == "name" && w[3] == "need" && w[2] == strings.TrimPrefix(x, "-") {
						name = w[4]
					}
				}
				n, err := strconv.Atoi(strings.TrimSuffix(name, ","))
				if err != nil {
					continue
				}
				for line := range strings.Lines(text) {
					if w := strings.Fields(line); len(w) > 4 && w[1] == "name" && w[3] == "need" && w[4] == fmt.Sprintf("%d,", n+by) {
						words[i] = strings.Replace(x, strings.TrimPrefix(x, "-"), w[2], 1)
						return strings.Join(words, " ")
					}
				}
			}
			t.Fatalf("no setting is in %s", clause)
			return ""
		})
	}
	const rule, fact = "does not follow from studio and brief", "does not follow from the studio"
	for name, c := range map[string]struct{ text, want string }{
		"less light off the walls":       {edit(dark, "walls: 85 %", "walls: 15 %"), rule},
		"a deeper black is not asked":    {edit(dark, "at most -3.8 stops", "at most -1 stops"), rule},
		"another goal":                   {edit(dark, "soft: {key: at least 25 deg}", "soft: {key: at least 2 deg}"), rule},
		"a goal that nobody has":         {edit(dark, "wishes>   - low-key", "wishes>   - use: white-paper #"), "has no goal"},
		"a brief that cannot be read":    {edit(dark, "wishes>   - soft", "wishes>   - sift"), "the brief in the proof cannot be read"},
		"a studio that cannot be read":   {edit(dark, "studio> heads:", "studio> hats:"), "the studio in the proof cannot be read"},
		"any modifier":                   {without(dark, "-"+lit(dark, "key modifier box-60x60")), rule},
		"without a goal":                 {without(dark, "-"+lit(dark, "exposure: {key: -0.3..+0.3 stops}")), rule},
		"no bounce":                      {edit(dark, "c by bounce\n", "c by\n"), rule},
		"looks at something else":        {edit(dark, "c by bounce\n", "c by luck\n"), "says nothing of what a rule looks at"},
		"another kind of rule":           {edit(dark, " together ", " nowhere key "), rule},
		"no kind of rule":                {edit(dark, " together ", " apart "), rule},
		"a shorter range":                {edit(dark, "c grid key distance 0.5 ", "c grid key distance 0.55 "), "does not cover"},
		"a range that ends early":        {edit(dark, " 3\nc grid key azimuth", " 2.9\nc grid key azimuth"), "does not cover"},
		"a range with a jump back":       {edit(dark, "distance 0.5 0.59 ", "distance 0.5 0.9 0.59 "), "does not go on"},
		"no range at all":                {edit(dark, "c grid key elevation", "c was key elevation"), "no grid for the key"},
		"a cut that is not there":        {edit(dark, "c by bounce\n", "c by bounce; key 0 white-paper 7\n"), "no way to cut of the number 7"},
		"a dropped cell":                 {edit(dark, "c assumed", "c cells 1 3:10\nc assumed"), "does not tell how a box is halved"},
		"a cell of no box":               {edit(edit(dark, "c by bounce\n", "c by bounce; key 1 white-paper 1\n"), "c assumed", "c cells 1 30000:100\nc assumed"), "halves a box that is not there"},
		"modifiers change places":        {swap(dark, "name "+lit(dark, "key modifier box-60x60")+" ", "name "+lit(dark, "key modifier reflector-18")+" "), rule},
		"a name for nothing":             {edit(dark, "key modifier box-60x60", "key modifier box-9x9"), `no "box-9x9"`},
		"two names":                      {edit(dark, "c assumed", "c name "+lit(dark, "key modifier box-60x60")+" left\nc assumed"), "stands for two things"},
		"no key":                         {more(dark, "-"+lit(dark, "key on")+" 0"), fact},
		"only one lens":                  {more(dark, "-"+lit(dark, "lens lens-85")+" 0"), fact},
		"a guard that is no rule":        {edit(dark, "c rule "+lit(dark, "together 5 1")+" ", "c was "+lit(dark, "together 5 1")+" "), "does not name"},
		"a weaker setting":               {needUp(bright, 3), rule},
		"a brighter limit":               {edit(bright, "exposure: {key: -0.3..+0.3 stops}", "exposure: {key: -0.3..+1.3 stops}"), "has no goal"},
		"a head that goes down further":  {edit(bright, "range: 5 stops", "range: 9 stops"), rule},
		"another aperture":               {edit(bright, "aperture: f/2\n", "aperture: f/8\n"), rule},
		"a larger box":                   {edit(close, "face: 60 x 90 cm", "face: 160 x 190 cm"), rule},
		"eyes that are nearly as far":    {edit(camera, "turn: 20 deg", "turn: 2 deg"), rule},
		"a smaller aperture is not said": {edit(camera, "aperture 4, ", "aperture 9, "), "does not follow"},
	} {
		switch why := checked(c.text); {
		case why == "":
			t.Errorf("%s: nothing was noticed", name)
		case !strings.Contains(why, c.want):
			t.Errorf("%s: %s; want %q", name, why, c.want)
		}
	}
}
