package improve

import (
	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// addTools adds sides for the tools over box i, and for those of the pairs with the boxes
// before it, that have less than room at spots. Of two boxes the one whose tools have more room now
// is the one whose clauses are taken, as with planes.
func (v *Improver) addTools(spots []model.Spot, i int, room float64) {
	here := v.Spots[i].At
	clauses := v.m.Reach[v.m.Boxes[i].Kind][spots[i].Pose]
	for k := range clauses {
		if clauses[k].Left(spots[i].At) < room {
			v.addTool(model.Relation{Sort: model.OfReach, I: i, Which: k}, &clauses[k], here)
		}
	}
	for j := range i {
		pair := v.m.PairingIn(j, spots[j], i, spots[i])
		if left, _ := pair.ToolsLeft(spots[i].At.Sub(spots[j].At)); left >= room {
			continue
		}
		d := here.Sub(v.Spots[j].At)
		_, whose := pair.ToolsLeft(d)
		for k := range pair.Tools[whose] {
			v.addTool(model.Relation{Sort: model.OfTool, I: i, J: j, Which: k, Whose: whose}, &pair.Tools[whose][k], d)
		}
	}
}

// addTool adds a side with the plane of a clause that leaves most at p. K of 0 keeps the spare out
// of the row.
func (v *Improver) addTool(of model.Relation, c *model.Clause, p r3.Vector) {
	_, f := c.Best(p)
	f.K = 0
	v.add(model.Side{Of: of, Plane: f})
}

// ForTools has the improver give the tools over posts their room, where that is asked. Lacking
// places are no places to keep: Climb then takes whatever the program gives, at any spare.
func (v *Improver) ForTools() {
	v.tools = v.m.Reach != nil
	v.Lacking = v.tools && !v.m.ToolsFit(v.Spots)
}
