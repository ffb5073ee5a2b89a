package search

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/frame"
	"rackwright/pack"
)

var testContext = context.Background()

// slanted is a small everyday problem: a slanted opening with a tube, a drum and a
// box in it, and posts.
func slanted(count int) pack.Problem {
	f := opening(r1.Interval{Lo: -140, Hi: 140}, r2.Point{}, r2.Point{X: 420}, r2.Point{X: 620, Y: 380}, r2.Point{X: 60, Y: 460})
	f.Rails = []frame.Rail{{Name: "tube", Path: []r3.Vector{{X: 300, Y: -160, Z: 330}, {X: 300, Y: 160, Z: 330}}, Diameter: 30}}
	f.KeepOuts = []frame.KeepOut{
		{Name: "drum", Metal: true, Round: &frame.Round{From: r3.Vector{X: 40, Y: -60, Z: 20}, To: r3.Vector{X: 40, Y: 60, Z: 20}, Diameter: 120}},
		{Name: "lug", Metal: true, Box: &frame.Corners{Low: r3.Vector{X: 380, Y: -20, Z: 0}, High: r3.Vector{X: 420, Y: 20, Z: 60}}},
	}
	k := boxes("battery", count, 181, 77, 167)
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 16, Height: 10}}
	return pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: pack.DefaultGaps(), Kinds: []pack.Kind{k}}}
}

func TestCancelledBeforeItBegan(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := Fit(ctx, slanted(3), Settings{})
	require.NoError(t, err)
	require.Equal(t, Interrupted, r.Stopped)
}

func TestDeadlineGivesTheBestSoFar(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
	defer cancel()
	r, err := Fit(ctx, slanted(6), Settings{})
	require.NoError(t, err)
	require.NotEmpty(t, r.Layouts)
	require.GreaterOrEqual(t, r.Bound, r.Spare)
}

func TestNoProblem(t *testing.T) {
	_, err := Fit(context.Background(), pack.Problem{}, Settings{})
	require.ErrorIs(t, err, ErrProblem)
}

// The result depends on the problem and the seed, not on the workers.
func TestWorkersDoNotMatter(t *testing.T) {
	p := slanted(2)
	p.Frame.Rails, p.Frame.KeepOuts = nil, nil
	one, err := Fit(context.Background(), p, Settings{Workers: 1, Seed: 5})
	require.NoError(t, err)
	for _, n := range []int{2, 5} {
		more, err := Fit(context.Background(), p, Settings{Workers: n, Seed: 5})
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%+v", one), fmt.Sprintf("%+v", more))
	}
}

// Layouts offered differ as a builder sees it, and the best comes first.
func TestLayoutsDiffer(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	r := runOf(ctx, slanted(4), Settings{Layouts: 4}.withDefaults())
	r.search()
	require.Greater(t, len(r.pool.best), 1)
	for i, a := range r.pool.best {
		for _, b := range r.pool.best[:i] {
			require.GreaterOrEqual(t, b.spare, a.spare-tie)
			require.False(t, alike(r.m, b.spots, a.spots))
		}
	}
}

// A layout that fits still fits in a larger opening, so the best spare does not fall.
func TestLargerOpening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string) float64 { return float64(rapid.IntRange(200, 400).Draw(t, name)) }
		x, y, z := side("x"), side("y"), side("z")
		kind := boxes("b", rapid.IntRange(1, 3).Draw(t, "count"), 180, 80, 120)
		more := float64(rapid.IntRange(0, 40).Draw(t, "more"))
		small, err := Fit(testContext, bare(chest(x, y, z), kind), Settings{})
		require.NoError(t, err)
		large, err := Fit(testContext, bare(chest(x+more, y, z+more), kind), Settings{})
		require.NoError(t, err)
		require.GreaterOrEqual(t, large.Bound, small.Spare-1e-6)
	})
}

// Mirrored, renamed and scaled problems have the same, and twice the, spare.
func TestLawsOfWholeRuns(t *testing.T) {
	spare := func(p pack.Problem) float64 { return fit(t, p).Spare }
	base := func(scale float64, flip bool) pack.Problem {
		across := r1.Interval{Lo: -120 * scale, Hi: 150 * scale}
		if flip {
			across = r1.Interval{Lo: -across.Hi, Hi: -across.Lo}
		}
		f := opening(across, r2.Point{}, r2.Point{X: 400 * scale}, r2.Point{X: 520 * scale, Y: 300 * scale}, r2.Point{X: 40 * scale, Y: 320 * scale})
		return bare(f, boxes("a", 2, 181*scale, 77*scale, 167*scale), boxes("b", 1, 180*scale, 90*scale, 60*scale))
	}
	want := spare(base(1, false))
	require.InDelta(t, want, spare(base(1, true)), 1e-5)
	require.InDelta(t, 2*want, spare(base(2, false)), 1e-5)
	renamed := base(1, false)
	k := renamed.Pack.Kinds
	k[0], k[1] = k[1], k[0]
	require.InDelta(t, want, spare(renamed), 1e-5)
}

// The search's own measure of an arrangement is the judge's, for every stand, turn,
// tilt, post and kind of obstacle.
func TestMeasureIsTheJudges(t *testing.T) {
	p := slanted(3)
	p.Pack.Kinds[0].Tilts = []s1.Angle{0, 15 * s1.Degree, -20 * s1.Degree}
	p.Pack.Kinds[0].Posts = append(p.Pack.Kinds[0].Posts, pack.Post{Name: "minus", Face: pack.Left, At: r2.Point{X: 150, Y: 140}, Diameter: 12, Height: 6})
	m := modelOf(p)
	inner := innerOf(m)
	rapid.Check(t, func(t *rapid.T) {
		var spots []spot
		for range m.boxes {
			spots = append(spots, spot{
				pose: rapid.IntRange(0, len(m.poses[0])-1).Draw(t, "pose"),
				at: r3.Vector{
					X: rapid.Float64Range(-100, 700).Draw(t, "x"),
					Y: rapid.Float64Range(-200, 200).Draw(t, "y"),
					Z: rapid.Float64Range(-100, 500).Draw(t, "z"),
				},
			})
		}
		want := pack.Check(p, m.layout(spots)).Spare
		require.InDelta(t, want, m.sharpLeft(spots), 1e-7)
		require.LessOrEqual(t, m.left(spots), want+1e-7, "flat bodies around round ones claim too much")
		for i, s := range spots {
			for k, c := range inner[0][s.pose] {
				if c.round == nil {
					continue
				}
				sharp, _ := m.solids[0][s.pose][k].sharp(m.poseOf(i, s), s.at)
				if sharp > -c.gap {
					require.GreaterOrEqual(t, c.left(s.at), sharp-1e-7, "flat bodies inside round ones deny too much")
				}
			}
		}
	})
}

func TestVerdictWords(t *testing.T) {
	require.Equal(t, "done", Done.String())
	require.Equal(t, "time", Time.String())
	require.Equal(t, "interrupt", Interrupted.String())
	require.True(t, math.IsInf(volumeBound(modelOf(bare(chest(1, 1, 1), boxes("b", 1, 1, 1, 1)))), 1) == false)
}

// Boxes tilted by 45°, grown by 5 along their own axes, reach 5·√2 farther forward and up,
// and 5 across (derived).
func TestVolumeAroundTiltedBoxes(t *testing.T) {
	b := upright(boxes("b", 2, 10, 10, 10))
	b.Tilts = []s1.Angle{45 * s1.Degree}
	m := modelOf(bare(chest(100, 100, 100), b))
	side := 100 + 2*5*math.Sqrt2
	require.InDelta(t, side*side*110, volume(m, 0, 5), 1e-6)
}

// Seven squares of side 1 miss a right triangle of legs 4.99 by so little that spare and
// bound are within Closed on both sides of 0: the search goes on until the sign is known.
// Derived: only six go in, see TestUnitSquaresInARightTriangle.
func TestTheSignOfTheSpareIsSettled(t *testing.T) {
	f := opening(r1.Interval{Lo: 0, Hi: 1}, r2.Point{}, r2.Point{X: 4.99}, r2.Point{Y: 4.99})
	r := fit(t, bare(f, upright(boxes("square", 7, 1, 1, 1))))
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Negative(t, r.Bound)
}
