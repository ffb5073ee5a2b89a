package search_test

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/search"
)

// A bar across the opening turns about a bolt in its rear wall, by 10° either way: the one box
// stands above what it sweeps, for below there is less room.
const turning = `
format: 1
frame: turning
opening: {outline: [[0, 0], [90, 0], [90, 200], [0, 200]], across: 100}
moving: [{name: arm, turn: {about: [0, 60], from: -10, to: 10}, outline: [[0, 55], [100, 55], [100, 65], [0, 65]], across: 100, gap: 0}]
`

func fitOf(t *testing.T, frameFile, packFile string, settings search.Settings) (pack.Problem, search.Result) {
	t.Helper()
	problem := secondjudge.Problem(t, []byte(frameFile), []byte(packFile))
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	settings.AnyEntry = true
	r, err := search.Fit(ctx, problem, settings)
	require.NoError(t, err)
	return problem, r
}

func TestFitBesideWhatMoves(t *testing.T) {
	judge := secondjudge.Start(t)
	packFile := `
format: 1
pack: one
gaps: {wall: 0}
boxes: [{name: box, size: [70, 80, 110]}]
`
	problem, r := fitOf(t, turning, packFile, search.Settings{Layouts: 1})
	require.NotEmpty(t, r.Layouts)
	best := r.Layouts[0]
	require.Equal(t, best.Report.Spare, judge.Agree(t, []byte(turning), []byte(packFile), problem, best.Layout).Spare)
	// Derived: the bar's upper side at 10° is 60 + x tan 10° + 5/cos 10° high, and nearest to the
	// box's lower front corner. With s to spare behind it, above it, and square to the bar:
	// (200 − s − 110 − 60 − (70 + s) tan 10°) cos 10° − 5 = s.
	sin, cos := math.Sincos(10 * math.Pi / 180)
	want := (30*cos - 70*sin - 5) / (1 + cos + sin)
	require.InDelta(t, want, best.Report.Spare, geom.CoverError)
	require.GreaterOrEqual(t, r.Bound, best.Report.Spare)
	require.Less(t, r.Bound, best.Report.Spare+0.3)

	// Derived: of one that is 124 high the same leaves less than nothing.
	_, r = fitOf(t, turning, `
format: 1
pack: one
gaps: {wall: 0}
boxes: [{name: box, size: [70, 80, 124]}]
`, search.Settings{Layouts: 1})
	require.Less(t, r.Bound, 0.0, "proven: nothing fits")
}

// A shelf over the only open side slides back and forth. Boxes go in while it is at rest, back
// from there; with it in the way, unless it comes off, none does.
func TestBoxesGoInPastWhatIsAtRest(t *testing.T) {
	frameFile := func(rest string) string {
		return `
format: 1
frame: shelf
opening: {outline: [[0, 0], [100, 0], [100, 100], [0, 100]], sides: [floor, front, top, rear], open: [top], across: 100}
keepouts:
  - {name: right plate, box: {low: [-50, -70, -50], high: [150, -50, 150]}}
  - {name: left plate, box: {low: [-50, 50, -50], high: [150, 70, 150]}}
  - {name: bulkhead, box: {low: [100, -50, 0], high: [120, 50, 104]}}
  - {name: back, box: {low: [-20, -50, 0], high: [0, 50, 104]}}
moving: [{name: shelf, slide: {along: [1, 0, 0], from: 0, to: 200}, box: {low: [-10, -48, 105], high: [110, 48, 125]}, ` + rest + `}]
`
	}
	packFile := "{format: 1, pack: one, gaps: {keepout: 0}, boxes: [{name: box, size: [80, 80, 80]}]}"
	for rest, goesIn := range map[string]bool{"at_rest: 200": true, "at_rest: 0": false, "lifts_off: true": true} {
		problem := secondjudge.Problem(t, []byte(frameFile(rest)), []byte(packFile))
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		r, err := search.Fit(ctx, problem, search.Settings{Layouts: 1})
		cancel()
		require.NoError(t, err)
		require.Equal(t, goesIn, len(r.Layouts) > 0 && r.Layouts[0].Report.Spare >= 0 && len(r.Layouts[0].Entry.Order.Steps) > 0 && !r.AnyEntry, "%s: %+v", rest, r)
	}
}
