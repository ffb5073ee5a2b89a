package mutation

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the module's.
const root = "../.."

// judge is what decides whether a layout holds: the check, and the distances it rests on.
var judge = []string{
	"pack/check.go", "pack/checkrelations.go", "pack/relation.go", "pack/faults.go", "pack/problem.go", "pack/orientation.go",
	"geom/box.go", "geom/halfspace.go", "geom/prism.go", "geom/round.go", "geom/solid.go", "geom/sheet.go",
	"geom/measure.go", "geom/flat.go", "geom/polytope.go", "geom/cylinder.go",
}

// caught is the part of the mutants that tests have to notice.
const caught = 0.95

// Tests notice nearly every change of a comparison, a constant or an operator in the
// judge; those that they do not notice are listed in testdata/survivors.txt, each with
// the reason why it makes no difference. It takes an hour or two:
//
//	RACKWRIGHT_MUTATE=all go test ./pack/mutation -timeout 5h -v
//
// RACKWRIGHT_MUTATE=pack/check.go,geom/box.go takes these files.
func TestTestsNoticeChangesOfTheJudge(t *testing.T) {
	which := os.Getenv("RACKWRIGHT_MUTATE")
	if which == "" {
		t.Skip("RACKWRIGHT_MUTATE is not set")
	}
	files := judge
	if which != "all" {
		files = strings.Split(which, ",")
	}
	known := survivors(t)
	all, killed := 0, 0
	for _, file := range files {
		source, err := os.ReadFile(filepath.Join(root, file))
		require.NoError(t, err)
		mutants, err := Mutants(file, source)
		require.NoError(t, err)
		for _, m := range mutants {
			line := file + " " + m.Key
			switch trial(t, file, m) {
			case stillborn:
				continue
			case noticed:
				killed++
			case survived:
				t.Logf("survives: %s:%d %s", file, m.Line, m.Key)
				if known[line] == "" {
					t.Errorf("not in testdata/survivors.txt: %s", line)
				}
			}
			all++
		}
		t.Logf("%s: so far %d of %d are noticed", file, killed, all)
	}
	require.GreaterOrEqual(t, float64(killed), caught*float64(all))
}

// survivors reads the list: a line for the mutant, and an indented one with the reason.
func survivors(t *testing.T) map[string]string {
	t.Helper()
	f, err := os.Open("testdata/survivors.txt")
	require.NoError(t, err)
	defer f.Close()
	list, last := map[string]string{}, ""
	for s := bufio.NewScanner(f); s.Scan(); {
		switch text := s.Text(); {
		case strings.HasPrefix(text, "\t"):
			list[last] += strings.TrimSpace(text)
		case text != "" && !strings.HasPrefix(text, "#"):
			last = text
		}
	}
	return list
}

type fate int

const (
	noticed fate = iota
	survived
	stillborn // it does not compile
)

// trial runs the tests of the file's package on the mutant, and those of the judge.
func trial(t *testing.T, file string, m Mutant) fate {
	t.Helper()
	dir := t.TempDir()
	mutated, overlay := filepath.Join(dir, "mutated.go"), filepath.Join(dir, "overlay.json")
	path, err := filepath.Abs(filepath.Join(root, file))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(mutated, m.Source, 0o600))
	replace, err := json.Marshal(map[string]any{"Replace": map[string]string{path: mutated}})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(overlay, replace, 0o600))
	packages := []string{"./" + filepath.Dir(file)}
	if packages[0] != "./pack" {
		packages = append(packages, "./pack")
	}
	for _, p := range packages {
		out, err := command("test", "-overlay", overlay, "-count=1", "-vet=off", "-failfast", "-timeout=5m", p).Output()
		var exit *exec.ExitError
		switch {
		case bytes.Contains(out, []byte("[build failed]")):
			return stillborn
		case errors.As(err, &exit):
			return noticed
		}
		require.NoError(t, err)
	}
	return survived
}

// command runs go with no more than some gigabytes, for a mutant may go on for ever.
func command(args ...string) *exec.Cmd {
	cmd := exec.Command("sh", append([]string{"-c", `ulimit -v 8000000; exec go "$@"`, "go"}, args...)...)
	cmd.Dir = root
	return cmd
}
