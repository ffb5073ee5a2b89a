package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/export/layoutfile"
)

// What goes wrong around the program: full, read-only and vanishing folders, links,
// signals, closed output, little memory, one core. Whatever happens, no file is half
// written, the exit status is right, and what the search has found is told.

// program builds the program once.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "rackwright-test")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "rackwright")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// ending is what a run of the program leaves.
type ending struct {
	status   int // −1 where a signal ended it
	out, err string
	memory   int64 // greatest resident size in KiB
}

// rackwright runs the program in dir.
func rackwright(t *testing.T, dir string, env []string, args ...string) ending {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	cmd := exec.Command(path, args...)
	cmd.Dir, cmd.Env = dir, env
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	return ended(t, cmd, cmd.Run(), &out, &errs)
}

func ended(t *testing.T, cmd *exec.Cmd, err error, out, errs *bytes.Buffer) ending {
	t.Helper()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	require.True(t, ok)
	return ending{cmd.ProcessState.ExitCode(), out.String(), errs.String(), usage.Maxrss}
}

// crate makes a folder with a problem that is decided soon.
func crate(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"frame.yaml": crateFrame, "pack.yaml": cratePack, "crates.yaml": cratesPack} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return dir
}

func fitCrate(t *testing.T, dir string, more ...string) ending {
	t.Helper()
	return rackwright(t, dir, os.Environ(), append([]string{"fit", "frame.yaml", "pack.yaml"}, more...)...)
}

// requireTold holds that the run failed over its output and told the answer all the same.
func requireTold(t *testing.T, o ending, words string) {
	t.Helper()
	require.Equal(t, exitUsage, o.status, o.err)
	require.Contains(t, o.err, words)
	require.Contains(t, o.out, "It fits", "what was found is lost")
}

func requireEmpty(t *testing.T, dir string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Empty(t, entries)
}

// mounted puts a file system of its own at a new folder; only root can.
func mounted(t *testing.T, options string) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no file system can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() { _ = exec.Command("umount", dir).Run() })
	return dir
}

func TestFullFolder(t *testing.T) {
	full := mounted(t, "size=8k") // two pages: less than the mock-ups need
	requireTold(t, fitCrate(t, crate(t), "--out", full), "no space left on device")
	requireEmpty(t, full)
	requireTold(t, fitCrate(t, crate(t), "--out", filepath.Join(full, "new", "deeper")), "no space left on device")
	requireEmpty(t, full)
}

func TestFullFolderKeepsWhatWasThere(t *testing.T) {
	full := mounted(t, "size=8k")
	path := filepath.Join(full, "layout-1.yaml")
	require.NoError(t, os.WriteFile(path, []byte("precious"), 0o600))
	requireTold(t, fitCrate(t, crate(t), "--out", full, "--force"), "no space left on device")
	kept, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "precious", string(kept))
	entries, err := os.ReadDir(full)
	require.NoError(t, err)
	require.Len(t, entries, 1)
}

func TestReadOnlyFolder(t *testing.T) {
	dir := mounted(t, "ro,size=1m")
	requireTold(t, fitCrate(t, crate(t), "--out", dir), "read-only file system")
	requireTold(t, fitCrate(t, crate(t), "--out", filepath.Join(dir, "new")), "read-only file system")
}

func TestFileOrDeadLinkInPlaceOfTheFolder(t *testing.T) {
	dir := crate(t)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), []byte("precious"), 0o600))
	require.NoError(t, os.Symlink("nowhere", filepath.Join(dir, "dead")))
	for _, out := range []string{"file", "file/deeper", "dead"} {
		requireTold(t, fitCrate(t, dir, "--out", out, "--force"), "the output folder cannot be made")
	}
	kept, err := os.ReadFile(filepath.Join(dir, "file"))
	require.NoError(t, err)
	require.Equal(t, "precious", string(kept))
	require.NoFileExists(t, filepath.Join(dir, "nowhere"))
}

// A link in the place of a file is replaced, and what it leads to is left alone.
func TestLinkInPlaceOfAFile(t *testing.T) {
	dir := crate(t)
	precious := filepath.Join(dir, "precious")
	require.NoError(t, os.WriteFile(precious, []byte("precious"), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "out"), 0o700))
	require.NoError(t, os.Symlink("../precious", filepath.Join(dir, "out", "layout-1.yaml")))
	requireTold(t, fitCrate(t, dir, "--out", "out"), "already holds layout-1.yaml")
	require.Equal(t, exitFits, fitCrate(t, dir, "--out", "out", "--force").status)
	kept, err := os.ReadFile(precious)
	require.NoError(t, err)
	require.Equal(t, "precious", string(kept))
	requireWhole(t, filepath.Join(dir, "out"))
}

// requireWhole holds that a folder has no temporary file and only files that are whole.
// It returns how many there are.
func requireWhole(t *testing.T, dir string) int {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return 0
	}
	require.NoError(t, err)
	for _, e := range entries {
		content, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		require.False(t, strings.HasPrefix(e.Name(), "."), "a temporary file is left: %s", e.Name())
		switch filepath.Ext(e.Name()) {
		case ".yaml":
			_, err := layoutfile.Read(bytes.NewReader(content), e.Name())
			require.NoError(t, err)
		case ".svg":
			require.Contains(t, string(content), "</svg>")
		case ".stl": // 84 bytes and 50 for each facet: Burns, Automated Fabrication (1993), 6.5
			require.Greater(t, len(content), 84)
			facets := int(content[80]) | int(content[81])<<8 | int(content[82])<<16
			require.Len(t, content, 84+50*facets)
		}
	}
	return len(entries)
}

// The folder goes away again and again while files are written to it. Either all files
// are in their places or an error is told, and nothing temporary stays.
func TestFolderThatVanishes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	var outputs []export.File
	for i := range 5 {
		outputs = append(outputs, write(fmt.Sprint("file ", i)))
	}
	done := make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		for {
			select {
			case <-done:
				return
			default:
				_ = os.RemoveAll(dir)
				time.Sleep(time.Duration(rand.IntN(60)) * time.Millisecond)
			}
		}
	})
	failed := 0
	for range 100 {
		if err := writeAll(dir, outputs, true); err != nil {
			failed++
		}
	}
	close(done)
	wg.Wait()
	t.Logf("%d of 100 writes failed", failed)
	require.NoError(t, os.MkdirAll(dir, 0o700))
	require.NoError(t, writeAll(dir, outputs, true))
	require.Equal(t, len(outputs), requireWhole(t, dir))
}

// A signal at any moment, while the program starts, searches, writes or prints: the
// files that are there are whole, and the status is that of what was found. Before the
// program listens to signals one ends it, with nothing written.
//
// RACKWRIGHT_SIGNALS=1000 sends so many instead of a few.
func TestSignalsAtAnyMoment(t *testing.T) {
	count := 25
	if text := os.Getenv("RACKWRIGHT_SIGNALS"); text != "" {
		var err error
		count, err = strconv.Atoi(text)
		require.NoError(t, err, "RACKWRIGHT_SIGNALS is a number")
	}
	path, err := program()
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(8, 8))
	dir := crate(t)
	whole := requireWholeRun(t, dir)
	ends := map[int]int{}
	for i := range count {
		packFile, fits := "pack.yaml", exitFits
		if i%2 == 1 {
			packFile, fits = "crates.yaml", exitUnknown
		}
		cmd := exec.Command(path, "fit", "frame.yaml", packFile, "--out", fmt.Sprint("out", i), "--layouts", "1")
		cmd.Dir = dir
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(random.IntN(60_000)) * time.Microsecond)
		_ = cmd.Process.Signal([]os.Signal{syscall.SIGINT, syscall.SIGTERM}[random.IntN(2)])
		o := ended(t, cmd, cmd.Wait(), &out, &errs)
		ends[o.status]++
		files := requireWhole(t, filepath.Join(dir, fmt.Sprint("out", i)))
		switch o.status {
		case -1:
			require.Zero(t, files, "killed, and files are there")
		case fits, exitNoFit: // the proof that three do not go in may have been in time
			require.Empty(t, o.err)
			require.NotEmpty(t, o.out)
			require.Equal(t, whole, files)
		case exitUnknown:
			require.Contains(t, o.out, "short", "the best so far is told")
		default:
			t.Fatalf("status %d: %s", o.status, o.err)
		}
	}
	t.Logf("%d signals; ends by status: %v", count, ends)
}

// requireWholeRun runs without a signal and returns how many files there are.
func requireWholeRun(t *testing.T, dir string) int {
	t.Helper()
	require.Equal(t, exitFits, fitCrate(t, dir, "--out", "whole", "--layouts", "1").status)
	return requireWhole(t, filepath.Join(dir, "whole"))
}

// Standard output is full, or nobody reads it: that is told by the status, and the files
// are written all the same. Where it is closed Go puts /dev/null in its place, and what
// is printed goes nowhere, as was asked for.
func TestClosedOutput(t *testing.T) {
	path, err := program()
	require.NoError(t, err)
	for _, script := range []string{
		`"$0" fit frame.yaml pack.yaml --out out >/dev/full`,
		`"$0" fit frame.yaml pack.yaml --out out >&- && test -e out/layout-1.yaml && exit 9`,
		`set -o pipefail; "$0" fit frame.yaml pack.yaml --out out | true`,
	} {
		dir := crate(t)
		cmd := exec.Command("bash", "-c", script, path)
		cmd.Dir = dir
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		o := ended(t, cmd, cmd.Run(), &out, &errs)
		require.NotEqual(t, exitFits, o.status, script)
		require.Positive(t, requireWhole(t, filepath.Join(dir, "out")), script)
	}
}

func TestNothingInTheEnvironment(t *testing.T) {
	dir := crate(t)
	for _, env := range [][]string{{}, {"HOME=/nonexistent", "LC_ALL=tr_TR.UTF-8", "LANG=xx"}, {"TZ=nowhere", "TMPDIR=/nonexistent"}} {
		o := rackwright(t, dir, env, "fit", "frame.yaml", "pack.yaml", "--out", "out", "--force")
		require.Equal(t, exitFits, o.status, o.err)
	}
}

// No time at all: the first thing found, and no claim that is not proven.
func TestNoTime(t *testing.T) {
	dir := crate(t)
	for file, want := range map[string][]int{"pack.yaml": {exitFits, exitUnknown}, "crates.yaml": {exitNoFit, exitUnknown}} {
		o := rackwright(t, dir, os.Environ(), "fit", "frame.yaml", file, "--time", "0s", "--json")
		require.Contains(t, want, o.status, o.err)
		var got struct {
			Proven  bool
			Stopped string
			Layouts []json.RawMessage
		}
		require.NoError(t, json.Unmarshal([]byte(o.out), &got))
		require.NotEmpty(t, got.Layouts, "the best so far")
		if o.status == exitUnknown {
			require.False(t, got.Proven)
			require.Equal(t, "time", got.Stopped)
		}
	}
}

// The same bytes on one core and on more, in all that is printed and written.
func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	all := func(cores int) map[string]string {
		dir := crate(t)
		env := append(os.Environ(), fmt.Sprint("GOMAXPROCS=", cores))
		found := map[string]string{}
		for _, packFile := range []string{"pack.yaml", "crates.yaml"} {
			o := rackwright(t, dir, env, "fit", "frame.yaml", packFile, "--time", "10m", "--json", "--out", packFile+".out")
			require.Contains(t, []int{exitFits, exitNoFit}, o.status, o.err)
			require.Contains(t, o.out, `"stopped": "done"`)
			found[packFile] = o.out
			require.NoError(t, filepath.WalkDir(filepath.Join(dir, packFile+".out"), func(path string, e fs.DirEntry, err error) error {
				if err == nil && !e.IsDir() {
					content, rerr := os.ReadFile(path)
					found[packFile+" "+e.Name()], err = string(content), rerr
				}
				return err
			}))
		}
		return found
	}
	one := all(1)
	require.Greater(t, len(one), 6)
	for _, cores := range []int{2, 5} {
		require.Equal(t, one, all(cores), "%d cores", cores)
	}
}

// With little memory allowed the answer is the same; an example stays below 512 MB.
func TestLittleMemory(t *testing.T) {
	dir := crate(t)
	want := fitCrate(t, dir)
	o := rackwright(t, dir, append(os.Environ(), "GOMEMLIMIT=16MiB"), "fit", "frame.yaml", "pack.yaml")
	require.Equal(t, want.out, o.out)

	examples, err := filepath.Abs("../../testdata")
	require.NoError(t, err)
	o = rackwright(t, dir, append(os.Environ(), "GOMEMLIMIT=64MiB"), "fit",
		filepath.Join(examples, "courier/frame.yaml"), filepath.Join(examples, "courier/pack.yaml"), "--time", "3s", "--quiet")
	require.Contains(t, []int{exitFits, exitUnknown}, o.status, o.err)
	require.Less(t, o.memory, int64(512<<10), "KiB")
	t.Logf("courier: %d MiB", o.memory>>10)
}

// As many boxes as a pack may have, with posts and tilts: it ends soon after its time,
// however long all would take, within 512 MB, and tells the best so far.
func TestAsManyBoxesAsAllowed(t *testing.T) {
	dir := t.TempDir()
	posts := repeated(1, "{name: p%d, face: top, at: [30, 2%d], diameter: 8, height: 5}")
	for name, text := range map[string]string{
		"frame.yaml": frameWith(square, "across: 600", ""),
		"pack.yaml":  packWith("{name: b, count: 64, size: [150, 100, 90], stand: [upright, on-side, on-end], posts: [" + posts + "]}"),
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	o := rackwright(t, dir, os.Environ(), "fit", "frame.yaml", "pack.yaml", "--time", "0s", "--json")
	require.Contains(t, []int{exitFits, exitUnknown}, o.status, o.err)
	require.Contains(t, o.out, `"stopped": "time"`)
	require.Contains(t, o.out, `"number": 64`)
	require.Less(t, o.memory, int64(512<<10), "KiB")
	t.Logf("%d MiB", o.memory>>10)
}
