package model

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/search/internal/kit"
)

// Of a space that is its own mirror image one half is searched. Two tubes alike of which
// only one unbolts are no mirror images: a layout that goes in past the one may have an
// image that is stuck behind the other.
func TestMirrorImagesComeOffAlike(t *testing.T) {
	mirrored := func(change func(left, right *frame.Rail)) bool {
		f := kit.Chest(200, 100, 100)
		f.Rails = []frame.Rail{
			{Name: "right", Path: []r3.Vector{{Y: -30}, {X: 200, Y: -30}}, Diameter: 20},
			{Name: "left", Path: []r3.Vector{{Y: 130}, {X: 200, Y: 130}}, Diameter: 20},
		}
		change(&f.Rails[1], &f.Rails[0])
		return made(kit.NoGaps(f, kit.Boxes("b", 2, 40, 30, 20))).Mirrored
	}
	require.True(t, mirrored(func(_, _ *frame.Rail) {}))
	require.True(t, mirrored(func(left, right *frame.Rail) { left.Removable, right.Removable = true, true }))
	require.False(t, mirrored(func(left, _ *frame.Rail) { left.Removable = true }))
	require.False(t, mirrored(func(left, _ *frame.Rail) { left.Diameter = 21 }))
}
