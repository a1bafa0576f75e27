// Package solver finds set-ups that satisfy a brief, or proves that none does.
package solver

import (
	"falloff/constraints"
	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/unit"
	"falloff/solver/explain"
)

// Outcome is one of three, never two.
type Outcome string

const (
	Found     Outcome = "found"
	Cannot    Outcome = "cannot"    // proved, for every position and setting in the ranges and steps that README.md states
	Undecided Outcome = "undecided" // a limit was reached, and nothing was proved
)

// Options steer a search. The zero value is the default.
type Options struct {
	Count    int               // set-ups wanted; 5 if zero
	NoHelp   bool              // do not look for changes that help
	Prefer   Preference        // what set-ups are ranked by; fewer lights if empty
	Near     *inventory.Setup  // of Nearer
	Proof    bool              // write the proofs of conflicts down
	Work     int               // cap on candidates looked at; a generous default if zero
	Progress func(line string) // narration; nil for none

	prove   bool // show that the best is best
	verdict bool // only whether the brief can be met
	quick   bool // nothing found is not looked into
}

// Answer is what a search gives.
type Answer struct {
	Outcome  Outcome
	Setups   []*Checked  // best first, each checked by the full model
	Proved   bool        // no cheaper set-up exists on the lattice
	Conflict *Conflict   // when Outcome is Cannot: the first that was found
	Others   []*Conflict // more sets of musts that collide, each by itself
	Releases []*Release  // minimal sets of musts without which the rest can hold
	Whole    bool        // there are no other conflicts and no other releases
	Open     string      // when Undecided or not Proved: what stayed open and why
	OpenAt   []OpenPlace // when Undecided: the first of what stayed open, with its goals and places
	Stats    Stats
}

// Stats counts work; it never holds times, so that answers stay byte-identical.
type Stats struct{ Candidates, Lemmas, Rules, Boxes int }

// Checked is a set-up with what the full model says of it.
type Checked struct {
	Setup   *inventory.Setup
	Reading constraints.Reading
	Goals   []GoalResult        // in the brief's order
	Limits  []constraints.Limit // room, ceiling, loads, sync: must hold for any set-up
	Lights  []LightReport
	Cards   []CardReport
	Camera  CameraReport
	Cost    Cost
	Differs string   // in what it differs from the best, and what it gives up; empty for the best
	Fragile []string // sentences: what is close to its limit
	Doubts  constraints.Doubts
	// What to do about doubt, as sentences: lights to meter, the most needed first, and what
	// no meter makes sure.
	MeterFirst, Unsure []string
	Cautions           []string // sentences that apply to this set-up

	from *candidate // what the search made it from
}

// Holds reports whether every must and every limit holds.
func (c *Checked) Holds() bool {
	for _, l := range c.Limits {
		if !l.Holds {
			return false
		}
	}
	for _, g := range c.Goals {
		if g.Goal.Wish == 0 && !g.Holds {
			return false
		}
	}
	return true
}

// GoalResult is one goal against one set-up.
type GoalResult struct {
	Goal     *constraints.Goal
	Holds    bool
	Parts    []constraints.Part
	Sentence string

	Standing constraints.Standing // how sure it is, for a set-up that is shown
	Meter    []inventory.Role     // with IfMeter: the lights to meter,
	Within   unit.Stops           // and how closely
}

// Limit is a fact of kit or room that any set-up must respect.
type Limit = constraints.Limit

// LightReport is what is needed to build and meter one light.
type LightReport struct {
	Set      inventory.LightSet
	At, Aim  geom.Vec         // floor coordinates and height of the face centre; what it aims at
	FromBack unit.Length      // distance of At from the backdrop
	Dialled  string           // power as on the head: "1/4 +0.3" or "31 %"
	Level    unit.Stops       // this light alone against the camera's setting
	Meter    float64          // true f-number that a meter at the target shows at the set ISO (and shutter, for continuous light): facing the light, but for a background light flat on the paper
	Lux      unit.Illuminance // continuous light only
	Doubt    unit.Stops       // standard uncertainty of Level before metering
	Minutes  unit.Minutes
	Words    string // "soft (41 deg across)", "amber, 0.9 stop lost in the gel"
}

// CardReport is a card or a flag of a set-up.
type CardReport struct {
	Set      inventory.CardSet
	At       geom.Vec    // floor coordinates and height of its centre
	FromBack unit.Length // distance of At from the backdrop
}

// CameraReport is the camera in numbers that can be taped or dialled.
type CameraReport struct {
	Distance    unit.Length // lens to eyes
	Sensor      unit.Length // sensor mark to eyes, which is what a focus scale shows
	Height      unit.Length
	Pitch       unit.Angle // negative: looking down
	Focus       string     // "midway between the eyes" ...
	Filter      unit.Stops // neutral density on the lens; 0: none
	Near, Far   unit.Length
	NeededFlash float64 // lux-seconds for level 0
	// All lights together at the eyes, on a plane that faces the key, bounce included: against
	// the camera's setting, and as the studio's meter shows it.
	Together      unit.Stops
	TogetherMeter float64
	Veil          [inventory.NumRoles]float64 // what each light that shines into the lens adds to the whole picture, as a share of white
	CardFill      unit.Stops                  // what the cards throw on the shadow side, against the key; -Inf if nothing
}

// VeilShare is what all lights that shine into the lens add to the whole picture.
func (c *CameraReport) VeilShare() (sum float64) {
	for _, v := range c.Veil {
		sum += v
	}
	return sum
}

// Cost is what set-ups are ranked by, in this order.
type Cost struct {
	Missed  int // weights of wishes not met
	Lights  int
	Minutes int
	Tight   float64 // smallest margin in units of what is called fragile; larger is sturdier
}

// Conflict is a minimal set of goals that cannot all hold, and the argument.
type Conflict struct {
	Goals    []*constraints.Goal // each is needed: without any one of them the rest can hold
	KitAlone bool                // the kit and the room fail by themselves; Goals is empty
	Minimal  bool                // false if a limit stopped the shrinking
	Argument explain.Doc         // headline, quotes, steps, conclusion, weighed
	Help     []Help              // each applied and re-solved
	Tried    int                 // changes that were tried
	Proof    []byte              // the proof as solver/verify reads it, if it was asked for and repeated from nothing; see Proofs
}

// Help is a change that gives a plan.
type Help struct {
	Text, Cost string
	Leads      string // what the best set-up is then, in a few words
	Minutes    int
	Moves      []Move   // the numbers that it moves as little as will do; none for a change of another sort
	Setup      *Checked // meets the brief as it then reads; only where numbers move

	minor float64
}

// Move is how far one number of the brief must go so that the brief can be met.
type Move struct {
	Name  string // what moves: "aperture"
	Now   string // as it stands: "f/1.4"
	To    string // the least that was found to suffice: "f/6.3"
	Short string // the farthest that is proved not to be enough: "f/5.6"
	Open  bool   // between Short and To some step stayed open
}
