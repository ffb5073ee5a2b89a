package sweep_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
	"rackwright/pack/whatif/sweep"
)

const frameText = `
format: 1
frame: crate
accuracy: 2
opening: {outline: [[0, 0], [102, 0], [102, 52], [0, 52]], stations: [{z: 0, across: 72}, {z: 50, across: [-36, 36]}]}
rails: [{name: down-tube, path: [[200, 0, 0], [200, 0, 90]], diameter: 38 mm, removable: true}]
`

const packText = `
format: 1
pack: one
boxes:
  - {name: big battery, count: 1, size: [100, 70, 50], tilt: [0, 12], stand: [upright], mass: 20 lb}
`

func readFrame(t *testing.T, text []byte) *frame.Frame {
	t.Helper()
	f, err := frame.Read(bytes.NewReader(text), "frame.yaml")
	require.NoError(t, err)
	return f
}

func readPack(t *testing.T, text []byte) *pack.Pack {
	t.Helper()
	p, err := pack.Read(bytes.NewReader(text), "pack.yaml")
	require.NoError(t, err)
	return p
}

func TestNumbersOfEitherFile(t *testing.T) {
	set := func(path, file string, v float64) []byte {
		out, err := sweep.Spec{Path: path}.Set([]byte(file), v)
		require.NoError(t, err, path)
		return out
	}
	require.Equal(t, r3.Vector{X: 100, Y: 70, Z: 47.5}, readPack(t, set("boxes.big battery.size.H", packText, 47.5)).Kinds[0].Size)
	require.Equal(t, 3, readPack(t, set("boxes.1.count", packText, 3)).Kinds[0].Count)
	require.InDelta(t, 8.5, readPack(t, set("boxes.big battery.tilt.2", packText, 8.5)).Kinds[0].Tilts[1].Degrees(), 1e-9)
	require.Equal(t, 9.0, readPack(t, set("gaps.rail", packText, 9)).Gaps.Rail)
	require.Equal(t, 9.0, readPack(t, set("boxes.big battery.mass", packText, 9)).Kinds[0].Mass)
	require.Equal(t, 3.0, readFrame(t, set("accuracy", frameText, 3)).Accuracy)
	require.Equal(t, 40.5, readFrame(t, set("rails.down-tube.diameter", frameText, 40.5)).Rails[0].Diameter)
	require.Equal(t, 210.0, readFrame(t, set("rails.down-tube.path.2.x", frameText, 210)).Rails[0].Path[1].X)
	require.Equal(t, 60.0, readFrame(t, set("opening.outline.3.z", frameText, 60)).Opening.Outline.Corners[2].Y)
	require.Equal(t, 40.0, readFrame(t, set("opening.stations.2.across.left", frameText, 40)).Opening.Stations[1].Across.Hi)
	require.Equal(t, "crate", readFrame(t, set("accuracy", frameText, 3)).Name)
}

func TestNoNumbers(t *testing.T) {
	for path, why := range map[string]string{
		"boxes.big battery.name":        "is the text",
		"boxes.small battery.size.H":    "only big battery",
		"boxes.big battery.size.Z":      "only L, W, H",
		"boxes.big battery.size":        "name one of them",
		"boxes.big battery.size.4":      "only L, W, H",
		"boxes.big battery.size.H.more": "is a value",
		"boxes.big battery.weight":      "only name, count",
		"nothing":                       "only format, pack, boxes",
		"gaps.sideways":                 "only format",
	} {
		_, err := sweep.Spec{Path: path}.Set([]byte(packText), 1)
		require.ErrorIs(t, err, sweep.ErrNoNumber, path)
		require.ErrorContains(t, err, why, path)
	}
	_, err := sweep.Spec{Path: "rails.down-tube.removable"}.Set([]byte(frameText), 1)
	require.ErrorContains(t, err, "yes or no")
	_, err = sweep.Spec{Path: "a"}.Set([]byte("a: [1"), 1)
	require.ErrorIs(t, err, sweep.ErrSpec)
}

func TestSpecs(t *testing.T) {
	s, err := sweep.Parse("boxes.big battery.size.H 160..180 step 5")
	require.NoError(t, err)
	require.Equal(t, sweep.Spec{Path: "boxes.big battery.size.H", From: 160, To: 180, Step: 5}, s)
	require.Equal(t, []float64{160, 165, 170, 175, 180}, s.Values())
	s, err = sweep.Parse("accuracy 0.3..0 step 0.1")
	require.NoError(t, err)
	require.Equal(t, []float64{0.3, 0.2, 0.1, 0}, s.Values())
	s, err = sweep.Parse("accuracy 1..3")
	require.NoError(t, err)
	require.Len(t, s.Values(), 3)
	s, err = sweep.Parse("accuracy 1..1")
	require.NoError(t, err)
	require.Equal(t, []float64{1}, s.Values())
	s, err = sweep.Parse("accuracy 1..2.5")
	require.NoError(t, err)
	require.Equal(t, []float64{1, 2}, s.Values())
	for text, why := range map[string]string{
		"accuracy":                     "is not of the form",
		"":                             "is not of the form",
		"accuracy 1..two":              "is no number",
		"accuracy 1..inf":              "is no number",
		"accuracy 1..2 step 0":         "never arrives",
		"accuracy 0..1 step 0.000001":  "1000001 searches",
		"accuracy 0..1e300 step 1e-99": "searches",
	} {
		_, err := sweep.Parse(text)
		require.ErrorIs(t, err, sweep.ErrSpec, text)
		require.ErrorContains(t, err, why, text)
	}
}

// One box of height h in an opening 52 high, with 1 mm to spare in length and width: the
// spare is the lesser of 1 and (52 − h)/2 (derived).
func TestSweepOfAHeight(t *testing.T) {
	s, err := sweep.Parse("boxes.big battery.size.H 49..54")
	require.NoError(t, err)
	f := readFrame(t, []byte(frameText))
	for _, workers := range []int{1, 3} {
		var points []sweep.Point
		for _, v := range s.Values() {
			text, err := s.Set([]byte(packText), v)
			require.NoError(t, err)
			p := readPack(t, text)
			p.Kinds[0].Tilts = p.Kinds[0].Tilts[:1]
			problem, err := pack.NewProblem(f, p)
			require.NoError(t, err)
			points = append(points, sweep.Point{Value: v, Problem: problem})
		}
		told := 0
		require.NoError(t, sweep.Run(context.Background(), points, workers, whatif.Settings{Search: search.Settings{AnyEntry: true}}, context.WithCancel, func(done int) {
			told++
			require.Equal(t, told, done)
		}))
		require.Equal(t, 6, told)
		for _, p := range points {
			require.True(t, p.Done)
			require.InDelta(t, min(1, (52-p.Value)/2), p.Result.Spare, 1e-6)
			require.Equal(t, p.Value <= 52, p.Result.Verdict.Fits())
		}
	}
}

// Two boxes upright have 3 mm to spare above and below, and lose all 4 of the frame's accuracy.
// On their ends, in a row, they have (208.4 − 200)/3 = 2.8 mm, and lose 2·4/3 (derived): there is
// a layout that is sure, though not the best one. A sweep says so as a search by itself does.
func TestSweepIsAsSureAsASearch(t *testing.T) {
	f := readFrame(t, []byte(`{format: 1, frame: f, accuracy: 4, opening: {outline: [[0, 0], [208.4, 0], [208.4, 106], [0, 106]], across: 104}}`))
	p := readPack(t, []byte(`{format: 1, pack: p, gaps: {beside: 0}, boxes: [{name: b, count: 2, size: [80, 90, 100], stand: [upright, on-end]}]}`))
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	points := []sweep.Point{{Problem: problem}}
	settings := whatif.Settings{Search: search.Settings{AnyEntry: true}}
	require.NoError(t, sweep.Run(context.Background(), points, 1, settings, context.WithCancel, func(int) {}))
	require.InDelta(t, 3, points[0].Result.Spare, 0.001)
	require.Equal(t, pack.Sure, points[0].Result.Verdict)
}

func TestSweepEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	points := make([]sweep.Point, 3)
	require.NoError(t, sweep.Run(ctx, points, 2, whatif.Settings{}, context.WithCancel, func(int) {}))
	for _, p := range points {
		require.False(t, p.Done)
	}
}

// With searches that end at once what one value found serves the others: a layout of
// larger boxes holds for smaller ones, so the spare never falls as boxes shrink.
func TestLayoutsAreCarriedOver(t *testing.T) {
	f := readFrame(t, []byte(`{format: 1, frame: f, opening: {outline: [[0, 0], [300, 0], [360, 250], [20, 240]], across: 220}}`))
	s, err := sweep.Parse("boxes.1.size.L 70..110 step 4")
	require.NoError(t, err)
	var points []sweep.Point
	for _, v := range s.Values() {
		text, err := s.Set([]byte(`{format: 1, pack: p, boxes: [{name: b, count: 5, size: [70, 90, 80], stand: [upright, on-side, on-end]}]}`), v)
		require.NoError(t, err)
		problem, err := pack.NewProblem(f, readPack(t, text))
		require.NoError(t, err)
		points = append(points, sweep.Point{Value: v, Problem: problem})
	}
	atOnce := func(ctx context.Context) (context.Context, context.CancelFunc) {
		ctx, cancel := context.WithCancel(ctx)
		cancel()
		return ctx, cancel
	}
	require.NoError(t, sweep.Run(context.Background(), points, 2, whatif.Settings{Search: search.Settings{AnyEntry: true}, Limit: atOnce}, atOnce, func(int) {}))
	for i, p := range points {
		report := pack.Check(p.Problem, p.Result.Layouts[0].Layout)
		require.Empty(t, report.Faults)
		require.Equal(t, report.Spare, p.Result.Spare)
		if i > 0 && p.Result.Spare >= 0 {
			require.GreaterOrEqual(t, points[i-1].Result.Spare, p.Result.Spare-search.Closed)
		}
	}
}

// Whatever the text and the file, there is an error or a file, and no panic.
func FuzzSet(f *testing.F) {
	for _, path := range []string{"boxes.big battery.size.H 1..2", "opening.outline.3.z 1..9 step 2", "gaps.rail 0..1", "rails.1.path.2.x 5..1"} {
		f.Add(path, frameText)
		f.Add(path, packText)
	}
	f.Add("a.b.c 1..2", "[1, {a: &x [1], b: *x}]")
	f.Fuzz(func(t *testing.T, text, file string) {
		s, err := sweep.Parse(text)
		if err != nil {
			require.ErrorIs(t, err, sweep.ErrSpec)
			return
		}
		require.LessOrEqual(t, len(s.Values()), sweep.MaxValues)
		require.NotEmpty(t, s.Values())
		if _, err := s.Set([]byte(file), s.From); err != nil {
			require.ErrorIs(t, err, sweep.ErrSpec)
		}
	})
}
