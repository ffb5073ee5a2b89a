package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever fit writes, the other commands read: at the limits of what files may say, openings of 32 m
// that boxes leave by longer moves than any coordinate, tilted ones too, and layouts that overlap at
// the far end of the range. Without RACKWRIGHT_LONG two of the four, one layout
// each.
func TestWrittenLayoutsAreReadAgain(t *testing.T) {
	wide := frameWith("[-16000, -16000], [16000, -16000], [16000, 16000], [-16000, 16000]", "across: [-16000, 16000]", "")
	corner := frameWith("[15900, 15900], [16000, 15900], [16000, 16000], [15900, 16000]", "across: [15900, 16000]", "")
	large := "{name: b, count: 6, size: [4000, 3000, 4000]}"
	tilted := "{name: b, size: [4000, 3000, 2000], tilt: [-60, 57]}, {name: p, size: [100, 100, 100], tilt: [45], posts: [{name: plus, face: top, at: [50, 50], diameter: 10, height: 90}]}"
	for name, c := range map[string]struct{ frame, boxes string }{
		"wide": {wide, large}, "tilted": {wide, tilted}, "corner": {corner, large}, "tilted in the corner": {corner, tilted},
	} {
		if !long() && name != "wide" && name != "tilted in the corner" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			at := func(file string) string { return filepath.Join(dir, file) }
			require.NoError(t, os.WriteFile(at("frame.yaml"), []byte(c.frame), 0o600))
			require.NoError(t, os.WriteFile(at("pack.yaml"), []byte(packWith(c.boxes)), 0o600))
			do := func(args ...string) {
				t.Helper()
				var errs bytes.Buffer
				run(context.Background(), append(args[:1:1], append([]string{at("frame.yaml"), at("pack.yaml")}, args[1:]...)...), streams{out: &bytes.Buffer{}, err: &errs})
				require.Empty(t, errs.String(), args)
			}
			layouts := untilFound(t, func(while string) []string {
				do("fit", "--time", while, "--out", at("out"), "--force", "--layouts", map[bool]string{true: "3", false: "1"}[long()])
				found, err := filepath.Glob(at("out/layout-*.yaml"))
				require.NoError(t, err)
				return found
			})
			do(append([]string{"report", "--out", at("report")}, layouts...)...)
			for _, l := range layouts {
				do("check", l)
				do("mock", l, "--form", "svg", "--out", at("mock"), "--force")
			}
		})
	}
}

// untilFound gives a search more and more time until it has found something: a slow machine needs more.
func untilFound[T any](t *testing.T, search func(while string) []T) []T {
	t.Helper()
	for _, while := range []string{"300ms", "3s", "30s", "2m"} {
		if found := search(while); len(found) > 0 {
			return found
		}
	}
	t.Fatal("nothing was found")
	return nil
}
