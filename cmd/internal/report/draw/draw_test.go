package draw

import (
	"encoding/xml"
	"io"
	"slices"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// wellFormed reads a text as strict XML.
func wellFormed(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// Names come from users: whatever they hold, a picture stays well-formed and says them.
func TestAnyTextIsEscaped(t *testing.T) {
	nasty := `</text><script>alert("1 & 2")</script>'`
	p := New("a-", "b", nasty, 50)
	p.Says = nasty
	p.Text("small", Point{10, 10}, Start, nasty)
	p.Open("light", "data-role", nasty)
	p.Close()
	for _, svg := range []string{p.SVG(), p.File()} {
		if err := wellFormed(svg); err != nil {
			t.Error(err)
		}
		if strings.Contains(svg, "<script") {
			t.Error("a text became an element")
		}
	}
}

// Spread labels keep their order, do not overlap, and stay between the ends when there is
// room for all.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		at, size := make([]float64, n), make([]float64, n)
		sum := 0.0
		for i := range n {
			at[i] = float64(rapid.IntRange(-20, 120).Draw(t, "at"))
			size[i] = float64(rapid.IntRange(1, 12).Draw(t, "size"))
			sum += size[i]
		}
		got := Spread(at, size, 0, 100)
		order := make([]int, n)
		for i := range order {
			order[i] = i
		}
		sort.SliceStable(order, func(a, b int) bool { return at[order[a]] < at[order[b]] })
		for k, i := range order {
			if got[i]-size[i]/2 < -1e-9 || got[i]+size[i]/2 > 100+1e-9 {
				t.Fatalf("%v of %v is off the ruler: %v", i, at, got)
			}
			if k > 0 {
				j := order[k-1]
				if got[i]-size[i]/2 < got[j]+size[j]/2-1e-9 {
					t.Fatalf("%v and %v overlap: %v", j, i, got)
				}
			}
		}
	})
}

// Labels that have room stay where they are.
func TestSpreadLeavesWhatIsFree(t *testing.T) {
	got := Spread([]float64{50, 10, 90}, []float64{8, 8, 8}, 0, 100)
	if !slices.Equal(got, []float64{50, 10, 90}) {
		t.Errorf("%v", got)
	}
	// 8 and 4 wide, side by side from s: (s+4-50)^2 + (s+10-50)^2 is least at s = 43.
	if got := Spread([]float64{50, 50}, []float64{8, 4}, 0, 100); !slices.Equal(got, []float64{47, 53}) {
		t.Errorf("%v, want both as near to 50 as they get", got)
	}
}

// A text goes to the first spot that is free.
func TestFitKeepsOut(t *testing.T) {
	p := New("", "a", "", 50)
	p.Take(Box{0, 0, 60, 50})
	spots := []Spot{{Point{5, 20}, Start}, {Point{70, 20}, Start}, {Point{90, 20}, Start}}
	if got := p.Fit("", "text", spots); got != spots[1] {
		t.Errorf("%v", got)
	}
	if got := p.Fit("", "text", spots); got != spots[2] {
		t.Errorf("the second text went to %v", got)
	}
}
