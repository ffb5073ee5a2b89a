package page

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// movingSolids are what moves: each part at both ends of its movement, with its name and where it
// is then, and near the opening what it is swept through; and the road.
func movingSolids(f *frame.Frame, gaps pack.Gaps) []sceneSolid {
	var all []sceneSolid
	for _, o := range f.Obstacles(0) {
		switch {
		case o.Kind == frame.Moves && near(f.Opening, o.Solid):
			all = append(all, sceneSolid{Name: o.Name, Gap: gapTo(gaps, o.Gap), Swept: true, Faces: facesOf(o.Solid)})
		case o.Kind == frame.Road:
			all = append(all, roadSolid(f, o, gaps))
		}
	}
	for _, m := range f.Moving {
		for end, at := range m.Ends() {
			label := m.Name
			if len(m.Ends()) > 1 {
				label += " at " + m.Position(at)
			}
			for _, solid := range m.At(at) {
				all = append(all, sceneSolid{Name: m.Name, Gap: gapTo(gaps, m.Gap), Label: label, End: end + 1, Faces: facesOf(solid)})
				label = ""
			}
		}
	}
	return all
}

func gapTo(gaps pack.Gaps, own *float64) float64 {
	if own != nil {
		return *own
	}
	return gaps.KeepOut
}

// near tells whether a solid comes as near to the opening as is worth showing: pieces of what is
// swept may be many.
func near(o frame.Opening, s geom.Solid) bool {
	const far = 60 // mm
	low, high := extent(o)
	out := r3.Vector{X: far, Y: far, Z: far}
	return geom.Distance(geom.BoxFromCorners(low.Sub(out), high.Add(out)), s) <= 0
}

// roadSolid is the road under the opening, as far across as it is under the vehicle.
func roadSolid(f *frame.Frame, o frame.Obstacle, gaps pack.Gaps) sceneSolid {
	s := sceneSolid{Name: o.Name, Gap: gapTo(gaps, o.Gap), Swept: true, Label: o.Name}
	plane, ok := o.Solid.(geom.HalfSpace)
	if !ok {
		return s
	}
	low, high := extent(f.Opening)
	const beside = 60 // mm
	across := r1.Interval{Lo: low.Y - beside, Hi: high.Y + beside}
	switch n := plane.Normal.Y; { // leant over, only the side that comes up is of interest
	case n < 0:
		across.Lo = 0
	case n > 0:
		across.Hi = 0
	}
	at := func(x, y float64) point {
		return pointOf(r3.Vector{X: x, Y: y, Z: (plane.Offset - plane.Normal.Y*y) / math.Max(plane.Normal.Z, 1e-6)})
	}
	s.Faces = [][]point{{at(low.X, across.Lo), at(high.X, across.Lo), at(high.X, across.Hi), at(low.X, across.Hi)}}
	return s
}
