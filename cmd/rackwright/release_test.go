package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// An archive for Linux, unpacked into an empty folder with no Go in reach, does the main job;
// made twice it has the same bytes. RACKWRIGHT_RELEASE=1 runs this: it builds for one system.
func TestRelease(t *testing.T) {
	if os.Getenv("RACKWRIGHT_RELEASE") == "" {
		t.Skip("RACKWRIGHT_RELEASE=1 builds archives")
	}
	const name = "rackwright-linux-amd64"
	var archives [2][]byte
	dir := t.TempDir()
	for i := range archives {
		build := exec.Command("../../.ci/release", dir)
		build.Env = append(os.Environ(), "RACKWRIGHT_TARGETS=linux/amd64")
		out, err := build.CombinedOutput()
		require.NoError(t, err, string(out))
		archives[i], err = os.ReadFile(filepath.Join(dir, name+".tar.gz"))
		require.NoError(t, err)
	}
	require.True(t, string(archives[0]) == string(archives[1]), "the same bytes twice")
	require.NoError(t, exec.Command("tar", "-C", dir, "-xzf", filepath.Join(dir, name+".tar.gz")).Run())
	fit := exec.Command("./rackwright", "fit", "testdata/trail/frame.yaml", "testdata/trail/pack.yaml", "--time", "5s", "--out", "mock-ups")
	fit.Dir, fit.Env = filepath.Join(dir, name), []string{"PATH=/nowhere"}
	out, err := fit.CombinedOutput()
	require.NoError(t, err, string(out))
	require.Contains(t, string(out), "It fits")
	require.FileExists(t, filepath.Join(fit.Dir, "mock-ups", "report.html"))
	require.FileExists(t, filepath.Join(fit.Dir, "LICENSE"))
}
