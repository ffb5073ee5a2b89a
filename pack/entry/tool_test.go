package entry

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

func post(name string, face pack.Face, x, y float64) pack.Post {
	return pack.Post{Name: name, Face: face, At: r2.Point{X: x, Y: y}, Diameter: 18, Height: 20}
}

// A post 20 high on top of a box at 100: the tool's room is 30 across and reaches
// from the post's tip at 120 to 200, 80 beyond it.
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

// A tool comes over a post from its tip on: what ends no higher is not in its way.
func TestRoomBeginsAtTheTip(t *testing.T) {
	s := square(400).open(3).across(-100, 100).box("a", v(50, -50, 0), v(150, 50, 100), post("plus", pack.Top, 50, 50))
	for z, want := range map[float64]Moment{119: Always, 120: Always, 121: Never} {
		s.problem.Frame.KeepOuts = nil
		s.keepOut("cheek", v(112, -50, 0), v(150, 50, z)) // 12 from the axis at 100, the tool's radius is 15
		assert.Equal(t, want, s.plan(t).Reach[0].When, "%v", z)
	}
}

// Two posts 20 mm apart: of 18 across each, 11 from the one's axis the other begins, where
// the tool needs 15. Only the higher one is in the way.
func TestOnlyHigherPostsOfTheSameBoxAreInTheWay(t *testing.T) {
	s := square(400).open(3).box("a", v(0, -50, 0), v(100, 50, 100),
		post("plus", pack.Top, 30, 50), post("minus", pack.Top, 50, 50))
	assert.Empty(t, s.plan(t).Unreachable(), "as high as each other")
	assert.Empty(t, hiddenPosts(t, s.problem, Settings{}))
	s.problem.Pack.Kinds[0].Posts[1].Height = 25
	a := s.plan(t)
	require.Len(t, a.Unreachable(), 1)
	assert.Equal(t, "a 1 plus", a.Unreachable()[0].Post.String())
	assert.Equal(t, []string{"a 1"}, partNames(a.Reach[0].Boxes))
	hidden := hiddenPosts(t, s.problem, Settings{})
	require.Len(t, hidden, 1)
	assert.Equal(t, "plus", hidden[0].Post.Name)
	assert.Equal(t, []string{"minus"}, hidden[0].By)
	assert.Equal(t, 22.0, hidden[0].Widest, "20 between the axes, less half of 18, twice")
	for _, c := range []struct {
		diameter float64
		hidden   int
	}{{22, 0}, {22.1, 1}} {
		tool := Settings{Tool: Tool{Diameter: c.diameter, Length: 80}}
		assert.Len(t, hiddenPosts(t, s.problem, tool), c.hidden)
		a, err := Plan(context.Background(), s.problem, s.layout, tool)
		require.NoError(t, err)
		assert.Len(t, a.Unreachable(), c.hidden, "and so says the plan")
	}
}

// What is hidden is so in every orientation, and what is not is reached in free space:
// compared with plans of the box alone in a wide opening, over random posts.
func TestHiddenPostsAreThoseThatNoPlanReaches(t *testing.T) {
	g := rand.New(rand.NewPCG(15, 1))
	hiddenOnes := 0
	for range 300 {
		posts := make([]pack.Post, 3)
		for i := range posts {
			posts[i] = post(string(rune('a'+i)), pack.Face(2*g.IntN(3)), 20+float64(g.IntN(60)), 20+float64(g.IntN(60)))
			posts[i].Height = float64(10 * g.IntN(4))
		}
		s := square(2000).open(3).across(-1000, 1000).box("a", v(900, -50, 900), v(1000, 50, 1000), posts...)
		s.layout.Placements[0].Up = []pack.Face{pack.Top, pack.Left}[g.IntN(2)]
		if g.IntN(3) == 0 {
			s.layout.Placements[0].Tilt = 12 * s1.Degree
			s.problem.Pack.Kinds[0].Tilts = []s1.Angle{12 * s1.Degree}
		}
		var want, got []string
		for _, r := range s.plan(t).Unreachable() {
			want = append(want, r.Post.Post)
		}
		for _, h := range hiddenPosts(t, s.problem, Settings{}) {
			got = append(got, h.Post.Name)
		}
		require.Equal(t, want, got, "%v", posts)
		hiddenOnes += len(got)
	}
	require.Greater(t, hiddenOnes, 50)
}

// The room turns and tilts with its box.
func TestToolOfATurnedBox(t *testing.T) {
	s := square(400).open(3).across(-200, 200).
		box("a", v(100, -50, 100), v(200, 50, 200), post("plus", pack.Top, 50, 50)).
		keepOut("beside", v(100, 80, 100), v(200, 90, 200))
	assert.Equal(t, Always, s.plan(t).Reach[0].When)
	s.layout.Placements[0].Up, s.layout.Placements[0].Front = pack.Right, pack.Front // top to the left
	a := s.plan(t)
	if assert.Equal(t, Never, a.Reach[0].When) {
		assert.Equal(t, []string{"beside"}, a.Reach[0].Things)
	}
}

// A cable that is joined before its box goes in asks for no tool in place, whatever is over the post.
func TestNoToolAtAPostThatIsJoinedFirst(t *testing.T) {
	s := lidOver(130)
	assert.False(t, s.plan(t).Holds())
	s.problem.Pack.Kinds[0].Posts[0].JoinedFirst = true
	a := s.plan(t)
	assert.True(t, a.Holds())
	assert.Equal(t, []Reach{{Post: pack.Part{Box: "a", Number: 1, Post: "plus"}, When: Before, Boxes: []pack.Part{{Box: "a", Number: 1}}}}, a.Reach)
	assert.Equal(t, "connect a 1 plus before a 1 goes in", a.Reach[0].Words())
	ok, err := Holds(context.Background(), s.problem, s.layout, Settings{})
	require.NoError(t, err)
	assert.True(t, ok)
}

func hiddenPosts(t *testing.T, problem pack.Problem, settings Settings) []Hidden {
	t.Helper()
	list, err := HiddenPosts(problem, settings)
	require.NoError(t, err)
	return list
}
