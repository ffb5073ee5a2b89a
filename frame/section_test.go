package frame

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// withKeepOut is a frame file with one keep-out.
func withKeepOut(keepOut string) string {
	return "format: 1\nframe: van\naccuracy: 2\nopening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: 300}\nkeepouts:\n  - " + keepOut + "\n"
}

func readKeepOuts(t *testing.T, keepOut string) []KeepOut {
	t.Helper()
	f, err := Read(strings.NewReader(withKeepOut(keepOut)), "frame.yaml")
	require.NoError(t, err)
	return f.KeepOuts
}

func volume(solids []geom.Solid) float64 {
	sum := 0.0
	for _, s := range solids {
		sum += geom.PolyhedronOf(s, 8).Volume()
	}
	return sum
}

// A tunnel is one keep-out. Derived: a section of 200 × 100 with 120 × 70 left out, swept along
// 300; with everything 2 mm nearer 2 mm are added at both ends at least.
func TestATunnelIsOneKeepOut(t *testing.T) {
	k := readKeepOuts(t, "{name: tank, section: [[-100, 200], [-60, 200], [-60, 270], [60, 270], [60, 200], [100, 200], [100, 300], [-100, 300]], along: [50, 350]}")
	require.Len(t, k, 1)
	require.InDelta(t, (200*100-120*70)*300, volume(k[0].Shape().Solids(0)), 1e-3)
	for _, s := range k[0].Shape().Solids(2) {
		require.Equal(t, r1.Interval{Lo: 48, Hi: 352}, s.Extent(r3.Vector{X: 1}))
	}
	require.Greater(t, volume(k[0].Shape().Solids(2)), (200*100-120*70)*300.0+2*2*200*100)
}

// A section with mirror gives both sides; one that is its own image gives one.
func TestASectionHasAMirrorImage(t *testing.T) {
	k := readKeepOuts(t, "{name: box rail, section: [[60, 0], [100, 0], [100, 40]], along: [0, 400], mirror: true}")
	require.Len(t, k, 2)
	require.Equal(t, "box rail left", k[0].Name)
	require.Equal(t, "box rail right", k[1].Name)
	low, high := geom.Bounds(k[1].Shape().Solids(0)...)
	require.Equal(t, r3.Vector{Y: -100}, low)
	require.Equal(t, r3.Vector{X: 400, Y: -60, Z: 40}, high)
	require.Len(t, readKeepOuts(t, "{name: tank, section: [[-50, 0], [50, 0], [30, 40], [-30, 40]], along: [0, 400], mirror: true}"), 1)
}

// inside tells whether a polygon has a point, by the crossings of a ray (Shimrat, Communications
// of the ACM 5 (1962) 434), which the project does not use for solids.
func inside(q r2.Point, corners []r2.Point) bool {
	odd := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y) {
			odd = !odd
		}
	}
	return odd
}

// spiky is a polygon around a point, mostly not convex.
func spiky(rng *rand.Rand, middle r2.Point, n int) []r2.Point {
	var corners []r2.Point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		reach := 30 + 90*rng.Float64()
		corners = append(corners, middle.Add(r2.Point{X: reach * cos, Y: reach * sin}))
	}
	return corners
}

// A keep-out with an outline and a section has exactly the points whose side view is in the one
// and whose front view is in the other, in solids that share no volume.
func TestAnOutlineAndASectionHaveWhatIsInBoth(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 40 {
		side := geom.Polygon{Corners: spiky(rng, r2.Point{X: 200, Y: 200}, 4+rng.IntN(6))}
		s := Section{Across: geom.Polygon{Corners: spiky(rng, r2.Point{X: 10, Y: 210}, 4+rng.IntN(6))}, Side: &side}
		solids := s.Solids(0)
		near := s.Solids(3)
		require.Len(t, near, len(solids))
		hits := 0
		for range 400 {
			q := r3.Vector{X: 80 + 240*rng.Float64(), Y: 240*rng.Float64() - 110, Z: 80 + 240*rng.Float64()}
			want := inside(r2.Point{X: q.X, Y: q.Z}, side.Corners) && inside(r2.Point{X: q.Y, Y: q.Z}, s.Across.Corners)
			in := 0
			for i, p := range solids {
				if p.(geom.Polyhedron).Contains(q) {
					in++
					require.True(t, near[i].(geom.Polyhedron).Contains(q))
				}
			}
			require.Equal(t, want, in == 1, "%v in %d solids", q, in)
			require.LessOrEqual(t, in, 1)
			hits += in
		}
		require.Greater(t, hits, 5)
	}
}

// teeth is a comb of so many teeth in a file: each takes a convex piece of its own, and the back
// one or a few.
func teeth(n int) string {
	text := ""
	for i := range n {
		text += fmt.Sprintf("[%d, 100], [%d, 10], [%d, 100], ", 20*i, 20*i+5, 20*i+10)
	}
	return fmt.Sprintf("[%s[%d, 200], [0, 200]]", text, 20*n)
}

// As many solids as there may be, and more.
func TestSolidsOfASectionAreLimited(t *testing.T) {
	_, err := Read(strings.NewReader(withKeepOut("{name: comb, section: "+teeth(5)+", outline: "+teeth(5)+"}")), "frame.yaml")
	require.NoError(t, err)
	_, err = Read(strings.NewReader(withKeepOut("{name: comb, section: "+teeth(12)+", outline: "+teeth(12)+"}")), "frame.yaml")
	require.ErrorContains(t, err, "of at most 64")
}

// What is wrong with a section says so, where it is.
func TestSectionsThatCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"{name: a, along: [0, 10]}":                                                                                                                   "along goes with section",
		"{name: a, section: [[0, 0], [10, 0], [10, 10]]}":                                                                                             "goes with exactly one of",
		"{name: a, section: [[0, 0], [10, 0], [10, 10]], along: [0, 10], across: 20}":                                                                 "goes with exactly one of",
		"{name: a, section: [[0, 0], [10, 0], [10, 10]], along: [10, 0]}":                                                                             "front has to be more than rear",
		"{name: a, section: [[0, 0], [10, 0], [10, 10], [0, -5]], along: [0, 10]}":                                                                    "cross",
		"{name: a, section: [[0, 0], [10, 0], [10, 10]], outline: [[0, 20], [10, 20], [10, 30]]}":                                                     "no height in common",
		"{name: a, section: [[0, 0], [90, 0], [90, 90]], along: [0, 90], trim: 5}":                                                                    "is not notched",
		"{name: a, section: [[0, 0], [90, 0], [90, 90]], outline: [[0, 0], [90, 0], [90, 90]], trim: 5}":                                              "is not notched",
		"{name: a, section: [[0, 0], [10, 0]], along: [0, 10]}":                                                                                       "corners",
		"{name: a, section: [[0, 0], [10, 0], [10, 10]], outline: [[0, 0], [10, 0], [10, 10]], round: {from: [0, 0, 0], to: [9, 9, 9], diameter: 3}}": "goes with exactly one of",
	} {
		_, err := Read(strings.NewReader(withKeepOut(text)), "frame.yaml")
		require.ErrorContains(t, err, want, text)
		require.ErrorContains(t, err, "frame.yaml:6:", text)
	}
}
