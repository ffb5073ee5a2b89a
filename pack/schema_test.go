package pack

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
	examples, err := filepath.Glob("../testdata/*/pack*.yaml")
	require.NoError(t, err)
	starters, err := filepath.Glob("../cmd/rackwright/starter/pack*.yaml")
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
	require.Contains(t, string(out), "rackwright/pack\n")
	require.NotContains(t, string(out), "jsonschema")
	require.NotContains(t, string(out), "schemagen")
	require.NotContains(t, string(out), "schematest")
}

// beyondSchema are the bad files of which a schema cannot tell what is wrong.
var beyondSchema = []string{
	"a floor above its gap", "post off its face", "a post wider than its face", "post over the edge", "post off another face", "a post's name twice", "a name twice",
}

// sound are changes of the whole file that leave it valid.
var sound = [][2]string{
	{"mass: 29 lb", "mass: 13"},
	{"mass: 29 lb", "mass: 900 g"},
	{"    count: 4\n", ""},
	{"count: 4", "count: 1"},
	{"stand: [upright, on-side, on-end, inverted]", "stand: on-end"},
	{"tilt: [0, 12, -7.5]", "tilt: -60"},
	{"[197, 165, 170]", "[7 3/4 in, 16.5 cm, 0.17 m]"},
	{"height: 18, ", ""},
	{`, polarity: "+"`, ""},
	{"volts: 12", "volts: 12.8"},
	{"beside: 4", "beside: 1/8 in"},
}
