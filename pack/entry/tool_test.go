package entry

import (
	"context"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

func post(name string, face pack.Face, x, y float64) pack.Post {
	return pack.Post{Name: name, Face: face, At: r2.Point{X: x, Y: y}, Diameter: 18, Height: 20}
}

// A post 20 high on top of a box at 100: the tool's room is 30 across and reaches
// from 100 to 200, 80 beyond the post's end at 120.
func lidOver(z float64) *stage {
	return square(400).open(3).across(-100, 100).
		box("a", v(50, -50, 0), v(150, 50, 100), post("plus", pack.Top, 50, 50)).
		keepOut("lid", v(50, -50, z), v(150, 50, z+10))
}

func TestRoomOverAPost(t *testing.T) {
	for z, want := range map[float64]Moment{190: Never, 199.5: Never, 200: Always, 210: Always} {
		a := lidOver(z).plan(t)
		require.Len(t, a.Reach, 1)
		assert.Equal(t, want, a.Reach[0].When, "lid at %v", z)
		assert.Equal(t, "a 1 plus", a.Reach[0].Post.String())
		assert.Equal(t, want == Always, a.Holds())
		if want == Never {
			assert.Equal(t, []string{"lid"}, a.Reach[0].Things)
			assert.Equal(t, a.Reach, a.Unreachable())
		}
	}
}

func TestRoomBesideAPost(t *testing.T) {
	s := square(400).open(3).across(-100, 100).box("a", v(50, -50, 0), v(150, 50, 100), post("plus", pack.Top, 50, 50))
	for x, want := range map[float64]Moment{114: Never, 115: Always} { // 15 from the axis at 100
		s.problem.Frame.KeepOuts = nil
		s.keepOut("cheek", v(x, -50, 150), v(150, 50, 300))
		assert.Equal(t, want, s.plan(t).Reach[0].When, "%v", x)
	}
	// The room is round: a corner may reach into the square around it.
	s.problem.Frame.KeepOuts = nil
	s.keepOut("corner", v(111, 11, 150), v(150, 50, 300))
	assert.Equal(t, Always, s.plan(t).Reach[0].When, "11·√2 is more than 15")
}

func TestSmallerTool(t *testing.T) {
	s := lidOver(170)
	a, err := Plan(context.Background(), s.problem, s.layout, Settings{Tool: Tool{Diameter: 20, Length: 50}})
	require.NoError(t, err)
	assert.True(t, a.Holds())
}

func TestSideTooNearToAPost(t *testing.T) {
	s := square(150).across(-100, 100).box("a", v(20, -50, 0), v(120, 50, 100), post("plus", pack.Top, 50, 50))
	a := s.plan(t)
	assert.Equal(t, Never, a.Reach[0].When, "the top side is closed, at 150")
	assert.Equal(t, []string{"side 3"}, a.Reach[0].Things)
	assert.True(t, s.open(3).plan(t).Holds())
}

// A box that hides the post of another has to go in after it, though it stands lower
// and would go in first.
func TestConnectBeforeTheOtherGoesIn(t *testing.T) {
	s := square(400).open(3).
		box("a", v(0, -50, 20), v(100, 50, 100), post("plus", pack.Front, 50, 40)).
		box("b", v(130, -50, 0), v(230, 50, 100))
	a := s.plan(t)
	require.True(t, a.Holds())
	assert.Equal(t, "ab", names(a.Order))
	assert.Equal(t, Before, a.Reach[0].When)
	assert.Equal(t, []string{"b 1"}, partNames(a.Reach[0].Boxes))
	slices.Reverse(a.Order.Steps)
	reach, err := Reaches(s.problem, s.layout, a.Order, Settings{})
	require.NoError(t, err)
	assert.Equal(t, Never, reach[0].When, "the other way round it is too late")
	s.problem.Pack.Kinds[0].Posts = nil
	assert.Equal(t, "ba", names(s.plan(t).Order), "without the post the lower goes in first")
}

// Two boxes with posts that face each other: one of the posts can never be reached,
// but both boxes go in.
func TestPostsThatHideEachOther(t *testing.T) {
	s := square(400).open(3).
		box("a", v(0, -50, 0), v(100, 50, 100), post("plus", pack.Front, 50, 50)).
		box("b", v(150, -50, 0), v(250, 50, 100), post("minus", pack.Back, 20, 20))
	a := s.plan(t)
	assert.True(t, a.GoesIn)
	assert.False(t, a.Holds())
	require.Len(t, a.Unreachable(), 1)
	last := a.Order.Steps[1]
	assert.Equal(t, last.Part().Box, a.Unreachable()[0].Post.Box, "the one that goes in last")
}

func TestPostUnderATankThatLiftsOff(t *testing.T) {
	s := lidOver(150)
	s.problem.Frame.KeepOuts[0].LiftsOff = true
	a := s.plan(t)
	assert.True(t, a.Holds())
	assert.Equal(t, Before, a.Reach[0].When)
	assert.Equal(t, []string{"lid"}, a.Reach[0].Things)
}

func TestTwoPostsTooCloseForTheTool(t *testing.T) {
	s := square(400).open(3).box("a", v(0, -50, 0), v(100, 50, 100),
		post("plus", pack.Top, 30, 50), post("minus", pack.Top, 50, 50))
	a := s.plan(t)
	assert.Len(t, a.Unreachable(), 2, "20 apart, the tool's 15 and half of 18 need 24")
	assert.Equal(t, []string{"a 1"}, partNames(a.Reach[0].Boxes))
}

// The room turns and tilts with its box.
func TestToolOfATurnedBox(t *testing.T) {
	s := square(400).open(3).across(-200, 200).
		box("a", v(100, -50, 100), v(200, 50, 200), post("plus", pack.Top, 50, 50)).
		keepOut("beside", v(100, 60, 100), v(200, 70, 200))
	assert.Equal(t, Always, s.plan(t).Reach[0].When)
	s.layout.Placements[0].Up, s.layout.Placements[0].Front = pack.Right, pack.Front // top to the left
	a := s.plan(t)
	if assert.Equal(t, Never, a.Reach[0].When) {
		assert.Equal(t, []string{"beside"}, a.Reach[0].Things)
	}
}
