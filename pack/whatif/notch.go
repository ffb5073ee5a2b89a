package whatif

import (
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Notch is what has to be cut out of a keep-out so that a box, or a post of it, keeps
// its gap.
type Notch struct {
	KeepOut string
	For     pack.Part
	// Solids are the parts that are cut out, beside each other: several where the keep-out
	// is not convex. Each is a Prism in the side view, or a Polyhedron of a slanted drum.
	Solids []geom.Solid
	// Depth is how far in mm its deepest point is below the surface as it was: of a
	// keep-out that is not convex up to 0.01 more than it is, of a round one up to
	// frame.RoundError more.
	Depth float64
}

// Corners are the low and the high corner of the block around the notch.
func (n Notch) Corners() (low, high r3.Vector) { return geom.Bounds(n.Solids...) }

// Size is how long (x), wide (y) and high (z) the notch is, in mm.
func (n Notch) Size() r3.Vector {
	low, high := n.Corners()
	return high.Sub(low)
}

// Volume is that of the notch, in mm³.
func (n Notch) Volume() float64 {
	sum := 0.0
	for _, s := range n.Solids {
		sum += geom.PolyhedronOf(s, 0).Volume()
	}
	return sum
}

// play is by how much in mm a notch is cut wider than its box needs: more than what
// rounding of slanted cuts can take back.
const play = 0.01

// body is a case or a post and the gap that it needs to a keep-out.
type body struct {
	part pack.Part
	bar  geom.Box
	gap  float64
}

// bodies are all cases and posts of a layout with the gap that each needs to a keep-out.
// A post keeps the greater of its own gap and the keep-out's from metal.
func bodies(problem pack.Problem, layout pack.Layout, k frame.KeepOut) ([]body, error) {
	g := problem.Pack.Gaps
	caseGap := g.KeepOut
	if k.Gap != nil {
		caseGap = *k.Gap
	}
	postGap := caseGap
	if k.Metal {
		postGap = g.Post
		if k.Gap != nil {
			postGap = max(g.Post, *k.Gap)
		}
	}
	var list []body
	for _, at := range layout.Placements {
		b, err := problem.Bodies(at)
		if err != nil {
			return nil, err
		}
		kind, _ := problem.Kind(at.Box)
		part := at.Part()
		list = append(list, body{part, b.Case, caseGap})
		for i, bar := range b.Posts {
			part.Post = kind.Posts[i].Name
			list = append(list, body{part, bar, postGap})
		}
	}
	return list, nil
}
