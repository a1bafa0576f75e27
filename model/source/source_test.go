package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"
)

// level is a small text type of our own, so that these tests lean on no other package.
type level float64

func (l *level) UnmarshalText(b []byte) error {
	var x float64
	if n, err := fmt.Sscanf(string(b), "%g stops", &x); n != 1 || err != nil {
		return fmt.Errorf("%q: a level needs a unit, as in -2 stops", b)
	}
	*l = level(x)
	return nil
}

func (l level) MarshalText() ([]byte, error) {
	if math.IsNaN(float64(l)) {
		return nil, errors.New("unknown level")
	}
	return fmt.Appendf(nil, "%v stops", float64(l)), nil
}

type rim struct {
	Places
	Side   string  `yaml:"side"`
	Level  level   `yaml:"level,omitempty"`
	Within float64 `yaml:"within,omitempty"`
}

// goal decodes itself: one key, the kind, over its parameters.
type goal struct {
	Kind  string
	Value Node
}

func (g *goal) DecodeNode(n Node) error {
	pairs := n.Pairs()
	if len(pairs) != 1 {
		return n.Errorf("a goal is one kind and its parameters")
	}
	g.Kind, g.Value = pairs[0].Key, pairs[0].Value
	return nil
}

type common struct {
	ID    string `yaml:"id,required"`
	Count int    `yaml:"count,omitempty"`
}

type brief struct {
	Places
	common
	Title  string           `yaml:"brief"`
	Dark   bool             `yaml:"dark"`
	Goals  []goal           `yaml:"goals"`
	Rims   map[string]rim   `yaml:"rims"`
	Maybe  *rim             `yaml:"maybe"`
	Corner [3]float64       `yaml:"corner"`
	Raw    yaml.Node        `yaml:"raw"`
	Inner  common2          `yaml:",inline"`
	Small  uint8            `yaml:"small"`
	Levels map[string]level `yaml:"levels"`
	Note   string
	Skip   string `yaml:"-"`
}

type common2 struct {
	Extra level `yaml:"extra"`
}

func file(text string) *File { return &File{Name: "brief.yaml", Text: []byte(text)} }

func TestDecode(t *testing.T) {
	var b brief
	err := Decode(file(`# a brief
brief: Season poster
id: a1
count: 3
dark: yes
goals:
  - rim: {side: both, level: -1 stops}
  - iso: base
rims:
  left: {side: left, within: 20}
maybe:
  side: right
corner: [1, -2, 3.5]
raw: {a: 1}
extra: 2 stops
small: 255
note: "x"
levels: {key: 1 stops}
`), &b)
	if err != nil {
		t.Fatal(err)
	}
	if b.Title != "Season poster" || b.ID != "a1" || b.Count != 3 || !b.Dark || b.Rims["left"].Within != 20 || b.Maybe.Side != "right" ||
		b.Corner != [3]float64{1, -2, 3.5} || b.Raw.Kind != yaml.MappingNode || b.Inner.Extra != 2 || b.Small != 255 || b.Note != "x" || b.Levels["key"] != 1 {
		t.Errorf("%+v", b)
	}
	if got := b.Place().String() + " " + b.PlaceOf("count").String() + " " + b.PlaceOf("small").String(); got != "brief.yaml:2:1 brief.yaml:4:8 brief.yaml:16:8" {
		t.Error(got)
	}
	if !b.Wrote("dark") || b.Wrote("nothing") || b.PlaceOf("nothing") != b.Place() {
		t.Error("wrong about what was written")
	}
	left := b.Rims["left"]
	if got := left.PlaceOf("within").String(); got != "brief.yaml:10:30" {
		t.Error(got)
	}
	if got := b.Goals[1]; got.Kind != "iso" || got.Value.Kind() != Scalar || got.Value.Text() != "base" || got.Value.Path() != "goals[1].iso" {
		t.Errorf("%+v", got)
	}
	var r rim
	if err := b.Goals[0].Value.Decode(&r); err != nil || r.Side != "both" || r.Level != -1 || r.PlaceOf("level").String() != "brief.yaml:7:30" {
		t.Errorf("%+v, %v", r, err)
	}
}

func TestErrorsSayWhereAndHow(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"unknown key":   {"id: a\nrims:\n  left: {levl: 1 stops}", `brief.yaml:3:10: rims.left.levl: unknown key; did you mean "level"?`},
		"far key":       {"id: a\nrims:\n  left: {colour: 1}", `brief.yaml:3:10: rims.left.colour: unknown key; known: side, level, within`},
		"wrong unit":    {"id: a\nmaybe: {level: 2}", `brief.yaml:2:16: maybe.level: "2": a level needs a unit, as in -2 stops`},
		"missing":       {"dark: true", `brief.yaml:1:1: the key "id" is missing`},
		"twice":         {"id: a\nid: b", `brief.yaml:2:1: id: this key is written twice (see also brief.yaml:1:1)`},
		"deep twice":    {"id: a\nrims: {a: {side: x, side: y}}", `brief.yaml:2:21: rims.a.side: this key is written twice (see also brief.yaml:2:12)`},
		"twice unread":  {"id: a\ngoals: [{rim: {side: x, side: y}}]", `brief.yaml:2:25: goals[0].rim.side: this key is written twice (see also brief.yaml:2:16)`},
		"list":          {"id: a\ngoals: {a: 1}", `brief.yaml:2:8: goals: this is a set of keys and values where a list was expected; write it as in [a, b]`},
		"mapping":       {"id: a\nmaybe: [1]", `brief.yaml:2:8: maybe: this is a list where a set of keys and values was expected; write it as in {key: value}`},
		"scalar":        {"id: [1]", `brief.yaml:1:5: id: this is a list where a single value was expected`},
		"no value":      {"id: a\nnote:", `brief.yaml:2:6: note: there is no value here; give one or remove the key`},
		"truth":         {"id: a\ndark: maybe", `brief.yaml:2:7: dark: "maybe" is neither true nor false; write true or false`},
		"whole":         {"id: a\ncount: 1.5", `brief.yaml:2:8: count: "1.5" is not a whole number, as in 3`},
		"large":         {"id: a\nsmall: 256", `brief.yaml:2:8: small: "256" is too large`},
		"negative":      {"id: a\nsmall: -1", `brief.yaml:2:8: small: "-1" is not a whole number of 0 or more, as in 3`},
		"huge":          {"id: a\ncount: 99999999999999999999", `brief.yaml:2:8: count: "99999999999999999999" is too large`},
		"NaN":           {"id: a\ncorner: [.nan, 0, 0]", `brief.yaml:2:10: corner[0]: ".nan" is not a plain number, as in 1.5`},
		"nan":           {"id: a\ncorner: [NaN, 0, 0]", `brief.yaml:2:10: corner[0]: "NaN" is not a plain number, as in 1.5`},
		"infinite":      {"id: a\ncorner: [0, -.inf, 0]", `brief.yaml:2:13: corner[1]: "-.inf" is not a plain number, as in 1.5`},
		"1e999":         {"id: a\ncorner: [0, 1e999, 0]", `brief.yaml:2:13: corner[1]: "1e999" is too large`},
		"array":         {"id: a\ncorner: [0, 1]", `brief.yaml:2:9: corner: the list holds 2 values where 3 were expected`},
		"self":          {"id: a\ngoals: [{a: 1, b: 2}]", `brief.yaml:2:9: goals[0]: a goal is one kind and its parameters`},
		"list key":      {"id: a\n[1]: 2", `brief.yaml:2:1: a key is a single value; write text before the colon`},
		"merge":         {"id: a\nrims:\n  a: &x {side: l}\n  b:\n    <<: *x", `brief.yaml:5:5: rims.b: merge keys (<<) are not used here; repeat the keys instead`},
		"tag":           {"id: !!binary aGk=", `brief.yaml:1:5: id: the tag "!!binary" has no meaning here; remove it`},
		"empty":         {"", `brief.yaml: the file is empty`},
		"comment":       {"# nothing\n", `brief.yaml: the file is empty`},
		"null":          {"---\n", `brief.yaml: the file is empty`},
		"two documents": {"id: a\n---\nid: b", `brief.yaml:2:1: a second document begins here; keep one document in a file`},
		"not UTF-8":     {"id: a\nnote: \xff", `brief.yaml:2:7: this is not UTF-8 text; save the file as UTF-8`},
		"UTF-16":        {"\xff\xfei\x00d\x00", `brief.yaml:1:1: this is not UTF-8 text; save the file as UTF-8`},
		"tab":           {"id: a\nrims:\n\tleft: {side: l}", `brief.yaml:3:1: this is not YAML: a value begins with a character that YAML keeps for itself; indent with spaces, not tabs`},
		"colon":         {"id: a\nnote: b: c", `brief.yaml:2:1: this is not YAML: there is a colon where none is expected; look for a wrong indentation or a second colon; put text that holds a colon in quotes`},
		"brace":         {"id: a\ngoals:\n  - rim: {side: both\n  - iso: base\n", `brief.yaml:3:1: this is not YAML: a { that opens here is not closed; add the } or a missing comma`},
		"quote":         {"id: a\nnote: 'it's'\n", `brief.yaml:2:1: this is not YAML: the indentation or a quote near here is out of place; keys of one block begin in the same column`},
		"first line":    {"id: }", `brief.yaml:1:1: this is not YAML: did not find expected node content`},
		"anchor":        {"id: *x", `brief.yaml: this is not YAML: unknown anchor 'x' referenced`},
		"own alias":     {"id: a\nrims: &x {a: *x}", `brief.yaml:2:14: the alias *x stands inside what it names`},
		"top":           {"[1, 2]", `brief.yaml:1:1: this is a list where a set of keys and values was expected; write it as in {key: value}`},
		"escape":        {"\"\\e[2J\": 1\nid: a", "brief.yaml:1:1: ?[2J: unknown key; known: id, count, brief, dark, goals, rims, maybe, corner, raw, extra, small, levels, note"},
	} {
		t.Run(name, func(t *testing.T) {
			var b brief
			err := Decode(file(c.text), &b)
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestAllFaultsInOrder(t *testing.T) {
	var b brief
	err := Decode(file("dork: 1\ncount: x\nrims: {a: {levl: 1}}\nid: a\nid: b\n"), &b)
	want := `brief.yaml:1:1: dork: unknown key; did you mean "dark"?
brief.yaml:2:8: count: "x" is not a whole number, as in 3
brief.yaml:3:12: rims.a.levl: unknown key; did you mean "level"?
brief.yaml:5:1: id: this key is written twice (see also brief.yaml:4:1)`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	var one Error
	if !errors.As(err, &one) || !one.At.Known() {
		t.Error("no single fault inside")
	}
	text := "id: a\nlevels:\n"
	for i := range 33 {
		text += fmt.Sprintf("  a%d: 1\n", i)
	}
	err = Decode(file(text), &b)
	if lines := strings.Split(err.Error(), "\n"); len(lines) != 21 || lines[20] != "and 13 more" {
		t.Errorf("%d lines, the last %q", len(lines), lines[len(lines)-1])
	}
	var many Errors
	if !errors.As(err, &many) || len(many) != 33 {
		t.Errorf("%d faults", len(many))
	}
}

func TestAliasesAreRead(t *testing.T) {
	var b brief
	err := Decode(file("id: a\nrims:\n  left: &x {side: both, level: 1 stops}\n  right: *x\n"), &b)
	if err != nil || b.Rims["right"].Level != 1 || b.Rims["right"].Side != "both" {
		t.Errorf("%+v, %v", b.Rims, err)
	}
	right := b.Rims["right"]
	if right.Place().Line != 4 || right.PlaceOf("level").Line != 3 {
		t.Errorf("%v, %v", right.Place(), right.PlaceOf("level"))
	}
}

func TestNode(t *testing.T) {
	n, err := Parse(file("a: 1\nb: [x, 'y']\nc: {d: ~}\n"))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range n.Pairs() {
		got = append(got, fmt.Sprintf("%s %v %v %v", p.Key, p.At, p.Value.Kind(), p.Value.Place()))
	}
	want := []string{"a brief.yaml:1:1 a single value brief.yaml:1:4", "b brief.yaml:2:1 a list brief.yaml:2:4", "c brief.yaml:3:1 a set of keys and values brief.yaml:3:4"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	items := n.Get("b").Items()
	if len(items) != 2 || items[1].Text() != "y" || !items[1].Quoted() || items[0].Quoted() || items[1].Path() != "b[1]" {
		t.Errorf("%v", items)
	}
	if d := n.Get("c").Get("d"); d.Kind() != Null || d.Path() != "c.d" || d.Text() != "" {
		t.Errorf("%v", d.Kind())
	}
	if n.Get("z").Kind() != Absent || n.Get("a").Pairs() != nil || n.Get("a").Items() != nil || n.Text() != "" {
		t.Error("found what is not there")
	}
	if err := n.Get("z").Decode(new(int)); err == nil {
		t.Error("an absent value was read")
	}
	if err := n.Get("a").Errorf("is %d", 1); err.Error() != "brief.yaml:1:4: a: is 1" {
		t.Error(err)
	}
}

func TestSnippet(t *testing.T) {
	f := file("id: a\n\tnote:\t\x1b[2Jx\r\n" + strings.Repeat("abcdefghij", 30) + "\n")
	for _, c := range []struct {
		line, col int
		want      string
	}{
		{1, 5, "id: a\n    ^"},
		{1, 99, "id: a\n     ^"},
		{2, 8, "\tnote:\t?[2Jx\n\t     \t^"},
		{3, 201, "..." + strings.Repeat("abcdefghij", 10) + "...\n" + strings.Repeat(" ", 63) + "^"},
		{4, 1, "\n^"},
		{5, 1, ""},
	} {
		if got := (Place{f, c.line, c.col}).Snippet(); got != c.want {
			t.Errorf("%d:%d: got %q, want %q", c.line, c.col, got, c.want)
		}
	}
	if (Place{}).Snippet() != "" || (Place{}).String() != "(built in)" {
		t.Error("nowhere has a snippet")
	}
}

// Hostile files are refused in one line, quickly and without filling memory.
func TestHostileFiles(t *testing.T) {
	bomb := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'p'; c++ {
		bomb += fmt.Sprintf("%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c, ", c-1), 9), c-1)
	}
	deepAlias := "a0: &a0 [x]\n"
	for i := 1; i < 200; i++ {
		deepAlias += fmt.Sprintf("a%d: &a%d [*a%d]\n", i, i, i-1)
	}
	for name, text := range map[string]string{
		"alias bomb":         bomb,
		"alias tower":        deepAlias,
		"deep flow":          strings.Repeat("[", 100000),
		"deep flow, closed":  strings.Repeat("[", 5000) + strings.Repeat("]", 5000),
		"deep mappings":      strings.Repeat("{a: ", 5000) + "1" + strings.Repeat("}", 5000),
		"deep block":         strings.Repeat("- ", 5000) + "x",
		"65 levels":          strings.Repeat("[", 65) + strings.Repeat("]", 65),
		"a million items":    "goals:\n" + strings.Repeat("- a\n", 1_000_000),
		"a million, flow":    "goals: [" + strings.Repeat("a,", 1_000_000) + "a]",
		"over 10 MB":         "note: " + strings.Repeat("a", 11<<20),
		"many open brackets": strings.Repeat("[{", 200_000),
		"many question":      strings.Repeat("? ", 200_000),
		"many anchors":       strings.Repeat("&a ", 200_000),
		"many quotes":        "a: " + strings.Repeat("'", 200_001),
		"many bangs":         strings.Repeat("!a ", 200_000),
		"many percent":       strings.Repeat("%YAML 1.1\n", 40_000),
		"many documents":     strings.Repeat("---\n", 100_000),
		"long key":           strings.Repeat("k", 5<<20) + ": 1",
		"NUL":                "a: \x00",
		"only NUL":           strings.Repeat("\x00", 1<<20),
		"a directory bomb":   strings.Repeat("a:\n ", 100_000),
		"wide duplicate":     strings.Repeat("a: 1\n", 100_000),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			var b brief
			err := Decode(file(text), &b)
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if err == nil {
				t.Fatal("it was read")
			}
			for _, line := range strings.Split(err.Error(), "\n") {
				if len(line) > 600 {
					t.Errorf("a line of %d bytes: %.100s", len(line), line)
				}
			}
			if strings.Count(err.Error(), "\n") > shownErrors {
				t.Errorf("%d lines", strings.Count(err.Error(), "\n"))
			}
			// The library makes about 200 bytes of each of at most 500,000 values; a second
			// and a gigabyte of traffic leave room for a slow machine.
			if took > 3*time.Second || after.TotalAlloc-before.TotalAlloc > 1<<30 {
				t.Errorf("%v and %d MB", took, (after.TotalAlloc-before.TotalAlloc)>>20)
			}
			t.Logf("%v, %d MB: %.120s", took, (after.TotalAlloc-before.TotalAlloc)>>20, err)
		})
	}
}

func TestReadRefuses(t *testing.T) {
	dir := t.TempDir()
	big := filepath.Join(dir, "big.yaml")
	if err := os.WriteFile(big, make([]byte, maxBytes+1), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(big); err == nil || err.Error() != big+": the file is over the limit of 10 MB" {
		t.Error(err)
	}
	if _, err := Read(dir); err == nil || err.Error() != "cannot read "+dir+": it is a folder" {
		t.Error(err)
	}
	none := filepath.Join(dir, "none.yaml")
	if _, err := Read(none); !errors.Is(err, fs.ErrNotExist) || err.Error() != "cannot read "+none+": no such file or directory" {
		t.Error(err)
	}
	if _, err := Read(os.DevNull); err != nil {
		t.Error(err)
	}
	ok := filepath.Join(dir, "ok.yaml")
	if err := WriteFile(ok, []byte("id: a\n")); err != nil {
		t.Fatal(err)
	}
	if f, err := Read(ok); err != nil || f.Name != ok || string(f.Text) != "id: a\n" {
		t.Error(f, err)
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "set-up.yaml")
	content := func() string {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	alone := func() {
		t.Helper()
		if all, _ := os.ReadDir(dir); len(all) != 1 {
			t.Errorf("left behind: %v", all)
		}
	}
	if err := WriteFile(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, []byte("new")); err != nil || content() != "new" {
		t.Fatal(err)
	}
	if info, _ := os.Stat(path); info.Mode().Perm() != 0o640 {
		t.Errorf("permissions are now %v", info.Mode())
	}
	alone()
	// The disk fills up halfway.
	full := errors.New("no space left on device")
	err := writeFile(path, func(w io.Writer) error {
		io.WriteString(w, "ha")
		return full
	})
	if !errors.Is(err, full) || err.Error() != "cannot write "+path+": no space left on device" || content() != "new" {
		t.Errorf("%v; the file holds %q", err, content())
	}
	alone()
	if err := WriteFile(dir, nil); err == nil || err.Error() != "cannot write "+dir+": it is a folder" {
		t.Error(err)
	}
	if err := WriteFile(filepath.Join(dir, "none", "x"), nil); !errors.Is(err, fs.ErrNotExist) {
		t.Error(err)
	}
	if err := os.Chmod(path, 0o440); err != nil {
		t.Fatal(err)
	}
	if err := WriteFile(path, []byte("x")); err == nil || err.Error() != "cannot write "+path+": it is read-only" || content() != "new" {
		t.Error(err)
	}
	alone()
}

func TestWriteFileFollowsLinks(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	if err := WriteFile(real, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Skip(err)
	}
	if err := WriteFile(link, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if b, _ := os.ReadFile(real); string(b) != "new" {
		t.Errorf("%q", b)
	}
	if info, _ := os.Lstat(link); info.Mode()&fs.ModeSymlink == 0 {
		t.Error("the link was replaced")
	}
}

func TestWriteFileInReadOnlyFolder(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("nothing is read-only for root")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "x")
	if err := WriteFile(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(dir, 0o700)
	if err := WriteFile(path, []byte("new")); !errors.Is(err, fs.ErrPermission) {
		t.Error(err)
	}
	if b, _ := os.ReadFile(path); string(b) != "old" {
		t.Errorf("%q", b)
	}
}

type sheet struct {
	Places
	common
	Title  string            `yaml:"title"`
	Dark   bool              `yaml:"dark,omitempty"`
	Key    level             `yaml:"key"`
	Maybe  *level            `yaml:"maybe"`
	Rims   []rim             `yaml:"rims,omitempty"`
	Named  map[string]level  `yaml:"named,omitempty"`
	Words  map[string]string `yaml:"words,omitempty,flow"`
	Corner [3]float64        `yaml:"corner,flow"`
	List   []string          `yaml:"list,omitempty"`
	Small  int8              `yaml:"small,omitempty"`
	Opt    rim               `yaml:"opt,omitempty"`
	Ptrs   []*level          `yaml:"ptrs,omitempty"`
}

func TestEncode(t *testing.T) {
	half := level(0.5)
	got, err := Encode(&sheet{
		common: common{ID: "a1"}, Title: "yes: no", Key: -1.5, Maybe: &half, Rims: []rim{{Side: "both", Level: 1}},
		Named: map[string]level{"b": 2, "a": 1}, Corner: [3]float64{0, 1.5, -2}, Opt: rim{Places: Places{self: Place{Line: 1}}},
	})
	want := `id: a1
title: 'yes: no'
key: -1.5 stops
maybe: 0.5 stops
rims:
  - side: both
    level: 1 stops
named:
  a: 1 stops
  b: 2 stops
corner: [0, 1.5, -2]
`
	if err != nil || string(got) != want {
		t.Errorf("%v\n%s", err, got)
	}
	for _, bad := range []any{math.NaN(), []float64{math.Inf(1)}, "\xff", level(math.NaN()), make(chan int), map[int]int{1: 1}} {
		if b, err := Encode(bad); err == nil {
			t.Errorf("%v written as %q", bad, b)
		}
	}
	type loop struct {
		Next *loop `yaml:"next"`
	}
	var l loop
	l.Next = &l
	if _, err := Encode(&l); err == nil {
		t.Error("a loop was written")
	}
}

// An unread node is written as it stood, aliases spread out.
func TestEncodeNode(t *testing.T) {
	type shoot struct {
		Goals []Node `yaml:"goals"`
		None  Node   `yaml:"none"`
	}
	var s shoot
	if err := Decode(file("goals:\n  - rim: &x {side: both}\n  - again: *x\n  - '12'\n"), &s); err != nil {
		t.Fatal(err)
	}
	b, err := Encode(s)
	if want := "goals:\n  - rim: {side: both}\n  - again: {side: both}\n  - '12'\n"; err != nil || string(b) != want {
		t.Errorf("%v\n%s", err, b)
	}
}

func TestDecodeEncode(t *testing.T) {
	words := rapid.Map(rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"", "~", "null", "yes", "0x10", "1e3", "- a", "a: b", "#x", " x", "x ", "\n", "\nx\n", "x\n\n", "\t", "a\u2028b", "<<", "12:30:00", "=", "!x", "&a", "*a", "%", "@", "|", "{", "---", "...", "\ufeff", "\u0085"})), func(s string) string { return strings.Map(tame, s) })
	levels := rapid.Custom(func(t *rapid.T) level { return level(rapid.Float64Range(-1e6, 1e6).Draw(t, "level")) })
	rims := rapid.Custom(func(t *rapid.T) rim {
		return rim{Side: words.Draw(t, "side"), Level: levels.Draw(t, "level"), Within: rapid.Float64().Draw(t, "within")}
	})
	rapid.Check(t, func(t *rapid.T) {
		want := sheet{
			common: common{ID: words.Draw(t, "id"), Count: rapid.Int().Draw(t, "count")},
			Title:  words.Draw(t, "title"), Dark: rapid.Bool().Draw(t, "dark"), Key: levels.Draw(t, "key"),
			Rims:   rapid.SliceOfN(rims, 0, 3).Draw(t, "rims"),
			Named:  rapid.MapOfN(words, levels, 0, 3).Draw(t, "named"),
			Words:  rapid.MapOfN(words, words, 0, 3).Draw(t, "words"),
			List:   rapid.SliceOfN(words, 0, 3).Draw(t, "list"),
			Corner: [3]float64{rapid.Float64().Draw(t, "x"), 1, rapid.Float64().Draw(t, "z")},
			Small:  rapid.Int8().Draw(t, "small"), Opt: rims.Draw(t, "opt"),
			Ptrs: rapid.SliceOfN(rapid.Ptr(levels, true), 0, 3).Draw(t, "ptrs"),
		}
		if rapid.Bool().Draw(t, "maybe") {
			l := levels.Draw(t, "maybe level")
			want.Maybe = &l
		}
		text, err := Encode(want)
		if err != nil {
			t.Fatal(err)
		}
		var got sheet
		if err := Decode(&File{Name: "x", Text: text}, &got); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if d := cmp.Diff(want, got, cmpopts.IgnoreTypes(Places{}), cmpopts.EquateEmpty(), cmp.AllowUnexported(sheet{})); d != "" {
			t.Fatalf("%s\n%s", d, text)
		}
		again, err := Encode(got)
		if err != nil || string(again) != string(text) {
			t.Fatalf("written again as\n%s\nnot\n%s", again, text)
		}
	})
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{
		"id: a\nrims: {left: {side: both, level: 1 stops}}", "goals:\n  - rim: {side: both}\n  - iso: base\n", "a: &a [*a]", "- - - x", "? [a]\n: b",
		"id: !!int 3", "<<: {a: 1}", "id: |\n  a\n  b\n", "id: \"\\x00\"", "---\n...\n---\n", "\ufeffid: a", "id: a # b\n#c\n", "maybe: ~", "corner: [1e999, .nan, 0]",
		"a: &x {b: &y [1]}\nc: *x\nd: *y", "{a, b: c, ? d}", "id: 'a", "%YAML 1.2\n---\nid: a",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		in := &File{Name: "x", Text: text}
		var b brief
		if err := Decode(in, &b); err != nil {
			if strings.Count(err.Error(), "\n") > shownErrors {
				t.Fatalf("too much to read:\n%v", err)
			}
			for _, e := range err.(Errors) {
				if e.Msg == "" || strings.ContainsFunc(e.Error(), func(r rune) bool { return r < ' ' }) {
					t.Fatalf("%q", e.Error())
				}
				e.At.Snippet()
			}
		}
		var n struct {
			All Node `yaml:"a"`
		}
		if Decode(in, &n) == nil && n.All.Kind() != Absent {
			if out, err := Encode(n); err == nil {
				var again struct {
					All Node `yaml:"a"`
				}
				if err := Decode(&File{Name: "y", Text: out}, &again); err != nil {
					t.Fatalf("%q was written as %q: %v", text, out, err)
				}
			}
		}
	})
}

// Whatever a terminal would act on does not get beyond the reader; letters of all scripts do.
func TestControlCharactersAreReplaced(t *testing.T) {
	var v struct{ Name string }
	f := &File{Name: "x.yaml", Text: []byte(`name: "名前 ☃ é \u001b[31mred\u009b2J\u0007\u202edelrow"` + "\n")}
	if err := Decode(f, &v); err != nil {
		t.Fatal(err)
	}
	if want := "名前 ☃ é ?[31mred?2J??delrow"; v.Name != want {
		t.Errorf("read %q, not %q", v.Name, want)
	}
}
