package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The second judge reads the files that a builder has, as they are, and the layouts that
// fit has written: for every one it finds the spare that fit tells, to 1e-6 mm. With RACKWRIGHT_LONG it
// reads all examples; else the first layouts of some.
func TestSecondJudgeOnFiles(t *testing.T) {
	const python = "/usr/bin/python3" // Debian's, with python3-yaml and python3-scipy
	if err := exec.Command(python, "-c", "import yaml, scipy.optimize").Run(); err != nil {
		if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "1" {
			t.Fatalf("%s with yaml and scipy is needed and missing: %v", python, err)
		}
		t.Skipf("%s with yaml and scipy is missing: %v", python, err)
	}
	packs, err := filepath.Glob("../../testdata/*/pack*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, packs)
	if !long() {
		packs = packs[:min(len(packs), 4)]
	}
	for _, packPath := range packs {
		framePath, dir := filepath.Join(filepath.Dir(packPath), "frame.yaml"), t.TempDir()
		type layout struct {
			Spare       float64 `json:"spare_mm"`
			Concessions []string
		}
		layouts := untilFound(t, func(while string) []layout {
			var out, errs bytes.Buffer
			run(context.Background(), []string{"fit", framePath, packPath, "--time", while, "--json", "--out", dir, "--force"}, streams{out: &out, err: &errs})
			require.Empty(t, errs.String())
			var answer struct{ Layouts []layout }
			require.NoError(t, json.Unmarshal(out.Bytes(), &answer))
			return answer.Layouts
		})
		for i, l := range layouts {
			if len(l.Concessions) > 0 || i > 0 && !long() {
				continue // it is for another frame than the file
			}
			file := filepath.Join(dir, fmt.Sprintf("layout-%d.yaml", i+1))
			said, _ := exec.Command(python, "../../pack/internal/secondjudge/files.py", framePath, packPath, file).Output()
			word, number, _ := strings.Cut(strings.SplitN(string(said), "\n", 2)[0], " ")
			require.Equal(t, "spare", word, "%s", said)
			if number == "None" {
				continue // a box meets a round bar with flat ends, how deep it does not know
			}
			spare, err := strconv.ParseFloat(number, 64)
			require.NoError(t, err)
			require.LessOrEqual(t, math.Abs(spare-l.Spare), 1e-6, "%s, layout %d", packPath, i+1)
		}
	}
}
