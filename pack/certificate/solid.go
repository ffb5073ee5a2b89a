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
	edges   []edge // of a body
	need    needs
	round   *round
	common  []*way   // of all poses; see ways
	own     [][]*way // of those with a tilt, by its number
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
						add(millimetres(t.Centre.X), millimetres(x*h.X)), add(millimetres(t.Centre.Y), millimetres(y*h.Y)), add(millimetres(t.Centre.Z), millimetres(z*h.Z)),
					})
				}
			}
		}
		for axis := range 3 {
			q.addFace(along(axis, 1))
			q.addFace(along(axis, -1))
		}
	case geom.Prism:
		q.addProfile(t)
	case geom.Tube:
		q.round = &round{vector(t.From.X, t.From.Y, t.From.Z), vector(t.To.X, t.To.Y, t.To.Z), millimetres(t.Radius), false}
	case geom.Cylinder:
		q.round = &round{vector(t.From.X, t.From.Y, t.From.Z), vector(t.To.X, t.To.Y, t.To.Z), millimetres(t.Radius), true}
	default:
		return fmt.Errorf("%w: the shape of %s", ErrUnsupported, o.Name)
	}
	q.findWays(s.tilts, s.along)
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
	need := needs{millimetres(gap), millimetres(gap)}
	if o.Metal {
		need.toPost = millimetres(max(g.Post, own))
	}
	return need
}

// addProfile adds the corners and the slanted faces of a prism.
func (q *solid) addProfile(p geom.Prism) {
	axis := 1
	if p.View == geom.FrontView {
		axis = 0
	}
	depths := []float64{p.Depth.Lo, p.Depth.Hi}
	if math.IsInf(p.Depth.Lo, -1) && math.IsInf(p.Depth.Hi, 1) {
		depths = []float64{0}
		q.endless = axis
	} else {
		q.addFace(along(axis, 1))
		q.addFace(along(axis, -1))
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
		in := inward(flat{millimetres(a.X), millimetres(a.Y)}, flat{millimetres(b.X), millimetres(b.Y)})
		out := vec{neg(in[0]), whole(0), neg(in[1])}
		if p.View == geom.FrontView {
			out = vec{whole(0), neg(in[0]), neg(in[1])}
		}
		q.addFace(out)
	}
}

// addFace adds a face, each once.
func (q *solid) addFace(n vec) {
	if !zero(n) && !slices.ContainsFunc(q.faces, func(o vec) bool { return same(o, n) }) {
		q.faces = append(q.faces, n)
	}
}

// ways are those from the solid in which a box with one of the given tilts can lie clear
// of it: first those that all tilts have.
func (q *solid) ways(tilts []bool) []*way {
	all := slices.Clip(q.common)
	for i, there := range tilts {
		if there {
			all = append(all, q.own[i]...)
		}
	}
	return all
}

// findWays lists the ways once the faces are known.
func (q *solid) findWays(tilts []*tilt, along [][]*way) {
	q.common, q.own = nil, make([][]*way, len(tilts))
	for _, w := range sideways {
		q.common = q.added(q.common, w)
	}
	for _, n := range q.faces {
		q.common = q.added(q.common, &way{direction: exactDirection(n)})
	}
	for i, t := range tilts {
		for _, w := range along[i] {
			q.own[i] = q.added(q.own[i], w)
		}
		for _, n := range q.edgesAcross(t) {
			q.own[i] = q.added(q.own[i], &way{n, t})
		}
	}
}

// added adds a way that the solid is not endless along, unless it is known to be there.
func (q *solid) added(list []*way, w *way) []*way {
	known := func(o *way) bool { return o.sameAs(w.direction) }
	if q.endless != none && !w.direction[q.endless].isZero() || slices.ContainsFunc(q.common, known) || slices.ContainsFunc(list, known) {
		return list
	}
	return append(list, w)
}

// most is no more than the greatest n·p over the points of the solid, and that for a
// rational direction.
func (q *solid) most(n direction) *big.Rat {
	high := n.along(q.corners[0]).low
	for _, c := range q.corners[1:] {
		high = most(high, n.along(c).low)
	}
	return high
}
