package certificate

import (
	"fmt"
	"math"
	"math/big"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// solid is a convex thing that boxes keep clear of: the hull of its corners, and endless
// along one axis or none. A round one has its axis and radius instead, and corners only
// where the proof gives points inside of it.
type solid struct {
	corners []vec
	endless int // an axis, or none
	faces   []vec
	need    needs
	round   *round
}

const none = -1

// addSolid adds what is not a wall.
func (s *Space) addSolid(o frame.Obstacle, g pack.Gaps) error {
	q := solid{endless: none, need: needsOf(o, g)}
	switch t := o.Solid.(type) {
	case geom.HalfSpace:
		return nil
	case geom.Box:
		for _, x := range []float64{-1, 1} {
			for _, y := range []float64{-1, 1} {
				for _, z := range []float64{-1, 1} {
					h := t.Half
					q.corners = append(q.corners, vec{
						add(rat(t.Centre.X), rat(x*h.X)), add(rat(t.Centre.Y), rat(y*h.Y)), add(rat(t.Centre.Z), rat(z*h.Z)),
					})
				}
			}
		}
	case geom.Prism:
		q.addProfile(t)
	case geom.Tube:
		q.round = &round{vector(t.From.X, t.From.Y, t.From.Z), vector(t.To.X, t.To.Y, t.To.Z), rat(t.Radius), false}
	case geom.Cylinder:
		q.round = &round{vector(t.From.X, t.From.Y, t.From.Z), vector(t.To.X, t.To.Y, t.To.Z), rat(t.Radius), true}
	default:
		return fmt.Errorf("%w: the shape of %s", ErrUnsupported, o.Name)
	}
	s.solids = append(s.solids, q)
	return nil
}

// needsOf are the gaps to an obstacle. A post keeps its own gap from metal, or that of
// the obstacle where it is greater.
func needsOf(o frame.Obstacle, g pack.Gaps) needs {
	gap := map[frame.ObstacleKind]float64{
		frame.Side: g.Wall, frame.Width: g.Wall, frame.RailTube: g.Rail, frame.KeptOut: g.KeepOut,
	}[o.Kind]
	own := 0.0
	if o.Gap != nil {
		gap, own = *o.Gap, *o.Gap
	}
	need := needs{rat(gap), rat(gap)}
	if o.Metal {
		need.toPost = rat(max(g.Post, own))
	}
	return need
}

// addProfile adds the corners and the slanted faces of a prism.
func (q *solid) addProfile(p geom.Prism) {
	depths := []float64{p.Depth.Lo, p.Depth.Hi}
	if math.IsInf(p.Depth.Lo, -1) && math.IsInf(p.Depth.Hi, 1) {
		depths = []float64{0}
		q.endless = 1
		if p.View == geom.FrontView {
			q.endless = 0
		}
	}
	at := func(c r2.Point, depth float64) vec {
		if p.View == geom.FrontView {
			return vector(depth, c.X, c.Y)
		}
		return vector(c.X, depth, c.Y)
	}
	corners := p.Profile.Corners
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		for _, d := range depths {
			q.corners = append(q.corners, at(a, d))
		}
		in := inward(flat{rat(a.X), rat(a.Y)}, flat{rat(b.X), rat(b.Y)})
		out := vec{neg(in[0]), whole(0), neg(in[1])}
		if p.View == geom.FrontView {
			out = vec{whole(0), neg(in[0]), neg(in[1])}
		}
		q.addFace(out)
	}
}

// addFace adds a face that is not square to an axis, each once.
func (q *solid) addFace(n vec) {
	axes := 0
	for k := range 3 {
		if n[k].Sign() != 0 {
			axes++
		}
	}
	if axes > 1 && !slices.ContainsFunc(q.faces, func(o vec) bool { return same(o, n) }) {
		q.faces = append(q.faces, n)
	}
}

// directions are those from the solid in which a box can lie clear of it.
func (q *solid) directions() []vec {
	var all []vec
	for axis := range 3 {
		if axis != q.endless {
			all = append(all, along(axis, 1), along(axis, -1))
		}
	}
	return append(all, q.faces...)
}

// most is the greatest n·p over the points of the solid, for one of its directions.
func (q *solid) most(n vec) *big.Rat {
	high := dot(n, q.corners[0])
	for _, c := range q.corners[1:] {
		high = most(high, dot(n, c))
	}
	return high
}
