package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// largeFiles are files within the limits that ask for far more than there is time for.
func largeFiles() map[string][2]string {
	everyWay := "stand: [upright, on-side, on-end, inverted]"
	post := "{name: p%d, face: top, at: [%d0, %d0], diameter: 5, height: 10}"
	var posts, kinds, rails []string
	for i := range 12 {
		posts = append(posts, fmt.Sprintf(post, i, 1+i%9, 1+i%7))
	}
	for k := range 64 {
		kinds = append(kinds, fmt.Sprintf("{name: k%d, size: [%d, %d, %d], %s, posts: [%s]}", k, 120+k, 100+k, 100+2*k, everyWay, strings.Join(posts, ", ")))
	}
	for r := range 64 {
		var path []string
		for i := range 32 {
			path = append(path, fmt.Sprintf("[%d, %d, %d]", 10+28*i, -440+13*r, 5+(i*37+r*11)%40))
		}
		rails = append(rails, fmt.Sprintf("{name: r%d, path: [%s], diameter: 6}", r, strings.Join(path, ", ")))
	}
	const mounts = ", mounts: [{name: low, at: [20, 200, 20], bolt: M10, faces: front, holds: hole, mirror: true}, {name: high, at: [880, 200, 20], bolt: M10, faces: back, holds: hole, mirror: true}]"
	moving := func(how string) string {
		var all []string
		for i := range 12 {
			var drums []string
			for j := range 8 {
				drums = append(drums, fmt.Sprintf("{round: {from: [%d, %d, %d], to: [%d, %d, %d], diameter: %d}}",
					100+60*j, -400+70*i, 50+20*j, 160+60*j, -380+70*i, 90+20*j, 60+5*j))
			}
			all = append(all, fmt.Sprintf("{name: m%d, "+how+", parts: [%s]}", i, strings.Join(drums, ", ")))
		}
		return frameWith(square, "across: 900", mounts+", moving: ["+strings.Join(all, ", ")+"]")
	}
	eight := packWith("{name: b, count: 8, size: [197, 165, 170], " + everyWay + "}")
	plain := frameWith(square, "across: 900", mounts)
	return map[string][2]string{
		"64 kinds with 12 posts": {plain, packWith(strings.Join(kinds, ", "))},
		"64 rails of 32 points":  {frameWith(square, "across: 900", ", rails: ["+strings.Join(rails, ", ")+"]"), packWith("{name: b, count: 4, size: [197, 165, 170]}")},
		"drums that turn":        {moving("turn: {about: [400, 0, 450], along: [-0.4, 0.3, 1], from: -40, to: 50}"), eight},
		"drums that slide":       {moving("slide: {along: [-0.4, 0.1, 1], from: 0, to: 200}"), eight},
		"50 boxes":               {plain, packWith("{name: b, count: 50, size: [197, 165, 170], " + everyWay + "}")},
		"64 boxes with 10 tilts": {plain, packWith("{name: b, count: 64, size: [97, 65, 70], " + everyWay + ", tilt: [-40, -30, -20, -10, 0, 5, 10, 20, 30, 40]}")},
	}
}

// allotted is all the time that a command has for what it does one after the other, with a limit of 100 ms:
// the search, how what it found goes in, what follows from it, what is for the page alone, and twice files.
const allotted = 100*time.Millisecond + overdueSearch + overdueEntry + overdueAdvice + overduePage + 2*overdueFiles

// Whatever the files say, each command ends with what it has when its time is up, and files are made
// in as much again. That is told in processor time on two cores, of which a command gets no more than twice
// what it is allotted, however slow the machine is and whatever else it does; thrice that is for what
// cannot be left half done, such as reading. A command that does not see to its time takes minutes, and
// is ended after that. RACKWRIGHT_LONG=1 takes all files, and report, check and rack as well as fit.
func TestLargeFilesEndWithTheirTime(t *testing.T) {
	const most = 3 * 2 * allotted
	for name, files := range largeFiles() {
		t.Run(name, func(t *testing.T) {
			if !long() && name != "64 kinds with 12 posts" && name != "64 rails of 32 points" {
				t.Skip("RACKWRIGHT_LONG=1 takes it")
			}
			dir := t.TempDir()
			put(t, filepath.Join(dir, "frame.yaml"), files[0])
			put(t, filepath.Join(dir, "pack.yaml"), files[1])
			ends := func(args ...string) string {
				t.Helper()
				limit := fmt.Sprintf(`ulimit -t %d; exec "$0" "$@"`, int(most.Seconds()))
				cmd := exec.Command("sh", append([]string{"-c", limit, built(t), args[0], "frame.yaml", "pack.yaml"}, args[1:]...)...)
				var out, errs bytes.Buffer
				cmd.Dir, cmd.Stdout, cmd.Stderr, cmd.Env = dir, &out, &errs, append(os.Environ(), "GOMAXPROCS=2")
				_ = cmd.Run()
				took := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
				require.GreaterOrEqual(t, cmd.ProcessState.ExitCode(), 0, "%v was ended after %v", args, took)
				if args[0] != "rack" { // which has its reasons
					require.Empty(t, errs.String(), args)
				}
				t.Logf("%v: %v", args, took)
				return out.String()
			}
			require.Contains(t, ends("fit", "--time", "100ms", "--json", "--out", "fitted"), `"stopped": "time"`)
			if !long() {
				return
			}
			ends("report", "--time", "100ms", "--out", "reported")
			layout := filepath.Join("fitted", "layout-1.yaml")
			if _, err := os.Stat(filepath.Join(dir, layout)); err != nil {
				return // nothing was found
			}
			ends("check", layout)
			ends("report", layout, "--out", "drawn")
			ends("rack", layout, "--time", "100ms", "--out", "racked")
		})
	}
}

// A signal ends the program while it waits for a pipe that nobody writes to, whichever of its files that is.
// It is sent once, when the program has opened the pipe, or rather: when this test could, for writing, as it
// can only once somebody reads. All command lines wait at the same time.
func TestSignalWhileAPipeIsRead(t *testing.T) {
	for _, line := range []string{
		"fit PIPE pack", "fit frame PIPE", "fit frame pack --pin PIPE", "fit PIPE pack --sweep boxes.block.size.H_1..2",
		"check PIPE pack layout", "check frame PIPE layout", "check frame pack PIPE",
		"check frame pack layout --rack PIPE", "check frame pack layout --rack rack --stock PIPE", "check frame pack --proof PIPE",
		"mock PIPE pack", "mock frame pack PIPE",
		"report PIPE pack", "report frame pack PIPE", "report frame pack layout --rack PIPE", "report frame pack layout --rack rack --stock PIPE",
		"balance PIPE pack", "balance frame pack PIPE", "survey PIPE", "survey PIPE --plan",
		"wire PIPE pack layout", "wire frame pack PIPE", "wire frame pack layout --rack PIPE",
		"rack PIPE pack layout", "rack frame pack PIPE", "rack frame pack layout --stock PIPE",
		"compare PIPE catalogue --want 1kWh", "compare frame PIPE --want 1kWh", "compare frame catalogue --with PIPE --want 1kWh",
		"compare frame catalogue PIPE --merge --want 1kWh",
		"bench PIPE pack --no-open", "bench frame PIPE --no-open", "bench frame pack PIPE --no-open",
	} {
		t.Run(line, func(t *testing.T) {
			t.Parallel()
			dir := ofTrail(t)
			pipe := filepath.Join(dir, "pipe.yaml")
			require.NoError(t, syscall.Mkfifo(pipe, 0o600))
			cmd := exec.Command(built(t), argsOf(line)...)
			var errs bytes.Buffer
			cmd.Dir, cmd.Stderr = dir, &errs
			require.NoError(t, cmd.Start())
			ended := make(chan error, 1)
			go func() { ended <- cmd.Wait() }()
			read := func() bool { // it listens to signals before it reads anything
				end, err := os.OpenFile(pipe, os.O_WRONLY|syscall.O_NONBLOCK, 0)
				if err == nil {
					t.Cleanup(func() { end.Close() })
				}
				return err == nil
			}
			require.Eventually(t, read, time.Minute, 20*time.Millisecond, "the pipe is not read: %s", &errs)
			require.NoError(t, cmd.Process.Signal(os.Interrupt))
			select {
			case err := <-ended:
				require.Error(t, err)
				require.Equal(t, exitUnknown, cmd.ProcessState.ExitCode())
				require.Contains(t, errs.String(), errStopped.Error())
			case <-time.After(time.Minute):
				_ = cmd.Process.Kill()
				t.Fatal("it waits for ever")
			}
		})
	}
}

// argsOf are the words of a command line whose files are named without their endings, with _ for a space
// within a word.
func argsOf(line string) []string {
	names := map[string]string{"PIPE": "pipe.yaml", "frame": "frame.yaml", "pack": "pack.yaml", "layout": "layout.yaml", "rack": "rack.yaml", "catalogue": "catalogue.yaml"}
	args := strings.Fields(line)
	for i, word := range args {
		if name, is := names[word]; is && i > 0 {
			word = name
		}
		args[i] = strings.ReplaceAll(word, "_", " ")
	}
	return args
}

// ofTrail is a folder with the files of an example: frame, pack, a layout, its rack, a catalogue.
func ofTrail(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for name, from := range map[string]string{
		"frame.yaml": "../../testdata/trail/frame.yaml", "pack.yaml": "../../testdata/trail/pack.yaml", "layout.yaml": "../../testdata/trail/rack-layout.yaml",
		"rack.yaml": "../../pack/rack/judge/testdata/trail-rack.yaml", "catalogue.yaml": "starter/catalogue.yaml",
	} {
		put(t, filepath.Join(dir, name), textOf(t, from))
	}
	return dir
}

// built is the path of the program.
func built(t *testing.T) string {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	return path
}

// A second signal ends the program at once, by the signal itself: while it searches, and while it
// waits for a pipe that nobody writes to. Signals are sent until it has ended, for one that comes
// before the first was seen to is none; so it is asked how it ended, and not how soon. Where the
// machine is so busy that the program ends by itself between two of them, it is tried again.
func TestSecondSignalEndsAtOnce(t *testing.T) {
	dir := crate(t)
	require.Contains(t, largeFiles(), "64 kinds with 12 posts")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "large.yaml"), []byte(largeFiles()["64 kinds with 12 posts"][1]), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "bay.yaml"), []byte(largeFiles()["64 kinds with 12 posts"][0]), 0o600))
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe.yaml"), 0o600))
	for _, args := range [][]string{
		{"fit", "bay.yaml", "large.yaml", "--time", "10m"},
		{"fit", "pipe.yaml", "pack.yaml"},
	} {
		ended := false
		for try := 0; try < 10 && !ended; try++ {
			ended = endedBySignal(t, dir, args)
		}
		require.True(t, ended, "%v never ended by the signal", args)
	}
}

// endedBySignal starts the program, interrupts it until it has ended, and tells whether that was by
// a signal after the first one had been taken.
func endedBySignal(t *testing.T, dir string, args []string) bool {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	cmd := exec.Command(path, args...)
	cmd.Dir = dir
	require.NoError(t, cmd.Start())
	done := make(chan struct{})
	go func() {
		_ = cmd.Wait()
		close(done)
	}()
	sent := 0
	for pause := time.Second; ; pause = 20 * time.Millisecond { // at first until it listens to signals
		select {
		case <-done:
			status, ok := cmd.ProcessState.Sys().(syscall.WaitStatus)
			return ok && status.Signaled() && status.Signal() == syscall.SIGINT && sent > 1
		case <-time.After(pause):
			_ = cmd.Process.Signal(os.Interrupt)
			sent++
		}
	}
}
