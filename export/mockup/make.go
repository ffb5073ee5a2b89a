package mockup

import (
	"fmt"
	"path/filepath"
	"strings"

	"rackwright/export"
	"rackwright/pack"
)

// Make makes all mock-ups of a problem, in the forms asked for.
func Make(p pack.Problem, s Settings) (Result, error) {
	var all Result
	makers := []func(pack.Problem, Settings) (Result, error){Blocks}
	if s.flat() {
		makers = []func(pack.Problem, Settings) (Result, error){Cards, Gauges, Silhouettes, Notches, Blocks}
	}
	for _, f := range makers {
		r, err := f(p, s)
		if err != nil {
			return all, err
		}
		all.Files = append(all.Files, r.Files...)
		all.Notes = append(all.Notes, r.Notes...)
	}
	apart(all.Files)
	return all, nil
}

// apart gives each file a name of its own: a box called "battery a4" would otherwise
// share one with the tiles of a box called "battery".
func apart(files []export.File) {
	seen := map[string]bool{}
	for i, f := range files {
		name, end := f.Name, filepath.Ext(f.Name)
		for n := 2; seen[name]; n++ {
			name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(f.Name, end), n, end)
		}
		seen[name] = true
		files[i].Name = name
	}
}
