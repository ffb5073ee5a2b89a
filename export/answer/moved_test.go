package answer_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/search"
)

// A layout that leaves tools their room may have less to spare than its sides allow: then what
// limits it is told of boxes that are moved, and the answer says so.
func TestAnswerTellsOfMovedBoxes(t *testing.T) {
	said := func(best float64) string {
		var b strings.Builder
		in := answer.Input{
			Problem: pack.Problem{Pack: &pack.Pack{Name: "boxes"}, Frame: &frame.Frame{Name: "frame"}},
			Limit:   &limit.Analysis{Spare: best},
			Result:  search.Result{Verdict: pack.Sure, Spare: 9, Layouts: []search.Found{{Report: pack.Report{Spare: 9}}}},
		}
		require.NoError(t, answer.Write(&b, in))
		return b.String()
	}
	require.Contains(t, said(10), "it would have 10.00 mm to spare, but then tools may lack room")
	require.NotContains(t, said(9), "moved")
}
