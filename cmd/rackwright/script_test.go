package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"rackwright/export"
)

// Small problems that are decided soon: two boxes fit, a third does not.
const (
	crateFrame = `{format: 1, frame: crate, opening: {outline: [[0, 0], [210, 0], [230, 60], [0, 60]], across: 80}}`
	cratePack  = `{format: 1, pack: two, boxes: [{name: box, count: 2, size: [100, 70, 50], stand: [upright, on-side]}]}`
	cratesPack = `{format: 1, pack: too many, boxes: [{name: box, count: 3, size: [100, 70, 50], stand: [upright, on-side]}]}`
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"rackwright": main})
}

// long tells whether the longest judgements are asked for, as .ci/run does. Without it the same tests
// look at fewer cases.
func long() bool { return os.Getenv("RACKWRIGHT_LONG") != "" }

// The scripts say how the program behaves, by exit status and by what is left behind.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	racks, err := filepath.Abs("../../pack/rack/judge/testdata")
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			e.Setenv("RACKS", racks)
			return nil
		},
		Condition: func(name string) (bool, error) {
			if name == "long" {
				return long(), nil
			}
			if name == "hangup" { // where whoever started the tests has it ignored, so do we
				return !signal.Ignored(syscall.SIGHUP), nil
			}
			return false, fmt.Errorf("no condition is called %q", name)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": status, "answer": answerIs, "files": files, "signal": sendSignal,
		},
	})
}

// status WANT COMMAND… runs a command and compares its exit status.
func status(ts *testscript.TestScript, _ bool, args []string) {
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if e, ok := err.(*exec.ExitError); ok { //nolint:errorlint // Exec returns it bare
		got = itoa(e.ExitCode())
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != args[0] {
		ts.Fatalf("status %s, not %s", got, args[0])
	}
}

func itoa(n int) string {
	b, _ := json.Marshal(n)
	return string(b)
}

// answer FILE checks the keys of the JSON answer.
func answerIs(ts *testscript.TestScript, _ bool, args []string) {
	var got struct {
		Format                        int
		Frame, Pack, Verdict, Stopped *string
		Proven                        *bool
		Spare                         *float64 `json:"spare_mm"`
		Bound                         *float64 `json:"bound_mm"`
		Layouts                       []struct {
			Spare       *float64 `json:"spare_mm"`
			Tightest    []string
			Concessions []string
			Placements  []struct {
				Box, Up, Front string
				Number         int
				Tilt           *float64  `json:"tilt_deg"`
				Centre         []float64 `json:"centre_mm"`
			}
		}
	}
	if err := json.Unmarshal([]byte(ts.ReadFile(args[0])), &got); err != nil {
		ts.Fatalf("%v", err)
	}
	if got.Format != 1 || got.Frame == nil || got.Pack == nil || got.Verdict == nil || got.Stopped == nil || got.Proven == nil {
		ts.Fatalf("a key is missing")
	}
	for _, l := range got.Layouts {
		if l.Spare == nil || len(l.Tightest) != 2 || l.Concessions == nil || len(l.Placements) == 0 {
			ts.Fatalf("a key of a layout is missing")
		}
		for _, p := range l.Placements {
			if p.Box == "" || p.Up == "" || p.Front == "" || p.Number < 1 || p.Tilt == nil || len(p.Centre) != 3 {
				ts.Fatalf("a key of a placement is missing: %+v", p)
			}
		}
	}
	if len(got.Layouts) > 0 && *got.Spare != *got.Layouts[0].Spare {
		ts.Fatalf("spare_mm is that of the first layout")
	}
}

// files DIR [NAME…] checks that a folder holds exactly these files.
func files(ts *testscript.TestScript, _ bool, args []string) {
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(args[1:], " ") {
		ts.Fatalf("%s holds %q", args[0], got)
	}
}

// sendSignal NAME WANT COMMAND… runs a command, sends it a signal after two seconds and
// compares the exit status.
func sendSignal(ts *testscript.TestScript, _ bool, args []string) {
	script := `rackwright "$@" & pid=$!; sleep 2; kill -` + args[0] + ` $pid; wait $pid`
	status(ts, false, append([]string{args[1], "sh", "-c", script, "sh"}, args[2:]...))
}

func write(text string) export.File {
	return export.File{Name: text, Write: func(w io.Writer) error {
		_, err := w.Write([]byte(text))
		return err
	}}
}

func TestNothingIsHalfWritten(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, writeAll(dir, []export.File{write("a")}, false))
	require.ErrorContains(t, writeAll(dir, []export.File{write("b"), write("a")}, false), "already holds a")
	require.NoFileExists(t, filepath.Join(dir, "b"))

	// A folder stands where the second file should go: the first is taken away again.
	require.NoError(t, os.Mkdir(filepath.Join(dir, "c"), 0o700))
	require.Error(t, writeAll(dir, []export.File{write("b"), write("c")}, true))
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.Equal(t, []string{filepath.Join(dir, "a"), filepath.Join(dir, "c")}, left)
	hidden, err := filepath.Glob(filepath.Join(dir, ".*"))
	require.NoError(t, err)
	require.Empty(t, hidden)

	// Nor are files replaced that were there: all are the old ones.
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o600))
	require.Error(t, writeAll(dir, []export.File{write("a"), write("c")}, true))
	old, err := os.ReadFile(filepath.Join(dir, "a"))
	require.NoError(t, err)
	require.Equal(t, "old", string(old))

	// What cannot be made is not written, and leaves no folder.
	bad := export.File{Name: "bad", Write: func(io.Writer) error { return os.ErrInvalid }}
	require.ErrorIs(t, writeAll(filepath.Join(dir, "new"), []export.File{write("x"), bad}, false), os.ErrInvalid)
	require.NoDirExists(t, filepath.Join(dir, "new"))
}

// Wherever putting files in their places fails, those that were there are there again, and those
// that were not are gone.
func TestOldSetOrNewOne(t *testing.T) {
	names := []string{"a", "b", "c"}
	for fail := range 6 { // b is there and c is not, so b takes two moves
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "a"), []byte("old a"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(dir, "b"), []byte("old b"), 0o600))
		s := swap{rename: os.Rename}
		for _, name := range names {
			require.NoError(t, os.WriteFile(filepath.Join(dir, "."+name), []byte("new "+name), 0o600))
		}
		moves := 0
		s.rename = func(from, to string) error {
			if moves++; moves == fail+1 {
				return os.ErrPermission
			}
			return os.Rename(from, to)
		}
		var err error
		for _, name := range names {
			if err = s.put(filepath.Join(dir, "."+name), filepath.Join(dir, name)); err != nil {
				break
			}
		}
		want := map[string]string{"a": "new a", "b": "new b", "c": "new c"}
		if fail < 5 {
			require.ErrorIs(t, err, os.ErrPermission)
			require.NoError(t, s.back())
			want = map[string]string{"a": "old a", "b": "old b"}
		} else {
			require.NoError(t, err)
			s.done()
		}
		for _, name := range names {
			os.Remove(filepath.Join(dir, "."+name))
		}
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		got := map[string]string{}
		for _, e := range entries {
			text, err := os.ReadFile(filepath.Join(dir, e.Name()))
			require.NoError(t, err)
			got[e.Name()] = string(text)
		}
		require.Equal(t, want, got, "failed at move %d", fail)
	}
}
