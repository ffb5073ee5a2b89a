package search

import (
	"github.com/golang/geo/r3"
)

// addTools adds sides for the tools over box i, and for those of the pairs with the boxes
// before it, that have less than room at spots.
func (v *improver) addTools(spots []spot, i int, room float64) {
	here := v.spots[i].at
	clauses := v.m.reach[v.m.boxes[i].kind][spots[i].pose]
	for k := range clauses {
		if clauses[k].left(spots[i].at) < room {
			v.addTool(relation{sort: ofReach, i: i, which: k}, &clauses[k], here)
		}
	}
	for j := range i {
		pair := v.m.pairingIn(j, spots[j], i, spots[i])
		if left, _ := pair.toolsLeft(spots[i].at.Sub(spots[j].at)); left >= room {
			continue
		}
		d := here.Sub(v.spots[j].at)
		_, whose := pair.toolsLeft(d)
		for k := range pair.tools[whose] {
			v.addTool(relation{sort: ofTool, i: i, j: j, which: k, whose: whose}, &pair.tools[whose][k], d)
		}
	}
}

// addTool adds a side with the plane of a clause that leaves most at p.
func (v *improver) addTool(of relation, c *clause, p r3.Vector) {
	_, f := c.best(p)
	f.k = 0
	v.add(side{of, f})
}

// forTools has the improver give the tools over posts their room, where that is asked.
func (v *improver) forTools() {
	v.tools = v.m.reach != nil
	v.lacking = v.tools && !v.m.toolsFit(v.spots)
}
