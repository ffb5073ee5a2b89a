package geom

import (
	"errors"
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func polygon(t require.TestingT, coordinates ...float64) Polygon {
	p, err := PolygonFromCorners(points(coordinates...))
	require.NoError(t, err)
	return p
}

func points(coordinates ...float64) []r2.Point {
	var list []r2.Point
	for i := 0; i < len(coordinates); i += 2 {
		list = append(list, r2.Point{X: coordinates[i], Y: coordinates[i+1]})
	}
	return list
}

func TestPolygonFromCornersSaysWhatIsWrong(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name    string
		corners []r2.Point
		want    PolygonError
	}{
		{"none", nil, PolygonError{TooFewCorners, -1, -1}},
		{"two", points(0, 0, 1, 1), PolygonError{TooFewCorners, -1, -1}},
		{"not a number", points(0, 0, 1, nan, 1, 1), PolygonError{NotFinite, 1, -1}},
		{"infinite", points(0, 0, 1, 0, inf, 1), PolygonError{NotFinite, 2, -1}},
		{"repeated", points(0, 0, 4, 0, 4, 4, 0, 0), PolygonError{RepeatedCorner, 3, 0}},
		{"repeated but for rounding", points(0, 0, 4, 0, 4, 1e-12, 0, 3), PolygonError{RepeatedCorner, 2, 1}},
		{"all on a line", points(0, 0, 1, 1, 3, 3, 2, 2), PolygonError{NoArea, -1, -1}},
		{"crossing", points(0, 0, 4, 4, 4, 0, 0, 4), PolygonError{Crossing, 2, 0}},
		{"corner on a side", points(0, 0, 4, 0, 4, 4, 2, 0, 0, 4), PolygonError{Crossing, 2, 0}},
		{"folding back", points(0, 0, 4, 0, 2, 0, 2, 3), PolygonError{Crossing, 1, 0}},
		{"folding back past the start", points(0, 0, 4, 0, -2, 0, 2, 3), PolygonError{Crossing, 1, 0}},
		{"folding back at the first corner", points(0, 0, 4, 0, 4, 3, 6, 0), PolygonError{Crossing, 3, 0}},
		{"too large to measure", points(0, 0, 1e300, 0, 0, 1e300), PolygonError{NoArea, -1, -1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := PolygonFromCorners(c.corners)
			var got *PolygonError
			require.ErrorAs(t, err, &got)
			assert.ErrorIs(t, err, ErrPolygon)
			assert.Equal(t, c.want, *got)
			assert.Equal(t, Polygon{}, p)
		})
	}
}

// Tolerance is a billionth of a millimetre: a corner nearer than that to another side
// touches it, one a ten-millionth from it does not.
func TestTouchingIsWithinTolerance(t *testing.T) {
	notched := func(above float64) []r2.Point { return points(0, 0, 10, 0, 10, 10, 5, above, 0, 10) }
	_, err := PolygonFromCorners(notched(1e-7))
	assert.NoError(t, err)
	_, err = PolygonFromCorners(notched(1e-10))
	assert.ErrorIs(t, err, ErrPolygon)
}

func TestPolygonErrorCountsFromOne(t *testing.T) {
	for want, err := range map[string]*PolygonError{
		"an outline needs at least three corners":                            {TooFewCorners, -1, -1},
		"corner 3 is not at a finite number":                                 {NotFinite, 2, -1},
		"corner 4 is in the same place as corner 1":                          {RepeatedCorner, 3, 0},
		"the side after corner 3 crosses or touches the side after corner 1": {Crossing, 2, 0},
		"the corners enclose no area":                                        {NoArea, -1, -1},
	} {
		assert.EqualError(t, err, want)
	}
}

func TestPolygonTurnsCounterClockwise(t *testing.T) {
	want := points(1, 1, 5, 1, 5, 4)
	given := points(1, 1, 5, 4, 5, 1)
	p, err := PolygonFromCorners(given)
	require.NoError(t, err)
	assert.Equal(t, want, p.Corners)
	assert.Equal(t, points(1, 1, 5, 4, 5, 1), given, "the corners given stay as they are")
	assert.Equal(t, 6.0, p.Area())
	assert.Equal(t, r2.RectFromPoints(points(1, 1, 5, 4)...), p.Bounds())
}

func TestHullDropsStraightCorners(t *testing.T) {
	p := polygon(t, 0, 0, 2, 0, 4, 0, 4, 3, 2, 2, 0, 3)
	assert.Equal(t, points(0, 0, 4, 0, 4, 3, 0, 3), p.Hull().Corners)
	first := Polygon{Corners: points(-Tolerance/2, 2, 0, 0, 4, 2, 0, 4)}
	assert.Equal(t, points(0, 0, 4, 2, 0, 4), first.Hull().Corners, "the first one too")
	assert.Len(t, hullOf(points(0, 0, 2, -Tolerance, 4, 0, 4, 4, 0, 4)), 4, "straight within Tolerance")
	assert.Len(t, hullOf(points(0, 0, 2, -2*Tolerance, 4, 0, 4, 4, 0, 4)), 5)
	assert.Len(t, hullOf(points(0, 0, Tolerance/2, 0, 0, Tolerance/2)), 2, "two are left of the smallest")
	assert.False(t, p.IsConvex())
	assert.True(t, p.Hull().IsConvex())
	assert.True(t, polygon(t, 0, 0, 2, 0, 4, 0, 4, 3).IsConvex(), "a straight corner is not reflex")
}

func TestContains(t *testing.T) {
	p := polygon(t, 0, 0, 4, 0, 4, 4, 2, 1, 0, 4)
	for _, c := range []struct {
		x, y             float64
		closed, interior bool
	}{
		{1, 1, true, true},
		{3.5, 2, true, true},
		{2, 2, false, false},
		{2, 1, true, false},
		{0, 0, true, false},
		{0, 2, true, false},
		{5, 1, false, false},
		{-1, 0, false, false},
		{-1, 4, false, false},
		{1, 2.5 + 1e-12, true, false},
		{2, -Tolerance, true, false},
		{2, -2 * Tolerance, false, false},
	} {
		q := r2.Point{X: c.x, Y: c.y}
		assert.Equal(t, c.closed, p.Contains(q), "%v", q)
		assert.Equal(t, c.interior, p.InteriorContains(q), "%v", q)
	}
}

func TestOffset(t *testing.T) {
	square := polygon(t, 0, 0, 2, 0, 4, 0, 4, 4, 0, 4)
	out, ok := square.Offset(1)
	assert.True(t, ok)
	assert.Equal(t, points(-1, -1, 5, -1, 5, 5, -1, 5), out.Corners)
	in, ok := square.Offset(-1)
	assert.True(t, ok)
	assert.Equal(t, points(1, 1, 3, 1, 3, 3, 1, 3), in.Corners)
	same, ok := square.Offset(0)
	assert.True(t, ok)
	assert.Equal(t, square.Hull(), same)
	small, ok := polygon(t, 0, 0, 0.5, 0, 0.5, 0.5, 0, 0.5).Offset(-0.125)
	assert.True(t, ok)
	assert.Equal(t, 1.0/16, small.Area())
	_, ok = square.Offset(-2)
	assert.False(t, ok, "a point is no polygon")
	_, ok = square.Offset(-3)
	assert.False(t, ok)
}

// The inradius of the triangle with base 6 and height 4 is 2·area/perimeter =
// 24/16 = 1.5 (a formula of any handbook): an inset by less leaves a triangle of the
// same shape, one by more leaves nothing.
func TestInsetVanishesAtInradius(t *testing.T) {
	triangle := polygon(t, 0, 0, 6, 0, 3, 4)
	in, ok := triangle.Offset(-0.75)
	require.True(t, ok)
	assert.InDelta(t, triangle.Area()/4, in.Area(), 1e-12)
	_, ok = triangle.Offset(-1.500001)
	assert.False(t, ok)
}

func TestOffsetMovesEverySideByDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := simplePolygon(t).Hull()
		d := rapid.Float64Range(-30, 30).Draw(t, "d")
		moved, ok := p.Offset(d)
		if !ok {
			return
		}
		assert.True(t, moved.IsConvex())
		assert.Greater(t, moved.Area(), 0.0)
		for i := range p.Corners {
			n := p.normal(i)
			assert.LessOrEqual(t, moved.extent(n).Hi, p.extent(n).Hi+d+1e-7)
		}
		for i, c := range moved.Corners {
			n := moved.normal(i)
			// Each side of the new one is parallel to one of the old and d away.
			assert.InDelta(t, dot(n, c)-d, p.extent(n).Hi, 1e-6)
		}
	})
}

// A square of 4 cut along upright lines, and along a diagonal: corners on the line stay, and
// none comes twice.
func TestClip(t *testing.T) {
	square := points(0, 0, 4, 0, 4, 4, 0, 4)
	for _, c := range []struct {
		normal r2.Point
		offset float64
		want   []r2.Point
	}{
		{r2.Point{X: 1}, 5, square},
		{r2.Point{X: 1}, 4, square},
		{r2.Point{X: 1}, 3, points(0, 0, 3, 0, 3, 4, 0, 4)},
		{r2.Point{X: 1}, 0, points(0, 0, 0, 4)},
		{r2.Point{X: 1}, -1, nil},
		{r2.Point{X: -1}, -1, points(1, 0, 4, 0, 4, 4, 1, 4)},
		{r2.Point{X: 1, Y: 1}, 4, points(0, 0, 4, 0, 0, 4)},
		{r2.Point{X: -1, Y: -1}, -4, points(4, 0, 4, 4, 0, 4)},
		{r2.Point{X: 1, Y: -1}, 0, points(0, 0, 4, 4, 0, 4)},
		{r2.Point{X: 1, Y: 1}, 6, points(0, 0, 4, 0, 4, 2, 2, 4, 0, 4)},
	} {
		assert.Equal(t, c.want, clip(square, c.normal, c.offset), "%v", c)
	}
	assert.Equal(t, points(0, 0, 1, 0, 1, 1), dropRepeated(points(0, 0, 0, 0, 1, 0, 1, 1, 0, 0)))
	assert.Equal(t, points(0, 0, 1, 0, 0, 0, 1, 1), dropRepeated(points(0, 0, 1, 0, 0, 0, 1, 1)), "only what follows at once")
}

// A path turns when its middle lies farther than the tolerance from the line between its
// ends, however long that is.
func TestTurn(t *testing.T) {
	for _, long := range []float64{0.25, 100, 16000} {
		for height, want := range map[float64]side{
			0: straight, Tolerance: straight, -Tolerance: straight, Tolerance / 2: straight, -Tolerance / 2: straight,
			2 * Tolerance: right, -2 * Tolerance: left, 0.1: right, -0.1: left,
		} {
			got := turn(r2.Point{}, r2.Point{X: long / 2, Y: height}, r2.Point{X: long}, Tolerance)
			assert.Equal(t, want, got, "%v off over %v", height, long)
		}
	}
}

// What comes within Tolerance, to the last bit, touches.
func TestTouchingAtTheTolerance(t *testing.T) {
	for _, c := range []struct {
		above   float64 // of an end of one segment over the middle of the other
		touches bool
	}{{Tolerance, true}, {2 * Tolerance, false}} {
		a, b := r2.Point{Y: c.above}, r2.Point{Y: 5}
		low, high := r2.Point{X: -3}, r2.Point{X: 3}
		for _, s := range [][4]r2.Point{{a, b, low, high}, {b, a, low, high}, {low, high, a, b}, {low, high, b, a}} {
			assert.Equal(t, c.touches, segmentsCross(s[0], s[1], s[2], s[3], Tolerance))
		}
		_, err := PolygonFromCorners(points(0, 0, 4, 0, 4, c.above, 0, 3))
		var broken *PolygonError
		assert.Equal(t, c.touches, errors.As(err, &broken) && broken.Rule == RepeatedCorner)
		assert.Equal(t, c.touches, foldsBack(r2.Point{}, r2.Point{X: 4}, r2.Point{X: 2, Y: c.above}))
		assert.Equal(t, c.touches, foldsBack(r2.Point{Y: c.above}, r2.Point{X: 4}, r2.Point{X: -4}))
	}
}
