package geom

import (
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Shapes with the least number of convex pieces, counted by hand.
var shapes = []struct {
	name    string
	corners []r2.Point
	pieces  int
}{
	{"triangle", points(0, 0, 4, 0, 2, 3), 1},
	{"L", points(0, 0, 4, 0, 4, 1, 1, 1, 1, 4, 0, 4), 2},
	{"chevron", points(0, 0, 2, 1, 4, 0, 2, 4), 2},
	{"U", points(0, 0, 9, 0, 9, 9, 7, 9, 7, 2, 2, 2, 2, 9, 0, 9), 3},
	{"Z", points(0, 0, 6, 0, 6, 3, 9, 3, 9, 6, 3, 6, 3, 3, 0, 3), 2},
	{"plus", points(3, 0, 6, 0, 6, 3, 9, 3, 9, 6, 6, 6, 6, 9, 3, 9, 3, 6, 0, 6, 0, 3, 3, 3), 3},
	{"stair", points(0, 0, 6, 0, 6, 2, 4, 2, 4, 4, 2, 4, 2, 6, 0, 6), 3},
	{"opening with a slanted tube", points(0, 0, 420, 0, 470, 95, 560, 95, 620, 380, 60, 460), 2},
}

func TestConvexPiecesAreFew(t *testing.T) {
	for _, s := range shapes {
		p, err := PolygonFromCorners(s.corners)
		assert.NoError(t, err)
		assert.Len(t, p.ConvexPieces(), s.pieces, s.name)
	}
}

func TestConvexPiecesPartThePolygon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := simplePolygon(t)
		pieces := p.ConvexPieces()
		assertParts(t, p, p.Area(), pieces)
		for _, piece := range pieces {
			assert.True(t, p.Contains(middleOf(piece)))
		}
		reflex := 0
		for i := range p.Corners {
			if p.reflex(i) {
				reflex++
			}
		}
		assert.LessOrEqual(t, len(pieces), 2*reflex+1)
		assert.GreaterOrEqual(t, len(pieces), (reflex+3)/2)
	})
}

func TestOutsidePiecesFillTheHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := simplePolygon(t)
		hull := p.Hull()
		pieces := p.OutsidePieces()
		assertParts(t, hull, hull.Area()-p.Area(), pieces)
		for _, piece := range pieces {
			assert.False(t, p.InteriorContains(middleOf(piece)))
		}
	})
}

// assertParts tells whether the pieces are convex, in the polygon and of that area
// together. Pieces with corners of the polygon only, inside and of the right area,
// cannot overlap much; each also keeps its middle to itself.
func assertParts(t assert.TestingT, whole Polygon, area float64, pieces []Polygon) {
	sum := 0.0
	for i, piece := range pieces {
		assert.True(t, piece.IsConvex())
		assert.Greater(t, piece.Area(), 0.0)
		sum += piece.Area()
		for _, c := range piece.Corners {
			assert.True(t, whole.Contains(c))
		}
		for j, other := range pieces {
			assert.True(t, i == j || !other.InteriorContains(middleOf(piece)))
		}
	}
	assert.InDelta(t, area, sum, 1e-6)
}

// middleOf returns the mean of the corners, which is inside a convex polygon.
func middleOf(p Polygon) r2.Point {
	var sum r2.Point
	for _, c := range p.Corners {
		sum = sum.Add(c)
	}
	return sum.Mul(1 / float64(len(p.Corners)))
}

func TestConvexPocketStaysWhole(t *testing.T) {
	p := polygon(t, 0, 0, 10, 0, 10, 10, 7, 10, 6, 4, 4, 4, 3, 10, 0, 10)
	assert.Equal(t, [][]r2.Point{points(3, 10, 4, 4, 6, 4, 7, 10)}, sortedPieces(p.OutsidePieces()))
	assert.Empty(t, polygon(t, 0, 0, 4, 0, 4, 3, 0, 3).OutsidePieces())
}

// A corner on the edge of the hull parts two pockets.
func TestPocketsPartWhereTheOutlineTouchesTheHull(t *testing.T) {
	p := polygon(t, 0, 0, 8, 0, 8, 5, 6, 3, 4, 5, 2, 3, 0, 5)
	assert.Equal(t, [][]r2.Point{points(0, 5, 2, 3, 4, 5), points(4, 5, 6, 3, 8, 5)}, sortedPieces(p.OutsidePieces()))
}

// sortedPieces returns the corners of each piece from the lowest of the leftmost on,
// the pieces in the order of their corners.
func sortedPieces(pieces []Polygon) [][]r2.Point {
	var list [][]r2.Point
	for _, p := range pieces {
		c := slices.Clone(p.Corners)
		first := slices.Index(c, slices.MinFunc(c, comparePoints))
		list = append(list, append(c[first:], c[:first]...))
	}
	slices.SortFunc(list, func(a, b []r2.Point) int { return slices.CompareFunc(a, b, comparePoints) })
	return list
}

// mapped returns polygons with every corner mapped, turned round where the map
// mirrors.
func mapped(pieces []Polygon, mirrors bool, f func(r2.Point) r2.Point) []Polygon {
	var list []Polygon
	for _, p := range pieces {
		var corners []r2.Point
		for _, c := range p.Corners {
			corners = append(corners, f(c))
		}
		if mirrors {
			slices.Reverse(corners)
		}
		list = append(list, Polygon{Corners: corners})
	}
	return list
}

// Pieces follow the polygon. The maps are exact in float64 for the shapes, which have
// whole coordinates and many ties, and for scaling and mirroring of any polygon.
func TestPiecesFollowThePolygon(t *testing.T) {
	mirror := func(c r2.Point) r2.Point { return r2.Point{X: -c.X, Y: c.Y} }
	double := func(c r2.Point) r2.Point { return c.Mul(2) }
	move := func(c r2.Point) r2.Point { return c.Add(r2.Point{X: 1000, Y: -64}) }
	check := func(t assert.TestingT, p Polygon, mirrors bool, f func(r2.Point) r2.Point) {
		image := mapped([]Polygon{p}, mirrors, f)[0]
		assert.Equal(t, sortedPieces(mapped(p.ConvexPieces(), mirrors, f)), sortedPieces(image.ConvexPieces()))
		assert.Equal(t, sortedPieces(mapped(p.OutsidePieces(), mirrors, f)), sortedPieces(image.OutsidePieces()))
	}
	for _, s := range shapes {
		t.Run(s.name, func(t *testing.T) {
			p := Polygon{Corners: s.corners}
			check(t, p, true, mirror)
			check(t, p, false, double)
			check(t, p, false, move)
		})
	}
	rapid.Check(t, func(t *rapid.T) {
		p := simplePolygon(t)
		check(t, p, true, mirror)
		check(t, p, false, double)
	})
}

// The pieces do not depend on which corner the list starts with.
func TestPiecesDoNotDependOnTheFirstCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := simplePolygon(t)
		k := rapid.IntRange(1, len(p.Corners)-1).Draw(t, "first")
		turned := Polygon{Corners: append(slices.Clone(p.Corners[k:]), p.Corners[:k]...)}
		assert.Equal(t, sortedPieces(p.ConvexPieces()), sortedPieces(turned.ConvexPieces()))
		assert.Equal(t, sortedPieces(p.OutsidePieces()), sortedPieces(turned.OutsidePieces()))
	})
}

// The order of pieces is that of the cuts, the same at every call.
func TestPiecesAreTheSameEveryTime(t *testing.T) {
	p := star(40, 3)
	assert.Equal(t, p.ConvexPieces(), p.ConvexPieces())
	assert.Equal(t, p.OutsidePieces(), p.OutsidePieces())
}
