package search_test

import (
	"context"
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/search"
)

// row is boxes in a row along an axis that fill an opening, with what they need between them and
// to the sides, all of it in exact numbers: of thousandths of a millimetre, or of hundredths or
// sixteenths of an inch.
type row struct {
	axis  int // x, y, z
	inch  bool
	per   int64 // parts of the unit that numbers are whole ones of
	sizes []int64
	gaps  [3]int64 // beside, above, to the walls
	low   int64    // where the opening begins
}

func newRow(seed uint64) row {
	rng := rand.New(rand.NewPCG(seed, 1653))
	per := []int64{1000, 10, 16, 100, 64}[seed%5]
	r := row{axis: int(seed) / 5 % 3, inch: per == 16 || per == 100 || per == 64, per: per, low: rng.Int64N(300*per) - 150*per}
	least, more, gap := 60*per, 150*per, 7*per
	if r.inch {
		least, more, gap = 2*per, 5*per, per/4
	}
	for range 1 + rng.IntN(4) {
		r.sizes = append(r.sizes, least+rng.Int64N(more))
	}
	for i := range r.gaps {
		r.gaps[i] = rng.Int64N(gap)
	}
	return r
}

// length is what the row takes, with everything between.
func (r row) length() int64 {
	between := r.gaps[0]
	if r.axis == 2 {
		between = r.gaps[1]
	}
	sum := 2*r.gaps[2] + between*int64(len(r.sizes)-1)
	for _, s := range r.sizes {
		sum += s
	}
	return sum
}

// written is a number of parts as a decimal without end.
func (r row) written(parts int64) string {
	return strings.TrimSuffix(strings.TrimRight(big.NewRat(parts, r.per).FloatString(7), "0"), ".")
}

// files are the two files, the opening short of the row's length by so many millionths of the unit.
func (r row) files(short int64) (frameFile, packFile []byte) {
	// Across the row boxes are so large that no two go beside each other.
	unit, half, wide, large := "mm", "460", "920", "890"
	if r.inch {
		unit, half, wide, large = "in", "18.25", "36.5", "35"
	}
	end := new(big.Rat).Sub(big.NewRat(r.low+r.length(), r.per), big.NewRat(short, 1_000_000))
	lo, hi := r.written(r.low), strings.TrimSuffix(strings.TrimRight(end.FloatString(7), "0"), ".")
	x, y, z := [2]string{"0", wide}, [2]string{"-" + half, half}, [2]string{"0", wide}
	*[]*[2]string{&x, &y, &z}[r.axis] = [2]string{lo, hi}
	frameFile = fmt.Appendf(nil, "format: 1\nframe: f\nunits: %s\nopening: {outline: [[%s, %s], [%s, %s], [%s, %s], [%s, %s]], across: [%s, %s], metal: false}\n",
		unit, x[0], z[0], x[1], z[0], x[1], z[1], x[0], z[1], y[0], y[1])
	packFile = fmt.Appendf(nil, "format: 1\npack: p\nunits: %s\ngaps: {beside: %s, above: %s, wall: %s}\nboxes:\n", unit, r.written(r.gaps[0]), r.written(r.gaps[1]), r.written(r.gaps[2]))
	for i, s := range r.sizes {
		size := [3]string{large, large, large}
		size[r.axis] = r.written(s)
		packFile = fmt.Appendf(packFile, "  - {name: b%d, size: [%s], stand: [upright]}\n", i, strings.Join(size[:], ", "))
	}
	return frameFile, packFile
}

// Derived: what fills the room by the numbers of the files fits with exactly nothing to spare,
// though float64 holds few of these numbers and adds them with rounding; a millionth of a
// millimetre more does not fit, and that is proven. The second judge reckons in the decimals
// themselves, and so do written proofs.
func TestWhatFillsTheRoomByTheNumbersFits(t *testing.T) {
	judge := secondjudge.Start(t)
	for seed := range uint64(45) {
		r := newRow(seed)
		frameFile, packFile := r.files(0)
		p := secondjudge.Problem(t, frameFile, packFile)
		got := searchUntilDecided(t, p)
		require.True(t, got.Verdict.Fits(), "%d: %v with %v mm\n%s%s", seed, got.Verdict, got.Spare, frameFile, packFile)
		require.Zero(t, got.Spare, seed)
		l := got.Layouts[0].Layout
		require.Zero(t, pack.Check(p, l).Spare)
		require.True(t, pack.Check(p, l).Holds())
		judge.Agree(t, frameFile, packFile, p, l)

		frameFile, packFile = r.files(10)
		p = secondjudge.Problem(t, frameFile, packFile)
		got = searchUntilDecided(t, p)
		require.Equal(t, pack.ProvenNoFit, got.Verdict, "%d: %v mm", seed, got.Spare)
		_, err := search.Certify(context.Background(), p, got.Bound)
		require.NoError(t, err, seed)
	}
}
