package frame

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
	"rackwright/frame/strict/schematest"
)

func TestSchemaIsThatOfTheTypes(t *testing.T) {
	made, err := schemagen.Generate(Document(), SchemaTitle, SchemaText)
	require.NoError(t, err)
	require.Equal(t, string(made), string(Schema()), "run go generate in this folder")
	Schema()[0] = 'x'
	require.Equal(t, string(made), string(Schema()), "what is handed out is a copy")
}

func TestSchemaExplainsEveryKey(t *testing.T) {
	missing, err := schematest.Undescribed(Schema())
	require.NoError(t, err)
	require.Empty(t, missing)
}

// The judge is a validator of JSON Schema (draft 2020-12) that knows nothing of the
// readers.
func TestSchemaTakesEveryExample(t *testing.T) {
	require.NoError(t, schematest.Validate(Schema(), whole))
	examples, err := filepath.Glob("../testdata/*/frame.yaml")
	require.NoError(t, err)
	starters, err := filepath.Glob("../cmd/rackwright/starter/frame.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, examples)
	require.NotEmpty(t, starters)
	for _, path := range append(examples, starters...) {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, schematest.Validate(Schema(), string(text)), path)
		_, err = Read(strings.NewReader(string(text)), path)
		require.NoError(t, err, path)
	}
}

// What the reader takes the schema takes, and the other way round, wherever a schema
// can tell: keys and types always, some limits. What it cannot tell is listed.
func TestSchemaRefusesWhatTheReaderRefuses(t *testing.T) {
	for _, c := range bad {
		text := strings.Replace(whole, c.old, c.new, 1)
		_, err := Read(strings.NewReader(text), "f.yaml")
		require.Error(t, err, c.name)
		if c.rule == strict.Syntax || c.rule == strict.Forbidden || c.rule == strict.RepeatedKey {
			continue // of YAML, not of the schema
		}
		refused := schematest.Validate(Schema(), text) != nil
		assert.Equal(t, !slices.Contains(beyondSchema, c.name), refused, c.name)
	}
}

func TestWhatTheSchemaTakesIsRead(t *testing.T) {
	for _, edit := range sound {
		text := strings.Replace(whole, edit[0], edit[1], 1)
		require.NotEqual(t, whole, text, edit[1])
		require.NoError(t, schematest.Validate(Schema(), text), edit[1])
		_, err := Read(strings.NewReader(text), "f.yaml")
		require.NoError(t, err, edit[1])
	}
}

// The library that makes schemas, and the one that judges them, stay out of programs.
func TestSchemaLibrariesAreNotLinked(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "../cmd/rackwright").Output()
	var failed *exec.ExitError
	if errors.As(err, &failed) {
		t.Fatal(string(failed.Stderr))
	}
	require.NoError(t, err)
	require.Contains(t, string(out), "rackwright/frame\n")
	require.NotContains(t, string(out), "jsonschema")
	require.NotContains(t, string(out), "schemagen")
	require.NotContains(t, string(out), "schematest")
}

// beyondSchema are the bad files of which a schema cannot tell what is wrong.
var beyondSchema = []string{
	"crossing outline", "station out of order", "right of left", "rail of no length", "a name twice", "a side twice",
	"too few sides", "an open side of no name", "corners the wrong way", "a bar of no length", "a station twice",
	"a station nearly twice", "a mirrored rail's side's name taken", "a mount called as a rail", "a side open twice",
	"a coordinate of 17 m", "a corner twice", "corners on a line",
}

// sound are changes of the whole file that leave it valid.
var sound = [][2]string{
	{"accuracy: 2", "accuracy: 0"},
	{"accuracy: 2", "accuracy: 1/16 in"},
	{"accuracy: 2", `accuracy: "2"`},
	{"accuracy: 2\n", ""},
	{"diameter: 38", "diameter: 1.5in"},
	{"[430, 0, -20]", `['- 17 1/4 "', .5, 20.]`},
	{"across: 220", "across: 8 5/8″"},
	{"across: 220", "across: [-11 cm, 0.11 m]"},
	{"units: mm\n", ""},
	{"frame: Ferry 90", "frame: Fähre 漢"},
	{"    mirror: false\n", ""},
	{"metal: false\nrails", "metal: true\nrails"},
}
