package page

import (
	"cmp"
	"slices"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
)

// Neighbours are told of as far as what lies between is packed, and no more than so many.
const (
	nearest        = pack.PackingReach // mm
	mostNeighbours = 8
)

// neighbours are what is nearest to a box: each name once, with the clearance to it as the judge
// measures it.
func neighbours(r pack.Report, box pack.Part) [][3]string {
	least := map[string]float64{}
	for _, n := range r.Relations {
		other := n.B
		if n.B == box {
			other = n.A
		} else if n.A != box {
			continue
		}
		if gap, known := least[other.String()]; n.Gap <= nearest && (!known || n.Gap < gap) {
			least[other.String()] = n.Gap
		}
	}
	var all [][3]string
	for name, gap := range least {
		all = append(all, [3]string{name, export.Clearance(gap, geom.Millimetre), export.Clearance(gap, geom.Inch)})
	}
	slices.SortFunc(all, func(a, b [3]string) int {
		return cmp.Or(cmp.Compare(least[a[0]], least[b[0]]), cmp.Compare(a[0], b[0]))
	})
	return all[:min(mostNeighbours, len(all))]
}
