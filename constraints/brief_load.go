package constraints

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"falloff/inventory"
	"falloff/model/source"
	"falloff/model/source/spell"
	"falloff/model/unit"
)

// briefForm is a brief file as written.
type briefForm struct {
	source.Places
	Name     string        `yaml:"brief,required"`
	Studio   string        `yaml:"studio,omitempty"`
	Sitter   Sitter        `yaml:"sitter,omitempty"`
	Framing  source.Node   `yaml:"framing,omitempty"`
	Camera   CameraWish    `yaml:"camera,omitempty"`
	Backdrop inventory.ID  `yaml:"backdrop,omitempty"`
	Goals    []source.Node `yaml:"goals,required"`
}

const (
	mostGoals   = 200 // no picture has as many; it bounds the work on a hostile file
	heaviest    = 9   // weight of a wish
	tallestEyes = 2.3 // m
)

// LoadBrief reads a brief file: see LoadBriefFrom.
func LoadBrief(name string) (*Brief, error) {
	f, err := source.Read(name)
	if err != nil {
		return nil, err
	}
	return LoadBriefFrom(f)
}

// LoadBriefFrom reads a brief strictly and checks all that can be checked without a
// studio; Bind checks the rest. The goals come in the order of the file, and after them
// those that are assumed because the brief says nothing of their kind: a frame of head
// and shoulders, a correctly exposed face, lights out of the picture. An error is a
// source.Errors with all that is wrong.
func LoadBriefFrom(f *source.File) (*Brief, error) {
	var form briefForm
	var faults source.Errors
	err := source.Decode(f, &form)
	if !collect(&faults, err) || form.Goals == nil && err != nil {
		return nil, err
	}
	b := &Brief{Places: form.Places, Name: form.Name, Studio: form.Studio, Sitter: form.Sitter, Camera: form.Camera}
	b.checkSitter(&faults)
	if len(form.Goals) > mostGoals {
		faults = append(faults, source.Error{At: form.PlaceOf("goals"), Path: "goals",
			Msg: fmt.Sprintf("a brief holds at most %d goals; this one has %d", mostGoals, len(form.Goals))})
		return nil, faults
	}
	b.readGoals(&form, &faults)
	b.assume()
	for _, g := range b.Goals {
		if p, ok := g.Req.(placer); ok && g.Req.Validate(b) == nil {
			p.Place(b)
		}
	}
	for _, g := range b.Goals {
		if err := g.Req.Validate(b); err != nil {
			faults = append(faults, placed(err, g.Place, g.Name()))
		}
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	return b, nil
}

// A placer is a requirement that sets something of the brief for which there is no choice
// to be made, such as the height of the camera.
type placer interface{ Place(b *Brief) }

// collect adds the faults of an error; false if the error is of another sort, such as a
// file that cannot be read at all.
func collect(faults *source.Errors, err error) bool {
	var many source.Errors
	var one source.Error
	switch {
	case err == nil:
	case errors.As(err, &many):
		*faults = append(*faults, many...)
	case errors.As(err, &one):
		*faults = append(*faults, one)
	default:
		return false
	}
	return true
}

// placed gives an error a place if it has none.
func placed(err error, at source.Place, path string) source.Error {
	var one source.Error
	if errors.As(err, &one) && one.At.Known() {
		return one
	}
	return source.Error{At: at, Path: path, Msg: err.Error()}
}

func (b *Brief) readGoals(form *briefForm, faults *source.Errors) {
	if form.Framing.Kind() != source.Absent {
		b.addGoal("framing", form.Framing, form.Framing.Place(), faults)
	}
	if form.Backdrop != "" {
		use, _ := KindByName("use")
		req := &useGoal{item: form.Backdrop}
		b.Goals = append(b.Goals, &Goal{Kind: use, Req: req, Place: form.PlaceOf("backdrop"), Text: written("use", req)})
	}
	for _, n := range form.Goals {
		b.readGoal(n, faults)
	}
}

// readGoal reads one item of the list: a bare word, or a mapping of the kind's name to
// its parameters. "must" and "wish" stand among the parameters or beside the name.
func (b *Brief) readGoal(n source.Node, faults *source.Errors) {
	switch n.Kind() {
	case source.Scalar:
		b.addGoal(n.Text(), source.Node{}, n.Place(), faults)
	case source.Mapping:
		var name *source.Pair
		for _, p := range n.Pairs() {
			switch {
			case p.Key == "must" || p.Key == "wish":
			case name != nil:
				e := p.Value.Errorf("two kinds in one goal, %q and %q", cut(name.Key), cut(p.Key))
				e.At, e.Hint = p.At, "begin a new line with a dash"
				*faults = append(*faults, e)
				return
			default:
				name = &p
			}
		}
		if name == nil {
			*faults = append(*faults, n.Errorf("the goal has no kind"))
			return
		}
		g := b.addGoal(name.Key, name.Value, name.At, faults)
		if g != nil {
			rank(g, n, faults)
			if len(n.Pairs()) > 1 {
				g.Text = flow(n)
			}
		}
	default:
		*faults = append(*faults, n.Errorf("a goal is a name, or a name with its parameters, as in low-key: {background: at most -4 stops}"))
	}
}

// addGoal reads the parameters of a goal and keeps it; nil after a fault.
func (b *Brief) addGoal(name string, n source.Node, at source.Place, faults *source.Errors) *Goal {
	k, ok := KindByName(strings.TrimSpace(name))
	if !ok {
		*faults = append(*faults, source.Error{At: at, Msg: fmt.Sprintf("unknown goal %q", cut(name)), Hint: nearKinds(name)})
		return nil
	}
	g := &Goal{Kind: k, Place: at, Text: goalText(name, n)}
	before := len(*faults)
	rank(g, n, faults)
	req, err := k.Read(n.Without("must", "wish"))
	if err != nil && !placedFaults(faults, err, n, at, k.Name) || len(*faults) > before {
		return nil
	}
	g.Req = req
	b.Goals = append(b.Goals, g)
	return g
}

// placedFaults records why a goal could not be read; it always reports false, for "not read".
func placedFaults(faults *source.Errors, err error, n source.Node, at source.Place, name string) bool {
	var mine source.Errors
	if !collect(&mine, err) {
		mine = source.Errors{{Msg: err.Error()}}
	}
	for _, e := range mine {
		if hint := wordAlone(n, e.At, name); hint != "" {
			e.Hint = hint
		}
		if !e.At.Known() {
			if e.At = n.Place(); !e.At.Known() {
				e.At = at
			}
			if e.Path == "" {
				e.Path = name
			}
		}
		*faults = append(*faults, e)
	}
	return false
}

// wordAlone tells of a word that was written among a goal's parameters, where it stands for
// all of them: "soft: very soft", not "soft: {key: very soft}".
func wordAlone(n source.Node, at source.Place, name string) string {
	k, ok := KindByName(name)
	if !ok || n.Kind() != source.Mapping {
		return ""
	}
	for _, p := range n.Pairs() {
		for _, w := range k.Doc.Values {
			if p.Value.Place() == at && normal(p.Value.Text()) == normal(w) {
				return fmt.Sprintf("a word goes alone: \"%s: %s\"", name, w)
			}
		}
	}
	return ""
}

// rank reads "must" and "wish" from a mapping.
func rank(g *Goal, n source.Node, faults *source.Errors) {
	wish, must := n.Get("wish"), n.Get("must")
	if wish.Kind() != source.Absent {
		var weight int
		if !collectAt(faults, wish.Decode(&weight)) {
			return
		}
		if weight < 1 || weight > heaviest {
			*faults = append(*faults, wish.Errorf("the weight of a wish lies between 1 and %d", heaviest))
		}
		g.Wish = weight
	}
	if must.Kind() == source.Absent {
		return
	}
	var yes bool
	if !collectAt(faults, must.Decode(&yes)) {
		return
	}
	switch {
	case yes && g.Wish > 0:
		*faults = append(*faults, must.Errorf("a goal is a must or a wish, not both"))
	case !yes && g.Wish == 0:
		g.Wish = 1
	}
}

// collectAt adds the faults and reports whether there were none.
func collectAt(faults *source.Errors, err error) bool { return err == nil || !collect(faults, err) }

func nearKinds(name string) string {
	if found := FindKinds(name); len(found) > 0 {
		names := make([]string, 0, 3)
		for _, k := range found[:min(3, len(found))] {
			names = append(names, fmt.Sprintf("%q", k.Name))
		}
		return "did you mean " + strings.Join(names, " or ") + "?"
	}
	return "known: " + strings.Join(kindNames(), ", ")
}

func kindNames() []string {
	var names []string
	for _, k := range Kinds() {
		names = append(names, k.Name)
	}
	return names
}

// FindKinds looks kinds up by name, by the other words that people use, and by near
// misses of either, best first.
func FindKinds(word string) []*Kind {
	w := normal(word)
	if w == "" {
		return nil
	}
	var exactly, within []*Kind
	near := map[string]*Kind{}
	var words []string
	for _, k := range Kinds() {
		all := slices.Concat([]string{k.Name}, k.Doc.Words, k.Doc.Values)
		for i := range all {
			all[i] = normal(all[i])
			if near[all[i]] == nil {
				near[all[i]] = k
				words = append(words, all[i])
			}
		}
		switch {
		case slices.Contains(all, w):
			if normal(k.Name) == w {
				exactly = slices.Insert(exactly, 0, k)
			} else {
				exactly = append(exactly, k)
			}
		case len(w) >= 3 && slices.ContainsFunc(all, func(x string) bool { return hasWords(x, w) }):
			within = append(within, k)
		}
	}
	if found := append(exactly, within...); len(found) > 0 {
		return found
	}
	if hit, ok := spell.Nearest(w, words); ok {
		return []*Kind{near[hit]}
	}
	return nil
}

// hasWords reports whether the words of w stand in x: "grey background" has "background".
func hasWords(x, w string) bool { return strings.Contains(" "+x+" ", " "+w+" ") }

// assume adds the goals that hold for every picture unless the brief says otherwise.
func (b *Brief) assume() {
	for _, kind := range assumedKinds {
		if slices.ContainsFunc(b.Goals, func(g *Goal) bool { return g.Name() == kind }) {
			continue
		}
		k, _ := KindByName(kind)
		req := b.usual(kind)
		b.Goals = append(b.Goals, &Goal{Kind: k, Req: req, Text: written(kind, req), Assumed: true})
	}
}

// assumedKinds are those of which a brief always has a goal, written or assumed.
var assumedKinds = []string{"framing", "exposure", "out-of-frame"}

// usual is what is assumed of a kind.
func (b *Brief) usual(kind string) Requirement {
	switch kind {
	case "framing":
		return &framingGoal{height: crops[2].height}
	case "exposure":
		return &exposureGoal{key: unit.Range[unit.Stops]{Lo: -0.3, Hi: 0.3}}
	}
	return &outOfFrameGoal{by: usualClearance, except: b.stars()}
}

// Returns reports whether a brief without the goal would be read with another of its kind,
// which is assumed. Who wants none of it must write one that allows more.
func (g *Goal) Returns() bool { return slices.Contains(assumedKinds, g.Name()) }

// studioChecker is an optional part of a Requirement: what can only be checked with the kit.
type studioChecker interface {
	CheckStudio(s *inventory.Studio) error
}

// Bind checks the brief against a studio: the items that goals name must be there. The
// error is a source.Errors. Collisions then knows the kit as well.
func (b *Brief) Bind(s *inventory.Studio) error {
	var faults source.Errors
	for _, g := range b.Goals {
		c, ok := g.Req.(studioChecker)
		if !ok {
			continue
		}
		if err := c.CheckStudio(s); err != nil {
			faults = append(faults, placed(err, g.Place, g.Name()))
		}
	}
	b.bound = s
	return faults.Err()
}

// Clone returns a brief whose sitter, camera and list of goals can be changed without
// touching b. Requirements are shared: they are never changed, only replaced.
func (b *Brief) Clone() *Brief {
	c := *b
	c.Goals = make([]*Goal, len(b.Goals))
	for i, g := range b.Goals {
		own := *g
		c.Goals[i] = &own
	}
	return &c
}

// CloneStudio returns a studio that can be changed without touching s.
func CloneStudio(s *inventory.Studio) *inventory.Studio { return s.Copy() }

// goalText is a goal on one line as written.
func goalText(name string, n source.Node) string {
	if n.Kind() == source.Absent {
		return name
	}
	return name + ": " + flow(n)
}

// flow writes a value on one line.
func flow(n source.Node) string {
	switch n.Kind() {
	case source.Scalar:
		if n.Quoted() {
			return fmt.Sprintf("%q", n.Text())
		}
		return oneLine(n.Text())
	case source.Mapping:
		var parts []string
		for _, p := range n.Pairs() {
			parts = append(parts, oneLine(p.Key)+": "+flow(p.Value))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case source.List:
		var parts []string
		for _, v := range n.Items() {
			parts = append(parts, flow(v))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	return ""
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
