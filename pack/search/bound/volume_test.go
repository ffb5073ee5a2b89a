package bound

import (
	"math"
	"testing"

	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}

// A box as large as its chest has nothing to spare, and more than that is more than the volume
// of the chest.
func TestVolumeOfAFullChest(t *testing.T) {
	require.InDelta(t, 0, volumeBound(modelOf(kit.NoGaps(kit.Chest(100, 80, 60), kit.Boxes("b", 1, 100, 80, 60)))), 1e-6)
}

// Boxes tilted by 45°, grown by 5 along their own axes, reach 5·√2 farther forward and up,
// and 5 across (derived).
func TestVolumeAroundTiltedBoxes(t *testing.T) {
	b := kit.Upright(kit.Boxes("b", 2, 10, 10, 10))
	b.Tilts = []s1.Angle{45 * s1.Degree}
	m := modelOf(kit.NoGaps(kit.Chest(100, 100, 100), b))
	side := 100 + 2*5*math.Sqrt2
	require.InDelta(t, side*side*110, volume(m, 0, 5), 1e-6)
}

// Nine 2×2×3 do not go into the cube of side 5: sizes 2 and 3 both count half of 5, so
// at most eight do. Derived.
func TestNineBricks(t *testing.T) {
	bound, _ := Cheap(modelOf(kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 9, 2, 2, 3))))
	require.Negative(t, bound)
	bound, _ = Cheap(modelOf(kit.NoGaps(kit.Chest(5, 5, 5), kit.Boxes("b", 8, 2, 2, 3))))
	require.GreaterOrEqual(t, bound, 0.0)
}

// More volume than the opening has.
func TestTooMuchVolume(t *testing.T) {
	m := modelOf(kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("b", 9, 150, 150, 151)))
	bound, reason := Cheap(m)
	require.Negative(t, bound)
	require.NotEmpty(t, reason)
}

// Hoffman, "Packing problems and inequalities", in The Mathematical Gardner (1981): 27
// blocks of 4×5×6 go into the cube of side 15. 28 do not, though their volume is 0.9956
// of it: the 27 points {s/4, s/2, 3s/4}³ hit every block. Nor do 27 go into a cube of
// 14.99: with three blocks on each axis line 405 ≤ 27 s. Both derived.
func TestHoffmanBounds(t *testing.T) {
	for _, p := range []pack.Problem{
		kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 28, 4, 5, 6)),
		kit.NoGaps(kit.Chest(14.99, 14.99, 14.99), kit.Boxes("b", 27, 4, 5, 6)),
	} {
		bound, _ := Cheap(modelOf(p))
		require.Negative(t, bound)
	}
	bound, _ := Cheap(modelOf(kit.NoGaps(kit.Chest(15, 15, 15), kit.Boxes("b", 27, 4, 5, 6))))
	require.GreaterOrEqual(t, bound, 0.0)
}
