package sat

import (
	"time"

	"github.com/go-air/gini"
	"github.com/go-air/gini/z"
)

// An engine is one gini solver, used only in ways that were measured to be safe with
// gini v1.0.4. Its owner keeps these rules:
//
//   - model and why are read at once after solve, before any add;
//   - after a No with an empty why the engine is dropped, because gini may end the
//     process when it is asked again; after any other No why settles it;
//   - after an Unknown the engine is dropped, so that what follows does not depend on
//     where the clock happened to stop it.
type engine struct {
	gini *gini.Gini
	fed  int  // clauses of the problem it has seen
	rush bool // a deadline was set once; gini never forgets one
	core []z.Lit
}

// forever replaces a deadline that gini would otherwise keep.
const forever = 100 * 365 * 24 * time.Hour

// newEngine sizes gini beforehand: it starts with room for vars variables, and with
// room for the given number of literals in clauses.
func newEngine(vars, lits int) *engine {
	room := vars + vars/8 + 16
	return &engine{gini: gini.NewVc(room, lits/3+room)}
}

func (e *engine) add(clause []Lit) {
	for _, m := range clause {
		e.gini.Add(outward(m))
	}
	e.gini.Add(z.LitNull)
	e.fed++
}

// solve decides under the assumptions. A limit of 0 means none.
func (e *engine) solve(limit time.Duration, assume []Lit) Outcome {
	for _, m := range assume {
		if m != True {
			e.gini.Assume(outward(m))
		}
	}
	var answer int
	switch {
	case limit > 0:
		e.rush = true
		answer = e.gini.Try(limit)
	case e.rush:
		answer = e.gini.Try(forever)
	default:
		answer = e.gini.Solve()
	}
	switch answer {
	case 1:
		return Yes
	case -1:
		return No
	}
	return Unknown
}

// model copies the values of variables 1 to vars to dst[1:]. Variables that gini has
// not met are false.
func (e *engine) model(dst []bool, vars int) []bool {
	dst = append(dst[:0], make([]bool, vars+1)...)
	for v := 1; v <= min(vars, int(e.gini.MaxVar())); v++ {
		dst[v] = e.gini.Value(z.Var(v).Pos())
	}
	return dst
}

// why copies the assumptions that gini names for its last No, once, and settles it.
func (e *engine) why(dst []Lit) []Lit {
	e.core = e.gini.Why(e.core[:0])
	for _, m := range e.core {
		dst = append(dst, Lit(m.Dimacs()))
	}
	if len(e.core) > 0 {
		e.settle(e.core[0])
	}
	return dst
}

// settle makes gini forget the conflict of its last No, by a clause that always holds
// and is not stored. Left to itself, gini learns from that conflict when it is asked
// again; if what it learns contradicts the clauses without any assumption, it goes on
// with a broken state and can end the process.
func (e *engine) settle(m z.Lit) {
	e.gini.Add(m)
	e.gini.Add(m.Not())
	e.gini.Add(z.LitNull)
}

func outward(m Lit) z.Lit { return z.Dimacs2Lit(int(m)) }
