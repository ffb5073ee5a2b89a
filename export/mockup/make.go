package mockup

import (
	"fmt"
	"path/filepath"
	"strings"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/pack"
)

// Make makes all mock-ups of a problem, in the forms asked for.
func Make(p pack.Problem, s Settings) (Result, error) {
	var all Result
	makers := []func(pack.Problem, Settings) (Result, error){Notches, Blocks}
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
	if s.has(PDF) {
		all.letters(p)
	}
	return all, nil
}

// letters says which names PDF cannot show in full.
func (r *Result) letters(p pack.Problem) {
	names := []string{p.Frame.Name}
	for _, k := range p.Pack.Kinds {
		names = append(names, k.Name)
		for _, t := range k.Posts {
			names = append(names, t.Name)
		}
	}
	names = append(names, keepOuts(p)...)
	for _, t := range p.Frame.Rails {
		names = append(names, t.Name)
	}
	for _, name := range names {
		if !drawing.Shown(name) {
			r.note("PDF shows boxes for some letters of %q; SVG shows them all.", export.Printable(name))
		}
	}
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

// keepOuts are the names of the keep-outs of the frame.
func keepOuts(p pack.Problem) []string {
	var names []string
	for _, k := range p.Frame.KeepOuts {
		names = append(names, k.Name)
	}
	return names
}

// kinds are the names of the kinds of box.
func kinds(p pack.Problem) []string {
	var names []string
	for _, k := range p.Pack.Kinds {
		names = append(names, k.Name)
	}
	return names
}

// moving are the names of the parts that move.
func moving(p pack.Problem) []string {
	var names []string
	for _, m := range p.Frame.Moving {
		names = append(names, m.Name)
	}
	return names
}
