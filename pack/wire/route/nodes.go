package route

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Found by trying: nodes nearer to each other make ways shorter by less than a hundredth
// after they are pulled tight.
const (
	apart  = 45 // mm between nodes along an edge, at most
	around = 8  // sides of the body around a tube
	loose  = 0.5
)

// makeNodes gives the places where a way may bend: along the edges of every obstacle, also of
// those that come later, that is not endless, grown by what a cable needs, a little more than that; those in the way of
// another obstacle are left out.
func (s *Scene) makeNodes(later []Obstacle) []r3.Vector {
	var nodes []r3.Vector
	seen := map[[3]int]bool{}
	all := slices.Clone(s.static)
	for _, o := range later {
		all = append(all, bound(o))
	}
	for _, o := range all {
		body, ok := flat(o.Solid, s.limits())
		if !ok {
			continue
		}
		for _, face := range body.Grown(s.cable.Radius + o.Gap + loose).Faces() {
			for i, a := range face {
				for _, p := range along(a, face[(i+1)%len(face)]) {
					key := [3]int{int(math.Round(p.X)), int(math.Round(p.Y)), int(math.Round(p.Z))}
					if !seen[key] && s.clear(p, p, s.static) {
						seen[key] = true
						nodes = append(nodes, p)
					}
				}
			}
		}
	}
	return nodes
}

// along gives points on an edge: its ends and what is between them.
func along(a, b r3.Vector) []r3.Vector {
	n := max(1, int(math.Ceil(a.Distance(b)/apart)))
	var list []r3.Vector
	for i := range n {
		list = append(list, a.Add(b.Sub(a).Mul(float64(i)/float64(n))))
	}
	return list
}

// limits is the box around all obstacles that end somewhere.
func (s *Scene) limits() [3]r1.Interval {
	var all [3]r1.Interval
	for i := range all {
		all[i] = r1.EmptyInterval()
		for _, o := range s.static {
			for _, v := range []float64{o.box[i].Lo, o.box[i].Hi} {
				if !math.IsInf(v, 0) {
					all[i] = all[i].AddPoint(v)
				}
			}
		}
		all[i] = all[i].Expanded(apart)
	}
	return all
}

// flat is a body with flat faces of an obstacle, around it where it is round, and cut off
// where it is endless; false for half-spaces, round which no way bends.
func flat(solid geom.Solid, limits [3]r1.Interval) (geom.Polyhedron, bool) {
	if bar, ok := geom.BarOf(solid); ok {
		if !bar.FlatEnds {
			along := bar.To.Sub(bar.From).Normalize().Mul(bar.Radius)
			bar.From, bar.To = bar.From.Sub(along), bar.To.Add(along)
		}
		return geom.PolyhedronAround(geom.Cylinder{From: bar.From, To: bar.To, Radius: bar.Radius}, around), true
	}
	if p, ok := solid.(geom.Prism); ok { // which may have no ends
		return prism(p, limits)
	}
	p := geom.PolyhedronOf(solid, around)
	return p, len(p.Corners()) > 0
}

// prism is a prism as a polyhedron, cut off at limits.
func prism(p geom.Prism, limits [3]r1.Interval) (geom.Polyhedron, bool) {
	low := r3.Vector{X: limits[0].Lo, Y: limits[1].Lo, Z: limits[2].Lo}
	high := r3.Vector{X: limits[0].Hi, Y: limits[1].Hi, Z: limits[2].Hi}
	flatLow, deepLow := p.View.Flatten(low)
	flatHigh, deepHigh := p.View.Flatten(high)
	window := r2.RectFromPoints(flatLow, flatHigh)
	p.Depth = p.Depth.Intersection(r1.IntervalFromPoint(deepLow).AddPoint(deepHigh))
	p.Profile = p.Profile.Clipped(
		geom.HalfPlane{N: r2.Point{X: 1}, At: window.X.Hi}, geom.HalfPlane{N: r2.Point{X: -1}, At: -window.X.Lo},
		geom.HalfPlane{N: r2.Point{Y: 1}, At: window.Y.Hi}, geom.HalfPlane{N: r2.Point{Y: -1}, At: -window.Y.Lo},
	)
	if p.Depth.IsEmpty() || len(p.Profile.Corners) < 3 {
		return geom.Polyhedron{}, false
	}
	return geom.PolyhedronFromPrism(p), true
}
