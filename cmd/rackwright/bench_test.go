package main

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/export/bench"
	"rackwright/pack"
)

// benched is the trail's layout in a folder of its own, read.
func benched(t *testing.T, layout bool) (*benchFiles, pack.Layout) {
	dir := t.TempDir()
	for _, name := range []string{"frame.yaml", "pack.yaml", "rack-layout.yaml"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "trail", name))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), text, 0o644))
	}
	args := []string{filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml"), filepath.Join(dir, "rack-layout.yaml")}
	if !layout {
		args = args[:2]
	}
	b, err := (&benchFlags{save: filepath.Join(dir, "by-hand.yaml")}).files(args)
	require.NoError(t, err)
	_, l, err := b.read(context.Background())
	require.NoError(t, err)
	return b, l
}

func TestBenchSaves(t *testing.T) {
	b, l := benched(t, true)
	before, err := os.ReadFile(b.paths[2])
	require.NoError(t, err)
	l.Placements[0].Centre.X = 117.5
	require.NoError(t, b.save(l))
	after, err := os.ReadFile(b.paths[2])
	require.NoError(t, err)
	require.Equal(t, strings.Replace(string(before), "[117, 5, 81]", "[117.5, 5, 81]", 1), string(after))

	// Changed in an editor meanwhile: told, and left as it is.
	edited := append(after, []byte("# mine\n")...)
	require.NoError(t, os.WriteFile(b.paths[2], edited, 0o644))
	l.Placements[0].Centre.X = 118
	require.ErrorIs(t, b.save(l), bench.ErrChanged)
	now, err := os.ReadFile(b.paths[2])
	require.NoError(t, err)
	require.Equal(t, edited, now)
	_, again, err := b.read(context.Background())
	require.NoError(t, err)
	require.Equal(t, 117.5, again.Placements[0].Centre.X)
	require.NoError(t, b.save(l))
}

func TestBenchSavesANewFile(t *testing.T) {
	b, _ := benched(t, false)
	_, l := benched(t, true)
	require.NoError(t, os.WriteFile(b.paths[2], []byte("# somebody else's\n"), 0o644))
	require.ErrorIs(t, b.save(l), bench.ErrChanged)
	require.NoError(t, os.Remove(b.paths[2]))
	require.NoError(t, b.save(l))
	file, err := readLayout(b.paths[2])
	require.NoError(t, err)
	require.Equal(t, l.Placements, file.Layout.Placements)
	l.Placements[0].Pinned = true
	require.NoError(t, b.save(l), "the second time it is a file like any other")
}

// Where a save fails midway the old file is there, and nothing beside it.
func TestBenchSaveThatFails(t *testing.T) {
	b, l := benched(t, true)
	before, err := os.ReadFile(b.paths[2])
	require.NoError(t, err)
	l.Placements[0].Centre.X = 118
	b.rename = func(string, string) error { return syscall.ENOSPC }
	require.ErrorIs(t, b.save(l), syscall.ENOSPC)
	now, err := os.ReadFile(b.paths[2])
	require.NoError(t, err)
	require.Equal(t, before, now)
	left, err := os.ReadDir(filepath.Dir(b.paths[2]))
	require.NoError(t, err)
	require.Len(t, left, 3)
}

// A program that is killed while it saves leaves the old file or the new one. The child saves
// without end; RACKWRIGHT_KILLS=1000 kills that many.
func TestBenchKilledWhileSaving(t *testing.T) {
	if dir := os.Getenv("RACKWRIGHT_SAVING"); dir != "" {
		saveForEver(t, dir)
	}
	kills := 20
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_KILLS")); err == nil {
		kills = n
	}
	b, l := benched(t, true)
	for i := range kills {
		child := exec.Command(os.Args[0], "-test.run", "^TestBenchKilledWhileSaving$")
		child.Env = append(os.Environ(), "RACKWRIGHT_SAVING="+filepath.Dir(b.paths[2]))
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		_, err = out.Read(make([]byte, 1)) // it has begun
		require.NoError(t, err)
		time.Sleep(time.Duration(i%17) * 300 * time.Microsecond)
		require.NoError(t, child.Process.Kill())
		require.Error(t, child.Wait())
		file, err := readLayout(b.paths[2])
		require.NoError(t, err, "kill %d", i)
		require.Len(t, file.Layout.Placements, len(l.Placements))
	}
}

func saveForEver(t *testing.T, dir string) {
	b, err := (&benchFlags{}).files([]string{filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml"), filepath.Join(dir, "rack-layout.yaml")})
	require.NoError(t, err)
	_, l, err := b.read(context.Background())
	require.NoError(t, err)
	os.Stdout.WriteString("s")
	for i := 0; ; i++ {
		l.Placements[i%len(l.Placements)].Centre.Y = float64(i % 1000)
		if err := b.save(l); err != nil && !errors.Is(err, bench.ErrChanged) {
			os.Exit(1)
		}
	}
}
