package bench_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/frame"
	"rackwright/pack"
)

// workshop is 20 boxes in rows, with posts, among 40 things of the frame.
func workshop(t testing.TB) bench.Work {
	text := "{format: 1, frame: workshop, opening: {outline: [[0, 0], [900, 0], [900, 400], [0, 400]], across: 600}, keepouts: [\n"
	for i := range 34 { // and four sides, and two widths
		text += fmt.Sprintf("{name: lug %d, box: {low: [%d, 270, %d], high: [%d, 290, %d]}},\n", i, 25*i, 10*i, 25*i+20, 10*i+20)
	}
	f, err := frame.Read(strings.NewReader(text+"]}"), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(`{format: 1, pack: twenty, boxes: [{name: block, count: 20, size: [150, 90, 80], mass: 5,
  posts: [{name: plus, polarity: "+", face: top, at: [20, 20], diameter: 10, height: 8}, {name: minus, polarity: "-", face: top, at: [130, 20], diameter: 10, height: 8}]}]}`), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	l := pack.Layout{}
	for i := range 20 {
		at := r3.Vector{X: 100 + 170*float64(i%5), Y: -200 + 100*float64(i/5), Z: 60}
		l.Placements = append(l.Placements, pack.Placement{Box: "block", Number: i + 1, Centre: at, Orientation: k.Kinds[0].Orientations()[0]})
	}
	return bench.Work{Frame: []byte(text + "]}"), Problem: p, Layout: l}
}

func TestWorkshopIsAsLargeAsItSays(t *testing.T) {
	w := workshop(t)
	require.Len(t, w.Layout.Placements, 20)
	things := map[string]bool{}
	for _, r := range pack.Check(w.Problem, w.Layout).Relations {
		if r.B.Obstacle != "" {
			things[r.B.Obstacle] = true
		}
	}
	require.Len(t, things, 40)
}

// One move of a drag among 20 boxes and 40 things of the frame, with snapping and all that a page is
// told: at the median, and at the 99th percentile.
func BenchmarkDragOneMove(b *testing.B) {
	w := workshop(b)
	d := bench.NewDesk(w, true)
	g := rand.New(rand.NewPCG(1, 1))
	var took []float64
	for b.Loop() {
		n := g.IntN(20)
		at := w.Layout.Placements[n].Centre
		start := time.Now()
		require.NoError(b, d.Moves([]bench.Move{{Box: "block", Number: n + 1, Centre: [3]float64{at.X + 10*g.Float64(), at.Y, at.Z + 10*g.Float64()}, Snap: []int{0, 2}}}))
		state(b, d)
		took = append(took, time.Since(start).Seconds()*1000)
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "ms/move")
	b.ReportMetric(took[len(took)*99/100], "ms/move-p99")
}
