package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Distances with a closed form that a reader can follow.

func box(loX, loY, loZ, hiX, hiY, hiZ float64) Box {
	return BoxFromCorners(r3.Vector{X: loX, Y: loY, Z: loZ}, r3.Vector{X: hiX, Y: hiY, Z: hiZ})
}

func endless() r1.Interval { return r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)} }

func TestNormalsOfABox(t *testing.T) {
	assert.Equal(t, []r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}, box(0, 0, 0, 1, 2, 3).Normals())
}

// The pinwheel: four a×b rectangles around a square hole of side b−a fill a square of
// side a+b. Every neighbour touches, opposite ones are the hole apart, all exactly.
func TestPinwheelGaps(t *testing.T) {
	const a, b, deep = 48.125, 100.0009765625, 30
	wheel := []Box{
		box(0, 0, 0, b, deep, a),
		box(b, 0, 0, a+b, deep, b),
		box(a, 0, b, a+b, deep, a+b),
		box(0, 0, a, a, deep, a+b),
	}
	for i, one := range wheel {
		next, opposite := wheel[(i+1)%4], wheel[(i+2)%4]
		gap, _ := SheetGap(one, next)
		assert.Equal(t, 0.0, gap)
		assert.Equal(t, 0.0, Distance(one, next))
		gap, _ = SheetGap(one, opposite)
		assert.Equal(t, b-a, gap)
		assert.Equal(t, b-a, Distance(one, opposite))
	}
}

// triangle is the opening with base 6, height 4 and inradius 2·12/16 = 1.5, by its
// three sides and as the prism.
func triangle(t *testing.T) ([]HalfSpace, Prism) {
	p := Prism{Profile: polygon(t, 0, 0, 6, 0, 3, 4), Depth: endless()}
	var sides []HalfSpace
	for i, c := range p.Profile.Corners {
		in := p.Profile.normal(i).Mul(-1)
		sides = append(sides, HalfSpace{Normal: p.View.Point(in, 0), Offset: dot(in, c)})
	}
	return sides, p
}

func leastGap(t *testing.T, sides []HalfSpace, s Solid) float64 {
	t.Helper()
	least := math.Inf(1)
	for _, side := range sides {
		gap, normal := SheetGap(side, s)
		assert.Equal(t, side.Normal, normal)
		assert.Equal(t, gap, Distance(side, s))
		least = math.Min(least, gap)
	}
	return least
}

// The inradius, and what boxes in the triangle have to spare:
// ρ(1 − w/b − h/H) = 0.625 for one of 2×1 and (1 − Σw/b − h/H)/((k−1)/b + 1/ρ) = 0.28
// for two of 0.8×2 side by side. Both are attained where the gaps are all the same,
// at the places used here: derived by hand.
func TestTriangleSpares(t *testing.T) {
	sides, opening := triangle(t)
	incentre := Tube{From: r3.Vector{X: 3, Z: 1.5}, To: r3.Vector{X: 3, Z: 1.5}}
	for _, side := range sides {
		assert.InDelta(t, 1.5, Distance(side, incentre), 1e-12)
	}
	assert.InDelta(t, -1.5, Distance(opening, incentre), 1e-12, "the way out")

	assert.InDelta(t, 0.625, leastGap(t, sides, box(2, 0, 0.625, 4, 9, 1.625)), 1e-12)

	one, other := box(2.06, 0, 0.28, 2.86, 9, 2.28), box(3.14, 0, 0.28, 3.94, 9, 2.28)
	assert.InDelta(t, 0.28, leastGap(t, sides, one), 1e-12)
	assert.InDelta(t, 0.28, leastGap(t, sides, other), 1e-12)
	gap, normal := SheetGap(one, other)
	assert.InDelta(t, 0.28, gap, 1e-12)
	assert.Equal(t, r3.Vector{X: 1}, normal)
}

// Whole numbers and binary fractions give exact answers.
func TestAxisParallelIsExact(t *testing.T) {
	a := box(0.25, 0, 0, 10.0009765625, 5, 5)
	b := box(12.5, 7, 9.125, 20, 20, 20)
	gap, normal := SheetGap(a, b)
	assert.Equal(t, 4.125, gap)
	assert.Equal(t, r3.Vector{Z: 1}, normal)
	assert.InDelta(t, math.Sqrt(2.4990234375*2.4990234375+2*2+4.125*4.125), Distance(a, b), 1e-14)

	inside := box(2, 1, 2, 3, 2, 3)
	gap, normal = SheetGap(a, inside)
	assert.Equal(t, -2.0, gap, "out by the side y = 0")
	assert.Equal(t, r3.Vector{Y: -1}, normal)
	assert.Equal(t, -2.0, Distance(a, inside))

	ramp := Prism{Profile: polygon(t, 30, 0, 60, 0, 60, 40), Depth: endless()}
	gap, _ = SheetGap(box(0, 0, 0, 10, 5, 5), ramp)
	assert.Equal(t, 20.0, gap)
}

// Among sheets as thick as each other the lying one is taken, so that "above" and
// "beside" do not hang on the order of axes.
func TestSheetTiesPreferTheLyingOne(t *testing.T) {
	_, normal := SheetGap(box(0, 0, 0, 1, 1, 1), box(3, 3, 3, 4, 4, 4))
	assert.Equal(t, r3.Vector{Z: 1}, normal)
	_, normal = SheetGap(box(3, 3, 0, 4, 4, 1), box(0, 0, 0, 1, 1, 1))
	assert.Equal(t, r3.Vector{X: -1}, normal)
	_, normal = SheetGap(box(0, 0, 0, 4, 4, 4), box(1, 1, 1, 3, 3, 3))
	assert.Equal(t, r3.Vector{Z: 1}, normal, "of two opposite ones the first")
}

// A box beside a tube that runs past its vertical edge, a ball over its corner, a
// tube through it, and one that dips in by its rounding only.
func TestTubeClosedForms(t *testing.T) {
	b := box(0, 0, 0, 10, 10, 10)
	past := Tube{From: r3.Vector{X: 13, Y: 14, Z: -50}, To: r3.Vector{X: 13, Y: 14, Z: 70}, Radius: 2}
	assert.InDelta(t, 3, Distance(b, past), 1e-12, "3-4-5")
	gap, normal := SheetGap(past, b)
	assert.InDelta(t, 3, gap, 1e-12)
	assert.InDelta(t, 0, normal.Sub(r3.Vector{X: -0.6, Y: -0.8}).Norm(), 1e-12)

	ball := Tube{From: r3.Vector{X: 11, Y: 12, Z: 12}, To: r3.Vector{X: 11, Y: 12, Z: 12}, Radius: 1}
	assert.InDelta(t, 2, Distance(b, ball), 1e-12, "1-2-2-3")
	onA, onB, _ := Nearest(b, ball)
	assert.InDelta(t, 0, onA.Sub(r3.Vector{X: 10, Y: 10, Z: 10}).Norm(), 1e-12)
	assert.InDelta(t, 2, onA.Distance(onB), 1e-12)

	through := Tube{From: r3.Vector{X: -20, Y: 2, Z: 5}, To: r3.Vector{X: 30, Y: 2, Z: 5}, Radius: 1}
	assert.InDelta(t, -3, Distance(b, through), 1e-12, "out by the side y = 0")

	dips := Tube{From: r3.Vector{X: -20, Y: 5, Z: 11}, To: r3.Vector{X: 30, Y: 5, Z: 11}, Radius: 1.5}
	assert.InDelta(t, -0.5, Distance(b, dips), 1e-12)

	crossing := Tube{From: r3.Vector{X: 5, Y: -9, Z: 14}, To: r3.Vector{X: 5, Y: 19, Z: 14}, Radius: 1}
	assert.InDelta(t, 0.5, Distance(dips, crossing), 1e-12)
	assert.InDelta(t, -2*1.5, Distance(dips, dips), 1e-12, "along itself: sideways by two radii")
}

// A cylinder of radius 5 and length 20 along y, from all sides.
func TestCylinderClosedForms(t *testing.T) {
	c := Cylinder{From: r3.Vector{Y: -10}, To: r3.Vector{Y: 10}, Radius: 5}
	for _, test := range []struct {
		name  string
		solid Solid
		want  float64
	}{
		{"flat on the side", box(-20, -30, 8, 20, 30, 9), 3},
		{"flat on an end", box(-3, 14, -3, 3, 20, 3), 4},
		{"flat on an end and larger", box(-30, 14, -30, 30, 20, 30), 4},
		{"past the rim", box(8, 14, -3, 20, 20, 3), 5},
		{"edge along the axis", box(3, -3, 4, 9, 3, 9), 0},
		{"edge along the axis, apart", box(6, -3, 8, 9, 3, 9), 5},
		{"over the side", box(-1, -1, 3, 1, 1, 9), -2},
		{"over an end", box(-2, 9, -2, 2, 30, 2), -1},
		{"around it all", box(-100, -100, -100, 100, 100, 100), -105},
		{"in the middle of it", box(-1, -1, -1, 1, 1, 1), -6},
		{"a ball on the end", Tube{From: r3.Vector{Y: 13}, To: r3.Vector{Y: 13}, Radius: 1}, 2},
		{"a ball in the axis", Tube{Radius: 1}, -6},
		{"a tube across", Tube{From: r3.Vector{X: -40, Z: 9}, To: r3.Vector{X: 40, Z: 9}, Radius: 1}, 3},
		{"a tube beside", Tube{From: r3.Vector{X: 9, Y: -40}, To: r3.Vector{X: 9, Y: 40}, Radius: 1}, 3},
		{"a tube through", Tube{From: r3.Vector{X: -40}, To: r3.Vector{X: 40}, Radius: 1}, -6},
		{"a cylinder beside", Cylinder{From: r3.Vector{X: 12, Y: -8}, To: r3.Vector{X: 12, Y: 30}, Radius: 4}, 3},
		{"a cylinder end to end", Cylinder{From: r3.Vector{Y: 13}, To: r3.Vector{Y: 30}, Radius: 9}, 3},
		{"a cylinder across", Cylinder{From: r3.Vector{X: -9, Z: 10}, To: r3.Vector{X: 9, Z: 10}, Radius: 4}, 1},
		{"a cylinder over the end", Cylinder{From: r3.Vector{Y: 9}, To: r3.Vector{Y: 30}, Radius: 4}, -1},
		{"a ramp", Prism{Profile: polygon(t, 10, -5, 30, -5, 10, 15), Depth: endless()}, 5},
		{"a tray", HalfSpace{Normal: r3.Vector{Z: 1}, Offset: -8}, 3},
	} {
		t.Run(test.name, func(t *testing.T) {
			assert.InDelta(t, test.want, Distance(c, test.solid), 1e-9)
			assert.InDelta(t, test.want, Distance(test.solid, c), 1e-9)
			gap, _ := SheetGap(c, test.solid)
			assert.InDelta(t, test.want, gap, 1e-9)
		})
	}
}

// Half the diagonal of a tilted square stands out: a case where the sheet gap, which
// lies along faces, is less than the distance.
// A drum whose end comes to the corner of a block, on the dot, has a direction as well:
// rounding had put them 5e-15 mm apart, and their normal was 0. Found by fuzzing.
func TestDrumThatTouchesACorner(t *testing.T) {
	corner := Prism{Profile: polygon(t, 48, -16, 49, 48, 48, 48), Depth: r1.Interval{Lo: 48, Hi: 96.01}}
	drum := Cylinder{From: r3.Vector{X: 48, Y: 48}, Radius: 0.01}
	gap, normal := SheetGap(corner, drum)
	assert.InDelta(t, 0, gap, 1e-9)
	assert.InDelta(t, 1, normal.Norm(), 1e-12)
	assert.InDelta(t, gap, GapAlong(corner, drum, normal), 1e-7)
}

func TestSheetGapIsLessCornerToCorner(t *testing.T) {
	a, b := box(-1, -9, -1, 1, 9, 1), box(3, -9, 3, 5, 9, 5)
	gap, _ := SheetGap(a, b)
	assert.Equal(t, 2.0, gap)
	assert.InDelta(t, 2*math.Sqrt2, Distance(a, b), 1e-14)
}

// A flush post is flat, and a plate may be: they measure as the limit of thin ones.
func TestFlatBodies(t *testing.T) {
	post := box(-9, -9, 20, 9, 9, 20)
	for _, test := range []struct {
		name  string
		solid Solid
		want  float64
	}{
		{"over it", box(-50, -50, 45, 50, 50, 60), 25},
		{"beside it in its plane", box(12, -5, 20, 30, 5, 20), 3},
		{"cut by it", box(-50, -50, 0, 50, 50, 21), -1},
		{"standing on it", Prism{Profile: polygon(t, -5, 20, 5, 20, 0, 30), Depth: r1.IntervalFromPoint(0)}, 0},
		{"the same", post, 0},
		{"a wire in its plane", Tube{From: r3.Vector{X: 15, Y: -50, Z: 20}, To: r3.Vector{X: 15, Y: 50, Z: 20}, Radius: 1}, 5},
		{"a wire across it in its plane", Tube{From: r3.Vector{X: -50, Z: 20}, To: r3.Vector{X: 50, Z: 20}, Radius: 1}, -1},
	} {
		t.Run(test.name, func(t *testing.T) {
			assert.InDelta(t, test.want, Distance(post, test.solid), 1e-12)
			assert.InDelta(t, test.want, Distance(test.solid, post), 1e-12)
		})
	}
}

// However short or long a vector is, it has a direction.
func TestUnit(t *testing.T) {
	for _, scale := range []float64{1e-300, 1e-200, 1e-101, 1e-90, 1, 1e90, 1e150} {
		u := unit(r3.Vector{X: 2 * scale, Y: -3 * scale, Z: 6 * scale})
		assert.InDelta(t, 2.0/7, u.X, 1e-15)
		assert.InDelta(t, -3.0/7, u.Y, 1e-15)
		assert.InDelta(t, 6.0/7, u.Z, 1e-15)
	}
}

// A block that reaches 2 mm into a wedge, from each side: the depth is negative, and its
// normal is one of the two bodies'.
func TestDepthInAPrism(t *testing.T) {
	wedge := Prism{Profile: polygon(t, 0, 0, 40, 0, 40, 30), Depth: r1.Interval{Lo: -20, Hi: 20}}
	for _, c := range []struct {
		block  Box
		normal r3.Vector // from the wedge to the block
	}{
		{box(0, -50, -50, 80, 50, 2), r3.Vector{Z: -1}},
		{box(38, -50, 0, 80, 50, 30), r3.Vector{X: 1}},
		{box(0, 18, 0, 40, 50, 30), r3.Vector{Y: 1}},
		{box(0, -50, 0, 40, -18, 30), r3.Vector{Y: -1}},
	} {
		gap, normal := SheetGap(wedge, c.block)
		assert.Equal(t, -2.0, gap)
		assert.Equal(t, c.normal, normal)
		gap, normal = SheetGap(c.block, wedge)
		assert.Equal(t, -2.0, gap)
		assert.Equal(t, c.normal.Mul(-1), normal)
		assert.Equal(t, -2.0, Distance(wedge, c.block))
	}
	assert.Len(t, SheetNormals(box(0, 0, 0, 1, 1, 1), wedge), 7, "six, and the slanted one")
}

func TestHalfSpaces(t *testing.T) {
	floor := HalfSpace{Normal: r3.Vector{Z: 1}, Offset: 0}
	ceiling := HalfSpace{Normal: r3.Vector{Z: -1}, Offset: -40}
	wall := HalfSpace{Normal: r3.Vector{X: 1}, Offset: 0}
	gap, normal := SheetGap(floor, ceiling)
	assert.Equal(t, 40.0, gap)
	assert.Equal(t, r3.Vector{Z: 1}, normal)
	assert.Equal(t, 40.0, Distance(floor, ceiling))
	assert.Equal(t, math.Inf(-1), Distance(floor, wall))
	_, _, d := Nearest(floor, wall)
	assert.Equal(t, math.Inf(-1), d)
	assert.Equal(t, []r3.Vector{{Z: -1}}, SheetNormals(box(0, 0, 1, 1, 1, 2), floor))
	assert.Equal(t, endless(), floor.Extent(r3.Vector{X: 1}), "along any direction but its normal it is the whole line")
	assert.Equal(t, math.Inf(-1), GapAlong(floor, box(5, 0, 1, 9, 1, 2), r3.Vector{X: 1}))
	assert.Equal(t, math.Inf(-1), GapAlong(box(5, 0, 1, 9, 1, 2), floor, r3.Vector{X: 1}))

	onBox, onFloor, d := Nearest(box(1, 1, 3, 5, 5, 9), floor)
	assert.Equal(t, 3.0, d)
	assert.Equal(t, 3.0, onBox.Distance(onFloor))
	assert.Equal(t, 0.0, onFloor.Z)
	for _, s := range []Solid{
		Tube{From: r3.Vector{Z: 5}, To: r3.Vector{X: 9, Z: 8}, Radius: 2},
		Cylinder{From: r3.Vector{Z: 3}, To: r3.Vector{Z: 8}, Radius: 2},
		Prism{Profile: polygon(t, 0, 3, 9, 3, 9, 9), View: FrontView, Depth: r1.Interval{Lo: 4, Hi: math.Inf(1)}},
	} {
		onFloor, onSolid, d := Nearest(floor, s)
		assert.InDelta(t, 3, d, 1e-12)
		assert.InDelta(t, 3, onSolid.Z, 1e-12)
		assert.InDelta(t, 0, onFloor.Z, 1e-12)
	}
}

func TestPrismExtentAndNormals(t *testing.T) {
	p := Prism{Profile: polygon(t, 0, 0, 2, 0, 4, 0, 4, 3), View: FrontView, Depth: r1.Interval{Lo: -5, Hi: 7}}
	assert.Equal(t, r1.Interval{Lo: -5, Hi: 7}, p.Extent(r3.Vector{X: 1}))
	assert.Equal(t, r1.Interval{Lo: -7, Hi: 5}, p.Extent(r3.Vector{X: -1}))
	assert.Equal(t, r1.Interval{Lo: 0, Hi: 4}, p.Extent(r3.Vector{Y: 1}))
	assert.False(t, p.Round())
	assert.Equal(t, []r3.Vector{{Z: -1}, {Y: 1}, {Y: -0.6, Z: 0.8}, {X: -1}, {X: 1}}, p.Normals(), "a straight corner adds none")

	p.Depth = endless()
	assert.Len(t, p.Normals(), 3)
	assert.Equal(t, endless(), p.Extent(r3.Vector{X: 0.6, Z: 0.8}))
	assert.Equal(t, r1.Interval{Lo: 0, Hi: 3}, p.Extent(r3.Vector{Z: 1}))
}

func TestViews(t *testing.T) {
	for _, v := range []View{SideView, FrontView} {
		p, d := v.Flatten(v.Point(r2.Point{X: 1, Y: 2}, 3))
		assert.Equal(t, r2.Point{X: 1, Y: 2}, p)
		assert.Equal(t, 3.0, d)
	}
	assert.Equal(t, r3.Vector{Y: 1}, SideView.Axis())
	assert.Equal(t, r3.Vector{X: 1}, FrontView.Axis())
}

// A body without points is infinitely far from everything.
func TestEmptyPrism(t *testing.T) {
	for _, p := range []Prism{{}, {Profile: polygon(t, 0, 0, 1, 0, 0, 1), Depth: r1.EmptyInterval()}} {
		b := box(0, 0, 0, 1, 1, 1)
		assert.True(t, p.Extent(r3.Vector{X: 1}).IsEmpty())
		assert.Equal(t, math.Inf(1), GapAlong(b, p, r3.Vector{X: 1}))
		gap, _ := SheetGap(p, b)
		assert.Equal(t, math.Inf(1), gap)
		_, _, d := Nearest(b, p)
		assert.Equal(t, math.Inf(1), d)
		assert.Equal(t, math.Inf(1), Distance(HalfSpace{Normal: r3.Vector{Z: 1}}, p))
		assert.Equal(t, math.Inf(1), Distance(p, HalfSpace{Normal: r3.Vector{Z: 1}}))
		drum := Cylinder{To: r3.Vector{Z: 5}, Radius: 3}
		assert.Equal(t, math.Inf(1), Distance(p, drum))
		assert.Equal(t, math.Inf(1), Distance(drum, p))
		p.Depth = p.Depth.Union(endless())
		if len(p.Profile.Corners) == 0 {
			assert.True(t, p.Extent(r3.Vector{Y: 1}).IsEmpty(), "an outline without corners has no points at any depth")
		}
	}
}

// The nearest points of bodies on the lattice are their corners, to the last bit: 3, 4, 12
// to 13, and a sixteenth of that.
func TestNearestCornersAreExact(t *testing.T) {
	for _, scale := range []float64{1, 1.0 / 16} {
		at := func(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z}.Mul(scale) }
		a, b := BoxFromCorners(at(0, 0, 0), at(7, 9, 11)), BoxFromCorners(at(10, 13, 23), at(31, 37, 41))
		onA, onB, d := Nearest(a, b)
		assert.Equal(t, 13*scale, d)
		assert.Equal(t, at(7, 9, 11), onA)
		assert.Equal(t, at(10, 13, 23), onB)
		onB, onA, d = Nearest(b, a)
		assert.Equal(t, 13*scale, d)
		assert.Equal(t, at(7, 9, 11), onA)
		assert.Equal(t, at(10, 13, 23), onB)
	}
}

// Bodies that touch, and such as overlap by 2 mm, meet where they do.
func TestNearestOfBodiesThatMeet(t *testing.T) {
	a, b := box(0, 0, 0, 8, 8, 8), box(8, 6, 6, 20, 20, 20)
	onA, onB, d := Nearest(a, b)
	assert.Equal(t, 0.0, d)
	for _, p := range []r3.Vector{onA, onB} {
		assert.InDelta(t, 8, p.X, 1e-6)
		assert.InDelta(t, 7, p.Y, 1+1e-6)
		assert.InDelta(t, 7, p.Z, 1+1e-6)
	}
	onA, onB, d = Nearest(a, box(6, 5, 5, 20, 20, 20))
	assert.Equal(t, -2.0, d)
	assert.InDelta(t, 8, onA.X, 1e-6)
	assert.InDelta(t, 6, onB.X, 1e-6)
	assert.InDelta(t, 0, onA.Y-onB.Y, 1e-6)
	assert.InDelta(t, 0, onA.Z-onB.Z, 1e-6)
}

// Against a half-space the points are the face's or corner's own, on whichever side they
// lie: the corner of a box 10 mm in front of a slanted wall, and 10 mm behind it.
func TestNearestOfAHalfSpaceIsExact(t *testing.T) {
	wall := HalfSpace{Normal: r3.Vector{X: 0.6, Z: 0.8}, Offset: 5}
	for _, d := range []float64{10, -10} {
		corner := wall.Normal.Mul(5 + d)
		b := BoxFromCorners(corner, corner.Add(r3.Vector{X: 3, Y: 8, Z: 7}))
		onWall, onBox, distance := Nearest(wall, b)
		assert.InDelta(t, d, distance, 1e-14)
		assert.InDelta(t, 0, onBox.Sub(corner).Sub(r3.Vector{Y: 4}).Norm(), 1e-14, "in the middle of the edge")
		assert.InDelta(t, 0, onWall.Sub(onBox.Sub(wall.Normal.Mul(d))).Norm(), 1e-14)
		again, wallAgain, distance := Nearest(b, wall)
		assert.Equal(t, []r3.Vector{onBox, onWall}, []r3.Vector{again, wallAgain})
		assert.InDelta(t, d, distance, 1e-14)
	}
}

func TestCylinderExtentAndNormals(t *testing.T) {
	c := Cylinder{From: r3.Vector{X: 1, Y: 2, Z: 3}, To: r3.Vector{X: 1, Y: 6, Z: 3}, Radius: 2}
	assert.Equal(t, r1.Interval{Lo: 2, Hi: 6}, c.Extent(r3.Vector{Y: 1}))
	assert.Equal(t, r1.Interval{Lo: -1, Hi: 3}, c.Extent(r3.Vector{X: 1}))
	e := c.Extent(r3.Vector{X: 0.6, Y: 0.8})
	assert.InDelta(t, 0.6+1.6-1.2, e.Lo, 1e-12)
	assert.InDelta(t, 0.6+4.8+1.2, e.Hi, 1e-12)
	assert.Equal(t, []r3.Vector{{Y: -1}, {Y: 1}}, c.Normals())
	assert.True(t, c.Round())
	assert.True(t, Tube{}.Round())
	assert.Empty(t, Tube{}.Normals())
}

// A solid of another package is measured by its extents.
type hemisphere struct{ ball Tube }

func (hemisphere) Round() bool { return true }

func (h hemisphere) Extent(u r3.Vector) r1.Interval {
	e := h.ball.Extent(u)
	flat := u.Dot(h.ball.From) + h.ball.Radius*u.Sub(r3.Vector{Z: u.Z}).Norm()
	if u.Z > 0 {
		e.Lo = 2*u.Dot(h.ball.From) - flat
	} else {
		e.Hi = flat
	}
	return e
}

func (h hemisphere) Normals() []r3.Vector { return []r3.Vector{{Z: -1}} }

func TestSolidOfAnotherPackage(t *testing.T) {
	h := hemisphere{Tube{From: r3.Vector{Z: 10}, To: r3.Vector{Z: 10}, Radius: 4}}
	require.InDelta(t, 10, Distance(h, box(-9, -9, -9, 9, 9, 0)), 1e-9)
	require.InDelta(t, 2, Distance(box(-9, -9, 16, 9, 9, 20), h), 1e-9)
	require.InDelta(t, 5, Distance(h, box(7, -1, 0, 9, 1, 6)), 1e-9, "3-4-5 from the rim")
	require.InDelta(t, -1, Distance(h, box(-9, -9, -9, 9, 9, 11)), 1e-9)
}

// The ends of a prism of depth 4 to 10, and the middle of it where both are as far.
func TestNearestPointOfAPrism(t *testing.T) {
	p := Prism{Profile: polygon(t, 0, 3, 9, 3, 9, 9), View: FrontView, Depth: r1.Interval{Lo: 4, Hi: 10}}
	for _, c := range []struct {
		wall HalfSpace
		want r3.Vector
	}{
		{HalfSpace{Normal: r3.Vector{X: 1}}, r3.Vector{X: 4}},
		{HalfSpace{Normal: r3.Vector{X: -1}, Offset: -30}, r3.Vector{X: 10}},
		{HalfSpace{Normal: r3.Vector{Y: 1}}, r3.Vector{X: 7, Y: 0, Z: 3}},
		{HalfSpace{Normal: r3.Vector{Y: -0.8, Z: -0.6}, Offset: -50}, r3.Vector{X: 7, Y: 9, Z: 9}},
	} {
		_, onPrism, d := Nearest(c.wall, p)
		assert.InDelta(t, c.wall.Normal.Dot(onPrism)-c.wall.Offset, d, 1e-12)
		assert.Equal(t, c.want.X, onPrism.X)
		if c.wall.Normal.X == 0 {
			assert.Equal(t, c.want, onPrism)
		}
	}
}

// everywhere is a solid that nothing is outside of.
type everywhere struct{}

func (everywhere) Normals() []r3.Vector { return nil }
func (everywhere) Round() bool          { return true }

func (everywhere) Extent(r3.Vector) r1.Interval { return endless() }

func TestNearestOfWhatHasNoEnd(t *testing.T) {
	onA, onB, d := Nearest(everywhere{}, box(0, 0, 0, 1, 1, 1))
	assert.Equal(t, math.Inf(-1), d)
	assert.Equal(t, [2]r3.Vector{}, [2]r3.Vector{onA, onB})
}
