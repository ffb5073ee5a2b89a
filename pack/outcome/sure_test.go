package outcome_test

import (
	"context"
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
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
)

// shed is an opening of w by 300 by h with its front open.
func shed(w, h, accuracy float64) *frame.Frame {
	p, err := geom.PolygonFromCorners([]r2.Point{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}})
	if err != nil {
		panic(err)
	}
	return &frame.Frame{Accuracy: accuracy, Opening: frame.Opening{
		Outline: p, Sides: []string{"floor", "front", "top", "rear"}, Open: []bool{false, true, false, false}, Metal: true,
		Stations: []frame.Station{{Across: r1.Interval{Lo: -150, Hi: 150}}},
	}}
}

func upright(box string, number int, x, y, z float64) pack.Placement {
	return pack.Placement{Box: box, Number: number, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: x, Y: y, Z: z}}
}

// means plan with the default tool.
func means(t *testing.T) outcome.Means {
	return outcome.Means{GoesIn: func(p pack.Problem, l pack.Layout) (entry.Answer, bool) {
		a, err := entry.Plan(context.Background(), p, l, entry.Settings{})
		require.NoError(t, err)
		return a, a.Holds()
	}}
}

// asked is a result of one layout, asked how sure it is.
func asked(t *testing.T, p pack.Problem, l pack.Layout) outcome.Result {
	t.Helper()
	entered, ok := means(t).GoesIn(p, l)
	require.True(t, ok)
	r := outcome.Result{Layouts: []outcome.Found{{Layout: l, Report: pack.Check(p, l), Entry: entered}}, Bound: 1000}
	r.Decide()
	require.Equal(t, pack.Fits, r.Verdict)
	require.NoError(t, r.AskSure(p, means(t)))
	return r
}

// A box of 100 with a post of 20 on top stands 10 above the floor of an opening 220 high,
// the top of which is closed: 90 are above the post, of which a tool needs 80, so that the
// box may stand up to 20 high. Off by e, the floor and the top are nearer by e, the box
// reaches e/2 further both ways, the post e more: standing 20 high it has 20 − 1.5e left
// below, so e is 13.33 at most. With the box where it has its gaps with e of 18.75 no tool
// reaches the post (derived).
func TestErrorsAreAskedOfWaysAndToolsAsWell(t *testing.T) {
	for _, c := range []struct {
		accuracy float64
		sure     bool
	}{{3, true}, {13.2, true}, {13.4, false}, {18, false}} {
		k := pack.Kind{
			Name: "battery", Count: 1, Size: r3.Vector{X: 100, Y: 100, Z: 100}, Accuracy: c.accuracy,
			Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0},
			Posts: []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 50, Y: 50}, Diameter: 10, Height: 20}},
		}
		p := pack.Problem{Frame: shed(400, 220, c.accuracy), Pack: &pack.Pack{Gaps: pack.Gaps{Post: 25}, Kinds: []pack.Kind{k}}}
		l := pack.Layout{Placements: []pack.Placement{upright("battery", 1, 200, 0, 60)}}
		most, moved, err := limit.CommonError(p, l)
		require.NoError(t, err)
		require.InDelta(t, 18.75, most, 0.01)
		_, reached := means(t).GoesIn(p, moved)
		require.False(t, reached)
		r := asked(t, p, l)
		require.Equal(t, c.sure, r.Verdict == pack.Sure, "accuracy %v", c.accuracy)
		require.InDelta(t, 20/1.5, r.Sure.Error, 0.05)
	}
}

// What the answer says of the worst case and of a common error agree wherever all
// accuracies are the same: sure where the error is at least that, and not where it is less.
func TestSureAndTheCommonErrorAgree(t *testing.T) {
	g := rand.New(rand.NewPCG(16, 2))
	n := func(lo, hi int) float64 { return float64(lo + g.IntN(hi-lo+1)) }
	sure, tight, out := 0, 0, 0
	for range 400 {
		a := n(1, 110) / 4
		k := pack.Kind{
			Name: "b", Count: 2, Size: r3.Vector{X: n(90, 130), Y: n(100, 200), Z: n(60, 110)}, Accuracy: a,
			Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0},
			Posts: []pack.Post{{Name: "plus", Face: []pack.Face{pack.Top, pack.Front}[g.IntN(2)], At: r2.Point{X: n(20, 50), Y: n(20, 50)}, Diameter: 10, Height: n(0, 25)}},
		}
		p := pack.Problem{Frame: shed(n(330, 480), n(170, 250), a), Pack: &pack.Pack{Gaps: pack.Gaps{Beside: 2, Above: 2, Post: 12, Entry: 2}, Kinds: []pack.Kind{k}}}
		if g.IntN(2) == 0 {
			low := r3.Vector{X: n(300, 400), Y: -100, Z: n(100, 160)}
			p.Frame.KeepOuts = []frame.KeepOut{{Name: "lug", Metal: true, Box: &frame.Corners{Low: low, High: low.Add(r3.Vector{X: 20, Y: 60, Z: 20})}}}
		}
		l := pack.Layout{Placements: []pack.Placement{upright("b", 1, n(65, 90), 0, n(45, 80)), upright("b", 2, n(210, 300), 0, n(45, 80))}}
		if !pack.Check(p, l).Holds() {
			continue
		}
		if _, ok := means(t).GoesIn(p, l); !ok {
			continue
		}
		r := asked(t, p, l)
		if _, moved, err := limit.CommonError(p, l); err == nil {
			if _, ok := means(t).GoesIn(p, moved); !ok {
				out++
			}
		}
		if r.Verdict == pack.Sure {
			sure++
			require.GreaterOrEqual(t, r.Sure.Error, a)
			require.True(t, pack.Check(p.AtWorst(), r.Sure.Moved.Layout).Holds())
		} else {
			tight++
			require.Less(t, r.Sure.Error, a)
		}
	}
	require.Greater(t, min(sure, tight, out), 15, "%d sure, %d tight, %d would not go in with the greatest error of their gaps", sure, tight, out)
}

// Without any accuracy there is no worst case: tight.
func TestWithoutAccuracyAFitIsTight(t *testing.T) {
	k := pack.Kind{Name: "b", Count: 1, Size: r3.Vector{X: 100, Y: 100, Z: 100}, Swell: 0.5, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}}
	p := pack.Problem{Frame: shed(400, 220, 0), Pack: &pack.Pack{Kinds: []pack.Kind{k}}}
	l := pack.Layout{Placements: []pack.Placement{upright("b", 1, 200, 0, 60)}}
	r := asked(t, p, l)
	require.Equal(t, pack.Tight, r.Verdict)
	require.True(t, r.Sure.Exact)
	require.Greater(t, r.Sure.Error, 5.0, "what it may be off by is still told")
	require.False(t, outcome.Judge(p, l).Sure())
	p.Frame.Accuracy = 0.1
	require.Equal(t, pack.Sure, asked(t, p, l).Verdict)
	require.True(t, outcome.Judge(p, l).Sure())
	p.Frame.Accuracy, p.Pack.Kinds[0].Accuracy = 0, 0.1
	require.Equal(t, pack.Sure, asked(t, p, l).Verdict, "one file is enough: what the other does not say counts as exact")
}
