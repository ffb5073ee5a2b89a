package frame

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// outlineObstacles are half-spaces behind the sides of the hull, and prisms for what
// the hull has and the outline has not. A half-space is nearer by the most of the sides
// behind it, a prism by the most of the sides of its pocket.
func (o Opening) outlineObstacles(nearer func(side int) float64) []Obstacle {
	outline := o.Outline
	var all []Obstacle
	hull := outline.Hull().Corners
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		side := o.sideAlong(outline, a)
		all = append(all, Obstacle{
			Name: o.SideName(side), Kind: Side, Metal: o.Metal, Source: side, Open: o.SideOpen(side),
			Solid: behind(geom.SideView, a, b, most(outline.Corners, a, b, nearer)),
		})
	}
	for _, p := range outline.OutsidePieces() {
		side := o.sideOfPiece(outline, p)
		all = append(all, Obstacle{
			Name: o.SideName(side), Kind: Side, Metal: o.Metal, Source: side, Open: o.SideOpen(side),
			Solid: geom.Prism{Profile: grown(p, mostOfPocket(outline.Corners, hull, p, nearer)), View: geom.SideView, Depth: everywhere()},
		})
	}
	return all
}

// most is the greatest of a number of the sides from corner a on to corner b.
func most(corners []r2.Point, a, b r2.Point, of func(side int) float64) float64 {
	first, last := max(0, slices.Index(corners, a)), slices.Index(corners, b)
	greatest := of(first)
	for i := (first + 1) % len(corners); i != last && i != first && last >= 0; i = (i + 1) % len(corners) {
		greatest = max(greatest, of(i))
	}
	return greatest
}

// mostOfPocket is the greatest of a number of the sides of the pocket that a piece is of: of
// those from one corner of the hull to the next, between which its corners lie.
func mostOfPocket(corners, hull []r2.Point, piece geom.Polygon, of func(side int) float64) float64 {
	for i, a := range hull {
		first, last := slices.Index(corners, a), slices.Index(corners, hull[(i+1)%len(hull)])
		count := (last - first + len(corners)) % len(corners)
		within := func(c r2.Point) bool {
			k := slices.Index(corners, c)
			return k >= 0 && (k-first+len(corners))%len(corners) <= count
		}
		if !slices.ContainsFunc(piece.Corners, func(c r2.Point) bool { return !within(c) }) {
			return most(corners, a, hull[(i+1)%len(hull)], of)
		}
	}
	greatest := of(0)
	for i := range corners {
		greatest = max(greatest, of(i))
	}
	return greatest
}

// SideName returns the name of the side from corner i, a number where the opening was
// made without names.
func (o Opening) SideName(i int) string {
	if i < len(o.Sides) {
		return o.Sides[i]
	}
	return fmt.Sprintf("side %d", i+1)
}

// SideOpen tells whether nothing is at the side from corner i when boxes go in.
func (o Opening) SideOpen(i int) bool { return i < len(o.Open) && o.Open[i] }

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

// section is the front view of the opening as free space. It may end a little above the
// lowest point and below the highest, where it bounds nothing.
func (o Opening) section() geom.Polygon {
	z := o.Outline.Bounds().Y
	return geom.Polygon{Corners: withoutStraight(o.Section(z.Lo, z.Hi))}
}

// Section returns the front view of the opening between two heights, in mm and
// counter-clockwise: up along the left limit, which has the greater y and stands to the
// right of a picture of y and z. There are corners at the two heights and at the stations
// between them, those more than geom.Tolerance from both.
func (o Opening) Section(low, high float64) []r2.Point {
	heights := []float64{low}
	for _, s := range o.Stations {
		if s.Z > low+geom.Tolerance && s.Z < high-geom.Tolerance {
			heights = append(heights, s.Z)
		}
	}
	heights = append(heights, high)
	var left, right []r2.Point
	for _, z := range heights {
		in := o.AcrossAt(z)
		left = append(left, r2.Point{X: in.Hi, Y: z})
		right = append(right, r2.Point{X: in.Lo, Y: z})
	}
	slices.Reverse(right)
	return append(left, right...)
}

// Widest returns how far the opening reaches to the right and to the left, each at the
// height where that is most.
func (o Opening) Widest() r1.Interval {
	z := o.Outline.Bounds().Y
	return r2.RectFromPoints(o.Section(z.Lo, z.Hi)...).X
}

// withoutStraight drops corners that lie on the line between their neighbours, within
// geom.Tolerance: where decimal numbers meet exactly, those of float64 may not.
func withoutStraight(corners []r2.Point) []r2.Point {
	var kept []r2.Point
	n := len(corners)
	for i, c := range corners {
		a, b := corners[(i+n-1)%n], corners[(i+1)%n]
		if along := b.Sub(a); math.Abs(along.Cross(c.Sub(a))) > geom.Tolerance*along.Norm() {
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
