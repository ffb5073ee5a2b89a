package shelf_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack/shelf"
)

// Four boxes that go in as two rows of two on one level alone, and as two levels where the opening is
// half as long: layouts hold, stand, and leave the room between levels.
func TestLayouts(t *testing.T) {
	for _, c := range []struct {
		frame  string
		levels int
	}{
		{`{format: 1, frame: long, opening: {outline: [[0, 0], [230, 0], [230, 140], [0, 140]], across: 190}}`, 1},
		{`{format: 1, frame: high, opening: {outline: [[0, 0], [115, 0], [115, 260], [0, 260]], across: 190}}`, 2},
	} {
		f, err := frame.Read(strings.NewReader(c.frame), "frame")
		require.NoError(t, err)
		k, err := pack.Read(strings.NewReader(`{format: 1, pack: four, gaps: {tray: 20}, boxes: [{name: box, count: 4, size: [100, 80, 90], stand: [upright]}]}`), "pack")
		require.NoError(t, err)
		p, err := pack.NewProblem(f, k)
		require.NoError(t, err)
		list := shelf.Layouts(p, shelf.Room{Over: 40}, 5)
		require.NotEmpty(t, list)
		for _, l := range list {
			require.True(t, pack.Check(p, l).Holds())
			s := pack.StandingOf(p, l)
			require.True(t, s.Stands())
			require.Len(t, s.Levels, c.levels)
			if c.levels == 2 {
				require.GreaterOrEqual(t, s.Levels[1].Height-s.Levels[0].Height, 90+40.0)
			}
		}
	}
	f, err := frame.Read(strings.NewReader(`{format: 1, frame: small, opening: {outline: [[0, 0], [115, 0], [115, 120], [0, 120]], across: 190}}`), "frame")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(`{format: 1, pack: four, boxes: [{name: box, count: 4, size: [100, 80, 90], stand: [upright]}]}`), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	require.Empty(t, shelf.Layouts(p, shelf.Room{Over: 40}, 5))
}
