package proof

import (
	"bytes"
	"context"
	"testing"
	"time"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/certificate"
	"rackwright/pack/search/internal/kit"
)

// certified makes the proof of a problem that does not fit; it has passed the checker.
func certified(t *testing.T, p pack.Problem) certificate.Proof {
	t.Helper()
	proof, err := Certify(context.Background(), p, -1)
	require.NoError(t, err)
	require.NoError(t, certificate.Verify(p, proof))
	return proof
}

func triangularRoom(leg float64) *frame.Frame {
	return kit.Opening(r1.Interval{Lo: 0, Hi: leg / 4}, r2.Point{}, r2.Point{X: leg}, r2.Point{Y: leg})
}

// The published and derived problems that do not fit; sources in the tests of their
// bounds, published_test.go.
func TestCertifiedByName(t *testing.T) {
	require.True(t, certified(t, kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("b", 9, 150, 150, 151))).Volume)
	require.NotNil(t, certified(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 9, 2, 2, 3))).Points)
	require.NotNil(t, certified(t, kit.NoGaps(kit.Chest(400, 300, 300), kit.Boxes("b", 1, 410, 420, 430))).Volume)
	hoffman := certified(t, kit.NoGaps(kit.Chest(14.999, 14.999, 14.999), kit.Boxes("b", 27, 4, 5, 6)))
	require.Equal(t, &certificate.Points{N: []int{3, 3, 3}}, hoffman.Points)
	require.NotNil(t, certified(t, kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 28, 4, 5, 6))).Points)
}

// Puzzles of whole sizes; sources in puzzles_test.go.
func TestCertifiedByCells(t *testing.T) {
	require.Equal(t, &certificate.Cells{Step: []float64{1, 1, 1}, Block: 2}, certified(t, kit.NoGaps(kit.Chest(6, 6, 6), kit.Boxes("b", 27, 1, 2, 4))).Cells)
	byTrial := &certificate.Cells{Step: []float64{1, 1, 1}}
	require.Equal(t, byTrial, certified(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 15, 1, 2, 4))).Cells)
	require.Equal(t, byTrial, certified(t, kit.Rectangles(t, "1x13 4x5 5x7 7x7 7x8 2x13 8x4 1x11 4x14 17x6")).Cells)
	require.Equal(t, byTrial, certified(t, kit.Rectangles(t, "2x6 1x17 11x2 4x3 1x13 10x4 1x5 13x5 7x4 11x3 4x14 5x3 1x2 8x2 16x4")).Cells)
	require.Equal(t, byTrial, certified(t, kit.Rectangles(t, "14x2 1x7 1x11 4x4 6x9 16x2 2x3 19x3 1x9 14x12")).Cells)
}

// In a right triangle with legs 4.99 six unit squares fit, seven do not, though they fill
// only 56 % of it. Derived: the squares are the pairs p, q ≥ 1 with p + q ≤ 4.99.
func TestCertifiedTriangle(t *testing.T) {
	p := kit.NoGaps(triangularRoom(499), kit.Upright(kit.Boxes("square", 7, 100, 100, 100)))
	begin := time.Now()
	proof := certified(t, p)
	require.NotNil(t, proof.Tree)
	t.Log(time.Since(begin))
}

// The larger blocks for the trail frame have tilts, posts and many poses: the search decides
// them in seconds, and so they are written. What was learnt of one branch stands in lemmas.
func TestCertifiedTrail(t *testing.T) {
	p := kit.Example(t, "trail/frame.yaml", "trail/pack-too-big.yaml")
	proof := certified(t, p)
	require.NotEmpty(t, proof.Lemmas)
	var file bytes.Buffer
	require.NoError(t, certificate.Write(&file, proof))
	t.Logf("%d lemmas, %d bytes", len(proof.Lemmas), file.Len())
	require.Less(t, file.Len(), 5_000_000)
}

func TestCertifiedAroundATube(t *testing.T) {
	f := kit.Chest(100, 500, 100)
	f.Rails = []frame.Rail{{Name: "rail", Path: []r3.Vector{{X: 100, Y: -100, Z: 100}, {X: 100, Y: 600, Z: 100}}, Diameter: 40}}
	p := kit.NoGaps(f, kit.Upright(kit.Boxes("b", 1, 88, 300, 90)))
	proof := certified(t, p)
	require.Len(t, proof.Bodies, 1)
}

// Small packs of whole sizes that fill the room to the last: no named bound may say no, as
// it would with one box more. Slothouber and Graatsma's puzzle and Hoffman's fit; Conway's
// earlier one does (solved by exhaustive search).
func TestNamedBoundsAreTight(t *testing.T) {
	for _, p := range []pack.Problem{
		kit.NoGaps(kit.Chest(3, 3, 3), kit.Boxes("slab", 6, 1, 2, 2), kit.Boxes("cube", 3, 1, 1, 1)),
		kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 27, 4, 5, 6)),
		kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("a", 6, 1, 2, 4), kit.Boxes("b", 6, 2, 2, 3), kit.Boxes("c", 5, 1, 1, 1)),
		kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 14, 1, 2, 4)),
		kit.NoGaps(kit.Chest(500, 100, 500), kit.Boxes("vane", 4, 300, 100, 200)),
	} {
		require.False(t, namedBoundHolds(p))
		p.Pack.Kinds[len(p.Pack.Kinds)-1].Count++
		require.True(t, namedBoundHolds(p))
	}
}

// What fits, and what fits with nothing to spare, gets no proof.
func TestNothingToCertify(t *testing.T) {
	for _, p := range []pack.Problem{
		kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 27, 4, 5, 6)),
		kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 8, 2, 2, 3)),
		kit.NoGaps(triangularRoom(5), kit.Upright(kit.Boxes("square", 6, 1, 1, 1))),
	} {
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		_, err := Certify(ctx, p, -1)
		require.ErrorIs(t, err, ErrUncertified)
		cancel()
	}
}

// namedBoundHolds tells whether the certificate takes a named bound for a proof.
func namedBoundHolds(p pack.Problem) bool {
	space, err := certificate.NewSpace(p)
	if err != nil {
		panic(err)
	}
	for _, named := range namedBounds(space, modelOf(p)) {
		proof := certificate.Proof{Format: 1, Claim: certificate.Claim, FrameHash: p.Frame.Hash, PackHash: p.Pack.Hash}
		named(&proof)
		if certificate.Verify(p, proof) == nil {
			return true
		}
	}
	return false
}
