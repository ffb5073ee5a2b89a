package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
)

// running is the bench as a program, asked as its page asks.
type running struct {
	cmd     *exec.Cmd
	address *url.URL
	dir     string
}

func runBench(t *testing.T, more ...string) running {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	b, _ := benched(t, true)
	r := running{cmd: exec.Command(path, append([]string{"bench", "frame.yaml", "pack.yaml", "--no-open"}, more...)...), dir: filepath.Dir(b.paths[0])}
	r.cmd.Dir = r.dir
	out, err := r.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, r.cmd.Start())
	t.Cleanup(func() { _ = r.cmd.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	_, address, is := strings.Cut(strings.TrimSpace(line), "The bench is at ")
	require.True(t, is, line)
	r.address, err = url.Parse(address)
	require.NoError(t, err)
	return r
}

// ask asks as the page does, and returns the state that is answered.
func (r running) ask(t *testing.T, what, body string) bench.State {
	t.Helper()
	to := *r.address
	to.Path, to.RawQuery = "/"+what, ""
	ask, err := http.NewRequest(http.MethodPost, to.String(), strings.NewReader(body))
	require.NoError(t, err)
	ask.Header.Set("X-Token", r.address.Query().Get("token"))
	answer, err := http.DefaultClient.Do(ask)
	require.NoError(t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	var s bench.State
	require.NoError(t, json.Unmarshal(text, &s), string(text))
	return s
}

// The program from its address to Ctrl-C: a box moved, saved, the file changed in an editor and read
// again, changed in both places and asked.
func TestBenchAsAProgram(t *testing.T) {
	r := runBench(t, "rack-layout.yaml")
	require.Equal(t, "127.0.0.1", r.address.Hostname())
	path := filepath.Join(r.dir, "rack-layout.yaml")
	before := textOf(t, path)
	const up = `[{"box":"block","number":5,"centre":[327,5,251.5],"begins":true}]`

	require.True(t, r.ask(t, "moves", up).Unsaved)
	require.False(t, r.ask(t, "save", "{}").Unsaved)
	saved := strings.Replace(before, "[327, 5, 248]", "[327, 5, 251.5]", 1)
	require.Equal(t, saved, textOf(t, path))

	put(t, path, saved+"# edited\n")
	scene := func() bench.State { return r.ask(t, "stop", "{}") } // changes nothing
	require.Eventually(t, func() bool { return strings.Contains(scene().Saying, "read again") }, time.Minute, 100*time.Millisecond)

	require.True(t, r.ask(t, "moves", strings.Replace(up, "251.5", "252", 1)).Unsaved)
	put(t, path, saved+"# edited again\n")
	require.Eventually(t, func() bool { return scene().Question != nil }, time.Minute, 100*time.Millisecond)
	require.NotNil(t, r.ask(t, "save", "{}").Question)
	require.Equal(t, saved+"# edited again\n", textOf(t, path))
	require.Nil(t, r.ask(t, "answer", `"beside"`).Question)
	require.Equal(t, saved+"# edited again\n", textOf(t, path))
	require.Equal(t, strings.Replace(saved, "251.5", "252", 1)+"# edited\n", textOf(t, filepath.Join(r.dir, "rack-layout-mine.yaml")))

	require.NoError(t, r.cmd.Process.Signal(os.Interrupt))
	require.NoError(t, r.cmd.Wait(), "Ctrl-C ends it, with 0")
}

// Without a layout the bench begins with what a search finds, which is in no file yet.
func TestBenchWithoutALayout(t *testing.T) {
	r := runBench(t, "--time", "1s")
	require.True(t, r.ask(t, "stop", "{}").Unsaved)
	require.NoFileExists(t, filepath.Join(r.dir, "by-hand.yaml"))
	require.False(t, r.ask(t, "save", "{}").Unsaved)
	file, err := readLayout(t.Context(), filepath.Join(r.dir, "by-hand.yaml"))
	require.NoError(t, err)
	require.Len(t, file.Layout.FrameHash, 64)
}

// On a full disk both files are as they were, it is said, and a save is possible once there is room.
func TestBenchOnAFullDisk(t *testing.T) {
	b, w := benched(t, true)
	full := mounted(t, "size=24k") // six pages
	for i, path := range b.paths {
		put(t, filepath.Join(full, filepath.Base(path)), textOf(t, path))
		b.paths[i] = filepath.Join(full, filepath.Base(path))
	}
	fill := filepath.Join(full, "fill")
	require.ErrorIs(t, os.WriteFile(fill, bytes.Repeat([]byte("x"), 1<<20), 0o600), syscall.ENOSPC)
	w.Layout.Placements[0].Centre.X = 117.5
	w = wider(t, b, w)
	for _, parts := range []bench.Parts{frameOnly, layoutOnly} {
		before := [2]string{textOf(t, b.paths[frameFile]), textOf(t, b.paths[layoutFile])}
		saved, _, err := b.Save(w, parts, bench.Ask)
		require.ErrorIs(t, err, syscall.ENOSPC)
		require.False(t, saved.Any())
		require.Equal(t, before, [2]string{textOf(t, b.paths[frameFile]), textOf(t, b.paths[layoutFile])})
		require.Len(t, filesIn(t, b), 4)
	}
	require.NoError(t, os.Remove(fill))
	kept(t, b, w, bench.Parts{Frame: true, Layout: true}, bench.Ask)
}
