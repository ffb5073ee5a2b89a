package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const (
	tryFrame = `{format: 1, frame: f, opening: {outline: [[0, 0], [420, 0], [520, 300], [40, 330]], across: [-120, 150]}}`
	tryPack  = `{format: 1, pack: p, gaps: {beside: 8, above: 12}, gaps_floor: {beside: 2, above: 4}, boxes: [
  {name: a, count: 6, size: [162, 108, 156], flooded: true}, {name: b, size: [80, 60, 50], flooded: true}]}`
)

type tryChange struct {
	What  string  `json:"what"`
	Spare float64 `json:"spare_mm"`
}

// fitted is the answer of fit --json to two files.
func fitted(t *testing.T, frameText, packText string, options ...string) (answer struct {
	Spare   float64     `json:"spare_mm"`
	Stopped string      `json:"stopped"`
	Changes []tryChange `json:"changes"`
},
) {
	t.Helper()
	dir := t.TempDir()
	framePath, packPath := filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml")
	require.NoError(t, os.WriteFile(framePath, []byte(frameText), 0o600))
	require.NoError(t, os.WriteFile(packPath, []byte(packText), 0o600))
	var out, errs bytes.Buffer
	run(context.Background(), append([]string{"fit", framePath, packPath, "--entry", "any", "--json"}, options...), streams{out: &out, err: &errs})
	require.Empty(t, errs.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), &answer))
	return answer
}

// What --try says of a change is what a search of the changed pack finds, where both have the time
// to end.
func TestTriedIsWhatADirectSearchFinds(t *testing.T) {
	tried := fitted(t, tryFrame, tryPack, "--try", "--time", "4m")
	require.Negative(t, tried.Spare)
	for what, gaps := range map[string]string{
		"the gap above at its floor of 4 mm instead of 12": "beside: 8, above: 4",
		"all these gaps at their floors":                   "beside: 2, above: 4",
	} {
		if !long() && what != "all these gaps at their floors" {
			continue
		}
		direct := fitted(t, tryFrame, strings.Replace(tryPack, "beside: 8, above: 12", gaps, 1), "--time", "4m")
		require.Equal(t, "done", direct.Stopped)
		at := slices.IndexFunc(tried.Changes, func(c tryChange) bool { return c.What == what })
		require.GreaterOrEqual(t, at, 0, what)
		require.InDelta(t, direct.Spare, tried.Changes[at].Spare, 0.01, what)
	}
}
