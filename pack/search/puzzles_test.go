package search

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// puzzleTime is far more than any puzzle takes.
const puzzleTime = 5 * time.Minute

// decide searches until it is known whether the boxes fit: what has nothing to spare
// cannot have less, and how far a layout falls short is not asked.
func decide(t *testing.T, p pack.Problem) Result {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), puzzleTime)
	defer cancel()
	r, err := Fit(ctx, p, Settings{AnyEntry: true, Progress: func(now Progress) {
		if now.Spare >= 0 || now.Bound < 0 {
			cancel()
		}
	}})
	require.NoError(t, err)
	return r
}

func requireFits(t *testing.T, p pack.Problem) {
	t.Helper()
	r := decide(t, p)
	require.GreaterOrEqual(t, r.Spare, 0.0)
	require.Equal(t, pack.Fits, r.Verdict)
	require.Zero(t, r.Spare, "nothing is to spare in these")
}

func requireNoFit(t *testing.T, p pack.Problem) {
	t.Helper()
	r := decide(t, p)
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Negative(t, r.Bound)
	require.LessOrEqual(t, r.Spare, r.Bound)
	require.True(t, r.Proven)
	require.NotEmpty(t, r.Reason)
}

// Conway's puzzle and its earlier variant, a cube of side 5; solved by exhaustive search.
func TestConwaysPuzzles(t *testing.T) {
	requireFits(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("a", 6, 1, 2, 4), kit.Boxes("b", 6, 2, 2, 3), kit.Boxes("c", 5, 1, 1, 1)))
	requireFits(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("a", 13, 1, 2, 4), kit.Boxes("b", 1, 2, 2, 2), kit.Boxes("c", 1, 1, 2, 2), kit.Boxes("d", 3, 1, 1, 3)))
}

// Fifteen 1×2×4 would fill 96 % of a cube of side 5 and do not go in; solved by
// exhaustive search. Derived: each of the 15 layers of unit cells has 25 cells, of which
// boxes take an even number, so 5 empty cells are too few unless they lie in 15 different
// layers.
func TestFifteenBricks(t *testing.T) {
	requireNoFit(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 15, 1, 2, 4)))
	r := decide(t, kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 14, 1, 2, 4)))
	require.GreaterOrEqual(t, r.Spare, 0.0)
}

// Hoffman's puzzle: 27 blocks of 4×5×6 go into a cube of side 15, with nothing to spare
// (Hoffman in Klarner (ed.), The Mathematical Gardner (1981); 21 solutions). In a cube of
// 14.999 they do not, nor do 28.
func TestHoffman(t *testing.T) {
	requireFits(t, kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 27, 4, 5, 6)))
	requireNoFit(t, kit.NoGaps(kit.Chest(14.999, 14.999, 14.999), kit.Boxes("b", 27, 4, 5, 6)))
	requireNoFit(t, kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 28, 4, 5, 6)))
}

// Twenty-seven bricks of 1×2×4 have the volume of a cube of side 6 and do not go in; 26 do
// (de Bruijn, American Mathematical Monthly 76 (1969) 37–40).
func TestDeBruijnsBricks(t *testing.T) {
	requireNoFit(t, kit.NoGaps(kit.Chest(6, 6, 6), kit.Boxes("b", 27, 1, 2, 4)))
	r := decide(t, kit.NoGaps(kit.Chest(6, 6, 6), kit.Boxes("b", 26, 1, 2, 4)))
	require.GreaterOrEqual(t, r.Spare, 0.0)
}

// Rectangles that go, or do not go, into a square of side 20 without turning (Clautiaux,
// Jouglet, Carlier & Moukrim, Computers & Operations Research 35 (2008) 944–959). N in
// the name: no; F: yes; X: no.
func TestRectangles(t *testing.T) {
	for _, c := range []struct{ name, sizes string }{
		{"E00N10", "1x13 4x5 5x7 7x7 7x8 2x13 8x4 1x11 4x14 17x6"},
		{"E00N15", "2x6 1x17 11x2 4x3 1x13 10x4 1x5 13x5 7x4 11x3 4x14 5x3 1x2 8x2 16x4"},
		{"E03N10", "14x2 1x7 1x11 4x4 6x9 16x2 2x3 19x3 1x9 14x12"},
		{"E04F15", "3x13 7x8 5x13 13x4 7x2 7x2 3x9 10x4 13x2 9x3 2x2 1x3 1x3 1x5 1x9"},
		{"E05F15", "1x11 11x5 6x8 2x9 10x5 1x2 1x2 1x3 15x2 13x5 7x5 19x2 4x2 1x6 1x9"},
		{"E07X15", "12x5 1x17 4x11 7x9 3x2 11x4 11x4 5x9 1x13 3x4 1x3 1x3 2x2 1x2 4x3"},
		{"E20F15", "1x12 13x5 2x11 5x10 13x4 6x2 3x9 17x2 8x2 3x2 1x3 1x3 1x5 1x4 3x3"},
		{"E02F17", "3x7 13x4 2x14 1x6 6x7 15x2 15x2 5x2 5x8 7x3 1x20 2x3 4x14 1x9 2x5 1x3 3x3"},
		{"E08F15", "1x17 9x5 4x13 4x4 7x5 1x12 8x8 7x8 1x9 1x9 2x15 1x3 2x3 5x2 2x2"},
		// More kinds than the published ones here: a square cut up at random, and with its first piece larger.
		{"cutF20", "6x4 14x3 1x13 1x8 4x4 2x8 6x5 6x3 8x4 6x4 6x2 6x1 5x6 1x6 6x6 6x1 2x5 7x5 4x1 4x8"},
		{"cutN20", "6x5 14x3 1x13 1x8 4x4 2x8 6x5 6x3 8x4 6x4 6x2 6x1 5x6 1x6 6x6 6x1 2x5 7x5 4x1 4x8"},
		{"E13N10", "1x3 2x12 17x3 11x3 5x12 10x3 4x12 8x8 1x2 3x11"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := kit.Rectangles(t, c.sizes)
			if c.name[3] == 'F' {
				require.GreaterOrEqual(t, decide(t, p).Spare, 0.0)
			} else {
				requireNoFit(t, p)
			}
		})
	}
}
