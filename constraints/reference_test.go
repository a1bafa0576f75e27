package constraints

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"falloff/model/colour"
)

// The reference page in the repository is what the kinds say.
func TestReferenceIsFresh(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "GOALS.md"))
	if err != nil {
		t.Fatalf("%v; run go generate ./constraints", err)
	}
	if string(page) != Reference() {
		t.Error("GOALS.md is stale; run go generate ./constraints")
	}
}

// Each kind is documented, and its example is a goal of that kind.
func TestDocs(t *testing.T) {
	for _, k := range Kinds() {
		d := k.Doc
		if d.Title == "" || d.Text == "" || d.Example == "" || len(d.Words) == 0 {
			t.Errorf("%s is not documented", k.Name)
		}
		if len(strings.Split(d.Text, "\n")) > 7 {
			t.Errorf("%s: the text is longer than seven lines", k.Name)
		}
		if !contains(groups, d.Group) {
			t.Errorf("%s: group %q", k.Name, d.Group)
		}
		if g := goalForTest(t, d.Example); g.Kind != k {
			t.Errorf("%s: the example is a goal %s", k.Name, g.Name())
		}
	}
}

func contains(all []string, x string) bool {
	for _, s := range all {
		if s == x {
			return true
		}
	}
	return false
}

// The kinds that the design lists, and two that its wishes need: lean and head-to-feet.
func TestKindsThere(t *testing.T) {
	for _, name := range strings.Fields(`iso shutter aperture framing perspective both-eyes-sharp background-blur exposure ratio
		low-key background-level glow rim key-colour soft pattern out-of-frame light-kind few-lights set-up-time use avoid
		camera-height lens sharp blurred foreground-blur far-ear sunstar diffraction high-key even-background gradient separation
		no-clipping ambient background-hue rendition saturation hard catchlight flare no-nose-rim glasses circuits recycle freeze
		hire-budget repeatable lean head-to-feet`) {
		if _, ok := KindByName(name); !ok {
			t.Errorf("no kind %s", name)
		}
	}
}

func TestFindKinds(t *testing.T) {
	for word, want := range map[string]string{
		"rim": "rim", "Rim": "rim", "both eyes sharp": "both-eyes-sharp", "bokeh": "background-blur", "hard": "hard",
		"glwo": "glow", "halo": "glow", "white balance": "key-colour", "grey background": "background-level",
		"low_key": "low-key", "appertur": "aperture",
	} {
		found := FindKinds(word)
		if len(found) == 0 || found[0].Name != want {
			t.Errorf("%q finds %v, want %s", word, found, want)
		}
	}
	// Every word that a value may be finds its kind, and so does a slip of the keyboard.
	for _, words := range [][]string{colour.HueNames(), cropKeys(), toneWords(), patternWords(), {"hard", "soft", "very soft"}} {
		for _, w := range words {
			if len(FindKinds(w)) == 0 {
				t.Errorf("%q finds nothing", w)
			}
		}
	}
	for word, want := range map[string]string{"rembrant": "pattern", "clamshel": "pattern", "magneta": "background-hue", "three quarter": "framing",
		"near blak": "background-level", "very sotf": "soft", "deep blue": "background-hue", "speedlight duration": ""} {
		found := FindKinds(word)
		if want == "" && len(found) > 0 || want != "" && (len(found) == 0 || !slices.ContainsFunc(found, func(k *Kind) bool { return k.Name == want })) {
			t.Errorf("%q finds %v, want %s", word, found, want)
		}
	}
	if found := FindKinds("xyzzy"); found != nil {
		t.Errorf("a word of no meaning finds %v", found[0].Name)
	}
}
