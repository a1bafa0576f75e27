package cmd_test

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"falloff/cmd/internal/report/draw"
	"falloff/inventory"
	"falloff/inventory/hirehouse"
	"falloff/model/source"
)

var growthFile = flag.String("growth", "", "file of the plot that TestGrowth draws")

// The same wish for three lights, asked with more and more kit to choose from, and with
// stands in plenty, just enough of them, and one too few.
var scarcities = []struct {
	name   string
	stands int // 0: all that the house has
	exit   int
}{
	{"stands in plenty", 0, 0},
	{"three stands for three lights", 3, 0},
	{"two stands: a proof that it cannot be", 2, 3},
}

var sizes = []int{40, 80, 160, 320, 640, 1000, 1400, 2000}

// growthRuns is how often each is asked; the middle of the times counts.
const growthRuns = 3

type measured struct{ items, seconds float64 }

// TestGrowth measures the processor time of the program, its start included, against the
// number of items in the studio file, counts included. It says nothing of how long that may
// be, only that the answers are right:
//
//	go test ./cmd -run Growth -growth growth.svg -v -timeout 1h
func TestGrowth(t *testing.T) {
	if *growthFile == "" {
		t.Skip("a measurement that takes minutes; -growth names the file of its plot")
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "falloff")
	if runtime.GOOS == "windows" {
		program += ".exe"
	}
	if out, err := exec.Command("go", "build", "-o", program, "./falloff").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	brief := filepath.Join("..", "examples", "briefs", "three-lights.yaml")
	all := make([][]measured, len(scarcities))
	for i, s := range scarcities {
		for _, n := range sizes {
			text, items := stocked(t, n, s.stands)
			studio := filepath.Join(dir, "studio.yaml")
			if err := os.WriteFile(studio, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			var times []float64
			for range growthRuns {
				c := exec.Command(program, "plan", brief, "--studio", studio)
				err := c.Run()
				if _, ended := errors.AsType[*exec.ExitError](err); err != nil && !ended {
					t.Fatal(err)
				}
				if got := c.ProcessState.ExitCode(); got != s.exit {
					t.Errorf("%s, %d items: exit code %d, not %d", s.name, items, got, s.exit)
				}
				times = append(times, (c.ProcessState.UserTime() + c.ProcessState.SystemTime()).Seconds())
			}
			slices.Sort(times)
			m := measured{float64(items), times[growthRuns/2]}
			all[i] = append(all[i], m)
			t.Logf("%s: %d items, %.3f s", s.name, items, m.seconds)
		}
		_, k := power(all[i])
		t.Logf("%s: time grows as n^%.2f", s.name, k)
	}
	if err := os.WriteFile(*growthFile, []byte(growthPlot(all).File()), 0o666); err != nil {
		t.Fatal(err)
	}
}

// stocked is the studio of two stands with kit of a hire house beside its own, about n items
// in all, and how many they are.
func stocked(t *testing.T, n, stands int) (text string, items int) {
	t.Helper()
	own, err := os.ReadFile(filepath.Join("..", "examples", "studios", "two-stands.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	n -= 15 // the kit's own
	if stands > 0 {
		n = n * 100 / 88 // for the house's stands stay away
	}
	text = together(string(own), string(hirehouse.YAML(n)), stands)
	s, err := inventory.LoadFrom(&source.File{Name: "studio.yaml", Text: []byte(text)})
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for x := range s.Things() {
		items += inventory.ItemOf(x).Count
	}
	return text, items
}

var (
	className = regexp.MustCompile(`(?m)^([a-z]+):\n`)
	ofStands  = regexp.MustCompile(`(id: stand,.*count: )\d+`)
)

// together adds the kit of a house to a studio file, class by class; its stands only if no
// number of stands is given, which the studio's own are then.
func together(own, house string, stands int) string {
	for _, class := range []string{"cameras", "lenses", "heads", "modifiers", "grids", "gels", "cards", "stands", "booms", "backdrops", "triggers"} {
		_, kit, there := strings.Cut(house, "\n"+class+":\n")
		if !there || class == "stands" && stands > 0 {
			continue
		}
		if next := className.FindStringIndex(kit); next != nil {
			kit = kit[:next[0]]
		}
		kit = strings.TrimRight(kit, "\n") + "\n"
		head := "\n" + class + ":\n"
		if strings.Contains(own, head) {
			own = strings.Replace(own, head, head+kit, 1)
		} else {
			own += head + kit
		}
	}
	if stands > 0 {
		own = ofStands.ReplaceAllString(own, "${1}"+strconv.Itoa(stands))
	}
	return own
}

// power fits seconds = a n^k by least squares of the logarithms.
func power(of []measured) (a, k float64) {
	var x, y, xx, xy float64
	for _, m := range of {
		u, v := math.Log(m.items), math.Log(m.seconds)
		x, y, xx, xy = x+u, y+v, xx+u*u, xy+u*v
	}
	n := float64(len(of))
	k = (n*xy - x*y) / (n*xx - x*x)
	return math.Exp((y - k*x) / n), k
}

// growthPlot draws the times on logarithmic axes, with the fits.
func growthPlot(all [][]measured) *draw.Picture {
	p := draw.New("", "growth", "Processor time against the number of items", 92)
	a, b := draw.Point{X: 14, Y: 9}, draw.Point{X: 114, Y: 60}
	lo, hi := 1.0, 0.0
	for _, of := range all {
		for _, m := range of {
			lo, hi = min(lo, m.seconds), max(hi, m.seconds)
		}
	}
	least, most := math.Floor(math.Log10(lo)), math.Ceil(math.Log10(hi))
	first, last := math.Log10(30.0), math.Log10(3000.0)
	at := func(n, s float64) draw.Point {
		return draw.Point{X: a.X + (b.X-a.X)*(math.Log10(n)-first)/(last-first), Y: b.Y - (b.Y-a.Y)*(math.Log10(s)-least)/(most-least)}
	}
	for _, n := range []float64{40, 100, 200, 500, 1000, 2000} {
		x := at(n, math.Pow(10, least)).X
		p.Line("grid", draw.Point{X: x, Y: a.Y}, draw.Point{X: x, Y: b.Y})
		p.Text("small", draw.Point{X: x, Y: b.Y + 4.4}, draw.Middle, strconv.Itoa(int(n)))
	}
	for e := least; e <= most; e++ {
		y := at(100, math.Pow(10, e)).Y
		p.Line("grid", draw.Point{X: a.X, Y: y}, draw.Point{X: b.X, Y: y})
		p.Text("small", draw.Point{X: a.X - 1.6, Y: y + 1.1}, draw.End, strconv.FormatFloat(math.Pow(10, e), 'g', 3, 64))
	}
	p.Path("axis", []draw.Point{{X: a.X, Y: a.Y}, {X: a.X, Y: b.Y}, {X: b.X, Y: b.Y}}, false)
	p.Text("small muted", draw.Point{X: (a.X + b.X) / 2, Y: b.Y + 9}, draw.Middle, "items in the studio file, counts included")
	p.Text("small muted", draw.Point{X: 1.5, Y: a.Y - 3}, draw.Start, "processor time, s")
	for i, of := range all {
		factor, k := power(of)
		class := "d" + strconv.Itoa(i+1)
		from, to := of[0].items, of[len(of)-1].items
		p.Line(class, at(from, factor*math.Pow(from, k)), at(to, factor*math.Pow(to, k)))
		for _, m := range of {
			mark(p, i, at(m.items, m.seconds))
		}
		y := b.Y + 16 + 5*float64(i)
		p.Line(class, draw.Point{X: a.X, Y: y - 1.2}, draw.Point{X: a.X + 12, Y: y - 1.2})
		mark(p, i, draw.Point{X: a.X + 6, Y: y - 1.2})
		says := fmt.Sprintf("%s: n^%.2f", scarcities[i].name, k)
		p.Text("small", draw.Point{X: a.X + 14, Y: y}, draw.Start, says)
		p.Says += says + ". "
	}
	return p
}

// mark draws a point of the n-th kind.
func mark(p *draw.Picture, n int, at draw.Point) {
	const r = 0.9
	switch n {
	case 0:
		p.Circle("solid", at, r)
	case 1:
		p.Circle("badge", at, r)
	default:
		p.Rect("badge", draw.Point{X: at.X - r, Y: at.Y - r}, draw.Point{X: at.X + r, Y: at.Y + r})
	}
}
