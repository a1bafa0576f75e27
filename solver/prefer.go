package solver

import (
	"cmp"
	"fmt"
	"slices"

	"falloff/inventory"
	"falloff/solver/internal/sat"
)

// Preference is what set-ups are ranked by once missed wishes are equal.
type Preference string

const (
	FewerLights Preference = "fewer-lights" // then minutes, then the sturdier; the default
	Faster      Preference = "faster"       // minutes, then lights
	Sturdier    Preference = "sturdier"     // the smallest margin; among those that turn up
	Nearer      Preference = "nearer"       // like a given set-up; among those that turn up
)

// Preferences lists them all.
var Preferences = []Preference{FewerLights, Faster, Sturdier, Nearer}

// counted reports whether a preference is a sum that the search can bound.
func (p Preference) counted() bool { return p == "" || p == FewerLights || p == Faster }

// sums are what a set-up costs, the most important first.
func (l *lattice) sums() [3]*sat.Order {
	if l.prefer == Faster {
		return [3]*sat.Order{l.missed, l.minutes, l.lights}
	}
	return [3]*sat.Order{l.missed, l.lights, l.minutes}
}

// ranks are numbers in the order of sums. As lower bounds of the cost they only grow while
// rules are added.
type ranks [3]int

// ranksOf is a cost in the order of sums.
func (l *lattice) ranksOf(c Cost) ranks {
	minutes := c.Minutes - l.bench.CameraMinutes()
	if l.prefer == Faster {
		return ranks{c.Missed, minutes, c.Lights}
	}
	return ranks{c.Missed, c.Lights, minutes}
}

// sumNames are how more of a sum is told, in the order of sums.
func (l *lattice) sumNames() [3]string {
	if l.prefer == Faster {
		return [3]string{"fewer missed wishes", "less time", "fewer lights"}
	}
	return [3]string{"fewer missed wishes", "fewer lights", "less time"}
}

// compare ranks two set-ups: negative if the first is better.
func (l *lattice) compare(x, y *Checked) int {
	a, b := l.ranksOf(x.Cost), l.ranksOf(y.Cost)
	sturdy := cmp.Compare(y.Cost.Tight, x.Cost.Tight)
	switch l.prefer {
	case Sturdier:
		return cmp.Or(cmp.Compare(a[0], b[0]), sturdy, slices.Compare(a[:], b[:]))
	case Nearer:
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(changed(l.near, x.Setup), changed(l.near, y.Setup)), slices.Compare(a[:], b[:]), sturdy)
	}
	return cmp.Or(slices.Compare(a[:], b[:]), sturdy)
}

// changed counts what would have to be changed to get from one set-up to another: lens,
// backdrop, and of each light head, modifier, grid, gel and stand; a light that comes or goes
// counts as all of its parts.
func changed(from, to *inventory.Setup) (n int) {
	differ := func(a, b inventory.ID) {
		if a != b {
			n++
		}
	}
	differ(from.Camera.Lens, to.Camera.Lens)
	differ(from.Backdrop.Item, to.Backdrop.Item)
	const parts = 5
	of := func(s *inventory.Setup, role string) *inventory.LightSet {
		for i := range s.Lights {
			if s.Lights[i].Role == role {
				return &s.Lights[i]
			}
		}
		return nil
	}
	for _, x := range to.Lights {
		was := of(from, x.Role)
		if was == nil {
			n += parts
			continue
		}
		differ(was.Head, x.Head)
		differ(was.Modifier, x.Modifier)
		differ(was.Grid, x.Grid)
		differ(was.Gel, x.Gel)
		differ(was.Stand, x.Stand)
	}
	for _, x := range from.Lights {
		if of(to, x.Role) == nil {
			n += parts
		}
	}
	return n
}

// provedSoFar says what is proved of the best, where the proof stopped at the k-th sum.
func (l *lattice) provedSoFar(k int, c ranks) string {
	names := l.sumNames()
	var proved []string
	for j, name := range names[:k] {
		if c[j] > 0 {
			proved = append(proved, name)
		}
	}
	text := fmt.Sprintf("one with %s may exist", names[k])
	if len(proved) > 0 {
		text = fmt.Sprintf("none with %s exists, which is proved, but %s", list(proved), text)
	}
	return text
}
