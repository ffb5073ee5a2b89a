package bench_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
)

// trail is the example with boxes that stand.
func trail(t testing.TB) (pack.Problem, pack.Layout) {
	read := func(name string) *os.File {
		f, err := os.Open(filepath.Join("..", "..", "testdata", "trail", name))
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(read("frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(read("pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	l, err := layoutfile.Read(read("rack-layout.yaml"), "layout.yaml")
	require.NoError(t, err)
	return p, l.Layout
}

func newDesk(p pack.Problem, l pack.Layout) *bench.Desk {
	return bench.NewDesk(bench.Work{Problem: p, Layout: l}, true)
}

func state(t testing.TB, d *bench.Desk) bench.State {
	s, err := d.State()
	require.NoError(t, err)
	return s
}

// A drag of 300 moves loses none, and ends where the hand does, however the moves are bundled.
func TestMovesAreNotLost(t *testing.T) {
	p, l := trail(t)
	d := newDesk(p, l)
	r := rand.New(rand.NewPCG(1, 2))
	var bundle []bench.Move
	for i := range 300 {
		bundle = append(bundle, bench.Move{Box: "block", Number: 2, Centre: [3]float64{218, 5, 81 + float64(i)/10}, Begins: i == 0})
		if r.IntN(7) == 0 || i == 299 {
			require.NoError(t, d.Moves(bundle))
			bundle = nil
		}
	}
	s := state(t, d)
	require.Equal(t, 300, s.Moves)
	require.Equal(t, 1, s.Undo, "a drag is one step")
	_, now := d.Layout()
	require.Equal(t, r3.Vector{X: 218, Y: 5, Z: 110.9}, now.Placements[1].Centre)
	require.True(t, d.Undo())
	_, now = d.Layout()
	require.Equal(t, l.Placements, now.Placements)
}

// A box that comes near to where a gap is just met is put there, along the axes of the drawing
// alone: block 2 stands 3 mm, its gap, from block 1 in the file.
func TestSnap(t *testing.T) {
	p, l := trail(t)
	for _, off := range []float64{-4, -1.7, 0.3, 2, 5.9} {
		d := newDesk(p, l)
		require.NoError(t, d.Moves([]bench.Move{{Box: "block", Number: 2, Centre: [3]float64{218 + off, 5, 81}, Snap: []int{0}, Begins: true}}))
		_, now := d.Layout()
		require.InDelta(t, 218, now.Placements[1].Centre.X, 1e-9, "from %g mm away", off)
		require.True(t, pack.Check(p, now).Holds())
		require.NoError(t, d.Moves([]bench.Move{{Box: "block", Number: 2, Centre: [3]float64{218 + off, 5, 81}}}))
		_, now = d.Layout()
		require.Equal(t, 218+off, now.Placements[1].Centre.X, "free when that is asked for")
	}
}

// Whatever is done, all of it can be taken back and made again, and what is shown is what
// pack.Check says.
func TestUndoWithoutEnd(t *testing.T) {
	p, l := trail(t)
	d := newDesk(p, l)
	r := rand.New(rand.NewPCG(3, 4))
	var history [][]pack.Placement
	for range 200 {
		n := 1 + r.IntN(5)
		_, before := d.Layout()
		var err error
		switch r.IntN(4) {
		case 0:
			err = d.Moves([]bench.Move{{Box: "block", Number: n, Centre: [3]float64{300 * r.Float64(), 0, 300 * r.Float64()}, Begins: true}})
		case 1:
			err = d.Reorient("block", n, bench.Turn)
		case 2:
			err = d.Reorient("block", n, bench.Stand)
		default:
			err = d.Pin("block", n)
		}
		if err != nil {
			require.ErrorIs(t, err, bench.ErrPinned)
			continue
		}
		history = append(history, before.Placements)
		_, now := d.Layout()
		require.Equal(t, pack.Check(p, now).Holds(), state(t, d).Holds)
	}
	_, last := d.Layout()
	for _, was := range history {
		_ = was
		require.True(t, d.Undo())
	}
	require.False(t, d.Undo())
	for i, was := range history {
		_, now := d.Layout()
		require.Equal(t, was, now.Placements, "step %d", i)
		require.True(t, d.Redo())
	}
	require.False(t, d.Redo())
	_, now := d.Layout()
	require.Equal(t, last, now)
}

func TestDeskRefuses(t *testing.T) {
	p, l := trail(t)
	d := newDesk(p, l)
	require.ErrorIs(t, d.Moves([]bench.Move{{Box: "block", Number: 9}}), bench.ErrNoBox)
	require.ErrorContains(t, d.Moves([]bench.Move{{Box: "block", Number: 1, Centre: [3]float64{1e9, 0, 0}}}), "16000 mm")
	require.NoError(t, d.Pin("block", 1))
	require.ErrorIs(t, d.Reorient("block", 1, bench.Turn), bench.ErrPinned)
	_, now := d.Layout()
	require.Equal(t, l.Placements[1:], now.Placements[1:])
}
