package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rackwright/export"
)

// notOfThisRun are the files of a folder that are called as those that fit and mock write, and
// that this run did not write: they speak of other boxes or layouts.
func notOfThisRun(dir string, outputs []export.File) []string {
	kinds := []string{"layout", "concession", "with"}
	mine := map[string]bool{}
	for _, o := range outputs {
		mine[o.Name] = true
		if kind, _, of := strings.Cut(o.Name, "-"); of {
			kinds = append(kinds, kind)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // the files were written all the same
	}
	var stale []string
	for _, e := range entries {
		kind, _, of := strings.Cut(e.Name(), "-")
		if of && !mine[e.Name()] && e.Type().IsRegular() && slices.Contains(kinds, kind) && slices.Contains(forms, filepath.Ext(e.Name())) {
			stale = append(stale, e.Name())
		}
	}
	return stale
}

// forms are how the names of files end that fit and mock write.
var forms = []string{".yaml", ".svg", ".pdf", ".dxf", ".stl", ".3mf"}
