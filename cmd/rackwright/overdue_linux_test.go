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

// Whatever the files say, each command ends with what it has when its time is up, and files are made
// in as much again. What it takes is told in processor time, for the machine may be busy: a hundred
// times what it is given. RACKWRIGHT_LONG=1 takes report, check and rack as well as fit.
func TestLargeFilesEndWithTheirTime(t *testing.T) {
	for name, files := range largeFiles() {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "frame.yaml"), []byte(files[0]), 0o600))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "pack.yaml"), []byte(files[1]), 0o600))
			ends := func(args ...string) string {
				t.Helper()
				path, err := program()
				require.NoError(t, err)
				cmd := exec.Command(path, append(args[:1:1], append([]string{"frame.yaml", "pack.yaml"}, args[1:]...)...)...)
				var out, errs bytes.Buffer
				cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
				_ = cmd.Run()
				if args[0] != "rack" { // which has its reasons
					require.Empty(t, errs.String(), args)
				}
				took := cmd.ProcessState.UserTime()
				require.Less(t, took, 10*time.Second, args)
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

// A signal ends the program while it waits for a pipe that nobody writes to.
func TestSignalWhileAPipeIsRead(t *testing.T) {
	dir := crate(t)
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe.yaml"), 0o600))
	for _, command := range []string{"fit", "check", "mock", "report"} {
		path, err := program()
		require.NoError(t, err)
		args := []string{command, "pipe.yaml", "pack.yaml"}
		if command == "check" {
			args = append(args, "layout.yaml")
		}
		cmd := exec.Command(path, args...)
		var errs bytes.Buffer
		cmd.Dir, cmd.Stderr = dir, &errs
		require.NoError(t, cmd.Start())
		time.Sleep(500 * time.Millisecond) // until it listens to signals
		require.NoError(t, cmd.Process.Signal(os.Interrupt))
		require.Error(t, cmd.Wait())
		if cmd.ProcessState.ExitCode() >= 0 { // else the signal came before it listened
			require.Contains(t, errs.String(), "stopped before there was an answer", command)
		}
	}
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
