package search

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// In a triangle with base b, height H and inradius ρ, a w×h box lying on the base has
// the greatest spare ρ(1 − w/b − h/H). Derived: the three sides and the box's place
// make a linear program with that optimum. Here b = 6, H = 4, ρ = 1.5.
func TestOneBoxInATriangle(t *testing.T) {
	r := fit(t, kit.NoGaps(kit.Triangle(6000, 3000, 4000), kit.Upright(kit.Boxes("b", 1, 2000, 10000, 1000))))
	require.InDelta(t, 625, r.Spare, 1e-6)
	require.True(t, r.Proven)
}

// Two boxes that can only stand side by side: (1 − Σw/b − h/H)/((k−1)/b + 1/ρ). Derived
// likewise.
func TestTwoBoxesInATriangle(t *testing.T) {
	r := fit(t, kit.NoGaps(kit.Triangle(6000, 3000, 4000), kit.Upright(kit.Boxes("b", 2, 800, 10000, 2000))))
	require.InDelta(t, 280, r.Spare, 1e-6)
	require.True(t, r.Proven)
}

// A row of k boxes in a length L has the greatest spare (L − Σl)/(k+1). Derived.
func TestRow(t *testing.T) {
	for k := 1; k <= 5; k++ {
		r := fit(t, kit.NoGaps(kit.Chest(1000, 100, 100), kit.Upright(kit.Boxes("b", k, 150, 90, 90))))
		want := min(5, float64(1000-150*k)/float64(k+1))
		require.InDelta(t, want, r.Spare, 1e-6)
		require.True(t, r.Proven)
	}
}

// A 40×30 box between a corner and a tube: 30 mm from floor and rear its corner is
// (30, 40) from the axis at (100, 100), so 50 − 20 = 30 mm from the tube. With less from
// one it has less from another. Derived: s² − 300s + 8100 = 0.
func TestOneBoxBetweenACornerAndATube(t *testing.T) {
	f := kit.Chest(100, 500, 100)
	f.Rails = []frame.Rail{{Name: "rail", Path: []r3.Vector{{X: 100, Y: -100, Z: 100}, {X: 100, Y: 600, Z: 100}}, Diameter: 40}}
	p := kit.NoGaps(f, kit.Upright(kit.Boxes("b", 1, 40, 300, 30)))
	r := fit(t, p)
	require.InDelta(t, 30, r.Spare, 1e-6)
	require.True(t, r.Proven)
	require.LessOrEqual(t, r.Bound-r.Spare, Closed)
}

// In a right triangle with legs 5 ten unit squares fit, with nothing to spare: the
// squares are the pairs p, q ≥ 1 with p + q ≤ 5. Derived.
func TestUnitSquaresInARightTriangle(t *testing.T) {
	f := kit.Opening(r1.Interval{Lo: 0, Hi: 1024}, r2.Point{}, r2.Point{X: 5120}, r2.Point{Y: 5120})
	p := kit.NoGaps(f, kit.Upright(kit.Boxes("square", 10, 1024, 1024, 1024)))
	m := modelOf(p)
	require.InDelta(t, 0, bestOfStarts(m, 40), 1e-9)
}

// bestOfStarts is the best spare of building alone, without a proof.
func bestOfStarts(m *model.Model, starts int) float64 {
	r := runOf(testContext, m.Problem, Settings{Seed: 1}.withDefaults())
	for from := 0; from < starts; from += leastBatch {
		r.tryBatch(from, from+leastBatch)
	}
	return r.pool.spare()
}

// Slothouber and Graatsma's puzzle: six 1×2×2 and three unit cubes fill the cube of
// side 3, in one way up to symmetry. Solved by exhaustive search.
func TestSlothouberGraatsma(t *testing.T) {
	r := fit(t, kit.NoGaps(kit.Chest(3, 3, 3), kit.Boxes("slab", 6, 1, 2, 2), kit.Boxes("cube", 3, 1, 1, 1)))
	require.Zero(t, r.Spare)
	require.True(t, r.Proven)
}

// Four a×b rectangles around a square hole fill a square of side a + b with spare 0,
// and no row-by-row arrangement does. Derived.
func TestPinwheel(t *testing.T) {
	k := kit.Boxes("vane", 4, 300, 100, 200)
	k.Stands = []pack.Stand{pack.Upright, pack.OnEnd}
	p := kit.NoGaps(kit.Chest(500, 100, 500), k)
	r := fit(t, p)
	require.Zero(t, r.Spare)
	require.True(t, r.Proven)
}

// A box that is too long alone: proven without a search.
func TestOneBoxTooLong(t *testing.T) {
	r := fit(t, kit.NoGaps(kit.Chest(400, 300, 300), kit.Boxes("b", 1, 410, 420, 430)))
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Negative(t, r.Bound)
	require.Contains(t, r.Reason, "even alone")
}
