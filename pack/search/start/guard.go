package start

import (
	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// guards are clauses, each with a copy of the plane that last left enough, beside one
// another: most clauses of a separation are looked at no further. A copy, not an index: the plane
// then lies beside the others in memory, and most looks end with it. They belong to one separation,
// for they remember.
type guards struct {
	clauses []model.Clause
	last    []model.Plane
}

// guardsOf begins with the first plane of each clause, whichever that is.
func guardsOf(clauses []model.Clause) *guards {
	g := &guards{clauses: clauses, last: make([]model.Plane, len(clauses))}
	for k := range clauses {
		g.last[k] = clauses[k].Planes[0]
	}
	return g
}

// lack is how much all clauses together leave less than enough at p; it stops early above
// limit.
func (g *guards) lack(p r3.Vector, enough, limit float64) float64 {
	sum := 0.0
	for k := range g.last {
		if g.last[k].LeftAlone(p) >= enough {
			continue
		}
		sum += g.lackOf(k, p, enough)
		if sum > limit {
			break
		}
	}
	return sum
}

// most is how much the clause that leaves least leaves less than enough at p. It is what the
// weights go by; the sum is what moves go by.
func (g *guards) most(p r3.Vector, enough float64) float64 {
	most := 0.0
	for k := range g.last {
		if g.last[k].LeftAlone(p) < enough {
			most = max(most, g.lackOf(k, p, enough))
		}
	}
	return most
}

// lackOf is how much clause k leaves less than enough at p.
func (g *guards) lackOf(k int, p r3.Vector, enough float64) float64 {
	at, left := g.clauses[k].FirstLeaving(p, enough)
	if at >= 0 {
		g.last[k] = g.clauses[k].Planes[at]
		return 0
	}
	return enough - left
}
