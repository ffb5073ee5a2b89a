package frame

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Obstacles returns the frame as convex solids, each face nearer to the free space by
// nearer millimetres. Solids are snapped to the lattice outward, by less than 2 µm,
// so what they leave free is never more than what the file says.
//
// The order is that of the file: the sides of the outline's hull, the pieces outside
// the outline, the limits of the width, rails with their mirror images, keep-outs.
func (f *Frame) Obstacles(nearer float64) []Obstacle {
	all := f.Opening.outlineObstacles(nearer)
	all = append(all, f.Opening.widthObstacles(nearer)...)
	for i, r := range f.Rails {
		all = append(all, r.obstacles(i, nearer)...)
	}
	for i, k := range f.KeepOuts {
		all = append(all, k.obstacles(i, nearer)...)
	}
	return all
}

// outlineObstacles are half-spaces behind the sides of the hull, and prisms for what
// the hull has and the outline has not.
func (o Opening) outlineObstacles(nearer float64) []Obstacle {
	outline := snapFree(o.Outline)
	var all []Obstacle
	hull := outline.Hull().Corners
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		side := o.sideAlong(outline, a)
		all = append(all, Obstacle{
			Name: o.sideName(side), Kind: Side, Metal: o.Metal, Source: side, Open: o.sideOpen(side),
			Solid: behind(geom.SideView, a, b, nearer),
		})
	}
	for _, p := range outline.OutsidePieces() {
		side := o.sideOfPiece(outline, p)
		all = append(all, Obstacle{
			Name: o.sideName(side), Kind: Side, Metal: o.Metal, Source: side, Open: o.sideOpen(side),
			Solid: geom.Prism{Profile: grown(p, nearer), View: geom.SideView, Depth: everywhere()},
		})
	}
	return all
}

// sideName is the name of side i, a number where the opening was made without names.
func (o Opening) sideName(i int) string {
	if i < len(o.Sides) {
		return o.Sides[i]
	}
	return fmt.Sprintf("side %d", i+1)
}

func (o Opening) sideOpen(i int) bool { return i < len(o.Open) && o.Open[i] }

// sideAlong is the index of the outline's side that starts at a: the hull's edge from
// there lies on it, or bridges a pocket that it leads into.
func (o Opening) sideAlong(outline geom.Polygon, a r2.Point) int {
	return max(0, slices.Index(outline.Corners, a))
}

// sideOfPiece is the index of the longest side that the piece lies against.
func (o Opening) sideOfPiece(outline geom.Polygon, piece geom.Polygon) int {
	best, most := 0, -1.0
	for i, a := range outline.Corners {
		b := outline.Corners[(i+1)%len(outline.Corners)]
		if l := b.Sub(a).Norm(); l > most && isEdge(piece, a, b) {
			best, most = i, l
		}
	}
	return best
}

// isEdge tells whether the segment a–b is an edge of the polygon, either way round.
func isEdge(p geom.Polygon, a, b r2.Point) bool {
	for i, c := range p.Corners {
		d := p.Corners[(i+1)%len(p.Corners)]
		if c == a && d == b || c == b && d == a {
			return true
		}
	}
	return false
}

// widthObstacles bound the front view between the lowest and the highest point of the
// outline: half-spaces to the right and left, and prisms where the width has waists.
func (o Opening) widthObstacles(nearer float64) []Obstacle {
	section := o.section()
	var all []Obstacle
	hull := section.Hull().Corners
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		if a.Y == b.Y {
			continue // floor and top of the section are no limits of the width
		}
		all = append(all, Obstacle{Name: widthName(b.Y > a.Y), Kind: Width, Solid: behind(geom.FrontView, a, b, nearer)})
	}
	middle := section.Bounds().Center().X
	for _, p := range section.OutsidePieces() {
		all = append(all, Obstacle{
			Name: widthName(p.Bounds().Center().X > middle), Kind: Width,
			Solid: geom.Prism{Profile: grown(p, nearer), View: geom.FrontView, Depth: everywhere()},
		})
	}
	return all
}

func widthName(left bool) string {
	if left {
		return "width left"
	}
	return "width right"
}

// section is the front view of the opening, counter-clockwise: up along the left
// limit, which has the greater y and stands to the right of a picture of y and z.
func (o Opening) section() geom.Polygon {
	b := o.Outline.Bounds()
	lo, hi := geom.SnapDown(b.Y.Lo), geom.SnapUp(b.Y.Hi)
	heights := []float64{lo}
	for _, s := range o.Stations {
		if s.Z > lo && s.Z < hi {
			heights = append(heights, geom.SnapNearest(s.Z))
		}
	}
	heights = append(heights, hi)
	var left, right []r2.Point
	for _, z := range heights {
		in := o.AcrossAt(z)
		left = append(left, r2.Point{X: geom.SnapDown(in.Hi), Y: z})
		right = append(right, r2.Point{X: geom.SnapUp(in.Lo), Y: z})
	}
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	return geom.Polygon{Corners: withoutStraight(left)}
}

// withoutStraight drops corners that lie on the line between their neighbours.
func withoutStraight(corners []r2.Point) []r2.Point {
	var kept []r2.Point
	n := len(corners)
	for i, c := range corners {
		a, b := corners[(i+n-1)%n], corners[(i+1)%n]
		if c.Sub(a).Cross(b.Sub(c)) != 0 {
			kept = append(kept, c)
		}
	}
	return kept
}

// AcrossAt returns the width across at a height: straight between stations, constant
// beyond the first and the last.
func (o Opening) AcrossAt(z float64) r1.Interval {
	first, last := o.Stations[0], o.Stations[len(o.Stations)-1]
	switch {
	case z <= first.Z:
		return first.Across
	case z >= last.Z:
		return last.Across
	}
	for i, b := range o.Stations {
		if z <= b.Z {
			a := o.Stations[i-1]
			t := (z - a.Z) / (b.Z - a.Z)
			return r1.Interval{
				Lo: a.Across.Lo + t*(b.Across.Lo-a.Across.Lo),
				Hi: a.Across.Hi + t*(b.Across.Hi-a.Across.Hi),
			}
		}
	}
	return last.Across
}

// behind is the half-space to the right of the edge from a to b of a counter-clockwise
// polygon in a view; the free space is to the left.
func behind(view geom.View, a, b r2.Point, nearer float64) geom.HalfSpace {
	d := b.Sub(a)
	n := r2.Point{X: -d.Y, Y: d.X}
	switch {
	case d.X == 0:
		n = r2.Point{X: math.Copysign(1, n.X)}
	case d.Y == 0:
		n = r2.Point{Y: math.Copysign(1, n.Y)}
	default:
		n = n.Normalize()
	}
	return geom.HalfSpace{Normal: view.Point(n, 0), Offset: n.Dot(a) + nearer}
}

func everywhere() r1.Interval { return r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)} }

// obstacles are the tubes of the rail's path, and of its mirror image.
func (r Rail) obstacles(source int, nearer float64) []Obstacle {
	var all []Obstacle
	for _, mirrored := range r.sides() {
		for i := 1; i < len(r.Path); i++ {
			all = append(all, Obstacle{
				Name: r.nameOf(mirrored), Kind: RailTube, Metal: true, Gap: r.Gap, Source: source, Removable: r.Removable,
				Solid: geom.Tube{
					From: mirror(r.Path[i-1], mirrored), To: mirror(r.Path[i], mirrored),
					Radius: geom.SnapUp(r.Diameter/2) + nearer,
				},
			})
		}
	}
	return all
}

// sides tells which of the rail and its mirror image there are: both only where they
// differ.
func (r Rail) sides() []bool {
	if r.Mirror && r.meanY() != 0 {
		return []bool{false, true}
	}
	return []bool{false}
}

func (r Rail) meanY() float64 {
	sum := 0.0
	for _, p := range r.Path {
		sum += p.Y
	}
	return sum
}

// nameOf is the rail's name, with the side it stands on where there are two.
func (r Rail) nameOf(mirrored bool) string {
	if len(r.sides()) == 1 {
		return r.Name
	}
	if (r.meanY() > 0) != mirrored {
		return r.Name + " left"
	}
	return r.Name + " right"
}

func mirror(p r3.Vector, mirrored bool) r3.Vector {
	if mirrored {
		p.Y = -p.Y
	}
	return p
}

// obstacles are the convex pieces of a keep-out.
func (k KeepOut) obstacles(source int, nearer float64) []Obstacle {
	o := Obstacle{Name: k.Name, Kind: KeptOut, Metal: k.Metal, Gap: k.Gap, Source: source, LiftsOff: k.LiftsOff}
	var all []Obstacle
	for _, s := range k.solids(nearer) {
		o.Solid = s
		all = append(all, o)
	}
	return all
}

func (k KeepOut) solids(nearer float64) []geom.Solid {
	out := r3.Vector{X: nearer, Y: nearer, Z: nearer}
	switch {
	case k.Box != nil:
		return []geom.Solid{geom.BoxFromCorners(each(k.Box.Low, geom.SnapDown).Sub(out), each(k.Box.High, geom.SnapUp).Add(out))}
	case k.Round != nil:
		along := k.Round.To.Sub(k.Round.From).Normalize().Mul(nearer)
		return []geom.Solid{geom.Cylinder{
			From: k.Round.From.Sub(along), To: k.Round.To.Add(along), Radius: geom.SnapUp(k.Round.Diameter/2) + nearer,
		}}
	}
	var all []geom.Solid
	depth := r1.Interval{Lo: geom.SnapDown(k.Profile.Across.Lo) - nearer, Hi: geom.SnapUp(k.Profile.Across.Hi) + nearer}
	for _, p := range snapSolid(k.Profile.Outline).ConvexPieces() {
		all = append(all, geom.Prism{Profile: grown(p, nearer), View: geom.SideView, Depth: depth})
	}
	return all
}

func each(v r3.Vector, f func(float64) float64) r3.Vector {
	return r3.Vector{X: f(v.X), Y: f(v.Y), Z: f(v.Z)}
}

// grown is a convex polygon with every edge moved out by d.
func grown(p geom.Polygon, d float64) geom.Polygon {
	if d == 0 {
		return p
	}
	g, _ := p.Offset(d)
	return g
}

// snapFree snaps the corners of a polygon of free space inward, snapSolid those of a
// solid outward. Where the polygon would no longer be one, it is left as it is: then
// the numbers are off the lattice, and only the exactness of comparisons is lost.
func snapFree(p geom.Polygon) geom.Polygon  { return snapped(p, 1) }
func snapSolid(p geom.Polygon) geom.Polygon { return snapped(p, -1) }

func snapped(p geom.Polygon, side float64) geom.Polygon {
	corners := make([]r2.Point, len(p.Corners))
	for i := range corners {
		corners[i] = snapCorner(p.Corners, i, side)
	}
	if _, err := geom.PolygonFromCorners(corners); err != nil {
		return p
	}
	return geom.Polygon{Corners: corners}
}

// snapCorner takes, of the four lattice points around a corner, the one that lies
// furthest to the wanted side of both its edges.
func snapCorner(corners []r2.Point, i int, side float64) r2.Point {
	n := len(corners)
	c := corners[i]
	into := inward(corners[(i+n-1)%n], c).Mul(side)
	onto := inward(c, corners[(i+1)%n]).Mul(side)
	best, most := c, math.Inf(-1)
	for _, x := range []float64{geom.SnapDown(c.X), geom.SnapUp(c.X)} {
		for _, y := range []float64{geom.SnapDown(c.Y), geom.SnapUp(c.Y)} {
			move := r2.Point{X: x, Y: y}.Sub(c)
			if v := min(move.Dot(into), move.Dot(onto)); v > most {
				best, most = r2.Point{X: x, Y: y}, v
			}
		}
	}
	return best
}

func inward(a, b r2.Point) r2.Point {
	d := b.Sub(a)
	return r2.Point{X: -d.Y, Y: d.X}.Normalize()
}
