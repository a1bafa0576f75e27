package constraints

import (
	"math"

	"falloff/inventory"
	"falloff/model/geom"
	"falloff/model/light"
	"falloff/model/unit"
)

// silverLobe is the exponent of the lobe in which a silver card reflects: a crinkled foil,
// half as bright 21 deg off the mirror direction (from memory).
const silverLobe = 10

// A shade is a card where it stands: what it throws back, and what it hides.
type shade struct {
	card  light.Card
	flag  light.Flag
	toEye geom.Vec // unit vector from the eyes to it
	fills float64  // 0..1, the share of what the face sees on a plane toward the card that it covers
}

// placeCard puts a card into a layout; lit is where each light of the set-up stands.
func (b *Bench) placeCard(k *inventory.CardSet, lit func(role string) geom.Vec) shade {
	item := b.Studio.Card(k.Item)
	to := geom.Polar(float64(k.Azimuth), float64(k.Elevation))
	eye := b.Eye()
	at := eye.Add(to.Mul(float64(k.Distance)))
	facing := to.Neg()
	switch {
	case k.Throws != "":
		facing = facing.Add(lit(k.Throws).Sub(at).Unit()).Unit()
	case k.Shades != "":
		facing = lit(k.Shades).Sub(at).Unit()
	}
	p := shade{toEye: to,
		card: light.Card{At: at, Normal: facing, W: float64(item.Face.W), H: float64(item.Face.H), Rho: float64(item.Reflectance),
			Mirror: float64(item.Mirror), Lobe: silverLobe},
		flag: light.Flag{At: at, Normal: facing, W: float64(item.Face.W), H: float64(item.Face.H)}}
	face := light.Emitter{Face: light.Face{Kind: light.Rect, W: p.card.W, H: p.card.H}}
	// A Lambertian face of 1 lumen has luminance 1/(pi A), so E = F/A.
	p.fills = min(1, face.Illuminance(light.Pose{At: at, Aim: at.Add(facing)}, eye, to)*p.card.W*p.card.H)
	return p
}

// lit works out every card under one light.
func (l *Layout) lit(e light.Emitter, pose light.Pose) []light.LitCard {
	var out []light.LitCard
	for i := range l.cards {
		out = append(out, l.cards[i].card.Lit(e, pose))
	}
	return out
}

// direct is the light of an emitter on a plane at q: straight, past the cards, and by way of
// one of them. Light from one card to another is left out.
func (l *Layout) direct(e light.Emitter, pose light.Pose, by []light.LitCard, q, n geom.Vec) float64 {
	got := e.Illuminance(pose, q, n)
	if len(by) == 0 {
		return got
	}
	got *= l.unhidden(e, pose, q, n, got)
	for i := range by {
		got += by[i].At(q, n)
	}
	return got
}

// unhidden is the share of an emitter's light at q that the cards let past; two that overlap
// are taken as independent.
func (l *Layout) unhidden(e light.Emitter, pose light.Pose, q, n geom.Vec, all float64) float64 {
	share := 1.0
	for i := range l.cards {
		if all > 0 {
			share *= e.Past(pose, l.cards[i].flag, q, n) / all
		}
	}
	return share
}

// filled is what the shadow side of the face gets of an emitter by the room and the cards:
// each card stands in the way of some of the room, gives part of that back, and throws
// what it gets of the light itself.
func (l *Layout) filled(by []light.LitCard, room float64) float64 {
	for i := range by {
		p := &l.cards[i]
		room *= 1 - p.fills*(1-p.card.Rho)
	}
	for i := range by {
		room += by[i].At(l.Eye, l.cards[i].toEye)
	}
	return room
}

// CardBox is where a card stands, as a pose of its face.
func (b *Bench) CardBox(k *inventory.CardSet) light.PoseBox {
	return light.PoseBox{Target: b.Eye(), D: unit.Point(float64(k.Distance)), Az: unit.Point(float64(k.Azimuth)), El: unit.Point(float64(k.Elevation))}
}

// cardLimits keeps cards out of the picture and inside the room.
func (b *Bench) cardLimits(out *checks, set *inventory.Setup, sc *Scene) {
	for i := range set.Cards {
		k := &set.Cards[i]
		item := b.Studio.Card(k.Item)
		face := light.Face{Kind: light.Rect, W: float64(item.Face.W), H: float64(item.Face.H)}
		box := b.CardBox(k)
		clear := sc.layout.Clear(box, face, false).Lo
		out.add(item.Label()+" out of the frame", clear, "The %s %s.", item.Label(), aside(clear))
		in := sc.layout.InRoom(box, Body{Face: face}, sc.Depth.Lo).Lo
		out.add(item.Label()+" in the room", in, "The %s %s.", item.Label(), clearance(in))
	}
}

// CardFill is what the cards of a set-up throw on the shadow side of the face, in stops
// against the key; -Inf if nothing.
func (b *Bench) CardFill(set *inventory.Setup, sc *Scene) float64 {
	sum := 0.0
	for i := range set.Lights {
		r, err := b.rigOf(&set.Lights[i])
		if err != nil {
			continue
		}
		l := &sc.Lights[r.role]
		pose := feathered(l.Pose, float64(r.set.Feather))
		for j := range sc.layout.cards {
			p := &sc.layout.cards[j]
			sum += math.Exp2(l.Level.Lo) * light.CardBounce(r.emitter, pose, p.card, sc.layout.Eye, p.toEye) / l.Reach.Target.Lo
		}
	}
	return math.Log2(sum) - sc.Lights[inventory.Key].Level.Lo
}
