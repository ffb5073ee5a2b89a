package frame

import (
	"fmt"
	"math"
	"sync"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/geom"
)

// Moving is a part that moves: a keep-out over the whole of its movement. Positions are
// counted from the place in which the file draws it, in radians or millimetres.
type Moving struct {
	Name   string
	Motion geom.Motion // of a chain that of what it moves with; with an empty range it stays
	Parts  []Shape     // as drawn; none of a chain
	Chain  *Chain
	// AtRest is the position in which it stands while boxes go in.
	AtRest   float64
	Metal    bool
	LiftsOff bool // off while boxes go in
	Gap      *float64
	Accuracy *float64 // how much nearer it may be, its pivot off by as much; nil: as the frame

	covers *covers
	solids int // convex ones, of all parts of the frame that move
}

// covers keeps what was worked out, by what it was worked out for: it takes a while.
type covers struct {
	sync.Mutex
	made map[coverKey][]Obstacle
}

type coverKey struct {
	nearer float64
	room   geom.Block
}

// Position says where a part is: "4.0° up" would hide which way is which, so as in the file.
func (m Moving) Position(at float64) string {
	if m.Motion.Turns {
		return fmt.Sprintf("%.1f°", s1.Angle(at).Degrees()+0)
	}
	return fmt.Sprintf("%.0f mm", at)
}

// Ends are the positions at both ends of the movement, one where it does not move.
func (m Moving) Ends() []float64 {
	if m.Motion.Range.Length() == 0 {
		return []float64{m.Motion.Range.Lo}
	}
	return []float64{m.Motion.Range.Lo, m.Motion.Range.Hi}
}

// At returns the part as solids at a position, as measured.
func (m Moving) At(position float64) []geom.Solid { return m.at(position, 0) }

func (m Moving) at(position, nearer float64) []geom.Solid {
	if m.Chain != nil {
		return []geom.Solid{m.Chain.prism(m.chainProfile(position, true), nearer)}
	}
	var all []geom.Solid
	for _, p := range m.Parts {
		for _, s := range p.Solids(nearer) {
			all = append(all, m.Motion.Solid(s, position))
		}
	}
	return all
}

// Nearest returns the position at which the part comes nearest to a solid, and how near.
//
// Method: positions are tried evenly, and more closely around the best of them.
func (m Moving) Nearest(to geom.Solid) (position, distance float64) {
	near := func(at float64) float64 {
		least := math.Inf(1)
		for _, s := range m.At(at) {
			least = min(least, geom.Distance(to, s))
		}
		return least
	}
	const steps = 40
	r := m.Motion.Range
	for range 3 {
		best := r.Lo
		distance = math.Inf(1)
		for i := range steps + 1 {
			at := r.Lo + r.Length()*float64(i)/steps
			if d := near(at); d < distance {
				best, distance = at, d
			}
		}
		position = best
		r = r1.Interval{Lo: best - r.Length()/steps, Hi: best + r.Length()/steps}.Intersection(m.Motion.Range)
	}
	return position, distance
}

// atWorst is how much nearer the part may come where every measurement may be off by nearer:
// so much by itself, and as far as it has turned from its place as drawn by that of its pivot
// too, whose two coordinates may both be off.
func (m Moving) atWorst(nearer, turned float64) float64 {
	if !m.Motion.Turns {
		return nearer
	}
	return nearer * (1 + 2*math.Sqrt2*math.Sin(min(math.Abs(turned), math.Pi)/2))
}

// obstacle is one without a solid.
func (m Moving) obstacle(source int) Obstacle {
	return Obstacle{Name: m.Name, Kind: Moves, Metal: m.Metal, Gap: m.Gap, Source: source, LiftsOff: m.LiftsOff}
}

// resting is the part at rest.
func (m Moving) resting(source int, nearer float64) []Obstacle {
	var all []Obstacle
	for _, s := range m.at(m.AtRest, m.atWorst(nearer, m.AtRest)) {
		o := m.obstacle(source)
		o.Solid = s
		all = append(all, o)
	}
	return all
}

// swept is what the part is swept through, near an opening within geom.CoverError.
func (m Moving) swept(source int, nearer float64, o Opening) []Obstacle {
	key := coverKey{nearer, roomOf(o)}
	if m.covers != nil {
		m.covers.Lock()
		defer m.covers.Unlock()
		if made, ok := m.covers.made[key]; ok {
			return made
		}
	}
	made := m.cover(source, nearer, key.room)
	if m.covers != nil {
		if m.covers.made == nil {
			m.covers.made = map[coverKey][]Obstacle{}
		}
		m.covers.made[key] = made
	}
	return made
}

// roomOf is the block around the opening.
func roomOf(o Opening) geom.Block {
	b := o.Outline.Bounds()
	return geom.Block{X: b.X, Y: o.Widest(), Z: b.Y}
}

func (m Moving) cover(source int, nearer float64, room geom.Block) []Obstacle {
	var swaths []geom.Swath
	worst := m.atWorst(nearer, max(math.Abs(m.Motion.Range.Lo), math.Abs(m.Motion.Range.Hi)))
	if m.Chain != nil {
		swaths = m.chainSwaths(nearer, worst)
	}
	share := 1 / float64(max(1, m.solids))
	for _, p := range m.Parts {
		outer, inner := p.Solids(worst), p.Solids(nearer)
		for i := range outer {
			a, b := m.flatSided(outer[i], inner[i])
			swaths = append(swaths, m.Motion.Cover(a, b, room, share)...)
		}
	}
	var all []Obstacle
	for _, s := range swaths {
		o := m.obstacle(source)
		o.Solid, o.Inner, o.Range = s.Outer, s.Inner, s.Range
		all = append(all, o)
	}
	return all
}

// flatSided makes what is to be covered of a solid and one in it: of boxes and drums whose
// movement stays in the side view prisms, of round ones bodies with flat sides around and inside
// of them.
func (m Moving) flatSided(outer, inner geom.Solid) (a, b geom.Solid) {
	drum, round := outer.(geom.Cylinder)
	if !round {
		return m.prismOf(outer), m.prismOf(inner)
	}
	n := Round{Diameter: 2 * drum.Radius}.sides()
	within, _ := inner.(geom.Cylinder)
	within.Radius *= math.Cos(math.Pi / float64(n))
	return m.around(drum, n), m.around(within, n)
}

// around is a drum with flat sides around it.
func (m Moving) around(d geom.Cylinder, sides int) geom.Solid {
	if m.Motion.Flat() && d.From.X == d.To.X && d.From.Z == d.To.Z {
		middle, _ := geom.SideView.Flatten(d.From)
		across := r1.Interval{Lo: min(d.From.Y, d.To.Y), Hi: max(d.From.Y, d.To.Y)}
		return geom.Prism{Profile: geom.PolygonAround(middle, d.Radius, sides), Depth: across}
	}
	return geom.PolyhedronAround(d, sides)
}

// prismOf is a level box whose movement stays in the side view as a prism of it.
func (m Moving) prismOf(s geom.Solid) geom.Solid {
	b, ok := s.(geom.Box)
	if !ok || !m.Motion.Flat() {
		return s
	}
	low, high := geom.Bounds(b)
	corners := []r2.Point{{X: low.X, Y: low.Z}, {X: high.X, Y: low.Z}, {X: high.X, Y: high.Z}, {X: low.X, Y: high.Z}}
	return geom.Prism{Profile: geom.Polygon{Corners: corners}, Depth: r1.Interval{Lo: low.Y, Hi: high.Y}}
}

// crossAxis is the axis of what turns in the side view, nose down positive as a tilt is.
var crossAxis = r3.Vector{Y: 1}
