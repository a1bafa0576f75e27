package solver

import (
	"cmp"
	"context"
	"math"
	"slices"

	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/unit"
	"falloff/solver/internal/sat"
)

// Hiring is what a list can add to a kit for one brief.
type Hiring struct {
	Outcome Outcome // whether own kit and list together can do it
	Joint   *inventory.Studio
	Own     *Answer  // what the own kit does alone
	Lacks   bool     // the brief names kit that the own does not have
	Free    []Help   // changes that need nothing from any list, each applied and solved again
	Offers  []*Offer // each cheapest for what it reaches, the cheapest first
	Open    string   // when Undecided
}

// Offer is the cheapest addition that makes the brief possible, or possible with fewer
// wishes missed.
type Offer struct {
	Items  []Hired // in the list's order
	Price  unit.Money
	Missed int // weights of the wishes that are still missed
	Setup  *Checked
	Proved bool   // nothing cheaper does, nor as cheap with fewer pieces
	Open   string // when not Proved
}

// Hired is some pieces of one item, and what they are needed for.
type Hired struct {
	inventory.Loan
	Pieces  int
	Unlocks []*constraints.Goal // cannot all hold with one piece less; empty where that was not proved
}

// Hire finds the cheapest additions from a list. The brief must be bound to the joint
// studio, for it may name items of the list.
func Hire(ctx context.Context, own, list *inventory.Studio, b *constraints.Brief, o Options) (*Hiring, error) {
	joint, loans := own.With(list)
	o.Count, o.NoHelp = 1, true
	alone, err := planAlone(ctx, own, b, o)
	if err != nil {
		return nil, err
	}
	out := &Hiring{Outcome: alone.Outcome, Joint: joint, Own: alone, Lacks: len(b.Lacking(own)) > 0}
	enough := math.MaxInt // wishes missed beyond which an offer is no gain
	if alone.Outcome == Found {
		if enough = alone.Setups[0].Cost.Missed; enough == 0 {
			return out, nil
		}
	}
	if alone.Outcome == Cannot {
		out.Free = free(ctx, own, b, alone.Conflict)
	}
	h := &hiring{inquiry: inquire(ctx, &constraints.Bench{Studio: joint, Brief: b}, o), loans: loans}
	h.encode()
	for enough > 0 {
		offer, outcome := h.cheapest(enough)
		if outcome != sat.Yes {
			if len(out.Offers) == 0 && alone.Outcome != Found {
				out.Outcome = Undecided
				if outcome == sat.No {
					out.Outcome = Cannot
				}
				out.Open = h.whatIsOpen()
			}
			break
		}
		out.Outcome = Found
		h.unlocks(offer)
		out.Offers = append(out.Offers, offer)
		enough = offer.Missed
	}
	return out, nil
}

// planAlone plans with the own kit, and as far only as it is shown: no proof that a set-up is
// the best where no wish is missed, and one conflict. A brief that names kit which is not there
// cannot be met.
func planAlone(ctx context.Context, own *inventory.Studio, b *constraints.Brief, o Options) (*Answer, error) {
	if lacking := b.Lacking(own); len(lacking) > 0 {
		return &Answer{Outcome: Cannot, Conflict: &Conflict{Goals: lacking, Minimal: true}}, nil
	}
	if len(b.Goals) > maxGoals {
		return Plan(ctx, own, b, o)
	}
	h := inquire(ctx, &constraints.Bench{Studio: own, Brief: b}, o)
	h.left = defaultWork
	a := h.plan(Options{Count: 1})
	switch {
	case a.Outcome == Cannot:
		goals, minimal := h.clash(nil)
		a.Conflict = &Conflict{Goals: goals, Minimal: minimal, KitAlone: len(goals) == 0}
		return a, nil
	case a.Outcome == Found && a.Setups[0].Cost.Missed == 0:
		return a, nil
	}
	return Plan(ctx, own, b, o)
}

// mostFree is how many changes without money are listed.
const mostFree = 3

// free lists changes of the brief, the room or the work that make the brief possible and
// bring no piece of kit, mildest first.
func free(ctx context.Context, own *inventory.Studio, b *constraints.Brief, c *Conflict) (out []Help) {
	bench := &constraints.Bench{Studio: own, Brief: b}
	var all []constraints.Change
	for _, g := range c.Goals {
		all = slices.AppendSeq(all, g.Req.Relax(bench))
	}
	slices.SortStableFunc(all, func(x, y constraints.Change) int { return cmp.Compare(x.Minor, y.Minor) })
	h := inquire(ctx, bench, Options{})
	for _, ch := range all {
		said := slices.ContainsFunc(out, func(x Help) bool { return stem(x.Text) == stem(ch.Text) })
		if said || len(out) == mostFree || brings(ch, own, b) {
			continue
		}
		if k := h.solved(ch, Options{}); k != nil {
			out = append(out, Help{Text: ch.Text, Cost: ch.Cost, Leads: k.summary(h.changed), Minutes: k.Cost.Minutes})
		}
	}
	return out
}

// brings reports whether a change adds to the kit.
func brings(ch constraints.Change, own *inventory.Studio, b *constraints.Brief) bool {
	changed := own.Copy()
	ch.Apply(b.Clone(), changed)
	return changed.Items() > own.Items()
}

// hiring is an inquiry that counts what is hired.
type hiring struct {
	*inquiry
	loans    []inventory.Loan
	triggers []inventory.Loan // by what a head costs that they fire

	price, pieces *sat.Order // the price in the largest coin that pays every rate
	coin          int        // cents
}

// Bounds up to which prices, in coins, and pieces are told apart. What lies beyond is
// found, and not ranked.
const (
	dearest    = 240
	mostPieces = 12
)

func cents(m unit.Money) int { return int(math.Round(float64(m) * 100)) }

// encode counts the pieces that a candidate takes beyond the studio's own.
func (h *hiring) encode() {
	var pieces, price []sat.Term
	count := func(x sat.Lit, n, rate int) {
		pieces = append(pieces, sat.Term{Lit: x, Weight: n})
		if rate > 0 {
			price = append(price, sat.Term{Lit: x, Weight: rate})
			h.coin = gcd(h.coin, rate)
		}
	}
	for _, loan := range h.loans {
		if h.l.bench.Studio.Trigger(loan.ID) != nil {
			h.triggers = append(h.triggers, loan)
			continue
		}
		lits := h.l.uses(loan.ID)
		for n := loan.Own + 1; n <= min(len(lits), loan.Own+loan.Count); n++ {
			count(h.l.reaches(n, lits), 1, cents(loan.Rate))
		}
	}
	flashes := h.l.flashes()
	var before inventory.Loan
	for n := h.ownFires() + 1; len(h.triggers) > 0 && n <= len(flashes); n++ {
		loan := h.trigger(n)
		if loan == nil {
			break // the lattice counts what all triggers fire together
		}
		count(h.l.reaches(n, flashes), loan.Count-before.Count, cents(loan.Rate)-cents(before.Rate))
		before = *loan
	}
	for i := range price {
		price[i].Weight /= h.coin
	}
	h.price, h.pieces = h.l.p.Sum(price, dearest), h.l.p.Sum(pieces, mostPieces)
}

// ownFires is how many heads the studio's own triggers fire.
func (h *hiring) ownFires() int {
	n := 0
	for _, t := range h.triggers {
		n += t.Own * h.l.bench.Studio.Trigger(t.ID).Fires
	}
	for _, t := range h.l.bench.Studio.Shelf().Triggers {
		if !slices.ContainsFunc(h.triggers, func(l inventory.Loan) bool { return l.ID == t.ID }) {
			n += t.Count * t.Fires
		}
	}
	return n
}

// trigger is the cheapest item of the list one piece or more of which lets n heads fire:
// the loan with its price for all of them as the rate and their number as the count. Nil
// where no item alone does.
func (h *hiring) trigger(n int) (best *inventory.Loan) {
	missing := n - h.ownFires()
	for _, t := range h.triggers {
		fires := h.l.bench.Studio.Trigger(t.ID).Fires
		pieces := (missing + fires - 1) / fires
		if pieces > t.Count {
			continue
		}
		all := inventory.Loan{ID: t.ID, Own: t.Own, Count: pieces, Rate: t.Rate * unit.Money(pieces)}
		if best == nil || all.Rate < best.Rate {
			best = &all
		}
	}
	return best
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// cheapest finds the offer of least price, then of fewest pieces, that misses fewer wishes
// than some weight, and proves it so.
func (h *hiring) cheapest(below int) (*Offer, sat.Outcome) {
	var assume []sat.Lit
	if below != math.MaxInt {
		assume = append(assume, h.l.missed.UpTo(below-1))
	}
	k, outcome := h.least(assume, h.price, h.pieces)
	if outcome != sat.Yes {
		return nil, outcome
	}
	offer := &Offer{Items: h.items(k.Setup), Price: unit.Money(float64(h.priceOf(k)) / 100), Missed: k.Cost.Missed, Setup: k, Proved: len(h.open) == 0 && h.ranked(k)}
	if !offer.Proved {
		offer.Open = "something cheaper may do; " + h.unproved()
	}
	k.complete(h.l.bench)
	return offer, sat.Yes
}

// items lists what a set-up takes beyond the studio's own.
func (h *hiring) items(set *inventory.Setup) (out []Hired) {
	n := Used(set)
	var trigger *inventory.Loan
	if fires := flashHeads(set); len(h.triggers) > 0 && fires > h.ownFires() {
		trigger = h.trigger(fires)
	}
	for _, loan := range h.loans {
		if more := n[loan.ID] - loan.Own; more > 0 {
			out = append(out, Hired{Loan: loan, Pieces: more})
		} else if trigger != nil && trigger.ID == loan.ID {
			out = append(out, Hired{Loan: loan, Pieces: trigger.Count})
		}
	}
	return out
}

// unproved says why an offer is not proved the cheapest.
func (h *hiring) unproved() string {
	if len(h.open) == 0 {
		return "offers as dear as this are not ranked among each other"
	}
	return h.whatIsOpen()
}

// ranked reports whether an offer lies below the bounds up to which offers are told apart.
func (h *hiring) ranked(k *Checked) bool {
	pieces := 0
	for _, x := range h.items(k.Setup) {
		pieces += x.Pieces
	}
	return h.priceOf(k) <= dearest*max(1, h.coin) && pieces <= mostPieces
}

func (h *hiring) priceOf(k *Checked) (total int) {
	for _, x := range h.items(k.Setup) {
		total += x.Pieces * cents(x.Rate)
	}
	return total
}

// unlocks says for each item what could not be had with one piece less of it.
func (h *hiring) unlocks(offer *Offer) {
	for i := range offer.Items {
		limits := h.within(offer.Items, i)
		h.left, h.open = h.tries, nil
		clear(h.tried)
		if _, outcome := h.decide(append(slices.Clone(h.keep), limits...)); outcome == sat.No {
			offer.Items[i].Unlocks, _ = h.clash(limits)
		}
	}
}

// within holds what is hired to some items, less one piece of the one at an index.
func (h *hiring) within(items []Hired, less int) (out []sat.Lit) {
	pieces := func(id inventory.ID) (n int) {
		for i, x := range items {
			if x.ID == id {
				n = x.Pieces
				if i == less {
					n--
				}
			}
		}
		return n
	}
	fires := h.ownFires()
	for _, loan := range h.loans {
		if t := h.l.bench.Studio.Trigger(loan.ID); t != nil {
			fires += pieces(loan.ID) * t.Fires
			continue
		}
		out = append(out, h.l.reaches(loan.Own+pieces(loan.ID)+1, h.l.uses(loan.ID)).Not())
	}
	if len(h.triggers) > 0 {
		out = append(out, h.l.reaches(fires+1, h.l.flashes()).Not())
	}
	return out
}
