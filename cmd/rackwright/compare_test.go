package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// shop is a catalogue with what goes in, what does not, and what takes the search to its end.
const shop = `name,length,width,height,mass,volts,amp_hours,price
small,90,70,50,1.2,12,7,20
large,120,75,50,1.9,12,9,30
thin,40,70,50,0.6,12,3,15
odd,61,37,29,0.4,12,2,9
`

// comparison writes the files of a comparison into a new folder, and returns the command line.
func comparison(t *testing.T) (dir string, args []string) {
	t.Helper()
	dir = t.TempDir()
	for name, text := range map[string]string{"crate.yaml": crateFrame, "shop.csv": shop} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	return dir, []string{"compare", filepath.Join(dir, "crate.yaml"), filepath.Join(dir, "shop.csv"), "--want", "12-24 V, 40 Wh", "--time", "30ms"}
}

// did runs a command line and returns what it printed.
func did(t *testing.T, ctx context.Context, args ...string) (out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	run(ctx, args, streams{out: &o, err: &e})
	return o.String(), e.String()
}

// holds are the contents of all files of a folder, but for parts.
func holds(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), "rows-") {
			return err
		}
		text, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		all[rel] = string(text)
		return err
	}))
	return all
}

// Wherever a run was stopped, even in the middle of a line, it goes on and ends with the same bytes.
func TestComparisonGoesOn(t *testing.T) {
	dir, args := comparison(t)
	whole := filepath.Join(dir, "whole")
	_, errs := did(t, t.Context(), append(args, "--out", whole, "--quiet")...)
	require.Empty(t, errs)
	want := holds(t, whole)
	require.Greater(t, len(want), 30)
	rows := want["rows.jsonl"]
	lines := strings.SplitAfter(rows, "\n")
	// Lines are written as rows are done, in any order.
	shuffled := lines[0] + lines[3] + lines[2] + lines[len(lines)-2]
	for i, left := range []string{"", rows[:20], lines[0], shuffled, shuffled + lines[1][:len(lines[1])/2], rows[:len(rows)-1], rows} {
		out := filepath.Join(dir, fmt.Sprint("left", i))
		require.NoError(t, os.Mkdir(out, 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(out, "rows.jsonl"), []byte(left), 0o600))
		_, errs := did(t, t.Context(), append(args, "--out", out, "--quiet")...)
		require.Empty(t, errs)
		require.Equal(t, want, holds(t, out), "%d", i)
	}
}

// A run that is cancelled says how to go on, keeps what it has, and ends with the same bytes the next
// time.
func TestComparisonStopped(t *testing.T) {
	dir, args := comparison(t)
	whole, cut := filepath.Join(dir, "whole"), filepath.Join(dir, "cut")
	did(t, t.Context(), append(args, "--out", whole, "--quiet")...)
	stopped := 0
	for after := time.Millisecond; ; after *= 2 {
		ctx, cancel := context.WithTimeout(t.Context(), after)
		_, errs := did(t, ctx, append(args, "--out", cut, "--quiet")...)
		cancel()
		if errs == "" {
			break
		}
		require.Contains(t, errs, "the same command goes on from here")
		require.NoFileExists(t, filepath.Join(cut, "compare.html"))
		stopped++
	}
	require.Positive(t, stopped)
	require.Equal(t, holds(t, whole), holds(t, cut))
}

// Sixteen parts put together are one run, byte for byte: in files and printed; one part that was
// forgotten is named.
func TestComparisonInParts(t *testing.T) {
	dir, args := comparison(t)
	one, parts := filepath.Join(dir, "one"), filepath.Join(dir, "parts")
	want, _ := did(t, t.Context(), append(args, "--out", one, "--json")...)
	for part := 1; part <= 16; part++ {
		if part == 16 {
			_, errs := did(t, t.Context(), append(args, "--out", parts, "--merge")...)
			require.Contains(t, errs, "part 16/16: run that part again")
		}
		_, errs := did(t, t.Context(), append(args, "--out", parts, "--shard", fmt.Sprintf("%d/16", part), "--quiet")...)
		require.Empty(t, errs)
	}
	got, errs := did(t, t.Context(), append(args, "--out", parts, "--merge", "--json")...)
	require.Empty(t, errs)
	require.Equal(t, want, got)
	require.Equal(t, holds(t, one), holds(t, parts))

	// Named files do as well, and need no folder.
	named, err := filepath.Glob(filepath.Join(parts, "rows-*"))
	require.NoError(t, err)
	require.Len(t, named, 16)
	got, _ = did(t, t.Context(), append(append(args[:3:3], named...), append(args[3:], "--merge", "--json")...)...)
	require.Equal(t, want, got)
}
