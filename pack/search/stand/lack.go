package stand

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// What a stance lacks of its target, as the annealer adds it up.

// lacking is what a clause leaves less than enough at p; held is the plane that last left it. 0
// where enough is left. held may be any number; one beyond the planes means that none is
// remembered.
func lacking(c *model.Clause, p r3.Vector, enough float64, held *uint8) float64 {
	if int(*held) < len(c.Planes) && c.Planes[*held].LeftAlone(p) >= enough {
		return 0
	}
	k, best := c.FirstLeaving(p, enough)
	if k >= 0 {
		*held = uint8(k)
		return 0
	}
	return enough - best
}

// aloneCost is what a box lacks from the frame and its range, and its tray and tools do. Squares
// are added, so that one large lack costs more than several small ones.
func (a *annealer) aloneCost(i int) float64 {
	b, at := a.s.boxes[i], a.at[i]
	kind := a.g.m.Boxes[i].Kind
	w := a.g.way(i, b)
	walls, solids := a.g.m.Walls[kind][w.pose], a.g.m.Solids[kind][w.pose]
	sum := 0.0
	square := func(l float64) {
		if l > 0 {
			sum += l * l
		}
	}
	for k := range walls {
		square(walls[k].Lack(at, a.enough))
	}
	// Room for the solids and the trays of the way; what is remembered is by way, not by box, for
	// boxes alike stand alike.
	held := a.heldOf(w, len(solids)+len(w.under)+64)
	for k := range solids {
		square(lacking(&solids[k], at, a.enough, &held[k]))
	}
	// Only what stands on a tray has one under it.
	if b.on < 0 {
		for k := range w.under {
			square(lacking(&w.under[k], at, 0, &held[len(solids)+k]))
		}
	}
	if a.g.m.Reach != nil {
		var none uint8
		for k := range a.g.m.Reach[kind][w.pose] {
			square(lacking(&a.g.m.Reach[kind][w.pose][k], at, 0, &none))
		}
	}
	a.work.Relations(len(walls) + len(solids))
	return sum
}

// heldOf is what is remembered of a way.
func (a *annealer) heldOf(w *footing, n int) []uint8 {
	h, ok := a.held[w.id]
	if !ok {
		h = make([]uint8, n)
		a.held[w.id] = h
	}
	return h
}

// pairCost is what two boxes lack from one another. Symmetric in i and j but for rounding: each is
// asked for its tray over the other, and for a tie where one carries the other.
func (a *annealer) pairCost(i, j int) float64 {
	bi, bj := a.s.boxes[i], a.s.boxes[j]
	p, q := a.g.pose(i, bi), a.g.pose(j, bj)
	d := a.at[j].Sub(a.at[i])
	a.work.Relations(1)
	sum := 0.0
	var none uint8
	// Most pairs are far apart.
	if pair := a.g.m.PairingOf(p, q); pair.Apart.Left(d) < a.enough {
		for k := range pair.Clauses {
			// No plane is remembered for pairs: there are too many of them.
			none = 255
			if l := lacking(&pair.Clauses[k], d, a.enough, &none); l > 0 {
				sum += l * l
			}
		}
		if least := toolsLack(pair, d); least > 0 {
			sum += least * least
		}
		a.work.Relations(len(pair.Clauses))
	}
	sum += a.slabCost(i, bi, q, d) + a.slabCost(j, bj, p, d.Mul(-1))
	if bi.on == j {
		sum += a.tieCost(i, j, d.Mul(-1))
	}
	if bj.on == i {
		sum += a.tieCost(j, i, d)
	}
	return sum
}

// slabCost is what the tray under box i lacks from another pose, at d from it. Where both have
// one tilt, what lies under the box lacks nothing if the gap above it is as thick as a tray. A
// carried box has no tray.
func (a *annealer) slabCost(i int, b place, q *model.Pose, d r3.Vector) float64 {
	if b.on >= 0 {
		return 0
	}
	w := a.g.way(i, b)
	gaps := a.g.m.Problem.Pack.Gaps
	if gaps.Above+a.target >= gaps.Tray && q.Axes == w.slab.Axes {
		return 0
	}
	var none uint8 = 255
	l := lacking(a.g.slabOver(w, q), d, 0, &none)
	return l * l
}

// tieCost is what box i lacks on box j that carries it, at d from that. Ties are made anew each
// time; few boxes are carried.
func (a *annealer) tieCost(i, j int, d r3.Vector) float64 {
	sum := 0.0
	for _, c := range a.g.ties(i, a.s.boxes[i], j, a.s.boxes[j]) {
		var none uint8 = 255
		l := lacking(&c, d, 0, &none)
		sum += l * l
	}
	return sum
}

// toolsLack is how far the better of the two sorts of tools has not enough room. Where one of the
// two has no posts there is nothing to reach.
func toolsLack(p *model.Pairing, d r3.Vector) float64 {
	if len(p.Tools[0]) == 0 || len(p.Tools[1]) == 0 {
		return 0
	}
	least := math.Inf(1)
	for _, clauses := range p.Tools {
		lack := 0.0
		for k := range clauses {
			lack = max(lack, -leftFree(&clauses[k], d))
		}
		least = min(least, lack)
	}
	return least
}
