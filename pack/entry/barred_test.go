package entry

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// TestBarredAgainstLayoutsNearby: where all layouts near one are said to be barred, none of
// those sampled is an answer, by Holds: at the ends of what the boxes may be off and between,
// among plates, shelves and tubes, level and tilted, with posts and without. And with nothing off
// it says what Holds does, where no solid is round, nor a tool.
func TestBarredAgainstLayoutsNearby(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 502))
	ctx := context.Background()
	tool := Settings{Tool: Tool{Diameter: 0.4, Length: 1.5}}
	barred, few, exact, sampled, round, posts, gaps := 0, 0, 0, 0, 0, 0, 0
	for n := range 400 {
		p := newPen(r, 5)
		boxes := p.boxes()
		s, _ := p.stage(boxes)
		tilted := n%3 == 2
		if tilted {
			at := &s.layout.Placements[r.IntN(len(boxes))]
			at.Tilt = s1.Angle(r.Float64()*20) * s1.Degree
		}
		if n%2 == 1 {
			s.rail("tube", 0.5+r.Float64(), v(r.Float64()*5, -1, r.Float64()*5), v(r.Float64()*5, 6, r.Float64()*5))
		}
		s.problem.Pack.Gaps.Entry = 0.2 * r.Float64()
		if n%5 >= 2 {
			gap := 0.2 * r.Float64()
			s.problem.Pack.Gaps = pack.Gaps{Beside: gap, Above: 1.5 * gap, Wall: gap / 2, Rail: gap, KeepOut: gap, Post: gap, Boot: gap, Entry: 0.3 * r.Float64()}
		}
		// Boxes are shrunk, so that they have room to be off their places.
		for i := range s.problem.Pack.Kinds {
			size := &s.problem.Pack.Kinds[i].Size
			*size = size.Sub(r3.Vector{X: 0.4, Y: 0.4, Z: 0.4})
			if n%4 >= 2 {
				face := []pack.Face{pack.Top, pack.Front, pack.Left}[r.IntN(3)]
				s.problem.Pack.Kinds[i].Posts = []pack.Post{{Name: "+", Face: face, At: r2.Point{X: 0.3, Y: 0.3}, Diameter: 0.1, Height: 0.05}}
			}
		}
		none := make([]r3.Vector, len(boxes))
		spare := math.Max(0, pack.Check(s.problem, s.layout).Spare)
		if !pack.Check(s.problem, s.layout).Holds() {
			continue
		}
		in, err := Holds(ctx, s.problem, s.layout, tool)
		require.NoError(t, err)
		got, err := Barred(ctx, s.problem, s.layout, none, math.Max(spare, s.problem.Pack.Gaps.Entry), tool)
		require.NoError(t, err)
		if n%4 == 0 && spare >= s.problem.Pack.Gaps.Entry {
			require.Equal(t, !in, len(got) > 0, "case %d", n)
			exact++
		}
		slack := make([]r3.Vector, len(boxes))
		for i := range slack {
			slack[i] = r3.Vector{X: 0.3 * r.Float64(), Y: 0.3 * r.Float64(), Z: 0.3 * r.Float64()}
		}
		spare *= 0.5
		if got, err = Barred(ctx, s.problem, s.layout, slack, spare, tool); err != nil || len(got) == 0 {
			require.NoError(t, err)
			continue
		}
		// The others may be anywhere: it is for these boxes that nothing goes in.
		if len(got) < len(boxes) {
			few++
		}
		for i := range slack {
			if !slices.Contains(got, i) {
				slack[i] = r3.Vector{X: 9, Y: 9, Z: 9}
			}
		}
		barred++
		if s.problem.Pack.Gaps.Beside > 0 {
			gaps++
		}
		round += n % 2
		posts += n % 4 / 2
		for range 30 {
			layout := s.layout
			layout.Placements = slices.Clone(layout.Placements)
			for i := range layout.Placements {
				off := func(most float64) float64 { return math.Max(-1, math.Min(1, 3*r.Float64()-1.5)) * most }
				at := &layout.Placements[i].Centre
				*at = at.Add(r3.Vector{X: off(slack[i].X), Y: off(slack[i].Y), Z: off(slack[i].Z)})
			}
			if !(pack.Check(s.problem, layout).Spare >= spare) {
				continue
			}
			sampled++
			in, err := Holds(ctx, s.problem, layout, tool)
			require.NoError(t, err)
			require.False(t, in, "case %d goes in at %v", n, layout.Placements)
		}
	}
	t.Logf("%d barred, %d of them by few boxes, %d beside a tube, %d with posts, %d layouts nearby, %d with nothing off", barred, few, round, posts, sampled, exact)
	require.Greater(t, barred, 20)
	require.Greater(t, few, 10)
	require.Greater(t, round, 5)
	require.Greater(t, posts, 20)
	require.Greater(t, gaps, 50)
	require.Greater(t, sampled, 200)
	require.Greater(t, exact, 20)
}
