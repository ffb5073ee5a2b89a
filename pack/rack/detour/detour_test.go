package detour

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

const gap = 5.0

// beside is a frame with nothing but an opening, and boxes of sizes at places.
func beside(t *testing.T, size, at []r3.Vector) (pack.Problem, pack.Layout) {
	t.Helper()
	outline, err := geom.PolygonFromCorners([]r2.Point{{X: -900, Y: -900}, {X: 1500, Y: -900}, {X: 1500, Y: 900}, {X: -900, Y: 900}})
	require.NoError(t, err)
	f := &frame.Frame{Name: "bay", Opening: frame.Opening{
		Outline: outline, Sides: []string{"a", "b", "c", "d"}, Open: make([]bool, 4),
		Stations: []frame.Station{{Across: r1.Interval{Lo: -900, Hi: 900}}},
	}}
	k := &pack.Pack{Name: "boxes", Gaps: pack.DefaultGaps()}
	k.Gaps.Rail = gap
	var l pack.Layout
	for i, s := range size {
		name := string(rune('a' + i))
		k.Kinds = append(k.Kinds, pack.Kind{Name: name, Count: 1, Size: s, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}})
		l.Placements = append(l.Placements, pack.Placement{Box: name, Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: at[i]})
	}
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p, l
}

func rail(to r3.Vector, diameter float64) frame.Rail {
	return frame.Rail{Name: "tube", Path: []r3.Vector{{}, to}, Diameter: diameter, Removable: true}
}

// Where nothing is in the way the way is straight.
func TestStraightWhereItCanBe(t *testing.T) {
	p, l := beside(t, []r3.Vector{{X: 100, Y: 100, Z: 100}}, []r3.Vector{{X: 300, Z: 100}})
	w, err := Around(p, l, rail(r3.Vector{X: 600}, 40), nil)
	require.NoError(t, err)
	require.Equal(t, []float64{600}, w.Pieces())
	require.Empty(t, w.Bends())
}

// Over a box in the middle the shortest way with one bend is tangent to circles of the tube's
// radius and the gap about the box's upper edges: with φ the angle at which such an edge is seen
// from the end and d how far it is, the piece rises by φ + asin(R/d).
func TestOverABoxByClosedForm(t *testing.T) {
	const half, wide, high, radius = 300.0, 60.0, 40.0, 20.0
	p, l := beside(t, []r3.Vector{{X: 2 * wide, Y: 700, Z: high + 400}}, []r3.Vector{{X: half, Z: (high - 400) / 2}})
	w, err := Around(p, l, rail(r3.Vector{X: 2 * half}, 2*radius), nil)
	require.NoError(t, err)
	rise := math.Atan2(high, half-wide) + math.Asin((radius+gap)/math.Hypot(half-wide, high))
	require.Len(t, w.Bends(), 1)
	require.InDelta(t, 2*half/math.Cos(rise), w.Length(), 0.3)
	require.InDelta(t, 2*rise*180/math.Pi, w.Bends()[0], 0.3)
	off, along := w.Off(1)
	require.InDelta(t, half*math.Tan(rise), off.Z, 1)
	require.InDelta(t, half, along, 1)
	// A curve of radius R stays inside of the corner by R (1/cos(θ/2) − 1).
	require.InDelta(t, 100*(1/math.Cos(rise)-1), w.Nearer(0, 100), 0.2)
}

// A long box takes two bends; one that is round the ends takes none that helps.
func TestTwoBendsAndNone(t *testing.T) {
	p, l := beside(t, []r3.Vector{{X: 480, Y: 1600, Z: 440}}, []r3.Vector{{X: 300, Z: -180}})
	w, err := Around(p, l, rail(r3.Vector{X: 600}, 20), nil)
	require.NoError(t, err)
	require.Len(t, w.Bends(), 2)
	p, l = beside(t, []r3.Vector{{X: 100, Y: 100, Z: 100}}, []r3.Vector{{}})
	_, err = Around(p, l, rail(r3.Vector{X: 600}, 20), nil)
	require.ErrorContains(t, err, "no way with two bends")
}

// Random boxes: the way keeps its gap by the distance of sampled points to each block, reckoned
// here, and no way with one bend among many at random is shorter by more than 1 %.
func TestRandomWays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 27))
	bent := 0
	for range 12 {
		var size, at []r3.Vector
		for range 1 + r.IntN(3) {
			size = append(size, r3.Vector{X: 60 + 100*r.Float64(), Y: 60 + 100*r.Float64(), Z: 60 + 100*r.Float64()})
			at = append(at, r3.Vector{X: 200 + 250*r.Float64(), Y: 120*r.Float64() - 60, Z: 120*r.Float64() - 60})
		}
		p, l := beside(t, size, at)
		w, err := Around(p, l, rail(r3.Vector{X: 650}, 30), nil)
		require.NoError(t, err)
		require.GreaterOrEqual(t, nearest(w.Points, size, at), 15+gap-0.01)
		if len(w.Points) != 3 {
			continue
		}
		bent++
		for range 3000 {
			m := r3.Vector{X: 650 * r.Float64(), Y: 300*r.Float64() - 150, Z: 300*r.Float64() - 150}
			points := []r3.Vector{w.Points[0], m, w.Points[2]}
			if length(points) < 0.99*w.Length() {
				require.Less(t, nearest(points, size, at), 15+gap+0.2, "%v is shorter than %v", m, w.Points[1])
			}
		}
	}
	require.Positive(t, bent)
}

// nearest is how near points along a way come to blocks.
func nearest(points []r3.Vector, size, at []r3.Vector) float64 {
	least := math.Inf(1)
	for i, to := range points[1:] {
		for k := range 401 {
			q := points[i].Add(to.Sub(points[i]).Mul(float64(k) / 400))
			for b := range size {
				out := q.Sub(at[b]).Abs().Sub(size[b].Mul(0.5))
				out = r3.Vector{X: max(out.X, 0), Y: max(out.Y, 0), Z: max(out.Z, 0)}
				least = min(least, out.Norm())
			}
		}
	}
	return least
}
