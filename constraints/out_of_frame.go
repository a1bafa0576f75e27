package constraints

import (
	"cmp"
	"fmt"
	"iter"
	"slices"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/unit"
)

var _ = Register(Kind{
	Name: "out-of-frame",
	Doc: Doc{
		Group: "shape",
		Title: "no light or stand in the picture",
		Text: `How far every light that is used, with its stand and boom, clears the edge of the frame, or is hidden
behind the sitter. If a brief says nothing, 3 cm is taken: a sitter leans and a tape measure is a
centimetre off (from memory). except names lights that may show.`,
		Example: "out-of-frame: {by: 5 cm}",
		Words:   []string{"in shot", "stand visible", "light in picture", "hidden", "boom in frame"},
	},
	Read: readOutOfFrame,
})

const usualClearance unit.Length = 0.03

type outOfFrameGoal struct {
	Plain
	by     unit.Length
	except []inventory.Role // lights that may show
}

type outOfFrameForm struct {
	source.Places
	By     unit.Length `yaml:"by,required"`
	Except []string    `yaml:"except,omitempty"`
}

func readOutOfFrame(n source.Node) (Requirement, error) {
	if yes(n) {
		return &outOfFrameGoal{by: usualClearance}, nil
	}
	if _, ok := word(n); ok {
		g := &outOfFrameGoal{}
		err := n.Decode(&g.by)
		return g, err
	}
	var f outOfFrameForm
	if err := n.Decode(&f); err != nil {
		return nil, err
	}
	g := &outOfFrameGoal{by: f.By}
	for _, w := range f.Except {
		role, ok := inventory.RoleByName(w)
		if !ok {
			return nil, fmt.Errorf("no light has the role %q", cut(w))
		}
		g.except = append(g.except, role)
	}
	return g, nil
}

func (g *outOfFrameGoal) Validate(*Brief) error {
	if g.by > 2 {
		return fmt.Errorf("by is at most 2 m")
	}
	return nil
}

func (g *outOfFrameGoal) Written() string {
	except := ""
	for _, r := range g.except {
		except += ", " + r.String()
	}
	if except != "" {
		except = "[" + except[2:] + "]"
	}
	return keyed(pair{"by", exact(g.by)}, pair{"except", except})
}

func (g *outOfFrameGoal) Reads() Aspect {
	return OnFrame | OnLens | OnDepth | everyLight(Pose) | everyLight(Gear)
}

func (g *outOfFrameGoal) Judge(r *Reading, out []Part) []Part {
	out = usedLights(r, out, func(l *LightReading) Part {
		return Part{Got: l.Clear, Want: atLeast(float64(g.by)), Unit: InMetres, Fine: 0.03}
	})
	if len(g.except) == 0 {
		return out
	}
	return slices.DeleteFunc(out, func(p Part) bool {
		return slices.ContainsFunc(g.except, func(r inventory.Role) bool { return r.String() == p.What })
	})
}

// usedLights is one part for each light that is used. Of a light of which that is not
// known nothing is said.
func usedLights(r *Reading, out []Part, of func(*LightReading) Part) []Part {
	for role := range allRoles() {
		l := &r.Lights[role]
		if l.On.Hi < 1 {
			continue
		}
		p := of(l)
		p.What = role.String()
		if l.On.Lo < 1 {
			p.Got = unit.Whole
		}
		out = append(out, p)
	}
	return out
}

func (g *outOfFrameGoal) Say(parts []Part) string {
	if len(parts) == 0 {
		return ""
	}
	nearest := slices.MinFunc(parts, func(a, b Part) int { return cmp.Compare(a.Margin().Lo, b.Margin().Lo) })
	text := fmt.Sprintf("nearest is the %s, clear by %s", nearest.What, nearest.GotText())
	if nearest.Got.IsPoint() && nearest.Got.Lo < 0 {
		text = fmt.Sprintf("the %s is in the picture by %s", nearest.What, Show(-nearest.Got.Lo, InMetres))
	}
	return text + fmt.Sprintf(" (wanted at least %s)", Asked(float64(g.by), InMetres))
}

func (g *outOfFrameGoal) Because(_ *Reading, p Part) string {
	if p.Got.Hi < 0 {
		return fmt.Sprintf("Wherever it may stand, the %s or its stand is in the picture.", p.What)
	}
	return fmt.Sprintf("The %s and its stand clear the frame by %s at most, and at least %s is wanted.",
		p.What, ceil(p.Got.Hi, InMetres, p.Want.Lo), Asked(float64(g.by), InMetres))
}

func (g *outOfFrameGoal) Relax(b *Bench) iter.Seq[Change] {
	var out []Change
	for i, by := range []unit.Length{0.03, 0.01, 0} {
		text := fmt.Sprintf("let a light come within %s of the frame", Show(float64(by), InMetres))
		if by == 0 {
			text = "let a light come right up to the frame"
		}
		if by < g.by {
			out = append(out, weaker(g, &outOfFrameGoal{by: by, except: g.except}, float64(1+i), "%s", text))
		}
	}
	for _, goal := range b.Brief.Goals {
		if f, ok := goal.Req.(*framingGoal); ok {
			if c, ok := f.tighter(); ok {
				out = append(out, f.reframe(c, 5.5))
			}
		}
	}
	out = append(out, Change{Text: "let a light or stand show, and retouch it", Cost: "retouching", Minor: 7, Apply: showLights(g)})
	return slices.Values(out)
}

// showLights drops the goal for good: the loader adds it where it is missing, so it stays
// as a wish that weighs next to nothing.
func showLights(g *outOfFrameGoal) func(*Brief, *inventory.Studio) {
	return func(b *Brief, _ *inventory.Studio) {
		for _, goal := range b.Goals {
			if goal.Req == Requirement(g) {
				goal.Wish, goal.Assumed = 1, false
				goal.Text = written(goal.Kind.Name, g)
			}
		}
	}
}

// Amounts lets lights come nearer to the frame, by whole centimetres.
func (g *outOfFrameGoal) Amounts(*Bench) []Amount {
	now := tidy(float64(g.by))
	if now <= 0 {
		return nil
	}
	return []Amount{listed("distance of lights from the frame", now, toward(now, 0, 0.01), inUnit(InMetres), func(x float64) Change {
		w := &outOfFrameGoal{by: unit.Length(x), except: g.except}
		if x == 0 {
			return weaker(g, w, 1, "let a light come right up to the frame")
		}
		return weaker(g, w, 1, "let a light come within %s of the frame", Show(x, InMetres))
	})}
}
