package frame

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// Side i runs from corner i to corner i + 1 as the file gives them, whichever corner comes
// first and whichever way round, with names and without: the solid that bears its name has
// both corners on its face, and no other side is open.
func TestSidesAreThoseOfTheFile(t *testing.T) {
	corners := []r2.Point{{}, {X: 420}, {X: 620, Y: 380}, {X: 300, Y: 500}, {X: 60, Y: 460}}
	for turn := range corners {
		for _, back := range []bool{false, true} {
			outline := slices.Concat(corners[turn:], corners[:turn])
			if back {
				slices.Reverse(outline)
			}
			for side := range outline {
				requireSide(t, outline, side, "", fmt.Sprintf("side %d", side+1))
				requireSide(t, outline, side, "sides: [a, b, c, d, e], ", string(rune('a'+side)))
			}
		}
	}
}

// requireSide requires that the side of an outline, opened by its name, is the one that is open.
func requireSide(t *testing.T, outline []r2.Point, side int, names, name string) {
	t.Helper()
	var corners []string
	for _, c := range outline {
		corners = append(corners, fmt.Sprintf("[%g, %g]", c.X, c.Y))
	}
	text := fmt.Sprintf("{format: 1, frame: f, opening: {outline: [%s], %sopen: [%s], across: 100}}", strings.Join(corners, ", "), names, name)
	f, err := Read(strings.NewReader(text), "f.yaml")
	require.NoError(t, err, text)
	for _, o := range f.Obstacles(0) {
		if o.Kind != Side {
			continue
		}
		h := o.Solid.(geom.HalfSpace)
		on := func(c r2.Point) bool {
			return math.Abs(h.Normal.Dot(geom.SideView.Point(c, 0))-h.Offset) < geom.Tolerance
		}
		is := on(outline[side]) && on(outline[(side+1)%len(outline)])
		require.Equal(t, is, o.Name == name, "%s: %s", text, o.Name)
		require.Equal(t, is, o.Open, "%s: %s", text, o.Name)
	}
}
