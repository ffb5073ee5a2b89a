package main

import (
	"context"
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
)

// benched is the trail's layout in a folder of its own, read.
func benched(t *testing.T, layout bool) (*benchFiles, bench.Work) {
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
	w, err := b.Read(context.Background(), all)
	require.NoError(t, err)
	return b, w
}

var (
	all        = bench.Parts{Frame: true, Pack: true, Layout: true}
	layoutOnly = bench.Parts{Layout: true}
	frameOnly  = bench.Parts{Frame: true}
)

// kept saves parts of work, all of which have to be in their files then.
func kept(t *testing.T, b *benchFiles, w bench.Work, parts bench.Parts, how bench.Choice) string {
	t.Helper()
	saved, words, err := b.Save(w, parts, how)
	require.NoError(t, err)
	require.Equal(t, parts, saved)
	return words
}

func textOf(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

func put(t *testing.T, path, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

// filesIn are the names of all files in a bench's folder, half-written ones too.
func filesIn(t *testing.T, b *benchFiles) (names []string) {
	t.Helper()
	list, err := os.ReadDir(filepath.Dir(b.paths[0]))
	require.NoError(t, err)
	for _, e := range list {
		names = append(names, e.Name())
	}
	return names
}

// wider is the frame file of the trail with a wider opening.
func wider(t *testing.T, b *benchFiles, w bench.Work) bench.Work {
	t.Helper()
	w.Frame = []byte(strings.Replace(string(w.Frame), "[-105, 115]", "[-107, 115]", 1))
	p, err := b.Problem(context.Background(), w.Frame)
	require.NoError(t, err)
	w.Problem = p
	return w
}

// Saving changes the numbers that are others and nothing else, in the layout and in the frame.
func TestBenchSaves(t *testing.T) {
	b, w := benched(t, true)
	frame, layout := textOf(t, b.paths[0]), textOf(t, b.paths[2])
	require.NoError(t, os.Chmod(b.paths[2], 0o600))
	w.Layout.Placements[0].Centre.X = 117.5
	w = wider(t, b, w)
	words := kept(t, b, w, bench.Parts{Frame: true, Layout: true}, bench.Ask)
	require.Contains(t, words, "frame.yaml and ")
	require.Equal(t, strings.Replace(layout, "[117, 5, 81]", "[117.5, 5, 81]", 1), textOf(t, b.paths[2]))
	require.Equal(t, strings.Replace(frame, "[-105, 115]", "[-107, 115]", 1), textOf(t, b.paths[0]))
	about, err := os.Stat(b.paths[2])
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), about.Mode().Perm(), "who may read it is as before")
	require.Len(t, filesIn(t, b), 3)
}

// A file that is a link is written where it leads.
func TestBenchSavesThroughALink(t *testing.T) {
	b, w := benched(t, true)
	real := filepath.Join(t.TempDir(), "kept-elsewhere.yaml")
	require.NoError(t, os.Rename(b.paths[2], real))
	require.NoError(t, os.Symlink(real, b.paths[2]))
	w.Layout.Placements[0].Centre.X = 117.5
	kept(t, b, w, layoutOnly, bench.Ask)
	require.Contains(t, textOf(t, real), "117.5")
}

// Changed in an editor meanwhile: asked, and each answer does what it says.
func TestBenchAsks(t *testing.T) {
	for part, parts := range map[int]bench.Parts{frameFile: frameOnly, layoutFile: layoutOnly} {
		b, w := benched(t, true)
		was := textOf(t, b.paths[part])
		theirs := was + "# theirs\n"
		w.Layout.Placements[0].Centre.X = 117.5
		w = wider(t, b, w)
		mine := strings.NewReplacer("[117, 5, 81]", "[117.5, 5, 81]", "[-105, 115]", "[-107, 115]").Replace(was)
		ask := func() *bench.ChangedError {
			put(t, b.paths[part], theirs)
			saved, _, err := b.Save(w, parts, bench.Ask)
			asked := new(bench.ChangedError)
			require.ErrorAs(t, err, &asked)
			require.False(t, saved.Any())
			require.Equal(t, theirs, textOf(t, b.paths[part]), "left as it is")
			return asked
		}
		asked := ask()
		require.Equal(t, parts, asked.Parts)
		require.Equal(t, []string{b.paths[part]}, asked.Names)

		// Beside: both are there, and the bench goes on with its own.
		words := kept(t, b, w, parts, bench.Beside)
		require.Contains(t, words, asked.Beside[0])
		require.Equal(t, theirs, textOf(t, asked.Names[0]))
		require.Equal(t, mine, textOf(t, asked.Beside[0]))
		require.Equal(t, asked.Beside[0], b.paths[part])

		// Over: only over what was there when it was asked.
		put(t, b.paths[part], mine)
		ask()
		put(t, b.paths[part], theirs+"# again\n")
		_, _, err := b.Save(w, parts, bench.Over)
		require.ErrorAs(t, err, &asked)
		require.Equal(t, theirs+"# again\n", textOf(t, b.paths[part]))
		kept(t, b, w, parts, bench.Over) // now that was asked
		require.Equal(t, mine, textOf(t, b.paths[part]))

		// Theirs.
		theirs = strings.NewReplacer("[117, 5, 81]", "[118, 5, 81]", "[-105, 115]", "[-101, 115]").Replace(was)
		ask()
		read, err := b.Read(context.Background(), parts)
		require.NoError(t, err)
		if part == layoutFile {
			require.Equal(t, 118.0, read.Layout.Placements[0].Centre.X)
		} else {
			require.Equal(t, theirs, string(read.Frame))
		}
		kept(t, b, w, parts, bench.Ask)

		// Gone.
		require.NoError(t, os.Remove(b.paths[part]))
		_, _, err = b.Save(w, parts, bench.Ask)
		require.ErrorAs(t, err, &asked)
		require.True(t, asked.Gone)
		kept(t, b, w, parts, bench.Beside)
		require.Equal(t, filepath.Base(asked.Names[0]), filepath.Base(b.paths[part]), "its own name is free")
	}
}

func TestBenchSavesANewFile(t *testing.T) {
	b, _ := benched(t, false)
	_, w := benched(t, true)
	put(t, b.paths[2], "# somebody else's\n")
	asked := new(bench.ChangedError)
	_, _, err := b.Save(w, layoutOnly, bench.Ask)
	require.ErrorAs(t, err, &asked)
	require.Equal(t, "# somebody else's\n", textOf(t, b.paths[2]))
	require.NoError(t, os.Remove(b.paths[2]))
	kept(t, b, w, layoutOnly, bench.Ask)
	file, err := readLayout(t.Context(), b.paths[2])
	require.NoError(t, err)
	require.Equal(t, w.Layout.Placements, file.Layout.Placements)
	w.Layout.Placements[0].Pinned = true
	kept(t, b, w, layoutOnly, bench.Ask)
	require.Contains(t, textOf(t, b.paths[2]), "pinned: true", "the second time it is a file like any other")
}

// A layout file with other boxes than the bench can only be written anew: that is asked too.
func TestBenchSavesOtherBoxes(t *testing.T) {
	b, w := benched(t, true)
	was := textOf(t, b.paths[2])
	w.Layout.Placements = w.Layout.Placements[1:]
	asked := new(bench.ChangedError)
	_, _, err := b.Save(w, layoutOnly, bench.Ask)
	require.ErrorAs(t, err, &asked)
	require.True(t, asked.Boxes)
	kept(t, b, w, layoutOnly, bench.Beside)
	require.Equal(t, was, textOf(t, asked.Names[0]))
	file, err := readLayout(t.Context(), asked.Beside[0])
	require.NoError(t, err)
	require.Equal(t, w.Layout.Placements, file.Layout.Placements)
}

// Where a save fails midway the old file is there, and nothing beside it.
func TestBenchSaveThatFails(t *testing.T) {
	for part, parts := range map[int]bench.Parts{frameFile: frameOnly, layoutFile: layoutOnly} {
		b, w := benched(t, true)
		before := textOf(t, b.paths[part])
		w.Layout.Placements[0].Centre.X = 118
		w = wider(t, b, w)
		b.rename = func(string, string) error { return syscall.ENOSPC }
		saved, _, err := b.Save(w, parts, bench.Ask)
		require.ErrorIs(t, err, syscall.ENOSPC)
		require.False(t, saved.Any())
		require.Equal(t, before, textOf(t, b.paths[part]))
		require.Len(t, filesIn(t, b), 3)
		b.rename = os.Rename
		kept(t, b, w, parts, bench.Ask)
	}
}

// A file is told to be changed once, when it rests.
func TestBenchLooksAtFilesThatRest(t *testing.T) {
	b, w := benched(t, true)
	var seen watched
	look := func() bool { return b.look(t.Context(), &seen) }
	require.False(t, look())
	put(t, b.paths[2], "half of")
	require.False(t, look(), "it may be half written")
	put(t, b.paths[2], string(b.read[2])+"# whole\n")
	require.False(t, look())
	require.True(t, look())
	require.False(t, look(), "once")
	require.Equal(t, layoutOnly, b.Changed(all).Parts)
	_, err := b.Read(context.Background(), layoutOnly)
	require.NoError(t, err)
	require.True(t, look(), "what was asked is no longer of interest")
	require.False(t, look())
	w.Layout.Placements[0].Centre.X = 118
	kept(t, b, w, layoutOnly, bench.Ask)
	require.False(t, look(), "what the bench writes itself is no change")
	require.False(t, look())
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
	b, w := benched(t, true)
	frames := [][]byte{w.Frame, wider(t, b, w).Frame}
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
		file, err := readLayout(t.Context(), b.paths[2])
		require.NoError(t, err, "kill %d", i)
		require.Len(t, file.Layout.Placements, len(w.Layout.Placements))
		now := textOf(t, b.paths[0])
		require.True(t, now == string(frames[0]) || now == string(frames[1]), "kill %d left a frame that was never saved", i)
	}
}

func saveForEver(t *testing.T, dir string) {
	b, err := (&benchFlags{}).files([]string{filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml"), filepath.Join(dir, "rack-layout.yaml")})
	require.NoError(t, err)
	w, err := b.Read(context.Background(), all)
	require.NoError(t, err)
	works := []bench.Work{w, wider(t, b, w)}
	os.Stdout.WriteString("s")
	for i := 0; ; i++ {
		w := works[i%2]
		w.Layout.Placements[i%len(w.Layout.Placements)].Centre.Y = float64(i % 1000)
		if _, _, err := b.Save(w, bench.Parts{Frame: true, Layout: true}, bench.Ask); err != nil {
			os.Exit(1)
		}
	}
}
