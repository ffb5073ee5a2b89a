package answer_test

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// told searches a problem and gives the printed answer and the JSON with all that is
// known.
func told(t *testing.T, frameText, packText string) (string, map[string]any) {
	t.Helper()
	in := solved(t, frameText, packText)
	var text, j bytes.Buffer
	require.NoError(t, answer.Write(&text, in))
	require.NoError(t, answer.WriteJSON(&j, in))
	var object map[string]any
	require.NoError(t, json.Unmarshal(j.Bytes(), &object))
	return text.String(), object
}

// solved is all that is known of a problem.
func solved(t *testing.T, frameText, packText string) answer.Input {
	t.Helper()
	f, err := frame.Read(strings.NewReader(frameText), "frame")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader(packText), "pack")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	ctx, s := context.Background(), whatif.Settings{Hasty: true, Search: search.Settings{AnyEntry: true}}
	r, err := search.Fit(ctx, problem, s.Search)
	require.NoError(t, err)
	require.NoError(t, whatif.AskSure(ctx, problem, &r, s))
	in := answer.Input{Problem: problem, Result: r}
	a, err := limit.Of(problem, r.Layouts[0].Layout)
	require.NoError(t, err)
	in.Limit = &a
	if !r.Verdict.Fits() {
		c, err := whatif.Concessions(ctx, problem, s)
		require.NoError(t, err)
		in.Conceded = &c
	}
	in.Changes, err = whatif.Try(ctx, whatif.Changes(problem), s)
	require.NoError(t, err)
	return in
}

// Two boxes of 197 and the gap of 3 between them need 397; the opening has 392.7 (our own
// numbers): the chain says which 4.3 mm are short.
func TestChainInWords(t *testing.T) {
	text, j := told(t,
		`{format: 1, frame: f, accuracy: 1, opening: {outline: [[0, 0], [392.7, 0], [392.7, 190], [0, 190]], across: 185, sides: [belly, down-tube, top, seat post]}}`,
		`{format: 1, pack: p, gaps_floor: {beside: 1}, boxes: [{name: battery, count: 2, size: [197, 165, 170], accuracy: 2}]}`)
	require.Regexp(t, `(seat post|down-tube) – 0 – battery \d \(197\) – 3 – battery \d \(197\) – 0 – (seat post|down-tube): needs 397 mm, there are 392\.7 mm: 4\.30 mm short\.`, text)
	require.Contains(t, text, "battery length 1 mm less: 0.67 mm more to spare")
	require.Contains(t, text, "gap beside 1 mm less: 0.33 mm more to spare")
	require.NotContains(t, text, "gap wall", "it is 0 already")
	require.Contains(t, text, "1. battery length (2 mm off takes 1.33 mm of the spare)")
	require.Contains(t, text, "One battery fewer: it fits")
	require.Contains(t, text, "The frame file names nothing of the kind that is in the way.")
	l := j["limit"].(map[string]any)
	require.Equal(t, true, l["chain"].(map[string]any)["straight"])
	require.Len(t, l["links"], 3)
	require.NotEmpty(t, l["effects"])
	require.NotEmpty(t, l["measure_again"])
	require.Contains(t, j, "concessions")
	require.NotEmpty(t, j["changes"])
}

func TestChainInInches(t *testing.T) {
	text, _ := told(t,
		`{format: 1, frame: f, units: in, accuracy: 1/16 in, opening: {outline: [[0, 0], [15 1/2, 0], [15 1/2, 8], [0, 8]], across: 7 1/2 in, sides: [belly, front, top, rear]}}`,
		`{format: 1, pack: p, units: in, gaps: {beside: 1/8 in}, boxes: [{name: battery, count: 2, size: [7 5/8, 7, 7]}]}`)
	require.Contains(t, text, "(7 5/8) – 1/8 – ")
	require.Contains(t, text, "needs 15 3/8 in, there are 15 1/2 in: 1/8 in over, shared by 3 gaps.")
	require.Contains(t, text, "What 1/16 in does to the spare of this layout:")
	require.Contains(t, text, "battery length 1/16 in less: 0.042 in more to spare")
	require.NotContains(t, text, " mm ")
}

// A slanted opening holds a box from three sides at once: there is no straight chain.
func TestHeldFromSeveralSides(t *testing.T) {
	text, j := told(t,
		`{format: 1, frame: f, opening: {outline: [[0, 0], [600, 0], [300, 400]], across: 900, sides: [belly, front, rear]}}`,
		`{format: 1, pack: p, boxes: [{name: battery, size: [200, 100, 100]}]}`)
	require.Contains(t, text, "at each of these gaps; held from other sides too: battery 1 – ")
	require.Nil(t, j["limit"].(map[string]any)["chain"].(map[string]any)["room_mm"])
	require.Contains(t, text, "Every measurement may be off by")
	require.NotNil(t, j["sure"].(map[string]any)["common_error_mm"])
}

// A name that looks like the number of a line is told whole, in print and elsewhere.
func TestNamesAreNoNumbersOfLines(t *testing.T) {
	in := solved(t, `{format: 1, frame: f, accuracy: 1, opening: {outline: [[0, 0], [120, 0], [120, 60], [0, 60]], across: 80}}`,
		`{format: 1, pack: p, boxes: [{name: 2. cell, size: [100, 70, 40], accuracy: 1}]}`)
	var lines []string
	for _, part := range answer.Advice(in, geom.Millimetre) {
		for _, line := range part.Lines {
			lines = append(lines, line.Text)
		}
	}
	require.Contains(t, lines, "2. cell width 1 mm less: 0.50 mm more to spare")
	var text bytes.Buffer
	require.NoError(t, answer.Write(&text, in))
	for _, line := range lines {
		require.Contains(t, text.String(), line+"\n")
	}
}

// Whatever takes off or cuts a member says that it carries load.
func TestConcessionsBearTheirCautions(t *testing.T) {
	rail := whatif.Concession{Off: []string{"down-tube"}}
	notch := whatif.Concession{Notches: []whatif.Notch{{KeepOut: "tank"}}}
	require.Len(t, answer.ConcessionCautions([]whatif.Concession{rail}), 1)
	require.Contains(t, answer.ConcessionCautions([]whatif.Concession{rail})[0], "carried load")
	cut := answer.ConcessionCautions([]whatif.Concession{notch})[0]
	require.Contains(t, cut, "carry load")
	require.Contains(t, cut, "explode")
	require.Len(t, answer.ConcessionCautions([]whatif.Concession{rail, notch, rail}), 2)
	require.Empty(t, answer.ConcessionCautions(nil))
}

// Where far more is short than all accuracies together can be, measuring again is no help.
func TestMeasuringAgainIsToldWhereItHelps(t *testing.T) {
	const crate = `{format: 1, frame: f, accuracy: 1, opening: {outline: [[0, 0], [100, 0], [100, 50], [0, 50]], across: 80}}`
	near, _ := told(t, crate, `{format: 1, pack: p, boxes: [{name: box, size: [100.5, 70, 40], accuracy: 1}]}`)
	require.Contains(t, near, "Worth measuring again")
	far, _ := told(t, crate, `{format: 1, pack: p, boxes: [{name: box, size: [140, 70, 40], accuracy: 1}]}`)
	require.NotContains(t, far, "Worth measuring again")
}

// A layout that leaves tools their room may have less to spare than its sides allow: then what
// limits it is told of boxes that are moved, and the answer says so.
func TestAnswerTellsOfMovedBoxes(t *testing.T) {
	said := func(best float64) string {
		var b strings.Builder
		in := answer.Input{
			Problem: pack.Problem{Pack: &pack.Pack{Name: "boxes"}, Frame: &frame.Frame{Name: "frame"}},
			Limit:   &limit.Analysis{Spare: best},
			Result:  search.Result{Verdict: pack.Fits, Spare: 9, Layouts: []search.Found{{Report: pack.Report{Spare: 9}}}},
		}
		require.NoError(t, answer.Write(&b, in))
		return b.String()
	}
	require.Contains(t, said(10), "it would have 10.00 mm to spare, but then tools may lack room")
	require.NotContains(t, said(9), "moved")
}
