package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/export/layoutfile"
	"rackwright/pack"
)

// patience is how long a run of 20 ms may take on a busy machine before it counts as
// hanging.
const patience = 60 * time.Second

// The whole of fit, on files that may be anything. An error is told, with status 2 and
// no answer; what is accepted is searched, and the answer is one JSON object whose
// layouts the judge passes, with a bound that is no less than the spare.
func FuzzFit(f *testing.F) {
	packs, err := filepath.Glob("../../testdata/*/pack*.yaml")
	require.NoError(f, err)
	for _, path := range packs {
		packText, err := os.ReadFile(path)
		require.NoError(f, err)
		frameText, err := os.ReadFile(filepath.Join(filepath.Dir(path), "frame.yaml"))
		require.NoError(f, err)
		f.Add(string(frameText), string(packText))
	}
	f.Add(starterFrame, starterPack)
	f.Add(crateFrame, cratePack)
	f.Fuzz(fitOnce)
}

func fitOnce(t *testing.T, frameText, packText string) {
	dir := t.TempDir()
	framePath, packPath := filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml")
	require.NoError(t, os.WriteFile(framePath, []byte(frameText), 0o600))
	require.NoError(t, os.WriteFile(packPath, []byte(packText), 0o600))
	var out, errs bytes.Buffer
	hangs := time.AfterFunc(patience, func() {
		stacks := make([]byte, 1<<20)
		panic("fit hangs:\n" + string(stacks[:runtime.Stack(stacks, true)]))
	})
	defer hangs.Stop()
	status := run(context.Background(), []string{"fit", framePath, packPath, "--json", "--time", "20ms"}, streams{out: &out, err: &errs})
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	require.Less(t, m.Sys, uint64(512<<20), "memory")
	if status == exitUsage {
		require.NotEmpty(t, errs.String())
		require.Empty(t, out.String())
		require.NotContains(t, errs.String(), "please report", "a defect of ours")
		return
	}
	require.Empty(t, errs.String())
	p, err := problem(t.Context(), framePath, packPath)
	require.NoError(t, err)
	requireAnswer(t, p, status, out.Bytes())
}

// requireAnswer holds that what was printed is an answer to the problem.
func requireAnswer(t *testing.T, p pack.Problem, status int, printed []byte) {
	t.Helper()
	var got struct {
		Verdict string
		Spare   *float64 `json:"spare_mm"`
		Bound   *float64 `json:"bound_mm"`
		Layouts []struct {
			Spare       float64           `json:"spare_mm"`
			Concessions []string          `json:"concessions"`
			Placements  []json.RawMessage `json:"placements"`
		}
	}
	require.NoError(t, json.Unmarshal(printed, &got))
	require.Equal(t, map[string]int{"sure": exitFits, "tight": exitFits, "no fit found": exitUnknown, "proven no fit": exitNoFit}[got.Verdict], status)
	if got.Spare != nil && got.Bound != nil {
		require.GreaterOrEqual(t, *got.Bound, *got.Spare-1e-6)
	}
	for _, l := range got.Layouts {
		asFile, err := json.Marshal(map[string]any{"format": 1, "placements": l.Placements})
		require.NoError(t, err)
		file, err := layoutfile.Read(bytes.NewReader(asFile), "layout")
		require.NoError(t, err)
		report := pack.Check(p, file.Layout)
		require.Empty(t, report.Faults)
		if len(l.Concessions) > 0 { // it holds in the frame as changed, where pack/whatif judges it
			require.GreaterOrEqual(t, l.Spare, 0.0)
			continue
		}
		require.InDelta(t, l.Spare, report.Spare, 1e-6)
	}
}
