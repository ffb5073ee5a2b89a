package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/pack"
)

// repeated is n copies of a text, with its number for %d, and commas between.
func repeated(n int, text string) string {
	var all []string
	for i := range n {
		all = append(all, strings.ReplaceAll(text, "%d", fmt.Sprint(i)))
	}
	return strings.Join(all, ", ")
}

// zigzag is an outline with n corners, n even.
func zigzag(n int) string {
	var top, bottom []string
	for i := range n / 2 {
		bottom = append(bottom, fmt.Sprintf("[%d, %d]", 10*i, i%2))
		top = append([]string{fmt.Sprintf("[%d, %d]", 10*i, 500+i%2)}, top...)
	}
	return strings.Join(append(bottom, top...), ", ")
}

func frameWith(outline, across, more string) string {
	return fmt.Sprintf("{format: 1, frame: f, opening: {outline: [%s], %s}%s}", outline, across, more)
}

func packWith(boxes string) string {
	return fmt.Sprintf("{format: 1, pack: p, boxes: [%s]}", boxes)
}

const square = "[0, 0], [900, 0], [900, 900], [0, 900]"

// Every limit of help/limits.md: at the limit a file is accepted, beyond it refused with an
// error that names place, number and limit, and nothing is done.
func TestLimits(t *testing.T) {
	plainFrame, plainPack := frameWith(square, "across: 900", ""), packWith("{name: b, size: [10, 10, 10]}")
	inFrame := func(more string) [2]string { return [2]string{frameWith(square, "across: 900", ", "+more), plainPack} }
	inPack := func(boxes string) [2]string { return [2]string{plainFrame, packWith(boxes)} }
	for name, c := range map[string]struct {
		most  int
		files func(n int) [2]string
		words string
	}{
		"corners": {frame.MaxCorners, func(n int) [2]string {
			return [2]string{frameWith(zigzag(n+n%2), "across: 900", ""), plainPack}
		}, "corners are more than the 64"},
		"stations": {frame.MaxStations, func(n int) [2]string {
			return [2]string{frameWith(square, "stations: ["+repeated(n, "{z: %d, across: 900}")+"]", ""), plainPack}
		}, "33 stations are more than the 32"},
		"rails": {frame.MaxRails, func(n int) [2]string {
			return inFrame("rails: [" + repeated(n, "{name: r%d, path: [[0, 0, 0], [9, 0, 0]], diameter: 5}") + "]")
		}, "65 rails are more than the 64"},
		"points of a rail": {frame.MaxPath, func(n int) [2]string {
			return inFrame("rails: [{name: r, path: [" + repeated(n, "[%d, 0, 0]") + "], diameter: 5}]")
		}, "33 points are more than the 32"},
		"keep-outs": {frame.MaxKeepOuts, func(n int) [2]string {
			return inFrame("keepouts: [" + repeated(n, "{name: k%d, box: {low: [0, 0, 0], high: [1, 1, 1]}}") + "]")
		}, "65 keep-outs are more than the 64"},
		"mounts": {frame.MaxMounts, func(n int) [2]string {
			return inFrame("mounts: [" + repeated(n, "{name: m%d, at: [0, 0, 0]}") + "]")
		}, "65 mounts are more than the 64"},
		"diameter": {frame.MaxDiameter, func(n int) [2]string {
			return inFrame(fmt.Sprintf("rails: [{name: r, path: [[0, 0, 0], [9, 0, 0]], diameter: %d}]", n))
		}, "to 4000 mm, not 4001"},
		"coordinate": {strict.MaxLength, func(n int) [2]string {
			return inFrame(fmt.Sprintf("mounts: [{name: m, at: [%d, 0, 0]}]", n))
		}, "beyond ±16 m"},
		"name": {strict.MaxName, func(n int) [2]string {
			return inPack("{name: " + strings.Repeat("b", n) + ", size: [10, 10, 10]}")
		}, "at most 60 characters"},
		"kinds": {pack.MaxKinds, func(n int) [2]string {
			return inPack(repeated(n, "{name: b%d, size: [10, 10, 10]}"))
		}, "65 kinds of boxes are more than the 64"},
		"boxes of a kind": {pack.MaxBoxes, func(n int) [2]string {
			return inPack(fmt.Sprintf("{name: b, count: %d, size: [10, 10, 10]}", n))
		}, "from 1 to 64, not 65"},
		"boxes in all": {pack.MaxBoxes - 60, func(n int) [2]string {
			return inPack(fmt.Sprintf("{name: a, count: %d, size: [9, 9, 9]}, {name: b, count: 60, size: [10, 10, 10]}", n))
		}, "65 boxes in all are more than the 64"},
		"posts": {pack.MaxPosts, func(n int) [2]string {
			return inPack("{name: b, size: [100, 10, 10], posts: [" + repeated(n, "{name: p%d, face: top, at: [5, 5], diameter: 2}") + "]}")
		}, "13 posts are more than the 12"},
		"tilts": {pack.MaxTilts, func(n int) [2]string {
			return inPack("{name: b, size: [10, 10, 10], tilt: [" + repeated(n, "%d") + "]}")
		}, "there are 1 to 10 tilts, not 11"},
		"tilt": {pack.MaxTilt, func(n int) [2]string {
			return inPack(fmt.Sprintf("{name: b, size: [10, 10, 10], tilt: %d}", n))
		}, "a tilt is within ±60 degrees"},
		"size": {pack.MaxSize, func(n int) [2]string {
			return inPack(fmt.Sprintf("{name: b, size: [%d, 10, 10]}", n))
		}, "to 4000, not 4001"},
		"gap": {pack.MaxGap, func(n int) [2]string {
			return [2]string{plainFrame, fmt.Sprintf("{format: 1, pack: p, gaps: {post: %d}, boxes: [{name: b, size: [10, 10, 10]}]}", n)}
		}, "from 0 to 1000, not 1001"},
		"mass": {strict.MaxMass, func(n int) [2]string {
			return inPack(fmt.Sprintf("{name: b, size: [10, 10, 10], mass: %d}", n))
		}, "from 0 to 5000 kg"},
		"size of a file": {strict.MaxSize, func(n int) [2]string {
			return [2]string{plainFrame + strings.Repeat("\n", n-len(plainFrame)), plainPack}
		}, "256"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			paths := []string{filepath.Join(dir, "frame.yaml"), filepath.Join(dir, "pack.yaml")}
			put := func(files [2]string) {
				for i, text := range files {
					require.NoError(t, os.WriteFile(paths[i], []byte(text), 0o600))
				}
			}
			put(c.files(c.most))
			_, err := problem(t.Context(), paths[0], paths[1])
			require.NoError(t, err)
			put(c.files(c.most + 1))
			var out, errs bytes.Buffer
			require.Equal(t, exitUsage, run(context.Background(), append([]string{"fit"}, paths...), streams{out: &out, err: &errs}))
			require.Empty(t, out.String())
			require.Contains(t, errs.String(), c.words)
			require.Regexp(t, `\.yaml:\d+:\d+: |\.yaml: `, errs.String(), "the place")
		})
	}
}

// What each file allows, but both together do not, is refused at once.
func TestLimitOfBothFilesTogether(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "frame.yaml")
	require.NoError(t, os.WriteFile(path, []byte(frameWith(square, "across: 900", ", rails: ["+
		repeated(frame.MaxRails, "{name: r%d, path: ["+repeated(frame.MaxPath, "[%d, 0, 0]")+"], diameter: 5}")+"]")), 0o600))
	packPath := filepath.Join(dir, "pack.yaml")
	require.NoError(t, os.WriteFile(packPath, []byte(packWith("{name: b, size: [100, 90, 80], stand: [upright, on-side, on-end, inverted], tilt: [0, 1, 2, 3, 4, 5, 6, 7, 8]}")), 0o600))
	var out, errs bytes.Buffer
	require.Equal(t, exitUsage, run(context.Background(), []string{"fit", path, packPath}, streams{out: &out, err: &errs}))
	require.Contains(t, errs.String(), "allow fewer tilts or stands")
}
