package solver

import (
	"math"
	"math/bits"

	"falloff/constraints"
	"falloff/inventory"
)

// Leg is one look of a walk, with what leads to it from the look before.
type Leg struct {
	Rung *Rung
	Acts []Act
	Time Time
}

// longestWalk caps the looks of a walk; the order is found by trying all.
const longestWalk = 9

// Walk strings rungs of a ladder into the quickest sequence, each look from the one before:
// as many looks as fit into the minutes (0: all of the first few rungs), in the order that
// takes least time of all orders.
func Walk(s *inventory.Studio, b *constraints.Brief, l *Ladder, minutes float64) []Leg {
	rungs := l.Rungs[:min(longestWalk, len(l.Rungs))]
	stances := []*Stance{{*l.Now.Setup, b.Sitter.Turn}}
	for _, r := range rungs {
		stances = append(stances, &r.To)
	}
	c := newCrew(s)
	legs := make([][]Leg, len(stances))
	for i, from := range stances {
		for j, to := range stances {
			leg := Leg{}
			if j > 0 && i != j {
				leg.Rung = rungs[j-1]
				leg.Acts, leg.Time = way(s, c, &constraints.Bench{Studio: s, Brief: b}, from, to)
			}
			legs[i] = append(legs[i], leg)
		}
	}
	var out []Leg
	for _, at := range quickestOrder(len(rungs), minutes, func(i, j int) float64 { return legs[i][j].Time.of(s) }) {
		from := 0
		if n := len(out); n > 0 {
			for i, r := range rungs {
				if r == out[n-1].Rung {
					from = i + 1
				}
			}
		}
		out = append(out, legs[from][at])
	}
	return out
}

// quickestOrder finds the order of most of 1..n that fit into a limit (0: no limit), from
// 0 on, with the least total cost, by the recurrence of Held and Karp (1962).
func quickestOrder(n int, limit float64, cost func(i, j int) float64) []int {
	best := make([][]float64, 1<<n) // by the set of those visited and the last of them
	from := make([][]int, 1<<n)
	most, total, set, last := 0, 0.0, 0, -1
	for mask := range best {
		best[mask], from[mask] = make([]float64, n), make([]int, n)
		for j := range n {
			best[mask][j] = math.Inf(1)
			if mask>>j&1 == 0 {
				continue
			}
			before := mask &^ (1 << j)
			if before == 0 {
				best[mask][j], from[mask][j] = cost(0, j+1), -1
			}
			for i := range n {
				if before>>i&1 == 1 && best[before][i]+cost(i+1, j+1) < best[mask][j] {
					best[mask][j], from[mask][j] = best[before][i]+cost(i+1, j+1), i
				}
			}
			if limit > 0 && best[mask][j] > limit+1e-9 {
				continue
			}
			if k := bits.OnesCount(uint(mask)); k > most || k == most && best[mask][j] < total {
				most, total, set, last = k, best[mask][j], mask, j
			}
		}
	}
	var out []int
	for last >= 0 {
		out = append([]int{last + 1}, out...)
		set, last = set&^(1<<last), from[set][last]
	}
	return out
}
