package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// searchPath is the search, and insideSearch its packages, the lowest first: each imports only those
// below it.
const searchPath = "rackwright/pack/search"

var insideSearch = [][]string{
	{"/internal/crew", "/internal/depths", "/internal/kit"},
	{"/model"},
	{"/start", "/improve", "/bound", "/puzzle", "/stand"},
	{"/proof"},
	{""},
}

func levelInSearch(t *testing.T, path string) int {
	t.Helper()
	level := slices.IndexFunc(insideSearch, func(at []string) bool { return slices.Contains(at, path) })
	require.GreaterOrEqual(t, level, 0, "%s has no place in the search", path)
	return level
}

// Imports point down only: cmd → export, search → pack → frame → geom, and within the search as
// insideSearch has it.
func TestImportsPointDown(t *testing.T) {
	cmd := exec.Command("go", "list", "-f", "{{.ImportPath}}{{range .Imports}} {{.}}{{end}}", "rackwright/...")
	out, err := cmd.Output()
	require.NoError(t, err)
	level := func(path string) int {
		switch {
		case strings.HasPrefix(path, "rackwright/cmd"):
			return 5
		case strings.HasPrefix(path, "rackwright/export"):
			return 4
		case strings.HasPrefix(path, "rackwright/pack/search"), strings.HasPrefix(path, "rackwright/pack/limit"), strings.HasPrefix(path, "rackwright/pack/outcome"), strings.HasPrefix(path, "rackwright/pack/whatif"), strings.HasPrefix(path, "rackwright/pack/compare"):
			return 3
		case strings.HasPrefix(path, "rackwright/pack"):
			return 2
		case strings.HasPrefix(path, "rackwright/frame"):
			return 1
		case strings.HasPrefix(path, "rackwright/geom"):
			return 0
		}
		return -1
	}
	seen := 0
	for _, line := range bytes.Split(bytes.TrimSpace(out), []byte("\n")) {
		paths := strings.Fields(string(line))
		for _, to := range paths[1:] {
			if !strings.HasPrefix(to, "rackwright/") {
				continue
			}
			seen++
			require.GreaterOrEqual(t, level(to), 0, "%s is of no known level", to)
			require.LessOrEqual(t, level(to), level(paths[0]), "%s imports %s", paths[0], to)
			require.NotContains(t, to, "rackwright/cmd", "nothing imports a command")
			if from, deep := strings.CutPrefix(paths[0], searchPath); deep {
				if to, within := strings.CutPrefix(to, searchPath); within {
					require.Less(t, levelInSearch(t, to), levelInSearch(t, from), "%s imports %s", paths[0], to)
				}
			}
			if paths[0] == "rackwright/geom" {
				t.Errorf("geom imports %s", to)
			}
			if paths[0] == "rackwright/pack/certificate" {
				require.Contains(t, []string{"rackwright/pack", "rackwright/frame", "rackwright/geom"}, to, "proofs are checked by code of their own")
			}
			if strings.HasPrefix(paths[0], "rackwright/pack/rack/beam") {
				t.Errorf("the calculation of frames imports %s", to)
			}
			if paths[0] == "rackwright/pack/rack/judge" {
				require.NotContains(t, to, "/design", "the judge of racks uses nothing of the designer")
			}
			if paths[0] == "rackwright/pack" && to != "rackwright/pack/cable" { // which is tables of copper
				require.NotContains(t, to, "rackwright/pack/", "the judge uses nothing of search or entry")
			}
		}
	}
	require.Greater(t, seen, 20)
}

// hider is a type as its package declares it: the names of its own fields and methods, and the types
// of the same module that it embeds.
type hider struct {
	own      map[string]bool
	embedded []string
}

// No type hides a field or a method of what it embeds: which of two things of one name is meant must
// not depend on where it is looked up from.
func TestNoTypeHidesWhatItEmbeds(t *testing.T) {
	all := map[string]*hider{}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if name := d.Name(); d.IsDir() && (name == "testdata" || name == "node_modules" || strings.HasPrefix(name, "_") || len(name) > 2 && name[0] == '.') {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".go") {
			return declare(path, all)
		}
		return nil
	})
	require.NoError(t, err)
	looked := 0
	for name, h := range all {
		for _, e := range h.embedded {
			for member := range membersOf(e, all) {
				if !ast.IsExported(member) && filepath.Dir(e) != filepath.Dir(name) {
					continue // another name to Go
				}
				looked++
				assert.False(t, h.own[member], "%s hides %s of %s", name, member, e)
			}
		}
	}
	require.Greater(t, looked, 20)
}

// membersOf are the names of the fields and methods of a type and of what it embeds.
func membersOf(name string, all map[string]*hider) map[string]bool {
	members := map[string]bool{}
	h := all[name]
	if h == nil {
		return members
	}
	for m := range h.own {
		members[m] = true
	}
	for _, e := range h.embedded {
		for m := range membersOf(e, all) {
			members[m] = true
		}
	}
	return members
}

// declare notes the types of a file, by folder and name.
func declare(path string, all map[string]*hider) error {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	folder := filepath.Dir(path)
	of := func(name string) *hider {
		key := fmt.Sprintf("%s.%s", folder, name)
		if all[key] == nil {
			all[key] = &hider{own: map[string]bool{}}
		}
		return all[key]
	}
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv != nil {
				if name, ok := typeName(d.Recv.List[0].Type); ok {
					of(name).own[d.Name.Name] = true
				}
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if s, ok := s.(*ast.TypeSpec); ok {
					if fields, ok := s.Type.(*ast.StructType); ok {
						of(s.Name.Name).addFields(fields, folder, importsOf(file))
					}
				}
			}
		}
	}
	return nil
}

func (h *hider) addFields(s *ast.StructType, folder string, imports map[string]string) {
	for _, f := range s.Fields.List {
		for _, n := range f.Names {
			h.own[n.Name] = true
		}
		if len(f.Names) > 0 {
			continue
		}
		if name, ok := typeName(f.Type); ok {
			h.embedded = append(h.embedded, fmt.Sprintf("%s.%s", folder, name))
		} else if from, name, ok := qualified(f.Type); ok && imports[from] != "" {
			h.embedded = append(h.embedded, fmt.Sprintf("%s.%s", imports[from], name))
		}
	}
}

// typeName is the name of a type of the same package, or of a pointer to one.
func typeName(e ast.Expr) (string, bool) {
	if p, ok := e.(*ast.StarExpr); ok {
		e = p.X
	}
	if g, ok := e.(*ast.IndexExpr); ok {
		e = g.X
	}
	id, ok := e.(*ast.Ident)
	if !ok {
		return "", false
	}
	return id.Name, true
}

// qualified is the package and the name of a type of another package, or of a pointer to one.
func qualified(e ast.Expr) (from, name string, ok bool) {
	if p, is := e.(*ast.StarExpr); is {
		e = p.X
	}
	s, ok := e.(*ast.SelectorExpr)
	if !ok {
		return "", "", false
	}
	id, ok := s.X.(*ast.Ident)
	if !ok {
		return "", "", false
	}
	return id.Name, s.Sel.Name, true
}

// importsOf gives the folders of the packages of the module that a file imports, by name.
func importsOf(f *ast.File) map[string]string {
	folders := map[string]string{}
	for _, i := range f.Imports {
		path := strings.Trim(i.Path.Value, "\"")
		if own, ok := strings.CutPrefix(path, "rackwright/"); ok {
			name := filepath.Base(path)
			if i.Name != nil {
				name = i.Name.Name
			}
			folders[name] = filepath.Join("../..", own)
		}
	}
	return folders
}

// Files are read in one place, which a signal ends.
func TestFilesAreReadInOnePlace(t *testing.T) {
	all, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, name := range all {
		if text := textOf(t, name); !strings.HasSuffix(name, "_test.go") && name != "reading.go" {
			require.NotRegexp(t, `os\.(Open|ReadFile)\(`, text, name)
		}
	}
}
