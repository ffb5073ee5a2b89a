package search

import (
	"context"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/secondjudge"
)

// opening is a frame with an outline and a width and nothing else.
func opening(across r1.Interval, corners ...r2.Point) *frame.Frame {
	p, err := geom.PolygonFromCorners(corners)
	if err != nil {
		panic(err)
	}
	return &frame.Frame{Opening: frame.Opening{
		Outline: p, Stations: []frame.Station{{Across: across}}, Metal: true,
	}}
}

// chest is a box-shaped opening.
func chest(x, y, z float64) *frame.Frame {
	return opening(r1.Interval{Lo: 0, Hi: y}, r2.Point{}, r2.Point{X: x}, r2.Point{X: x, Y: z}, r2.Point{Y: z})
}

// triangle is a side view with a base on the floor and a tip above it, wide enough
// across for boxes 10,000 deep.
func triangle(base, tipX, height float64) *frame.Frame {
	return opening(r1.Interval{Lo: -8000, Hi: 8000}, r2.Point{}, r2.Point{X: base}, r2.Point{X: tipX, Y: height})
}

var anyStand = []pack.Stand{pack.Upright, pack.OnSide, pack.OnEnd, pack.Inverted}

// boxes is a kind that may stand in any way; upright gives one that may not.
func boxes(name string, count int, l, w, h float64) pack.Kind {
	return pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h},
		Stands: anyStand, Tilts: []s1.Angle{0},
	}
}

func upright(k pack.Kind) pack.Kind {
	k.Stands = []pack.Stand{pack.Upright}
	return k
}

// bare is a problem without gaps.
func bare(f *frame.Frame, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: kinds}}
}

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model {
	m, err := newModel(p, options{})
	if err != nil {
		panic(err)
	}
	return m
}

// runOf is a search before it begins.
func runOf(ctx context.Context, p pack.Problem, s Settings) *run {
	r, err := newRun(ctx, p, s)
	if err != nil {
		panic(err)
	}
	return r
}

// fit searches to the end.
func fit(t *testing.T, p pack.Problem) Result {
	t.Helper()
	r, err := Fit(context.Background(), p, Settings{Seed: 1})
	require.NoError(t, err)
	require.Equal(t, Done, r.Stopped)
	for _, l := range r.Layouts {
		again := pack.Check(p, l.Layout)
		require.Empty(t, again.Faults)
		require.InDelta(t, l.Report.Spare, again.Spare, 1e-12)
	}
	require.GreaterOrEqual(t, r.Bound, r.Spare-1e-9, "a bound below a layout that was found")
	judgedTwice(t, p, r)
	return r
}

// judgedTwice has the second judge look at all layouts, where there is one.
func judgedTwice(t *testing.T, p pack.Problem, r Result) {
	t.Helper()
	if len(r.Layouts) == 0 || !secondjudge.Available(t) {
		return
	}
	judge := secondjudge.Start(t)
	frameFile, packFile := secondjudge.Files(p)
	for _, l := range r.Layouts {
		judge.Agree(t, frameFile, packFile, p, l.Layout)
	}
}
