package frame

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Chain is a chain that runs around two sprockets, with all between its two runs. The first
// sprocket stays, the second moves with another part.
type Chain struct {
	Sprockets [2]Sprocket
	Width     float64 // across the chain
	// Slack is how far in mm the middle of a run can be pushed aside, to either side.
	Slack float64
}

// Sprocket is a sprocket with the chain on it.
type Sprocket struct {
	At       r3.Vector
	Diameter float64 // over the chain
}

// arcs is how many points stand for half of an ellipse; 0.03 mm off one with 35 mm of slack.
const arcs = 40

// prism is a profile of the chain, every face of it nearer.
func (c Chain) prism(profile geom.Polygon, nearer float64) geom.Prism {
	y := c.Sprockets[0].At.Y
	return geom.Prism{
		Profile: grown(profile, nearer),
		Depth:   r1.Interval{Lo: y - c.Width/2 - nearer, Hi: y + c.Width/2 + nearer},
	}
}

// chainProfile is the side view of a chain at a position of what it moves with: around all
// that it can reach there, or inside of that.
//
// A run of a length that ends at two points reaches what is in the ellipse that has these as
// its foci and goes through the middle of the run when that is pushed aside.
func (m Moving) chainProfile(position float64, outside bool) geom.Polygon {
	return profileAround(m.Chain.points(m.sprockets(position), outside))
}

func profileAround(points []r2.Point) geom.Polygon { return geom.Polygon{Corners: points}.Hull() }

// sprockets are the middles of the two at a position.
func (m Moving) sprockets(position float64) [2]r2.Point {
	first, _ := geom.SideView.Flatten(m.Chain.Sprockets[0].At)
	second, _ := geom.SideView.Flatten(m.Motion.Point(m.Chain.Sprockets[1].At, position))
	return [2]r2.Point{first, second}
}

// points are those whose hull a chain's profile is.
func (c Chain) points(at [2]r2.Point, outside bool) []r2.Point {
	var points []r2.Point
	var radius [2]float64
	for i, s := range c.Sprockets {
		radius[i] = s.Diameter / 2
		n := Round{Diameter: s.Diameter}.sides()
		around := radius[i]
		if !outside {
			around *= math.Cos(math.Pi / float64(n))
		}
		points = append(points, geom.PolygonAround(at[i], around, n).Corners...)
	}
	along := at[1].Sub(at[0])
	apart := along.Norm()
	along = along.Mul(1 / apart)
	up := r2.Point{X: -along.Y, Y: along.X}
	lean := (radius[0] - radius[1]) / apart
	rise := math.Sqrt(1 - lean*lean)
	for _, side := range []float64{1, -1} {
		n := along.Mul(lean).Add(up.Mul(side * rise)) // square to the run, outward
		from, to := at[0].Add(n.Mul(radius[0])), at[1].Add(n.Mul(radius[1]))
		points = append(points, bow(from, to, n, c.Slack, outside)...)
	}
	return points
}

// bow is half of an ellipse about a run, on the side of n.
func bow(from, to, n r2.Point, slack float64, outside bool) []r2.Point {
	middle, half := from.Add(to).Mul(0.5), to.Sub(from).Mul(0.5)
	long := half.Mul(math.Hypot(half.Norm(), slack) / half.Norm())
	more := 1.0
	if outside {
		more = 1 / math.Cos(math.Pi/arcs/2) // an ellipse is a circle seen from aside
	}
	var points []r2.Point
	for i := range arcs + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / arcs)
		points = append(points, middle.Add(long.Mul(more*cos)).Add(n.Mul(more*slack*sin)))
	}
	return points
}

// chainStep is over what angle a chain is covered at once.
const chainStep = math.Pi / 60

// chainSwaths covers a chain: all of its profiles share the first sprocket, so that the hull of
// those that a stretch begins and ends with, and of one that goes as far out as the second
// sprocket does between, is around what is swept.
func (m Moving) chainSwaths(nearer, worst float64) []geom.Swath {
	parts := 1
	if m.Motion.Turns {
		parts = max(1, int(math.Ceil(m.Motion.Range.Length()/chainStep)))
	}
	var all []geom.Swath
	for i := range parts {
		low, high := m.Motion.Range.Lo, m.Motion.Range.Hi
		r := r1.Interval{Lo: low + (high-low)*float64(i)/float64(parts), Hi: low + (high-low)*float64(i+1)/float64(parts)}
		var points []r2.Point
		for _, at := range []float64{r.Lo, r.Center(), r.Hi} {
			points = append(points, m.Chain.points(m.sprockets(at), true)...)
		}
		points = append(points, m.Chain.points(m.tip(r), true)...)
		all = append(all, geom.Swath{
			Outer: m.Chain.prism(profileAround(points), worst),
			Inner: m.Chain.prism(m.chainProfile(r.Center(), false), nearer),
			Range: r,
		})
	}
	return all
}

// tip are the sprockets with the second where the tangents to its way at both ends of a stretch
// meet.
func (m Moving) tip(r r1.Interval) [2]r2.Point {
	at := m.sprockets(r.Center())
	if m.Motion.Turns {
		pivot, _ := geom.SideView.Flatten(m.Motion.About)
		at[1] = pivot.Add(at[1].Sub(pivot).Mul(1 / math.Cos(r.Length()/2)))
	}
	return at
}
