package solver

import (
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
)

// Where a card is tried, opposite the key and turned to throw its light on the eyes.
var (
	cardDistances  = []unit.Length{0.6, 0.5, 0.7, 0.4, 0.8, 0.9, 1, 1.2} // the usual first
	cardAzimuths   = []float64{60, 80, 45, 100}                          // deg from the camera axis
	cardElevations = []float64{0, -15}                                   // deg
)

// palest is the least reflectance of a card that is worth trying as a fill; darker ones
// shade.
const palest unit.Share = 0.5

// carded answers a brief that lights alone cannot meet with set-ups in which a card does
// what some goals ask of a light: it plans without those goals, and tries cards beside what
// it finds. Every set-up has been checked with all goals. It proves nothing where it fails.
func (h *hunt) carded(o Options) []*Checked {
	l := h.l
	brief := l.bench.Brief.Clone()
	brief.Goals = slices.DeleteFunc(brief.Goals, func(g *constraints.Goal) bool {
		c, ok := g.Req.(constraints.Carded)
		return ok && c.ByCard() && g.Wish == 0
	})
	cards := l.bench.Studio.Shelf().Cards
	if len(cards) == 0 || len(brief.Goals) == len(l.bench.Brief.Goals) {
		return nil
	}
	h.tell("lights alone cannot do it: trying cards")
	again := newLattice(&constraints.Bench{Studio: l.bench.Studio, Brief: brief, Flat: l.bench.Flat, Places: l.bench.Places}, brief.Goals, false)
	got := newHunt(h.ctx, again, helpTries, nil).plan(Options{Count: alwaysFind, quick: true})
	var out []*Checked
	for _, k := range got.Setups {
		if with := l.withCard(k.Setup, cards); with != nil {
			out = append(out, with)
		}
	}
	return out[:min(len(out), o.Count)]
}

// withCard is the sturdiest of a set-up with one card; nil if no place and no card will do.
func (l *lattice) withCard(set *inventory.Setup, cards []*inventory.Card) *Checked {
	side := 1.0
	for i := range set.Lights {
		if k := &set.Lights[i]; k.Role == inventory.Key.String() && k.Azimuth > 0 {
			side = -1
		}
	}
	var best *Checked
	for _, card := range cards {
		if card.Reflectance < palest {
			continue
		}
		for _, el := range cardElevations {
			for _, az := range cardAzimuths {
				for _, d := range cardDistances {
					with := *set
					with.Cards = []inventory.CardSet{{Item: card.ID, Throws: inventory.Key.String(), Distance: d,
						Azimuth: unit.Angle(side*az) * unit.Degree, Elevation: unit.Angle(el) * unit.Degree}}
					got, err := check(l.bench, l.goals, &with)
					if err != nil || !l.satisfies(got, l.must()) {
						continue
					}
					if best == nil || got.Cost.Tight > best.Cost.Tight+1e-9 {
						best = got
					}
				}
			}
		}
		if best != nil {
			return best
		}
	}
	return nil
}

// must is the set of goals that have to hold.
func (l *lattice) must() (m mask) {
	for i, g := range l.goals {
		if g.Wish == 0 {
			m |= 1 << i
		}
	}
	return m
}

// What is said of a plan that rests on a card.
const (
	onlyWithCards = "lights alone cannot meet the brief, which is proved, and not every place of a card was tried"
	maybeByLights = "it rests on a card, not every place of which was tried, and lights alone were not looked through to the end"
)

// cardsBest tries cards where lights alone cannot, or where that stayed open.
func (h *hunt) cardsBest(a *Answer, o Options) {
	proved := a.Outcome == Cannot
	found := h.carded(o)
	if len(found) == 0 {
		return
	}
	a.Outcome, a.Setups, a.Proved = Found, found, false
	h.l.rank(a)
	a.Open = maybeByLights
	if proved {
		a.Open = onlyWithCards
	}
}
