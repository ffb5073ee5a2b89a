package judge

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Metal may be as near to a post as its gap less what rounding does, and no nearer.
func TestNearAPostExactly(t *testing.T) {
	const need = 2 * geom.Tolerance
	metal, post := apartBy(geom.Tolerance) // need less the tolerance
	j := sceneOf()
	p := barOf("bar", metal)
	j.nearPost(&p, post, "plus", need, "gaps.bar")
	require.Empty(t, j.found)
	j.nearPost(&p, post, "plus", 3*geom.Tolerance, "gaps.bar")
	require.Len(t, j.found, 1)
	require.InDelta(t, 2*geom.Tolerance, j.found[0].By, 1e-12)
}

// What is in a room by no more than rounding does is not in it.
func TestInARoomExactly(t *testing.T) {
	a, b := intoBy(geom.Tolerance)
	require.False(t, meets([]solid{a}, b))
	a, b = intoBy(next(geom.Tolerance))
	require.True(t, meets([]solid{a}, b))
	j := sceneOf()
	j.around = []solid{a, a, a}
	j.obstacles = []frame.Obstacle{{Name: "tank", Removable: true}, {Name: "rail"}, {Name: "cover", LiftsOff: true}}
	require.Equal(t, []string{"cover", "tank"}, j.comesOff(b))
	a, b = intoBy(geom.Tolerance)
	j.around = []solid{a, a, a}
	require.Empty(t, j.comesOff(b))
}

// Beyond a post is a bar as long as asked, as wide as the post.
func TestOutOfAPost(t *testing.T) {
	post := corners(-5, -4, -3, 5, 4, 3)
	for _, c := range []struct{ out, low, high r3.Vector }{
		{r3.Vector{X: 1}, r3.Vector{X: -5, Y: -4, Z: -3}, r3.Vector{X: 35, Y: 4, Z: 3}},
		{r3.Vector{X: -1}, r3.Vector{X: -35, Y: -4, Z: -3}, r3.Vector{X: 5, Y: 4, Z: 3}},
		{r3.Vector{Y: 1}, r3.Vector{X: -5, Y: -4, Z: -3}, r3.Vector{X: 5, Y: 34, Z: 3}},
		{r3.Vector{Y: -1}, r3.Vector{X: -5, Y: -34, Z: -3}, r3.Vector{X: 5, Y: 4, Z: 3}},
		{r3.Vector{Z: 1}, r3.Vector{X: -5, Y: -4, Z: -3}, r3.Vector{X: 5, Y: 4, Z: 33}},
		{r3.Vector{Z: -1}, r3.Vector{X: -5, Y: -4, Z: -33}, r3.Vector{X: 5, Y: 4, Z: 3}},
	} {
		s := outOf(post, c.out, 30)
		require.Equal(t, c.low, s.low)
		require.Equal(t, c.high, s.high)
	}
	for _, z := range []float64{0.9, -0.9} {
		s := outOf(post, r3.Vector{Z: z}, 30)
		require.Equal(t, 6.0, s.high.Z-s.low.Z, "only along an axis of its own does it become longer")
	}
}

// A socket is 30 mm across, and reaches 80 mm out of a post's end: 86 mm from the foot of one that
// is 6 mm high.
func TestRoomOfATool(t *testing.T) {
	room := toolRoom(corners(-5, -5, 0, 5, 5, 6), above)
	require.InDelta(t, 0, room.low.Z, 1e-9)
	require.InDelta(t, 86, room.high.Z, 1e-9)
	require.InDelta(t, -15, room.low.X, 1e-9)
	require.InDelta(t, 15, room.high.Y, 1e-9)
}

// posted is a box 60 mm high with a post in the middle of its top.
func posted() box {
	b := boxAt(1, corners(-30, -30, 0, 30, 30, 60))
	b.posts = []solid{corners(-5, -5, 60, 5, 5, 66)}
	b.outward, b.first = []r3.Vector{above}, []bool{false}
	b.postParts = []pack.Part{{Box: "block", Number: 1, Post: "plus"}}
	b.postNames = []string{"block 1 plus"}
	return b
}

// A post is connected after its box has gone in, and before what takes the tool's room does.
func TestReachesInOrder(t *testing.T) {
	j := sceneOf(barOf("over", corners(-30, -5, 120, 30, 5, 125)), barOf("aside", corners(40, 0, 0, 50, 10, 50)))
	j.boxes = []box{posted()}
	reach := j.reaches([]Step{{Name: "aside"}, {Name: "block 1", Box: true}, {Name: "over"}})
	require.Empty(t, j.found)
	require.Equal(t, []Reach{{Post: pack.Part{Box: "block", Number: 1, Post: "plus"}, Before: 2}}, reach)
	require.Equal(t, 2, j.reaches([]Step{{Name: "block 1", Box: true}, {Name: "aside"}})[0].Before, "the last of all")
	j.reaches([]Step{{Name: "over"}, {Name: "block 1", Box: true}})
	require.Len(t, j.found, 1)
	require.Equal(t, Violation{Posts, []string{"over", "block 1 plus"}, 0, "", j.found[0].Text}, j.found[0])
	j.found = nil
	j.boxes[0].first[0] = true
	require.Equal(t, 1, j.reaches([]Step{{Name: "over"}, {Name: "block 1", Box: true}})[0].Before)
	require.Empty(t, j.found, "it is joined before its box goes in")
}

// A post is hidden by what is in the tool's room, but for its own box, and not where it is joined
// before its box goes in.
func TestHidden(t *testing.T) {
	b := posted()
	own := item{name: b.name, box: &b, solids: append([]solid{b.body}, b.posts...)}
	over := item{name: "over", solids: []solid{corners(-30, -5, 120, 30, 5, 125)}}
	aside := item{name: "aside", solids: []solid{corners(40, 0, 0, 50, 10, 50)}}
	j := sceneOf()
	require.False(t, j.hidden(own, []item{own, aside}))
	require.True(t, j.hidden(own, []item{own, aside, over}))
	require.False(t, j.hidden(over, []item{own, over}), "it has no posts")
	b.first[0] = true
	require.False(t, j.hidden(own, []item{own, over}))
}

// A bar across what is beyond a post is refused, whatever its gap: to 30 mm, and no farther. A rod is
// not.
func TestOverAPost(t *testing.T) {
	for _, c := range []struct {
		z     float64
		wrong int
	}{{95.5, 1}, {96.5, 0}} { // the post ends at 66 mm
		j := sceneOf(barOf("over", corners(-30, -5, c.z, 30, 5, c.z+3)))
		j.boxes = []box{posted()}
		j.heldAll["block 1"] = true
		j.problem.Pack.Gaps = pack.Gaps{Post: 40, Bar: 10}
		j.posts()
		require.Len(t, j.found, c.wrong)
		for _, v := range j.found {
			require.Zero(t, v.By)
		}
		j.found = nil
		j.heldAll["block 1"] = false // then gaps.post is what counts: 40 mm
		j.posts()
		require.Len(t, j.saying("gaps.post asks for 40"), 1)
	}
}
