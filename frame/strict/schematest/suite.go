package schematest

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/frame/strict/schemagen"
)

// Suite is what the schema of one kind of file is held against.
type Suite struct {
	Package     string // whose schema it is
	Schema      func() []byte
	Document    any
	Title, Text string
	Read        func(text, name string) error
	Whole       string // a file with every key
	Files       string // of files that are valid, by a pattern in a folder of examples
	Bad         []Bad
	Beyond      []string    // the bad files of which a schema cannot tell what is wrong
	Sound       [][2]string // changes of the whole file that leave it valid: old and new
}

// Bad is a change of the whole file that the reader refuses.
type Bad struct {
	Name, Old, New string
	Rule           strict.Rule
}

// Run runs all tests of a schema.
func (s Suite) Run(t *testing.T) {
	t.Run("is that of the types", s.ofTheTypes)
	t.Run("explains every key", s.explains)
	t.Run("takes every example", s.takesExamples)
	t.Run("refuses what the reader refuses", s.refuses)
	t.Run("what it takes is read", s.takesSound)
	t.Run("libraries are not linked", s.notLinked)
}

func (s Suite) ofTheTypes(t *testing.T) {
	made, err := schemagen.Generate(s.Document, s.Title, s.Text)
	require.NoError(t, err)
	require.Equal(t, string(made), string(s.Schema()), "run go generate in this folder")
	s.Schema()[0] = 'x'
	require.Equal(t, string(made), string(s.Schema()), "what is handed out is a copy")
}

func (s Suite) explains(t *testing.T) {
	missing, err := Undescribed(s.Schema())
	require.NoError(t, err)
	require.Empty(t, missing)
}

// takesExamples has a validator of JSON Schema (draft 2020-12) for a judge, which knows
// nothing of the readers.
func (s Suite) takesExamples(t *testing.T) {
	require.NoError(t, Validate(s.Schema(), s.Whole))
	examples, err := filepath.Glob("../testdata/*/" + s.Files)
	require.NoError(t, err)
	starters, err := filepath.Glob("../cmd/rackwright/starter/" + s.Files)
	require.NoError(t, err)
	require.NotEmpty(t, examples)
	require.NotEmpty(t, starters)
	for _, path := range append(examples, starters...) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, Validate(s.Schema(), string(text)), path)
		require.NoError(t, s.Read(string(text), path), path)
	}
}

// What the reader takes the schema takes, and the other way round, wherever a schema
// can tell: keys and types always, some limits.
func (s Suite) refuses(t *testing.T) {
	for _, c := range s.Bad {
		text := strings.Replace(s.Whole, c.Old, c.New, 1)
		require.Error(t, s.Read(text, "f.yaml"), c.Name)
		if c.Rule == strict.Syntax || c.Rule == strict.Forbidden || c.Rule == strict.RepeatedKey {
			continue // of YAML, not of the schema
		}
		refused := Validate(s.Schema(), text) != nil
		assert.Equal(t, !slices.Contains(s.Beyond, c.Name), refused, c.Name)
	}
}

func (s Suite) takesSound(t *testing.T) {
	for _, edit := range s.Sound {
		text := strings.Replace(s.Whole, edit[0], edit[1], 1)
		require.NotEqual(t, s.Whole, text, edit[1])
		require.NoError(t, Validate(s.Schema(), text), edit[1])
		require.NoError(t, s.Read(text, "f.yaml"), edit[1])
	}
}

// The library that makes schemas, and the one that judges them, stay out of programs.
func (s Suite) notLinked(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "../cmd/rackwright").Output()
	var failed *exec.ExitError
	if errors.As(err, &failed) {
		t.Fatal(string(failed.Stderr))
	}
	require.NoError(t, err)
	require.Contains(t, string(out), s.Package+"\n")
	require.NotContains(t, string(out), "jsonschema")
	require.NotContains(t, string(out), "schemagen")
	require.NotContains(t, string(out), "schematest")
}
